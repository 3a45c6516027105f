//! Hours for payroll: each technician's workdays and workweeks, with overtime.
//!
//! By the rules of the core: pauses count or not by 29 CFR 785.18 and 785.19,
//! the week begins where the shop says, overtime is that of the week and, where
//! a state or the shop asks for it, of the day. The clock's exact times are used.

use std::collections::BTreeSet;

use clap::Args;
use quaywright_core::book::Book;
use quaywright_core::hours::Stretch;
use quaywright_core::hours::days::DayStart;
use quaywright_core::hours::overtime::{Overtime, Week, weeks};
use quaywright_core::hours::worked::{Rules, counted, judge};
use quaywright_core::hours::workweek::{Weekday, Workweek, by_day};
use quaywright_core::moment::{Length, Moment};
use quaywright_core::quantity::billed_minutes;
use quaywright_core::text::Label;

use crate::people::{book_of, log_of, people_of};
use crate::store::{Store, StoreError};

/// The shop's rules as they are typed.
#[derive(Args)]
pub(crate) struct PayRules {
    /// The day and the time at which the workweek begins.
    #[arg(long, value_name = "DAY TIME", default_value = "Monday 00:00")]
    week_begins: String,
    /// Hours of a workweek after which overtime is paid.
    #[arg(long, value_name = "HOURS", default_value = "40")]
    weekly: String,
    /// Hours of a workday after which overtime is paid.
    #[arg(long, value_name = "HOURS")]
    daily: Option<String>,
    /// Hours of a workday after which double time is paid.
    #[arg(long, value_name = "HOURS")]
    double: Option<String>,
}

/// The shop's rules.
pub(crate) struct Pay {
    week: Workweek,
    overtime: Overtime,
    /// When the week begins, in words.
    pub(crate) begins: String,
}

impl PayRules {
    /// Reads the rules; the words say what is wrong.
    pub(crate) fn read(&self) -> Result<Pay, String> {
        let week = week(&self.week_begins).ok_or_else(|| {
            format!(
                "{:?} is no beginning of a week: write a day and a time, such as \"Sunday 06:00\"",
                self.week_begins
            )
        })?;
        let some = |text: &Option<String>| text.as_deref().map(hours).transpose();
        let overtime =
            Overtime { weekly: hours(&self.weekly)?, daily: some(&self.daily)?, double: some(&self.double)? };
        Ok(Pay { week, overtime, begins: self.week_begins.trim().to_owned() })
    }
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

/// Each technician's weeks, and what is wrong with the logs.
type Weeks = (Vec<(Label, Vec<Week>)>, Vec<String>);

/// Returns the weeks of everyone in a store who worked.
pub(crate) fn weeks_of(store: &mut impl Store, pay: &Pay) -> Result<Weeks, StoreError> {
    let (mut all, mut faults) = (Vec::new(), Vec::new());
    for (who, devices) in people_of(store)? {
        let Some(of) = book_of(&log_of(store, &devices, &BTreeSet::new())?) else { continue };
        faults.extend(of.faults.iter().map(|fault| format!("{who}: {fault}")));
        let weeks = weeks_in(&of.book, of.now, pay);
        if !weeks.is_empty() {
            all.push((Label::new(&who), weeks));
        }
    }
    Ok((all, faults))
}

fn weeks_in(book: &Book, now: Moment, pay: &Pay) -> Vec<Week> {
    let spans = book.ledger.spans(now).into_iter();
    let stretches = spans.map(|span| Stretch { from: span.from, to: span.to, activity: span.activity });
    let judged = judge(stretches, Rules::FEDERAL);
    weeks(&by_day(counted(&judged), pay.week.start), pay.week, pay.overtime)
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
}
