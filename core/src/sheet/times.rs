//! What an owner may see of a job's time, where the shop wants it.
//!
//! Rule: the clock's time of labour and of diagnosis, on those lines that the customer pays
//! by the clock. Whatever is flat, free, under warranty, internal or on no line is the shop's
//! and is never in it. Neither are travel, waiting, parts runs and paperwork: whether they
//! are billed, and how, the office's price list says, which the phone does not know. Told in
//! whole minutes that add up to their sum's whole minutes; a bill may round them.

use super::Share;
use crate::book::Book;
use crate::book::ledger::{Span, by_activity};
use crate::event::{Activity, Billing, On, PayType};
use crate::hours::rounding::in_minutes;
use crate::id::JobId;
use crate::moment::{Length, Moment};

/// Returns what an owner may see of a job's time at `now`, in the order in which activities are offered.
pub fn owners_time(book: &Book, job: JobId, now: Moment) -> Vec<Share> {
    let spans: Vec<Span> = book.ledger.spans(now).into_iter().filter(|span| is_told(book, job, span)).collect();
    let (activities, exact): (Vec<_>, Vec<Length>) = by_activity(spans.iter()).into_iter().unzip();
    activities.into_iter().zip(in_minutes(&exact)).map(|(activity, length)| Share { activity, length }).collect()
}

fn is_told(book: &Book, job: JobId, span: &Span) -> bool {
    let On::Line(line) = book.booked(span.on) else { return false };
    let is_charged = |pay, billing| pay == PayType::CustomerPay && billing == Billing::ByClock;
    matches!(span.activity, Activity::Labour | Activity::Diagnosis)
        && book.jobs.line(line).is_some_and(|line| line.job == job && is_charged(line.pay, line.billing))
}
