//! The sentences of an agreement that an owner reads, each whole, with what is put into it.
//!
//! They are messages of [`crate::words`], so they are told in the owner's language; the
//! office and the technician read the same ones in English. A text that was signed is
//! kept as it was shown, so a sentence may be put better: the sheet then says that it
//! differs from what was signed. So what is part of such a text ([`head()`], [`line()`], [`sum()`],
//! [`terms`], [`waiver_terms`], [`more`], [`work`]) keeps to [`Words::amount`] and
//! [`Words::figure`]; all other money is written as the language writes it.

use crate::agreement::consent::{Agreed, Consent, Way};
use crate::agreement::estimate::{Cost, CostLine, Estimate, Form, TakingApart};
use crate::agreement::overrun::{Added, Overrun};
use crate::agreement::rules::{Demand, Duty, RuleSet};
use crate::book::agreements::{Given, Made};
use crate::closing::OffItem;
use crate::event::{BoatFacts, Recommendation, Reply};
use crate::moment::{Day, Length};
use crate::money::Currency;
use crate::money::minor::Minor;
use crate::sheet::{OwnerSheet, SignedState};
use crate::text::Prose;
use crate::words::Hole::{Count, Text};
use crate::words::{Word, Words};

/// Returns what a kind of cost is called as a sum.
pub fn sum(words: &Words, cost: Cost) -> String {
    words.say(match cost {
        Cost::Labour { .. } => Word::CostLabour,
        Cost::Parts { .. } => Word::Parts,
        Cost::ShopSupplies => Word::CostSupplies,
        Cost::Other => Word::CostOther,
        Cost::Tax => Word::CostTax,
    })
}

/// Returns of what a sheet is.
pub fn head(words: &Words, kind: Word, shop: &str, boat: &BoatFacts, title: &str) -> Vec<String> {
    let kind = words.say(kind);
    let of = [kind.as_str(), shop].into_iter().filter(|it| !it.is_empty()).collect::<Vec<_>>().join(", ");
    let who = [boat.name.as_str(), boat.owner.as_str(), boat.hin.as_str()];
    let boat: Vec<&str> = who.into_iter().filter(|it| !it.is_empty()).collect();
    vec![of, words.labelled(Word::Boat, &boat.join(", ")), words.labelled(Word::Work, title)]
}

/// Returns what is asked for.
pub fn asked_for(words: &Words, what: &Prose) -> Option<String> {
    (!what.is_empty()).then(|| words.labelled(Word::AskedFor, &one_line(what)))
}

/// Returns when it was made.
pub fn made_on(words: &Words, day: Day) -> String {
    words.fill(Word::MadeOn, &[("day", Text(&words.day(day)))])
}

/// Returns a line of an estimate.
pub fn line(words: &Words, line: &CostLine) -> String {
    let kind = sum(words, line.cost);
    let what = line.words.or(&kind);
    match line.cost {
        Cost::Labour { minutes: 0 } => what.to_owned(),
        Cost::Labour { minutes } => format!("{what}, {} h", hours(u64::from(minutes))),
        Cost::Parts { count } if count.0 != 1 => format!("{what} × {count}"),
        _ => what.to_owned(),
    }
}

/// Returns the terms of an estimate.
pub fn terms(words: &Words, estimate: &Estimate) -> Vec<String> {
    let promise = words.say(match estimate.form {
        Form::Itemised => Word::PromiseItemised,
        Form::AtMost => Word::PromiseAtMost,
    });
    let valid = estimate.valid_until.map(|day| words.fill(Word::ValidUntil, &[("day", Text(&words.day(day)))]));
    let apart = estimate.taking_apart.iter().flat_map(|apart| taking_apart(words, apart, estimate.currency));
    [promise].into_iter().chain(valid).chain(apart).chain([followed(words, estimate.rules)]).collect()
}

/// Returns what an owner says who waives the estimate.
pub fn waiver_terms(words: &Words, estimate: &Estimate) -> Vec<String> {
    let valid = estimate.valid_until.map(|day| words.fill(Word::ValidUntil, &[("day", Text(&words.day(day)))]));
    [words.say(Word::WaiverTerm)].into_iter().chain(valid).chain([followed(words, estimate.rules)]).collect()
}

/// Returns which rule is followed, and that nobody here gives legal advice.
fn followed(words: &Words, rules: RuleSet) -> String {
    let counsel = words.say(Word::Counsel);
    let Some(rule) = rules.rule() else { return words.fill(Word::FollowsNone, &[("counsel", Text(&counsel))]) };
    let covers = covers(words, rules);
    let holes = [("law", Text(rule.law)), ("covers", Text(&covers)), ("counsel", Text(&counsel))];
    words.fill(Word::FollowsRule, &holes)
}

/// Returns which boats and which work a rule is for.
fn covers(words: &Words, rules: RuleSet) -> String {
    match rules {
        RuleSet::None => String::new(),
        RuleSet::California => words.say(Word::CoversCalifornia),
        RuleSet::NewJersey => words.say(Word::CoversNewJersey),
        RuleSet::MiamiDade => words.say(Word::CoversMiamiDade),
    }
}

fn taking_apart(words: &Words, apart: &TakingApart, currency: Currency) -> Vec<String> {
    let price = words.amount(apart.price, currency);
    let mut told = vec![words.fill(Word::ApartPrice, &[("price", Text(&price))])];
    let destroyed: Vec<&str> = apart.destroyed.iter().map(|what| what.as_str()).collect();
    if !destroyed.is_empty() {
        told.push(words.fill(Word::ApartDestroyed, &[("what", Text(&destroyed.join(", ")))]));
    }
    if apart.days > 0 {
        told.push(words.fill(Word::ApartDays, &[("days", Count(apart.days.into()))]));
    }
    if !apart.not_as_it_was.is_empty() {
        told.push(words.fill(Word::NotAsItWas, &[("why", Text(apart.not_as_it_was.as_str()))]));
    }
    told
}

/// Returns what is agreed to beyond an estimate.
pub fn more(words: &Words, made: &Made, what: &Prose, added: Minor, minutes: u32) -> Vec<String> {
    let currency = made.estimate.currency;
    let work = (minutes > 0).then(|| words.fill(Word::MoreWork, &[("hours", Text(&hours(u64::from(minutes))))]));
    let (day, total) = (words.day(made.at.day()), words.amount(made.estimate.totals().total(), currency));
    let lines = [
        Some(words.fill(Word::ToTheEstimate, &[("day", Text(&day)), ("total", Text(&total))])),
        Some(words.labelled(Word::Added, &one_line(what))),
        work,
        Some(words.labelled(Word::AddedCost, &words.amount(added, currency))),
        Some(words.say(Word::Counsel)),
    ];
    lines.into_iter().flatten().collect()
}

/// Returns what was done, as far as its owner is told; with where things lie only for texts
/// that were signed with it.
pub fn work(words: &Words, sheet: &OwnerSheet, with_places: bool) -> Vec<String> {
    let mut told = Vec::new();
    for story in &sheet.stories {
        let parts =
            [(Word::YouToldUs, &story.complaint), (Word::WeFound, &story.cause), (Word::WeDid, &story.correction)];
        let parts = parts.into_iter().filter(|(_, text)| !text.is_empty());
        told.extend(parts.map(|(name, text)| words.labelled(name, &one_line(text))));
    }
    let list = |name, what: Vec<String>| (!what.is_empty()).then(|| words.labelled(name, &what.join("; ")));
    let steps = sheet.steps.iter().filter(|step| step.done).map(|step| step.text.to_string()).collect();
    let parts = sheet.parts.iter().map(|part| format!("{} × {}", part.what, part.count)).collect();
    let off = sheet.off.iter().map(|item| if with_places { words.off_and_where(item) } else { words.off(item) });
    let off = off.collect();
    let lists = [list(Word::Done, steps), list(Word::Parts, parts), list(Word::StillOff, off)];
    told.extend(lists.into_iter().flatten());
    told.push(words.say(if sheet.finished { Word::MessageFinished } else { Word::MessageInWork }));
    told
}

impl Words {
    /// Returns an item with how many of it are off.
    pub fn off(&self, item: &OffItem) -> String {
        let named = [item.what.as_str(), item.size.as_str(), item.side.as_str()].into_iter();
        let what = named.filter(|part| !part.is_empty()).collect::<Vec<_>>().join(", ");
        let (what, off, of) = (("item", Text(&what)), ("off", Count(item.off.0)), ("of", Count(item.of.0)));
        match (item.off.0, item.of.0) {
            (1, 1) => self.fill(Word::IsOff, &[what]),
            (all_off, all) if all_off == all => self.fill(Word::AllOff, &[what, off]),
            _ => self.fill(Word::SomeOff, &[what, off, of]),
        }
    }

    fn off_and_where(&self, item: &OffItem) -> String {
        let off = self.off(item);
        if item.stowed.is_empty() {
            return off;
        }
        self.fill(Word::Lies, &[("item", Text(&off)), ("place", Text(item.stowed.as_str()))])
    }
}

/// Returns who agreed to what, when and how; the estimate is that to which it belongs.
pub fn consent(words: &Words, given: &Given, estimate: Option<&Estimate>) -> String {
    let Consent { to, at, way, signed, .. } = &given.consent;
    let to = match to {
        Agreed::Estimate(_) if estimate.is_some_and(Estimate::is_waiver) => words.say(Word::TheWaiver),
        Agreed::Estimate(_) => words.say(Word::TheEstimate),
        Agreed::More { what, added, minutes, .. } => {
            let cost = estimate.map_or_else(|| added.units().to_string(), |it| words.money(*added, it.currency));
            let time = if *minutes > 0 { format!(", {} h", hours(u64::from(*minutes))) } else { String::new() };
            let holes = [("cost", Text(&cost)), ("time", Text(&time)), ("what", Text(&one_line(what)))];
            words.fill(Word::MoreAgreed, &holes)
        }
        Agreed::Work => words.say(Word::TheWork),
    };
    let way = match way {
        Way::InPerson => words.say(Word::InPerson),
        Way::Telephone { number } if number.is_empty() => words.say(Word::ByTelephone),
        Way::Telephone { number } => words.fill(Word::CalledNumber, &[("number", Text(number.as_str()))]),
        Way::Writing => words.say(Word::InWriting),
    };
    let way = match signed {
        Some(signed) if signed.drawn.is_empty() => [way, words.say(Word::NameAsSignature)].join(", "),
        Some(_) => [way, words.say(Word::Signed)].join(", "),
        None => way,
    };
    let (who, when) = (who(words, &given.consent), words.when(*at));
    let holes = [("when", Text(&when)), ("way", Text(&way)), ("who", Text(&who)), ("what", Text(&to))];
    capital(words.fill(Word::Consent, &holes))
}

/// Returns a sentence with a capital letter: some languages begin a day with none.
pub(crate) fn capital(sentence: String) -> String {
    let mut letters = sentence.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

/// Returns who signed, and when.
pub fn signed_by(words: &Words, consent: &Consent) -> String {
    [who(words, consent), words.when(consent.at)].join(", ")
}

fn who(words: &Words, consent: &Consent) -> String {
    consent.by.or(&words.say(Word::SomebodyUnnamed)).to_owned()
}

/// Returns how what was signed stands to the sheet.
pub fn state(words: &Words, state: SignedState) -> String {
    words.say(match state {
        SignedState::Same => Word::StateSame,
        SignedState::Translated => Word::StateTranslated,
        SignedState::Differs => Word::StateDiffers,
        SignedState::Broken => Word::StateBroken,
    })
}

/// Returns what a hash is of.
pub fn hash(words: &Words, hash: crate::id::Hash) -> String {
    words.labelled(Word::HashOf, &hash.to_string())
}

/// Returns what was recommended, and what the owner said.
pub fn recommended(words: &Words, facts: &Recommendation, reply: Option<Reply>) -> String {
    let cost = |(amount, currency)| {
        let figure = words.money(amount, currency);
        [", ", &words.fill(Word::About, &[("figure", Text(&figure))])].concat()
    };
    let what = [facts.what.as_str(), &facts.cost.map(cost).unwrap_or_default()].concat();
    let why = if facts.why.is_empty() { String::new() } else { format!(" ({})", one_line(&facts.why)) };
    let said = words.say(match reply {
        Some(Reply::Accepted) => Word::Accepted,
        Some(Reply::Declined) => Word::Declined,
        None => Word::NotAnswered,
    });
    [words.fill(Word::Labelled, &[("label", Text(&what)), ("text", Text(&said))]), why].concat()
}

/// Returns an estimate in one line, for the office.
pub fn estimate_in_short(made: &Made) -> String {
    let totals = made.estimate.totals();
    let work = if totals.minutes > 0 { format!(", {} h", hours(u64::from(totals.minutes))) } else { String::new() };
    let own = Words::own();
    let (day, total) = (own.day(made.at.day()), own.money(totals.total(), made.estimate.currency));
    if made.estimate.is_waiver() {
        return format!("Of {day}: the owner waives the estimate; rule: {}", made.estimate.rules.words());
    }
    format!("Estimate of {day}: {total}{work}; rule: {}", made.estimate.rules.words())
}

/// Returns what was estimated and agreed, for the work summary.
pub fn agreed(words: &Words, (total, currency): (Minor, Currency), more: Added) -> Vec<String> {
    let told = |word, amount| words.labelled(word, &words.money(amount, currency));
    let beyond = (more.amount > Minor::NOTHING).then(|| told(Word::AgreedBeyond, more.amount));
    let in_all = told(Word::AgreedInAll, total.plus(more.amount));
    [told(Word::Estimated, total)].into_iter().chain(beyond).chain([in_all]).collect()
}

/// Returns what to write to the owner where more is used than was agreed.
pub fn overrun_message(words: &Words, boat: &str, job: &str, found: &Overrun, currency: Currency) -> Vec<String> {
    let mut told = vec![words.fill(Word::OverrunMessage, &[("boat", Text(boat)), ("job", Text(job))])];
    let ((minutes, clocked), (cost, comes_to)) = (found.minutes, found.cost);
    if clocked > minutes {
        let (agreed, clocked) = (hours(minutes), hours(clocked));
        told.push(words.fill(Word::OverrunHours, &[("clocked", Text(&clocked)), ("agreed", Text(&agreed))]));
    }
    if comes_to > cost {
        let (agreed, cost) = (words.money(cost, currency), words.money(comes_to, currency));
        told.push(words.fill(Word::OverrunCost, &[("cost", Text(&cost)), ("agreed", Text(&agreed))]));
    }
    told.push(words.say(Word::OverrunAsk));
    told
}

/// Returns what a rule demands that is not there, for the technician.
pub const fn demand(demand: Demand) -> &'static str {
    match demand {
        Demand::ConsentBefore => "nobody has agreed to the estimate yet: have it agreed to before the work",
        Demand::ConsentInWriting => "the consent is not in writing: have the estimate signed",
        Demand::WhatFor => "what is asked for is not written: make the estimate anew with it",
        Demand::PriceOfTakingApart => "the price of taking apart and putting together again is not written",
        Demand::WhatIsDestroyed => {
            "nothing is named that taking apart destroys: are there gaskets, seals or O-rings, and does the price include them?"
        }
        Demand::OthersItemised => {
            "an other charge does not say what it is for: haul and transport are to stand by name"
        }
        Demand::TimeToReassemble => "the longest time until it is together again is not written",
        Demand::NameOfConsent => "a consent to more has no name",
        Demand::WhatIsAdded => "a consent to more does not say which parts and labour",
        Demand::CostAdded => "a consent to more does not say the added cost",
        Demand::WaiverSigned => "the waiver of the estimate is not signed: have it signed before the work",
        Demand::WaiverInWriting => "the estimate is not waived in writing: have the waiver signed before the work",
    }
}

/// Returns what a rule asks of the shop beyond what is kept, for the technician.
pub const fn duty(duty: Duty) -> &'static str {
    match duty {
        Duty::NoLienOtherwise => "there is no lien unless the article was followed",
        Duty::ConsentOnInvoice => {
            "a consent by word of mouth to more stands on the work order and on the invoice: date, time, name, \
             number that was called, parts, labour and the added cost"
        }
        Duty::InvoiceApart => {
            "the invoice has all work, that under warranty too, work and parts apart with a subtotal of each \
             before sales tax, and sales tax by itself"
        }
        Duty::UsedPartsNamed => "the invoice says which parts are used, rebuilt or reconditioned",
        Duty::CopyOfInvoice => "the customer gets a copy of the invoice",
        Duty::ShopsAddress => "the shop's name and address stand there, and a telephone number that is the listed one",
        Duty::TimeAndMaterials => "work by time and materials may be done upon authorization for a specific job",
        Duty::HaulItemised => "charges for haul and transport are disclosed and itemised",
    }
}

/// Returns minutes as hours and minutes.
pub fn hours(minutes: u64) -> String {
    Length::from_ms(minutes * 60_000).clock_face()
}

fn one_line(text: &Prose) -> String {
    text.as_str().split_whitespace().collect::<Vec<_>>().join(" ")
}
