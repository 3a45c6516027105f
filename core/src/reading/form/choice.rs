//! What can be chosen where no figure is asked for: a battery's kind, a size of wire.

use crate::reading::closed::closed;

closed! {
    /// What can be chosen where no figure is asked for.
    Choice {
        Flooded = "flooded", "flooded lead-acid";
        Agm = "agm", "AGM";
        Gel = "gel", "gel";
        Lithium = "lithium", "lithium";
        Cca = "cca", "CCA (at −18 °C)";
        Mca = "mca", "MCA or CA (at 0 °C)";
        OtherRating = "other-rating", "EN, DIN or another";
        FourStrokePetrol = "four-stroke-petrol", "four-stroke petrol";
        TwoStroke = "two-stroke", "two-stroke";
        Diesel = "diesel", "diesel";
        Petrol = "petrol", "petrol";
        HeldPressure = "held-pressure", "pressure";
        HeldVacuum = "held-vacuum", "vacuum";
        Volts12 = "volts-12", "12 V";
        Volts24 = "volts-24", "24 V";
        Volts32 = "volts-32", "32 V";
        Volts36 = "volts-36", "36 V";
        Volts48 = "volts-48", "48 V";
        Safety = "safety", "safety: lights, pumps, blower, radio (3 %)";
        Comfort = "comfort", "anything else (10 %)";
        Awg = "awg", "AWG";
        Sae = "sae", "SAE (thinner)";
        Rated60 = "rated-60", "60 °C";
        Rated75 = "rated-75", "75 °C";
        Rated80 = "rated-80", "80 °C";
        Rated90 = "rated-90", "90 °C";
        Rated105 = "rated-105", "105 °C";
        Rated125 = "rated-125", "125 °C";
        Rated200 = "rated-200", "200 °C";
        Outside = "outside", "outside the engine space";
        EngineSpace = "engine-space", "in the engine space";
        Size18 = "size-18", "18";
        Size16 = "size-16", "16";
        Size14 = "size-14", "14";
        Size12 = "size-12", "12";
        Size10 = "size-10", "10";
        Size8 = "size-8", "8";
        Size6 = "size-6", "6";
        Size4 = "size-4", "4";
        Size2 = "size-2", "2";
        Size1 = "size-1", "1";
        Size1Of0 = "size-1-0", "1/0";
        Size2Of0 = "size-2-0", "2/0";
        Size4Of0 = "size-4-0", "4/0";
        Planing = "planing", "planing";
        Displacement = "displacement", "displacement";
        ReserveThird = "reserve-third", "a third";
        ReserveFifth = "reserve-fifth", "a fifth";
        MainsCircuit = "mains-circuit", "mains wiring up to 500 V, tested at 500 V";
        OtherInsulation = "other-insulation", "anything else";
    }
}

impl Choice {
    /// Returns the nominal volts of a system.
    pub(in crate::reading) const fn volts(self) -> Option<i64> {
        match self {
            Choice::Volts12 => Some(12),
            Choice::Volts24 => Some(24),
            Choice::Volts32 => Some(32),
            Choice::Volts36 => Some(36),
            Choice::Volts48 => Some(48),
            _ => None,
        }
    }
}
