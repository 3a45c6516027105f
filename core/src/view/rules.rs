//! The shop's rules as a form: what can be chosen, what can be typed, and what
//! each comes to.
//!
//! A choice is one of a few; an entry is typed. Both give the shop's rules anew,
//! so that the screen only offers, shows and asks for what comes of it.

use crate::event::ShopRules;
use crate::hours::days::DayStart;
use crate::hours::overtime::Overtime;
use crate::hours::rounding::{Charge, LengthRule, PunchRule};
use crate::hours::worked::{LessThanTheLaw, Rules};
use crate::hours::workweek::{Weekday, Workweek};
use crate::mending::time_of_day;
use crate::moment::{Length, TimeOfDay};
use crate::quantity::billed_minutes;

/// A rule that is one of a few.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RuleChoice {
    /// How starts and stops are rounded for pay.
    Pay,
    /// How a line that is billed by the clock is rounded.
    Bill,
    /// On which day the workweek begins.
    FirstDay,
}

impl RuleChoice {
    /// Returns what is chosen.
    pub const fn name(self) -> &'static str {
        match self {
            RuleChoice::Pay => "Starts and stops, for pay",
            RuleChoice::Bill => "Hours of a line, for bills",
            RuleChoice::FirstDay => "The workweek begins on",
        }
    }

    /// Returns what it does.
    pub const fn about(self) -> &'static str {
        match self {
            RuleChoice::Pay => {
                "Each start and stop is rounded once, on the clock's face; the exact half goes up. Over time it must \
                 pay for all the time worked (29 CFR 785.48(b)). Some places allow no rounding."
            }
            RuleChoice::Bill => {
                "A line billed by the clock is rounded once, over all its days. That is a matter of what was agreed \
                 with the customer. The exact time always stands beside it."
            }
            RuleChoice::FirstDay => {
                "Overtime is counted in a fixed week of seven days (29 CFR 778.105). Change it for good only."
            }
        }
    }

    /// Returns the words of what can be chosen, in order.
    pub const fn offered(self) -> &'static [&'static str] {
        match self {
            RuleChoice::Pay => {
                &["exact", "nearest 5 minutes", "nearest tenth of an hour", "nearest quarter of an hour"]
            }
            RuleChoice::Bill => &[
                "exact",
                "nearest hundredth of an hour",
                "nearest 5 minutes",
                "nearest tenth of an hour",
                "nearest quarter of an hour",
                "up to the next tenth of an hour",
            ],
            RuleChoice::FirstDay => &["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"],
        }
    }

    /// Returns which of them is chosen.
    pub fn chosen(self, rules: &ShopRules) -> usize {
        match self {
            RuleChoice::Pay => PunchRule::ALL.iter().position(|&rule| rule == rules.pay),
            RuleChoice::Bill => LengthRule::ALL.iter().position(|&rule| rule == rules.bill.rule),
            RuleChoice::FirstDay => Some(rules.week.first as usize),
        }
        .unwrap_or_default()
    }

    /// Returns the rules with another choice; as they are where there is none such.
    pub fn choose(self, rules: ShopRules, which: usize) -> ShopRules {
        let ShopRules { pay, bill, week, .. } = rules;
        match self {
            RuleChoice::Pay => ShopRules { pay: PunchRule::ALL.get(which).copied().unwrap_or(pay), ..rules },
            RuleChoice::Bill => {
                let rule = LengthRule::ALL.get(which).copied().unwrap_or(bill.rule);
                ShopRules { bill: Charge { rule, ..bill }, ..rules }
            }
            RuleChoice::FirstDay => {
                let first = Weekday::ALL.get(which).copied().unwrap_or(week.first);
                ShopRules { week: Workweek { first, ..week }, ..rules }
            }
        }
    }
}

/// A rule that is typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RuleEntry {
    /// What a job costs at least.
    Minimum,
    /// At which time each workday begins.
    DayStart,
    /// After how many hours of a week more is paid.
    Weekly,
    /// After how many hours of a day more is paid.
    Daily,
    /// After how many hours of a day double is paid.
    Double,
    /// Up to which length rest periods count.
    Rest,
    /// From which length on pauses do not count.
    Unpaid,
    /// When the day usually ends.
    UsualEnd,
}

/// What was typed is not what is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NotRead {
    /// No hours.
    #[error("hours are written as 7.5 or 7:30")]
    Hours,
    /// No minutes.
    #[error("minutes are written as 20")]
    Minutes,
    /// No time of day.
    #[error("a time is written as 17:00")]
    Time,
    /// Less than the law asks for.
    #[error(transparent)]
    Less(#[from] LessThanTheLaw),
}

impl RuleEntry {
    /// Returns what is typed, and how.
    pub const fn name(self) -> &'static str {
        match self {
            RuleEntry::Minimum => "A job costs at least, in hours (empty: nothing)",
            RuleEntry::DayStart => "Each workday begins at",
            RuleEntry::Weekly => "Overtime after so many hours of a week",
            RuleEntry::Daily => "Overtime after so many hours of a day (empty: none)",
            RuleEntry::Double => "Double time after so many hours of a day (empty: none)",
            RuleEntry::Rest => "Rest periods count up to, in minutes",
            RuleEntry::Unpaid => "Longer pauses do not count from, in minutes",
            RuleEntry::UsualEnd => "The day usually ends at (empty: as the last days did)",
        }
    }

    /// Returns what it does; nothing where the name says it.
    pub const fn about(self) -> Option<&'static str> {
        match self {
            RuleEntry::Minimum => Some("For jobs of which the customer pays a line by the clock."),
            RuleEntry::Weekly => {
                Some("The federal rule of the United States is 40 (29 CFR 778.100) and none by the day.")
            }
            RuleEntry::Unpaid => {
                Some("A shop may count more than 20 and 30 minutes (29 CFR 785.18 and 785.19), never less.")
            }
            RuleEntry::UsualEnd => Some("A clock that runs an hour past it with no entry is asked about."),
            RuleEntry::DayStart | RuleEntry::Daily | RuleEntry::Double | RuleEntry::Rest => None,
        }
    }

    /// Returns what stands there.
    pub fn text(self, rules: &ShopRules) -> String {
        let hours = |length: Length| length.clock_face();
        match self {
            RuleEntry::Minimum if rules.bill.minimum == Length::ZERO => String::new(),
            RuleEntry::Minimum => hours(rules.bill.minimum),
            RuleEntry::DayStart => {
                TimeOfDay::at_minute(rules.week.start.minute()).map(|it| it.to_string()).unwrap_or_default()
            }
            RuleEntry::Weekly => hours(rules.overtime.weekly),
            RuleEntry::Daily => rules.overtime.daily.map(hours).unwrap_or_default(),
            RuleEntry::Double => rules.overtime.double.map(hours).unwrap_or_default(),
            RuleEntry::Rest => rules.pauses.rest_up_to().minutes().to_string(),
            RuleEntry::Unpaid => rules.pauses.unpaid_from().minutes().to_string(),
            RuleEntry::UsualEnd => rules.usual_end.map(|it| it.to_string()).unwrap_or_default(),
        }
    }

    /// Returns the rules with what was typed.
    ///
    /// # Errors
    /// Returns [`NotRead`] for text that is not what is asked for.
    pub fn typed(self, rules: ShopRules, text: &str) -> Result<ShopRules, NotRead> {
        let text = text.trim();
        let ShopRules { bill, week, overtime, pauses, .. } = rules;
        let hours = || minutes(billed_minutes(text)).ok_or(NotRead::Hours);
        let no_hours = || if text.is_empty() { Ok(None) } else { hours().map(Some) };
        let typed_minutes = || minutes(text.parse().ok().filter(|&it| it <= 24 * 60)).ok_or(NotRead::Minutes);
        let time = || time_of_day(text).map(|(hour, minute)| u16::from(hour) * 60 + u16::from(minute));
        Ok(match self {
            RuleEntry::Minimum => {
                let minimum = no_hours()?.unwrap_or_default();
                ShopRules { bill: Charge { minimum, ..bill }, ..rules }
            }
            RuleEntry::DayStart => {
                let start = time().and_then(DayStart::at_minute).ok_or(NotRead::Time)?;
                ShopRules { week: Workweek { start, ..week }, ..rules }
            }
            RuleEntry::Weekly => ShopRules { overtime: Overtime { weekly: hours()?, ..overtime }, ..rules },
            RuleEntry::Daily => ShopRules { overtime: Overtime { daily: no_hours()?, ..overtime }, ..rules },
            RuleEntry::Double => ShopRules { overtime: Overtime { double: no_hours()?, ..overtime }, ..rules },
            RuleEntry::Rest => ShopRules { pauses: Rules::of_shop(typed_minutes()?, pauses.unpaid_from())?, ..rules },
            RuleEntry::Unpaid => ShopRules { pauses: Rules::of_shop(pauses.rest_up_to(), typed_minutes()?)?, ..rules },
            RuleEntry::UsualEnd if text.is_empty() => ShopRules { usual_end: None, ..rules },
            RuleEntry::UsualEnd => {
                let end = time().and_then(TimeOfDay::at_minute).ok_or(NotRead::Time)?;
                ShopRules { usual_end: Some(end), ..rules }
            }
        })
    }
}

fn minutes(count: Option<u32>) -> Option<Length> {
    count.map(|count| Length::from_ms(u64::from(count) * 60_000))
}

#[cfg(test)]
mod tests {
    use super::*;

    const ENTRIES: [RuleEntry; 8] = [
        RuleEntry::Minimum,
        RuleEntry::DayStart,
        RuleEntry::Weekly,
        RuleEntry::Daily,
        RuleEntry::Double,
        RuleEntry::Rest,
        RuleEntry::Unpaid,
        RuleEntry::UsualEnd,
    ];

    #[test]
    fn what_is_typed_is_what_then_stands_there() {
        let typed = ["1:15", "07:00", "45:00", "8:00", "12:30", "25", "45", "17:05"];
        let mut rules = ShopRules::default();
        for (entry, text) in ENTRIES.into_iter().zip(typed) {
            rules = entry.typed(rules, &format!(" {text} ")).unwrap();
        }
        for (entry, text) in ENTRIES.into_iter().zip(typed) {
            assert_eq!(entry.text(&rules), text, "{}", entry.name());
        }
        assert_eq!(rules.checked(), Ok(rules));
        for entry in [RuleEntry::Minimum, RuleEntry::Daily, RuleEntry::Double, RuleEntry::UsualEnd] {
            rules = entry.typed(rules, "").unwrap();
            assert_eq!(entry.text(&rules), "");
        }
    }

    #[test]
    fn what_cannot_be_read_says_how_it_is_written() {
        for (entry, text, said) in [
            (RuleEntry::Weekly, "", "hours are written as 7.5 or 7:30"),
            (RuleEntry::Daily, "eight", "hours are written as 7.5 or 7:30"),
            (RuleEntry::DayStart, "24:00", "a time is written as 17:00"),
            (RuleEntry::UsualEnd, "5 pm", "a time is written as 17:00"),
            (RuleEntry::Rest, "-1", "minutes are written as 20"),
            (RuleEntry::Rest, "1441", "minutes are written as 20"),
            (
                RuleEntry::Rest,
                "19",
                "rest periods up to 20 minutes count as hours worked (29 CFR 785.18): enter 20 minutes or more",
            ),
            (
                RuleEntry::Unpaid,
                "29",
                "pauses under 30 minutes count as hours worked (29 CFR 785.19): enter 30 minutes or more",
            ),
        ] {
            assert_eq!(entry.typed(ShopRules::default(), text).unwrap_err().to_string(), said, "{text}");
        }
    }

    #[test]
    fn each_choice_is_offered_in_the_order_of_its_rule() {
        for choice in [RuleChoice::Pay, RuleChoice::Bill, RuleChoice::FirstDay] {
            for which in 0..choice.offered().len() {
                let chosen = choice.choose(ShopRules::default(), which);
                assert_eq!(choice.chosen(&chosen), which, "{}", choice.name());
            }
            let beyond = choice.choose(ShopRules::default(), choice.offered().len());
            assert_eq!(beyond, ShopRules::default());
        }
        let words: Vec<&str> = Weekday::ALL.iter().map(|day| day.words()).collect();
        assert_eq!(words, RuleChoice::FirstDay.offered());
    }
}
