//! The published rules of repair agreements for boats, as data.
//!
//! Each figure and each demand names the section that it is from. They were read
//! in published copies, not in the official ones, and laws change: a sheet that
//! follows one says so and says that local law and counsel decide. Following none
//! is a choice; then nothing is demanded, and what was agreed is still kept.
//!
//! Sources (read in copies of public sites, 2026): California Harbors and
//! Navigation Code sections 410 to 418; New Jersey Administrative Code
//! 13:45A-23; Miami-Dade County's published terms for motorboats under 16 feet.

use super::consent::{Agreed, Consent, Way};
use super::estimate::{Cost, Estimate};
use crate::money::Currency;
use crate::money::minor::Minor;

/// Which rules an agreement follows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum RuleSet {
    /// None.
    #[default]
    None,
    /// California: vessels used noncommercially.
    California,
    /// New Jersey: watercraft.
    NewJersey,
    /// Miami-Dade County: motorboats under 16 feet.
    MiamiDade,
}

/// Something with the place where it is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cited<T> {
    /// What is written there.
    pub value: T,
    /// The section.
    pub at: &'static str,
}

/// One place's rules.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rule {
    /// The law.
    pub law: &'static str,
    /// Which boats and which work it is for.
    pub covers: Cited<&'static str>,
    /// The currency of its figures.
    pub currency: Currency,
    /// From which cost on it asks for an estimate.
    pub asks_from: Option<Cited<From>>,
    /// How much more than was agreed passes without a new agreement.
    pub more: Option<Cited<More>>,
    /// What has to be there.
    pub demands: &'static [Cited<Demand>],
    /// What has to be there where the owner waives the written estimate; nothing is written of a
    /// waiver where this is empty.
    pub waiver: &'static [Cited<Demand>],
    /// What it asks for beyond what is kept here, so that it can only be told.
    pub duties: &'static [Cited<Duty>],
}

/// A least cost.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum From {
    /// So much or more.
    AtLeast(Minor),
    /// More than so much.
    Over(Minor),
}

/// How much more than was agreed passes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum More {
    /// Nothing.
    Nothing,
    /// A fixed amount or so many hundredths, whichever is less.
    Lesser {
        /// The amount.
        amount: Minor,
        /// The hundredths.
        percent: u8,
    },
}

/// Something that a rule demands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Demand {
    /// A consent to the estimate before the work.
    ConsentBefore,
    /// That consent is in writing: signed, or by letter or message.
    ConsentInWriting,
    /// What is asked for, or what is wrong.
    WhatFor,
    /// A price for taking apart and putting together again, gaskets and seals included, where it is taken apart to find out.
    PriceOfTakingApart,
    /// What is destroyed by taking apart, such as gaskets, seals and O-rings; it may be nothing.
    WhatIsDestroyed,
    /// The longest time until it is together again.
    TimeToReassemble,
    /// What each other charge is for, so that haul and transport stand by name.
    OthersItemised,
    /// Whoever agreed to more, by name.
    NameOfConsent,
    /// Which parts and which labour a consent to more adds.
    WhatIsAdded,
    /// What a consent to more adds in all.
    CostAdded,
    /// The waiver of the estimate, signed.
    WaiverSigned,
    /// The waiver of the estimate in writing: signed, or by letter or message.
    WaiverInWriting,
}

/// Something that a rule asks of a shop and that nothing kept here can show to be done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Duty {
    /// There is no lien on the boat unless the rule was followed.
    NoLienOtherwise,
    /// A consent by word of mouth to more stands on the work order and on the invoice.
    ConsentOnInvoice,
    /// The invoice has all work, that under warranty too; work and parts apart; subtotals of
    /// each, without sales tax; sales tax by itself.
    InvoiceApart,
    /// The invoice says of parts that they are used, rebuilt or reconditioned.
    UsedPartsNamed,
    /// The customer gets a copy of the invoice.
    CopyOfInvoice,
    /// The shop's name and address, and the telephone number under which it is listed.
    ShopsAddress,
    /// Work by time and materials goes by an authorization for that job.
    TimeAndMaterials,
    /// Charges for haul and transport are disclosed and itemised.
    HaulItemised,
}

const fn cited<T: Copy>(value: T, at: &'static str) -> Cited<T> {
    Cited { value, at }
}

const CALIFORNIA: Rule = Rule {
    law: "California Harbors and Navigation Code, sections 410 to 418",
    covers: cited("vessels used noncommercially; not one in distress that needs work at once", "sections 410 and 418"),
    currency: Currency::Usd,
    asks_from: Some(cited(From::AtLeast(Minor::fixed(10_000)), "section 411")),
    more: Some(cited(More::Nothing, "section 413(a)")),
    demands: &[
        cited(Demand::ConsentBefore, "section 413(a)"),
        cited(Demand::PriceOfTakingApart, "section 413(b)"),
        cited(Demand::WhatIsDestroyed, "section 413(b)"),
        cited(Demand::TimeToReassemble, "section 413(b)"),
        cited(Demand::NameOfConsent, "section 413(a)"),
        cited(Demand::WhatIsAdded, "section 413(a)"),
        cited(Demand::CostAdded, "section 413(a)"),
    ],
    // Section 417 lets work go by time and materials upon authorization; of a waiver nothing was read.
    waiver: &[],
    duties: &[
        cited(Duty::ConsentOnInvoice, "section 413(a)"),
        cited(Duty::InvoiceApart, "section 415"),
        cited(Duty::UsedPartsNamed, "section 415"),
        cited(Duty::CopyOfInvoice, "section 415"),
        cited(Duty::ShopsAddress, "section 416"),
        cited(Duty::TimeAndMaterials, "section 417"),
        cited(Duty::NoLienOtherwise, "section 412"),
    ],
};

const NEW_JERSEY: Rule = Rule {
    law: "New Jersey Administrative Code 13:45A-23",
    covers: cited("watercraft; not oil changes and minor items", "13:45A-23"),
    currency: Currency::Usd,
    asks_from: None,
    more: None,
    demands: &[
        cited(Demand::ConsentBefore, "13:45A-23"),
        cited(Demand::ConsentInWriting, "13:45A-23"),
        cited(Demand::WhatFor, "13:45A-23"),
        cited(Demand::OthersItemised, "13:45A-23"),
    ],
    // A not-to-exceed price, a breakdown, a dollar limit or a signed waiver; the authorization still
    // states what is asked for or what is wrong.
    waiver: &[cited(Demand::WaiverSigned, "13:45A-23"), cited(Demand::WhatFor, "13:45A-23")],
    duties: &[cited(Duty::HaulItemised, "13:45A-23")],
};

const MIAMI_DADE: Rule = Rule {
    law: "Miami-Dade County's rules for the repair of motorboats",
    covers: cited("powered boats under 16 feet", "the county's published terms"),
    currency: Currency::Usd,
    asks_from: Some(cited(From::Over(Minor::fixed(5_000)), "the county's published terms")),
    more: Some(cited(More::Lesser { amount: Minor::fixed(1_000), percent: 10 }, "the county's published terms")),
    demands: &[cited(Demand::ConsentBefore, "the county's published terms")],
    // Required over $50 "unless waived in writing".
    waiver: &[cited(Demand::WaiverInWriting, "the county's published terms")],
    duties: &[],
};

impl RuleSet {
    /// All, in the order in which they are offered.
    pub const ALL: [RuleSet; 4] = [RuleSet::None, RuleSet::California, RuleSet::NewJersey, RuleSet::MiamiDade];

    /// Returns its name in a record.
    pub const fn slug(self) -> &'static str {
        match self {
            RuleSet::None => "none",
            RuleSet::California => "california-vessels",
            RuleSet::NewJersey => "new-jersey-watercraft",
            RuleSet::MiamiDade => "miami-dade-motorboats",
        }
    }

    /// Returns the rule of this name.
    pub fn parse(slug: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|rules| rules.slug() == slug)
    }

    /// Returns what it is called where one chooses.
    pub const fn words(self) -> &'static str {
        match self {
            RuleSet::None => "none",
            RuleSet::California => "California, vessels",
            RuleSet::NewJersey => "New Jersey, watercraft",
            RuleSet::MiamiDade => "Miami-Dade, motorboats under 16 ft",
        }
    }

    /// Tells whether an owner may waive the written estimate.
    pub fn lets_waive(self) -> bool {
        self.rule().is_some_and(|rule| !rule.waiver.is_empty())
    }

    /// Returns the rule, if it is one.
    pub const fn rule(self) -> Option<&'static Rule> {
        match self {
            RuleSet::None => None,
            RuleSet::California => Some(&CALIFORNIA),
            RuleSet::NewJersey => Some(&NEW_JERSEY),
            RuleSet::MiamiDade => Some(&MIAMI_DADE),
        }
    }
}

impl From {
    /// Tells whether a cost is so much.
    pub fn takes(self, cost: Minor) -> bool {
        match self {
            From::AtLeast(least) => cost >= least,
            From::Over(most) => cost > most,
        }
    }
}

impl More {
    /// Returns up to which cost no new agreement is asked for.
    pub fn lets_pass(self, agreed: Minor) -> Minor {
        match self {
            More::Nothing => agreed,
            More::Lesser { amount, percent } => {
                // Rounded down: a cent more would be more than it says.
                let part = agreed.units().saturating_mul(u64::from(percent)) / 100;
                agreed.plus(Minor::new(part).unwrap_or(amount).min(amount))
            }
        }
    }
}

impl Rule {
    /// Tells whether it asks for an agreement on work of this cost.
    pub fn asks(&self, estimate: &Estimate) -> bool {
        let total = estimate.totals().total();
        estimate.currency == self.currency && self.asks_from.is_none_or(|from| from.value.takes(total))
    }
}

/// Returns what an estimate and the consents to it lack by the rule that it follows.
///
/// A consent that was given while the estimate held stays good after its last day.
pub fn missing(estimate: &Estimate, consents: &[&Consent]) -> Vec<Cited<Demand>> {
    let Some(rule) = estimate.rules.rule() else { return Vec::new() };
    let demands = match () {
        () if estimate.is_waiver() => rule.waiver,
        () if rule.asks(estimate) => rule.demands,
        () => return Vec::new(),
    };
    let agreed = |consent: &&&Consent| matches!(consent.to, Agreed::Estimate(_)) && estimate.holds_on(consent.at.day());
    let before: Vec<&&Consent> = consents.iter().filter(agreed).collect();
    let in_writing = before.iter().any(|it| it.signed.is_some() || it.way == Way::Writing);
    let is_bare = |of: fn(&Consent) -> bool| consents.iter().any(|it| matches!(it.to, Agreed::More { .. }) && of(it));
    let lacks = |demand: Demand| match demand {
        Demand::ConsentBefore => before.is_empty(),
        Demand::ConsentInWriting => !in_writing,
        Demand::WhatFor => estimate.what_for.is_empty(),
        Demand::PriceOfTakingApart => estimate.taking_apart.as_ref().is_some_and(|it| it.price == Minor::NOTHING),
        Demand::WhatIsDestroyed => estimate.taking_apart.as_ref().is_some_and(|it| it.destroyed.is_empty()),
        Demand::OthersItemised => estimate.lines.iter().any(|it| it.cost == Cost::Other && it.words.is_empty()),
        Demand::TimeToReassemble => estimate.taking_apart.as_ref().is_some_and(|it| it.days == 0),
        Demand::NameOfConsent => is_bare(|it| it.by.is_empty()),
        Demand::WhatIsAdded => is_bare(|it| matches!(&it.to, Agreed::More { what, .. } if what.is_empty())),
        Demand::CostAdded => is_bare(|it| matches!(it.to, Agreed::More { added: Minor::NOTHING, .. })),
        Demand::WaiverSigned => !before.iter().any(|it| it.signed.is_some()),
        Demand::WaiverInWriting => !in_writing,
    };
    demands.iter().filter(|it| lacks(it.value)).copied().collect()
}

#[cfg(test)]
mod tests {
    use super::super::consent::{Signed, Strokes};
    use super::super::estimate::TakingApart;
    use super::super::estimate::tests::{line, of};
    use super::*;
    use crate::event::Reader;
    use crate::id::{DeviceId, EstimateId, EventId};
    use crate::moment::Moment;
    use crate::text::{Label, Prose};

    fn costing(units: u32, rules: RuleSet) -> Estimate {
        Estimate { rules, ..of(vec![line(Cost::Labour { minutes: 60 }, "", units)]) }
    }

    fn consent(to: Agreed, way: Way) -> Consent {
        let at = Moment::parse("2026-05-04T09:00:00-04:00").unwrap();
        Consent { to, by: Label::new("P. Wherry"), at, way, signed: None }
    }

    const ESTIMATE: EstimateId = EstimateId(EventId { device: DeviceId::new([1; 8]), seq: 9 });

    fn found(estimate: &Estimate, consents: &[&Consent]) -> Vec<Demand> {
        missing(estimate, consents).into_iter().map(|it| it.value).collect()
    }

    #[test]
    fn thresholds_are_those_that_were_published() {
        let asks = |units, rules: RuleSet| rules.rule().is_some_and(|rule| rule.asks(&costing(units, rules)));
        // Harbors and Navigation Code section 411: an estimated cost of $100 or more.
        assert_eq!((asks(9_999, RuleSet::California), asks(10_000, RuleSet::California)), (false, true));
        // Miami-Dade's published terms: over $50.
        assert_eq!((asks(5_000, RuleSet::MiamiDade), asks(5_001, RuleSet::MiamiDade)), (false, true));
        assert_eq!((asks(1, RuleSet::NewJersey), asks(100_000, RuleSet::None)), (true, false));
        // Figures in dollars say nothing of another currency.
        let in_euro = Estimate { currency: Currency::Eur, ..costing(50_000, RuleSet::California) };
        assert!(!RuleSet::California.rule().unwrap().asks(&in_euro));
    }

    #[test]
    fn more_than_ten_dollars_or_a_tenth_whichever_is_less_wants_a_new_agreement() {
        // Miami-Dade's published terms, reckoned for two estimates.
        let more = RuleSet::MiamiDade.rule().unwrap().more.unwrap().value;
        for (agreed, passes) in [(8_000, 8_800), (50_000, 51_000), (10_000, 11_000), (0, 0), (9_999, 10_998)] {
            assert_eq!(more.lets_pass(Minor::fixed(agreed)), Minor::fixed(passes));
        }
        let none = RuleSet::California.rule().unwrap().more.unwrap().value;
        assert_eq!(none.lets_pass(Minor::fixed(8_000)), Minor::fixed(8_000));
    }

    #[test]
    fn a_consent_by_telephone_notes_name_parts_labour_and_cost() {
        // Harbors and Navigation Code section 413(a).
        let estimate = costing(50_000, RuleSet::California);
        let agreed = consent(Agreed::Estimate(ESTIMATE), Way::Telephone { number: Label::default() });
        assert_eq!(found(&estimate, &[]), [Demand::ConsentBefore]);
        assert_eq!(found(&estimate, &[&agreed]), []);
        let more = |what: &str, units, by: &str| {
            let to =
                Agreed::More { estimate: ESTIMATE, what: Prose::new(what), added: Minor::fixed(units), minutes: 30 };
            Consent { by: Label::new(by), ..consent(to, Way::Telephone { number: Label::new("555 0100") }) }
        };
        assert_eq!(found(&estimate, &[&agreed, &more("a seal", 4_000, "P. Wherry")]), []);
        let bare = more("", 0, "");
        assert_eq!(
            found(&estimate, &[&agreed, &bare]),
            [Demand::NameOfConsent, Demand::WhatIsAdded, Demand::CostAdded]
        );
    }

    #[test]
    fn taking_apart_wants_its_price_and_the_longest_time() {
        // Harbors and Navigation Code section 413(b).
        let agreed = consent(Agreed::Estimate(ESTIMATE), Way::InPerson);
        let apart = |units, days, destroyed: &[&str]| {
            let destroyed = destroyed.iter().copied().map(Label::new).collect();
            let taking_apart =
                Some(TakingApart { price: Minor::fixed(units), days, destroyed, ..TakingApart::default() });
            found(&Estimate { taking_apart, ..costing(50_000, RuleSet::California) }, &[&agreed])
        };
        assert_eq!(apart(0, 0, &["gasket"]), [Demand::PriceOfTakingApart, Demand::TimeToReassemble]);
        assert_eq!(apart(18_000, 10, &["gasket"]), []);
        // The price includes "items such as gaskets, seals, and O rings": which, is asked where none is named.
        assert_eq!(apart(18_000, 10, &[]), [Demand::WhatIsDestroyed]);
    }

    #[test]
    fn haul_and_transport_stand_by_name() {
        // N.J.A.C. 13:45A-23: haul and transport charges are disclosed and itemized.
        let letter = consent(Agreed::Estimate(ESTIMATE), Way::Writing);
        let with = |words, rules| {
            let mut estimate = costing(50_000, rules);
            estimate.lines.push(line(Cost::Other, words, 12_000));
            found(&estimate, &[&letter])
        };
        assert_eq!(with("", RuleSet::NewJersey), [Demand::OthersItemised]);
        assert_eq!(with("haul-out", RuleSet::NewJersey), []);
        assert_eq!(with("", RuleSet::California), []);
    }

    #[test]
    fn every_duty_has_its_section_and_stands_once() {
        for rule in RuleSet::ALL.into_iter().filter_map(RuleSet::rule) {
            let mut duties: Vec<Duty> = rule.duties.iter().map(|it| it.value).collect();
            duties.sort_unstable();
            duties.dedup();
            assert_eq!(duties.len(), rule.duties.len(), "{}", rule.law);
        }
        let at = |rules: RuleSet| rules.rule().map(|rule| rule.duties.iter().map(|it| it.at).collect::<Vec<_>>());
        // Harbors and Navigation Code section 415 is the invoice, 416 the shop's name, 417 time and materials.
        let california = ["section 413(a)", "section 415", "section 415", "section 415", "section 416", "section 417"];
        assert_eq!(at(RuleSet::California).unwrap()[..6], california);
        assert_eq!(at(RuleSet::NewJersey).unwrap(), ["13:45A-23"]);
        assert_eq!(at(RuleSet::MiamiDade).unwrap(), [""; 0]);
    }

    #[test]
    fn where_writing_is_asked_for_a_call_is_not_enough() {
        // N.J.A.C. 13:45A-23: written authorization that states the problem.
        let estimate = costing(50_000, RuleSet::NewJersey);
        let call = consent(Agreed::Estimate(ESTIMATE), Way::Telephone { number: Label::default() });
        assert_eq!(found(&estimate, &[&call]), [Demand::ConsentInWriting]);
        let signed = Signed::new(Prose::new("Total"), Strokes::default(), Reader::default());
        assert_eq!(found(&estimate, &[&call, &Consent { signed: Some(signed), ..call.clone() }]), []);
        assert_eq!(found(&estimate, &[&consent(Agreed::Estimate(ESTIMATE), Way::Writing)]), []);
        let unsaid = Estimate { what_for: Prose::default(), ..estimate };
        assert_eq!(found(&unsaid, &[&consent(Agreed::Estimate(ESTIMATE), Way::Writing)]), [Demand::WhatFor]);
    }

    #[test]
    fn an_owner_waives_the_estimate_only_where_and_as_it_is_published() {
        // N.J.A.C. 13:45A-23: a signed waiver. Miami-Dade's published terms: over $50 unless waived
        // in writing. Harbors and Navigation Code sections 410 to 418: nothing read of a waiver.
        assert_eq!(RuleSet::ALL.map(RuleSet::lets_waive), [false, false, true, true]);
        let waiver = |rules| Estimate { lines: Vec::new(), ..costing(0, rules) };
        let (jersey, dade) = (waiver(RuleSet::NewJersey), waiver(RuleSet::MiamiDade));
        assert_eq!(found(&jersey, &[]), [Demand::WaiverSigned]);
        assert_eq!(found(&dade, &[]), [Demand::WaiverInWriting]);
        let call = consent(Agreed::Estimate(ESTIMATE), Way::Telephone { number: Label::default() });
        let letter = consent(Agreed::Estimate(ESTIMATE), Way::Writing);
        let text = Signed::new(Prose::new("You waive"), Strokes::default(), Reader::default());
        let signed = Consent { signed: Some(text), ..consent(Agreed::Estimate(ESTIMATE), Way::InPerson) };
        assert_eq!((found(&jersey, &[&call]), found(&dade, &[&call])), (found(&jersey, &[]), found(&dade, &[])));
        assert_eq!((found(&jersey, &[&letter]), found(&dade, &[&letter])), (vec![Demand::WaiverSigned], vec![]));
        assert_eq!((found(&jersey, &[&signed]), found(&dade, &[&signed])), (vec![], vec![]));
        let unsaid = Estimate { what_for: Prose::default(), ..jersey };
        assert_eq!(found(&unsaid, &[&signed]), [Demand::WhatFor]);
    }

    #[test]
    fn what_is_agreed_after_the_last_day_is_no_consent_to_it() {
        let estimate = costing(50_000, RuleSet::California);
        let late = Moment::parse("2026-06-01T09:00:00-04:00").unwrap();
        let late = Consent { at: late, ..consent(Agreed::Estimate(ESTIMATE), Way::InPerson) };
        assert_eq!(found(&estimate, &[&late]), [Demand::ConsentBefore]);
    }

    #[test]
    fn names_read_back_and_none_demands_nothing() {
        for rules in RuleSet::ALL {
            assert_eq!(RuleSet::parse(rules.slug()), Some(rules));
        }
        assert_eq!(found(&costing(900_000, RuleSet::None), &[]), []);
    }
}
