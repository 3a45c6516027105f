//! The sentences of an agreement that an owner reads, each whole, with what is put into it.
//!
//! They stand together so that they can be told in other languages. A text that
//! was signed is kept as it was shown, so a sentence may be put better here: the
//! sheet then says that it differs from what was signed.

use crate::agreement::consent::{Agreed, Consent, Way};
use crate::agreement::estimate::{Cost, CostLine, Estimate, Form, TakingApart};
use crate::agreement::overrun::Added;
use crate::agreement::rules::Demand;
use crate::book::agreements::{Given, Made};
use crate::event::{BoatFacts, Recommendation, Reply};
use crate::moment::{Day, Length, Moment};
use crate::money::Currency;
use crate::money::minor::Minor;
use crate::sheet::{OwnerSheet, SignedState};
use crate::text::Prose;
use crate::view::{day_words, hour_minute};

/// What an estimate is called.
pub const ESTIMATE: &str = "Estimate";
/// What a consent to more is called.
pub const MORE: &str = "More than the estimate";
/// What the acceptance of work is called.
pub const WORK: &str = "Work accepted";
/// The sum before tax.
pub const BEFORE_TAX: &str = "Before tax";
/// The sum of all.
pub const TOTAL: &str = "Total";
/// That nobody here gives legal advice.
pub const COUNSEL: &str = "This is no legal advice: local law and counsel decide.";

/// Returns what a kind of cost is called as a sum.
pub const fn sum(cost: Cost) -> &'static str {
    match cost {
        Cost::Labour { .. } => "Labour",
        Cost::Parts { .. } => "Parts",
        Cost::ShopSupplies => "Shop supplies",
        Cost::Other => "Other",
        Cost::Tax => "Tax",
    }
}

/// Returns of what a sheet is.
pub fn head(kind: &str, shop: &str, boat: &BoatFacts, title: &str) -> Vec<String> {
    let of = [kind, shop].into_iter().filter(|it| !it.is_empty()).collect::<Vec<_>>().join(", ");
    let who = [boat.name.as_str(), boat.owner.as_str(), boat.hin.as_str()];
    let boat: Vec<&str> = who.into_iter().filter(|it| !it.is_empty()).collect();
    vec![of, format!("Boat: {}", boat.join(", ")), format!("Work: {title}")]
}

/// Returns what is asked for.
pub fn asked_for(what: &Prose) -> Option<String> {
    (!what.is_empty()).then(|| format!("Asked for: {}", one_line(what)))
}

/// Returns when it was made.
pub fn made_on(day: Day) -> String {
    format!("Made on {}", full_day(day))
}

/// Returns a line of an estimate.
pub fn line(line: &CostLine) -> String {
    let what = line.words.or(sum(line.cost));
    match line.cost {
        Cost::Labour { minutes: 0 } => what.to_owned(),
        Cost::Labour { minutes } => format!("{what}, {} h", hours(u64::from(minutes))),
        Cost::Parts { count } if count.0 != 1 => format!("{what} × {count}"),
        _ => what.to_owned(),
    }
}

/// Returns the terms of an estimate.
pub fn terms(estimate: &Estimate) -> Vec<String> {
    let promise = match estimate.form {
        Form::Itemised => "This is an estimate. What goes beyond it is done when you have agreed to it.",
        Form::AtMost => "This is the most that the work will cost unless you agree to more.",
    };
    let valid = estimate.valid_until.map(|day| format!("It may be agreed to until {}.", full_day(day)));
    let apart = estimate.taking_apart.iter().flat_map(|apart| taking_apart(apart, estimate.currency));
    let rule = match estimate.rules.rule() {
        Some(rule) => format!("It follows {} ({}). {COUNSEL}", rule.law, rule.covers.value),
        None => format!("It follows no published rule of repair agreements. {COUNSEL}"),
    };
    [promise.to_owned()].into_iter().chain(valid).chain(apart).chain([rule]).collect()
}

fn taking_apart(apart: &TakingApart, currency: Currency) -> Vec<String> {
    let mut told =
        vec![format!("Taking apart to find out, and putting together again: {}.", apart.price.words(currency))];
    let destroyed: Vec<&str> = apart.destroyed.iter().map(|what| what.as_str()).collect();
    if !destroyed.is_empty() {
        told.push(format!("In that price, since taking apart destroys it: {}.", destroyed.join(", ")));
    }
    if apart.days > 0 {
        let days = if apart.days == 1 { "1 day" } else { &format!("{} days", apart.days) };
        told.push(format!("If you do not want the repair, it is together again within {days}."));
    }
    if !apart.not_as_it_was.is_empty() {
        told.push(format!("It may not go back as it was: {}.", apart.not_as_it_was));
    }
    told
}

/// Returns what is agreed to beyond an estimate.
pub fn more(made: &Made, what: &Prose, added: Minor, minutes: u32) -> Vec<String> {
    let currency = made.estimate.currency;
    let work = (minutes > 0).then(|| format!("Work: {} h more", hours(u64::from(minutes))));
    let total = made.estimate.totals().total();
    let lines = [
        Some(format!("To the estimate of {}, {}", full_day(made.at.day()), total.words(currency))),
        Some(format!("Added: {}", one_line(what))),
        work,
        Some(format!("Added cost: {}", added.words(currency))),
        Some(COUNSEL.to_owned()),
    ];
    lines.into_iter().flatten().collect()
}

/// Returns what was done, as far as its owner is told.
pub fn work(sheet: &OwnerSheet) -> Vec<String> {
    let mut told = Vec::new();
    for story in &sheet.stories {
        let parts = [("You told us", &story.complaint), ("We found", &story.cause), ("We did", &story.correction)];
        let parts = parts.into_iter().filter(|(_, text)| !text.is_empty());
        told.extend(parts.map(|(name, text)| format!("{name}: {}", one_line(text))));
    }
    let list = |name: &str, what: Vec<String>| (!what.is_empty()).then(|| format!("{name}: {}", what.join("; ")));
    let steps = sheet.steps.iter().filter(|step| step.done).map(|step| step.text.to_string()).collect();
    let parts = sheet.parts.iter().map(|part| format!("{} × {}", part.what, part.count)).collect();
    let off = sheet.off.iter().map(ToString::to_string).collect();
    told.extend([list("Done", steps), list("Parts", parts), list("Still off", off)].into_iter().flatten());
    told.push(if sheet.finished { "The work is finished." } else { "The work goes on." }.to_owned());
    told
}

/// Returns who agreed to what, when and how.
pub fn consent(given: &Given, currency: Option<Currency>) -> String {
    let Consent { to, by, at, way, signed } = &given.consent;
    let to = match to {
        Agreed::Estimate(_) => "the estimate".to_owned(),
        Agreed::More { what, added, minutes, .. } => {
            let cost = currency.map_or_else(|| added.units().to_string(), |currency| added.words(currency));
            let time = if *minutes > 0 { format!(", {} h", hours(u64::from(*minutes))) } else { String::new() };
            format!("{cost} more{time}: {}", one_line(what))
        }
        Agreed::Work => "the work as it was done".to_owned(),
    };
    let number = match way {
        Way::Telephone { number } if !number.is_empty() => format!(" (called {number})"),
        _ => String::new(),
    };
    let drawn = match signed {
        Some(signed) if signed.drawn.is_empty() => ", name typed as signature",
        Some(_) => ", signed",
        None => "",
    };
    format!("{}, {}{number}{drawn}: {} agreed to {to}", when(*at), way.words(), by.or("somebody unnamed"))
}

/// Returns who signed, and when.
pub fn signed_by(consent: &Consent) -> String {
    format!("{}, {}", consent.by.or("somebody unnamed"), when(consent.at))
}

/// Returns how what was signed stands to the sheet.
pub const fn state(state: SignedState) -> &'static str {
    match state {
        SignedState::Same => "This sheet says what was signed.",
        SignedState::Differs => "This sheet differs from what was signed. What was signed:",
        SignedState::Broken => {
            "What is kept as signed does not fit its SHA-256: it was changed after it was signed. What is kept:"
        }
    }
}

/// Returns what a hash is of.
pub fn hash(hash: crate::id::Hash) -> String {
    format!("SHA-256 of what was signed: {hash}")
}

/// Returns what was recommended, and what the owner said.
pub fn recommended(facts: &Recommendation, reply: Option<Reply>) -> String {
    let cost = facts.cost.map(|(amount, currency)| format!(", about {}", amount.words(currency))).unwrap_or_default();
    let why = if facts.why.is_empty() { String::new() } else { format!(" ({})", one_line(&facts.why)) };
    let said = match reply {
        Some(Reply::Accepted) => "accepted",
        Some(Reply::Declined) => "declined",
        None => "not answered yet",
    };
    format!("{}{cost}: {said}{why}", facts.what)
}

/// Returns an estimate in one line, for the office.
pub fn estimate_in_short(made: &Made) -> String {
    let totals = made.estimate.totals();
    let work = if totals.minutes > 0 { format!(", {} h", hours(u64::from(totals.minutes))) } else { String::new() };
    let total = totals.total().words(made.estimate.currency);
    format!("Estimate of {}: {total}{work}; rule: {}", full_day(made.at.day()), made.estimate.rules.words())
}

/// Returns what was estimated and agreed, for the work summary.
pub fn agreed(estimate: &Estimate, more: Added) -> Vec<String> {
    let currency = estimate.currency;
    let total = estimate.totals().total();
    let mut told = vec![format!("Estimated: {}", total.words(currency))];
    if more.amount > Minor::NOTHING {
        told.push(format!("Agreed beyond it: {}", more.amount.words(currency)));
    }
    told.push(format!("Agreed in all: {}", total.plus(more.amount).words(currency)));
    told
}

/// Returns what a rule demands that is not there, for the technician.
pub const fn demand(demand: Demand) -> &'static str {
    match demand {
        Demand::ConsentBefore => "nobody has agreed to the estimate yet: have it agreed to before the work",
        Demand::ConsentInWriting => "the consent is not in writing: have the estimate signed",
        Demand::WhatFor => "what is asked for is not written: make the estimate anew with it",
        Demand::PriceOfTakingApart => "the price of taking apart and putting together again is not written",
        Demand::TimeToReassemble => "the longest time until it is together again is not written",
        Demand::NameOfConsent => "a consent to more has no name",
        Demand::WhatIsAdded => "a consent to more does not say which parts and labour",
        Demand::CostAdded => "a consent to more does not say the added cost",
    }
}

/// Returns minutes as hours and minutes.
pub fn hours(minutes: u64) -> String {
    Length::from_ms(minutes * 60_000).clock_face()
}

/// Returns a moment with its whole day.
pub fn when(at: Moment) -> String {
    format!("{}, {}", full_day(at.day()), hour_minute(at))
}

/// Returns a day in words, always with its year.
pub fn full_day(day: Day) -> String {
    day_words(day, day.plus(-366).unwrap_or(day))
}

fn one_line(text: &Prose) -> String {
    text.as_str().split_whitespace().collect::<Vec<_>>().join(" ")
}
