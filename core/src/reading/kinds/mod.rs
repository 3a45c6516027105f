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

use super::{Kind, Spec};

impl Kind {
    pub(super) const fn spec(self) -> &'static Spec {
        match self {
            Kind::BatteryAtRest => &battery::AT_REST,
            Kind::BatteryUnderLoad => &load_test::UNDER_LOAD,
            Kind::Cranking => &charging::CRANKING,
            Kind::Charging => &charging::CHARGING,
            Kind::Draw => &draw::DRAW,
            Kind::VoltageDrop => &voltage_drop::DROP,
            Kind::Conductor => &conductor::CONDUCTOR,
            Kind::Insulation => &plain::INSULATION,
            Kind::GalvanicIsolator => &plain::ISOLATOR,
            Kind::Compression => &compression::COMPRESSION,
            Kind::LeakDown => &leak_down::LEAK_DOWN,
            Kind::Hold => &hold::HOLD,
            Kind::OilPressure => &ranged::OIL_PRESSURE,
            Kind::Temperature => &ranged::TEMPERATURE,
            Kind::EngineHours => &hours::HOURS,
            Kind::Premix => &amounts::PREMIX,
            Kind::Coolant => &amounts::COOLANT,
            Kind::OilFill => &amounts::OIL_FILL,
            Kind::PropellerSlip => &slip::SLIP,
            Kind::FuelBurn => &fuel::BURN,
            Kind::FuelRange => &fuel::RANGE,
            Kind::Sling => &sling::SLING,
            Kind::Free => &ranged::FREE,
        }
    }
}

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
