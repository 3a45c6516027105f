//! Hours for payroll: each technician's workdays and workweeks, with overtime.
//!
//! By the rules of the core ([`quaywright_core::sheet::paid`]) and those of the shop
//! as each technician's phone has them; what is typed here holds in their place. Which
//! rules held is said beside the figures.

use quaywright_core::event::ShopRules;
use quaywright_core::exchange::payroll::Worked;
use quaywright_core::hours::days::DayStart;
use quaywright_core::hours::overtime::Overtime;
use quaywright_core::hours::workweek::{Weekday, Workweek};
use quaywright_core::moment::{Day, Length};
use quaywright_core::quantity::billed_minutes;
use quaywright_core::sheet::paid::{Paid, paid};
use quaywright_core::text::Label;
use quaywright_core::view::RuleChoice;

use crate::crew::Crew;
use crate::people::{RulesSaid, TechnicianBook, each_book, people_of};
use crate::store::{Store, StoreError};
use crate::told::Told;

/// Rules as they are typed; where one is left out, that of the shop on the phones holds.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PayRules {
    /// The day and the time at which the workweek begins: `Sunday 06:00`.
    pub week_begins: Option<String>,
    /// Hours of a workweek after which overtime is paid: `40`, `7.5` or `7:30`.
    pub weekly: Option<String>,
    /// Hours of a workday after which overtime is paid.
    pub daily: Option<String>,
    /// Hours of a workday after which double time is paid.
    pub double: Option<String>,
    /// How starts and stops are rounded, in the words of the phones: `exact`, `nearest quarter of an hour`.
    pub rounding: Option<String>,
}

/// Rules that hold in place of the shop's.
pub struct Pay {
    week: Option<Workweek>,
    weekly: Option<Length>,
    daily: Option<Length>,
    double: Option<Length>,
    /// Which of the roundings that are offered.
    rounding: Option<usize>,
}

impl Pay {
    /// Returns a shop's rules with these in their place.
    fn over(&self, shop: ShopRules) -> ShopRules {
        let Overtime { weekly, daily, double } = shop.overtime;
        let overtime = Overtime {
            weekly: self.weekly.unwrap_or(weekly),
            daily: self.daily.or(daily),
            double: self.double.or(double),
        };
        let rules = ShopRules { week: self.week.unwrap_or(shop.week), overtime, ..shop };
        self.rounding.map_or(rules, |which| RuleChoice::Pay.choose(rules, which))
    }
}

impl PayRules {
    /// Reads the rules; the words say what is wrong.
    pub fn read(&self) -> Result<Pay, String> {
        let begins = |text: &String| {
            let wrong =
                || format!("{text:?} is no beginning of a week: write a day and a time, such as \"Sunday 06:00\"");
            week(text).ok_or_else(wrong)
        };
        let some = |text: &Option<String>| text.as_deref().map(hours).transpose();
        Ok(Pay {
            week: self.week_begins.as_ref().map(begins).transpose()?,
            weekly: some(&self.weekly)?,
            daily: some(&self.daily)?,
            double: some(&self.double)?,
            rounding: self.rounding.as_deref().map(rounding).transpose()?,
        })
    }

    /// Returns them as lines, in the order in which they stand above.
    pub fn lines(&self) -> String {
        let Self { week_begins, weekly, daily, double, rounding } = self;
        let all = [week_begins, weekly, daily, double, rounding].map(|typed| typed.as_deref().unwrap_or_default());
        all.map(|typed| typed.replace('\n', " ")).join("\n")
    }

    /// Reads such lines; where one is empty or missing, nothing was typed.
    pub fn of_lines(lines: &str) -> Self {
        let mut lines = lines.lines().map(str::trim);
        let mut next = || lines.next().filter(|line| !line.is_empty()).map(str::to_owned);
        Self { week_begins: next(), weekly: next(), daily: next(), double: next(), rounding: next() }
    }
}

fn rounding(text: &str) -> Result<usize, String> {
    let offered = RuleChoice::Pay.offered();
    let wrong = || format!("{text:?} is no rounding of starts and stops: write one of {}", offered.join(", "));
    offered.iter().position(|known| *known == text).ok_or_else(wrong)
}

fn week(text: &str) -> Option<Workweek> {
    let (day, time) = text.trim().split_once(' ')?;
    let (hour, minute) = time.split_once(':').filter(|(_, minute)| minute.len() == 2)?;
    let first = Weekday::ALL.into_iter().find(|known| known.words() == day)?;
    Some(Workweek { first, start: DayStart::at(hour.parse().ok()?, minute.parse().ok()?)? })
}

fn hours(text: &str) -> Result<Length, String> {
    let minutes = billed_minutes(text).ok_or_else(|| format!("{text:?} are no hours: write 40, 7.5 or 7:30"))?;
    Ok(Length::from_ms(u64::from(minutes) * 60_000))
}

/// Which days are asked for.
///
/// Rule: a workweek that holds one of them is told whole, since overtime is worked out by the
/// week: cut in two, each part would have a threshold of its own.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Days {
    /// The first day, if there is to be one.
    pub from: Option<Day>,
    /// The last day, if there is to be one.
    pub to: Option<Day>,
}

impl Days {
    /// Tells whether the workweek that begins on this day holds one of them.
    fn touch(self, week: Workweek, first: Day) -> bool {
        self.from.is_none_or(|from| week.first_of(from) <= first) && self.to.is_none_or(|to| first <= to)
    }

    /// Returns which weeks are told, in words; nothing where all are.
    fn words(self) -> Option<String> {
        let days = match (self.from, self.to) {
            (None, None) => return None,
            (Some(from), None) => format!("from {from} on"),
            (None, Some(to)) => format!("up to {to}"),
            (Some(from), Some(to)) => format!("from {from} to {to}"),
        };
        Some(format!("each workweek with a day {days} is told whole, since overtime is by the week"))
    }
}

/// What everyone worked.
#[derive(Default)]
pub struct AllWorked {
    /// Each who did, by name.
    pub technicians: Vec<Worked>,
    /// Which rules their phones have.
    pub rules: RulesSaid,
    /// By which rules they were reckoned, and who by each.
    held: Vec<(String, Vec<String>)>,
    /// Of which days it is.
    days: Days,
    /// What is wrong with the logs, in sentences.
    pub faults: Vec<String>,
}

impl AllWorked {
    /// Returns what is said where nobody worked on the days that were asked for; nothing where all days were.
    pub fn nobody(&self) -> Option<String> {
        (self.days != Days::default()).then(|| "nobody worked in a workweek with one of these days".to_owned())
    }

    /// Says what is wrong with the logs, of which weeks it is, and by which rules everyone was reckoned.
    pub fn tell(&self, told: &mut Told) {
        self.faults.iter().for_each(|fault| told.blame(fault));
        self.days.words().iter().for_each(|it| told.say(it));
        self.rules.differ().iter().for_each(|it| told.say(format_args!("note: {it}")));
        self.held.iter().for_each(|(rules, names)| told.say(format_args!("{}: {rules}", names.join(", "))));
    }

    fn hear(&mut self, who: &str, rules: &ShopRules) {
        let words = words(rules);
        match self.held.iter_mut().find(|(known, _)| *known == words) {
            Some((_, names)) => names.push(who.to_owned()),
            None => self.held.push((words, vec![who.to_owned()])),
        }
    }
}

/// Returns the rules for pay in words.
fn words(rules: &ShopRules) -> String {
    let Overtime { weekly, daily, double } = rules.overtime;
    let rounding = RuleChoice::Pay.offered().get(RuleChoice::Pay.chosen(rules)).copied().unwrap_or_default();
    let (week, weekly) = (rules.week.words(), weekly.clock_face());
    let mut words = format!("workweek from {week}, starts and stops {rounding}, overtime after {weekly} h of a week");
    if let Some(daily) = daily {
        words.push_str(&format!(" and {} h of a day", daily.clock_face()));
    }
    if let Some(double) = double {
        words.push_str(&format!(", double time after {} h of a day", double.clock_face()));
    }
    words
}

/// Returns the weeks of everyone in a store who worked, those with one of some days.
///
/// # Errors
/// When the store does not tell them.
pub fn weeks_of(store: &mut dyn Store, crew: &impl Crew, pay: &Pay, days: Days) -> Result<AllWorked, StoreError> {
    let (mut all, people) = (AllWorked { days, ..AllWorked::default() }, people_of(store)?);
    let worked = |_: &str, of: TechnicianBook| {
        let said = of.book.shop.rules();
        (of.faults, said, paid(&of.book.ledger.spans(of.now), &pay.over(said)))
    };
    each_book(store, crew, people, &worked, &mut |who, (faults, said, worked)| {
        all.faults.extend(faults.iter().map(|fault| format!("{who}: {fault}")));
        let rules = pay.over(said);
        let Paid { mut weeks, mut by_day, .. } = worked;
        weeks.retain(|week| days.touch(rules.week, week.first));
        by_day.retain(|&day, _| days.touch(rules.week, rules.week.first_of(day)));
        if !by_day.is_empty() || !weeks.is_empty() {
            all.rules.hear(who, said);
            all.hear(who, &rules);
            all.technicians.push(Worked { technician: Label::new(who), week: rules.week, weeks, by_clock: by_day });
        }
        Ok::<_, StoreError>(())
    })?;
    Ok(all)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_week_begins_where_the_shop_says() {
        assert_eq!(week("Monday 00:00"), Some(Workweek::ISO));
        let sunday = week("Sunday 06:30").unwrap();
        assert_eq!((sunday.first, Some(sunday.start)), (Weekday::Sunday, DayStart::at(6, 30)));
        for wrong in ["", "Monday", "Monday 6", "Monday 24:00", "monday 00:00", "Monday 0:0", "Monday 00:60"] {
            assert_eq!(week(wrong), None, "{wrong}");
        }
        assert_eq!(hours("7.5").map(Length::minutes), Ok(450));
        assert!(hours("long").unwrap_err().contains("write 40, 7.5 or 7:30"));
    }

    #[test]
    fn a_week_is_told_whole_where_one_of_its_days_is_asked_for() {
        let day = |text: &str| Day::parse(text).unwrap();
        let sunday = week("Sunday 00:00").unwrap();
        // Its workweeks begin on 3, 10 and 17 May 2026.
        let weeks = ["2026-05-03", "2026-05-10", "2026-05-17"].map(day);
        let table: [(Option<&str>, Option<&str>, &[usize]); 6] = [
            (None, None, &[0, 1, 2]),
            (Some("2026-05-09"), Some("2026-05-09"), &[0]),
            (Some("2026-05-09"), Some("2026-05-10"), &[0, 1]),
            (Some("2026-05-10"), None, &[1, 2]),
            (None, Some("2026-05-16"), &[0, 1]),
            (Some("2026-05-16"), Some("2026-05-04"), &[]),
        ];
        for (from, to, expected) in table {
            let days = Days { from: from.map(day), to: to.map(day) };
            let touched: Vec<_> = (0..3).filter(|&nth| days.touch(sunday, weeks[nth])).collect();
            assert_eq!(touched, expected, "{from:?} {to:?}");
        }
    }

    #[test]
    fn what_is_typed_arrives_as_it_was_and_holds_in_place_of_the_shops() {
        let typed = PayRules {
            week_begins: Some("Sunday 06:00".to_owned()),
            daily: Some("8".to_owned()),
            rounding: Some("nearest 5 minutes".to_owned()),
            ..PayRules::default()
        };
        assert_eq!(PayRules::of_lines(&typed.lines()), typed);
        assert_eq!(PayRules::of_lines(&PayRules::default().lines()), PayRules::default());
        assert_eq!(PayRules::of_lines(""), PayRules::default());
        let pay = |typed: &PayRules| typed.read().map(|pay| words(&pay.over(ShopRules::default())));
        assert_eq!(
            pay(&typed).unwrap(),
            "workweek from Sunday 06:00, starts and stops nearest 5 minutes, overtime after 40:00 h of a week and 8:00 h of a day"
        );
        let plain = "workweek from Monday 00:00, starts and stops exact, overtime after 40:00 h of a week";
        assert_eq!(pay(&PayRules::default()).unwrap(), plain);
        let double = PayRules { weekly: Some("38".to_owned()), double: Some("12".to_owned()), ..PayRules::default() };
        assert!(pay(&double).unwrap().ends_with("38:00 h of a week, double time after 12:00 h of a day"));
        let other = PayRules { rounding: Some("up".to_owned()), ..PayRules::default() };
        assert!(pay(&other).unwrap_err().contains("write one of exact, nearest 5 minutes"));
    }
}
