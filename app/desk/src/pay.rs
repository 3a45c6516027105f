//! Hours for payroll: each technician's workdays and workweeks, with overtime.
//!
//! By the rules of the core ([`quaywright_core::sheet::paid`]) and those of the shop
//! as each technician's phone has them; what is typed here holds in their place.

use quaywright_core::event::ShopRules;
use quaywright_core::exchange::payroll::Worked;
use quaywright_core::hours::days::DayStart;
use quaywright_core::hours::overtime::Overtime;
use quaywright_core::hours::workweek::{Weekday, Workweek};
use quaywright_core::moment::Length;
use quaywright_core::quantity::billed_minutes;
use quaywright_core::sheet::paid::paid;
use quaywright_core::text::Label;

use crate::people::{RulesSaid, book_of, logs_of, people_of};
use crate::store::{Store, StoreError};
use crate::told::Told;

/// Rules as they are typed; where one is left out, that of the shop on the phones holds.
#[derive(Clone, Debug, Default)]
pub struct PayRules {
    /// The day and the time at which the workweek begins: `Sunday 06:00`.
    pub week_begins: Option<String>,
    /// Hours of a workweek after which overtime is paid: `40`, `7.5` or `7:30`.
    pub weekly: Option<String>,
    /// Hours of a workday after which overtime is paid.
    pub daily: Option<String>,
    /// Hours of a workday after which double time is paid.
    pub double: Option<String>,
}

/// Rules that hold in place of the shop's.
pub struct Pay {
    week: Option<Workweek>,
    weekly: Option<Length>,
    daily: Option<Length>,
    double: Option<Length>,
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
        ShopRules { week: self.week.unwrap_or(shop.week), overtime, ..shop }
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
        })
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

/// What everyone worked.
#[derive(Default)]
pub struct AllWorked {
    /// Each who did, by name.
    pub technicians: Vec<Worked>,
    /// Which rules their phones have.
    pub rules: RulesSaid,
    /// What is wrong with the logs, in sentences.
    pub faults: Vec<String>,
}

impl AllWorked {
    /// Says what is wrong with the logs.
    pub fn tell(&self, told: &mut Told) {
        self.faults.iter().for_each(|fault| told.blame(fault));
        self.rules.differ().iter().for_each(|it| told.say(format_args!("note: {it}")));
    }
}

/// Returns the weeks of everyone in a store who worked.
pub fn weeks_of(store: &mut dyn Store, pay: &Pay) -> Result<AllWorked, StoreError> {
    let mut all = AllWorked::default();
    for (who, phones) in people_of(store)? {
        let Some(of) = book_of(&logs_of(store, &phones)?) else { continue };
        all.faults.extend(of.faults.iter().map(|fault| format!("{who}: {fault}")));
        let rules = pay.over(of.book.shop.rules());
        let weeks = paid(&of.book.ledger.spans(of.now), &rules).weeks;
        if !weeks.is_empty() {
            all.rules.hear(&who, of.book.shop.rules());
            all.technicians.push(Worked { technician: Label::new(&who), week: rules.week, weeks });
        }
    }
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
}
