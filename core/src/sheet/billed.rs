//! Both hours of a job: those of the clock, and those that are billed.
//!
//! A line is billed by the clock, with a flat number of hours, or not at all.
//! The two differ, and the shop wants to see by how much.
//!
//! Rule: clock hours are all work on a job but pauses, exact to the millisecond.
//! A line by the clock is billed with its whole length over all days, rounded
//! once by the shop's rule; so a bill's lines add up to the bill. Where the
//! customer pays for such a line, the job costs at least what the shop charges
//! for any job; what that adds stands apart from the lines. Time on a job of
//! several lines with none of them named has no pay type and is billed with no
//! line; it stands apart too. A flat number of hours is for the whole job and is
//! not shared among its days.

use crate::book::Book;
use crate::book::ledger::by_day;
use crate::book::named::Named;
use crate::event::{Billing, On, PayType};
use crate::hours::beyond;
use crate::hours::rounding::{Charge, LengthRule, rounded};
use crate::id::{JobId, LineId};
use crate::moment::{Day, Length, Moment};

/// Clock hours and billed hours of one thing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Both {
    /// What the clock says.
    pub clock: Length,
    /// What is billed.
    pub billed: Length,
}

impl Both {
    /// Returns what is billed beyond the clock, in milliseconds; less than zero
    /// when it took longer than is billed.
    pub fn difference_ms(self) -> i64 {
        let ms = |length: Length| i64::try_from(length.ms()).unwrap_or(i64::MAX);
        ms(self.billed).saturating_sub(ms(self.clock))
    }
}

impl std::ops::Add for Both {
    type Output = Both;
    fn add(self, other: Both) -> Both {
        Both { clock: self.clock + other.clock, billed: self.billed + other.billed }
    }
}

/// Both hours of a job, over all its days.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JobHours {
    /// The job.
    pub job: JobId,
    /// Each of its lines.
    pub lines: Vec<LineHours>,
    /// Clock hours with no line named.
    pub no_line: Length,
    /// What the least charge of a job adds for the customer, beyond the lines.
    pub minimum: Length,
    /// All of it.
    pub all: Both,
    /// Its lines, and what the least charge adds, by who pays, in the order in which pay types are offered.
    pub by_pay: Vec<(PayType, Both)>,
    /// Clock hours of each day, earliest first.
    pub days: Vec<(Day, Length)>,
}

impl JobHours {
    /// Returns what the least charge of a job adds, in words; nothing where it adds nothing.
    pub fn minimum_words(&self) -> Option<String> {
        let added = self.minimum.clock_face();
        (self.minimum > Length::ZERO).then(|| format!("the shop's least charge of a job adds {added}"))
    }
}

/// Both hours of a line, over all its days.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LineHours {
    /// The line.
    pub line: LineId,
    /// Who pays.
    pub pay: PayType,
    /// How it is billed.
    pub billing: Billing,
    /// Both hours.
    pub hours: Both,
}

impl LineHours {
    /// Returns how the line is billed, in words; nothing when it is what the clock says.
    pub fn words(&self) -> Option<String> {
        let clock = self.hours.clock.clock_face();
        match self.billing {
            Billing::ByClock if self.hours.billed == self.hours.clock => None,
            Billing::ByClock => {
                let billed = self.hours.billed.clock_face();
                Some(format!("billed {billed} by the shop's rounding; the clock says {clock}"))
            }
            Billing::Flat { .. } => {
                Some(format!("billed {} flat; the clock says {clock}", self.hours.billed.clock_face()))
            }
            Billing::NoCharge => Some(format!("no charge; the clock says {clock}")),
        }
    }
}

/// Returns both hours of some jobs at `now`; a job that is not in the book has none.
pub fn job_hours(book: &Book, jobs: &[JobId], now: Moment) -> Vec<JobHours> {
    let mut clock: Named<Length> = Named::default();
    let mut days: Named<Vec<(Day, Length)>> = Named::default();
    for span in book.ledger.spans(now).into_iter().filter(|span| !span.activity.is_pause()) {
        let Some(job) = book.job_of(span.on).filter(|job| jobs.contains(job)) else { continue };
        let sum = clock.of(match book.booked(span.on) {
            On::Line(line) => line.0,
            On::Job(_) | On::NoJob => job.0,
        });
        *sum = *sum + span.length();
        by_day(span).into_iter().for_each(|(day, part)| add(days.of(job.0), day, part.length()));
    }
    let charge = book.shop.rules().bill;
    let hours = |&job: &JobId| {
        book.jobs.job(job)?;
        let lines = lines(book, job, &clock, charge.rule);
        let minimum = lacking(&lines, charge);
        let no_line = clock.get(job.0).copied().unwrap_or_default();
        let days = days.get(job.0).cloned().unwrap_or_default();
        let all = lines.iter().fold(Both { clock: no_line, billed: minimum }, |sum, line| sum + line.hours);
        Some(JobHours { job, by_pay: by_pay(&lines, minimum), lines, no_line, minimum, all, days })
    };
    jobs.iter().filter_map(hours).collect()
}

fn lines(book: &Book, job: JobId, clock: &Named<Length>, rule: LengthRule) -> Vec<LineHours> {
    let hours = |line: &crate::book::jobs::JobLine| {
        let clock = clock.get(line.id.0).copied().unwrap_or_default();
        let billed = match line.billing {
            Billing::ByClock => rounded(clock, rule),
            Billing::Flat { minutes } => Length::from_ms(u64::from(minutes) * 60_000),
            Billing::NoCharge => Length::ZERO,
        };
        LineHours { line: line.id, pay: line.pay, billing: line.billing, hours: Both { clock, billed } }
    };
    book.jobs.lines_of(job).map(hours).collect()
}

/// Returns what the least charge of a job adds to what the customer pays for it.
fn lacking(lines: &[LineHours], charge: Charge) -> Length {
    let of_customer = || lines.iter().filter(|line| line.pay == PayType::CustomerPay);
    let by_clock = |line: &LineHours| line.billing == Billing::ByClock && line.hours.clock > Length::ZERO;
    let billed = of_customer().map(|line| line.hours.billed).sum();
    if of_customer().any(by_clock) { beyond(charge.minimum, billed) } else { Length::ZERO }
}

fn by_pay(lines: &[LineHours], minimum: Length) -> Vec<(PayType, Both)> {
    let of = |pay| {
        let mut of_it = lines.iter().filter(|line| line.pay == pay).peekable();
        of_it.peek()?;
        let added = if pay == PayType::CustomerPay { minimum } else { Length::ZERO };
        let first = Both { clock: Length::ZERO, billed: added };
        Some((pay, of_it.fold(first, |sum, line| sum + line.hours)))
    };
    PayType::ALL.into_iter().filter_map(of).collect()
}

/// Adds time to a day; days come in their order, but for a journey over the date line.
fn add(days: &mut Vec<(Day, Length)>, day: Day, length: Length) {
    match days.binary_search_by_key(&day, |&(day, _)| day) {
        Ok(place) => days[place].1 = days[place].1 + length,
        Err(place) => days.insert(place, (day, length)),
    }
}
