//! Agreements in the laws: what a phone says of them, any of them at random, and what always holds.
#![allow(clippy::unwrap_used, reason = "a test stops where it cannot go on")]

use proptest::prelude::*;
use quaywright_core::agreement::consent::{Agreed, Consent, HIGH, Signed, Stroke, Strokes, WIDE, Way};
use quaywright_core::agreement::estimate::{Cost, CostLine, Estimate, Form, TakingApart};
use quaywright_core::agreement::rules::RuleSet;
use quaywright_core::command::{Command, Refusal};
use quaywright_core::event::{
    About, Activity, Consumable, Details, Document, Event, ItemFacts, ItemKind, Language, Measures, On, Reader,
    Recommendation, Renew, Reply, Way as Left,
};
use quaywright_core::exchange::{agreement, html, line};
use quaywright_core::id::{BlobId, EstimateId, Hash, ItemId, JobId, ProcedureId, RecommendationId};
use quaywright_core::moment::{Day, Moment};
use quaywright_core::money::Currency;
use quaywright_core::money::minor::Minor;
use quaywright_core::quantity::Count;
use quaywright_core::sheet::agreement::{agreement_sheet, owners_reader, text_to_sign};
use quaywright_core::sheet::{SignedState, owner_sheet};
use quaywright_core::text::{Label, Prose};
use quaywright_core::view::{apart_proposal, destroyed_by_taking_apart};

use crate::formats::text_of;
use crate::histories::{day, id, label, moment, nth, text};
use crate::owner;
use crate::phone::{Phone, at};

/// Says everything about agreements, with every field filled and left out.
pub(crate) fn is_said(phone: &mut Phone) {
    let job = phone.book.jobs.jobs().next().unwrap().id;
    let mut say = |event| {
        phone.now = Moment::new(phone.now.utc_ms() + 60_001, 60).unwrap();
        phone.say(event).record.id
    };
    let made = |estimate| Event::EstimateMade { job, estimate: Box::new(estimate) };
    say(made(bare()));
    let estimate = EstimateId(say(made(full())));
    let strokes = Strokes::new(vec![vec![(0, 0), (WIDE, HIGH)], vec![(7, 8)]]).unwrap();
    let signed = Signed::new(Prose::new("Estimate\nTotal: 512.40 USD"), strokes, Reader::default());
    let typed = Signed::new(Prose::new("Work accepted"), Strokes::default(), Reader::default());
    let more = Agreed::More { estimate, what: Prose::new("one <more> seal"), added: Minor::fixed(6_000), minutes: 30 };
    let number = Label::new("555 0100");
    let consents = [
        (Agreed::Estimate(estimate), Way::InPerson, Some(signed)),
        (more, Way::Telephone { number }, None),
        (Agreed::Estimate(estimate), Way::Telephone { number: Label::default() }, None),
        (Agreed::Work, Way::Writing, None),
        (Agreed::Work, Way::InPerson, Some(typed)),
    ];
    let mut last = None;
    for (to, way, signed) in consents {
        let consent = Consent { to, by: Label::new("P. Wherry"), at: at("2026-05-04T16:20:00+01:00"), way, signed };
        last = Some(say(Event::ConsentGiven { job, consent: Box::new(consent) }));
    }
    say(Event::Withdrawn { event: last.unwrap() });
    let mut recommend = |what: &str, why: &str, cost| {
        let facts = Recommendation { what: Label::new(what), why: Prose::new(why), cost };
        RecommendationId(say(Event::Recommended { job, recommendation: Box::new(facts) }))
    };
    let hose = recommend("New raw-water hose", "cracked, \"soft\"", Some((Minor::fixed(4_500), Currency::Usd)));
    let anode = recommend("New anode", "", None);
    say(Event::RecommendationAnswered { recommendation: hose, reply: Reply::Declined });
    say(Event::RecommendationAnswered { recommendation: anode, reply: Reply::Accepted });
    let what = Document::Agreement { job };
    say(Event::HandedOver { what, way: Left::Shared, file: BlobId(Hash::of(b"an agreement")) });
}

fn bare() -> Estimate {
    Estimate {
        what_for: Prose::default(),
        currency: Currency::Jpy,
        form: Form::Itemised,
        lines: vec![CostLine { cost: Cost::Other, words: Label::default(), amount: Minor::NOTHING }],
        valid_until: None,
        taking_apart: None,
        rules: RuleSet::None,
        on_summary: false,
    }
}

fn full() -> Estimate {
    let line = |cost, words, units| CostLine { cost, words: Label::new(words), amount: Minor::fixed(units) };
    Estimate {
        what_for: Prose::new("Runs hot.\nLoses <coolant>."),
        currency: Currency::Usd,
        form: Form::AtMost,
        lines: vec![
            line(Cost::Labour { minutes: 240 }, "strip & test", 40_000),
            line(Cost::Parts { count: Count(2) }, "End cap seal", 1_840),
            line(Cost::ShopSupplies, "", 500),
            line(Cost::Other, "haul-out", 6_000),
            line(Cost::Tax, "7.25 %", 2_900),
        ],
        valid_until: Day::parse("2026-05-31"),
        taking_apart: Some(TakingApart {
            price: Minor::fixed(18_000),
            destroyed: vec![Label::new("End cap gasket"), Label::new("O-ring")],
            days: 10,
            not_as_it_was: Label::new("the stack may crumble"),
        }),
        rules: RuleSet::California,
        on_summary: true,
    }
}

/// Says what version 4 added: that a text was signed in another language than English.
pub(crate) fn is_said_in_german(phone: &mut Phone) {
    let job = phone.book.jobs.jobs().next().unwrap().id;
    let reader = Reader { language: Language::German, measures: Measures::Metric };
    let signed = Some(Signed::new(Prose::new("Arbeit abgenommen"), Strokes::default(), reader));
    let (by, at) = (Label::new("P. Wherry"), at("2026-05-04T16:20:00+01:00"));
    let consent = Consent { to: Agreed::Work, by, at, way: Way::InPerson, signed };
    phone.say(Event::ConsentGiven { job, consent: Box::new(consent) });
}

/// Returns a request about agreements on a job.
pub(crate) fn command(phone: &Phone, job: JobId, which: usize, amount: u32) -> Option<Command> {
    let of = &phone.book.agreements;
    let estimate = || nth(of.estimates_of(job).map(|made| made.id), which);
    let consent = |to: Agreed, way| {
        let reader = owners_reader(&phone.book, job);
        let signed = || Some(Signed::new(text_to_sign(&phone.book, job, &to, reader)?, Strokes::default(), reader));
        let signed = if which.is_multiple_of(2) { signed() } else { None };
        let consent = Consent { to: to.clone(), by: Label::new("P. Wherry"), at: phone.now, way, signed };
        Command::GiveConsent { job, consent: Box::new(consent) }
    };
    let minor = Minor::fixed(which as u32 * 1_000 + amount);
    Some(match which % 7 {
        0 | 1 => Command::MakeEstimate { job, estimate: Box::new(if amount > 3 { full() } else { bare() }) },
        2 => consent(Agreed::Estimate(estimate()?), Way::InPerson),
        3 => {
            let what = Prose::new("more");
            let to = Agreed::More { estimate: estimate()?, what, added: minor, minutes: amount };
            consent(to, Way::Telephone { number: Label::new("555 0100") })
        }
        4 => consent(Agreed::Work, Way::Writing),
        5 => {
            let cost = Some((minor, Currency::Eur));
            let facts = Recommendation { what: Label::new("new hose"), why: Prose::default(), cost };
            Command::Recommend { job, recommendation: Box::new(facts) }
        }
        _ => {
            let recommendation = nth(of.recommended_of(job).map(|it| it.id), which)?;
            Command::AnswerRecommendation { recommendation, reply: Reply::ALL[amount as usize % 2] }
        }
    })
}

fn minor() -> impl Strategy<Value = Minor> {
    any::<u32>().prop_map(Minor::fixed)
}

fn currency() -> impl Strategy<Value = Currency> {
    prop::sample::select(Currency::ALL.to_vec())
}

fn cost() -> impl Strategy<Value = Cost> {
    (0..5_usize, any::<u32>()).prop_map(|(kind, amount)| match Cost::ALL[kind] {
        Cost::Labour { .. } => Cost::Labour { minutes: amount },
        Cost::Parts { .. } => Cost::Parts { count: Count(amount) },
        other => other,
    })
}

fn prose() -> impl Strategy<Value = Prose> {
    text().prop_map(|text| Prose::new(&text))
}

fn estimate() -> impl Strategy<Value = Estimate> {
    let line = (cost(), label(), minor()).prop_map(|(cost, words, amount)| CostLine { cost, words, amount });
    let apart = (minor(), prop::collection::vec(label(), 0..3), any::<u16>(), label())
        .prop_map(|(price, destroyed, days, not_as_it_was)| TakingApart { price, destroyed, days, not_as_it_was });
    let chosen = (prop::sample::select(Form::ALL.to_vec()), prop::sample::select(RuleSet::ALL.to_vec()), any::<bool>());
    let lines = prop::collection::vec(line, 0..6);
    (prose(), currency(), lines, prop::option::of(day()), prop::option::of(apart), chosen).prop_map(
        |(what_for, currency, lines, valid_until, taking_apart, (form, rules, on_summary))| Estimate {
            what_for,
            currency,
            form,
            lines,
            valid_until,
            taking_apart,
            rules,
            on_summary,
        },
    )
}

fn consent() -> impl Strategy<Value = Consent> {
    let to = prop_oneof![
        id().prop_map(|id| Agreed::Estimate(EstimateId(id))),
        (id(), prose(), minor(), any::<u32>()).prop_map(|(id, what, added, minutes)| Agreed::More {
            estimate: EstimateId(id),
            what,
            added,
            minutes
        }),
        Just(Agreed::Work),
    ];
    let way =
        prop_oneof![Just(Way::InPerson), label().prop_map(|number| Way::Telephone { number }), Just(Way::Writing)];
    let stroke = prop::collection::vec((0..=WIDE, 0..=HIGH), 1..9);
    let drawn = prop::collection::vec(stroke, 0..4).prop_map(|strokes: Vec<Stroke>| Strokes::new(strokes).unwrap());
    let reader = prop::sample::select(owner::readers().collect::<Vec<_>>());
    let signed = (prose(), drawn, any::<bool>(), reader).prop_map(|(text, drawn, whole, reader)| {
        let signed = Signed::new(text, drawn, reader);
        if whole { signed } else { Signed { hash: Hash::of(b"another"), ..signed } }
    });
    (to, label(), moment(), way, prop::option::of(signed)).prop_map(|(to, by, at, way, signed)| Consent {
        to,
        by,
        at,
        way,
        signed,
    })
}

/// Anything that can be said of agreements.
pub(crate) fn event() -> BoxedStrategy<Event> {
    let cost = prop::option::of((minor(), currency()));
    let facts = (label(), prose(), cost).prop_map(|(what, why, cost)| Recommendation { what, why, cost });
    prop_oneof![
        (id(), estimate())
            .prop_map(|(id, estimate)| Event::EstimateMade { job: JobId(id), estimate: Box::new(estimate) }),
        (id(), consent()).prop_map(|(id, consent)| Event::ConsentGiven { job: JobId(id), consent: Box::new(consent) }),
        (id(), facts).prop_map(|(id, facts)| Event::Recommended { job: JobId(id), recommendation: Box::new(facts) }),
        (id(), prop::sample::select(Reply::ALL.to_vec()))
            .prop_map(|(id, reply)| Event::RecommendationAnswered { recommendation: RecommendationId(id), reply }),
    ]
    .boxed()
}

/// A phone with a job and an estimate for it.
fn offered(estimate: Estimate) -> (Phone, JobId, EstimateId) {
    let mut phone = Phone::new(1, "2026-05-04T08:00:00+01:00");
    phone.named("M. Sluice", "Lower Basin Boatyard");
    let (job, _) = phone.job("Heron", "P. Wherry", "Runs hot", "Runs hot");
    let estimate = EstimateId(phone.must(Command::MakeEstimate { job, estimate: Box::new(estimate) }));
    (phone, job, estimate)
}

fn signing(phone: &Phone, job: JobId, to: Agreed) -> Consent {
    let text = text_to_sign(&phone.book, job, &to, Reader::default()).unwrap();
    let drawn = Strokes::new(vec![vec![(10, 10), (900, 400)]]).unwrap();
    let signed = Some(Signed::new(text, drawn, Reader::default()));
    Consent { to, by: Label::new("P. Wherry"), at: phone.now, way: Way::InPerson, signed }
}

#[test]
fn a_signature_goes_with_its_text_while_the_estimate_holds() {
    let (mut phone, job, estimate) = offered(full());
    let shown = signing(&phone, job, Agreed::Estimate(estimate));
    let signed = shown.signed.clone().map(|signed| Signed { text: Prose::new("Total: nothing"), ..signed });
    let refused = phone.ask(Command::GiveConsent { job, consent: Box::new(Consent { signed, ..shown.clone() }) });
    assert_eq!(refused, Err(Refusal::AnotherText));
    phone.must(Command::GiveConsent { job, consent: Box::new(shown) });
    phone.is("2026-06-01T08:00:00+01:00");
    let late = Consent { signed: None, ..signing(&phone, job, Agreed::Estimate(estimate)) };
    assert_eq!(phone.ask(Command::GiveConsent { job, consent: Box::new(late.clone()) }), Err(Refusal::NoLongerHolds));
    let future = Consent { at: at("2027-01-01T00:00:00+01:00"), ..late };
    assert_eq!(phone.ask(Command::GiveConsent { job, consent: Box::new(future) }), Err(Refusal::NotYetSaid));
}

#[test]
fn one_changed_byte_of_what_was_signed_is_told_on_the_owners_page() {
    let (mut phone, job, estimate) = offered(full());
    let consent = signing(&phone, job, Agreed::Estimate(estimate));
    let given = phone.must(Command::GiveConsent { job, consent: Box::new(consent) });
    let sheet = |phone: &Phone| agreement_sheet(&phone.book, job, phone.now.day(), Reader::default()).unwrap();
    let page = text_of(&agreement::page(&sheet(&phone)));
    assert!(page.contains("This sheet says what was signed.") && page.contains("<polyline points=\"10,10 900,400\"/>"));

    // Somebody changes the file and makes every hash of the log anew.
    let mut forged = Phone::new(2, "2026-05-04T08:00:00+01:00");
    for sealed in phone.log.in_order() {
        let (written, _) = line::seal(sealed.record.clone());
        let mut record = line::read(&written).unwrap().record;
        if record.id == given
            && let Event::ConsentGiven { consent, .. } = &mut record.event
        {
            let signed = consent.signed.as_mut().unwrap();
            signed.text = Prose::new(&signed.text.as_str().replace("512.40", "512.41"));
        }
        forged.book.apply(&record);
    }
    let state = |phone: &Phone| sheet(phone).consents[0].signed.as_ref().unwrap().state;
    assert_eq!((state(&phone), state(&forged)), (SignedState::Same, SignedState::Broken));
    assert!(text_of(&agreement::page(&sheet(&forged))).contains("changed after it was signed"));
}

#[test]
fn everything_that_was_agreed_can_be_taken_back() {
    let (mut phone, job, estimate) = offered(full());
    let consent = Consent { signed: None, ..signing(&phone, job, Agreed::Estimate(estimate)) };
    let consent = phone.must(Command::GiveConsent { job, consent: Box::new(consent) });
    let facts = Recommendation { what: Label::new("hose"), why: Prose::default(), cost: None };
    let recommended = phone.must(Command::Recommend { job, recommendation: Box::new(facts) });
    let recommendation = RecommendationId(recommended);
    let answered = phone.must(Command::AnswerRecommendation { recommendation, reply: Reply::Accepted });
    let again = Command::AnswerRecommendation { recommendation, reply: Reply::Accepted };
    assert_eq!(phone.ask(again), Err(Refusal::SaidAlready));
    phone.must(Command::Withdraw { event: answered });
    assert_eq!(phone.book.agreements.reply_to(recommendation), None);
    phone.must(Command::Withdraw { event: recommended });
    phone.must(Command::Withdraw { event: consent });
    assert_eq!((phone.book.agreements.recommended_of(job).count(), phone.book.agreements.agreed(job)), (0, None));
    let withdrawn = phone.must(Command::Withdraw { event: estimate.0 });
    assert_eq!(phone.book.agreements.current(job), None);
    phone.must(Command::Withdraw { event: withdrawn });
    assert_eq!(phone.book.agreements.current(job).map(|made| made.id), Some(estimate));
}

#[test]
fn an_owner_is_told_nothing_of_other_jobs_of_the_clock_or_of_what_the_shop_keeps_to_itself() {
    let (mut phone, job, estimate) = offered(Estimate { on_summary: false, ..full() });
    let consent = signing(&phone, job, Agreed::Estimate(estimate));
    phone.must(Command::GiveConsent { job, consent: Box::new(consent) });
    let (other, line) = phone.job("SECRETBOAT", "SECRETOWNER", "SECRETTITLE", "SECRETCOMPLAINT");
    let secret = |words: &str| Label::new(&format!("SECRET{words}"));
    let lines = vec![CostLine { cost: Cost::Other, words: secret("LINE"), amount: Minor::fixed(77_777) }];
    let theirs =
        EstimateId(phone.must(Command::MakeEstimate { job: other, estimate: Box::new(Estimate { lines, ..full() }) }));
    let consent = Consent { by: secret("NAME"), ..signing(&phone, other, Agreed::Estimate(theirs)) };
    phone.must(Command::GiveConsent { job: other, consent: Box::new(consent) });
    let facts = Recommendation { what: secret("WORK"), why: Prose::default(), cost: None };
    phone.must(Command::Recommend { job: other, recommendation: Box::new(facts) });
    phone.note(About::Job(job), "SECRETNOTE");
    phone.clock("2026-05-04T09:11:00+01:00", Activity::Labour, On::Line(line));
    phone.clock("2026-05-04T10:28:00+01:00", Activity::Labour, On::Job(job));
    phone.stop("2026-05-04T15:46:00+01:00");
    let recommended = Recommendation { what: Label::new("New hose"), why: Prose::default(), cost: None };
    let recommendation =
        RecommendationId(phone.must(Command::Recommend { job, recommendation: Box::new(recommended) }));
    phone.must(Command::AnswerRecommendation { recommendation, reply: Reply::Declined });

    let day = phone.now.day();
    let agreed = text_of(&agreement::page(&agreement_sheet(&phone.book, job, day, Reader::default()).unwrap()));
    let summary = text_of(&html::owner_page(&owner_sheet(&phone.book, job, day).unwrap()));
    assert!(
        agreed.contains("512.40 USD")
            && agreed.contains("New hose: declined")
            && summary.contains("New hose: declined")
    );
    for secret in ["secret", "777.77", "9:11", "1:17", "5:18", "15:46", "diagnosis", "warranty", "internal"] {
        for page in [&agreed, &summary] {
            assert!(!page.to_lowercase().contains(secret), "{secret} is told to the owner");
        }
    }
    // What was agreed is on the summary only where the estimate says so.
    assert!(!summary.contains("512.40") && !summary.to_lowercase().contains("sha-256"));
    let told = Estimate { on_summary: true, ..full() };
    let anew = EstimateId(phone.must(Command::MakeEstimate { job, estimate: Box::new(told) }));
    let consent = signing(&phone, job, Agreed::Estimate(anew));
    phone.must(Command::GiveConsent { job, consent: Box::new(consent) });
    assert!(
        text_of(&html::owner_page(&owner_sheet(&phone.book, job, day).unwrap())).contains("Estimated: USD\u{a0}512.40")
    );
}

#[test]
fn taking_apart_is_proposed_from_what_came_off_and_what_such_jobs_took() {
    // A job that becomes a procedure: three hours of work, apart from Monday 09:00 to Thursday 10:00.
    let mut phone = Phone::new(0x42, "2026-05-04T08:00:00+01:00");
    let (first, line) = phone.job("Heron", "P. Wherry", "Shaft seal", "Drips");
    let lines = |phone: &Phone, job| apart_proposal(&phone.book, job, &full().lines, Currency::Usd, phone.now);
    assert_eq!(lines(&phone, first).because, ["Start the job by a procedure, to see what such jobs took."]);
    phone.clock("2026-05-04T08:30:00+01:00", Activity::Labour, On::Line(line));
    phone.is("2026-05-04T09:00:00+01:00");
    let item = |what: &str, kind, renew| ItemFacts {
        what: Label::new(what),
        count: Count(1),
        details: Details { kind, renew: Renew::new(renew), ..Details::default() },
        ..ItemFacts::default()
    };
    let off = |phone: &mut Phone, job, facts| ItemId(phone.must(Command::TakeOff { job, item: facts }));
    let seal = off(&mut phone, first, item("End cap seal", Some(ItemKind::Seal), Vec::new()));
    let cover = off(&mut phone, first, item("Cover", None, vec![Consumable::Gasket, Consumable::Sealant]));
    phone.stop("2026-05-04T11:30:00+01:00");
    phone.is("2026-05-07T10:00:00+01:00");
    for item in [seal, cover] {
        phone.must(Command::PutBack { item, count: Count(1) });
    }
    phone.must(Command::FinishJob { job: first });
    let procedure = ProcedureId(phone.must(Command::KeepAsProcedure { job: first }));

    let (job, _) = phone.job("Teal", "", "Shaft seal", "Drips too");
    let version = phone.book.procedures.current(procedure).unwrap().id;
    phone.must(Command::StartProcedure { job, version });
    // Nothing is off yet: the procedure knows what will be destroyed. Sealant is not taken apart.
    assert_eq!(destroyed_by_taking_apart(&phone.book, job), ["End cap seal", "gasket of Cover"]);
    // 240 minutes for 400.00 are 100.00 an hour; two seals for 18.40 are a line of the estimate.
    let proposal = lines(&phone, job);
    assert_eq!((proposal.price.as_deref(), proposal.days.as_deref()), (Some("318.40"), Some("4")));
    assert_eq!(
        proposal.because,
        [
            "The longest of 1 job by this procedure took 3:00 h of work; at 100.00 an hour, with 1 of the lines for \
             gaskets and seals.",
            "From the first item off to the last one back on it was at most 4 days.",
        ]
    );
    let bare = apart_proposal(&phone.book, job, &[], Currency::Usd, phone.now);
    assert_eq!((bare.price, bare.days.as_deref()), (None, Some("4")));
    assert!(bare.because[0].ends_with("Add a line of labour with its hours, to reckon the price."));
}

#[test]
fn an_estimate_of_no_line_is_made_only_where_a_rule_lets_an_owner_waive_it() {
    let mut phone = Phone::new(1, "2026-05-04T08:00:00+01:00");
    let (job, _) = phone.job("Heron", "P. Wherry", "Runs hot", "Runs hot");
    let waiver = |rules| {
        let estimate = Estimate { lines: Vec::new(), taking_apart: None, rules, ..full() };
        Command::MakeEstimate { job, estimate: Box::new(estimate) }
    };
    for rules in [RuleSet::None, RuleSet::California] {
        assert_eq!(phone.ask(waiver(rules)), Err(Refusal::Nameless("at least one line")));
    }
    let unsaid = Estimate { what_for: Prose::default(), lines: Vec::new(), rules: RuleSet::NewJersey, ..full() };
    let unsaid = Command::MakeEstimate { job, estimate: Box::new(unsaid) };
    assert_eq!(phone.ask(unsaid), Err(Refusal::Nameless("what is asked for")));
    let made = EstimateId(phone.must(waiver(RuleSet::NewJersey)));
    let consent = signing(&phone, job, Agreed::Estimate(made));
    phone.must(Command::GiveConsent { job, consent: Box::new(consent) });

    // It is written as any other event is, reads back, and its page holds no amount of money.
    for sealed in phone.log.in_order() {
        assert_eq!(&line::read(&line::seal(sealed.record.clone()).0).unwrap(), sealed);
    }
    for language in Language::ALL {
        let reader = Reader { language, ..Reader::default() };
        let page = text_of(&agreement::page(&agreement_sheet(&phone.book, job, phone.now.day(), reader).unwrap()));
        assert!(!page.contains("USD") && !page.contains("0.00") && !page.contains("0,00"), "{page}");
        assert!(page.contains("<polyline"), "{page}");
    }
    let more = Agreed::More { estimate: made, what: Prose::new("a hose"), added: Minor::fixed(100), minutes: 0 };
    let more = Consent { to: more, by: Label::new("P. Wherry"), at: phone.now, way: Way::InPerson, signed: None };
    let refused = phone.ask(Command::GiveConsent { job, consent: Box::new(more) });
    assert_eq!(refused, Err(Refusal::Nameless("an estimate first: it was waived")));
}
