//! The names of what is asked for and of what comes out.
//!
//! One name means one thing in all kinds, so that a table on paper, the log and an
//! engine's own limits can tell them apart. Its slug is written and never changes.

use crate::reading::closed::closed;

closed! {
    /// The name of an input or of what comes out; its words are those of a table.
    Name {
        Cylinder = "cylinder", "cylinder";
        Supply = "supply", "supply";
        Pressure = "pressure", "pressure";
        Start = "start", "at the start";
        End = "end", "at the end";
        Time = "time", "time";
        Temperature = "temperature", "temperature";
        StartTemperature = "start-temperature", "temperature at the start";
        EndTemperature = "end-temperature", "temperature at the end";
        Voltage = "voltage", "voltage";
        SourceVoltage = "source-voltage", "voltage at the battery";
        LoadVoltage = "load-voltage", "voltage under load";
        Current = "current", "current";
        Rating = "rating", "rating";
        Capacity = "capacity", "capacity";
        Length = "length", "length out and back";
        Fuse = "fuse", "fuse";
        Bundle = "bundle", "conductors in the bundle";
        Resistance = "resistance", "resistance";
        Forward = "forward", "one way";
        Reverse = "reverse", "the other way";
        Pitch = "pitch", "pitch";
        Turning = "turning", "engine speed";
        Ratio = "ratio", "ratio";
        Speed = "speed", "boat speed";
        Power = "power", "power";
        Volume = "volume", "volume";
        Burn = "burn", "fuel an hour";
        Distance = "distance", "distance";
        Wanted = "wanted", "wanted";
        Present = "present", "present";
        Filled = "filled", "filled";
        Hours = "hours", "engine hours";
        LastService = "last-service", "hours at the last service";
        Interval = "interval", "service interval";
        Low = "low", "lowest that is good";
        High = "high", "highest that is good";
        Weight = "weight", "weight";
        Legs = "legs", "legs";
        Angle = "angle", "angle from the horizontal";
        Height = "height", "height of the hook";
        LegLength = "leg-length", "length of a leg";
        Tag = "tag", "what the tag of a leg allows";
        Value = "value", "value";
        Chemistry = "chemistry", "kind of battery";
        RatedAs = "rated-as", "rated as";
        Stroke = "stroke", "engine";
        Fuel = "fuel", "fuel";
        Medium = "medium", "held";
        System = "system", "system";
        Circuit = "circuit", "what it feeds";
        Wire = "wire", "wire made to";
        Insulation = "insulation", "insulation rated for";
        Place = "place", "where it runs";
        Size = "size", "size";
        Hull = "hull", "boat";
        Reserve = "reserve", "kept in reserve";
        Spread = "spread", "spread";
        Leak = "leak", "leak";
        Fall = "fall", "fall";
        Charge = "charge", "state of charge";
        Drop = "drop", "drop";
        Slip = "slip", "slip";
        Since = "since", "hours since the last service";
        Tension = "tension", "tension of a leg";
        Range = "range", "range";
        Oil = "oil", "oil";
        Exchange = "exchange", "to exchange";
        Tested = "tested", "what was tested";
    }
}
