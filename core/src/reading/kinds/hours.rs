//! Engine hours, and whether a service is due.
//!
//! Hours since the last service against the interval that the technician enters; from
//! nine tenths of it on it is worth planning: DA PAM 750-8 (US Army), chapter 3, lets a service
//! be done a tenth of its interval early or late. Late is overdue here all the same.
//!
//! Worked example:
//!
//! - `engine-hours`: hours = 1290.3 h; last-service = 1204.5 h; interval = 100 h → Since the last service: 85.8 h → Within limits

use crate::reading::finding::{Finding, Rule, Standing, Verdict, up_to};
use crate::reading::form::{Answers, Input, Lack, Name, ONE, of, ratio, units};
use crate::reading::unit::Unit;
use crate::reading::{Measured, NO_RULE, Spec};

pub(crate) const HOURS: Spec = Spec {
    question: "Is a service due?",
    before: "Read the meter with the key on. A meter that was changed starts anew: note it.",
    inputs: &[
        Input::must(Name::Hours, "Hour meter shows", units::HOURS, (0, of(60_000 * 3_600, ONE))),
        Input::may(Name::LastService, "At the last service", units::HOURS, (0, of(60_000 * 3_600, ONE))),
        Input::may(
            Name::Interval,
            "Interval by the manual",
            units::HOURS,
            (of(20 * 3_600, ONE), of(2_000 * 3_600, ONE)),
        ),
    ],
    measured: &[Measured { name: Name::Since, units: units::HOURS }],
    judge: hours,
};

const INTERVAL: Rule = Rule {
    words: "the interval given with the reading; from nine tenths on plan it",
    standing: Standing::Entered,
    source: "a tenth early or late is usual, DA PAM 750-8",
};

fn hours(of: Answers<'_>, to: &mut Finding) -> Result<(), Lack> {
    let now = of.need(Name::Hours)?;
    let Some(last) = of.amount(Name::LastService) else {
        to.point(Name::Hours, 0, now, Unit::Hour, 1);
        to.say(Verdict::CannotSay, "Say when the last service was.", &NO_RULE);
        return Ok(());
    };
    let since = now - last;
    if since < 0 {
        return Err(Lack::Senseless("the meter shows less than at the last service: was it changed?"));
    }
    to.tell("Since the last service", Unit::Hour.told(since, 1));
    to.point(Name::Hours, 0, now, Unit::Hour, 1);
    to.point(Name::Since, 0, since, Unit::Hour, 1);
    match of.amount(Name::Interval) {
        None => to.say(Verdict::CannotSay, "Say the manual's interval.", &NO_RULE),
        Some(interval) => {
            let verdict = up_to(since, ratio(interval, 9, 10)?, interval);
            let words = match verdict {
                Verdict::Within => "Not yet due.",
                Verdict::Watch => "Due soon: plan it.",
                _ => "Overdue.",
            };
            to.say(verdict, words, &INTERVAL);
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reading::Kind;
    use crate::reading::kinds::judged;

    #[test]
    fn due_by_the_entered_interval() {
        // An hour is 3600 s (SI Brochure, table 8); the rest is subtraction.
        let told =
            |now| judged(Kind::EngineHours, &[("hours", now), ("last-service", "1204.5 h"), ("interval", "100 h")]);
        assert_eq!(told("1290.3 h").told[0].value, "85.8 h");
        assert_eq!(told("1290.3 h").verdict(), Verdict::Within);
        assert_eq!(told("1295 h").verdict(), Verdict::Watch);
        // DA PAM 750-8's window of an interval of 100 h opens 10 h before it is over.
        assert_eq!(told("1294.5 h").verdict(), Verdict::Within);
        assert_eq!(told("1294.6 h").verdict(), Verdict::Watch);
        assert_eq!(told("1304.6 h").verdict(), Verdict::OutOf);
        assert_eq!(told("120 h").verdict(), Verdict::CannotSay);
        assert_eq!(judged(Kind::EngineHours, &[("hours", "120 h")]).verdict(), Verdict::CannotSay);
    }
}
