//! What was agreed on a job, as its page and the clock show it.
//!
//! Whether anything is agreed is asked at every tap, so that is a look into a
//! list; how much of it is used is reckoned only for a job that has an agreed
//! estimate, once a minute, from the days since the job was opened.

use crate::agreement::consent::{Agreed, Stroke, Strokes};
use crate::agreement::overrun::{Overrun, Standing, Used, overrun};
use crate::agreement::rules::{Cited, Demand, RuleSet, missing};
use crate::book::Book;
use crate::book::agreements::{Made, Recommended};
use crate::event::{Activity, On, PayType, Reply};
use crate::id::{ConsentId, EstimateId, JobId, RecommendationId};
use crate::moment::Moment;
use crate::sheet::SignedState;
use crate::sheet::agreement::words::capital;
use crate::sheet::agreement::{ConsentSheet, agreement_sheet, estimate_text, owners_reader, text_to_sign, words};
use crate::text::Label;
use crate::words::Words;

use super::{place, such_jobs_took};

/// What was agreed on a job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AgreementCard {
    /// The boat and what the job is.
    pub title: String,
    /// The owner, as the boat's facts have it.
    pub owner: String,
    /// The estimate that stands.
    pub estimate: Option<EstimateCard>,
    /// What the rule that it follows asks for and what is not there.
    pub missing: Vec<String>,
    /// Who agreed to what, the last first.
    pub consents: Vec<ConsentRow>,
    /// What was recommended.
    pub recommended: Vec<RecommendedRow>,
}

/// The estimate that stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EstimateCard {
    /// The estimate.
    pub id: EstimateId,
    /// The owner waives it: there is nothing but that to agree to.
    pub is_waiver: bool,
    /// Its total, or that there is none.
    pub total: String,
    /// When it was made, and whether it was agreed to, in words.
    pub state: String,
    /// Whether it may be agreed to now.
    pub holds: bool,
    /// Whether that is what it waits for.
    pub is_open: bool,
    /// Its lines and sums: what and how much.
    pub rows: Vec<(String, String)>,
    /// Its terms.
    pub terms: Vec<String>,
}

/// A consent.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ConsentRow {
    /// Its name in the log.
    pub id: ConsentId,
    /// Who agreed to what, when, by which way.
    pub words: String,
    /// How what was signed stands to what is written now; nothing where nothing was signed.
    pub state: Option<(bool, String)>,
    /// The signature.
    pub drawn: Strokes,
}

/// Something that was recommended.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RecommendedRow {
    /// Its name in the log.
    pub id: RecommendationId,
    /// What, and what the owner said.
    pub words: String,
    /// What the owner said.
    pub reply: Option<Reply>,
}

/// How much of what was agreed is used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OverrunCard {
    /// How it stands.
    pub standing: Standing,
    /// The same in words, a line each.
    pub words: Vec<String>,
    /// What to write to the owner, where a new agreement is wanted.
    pub message: Option<String>,
}

/// Returns what was agreed on a job; nothing for a job that is not in the book.
pub fn agreement_card(book: &Book, job: JobId, now: Moment) -> Option<AgreementCard> {
    let sheet = agreement_sheet(book, job, now.day(), Words::own().reader())?;
    let of = &book.agreements;
    let made = of.current(job);
    let consents: Vec<_> = made.into_iter().flat_map(|made| of.consents_to(made.id)).map(|it| &it.consent).collect();
    let lacks = made.map(|made| (missing(&made.estimate, &consents), made.estimate.rules));
    let here = place(book, On::Job(job));
    let row = |consent: ConsentSheet| {
        let state = consent.signed.as_ref();
        let is_well = |state| matches!(state, SignedState::Same | SignedState::Translated);
        let state = state.map(|it| (is_well(it.state), words::state(&Words::own(), it.state)));
        let drawn = consent.signed.map(|it| it.drawn).unwrap_or_default();
        ConsentRow { id: consent.id, words: consent.words, state, drawn }
    };
    Some(AgreementCard {
        title: format!("{} · {}", here.boat, here.job),
        owner: sheet.boat.owner.to_string(),
        missing: lacks.map(|(lacks, rules)| lacking(&lacks, rules)).unwrap_or_default(),
        estimate: made.map(|made| estimate_card(book, made, now)),
        consents: sheet.consents.into_iter().rev().map(row).collect(),
        recommended: of.recommended_of(job).map(|it| recommended_row(book, it)).collect(),
    })
}

fn recommended_row(book: &Book, it: &Recommended) -> RecommendedRow {
    let reply = book.agreements.reply_to(it.id);
    RecommendedRow { id: it.id, words: words::recommended(&Words::own(), &it.facts, reply), reply }
}

fn lacking(lacks: &[Cited<Demand>], rules: RuleSet) -> Vec<String> {
    lacks.iter().map(|it| format!("{}, {}: {}", rules.words(), it.at, words::demand(it.value))).collect()
}

/// Returns what is told of a rule where one chooses: which law, for which boats, and then what
/// it asks for beyond what is kept here, a line each.
pub fn rule_in_words(rules: RuleSet) -> Vec<String> {
    let Some(rule) = rules.rule() else {
        return vec!["Local law may ask for an estimate and a consent all the same.".to_owned()];
    };
    let head = format!("{}: {}. Local law and counsel decide.", rule.law, rule.covers.value);
    let duties = rule.duties.iter().map(|it| capital(format!("{}: {}.", it.at, words::duty(it.value))));
    [head].into_iter().chain(duties).collect()
}

fn estimate_card(book: &Book, made: &Made, now: Moment) -> EstimateCard {
    let text = estimate_text(book, made, &Words::own());
    let holds = made.estimate.holds_on(now.day());
    let agreed = book.agreements.consents_to(made.id).any(|it| it.consent.to == Agreed::Estimate(made.id));
    let state = match (agreed, holds) {
        (true, _) => "agreed to",
        (false, true) => "not agreed to yet",
        (false, false) => "no longer holds: make it anew",
    };
    EstimateCard {
        id: made.id,
        is_waiver: made.estimate.is_waiver(),
        total: match made.estimate.is_waiver() {
            true => "The owner waives it".to_owned(),
            false => made.estimate.totals().total().words(made.estimate.currency),
        },
        state: format!("{}; {state}", words::made_on(&Words::own(), made.at.day())),
        holds,
        is_open: holds && !agreed,
        rows: text.lines.into_iter().chain(text.sums).collect(),
        terms: text.terms,
    }
}

/// A text that is shown before somebody agrees to it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ToSign {
    /// In which language it is (BCP 47).
    pub language: &'static str,
    /// Its lines.
    pub lines: Vec<String>,
}

/// Returns the text that is shown before somebody agrees, in the owner's language.
pub fn shown_to_sign(book: &Book, job: JobId, to: &Agreed) -> ToSign {
    let reader = owners_reader(book, job);
    let text = text_to_sign(book, job, to, reader);
    let lines = text.map(|text| text.as_str().lines().map(str::to_owned).collect()).unwrap_or_default();
    ToSign { language: reader.language.tag(), lines }
}

/// Tells whether an estimate was agreed to on a job: then it is worth asking how much is used.
/// Where the owner waived it there is nothing to use up.
pub fn is_agreed(book: &Book, job: JobId) -> bool {
    agreed(book, job).is_some()
}

fn agreed(book: &Book, job: JobId) -> Option<&Made> {
    book.agreements.agreed(job).filter(|made| !made.estimate.is_waiver())
}

/// Tells whether agreeing to what stands on a job is to waive the estimate.
pub fn is_waived(book: &Book, job: JobId) -> bool {
    book.agreements.current(job).is_some_and(|made| made.estimate.is_waiver())
}

/// Returns how much of what was agreed on a job is used; nothing where nothing was.
pub fn overrun_card(book: &Book, job: JobId, now: Moment) -> Option<OverrunCard> {
    let made = agreed(book, job)?;
    let estimate = &made.estimate;
    let added = book.agreements.added_to(made.id);
    let found = overrun(estimate, added, &used(book, job, now)?, estimate.rules.rule());
    let told = overrun_words(&found, made);
    if told.is_empty() {
        return None;
    }
    let message = (found.standing >= Standing::Past).then(|| message(book, job, &found, made));
    Some(OverrunCard { standing: found.standing, words: told, message })
}

/// Returns the work that the owner pays for and the parts of a job.
fn used(book: &Book, job: JobId, now: Moment) -> Option<Used> {
    let opened = book.jobs.job(job)?.opened.day();
    let is_work = |activity| matches!(activity, Activity::Labour | Activity::Diagnosis);
    let is_owners = |on| book.line_of(on).is_none_or(|line| line.pay == PayType::CustomerPay);
    let spans = book.ledger.spans_since(opened, now).into_iter();
    let spans = spans.filter(|span| book.job_of(span.on) == Some(job) && is_work(span.activity) && is_owners(span.on));
    let labour = spans.map(|span| span.length()).sum();
    let mut parts: Vec<(Label, u32)> = Vec::new();
    for part in book.parts.parts_of(job) {
        match parts.iter_mut().find(|(what, _)| *what == part.facts.what) {
            Some((_, count)) => *count = count.saturating_add(part.facts.count.0),
            None => parts.push((part.facts.what.clone(), part.facts.count.0)),
        }
    }
    Some(Used { labour, parts })
}

/// What is told past what was agreed where the estimate follows no rule: that it follows none
/// was chosen here, and is no word of the law.
const NO_RULE_CHOSEN: &str = "The estimate follows no rule here. Many places ask by law for a new agreement before the work \
     goes on: local law decides.";

fn overrun_words(found: &Overrun, made: &Made) -> Vec<String> {
    let currency = made.estimate.currency;
    let ((agreed, clocked), (cost, comes_to)) = (found.minutes, found.cost);
    let mut told = Vec::new();
    if agreed > 0 {
        let (used, of) = (words::hours(clocked), words::hours(agreed));
        told.push(match found.standing {
            _ if clocked > agreed => format!("More than was agreed: {used} h of work, {of} h were agreed."),
            Standing::Near => format!("{used} h of the {of} h that were agreed are used: look ahead."),
            _ => format!("{used} h of the {of} h that were agreed are used."),
        });
    }
    if comes_to > cost {
        let own = Words::own();
        let (comes_to, cost) = (own.money(comes_to, currency), own.money(cost, currency));
        told.push(format!("At the estimate's own prices it comes to at least {comes_to}; agreed were {cost}."));
    }
    if !found.unnamed.is_empty() {
        let parts: Vec<&str> = found.unnamed.iter().map(Label::as_str).collect();
        told.push(format!("Used and in no estimate: {}.", parts.join(", ")));
    }
    let more = made.estimate.rules.rule().and_then(|rule| rule.more.as_ref());
    if let Some(more) = more.filter(|_| found.standing == Standing::AgreeAnew) {
        let rule = made.estimate.rules.words();
        told.push(format!("{rule}, {}: it asks for a new agreement before the work goes on.", more.at));
    }
    if made.estimate.rules == RuleSet::None && found.standing >= Standing::Past {
        told.push(NO_RULE_CHOSEN.to_owned());
    }
    told
}

/// Returns what to write to the owner, in the owner's language.
fn message(book: &Book, job: JobId, found: &Overrun, made: &Made) -> String {
    let here = place(book, On::Job(job));
    let words = Words::of(owners_reader(book, job));
    let mut told = words::overrun_message(&words, &here.boat, &here.job, found, made.estimate.currency);
    told.push(book.technician.shop.or(book.technician.name.as_str()).to_owned());
    told.join(" ")
}

/// Returns the address that opens a message with this text (RFC 5724), with no number in it.
pub fn message_link(text: &str) -> String {
    // The ampersand before the first field is for one family of phones and does no harm to others.
    let mut link = "sms:?&body=".to_owned();
    for byte in text.bytes() {
        match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'~' => link.push(char::from(byte)),
            byte => {
                const DIGITS: &[u8; 16] = b"0123456789ABCDEF";
                link.push('%');
                link.push(char::from(DIGITS[usize::from(byte >> 4)]));
                link.push(char::from(DIGITS[usize::from(byte & 15)]));
            }
        }
    }
    link
}

/// Returns what is known beforehand of how long such a job takes, in words.
pub fn known_before_estimate(book: &Book, job: JobId, now: Moment) -> Option<String> {
    such_jobs_took(book, &book.jobs.job(job)?.tags, Some(job), now)
}

/// Returns a drawing's lines as the `points` of polylines.
pub fn drawn_points(drawn: &Strokes) -> Vec<String> {
    drawn.strokes().iter().map(stroke_points).collect()
}

/// Returns one line as the `points` of a polyline.
pub fn stroke_points(stroke: &Stroke) -> String {
    let place = |(x, y): &(u16, u16)| [x.to_string(), y.to_string()].join(",");
    stroke.iter().map(place).collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::agreement::estimate::tests::{line, of};
    use crate::agreement::estimate::{Cost, Estimate};
    use crate::agreement::overrun::Added;
    use crate::id::{DeviceId, EventId};
    use crate::moment::Length;

    /// What is said beside the clock of an estimate of two hours by a rule.
    fn told(rules: RuleSet, minutes: u64) -> (Standing, Vec<String>) {
        let own = |seq| EventId { device: DeviceId::new([1; 8]), seq };
        let estimate = Estimate { rules, ..of(vec![line(Cost::Labour { minutes: 120 }, "", 20_000)]) };
        let used = Used { labour: Length::from_ms(minutes * 60_000), parts: Vec::new() };
        let found = overrun(&estimate, Added::default(), &used, rules.rule());
        let at = Moment::parse("2026-05-04T09:00:00-04:00").unwrap();
        let made = Made { id: EstimateId(own(2)), at, job: JobId(own(1)), estimate, withdrawn: false };
        (found.standing, overrun_words(&found, &made))
    }

    #[test]
    fn of_a_rule_it_is_told_what_it_asks_of_an_invoice() {
        let california = rule_in_words(RuleSet::California);
        assert!(california[0].ends_with("Local law and counsel decide."), "{california:?}");
        let listed =
            "Section 416: the shop's name and address stand there, and a telephone number that is the listed one.";
        assert!(california.iter().any(|line| line == listed), "{california:?}");
        assert_eq!(
            rule_in_words(RuleSet::NewJersey)[1],
            "13:45A-23: charges for haul and transport are disclosed and itemised."
        );
        assert_eq!(RuleSet::ALL.map(|rules| rule_in_words(rules).len()), [1, 8, 2, 1]);
    }

    #[test]
    fn past_what_was_agreed_by_no_rule_it_is_said_that_local_law_decides() {
        let says_so = |rules, minutes| {
            let (standing, words) = told(rules, minutes);
            (standing, words.iter().any(|line| line == NO_RULE_CHOSEN))
        };
        assert_eq!(says_so(RuleSet::None, 121), (Standing::Past, true));
        assert_eq!(says_so(RuleSet::None, 120), (Standing::Near, false));
        // A rule that was chosen speaks for itself.
        assert_eq!(says_so(RuleSet::California, 121), (Standing::AgreeAnew, false));
        assert_eq!(
            told(RuleSet::None, 150).1,
            [
                "More than was agreed: 2:30 h of work, 2:00 h were agreed.",
                "At the estimate's own prices it comes to at least USD\u{a0}250.00; agreed were USD\u{a0}200.00.",
                NO_RULE_CHOSEN,
            ]
        );
    }

    #[test]
    fn a_message_keeps_every_letter_in_its_address() {
        // RFC 3986 section 2.1 (percent-encoding of UTF-8), RFC 5724 (sms).
        assert_eq!(message_link("a b&c=é\n"), "sms:?&body=a%20b%26c%3D%C3%A9%0A");
        assert_eq!(stroke_points(&vec![(1, 2), (3, 4)]), "1,2 3,4");
    }
}
