//! What an owner is told of agreements, and how what was signed stands to it.

use super::*;
use crate::agreement::consent::{Consent, Signed, Way};
use crate::agreement::estimate::{Estimate, Form, TakingApart};
use crate::agreement::rules::RuleSet;
use crate::event::{Event, ItemFacts, Language, Measures, PayType, Recommendation};
use crate::exchange::line;
use crate::id::{BoatId, DeviceId, EventId};
use crate::log::Tip;
use crate::moment::Moment;
use crate::quantity::Count;

/// A book that is told one event after another, on 4 May 2026.
struct Told {
    book: Book,
    tip: Tip,
}

impl Told {
    fn new() -> (Self, JobId) {
        let mut told = Self { book: Book::default(), tip: Tip::fresh(DeviceId::new([1; 8])) };
        told.say(Event::TechnicianNamed { name: Label::new("M. Sluice"), shop: Label::new("Lower Basin") });
        let facts = BoatFacts { name: Label::new("Heron"), owner: Label::new("P. Wherry"), ..BoatFacts::default() };
        let boat = BoatId(told.say(Event::BoatAdded(facts)));
        let job = JobId(told.say(Event::JobOpened { boat, engine: None, title: Label::new("Runs hot") }));
        (told, job)
    }

    fn say(&mut self, event: Event) -> EventId {
        let (_, sealed) = line::seal(self.tip.record(at("2026-05-04T09:00:00+01:00"), event));
        self.tip.advance(&sealed);
        self.book.apply(&sealed.record);
        assert_eq!(self.book.faults, []);
        sealed.record.id
    }

    fn consent(&mut self, job: JobId, to: Agreed, way: Way, signed: Option<Signed>) -> EventId {
        let consent = Consent { to, by: Label::new("P. Wherry"), at: at("2026-05-04T10:20:00+01:00"), way, signed };
        self.say(Event::ConsentGiven { job, consent: Box::new(consent) })
    }

    fn sheet(&self, job: JobId) -> AgreementSheet {
        self.sheet_for(job, Reader::default())
    }

    fn sheet_for(&self, job: JobId, reader: Reader) -> AgreementSheet {
        agreement_sheet(&self.book, job, Day::parse("2026-05-06").unwrap(), reader).unwrap()
    }
}

fn at(text: &str) -> Moment {
    Moment::parse(text).unwrap()
}

fn estimate() -> Estimate {
    let line = |cost, words, units| CostLine { cost, words: Label::new(words), amount: Minor::fixed(units) };
    Estimate {
        what_for: Prose::new("Runs hot,\nloses coolant"),
        currency: Currency::Usd,
        form: Form::AtMost,
        lines: vec![
            line(Cost::Labour { minutes: 150 }, "strip", 25_000),
            line(Cost::Parts { count: Count(2) }, "End cap seal", 1_840),
            line(Cost::Tax, "", 1_610),
        ],
        valid_until: Day::parse("2026-05-31"),
        taking_apart: Some(TakingApart {
            price: Minor::fixed(18_000),
            destroyed: vec![Label::new("End cap gasket")],
            days: 10,
            not_as_it_was: Label::default(),
        }),
        rules: RuleSet::California,
        on_summary: true,
    }
}

#[test]
fn what_is_signed_says_everything_that_was_offered() {
    let (mut told, job) = Told::new();
    let made = EstimateId(told.say(Event::EstimateMade { job, estimate: Box::new(estimate()) }));
    let text = text_to_sign(&told.book, job, &Agreed::Estimate(made), Reader::default()).unwrap();
    let expected = "Estimate, Lower Basin
Boat: Heron, P. Wherry
Work: Runs hot
Asked for: Runs hot, loses coolant
Made on Monday 4 May 2026
strip, 2:30 h: 250.00
End cap seal × 2: 18.40
Labour: 250.00
Parts: 18.40
Before tax: 268.40
Tax: 16.10
Total: 284.50 USD
This is the most that the work will cost unless you agree to more.
It may be agreed to until Sunday 31 May 2026.
Taking apart to find out, and putting together again: 180.00 USD.
In that price, since taking apart destroys it: End cap gasket.
If you do not want the repair, it is together again within 10 days.
It follows California Harbors and Navigation Code, sections 410 to 418 (vessels used noncommercially; not one in \
                    distress that needs work at once). This is no legal advice: local law and counsel decide.";
    assert_eq!(text.as_str(), expected);
}

#[test]
fn what_is_signed_is_in_the_owners_language() {
    let (mut told, job) = Told::new();
    let made = EstimateId(told.say(Event::EstimateMade { job, estimate: Box::new(estimate()) }));
    let german = Reader { language: Language::German, measures: Measures::Metric };
    let text = text_to_sign(&told.book, job, &Agreed::Estimate(made), german).unwrap();
    let expected = "Kostenvoranschlag, Lower Basin
Boot: Heron, P. Wherry
Arbeit: Runs hot
Gewünscht: Runs hot, loses coolant
Erstellt am Montag, 4. Mai 2026
strip, 2:30 h: 250,00
End cap seal × 2: 18,40
Arbeit: 250,00
Teile: 18,40
Vor Steuer: 268,40
Steuer: 16,10
Summe: 284,50\u{a0}USD
Mehr wird die Arbeit nicht kosten, es sei denn, Sie stimmen mehr zu.
Zustimmung möglich bis Sonntag, 31. Mai 2026.
Zerlegen, um die Ursache zu finden, und wieder zusammenbauen: 180,00\u{a0}USD.
In diesem Preis enthalten, weil es beim Zerlegen zerstört wird: End cap gasket.
Wenn Sie die Reparatur nicht wünschen, ist alles spätestens nach 10 Tagen wieder zusammengebaut.
Zugrunde gelegt: California Harbors and Navigation Code, sections 410 to 418 (nicht gewerblich genutzte Boote; nicht \
                    ein Boot in Not, das sofort Arbeit braucht). Dies ist keine Rechtsberatung: Es entscheiden das \
                    örtliche Recht und Rechtskundige.";
    assert_eq!(text.as_str(), expected);
}

#[test]
fn a_text_is_compared_in_the_language_that_was_signed() {
    let (mut told, job) = Told::new();
    let made = EstimateId(told.say(Event::EstimateMade { job, estimate: Box::new(estimate()) }));
    let to = Agreed::Estimate(made);
    let reader = |language, measures| Reader { language, measures };
    let german = reader(Language::German, Measures::Metric);
    let text = text_to_sign(&told.book, job, &to, german).unwrap();
    told.consent(job, to, Way::InPerson, Some(Signed::new(text, Strokes::default(), german)));
    let state = |told: &Told, reader| told.sheet_for(job, reader).consents[0].signed.clone().unwrap().state;
    assert_eq!(state(&told, german), SignedState::Same);
    // Units of measurement change nothing that an estimate says in German.
    assert_eq!(state(&told, reader(Language::German, Measures::AsRead)), SignedState::Same);
    for language in [Language::English, Language::French, Language::Spanish] {
        assert_eq!(state(&told, reader(language, Measures::AsRead)), SignedState::Translated, "{language:?}");
    }
    told.say(Event::JobRetitled { job, title: Label::new("Runs too hot") });
    assert_eq!(state(&told, german), SignedState::Differs);
    assert_eq!(state(&told, Reader::default()), SignedState::Differs);
}

#[test]
fn the_boats_a_rule_is_for_are_told_in_english_as_the_rule_has_them() {
    for rules in RuleSet::ALL {
        let told = words::terms(&Words::own(), &Estimate { rules, ..estimate() }).pop().unwrap();
        assert!(rules.rule().is_none_or(|rule| told.contains(&format!("({})", rule.covers.value))), "{told}");
    }
}

#[test]
fn a_sheet_that_says_something_else_than_was_signed_says_so() {
    let (mut told, job) = Told::new();
    let made = EstimateId(told.say(Event::EstimateMade { job, estimate: Box::new(estimate()) }));
    let to = Agreed::Estimate(made);
    let text = text_to_sign(&told.book, job, &to, Reader::default()).unwrap();
    let signed = Signed::new(text.clone(), Strokes::new(vec![vec![(1, 2), (30, 40)]]).unwrap(), Reader::default());
    told.consent(job, to.clone(), Way::InPerson, Some(signed.clone()));
    let state = |told: &Told, nth: usize| told.sheet(job).consents[nth].signed.clone().unwrap().state;
    assert_eq!(state(&told, 0), SignedState::Same);
    assert_eq!(told.sheet(job).consents[0].signed.as_ref().unwrap().hash, Hash::of(text.as_str().as_bytes()));

    told.say(Event::JobRetitled { job, title: Label::new("Runs too hot") });
    assert_eq!(state(&told, 0), SignedState::Differs);
    // One byte of what is kept as signed is another.
    let changed = Signed { text: Prose::new(&text.as_str().replace("284.50", "234.50")), ..signed };
    told.consent(job, to, Way::InPerson, Some(changed));
    assert_eq!(state(&told, 1), SignedState::Broken);
}

#[test]
fn a_new_estimate_stands_and_the_old_one_holds_until_it_is_agreed_to() {
    let (mut told, job) = Told::new();
    let first = EstimateId(told.say(Event::EstimateMade { job, estimate: Box::new(estimate()) }));
    told.consent(job, Agreed::Estimate(first), Way::InPerson, None);
    let second = told.say(Event::EstimateMade { job, estimate: Box::new(estimate()) });
    let of = |told: &Told| {
        let agreements = &told.book.agreements;
        (agreements.current(job).unwrap().id, agreements.agreed(job).map(|made| made.id))
    };
    assert_eq!(of(&told), (EstimateId(second), Some(first)));
    told.consent(job, Agreed::Estimate(EstimateId(second)), Way::Writing, None);
    assert_eq!(of(&told).1, Some(EstimateId(second)));
    told.say(Event::Withdrawn { event: second });
    assert_eq!(of(&told), (first, Some(first)));
}

#[test]
fn a_consent_by_telephone_is_told_with_all_that_it_has_to_say() {
    let (mut told, job) = Told::new();
    let made = EstimateId(told.say(Event::EstimateMade { job, estimate: Box::new(estimate()) }));
    let to =
        Agreed::More { estimate: made, what: Prose::new("one more seal"), added: Minor::fixed(6_000), minutes: 30 };
    told.consent(job, to, Way::Telephone { number: Label::new("555 0100") }, None);
    let what = Recommendation {
        what: Label::new("New raw-water hose"),
        why: Prose::new("cracked"),
        cost: Some((Minor::fixed(4_500), Currency::Usd)),
    };
    let recommended = told.say(Event::Recommended { job, recommendation: Box::new(what) });
    let recommendation = crate::id::RecommendationId(recommended);
    told.say(Event::RecommendationAnswered { recommendation, reply: Reply::Declined });
    assert_eq!(
        told.sheet(job).consents[0].words,
        "Monday 4 May 2026, 10:20, by telephone (called 555 0100): P. Wherry agreed to USD\u{a0}60.00 more, 0:30 h: one more seal"
    );
    let own = Words::own();
    let recommended = recommended_for_summary(&told.book, job);
    let recommended: Vec<_> =
        recommended.iter().map(|(facts, reply)| words::recommended(&own, facts, *reply)).collect();
    assert_eq!(recommended, ["New raw-water hose, about USD\u{a0}45.00: declined (cracked)"]);
    assert_eq!(agreed_for_summary(&told.book, job), None, "nobody agreed to the estimate itself");
    assert_eq!(told.sheet(job).in_all, Vec::<String>::new());
    told.consent(job, Agreed::Estimate(made), Way::InPerson, None);
    assert_eq!(told.sheet(job).in_all.last().map(String::as_str), Some("Agreed in all: USD\u{a0}344.50"));
    let agreed = agreed_for_summary(&told.book, job).unwrap();
    assert_eq!(
        words::agreed(&own, agreed.total, agreed.more),
        ["Estimated: USD\u{a0}284.50", "Agreed beyond it: USD\u{a0}60.00", "Agreed in all: USD\u{a0}344.50"]
    );
}

#[test]
fn work_is_accepted_as_it_was_told() {
    let (mut told, job) = Told::new();
    let text = text_to_sign(&told.book, job, &Agreed::Work, Reader::default()).unwrap();
    assert!(text.as_str().starts_with("Work accepted, Lower Basin\nBoat: Heron, P. Wherry\nWork: Runs hot\n"));
    told.consent(job, Agreed::Work, Way::InPerson, Some(Signed::new(text, Strokes::default(), Reader::default())));
    let words = told.sheet(job).consents[0].words.clone();
    assert!(
        words.contains("in person, name typed as signature: P. Wherry agreed to the work as it was done"),
        "{words}"
    );
    told.say(Event::JobFinished { job });
    assert_eq!(told.sheet(job).consents[0].signed.as_ref().unwrap().state, SignedState::Differs);
}

#[test]
fn work_that_is_accepted_is_told_without_what_is_the_shops_and_an_older_text_says_the_same() {
    let (mut told, job) = Told::new();
    told.say(Event::LineAdded { job, pay: PayType::CustomerPay, complaint: Prose::new("Runs hot") });
    told.say(Event::LineAdded { job, pay: PayType::Internal, complaint: Prose::new("We left a clamp loose") });
    let item = ItemFacts {
        what: Label::new("Hose"),
        count: Count(1),
        stowed: Label::new("our tray 2"),
        ..ItemFacts::default()
    };
    told.say(Event::CameOff { job, item });
    let text = text_to_sign(&told.book, job, &Agreed::Work, Reader::default()).unwrap();
    assert!(text.as_str().contains("You told us: Runs hot\nStill off: Hose: off\n"), "{}", text.as_str());
    assert!(!text.as_str().contains("tray") && !text.as_str().contains("clamp"), "{}", text.as_str());
    // What was signed when all of it was told.
    let before = text.as_str().replace("Hose: off", "Hose: off, lies: our tray 2");
    let before = before.replace("Runs hot\nStill", "Runs hot\nYou told us: We left a clamp loose\nStill");
    let signed = Signed::new(Prose::new(&before), Strokes::default(), Reader::default());
    told.consent(job, Agreed::Work, Way::InPerson, Some(signed));
    assert_eq!(told.sheet(job).consents[0].signed.as_ref().unwrap().state, SignedState::Same);
}

#[test]
fn who_waives_the_estimate_signs_that_and_no_cost_is_told() {
    let (mut told, job) = Told::new();
    let what_for = Prose::new("Runs hot,\nloses coolant");
    let waiver = Estimate { lines: Vec::new(), taking_apart: None, rules: RuleSet::NewJersey, what_for, ..estimate() };
    let made = EstimateId(told.say(Event::EstimateMade { job, estimate: Box::new(waiver) }));
    let to = Agreed::Estimate(made);
    let text = text_to_sign(&told.book, job, &to, Reader::default()).unwrap();
    let expected = "Waiver of the estimate, Lower Basin
Boat: Heron, P. Wherry
Work: Runs hot
Asked for: Runs hot, loses coolant
Made on Monday 4 May 2026
You waive the written estimate. What is asked for above may be done without one; no cost is agreed beforehand.
It may be agreed to until Sunday 31 May 2026.
It follows New Jersey Administrative Code 13:45A-23 (watercraft; not oil changes and minor items). \
This is no legal advice: local law and counsel decide.";
    assert_eq!(text.as_str(), expected);
    told.consent(job, to, Way::InPerson, Some(Signed::new(text, Strokes::default(), Reader::default())));
    let sheet = told.sheet(job);
    let consent = &sheet.consents[0];
    assert_eq!(
        consent.words,
        "Monday 4 May 2026, 10:20, in person, name typed as signature: P. Wherry agreed to work without a \
         written estimate, which is waived"
    );
    assert_eq!(consent.signed.as_ref().map(|it| it.state), Some(SignedState::Same));
    let text = sheet.estimate.unwrap();
    assert!(text.is_waiver && text.lines.is_empty() && text.sums.is_empty());
    assert_eq!(agreed_for_summary(&told.book, job), None);
    assert_eq!(crate::view::overrun_card(&told.book, job, at("2026-05-04T18:00:00+01:00")), None);
    assert!(!crate::view::is_agreed(&told.book, job) && crate::view::is_waived(&told.book, job));
    let office = Agreements::of(&told.book, job).words();
    assert_eq!(office[0], "Of Monday 4 May 2026: the owner waives the estimate; rule: New Jersey, watercraft");
}
