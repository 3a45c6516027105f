//! The kinds of readings, one small module each or two that share their rules.

mod amounts;
mod battery;
mod charging;
mod compression;
mod conductor;
mod draw;
mod fuel;
mod hold;
mod hours;
mod leak_down;
mod load_test;
mod plain;
mod ranged;
mod sling;
mod slip;
mod voltage_drop;

use super::form::Input;
use super::{Kind, Measured, Spec};

/// Says which module describes a kind. What a kind asks for stands in tables of its
/// own: who only checks a reading (a start does) needs none of the words and judges.
macro_rules! kinds {
    ($($kind:ident => $spec:path,)*) => {
        impl Kind {
            pub(super) const fn spec(self) -> &'static Spec {
                match self { $(Self::$kind => &$spec,)* }
            }

            /// Returns what is asked for, in the order of the form.
            pub const fn inputs(self) -> &'static [Input] {
                match self { $(Self::$kind => $spec.inputs,)* }
            }

            /// Returns what an engine's own limits may be set for.
            pub const fn measured(self) -> &'static [Measured] {
                match self { $(Self::$kind => $spec.measured,)* }
            }
        }
    };
}

kinds! {
    BatteryAtRest => battery::AT_REST,
    BatteryUnderLoad => load_test::UNDER_LOAD,
    Cranking => charging::CRANKING,
    Charging => charging::CHARGING,
    Draw => draw::DRAW,
    VoltageDrop => voltage_drop::DROP,
    Conductor => conductor::CONDUCTOR,
    Insulation => plain::INSULATION,
    GalvanicIsolator => plain::ISOLATOR,
    Compression => compression::COMPRESSION,
    LeakDown => leak_down::LEAK_DOWN,
    Hold => hold::HOLD,
    OilPressure => ranged::OIL_PRESSURE,
    Temperature => ranged::TEMPERATURE,
    EngineHours => hours::HOURS,
    Premix => amounts::PREMIX,
    Coolant => amounts::COOLANT,
    OilFill => amounts::OIL_FILL,
    PropellerSlip => slip::SLIP,
    FuelBurn => fuel::BURN,
    FuelRange => fuel::RANGE,
    Sling => sling::SLING,
    Free => ranged::FREE,
}

#[cfg(test)]
mod worked;

/// For the tests of the kinds: judges `name=figure unit` and `name=choice` pairs.
#[cfg(test)]
pub(crate) fn judged(kind: Kind, answers: &[(&str, &str)]) -> super::finding::Finding {
    kind.judge(&given(kind, answers), None)
}

/// Reads `name`, or `name 2` for the second of several, with `figure unit` or a choice.
#[cfg(test)]
pub(crate) fn given(kind: Kind, answers: &[(&str, &str)]) -> Vec<super::form::Given> {
    use super::form::{Name, Of, Typed, read};
    use super::unit::Unit;
    let typed = answers.iter().map(|(name, said)| {
        let (name, nth) = name.split_once(' ').unwrap_or((name, "0"));
        let input = kind.input(Name::parse(name).unwrap()).unwrap();
        let (text, unit) = match input.of {
            Of::Figure { .. } => {
                let (figure, sign) = said.split_once(' ').unwrap_or((said, ""));
                (figure, *Unit::ALL.iter().find(|unit| unit.words() == sign).unwrap())
            }
            Of::Choice(_) => (*said, Unit::Number),
        };
        Typed { name: input.name, nth: nth.parse().unwrap(), text: text.to_owned(), unit }
    });
    let (given, wrong) = read(kind.inputs(), &typed.collect::<Vec<_>>());
    assert_eq!(wrong, []);
    for one in &given {
        assert!(super::form::takes(kind.input(one.name).unwrap(), one.value), "{one:?}");
    }
    given
}
