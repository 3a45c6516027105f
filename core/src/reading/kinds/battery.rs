//! A battery at rest: how full it is, by its voltage and temperature.
//!
//! State of charge of a flooded battery by the voltage between its terminals after
//! hours of rest: a battery maker's published table of six cells at 80 °F (26.7 °C), in
//! between on a straight line; 0.024 V less for each 10 °F colder, as the same table says.
//! A cell is a cell, so 24, 32, 36 and 48 V are read by the same table for 12, 16, 18 and 24
//! of them. TM 5-3805-262-20 (US Army), page 5-142, prints a coarser one: 12.6, 12.4, 12.2,
//! 12.0 and 11.7 V. So tables differ by some hundredths of a volt to two tenths, and a
//! meter of 1 % by 0.12 V: tens of percent are all that the figure can tell. What it cannot
//! tell is whether the battery still holds under load: that is the load test's.
//!
//! Worked examples:
//!
//! - `battery-at-rest`: voltage = 12.45 V; temperature = 40 °F → State of charge, about: 64 % → Watch it
//! - `battery-at-rest`: system = volts-24; voltage = 25.30 V → State of charge, about: 100 % → Within limits

use super::charging::SYSTEMS;
use crate::reading::finding::{Finding, Rule, Verdict, from};
use crate::reading::form::{Answers, Choice, Input, Lack, Name, ONE, of, ratio, units};
use crate::reading::unit::Unit;
use crate::reading::{Measured, Spec};

/// Microvolts of six cells and millionths of a percent, fullest first.
const TABLE: [(i64, i64); 5] = [
    (12_650_000, of(100, ONE)),
    (12_450_000, of(75, ONE)),
    (12_240_000, of(50, ONE)),
    (12_060_000, of(25, ONE)),
    (11_890_000, 0),
];

/// The temperature of the table, 80 °F, in millionths of a degree Celsius.
const OF_THE_TABLE: i64 = 26_666_667;

pub(super) const CHEMISTRY: Input =
    Input::perhaps(Name::Chemistry, "Kind of battery", &[Choice::Flooded, Choice::Agm, Choice::Gel, Choice::Lithium]);

pub(crate) const AT_REST: Spec = Spec {
    question: "Is this battery good?",
    before: "Let it rest for some hours, nothing on and no charger, then measure at its posts. \
             Batteries give off gas that explodes: no flame, no spark, eyes covered.",
    inputs: &[
        Input::must(Name::Voltage, "Voltage at rest", units::VOLTAGE, (of(10, ONE), of(132, ONE / 10))),
        Input::may(Name::Temperature, "Temperature of the battery", units::TEMPERATURE, (of(-20, ONE), of(50, ONE))),
        Input::perhaps(Name::System, "System, unless 12 V", SYSTEMS),
        CHEMISTRY,
    ],
    measured: &[
        Measured { name: Name::Voltage, units: units::VOLTAGE },
        Measured { name: Name::Charge, units: units::PERCENT },
    ],
    judge: at_rest,
};

const CHARGED: Rule = Rule::practice(
    "from 75 % up it may be load tested; below half it is discharged",
    "a battery maker's table of voltage and charge at 80 °F",
);
const SURFACE: Rule =
    Rule::practice("above 12.9 V (2.15 V a cell) the charger's voltage still stands on it", "from memory");
const DEAD_CELL: Rule = Rule::practice(
    "what does not charge beyond 10.5 V (1.75 V a cell) has a dead cell",
    "a general reference page; at rest from memory",
);
const OTHER_KIND: Rule = Rule::practice("the table is for flooded batteries", "the same table");

fn at_rest(of: Answers<'_>, to: &mut Finding) -> Result<(), Lack> {
    let volts = of.need(Name::Voltage)?;
    to.point(Name::Voltage, 0, volts, Unit::Volt, 2);
    // As six of its cells show.
    let volts = ratio(volts, 12, of.choice(Name::System).and_then(Choice::volts).unwrap_or(12))?;
    if volts > 12_900_000 {
        to.say(Verdict::CannotSay, "It was charged lately. Let it rest for some hours, or load it a minute.", &SURFACE);
        return Ok(());
    }
    if matches!(of.choice(Name::Chemistry), Some(Choice::Agm | Choice::Gel | Choice::Lithium)) {
        to.say(
            Verdict::CannotSay,
            "This kind has another table: look at its maker's, and enter the limit.",
            &OTHER_KIND,
        );
        return Ok(());
    }
    let warmer = of.amount(Name::Temperature).map_or(0, |it| it - OF_THE_TABLE);
    // 0.024 V in 10 °F are 0.00432 V in one degree Celsius.
    let charge = charge(volts + ratio(warmer, 432, 100_000)?)?;
    to.tell("State of charge, about", Unit::Percent.told(charge, 0));
    to.point(Name::Charge, 0, charge, Unit::Percent, 0);
    if of.amount(Name::Temperature).is_none() {
        to.advise("Say its temperature too: a battery 20 °C colder counts as 0.09 V less.");
    }
    if volts < 10_500_000 {
        to.say(
            Verdict::OutOf,
            "So low that a cell may be dead. Charge it: if it does not come up, it is done.",
            &DEAD_CELL,
        );
        return Ok(());
    }
    let verdict = from(charge, 75 * ONE, 50 * ONE);
    let words = match verdict {
        Verdict::Within => "It is charged. Whether it holds under load, the load test tells.",
        Verdict::Watch => "It is half charged. Charge it before judging it.",
        _ => "It is discharged, which is not yet dead: charge it, let it rest, measure again, then load test it.",
    };
    to.say(verdict, words, &CHARGED);
    Ok(())
}

/// Returns the state of charge that the table gives for so many microvolts.
fn charge(volts: i64) -> Result<i64, Lack> {
    let above = TABLE.iter().rposition(|&(row, _)| volts <= row);
    match (above, above.and_then(|at| TABLE.get(at + 1))) {
        (None, _) => Ok(TABLE[0].1),
        (Some(_), None) => Ok(0),
        (Some(at), Some(&(low, empty))) => {
            let (high, full) = TABLE[at];
            Ok(empty + ratio(volts - low, full - empty, high - low)?)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reading::Kind;
    use crate::reading::kinds::judged;
    use proptest::prelude::*;

    fn charge_of(answers: &[(&str, &str)]) -> String {
        judged(Kind::BatteryAtRest, answers).told[0].value.clone()
    }

    #[test]
    fn the_published_table_at_80_f() {
        // A battery maker's table 1: 12.65, 12.45, 12.24, 12.06 and 11.89 V.
        for (volts, percent) in
            [("12.65 V", "100 %"), ("12.45 V", "75 %"), ("12.24 V", "50 %"), ("12.06 V", "25 %"), ("11.89 V", "0 %")]
        {
            assert_eq!(charge_of(&[("voltage", volts), ("temperature", "80 °F")]), percent, "{volts}");
        }
        assert_eq!(charge_of(&[("voltage", "12.80 V")]), "100 %");
        assert_eq!(charge_of(&[("voltage", "11.2 V")]), "0 %");
    }

    #[test]
    fn cold_is_corrected_as_the_table_says() {
        // Its rule: 0.024 V for each 10 °F. 12.45 V at 40 °F count as 12.354 V: (0.114 / 0.21) of the
        // way from 50 to 75 %, which is 63.6 %. At 0 °F the table has 0.192 V.
        assert_eq!(charge_of(&[("voltage", "12.45 V"), ("temperature", "40 °F")]), "64 %");
        assert_eq!(charge_of(&[("voltage", "12.642 V"), ("temperature", "0 °F")]), "75 %");
        assert_eq!(charge_of(&[("voltage", "12.258 V"), ("temperature", "160 °F")]), "75 %");
    }

    #[test]
    fn more_cells_are_read_by_the_same_table() {
        // The table of six cells, times two, two and two thirds, three and four: 12.24 V are half full.
        for (system, volts) in
            [("volts-24", "24.48 V"), ("volts-32", "32.64 V"), ("volts-36", "36.72 V"), ("volts-48", "48.96 V")]
        {
            assert_eq!(charge_of(&[("system", system), ("voltage", volts)]), "50 %", "{system}");
        }
        // Its 0.024 V for 10 °F are six cells' too: 24.90 V at 40 °F are two times 12.45 V.
        assert_eq!(charge_of(&[("system", "volts-24"), ("voltage", "24.90 V"), ("temperature", "40 °F")]), "64 %");
        let dead = judged(Kind::BatteryAtRest, &[("system", "volts-48"), ("voltage", "41.9 V")]);
        assert_eq!((dead.verdict(), dead.points[0].told().as_str()), (Verdict::OutOf, "41.90 V"));
        let charged = judged(Kind::BatteryAtRest, &[("system", "volts-24"), ("voltage", "25.9 V")]);
        assert_eq!(charged.verdict(), Verdict::CannotSay);
    }

    #[test]
    fn another_published_table_is_met_within_what_tables_differ_by() {
        // TM 5-3805-262-20, page 5-142: 12.6, 12.4, 12.2, 12.0 and 11.7 V are 100, 75, 50, 25 and 0 %.
        for (volts, percent) in
            [(12_600_000, 100), (12_400_000, 75), (12_200_000, 50), (12_000_000, 25), (11_700_000, 0)]
        {
            assert!((charge(volts).unwrap() - percent * ONE).abs() <= 10 * ONE, "{volts}");
        }
    }

    #[test]
    fn answers_say_why() {
        let found = judged(Kind::BatteryAtRest, &[("voltage", "11.42 V"), ("temperature", "12 °C")]);
        assert_eq!(found.verdict(), Verdict::OutOf);
        assert!(found.reasons[0].rule.contains("common practice"));
        for (volts, verdict) in [
            ("12.6 V", Verdict::Within),
            ("12.3 V", Verdict::Watch),
            ("12.1 V", Verdict::OutOf),
            ("9.8 V", Verdict::OutOf),
            ("13.2 V", Verdict::CannotSay),
        ] {
            assert_eq!(judged(Kind::BatteryAtRest, &[("voltage", volts)]).verdict(), verdict, "{volts}");
        }
        let gel = judged(Kind::BatteryAtRest, &[("voltage", "12.6 V"), ("chemistry", "gel")]);
        assert_eq!(gel.verdict(), Verdict::CannotSay);
    }

    proptest! {
        #[test]
        fn more_volts_are_never_less_charge(low in 9_000_000..13_000_000_i64, more in 0..2_000_000_i64) {
            prop_assert!(charge(low).unwrap() <= charge(low + more).unwrap());
        }
    }
}
