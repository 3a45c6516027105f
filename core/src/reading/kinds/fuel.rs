//! Fuel: what an engine burns at full power, and how far a tank goes.
//!
//! Burn = specific consumption × power ÷ density, with the figures of boating papers: petrol
//! 0.50 lb an hour and horsepower at 6.1 lb a US gallon, diesel 0.40 at 7.2. Both are means
//! of many engines; below full power it falls steeply and not in proportion.
//!
//! Range = fuel less reserve ÷ burn × speed. To keep a third (a third out, a third back, a
//! third in reserve) is what the US Coast Guard Auxiliary teaches (a column of 2024).
//!
//! Worked examples:
//!
//! - `fuel-burn`: power = 200 hp; fuel = petrol → In US gallons: 16.4 US gal/h → Cannot say
//! - `fuel-range`: volume = 300 L; burn = 20 L/h; speed = 8 kn; reserve = reserve-third; distance = 80 nmi → Range with that reserve: 80 nmi → Within limits

use crate::reading::finding::{Finding, Rule, Verdict};
use crate::reading::form::{Answers, Choice, Input, Lack, Name, ONE, of, ratio, units};
use crate::reading::unit::Unit;
use crate::reading::{Measured, Spec};

pub(crate) const BURN: Spec = Spec {
    question: "How much does it burn at full power?",
    before: "An estimate by power. Fuel vapour explodes: blower on, sniff the bilge, no flame near the tank.",
    inputs: &[
        Input::must(Name::Power, "Power", units::POWER, (of(1_500, ONE), of(2_000_000, ONE))),
        Input::one_of(Name::Fuel, "Fuel", &[Choice::Petrol, Choice::Diesel]),
    ],
    measured: &[],
    judge: burn,
};

pub(crate) const RANGE: Spec = Spec {
    question: "How far does the fuel go?",
    before: "By the burn that was measured at this speed. Wind, sea and a foul hull take from it.",
    inputs: &[
        Input::must(Name::Volume, "Fuel on board", units::VOLUME, (of(5, ONE), of(20_000, ONE))),
        Input::must(Name::Burn, "Fuel an hour", units::FLOW, (of(1, ONE) / 2, of(800, ONE))),
        Input::must(Name::Speed, "Boat speed", units::SPEED, (of(1, ONE), of(50, ONE))),
        Input::one_of(Name::Reserve, "Kept in reserve", &[Choice::ReserveThird, Choice::ReserveFifth]),
        Input::may(Name::Distance, "Way to go", units::DISTANCE, (of(200, ONE), of(5_000_000, ONE))),
    ],
    measured: &[Measured { name: Name::Burn, units: units::FLOW }],
    judge: range,
};

const ESTIMATE: Rule = Rule::practice("an estimate, nothing to judge", "0.50 and 0.40 lb/hp·h in boating papers");
const RESERVE: Rule = Rule::practice("a third out, a third back, a third in reserve", "US Coast Guard Auxiliary");

fn burn(of: Answers<'_>, to: &mut Finding) -> Result<(), Lack> {
    let power = of.some(Name::Power)?;
    // Thousandths of a pound an hour and horsepower, tenths of a pound a gallon.
    let (specific, density) = match of.choice(Name::Fuel) {
        Some(Choice::Petrol) => (500, 61),
        Some(Choice::Diesel) => (400, 72),
        _ => return Err(Lack::Missing(Name::Fuel)),
    };
    let horsepower = Unit::Horsepower.scaled(power, 6);
    let gallons = ratio(horsepower, specific, density * 100)?;
    let burn = Unit::UsGallonHour.amount(gallons, 6);
    to.tell("At full power, about", Unit::LitreHour.told(burn, 0));
    to.tell("In US gallons", Unit::UsGallonHour.told(burn, 1));
    to.say(Verdict::CannotSay, "What the engine does burn, a full tank and the hours tell.", &ESTIMATE);
    Ok(())
}

fn range(of: Answers<'_>, to: &mut Finding) -> Result<(), Lack> {
    let (fuel, burn) = (of.some(Name::Volume)?, of.some(Name::Burn)?);
    let (left, whole) = match of.choice(Name::Reserve) {
        Some(Choice::ReserveThird) => (2, 3),
        Some(Choice::ReserveFifth) => (4, 5),
        _ => return Err(Lack::Missing(Name::Reserve)),
    };
    let hours = ratio(ratio(fuel, left, whole)?, ONE, burn)?;
    // Metres a second for so many hours.
    let range = ratio(hours, of.some(Name::Speed)?, ONE)?.saturating_mul(3_600);
    let unit = of.unit(Name::Distance, Unit::NauticalMile);
    to.tell("Range with that reserve", unit.told(range, 0));
    to.tell("Hours", Unit::Number.told(hours, 1));
    to.point(Name::Burn, 0, burn, of.unit(Name::Burn, Unit::LitreHour), 1);
    match of.amount(Name::Distance) {
        None => to.say(Verdict::CannotSay, "Say how far it is to have it judged.", &RESERVE),
        Some(way) if way <= range => to.say(Verdict::Within, "It reaches, with the reserve untouched.", &RESERVE),
        Some(_) => to.say(Verdict::OutOf, "It would eat into the reserve.", &RESERVE),
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reading::Kind;
    use crate::reading::kinds::judged;

    #[test]
    fn burns_that_boating_papers_print() {
        // Printed: 200 hp burn 16.4 and 11.1; 300 hp 24.5 and 16.6, 400 hp 32.786, cut and not rounded.
        let told = |power, fuel| judged(Kind::FuelBurn, &[("power", power), ("fuel", fuel)]).told[1].value.clone();
        assert_eq!(told("200 hp", "petrol"), "16.4 US gal/h");
        assert_eq!(told("200 hp", "diesel"), "11.1 US gal/h");
        assert_eq!(told("300 hp", "petrol"), "24.6 US gal/h");
        assert_eq!(told("300 hp", "diesel"), "16.7 US gal/h");
        assert_eq!(told("400 hp", "petrol"), "32.8 US gal/h");
        // 100 kW are 134.102 hp.
        assert_eq!(told("100 kW", "petrol"), "11.0 US gal/h");
    }

    #[test]
    fn ranges_by_the_definition() {
        // 300 L less a third are 200 L; at 20 L/h 10 h; at 8 kn 80 nautical miles.
        let answers = [
            ("volume", "300 L"),
            ("burn", "20 L/h"),
            ("speed", "8 kn"),
            ("reserve", "reserve-third"),
            ("distance", "80 nmi"),
        ];
        let found = judged(Kind::FuelRange, &answers);
        assert_eq!((found.told[0].value.as_str(), found.told[1].value.as_str()), ("80 nmi", "10.0"));
        assert_eq!(judged(Kind::FuelRange, &answers[..4]).verdict(), Verdict::CannotSay);
        let far = [&answers[..4], &[("distance", "81 nmi")]].concat();
        assert_eq!(judged(Kind::FuelRange, &far).verdict(), Verdict::OutOf);
    }
}
