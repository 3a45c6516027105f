//! What was agreed with an owner, told to the owner and to the office.
//!
//! What is signed is a text ([`text_to_sign`]): the phone shows it, the signature
//! goes with it, and the owner's sheet is made of the same lines. So it can be
//! told to the last byte whether a sheet still says what was signed.
//!
//! It is in the owner's language, and the signature keeps which that was: a boat whose owner
//! reads another one later compares what was signed in the language that was signed.
//!
//! The sentences that an owner reads stand in [`words`]. What is told here is
//! what was said to the owner anyway; no cost of the shop's own is known here.

pub mod words;

use crate::agreement::consent::{Agreed, Signed, Strokes};
use crate::agreement::estimate::{Cost, CostLine, Estimate};
use crate::agreement::overrun::Added;
use crate::book::Book;
use crate::book::agreements::{Given, Made, Recommended};
use crate::event::{BoatFacts, Reader, Recommendation, Reply};
use crate::id::{ConsentId, EstimateId, Hash, JobId};
use crate::moment::Day;
use crate::money::Currency;
use crate::money::minor::Minor;
use crate::text::{Label, Prose};
use crate::words::{Hole, Word, Words};

use super::owner_sheet;

/// A job's agreements, for the office.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Agreements {
    /// Its estimates, the first made first.
    pub estimates: Vec<Made>,
    /// Which of them was agreed to last.
    pub agreed: Option<EstimateId>,
    /// Consents.
    pub consents: Vec<Given>,
    /// What was recommended, with the owner's answer.
    pub recommended: Vec<(Recommended, Option<Reply>)>,
}

impl Agreements {
    /// Returns a job's agreements.
    pub fn of(book: &Book, job: JobId) -> Self {
        let of = &book.agreements;
        Self {
            estimates: of.estimates_of(job).cloned().collect(),
            agreed: of.agreed(job).map(|made| made.id),
            consents: of.consents_of(job).cloned().collect(),
            recommended: of.recommended_of(job).map(|it| (it.clone(), of.reply_to(it.id))).collect(),
        }
    }

    /// Returns it in words, a line each; none where nothing was agreed.
    pub fn words(&self) -> Vec<String> {
        let estimates = self.estimates.iter().map(words::estimate_in_short);
        let own = Words::own();
        let consents = self.consents.iter().map(|given| words::consent(&own, given, self.estimate_of(given)));
        let recommended = self.recommended.iter().map(|(it, reply)| words::recommended(&own, &it.facts, *reply));
        estimates.chain(consents).chain(recommended).collect()
    }

    fn estimate_of(&self, given: &Given) -> Option<&Estimate> {
        let estimate = given.consent.to.estimate()?;
        self.estimates.iter().find(|made| made.id == estimate).map(|made| &made.estimate)
    }
}

/// What was agreed on a job, for its owner.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AgreementSheet {
    /// For whom it is written.
    pub reader: Reader,
    /// The shop's name.
    pub shop: Label,
    /// The technician's name.
    pub technician: Label,
    /// The day on which the sheet was made.
    pub day: Day,
    /// The boat.
    pub boat: BoatFacts,
    /// What the job is.
    pub title: Label,
    /// The estimate that stands.
    pub estimate: Option<EstimateText>,
    /// Who agreed to what, the first first.
    pub consents: Vec<ConsentSheet>,
    /// What is estimated and agreed, and in all, where more was agreed than estimated; else nothing.
    pub in_all: Vec<String>,
    /// What was recommended and what the owner said.
    pub recommended: Vec<String>,
}

/// An estimate as it is told: rows with their amounts, sums, terms.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct EstimateText {
    /// There is none: the owner waives it.
    pub is_waiver: bool,
    /// What it is of.
    pub head: Vec<String>,
    /// Its lines.
    pub lines: Vec<(String, String)>,
    /// What they come to.
    pub sums: Vec<(String, String)>,
    /// On which terms.
    pub terms: Vec<String>,
}

impl EstimateText {
    /// Returns it as the text that is signed.
    pub fn text(&self, words: &Words) -> Prose {
        let row = |(what, amount): &(String, String)| {
            words.fill(Word::Labelled, &[("label", Hole::Text(what)), ("text", Hole::Text(amount))])
        };
        let rows = self.lines.iter().chain(&self.sums).map(row);
        let all: Vec<String> = self.head.iter().cloned().chain(rows).chain(self.terms.iter().cloned()).collect();
        Prose::new(&all.join("\n"))
    }
}

/// A consent, with what was signed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ConsentSheet {
    /// Its name in the log.
    pub id: ConsentId,
    /// Who agreed to what, when, by which way.
    pub words: String,
    /// What was signed, where something was.
    pub signed: Option<SignedSheet>,
}

/// A signature as a sheet shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SignedSheet {
    /// Who signed, and when.
    pub by: String,
    /// The signature; empty where a name was typed instead.
    pub drawn: Strokes,
    /// The SHA-256 of what was signed.
    pub hash: Hash,
    /// What was signed.
    pub text: Prose,
    /// For whom that was written.
    pub reader: Reader,
    /// How that stands to what the book says now.
    pub state: SignedState,
}

/// How what was signed stands to what the book says now.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SignedState {
    /// It is the same to the last byte.
    Same,
    /// It is the same to the last byte in the language that was signed, which is not the sheet's.
    Translated,
    /// What the book says now is something else.
    Differs,
    /// The text that is kept is not the one that the hash was made of.
    Broken,
}

/// Returns what the owner of a job's boat reads.
pub fn owners_reader(book: &Book, job: JobId) -> Reader {
    book.jobs.job(job).map(|job| super::reader(book, job)).unwrap_or_default()
}

/// Returns what was agreed on a job, for a reader; nothing for a job that is not in the book.
pub fn agreement_sheet(book: &Book, job: JobId, day: Day, reader: Reader) -> Option<AgreementSheet> {
    let found = book.jobs.job(job)?;
    let (of, words) = (Agreements::of(book, job), Words::of(reader));
    let estimate = of.estimates.last().map(|made| estimate_text(book, made, &words));
    let consents = of.consents.iter().map(|given| consent_sheet(book, &of, given, &words)).collect();
    let more = book.agreements.agreed(job).map(|made| (made, book.agreements.added_to(made.id)));
    let in_all = more
        .filter(|(_, more)| more.amount > Minor::NOTHING)
        .map(|(made, more)| words::agreed(&words, (made.estimate.totals().total(), made.estimate.currency), more));
    let recommended = of.recommended.iter().map(|(it, reply)| words::recommended(&words, &it.facts, *reply));
    Some(AgreementSheet {
        reader,
        shop: book.technician.shop.clone(),
        technician: book.technician.name.clone(),
        day,
        boat: super::boat(book, found),
        title: found.title.clone(),
        estimate,
        consents,
        in_all: in_all.unwrap_or_default(),
        recommended: recommended.collect(),
    })
}

fn consent_sheet(book: &Book, of: &Agreements, given: &Given, words: &Words) -> ConsentSheet {
    let signed = given.consent.signed.as_ref().map(|signed| SignedSheet {
        by: words::signed_by(words, &given.consent),
        drawn: signed.drawn.clone(),
        hash: signed.hash,
        text: signed.text.clone(),
        reader: signed.reader,
        state: state(book, given, signed, words.reader()),
    });
    ConsentSheet { id: given.id, words: words::consent(words, given, of.estimate_of(given)), signed }
}

/// Returns how what was signed stands to what is told now: compared in the language that
/// was signed, whatever the owner reads today.
fn state(book: &Book, given: &Given, signed: &Signed, reader: Reader) -> SignedState {
    let to = &given.consent.to;
    let as_before =
        |reader| (*to == Agreed::Work).then(|| work_text(book, given.job, reader, Work::WholeAsBefore)).flatten();
    let says_so = |reader| {
        let texts = [text_to_sign(book, given.job, to, reader), as_before(reader)];
        texts.iter().any(|text| text.as_ref() == Some(&signed.text))
    };
    match () {
        () if !signed.is_whole() => SignedState::Broken,
        () if says_so(reader) => SignedState::Same,
        () if says_so(signed.reader) => SignedState::Translated,
        () => SignedState::Differs,
    }
}

/// What an owner is told of an estimate and of what was agreed, on the work summary.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct AgreedSheet {
    /// What was estimated.
    pub total: (Minor, Currency),
    /// What was agreed beyond it.
    pub more: Added,
}

/// Returns what an owner is told of an estimate and of what was agreed, for the work summary;
/// none unless the estimate says that it shall be told there.
pub fn agreed_for_summary(book: &Book, job: JobId) -> Option<AgreedSheet> {
    let made = book.agreements.agreed(job).filter(|made| made.estimate.on_summary && !made.estimate.is_waiver())?;
    let total = (made.estimate.totals().total(), made.estimate.currency);
    Some(AgreedSheet { total, more: book.agreements.added_to(made.id) })
}

/// Returns what was recommended on a job, and what the owner said.
pub fn recommended_for_summary(book: &Book, job: JobId) -> Vec<(Recommendation, Option<Reply>)> {
    let of = &book.agreements;
    of.recommended_of(job).map(|it| (it.facts.clone(), of.reply_to(it.id))).collect()
}

/// Returns the text that is shown to a reader before somebody agrees to it, as it stands now.
pub fn text_to_sign(book: &Book, job: JobId, to: &Agreed, reader: Reader) -> Option<Prose> {
    let words = Words::of(reader);
    match to {
        Agreed::Estimate(estimate) => {
            let made = book.agreements.estimate(*estimate).filter(|made| made.job == job)?;
            Some(estimate_text(book, made, &words).text(&words))
        }
        Agreed::More { estimate, what, added, minutes } => {
            let made = book.agreements.estimate(*estimate).filter(|made| made.job == job)?;
            let mut lines = head(book, job, Word::MoreThanEstimate, &words)?;
            lines.extend(words::more(&words, made, what, *added, *minutes));
            Some(Prose::new(&lines.join("\n")))
        }
        Agreed::Work => work_text(book, job, reader, Work::OfTheOwner),
    }
}

/// What a text tells of the work that is accepted.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Work {
    /// What the owner's page tells.
    OfTheOwner,
    /// All of it: lines that are internal too, and where things lie. So it was shown until
    /// November 2026, and what was signed then still says the same.
    WholeAsBefore,
}

fn work_text(book: &Book, job: JobId, reader: Reader, tells: Work) -> Option<Prose> {
    let words = Words::of(reader);
    let mut lines = head(book, job, Word::WorkAccepted, &words)?;
    let day = book.jobs.job(job)?.opened.day();
    let mut sheet = owner_sheet(book, job, day)?;
    let is_whole = tells == Work::WholeAsBefore;
    if is_whole {
        sheet.stories = super::stories(book, job, |_| true);
    }
    lines.extend(words::work(&words, &sheet, is_whole));
    Some(Prose::new(&lines.join("\n")))
}

/// Returns an estimate as it is told.
pub fn estimate_text(book: &Book, made: &Made, words: &Words) -> EstimateText {
    let estimate = &made.estimate;
    let currency = estimate.currency;
    let figure = |amount: Minor| words.figure(amount, currency);
    let kind = if estimate.is_waiver() { Word::Waiver } else { Word::Estimate };
    let mut head = head(book, made.job, kind, words).unwrap_or_default();
    head.extend(words::asked_for(words, &estimate.what_for));
    head.push(words::made_on(words, made.at.day()));
    if estimate.is_waiver() {
        let terms = words::waiver_terms(words, estimate);
        return EstimateText { is_waiver: true, head, terms, ..EstimateText::default() };
    }
    let line = |line: &CostLine| (words::line(words, line), figure(line.amount));
    let totals = estimate.totals();
    let [labour, parts, supplies, other, tax] = Cost::ALL;
    let kinds = [(labour, totals.labour), (parts, totals.parts), (supplies, totals.supplies), (other, totals.other)];
    let kinds = kinds.into_iter().filter(|(_, amount)| *amount > Minor::NOTHING);
    let sums = kinds.map(|(kind, amount)| (words::sum(words, kind), figure(amount)));
    let before_tax = (words.say(Word::BeforeTax), figure(totals.before_tax()));
    let tax = (words::sum(words, tax), figure(totals.tax));
    let total = (words.say(Word::Total), words.amount(totals.total(), currency));
    EstimateText {
        is_waiver: false,
        head,
        lines: estimate.lines.iter().filter(|line| line.cost != Cost::Tax).map(line).collect(),
        sums: sums.chain([before_tax, tax, total]).collect(),
        terms: words::terms(words, estimate),
    }
}

fn head(book: &Book, job: JobId, kind: Word, words: &Words) -> Option<Vec<String>> {
    let found = book.jobs.job(job)?;
    let boat = super::boat(book, found);
    Some(words::head(words, kind, book.technician.shop.as_str(), &boat, found.title.as_str()))
}

#[cfg(test)]
mod tests;
