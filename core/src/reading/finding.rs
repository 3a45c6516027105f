//! What a reading comes to: a verdict in words, with the rule that gave it.
//!
//! There is never a verdict alone: each reason names its rule, where the rule is from
//! and what standing that has. The engine's own limits, typed from its manual, rule
//! over common practice; a standard or a regulation goes on counting beside them.

use super::form::Name;
use super::unit::Unit;

/// How a reading stands, from what matters least to what matters most.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// There is nothing to hold it against, or too little is known.
    CannotSay,
    /// As it should be.
    Within,
    /// Not yet wrong: look again soon, or look closer.
    Watch,
    /// Not as it should be.
    OutOf,
}

impl Verdict {
    /// Returns the verdict in words.
    pub const fn words(self) -> &'static str {
        match self {
            Verdict::CannotSay => "Cannot say",
            Verdict::Within => "Within limits",
            Verdict::Watch => "Watch it",
            Verdict::OutOf => "Out of limits",
        }
    }
}

/// What standing a rule has.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Standing {
    /// What the technician entered for this engine or this reading.
    Entered,
    /// Law.
    Regulation,
    /// A published standard.
    Standard,
    /// How it follows from the figures alone.
    Arithmetic,
    /// What is commonly done.
    Practice,
}

impl Standing {
    /// Returns the standing in words.
    pub const fn words(self) -> &'static str {
        match self {
            Standing::Entered => "entered limit",
            Standing::Regulation => "regulation",
            Standing::Standard => "standard",
            Standing::Arithmetic => "arithmetic",
            Standing::Practice => "common practice",
        }
    }
}

/// A rule by which a reading is judged.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rule {
    /// What it says.
    pub words: &'static str,
    /// What standing it has.
    pub standing: Standing,
    /// Where it stands; empty where nobody wrote it down.
    pub source: &'static str,
}

impl Rule {
    /// Returns a rule of common practice, with where it was seen.
    pub const fn practice(words: &'static str, source: &'static str) -> Self {
        Self { words, standing: Standing::Practice, source }
    }

    /// Returns a rule that is arithmetic.
    pub const fn arithmetic(words: &'static str, source: &'static str) -> Self {
        Self { words, standing: Standing::Arithmetic, source }
    }

    /// Returns the rule with its standing and its source, in one line.
    pub fn told(&self) -> String {
        let mut told = String::from(self.words);
        for piece in [" (", self.standing.words(), if self.source.is_empty() { "" } else { "; " }, self.source, ")"] {
            told.push_str(piece);
        }
        told
    }
}

/// Why a reading stands as it does.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reason {
    /// What this reason alone would say.
    pub verdict: Verdict,
    /// What was found, in words.
    pub words: String,
    /// The rule with its standing and source.
    pub rule: String,
    /// The standing of the rule.
    pub standing: Standing,
}

/// Something that was worked out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Told {
    /// What it is.
    pub words: &'static str,
    /// The figure with its unit.
    pub value: String,
}

/// An amount that is worth following from year to year, and that own limits may be set for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Point {
    /// What it is.
    pub name: Name,
    /// Which of several, from 1; 0 for the only one.
    pub nth: u8,
    /// The amount; see [`super::unit`].
    pub amount: i64,
    /// In which unit it is told.
    pub unit: Unit,
    /// With how many decimals.
    pub places: u8,
}

impl Point {
    /// Returns the amount with its unit.
    pub fn told(&self) -> String {
        self.unit.told(self.amount, self.places)
    }
}

/// What a judge found.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Finding {
    /// What was worked out, the most important first.
    pub told: Vec<Told>,
    /// Why it stands as it does.
    pub reasons: Vec<Reason>,
    /// What is worth following.
    pub points: Vec<Point>,
    /// What to do next.
    pub next: Vec<&'static str>,
}

impl Finding {
    /// Adds something that was worked out.
    pub fn tell(&mut self, words: &'static str, value: String) {
        self.told.push(Told { words, value });
    }

    /// Adds a reason.
    pub fn say(&mut self, verdict: Verdict, words: impl Into<String>, rule: &Rule) {
        self.reasons.push(Reason { verdict, words: words.into(), rule: rule.told(), standing: rule.standing });
    }

    /// Adds an amount that is worth following.
    pub fn point(&mut self, name: Name, nth: u8, amount: i64, unit: Unit, places: u8) {
        self.points.push(Point { name, nth, amount, unit, places });
    }

    /// Adds what to do next.
    pub fn advise(&mut self, words: &'static str) {
        self.next.push(words);
    }

    /// Returns the verdict of all reasons together: the gravest of them.
    pub fn verdict(&self) -> Verdict {
        self.reasons.iter().map(|reason| reason.verdict).max().unwrap_or(Verdict::CannotSay)
    }
}

/// Returns which of three an amount is: good up to `good`, to be watched up to `watch`, else out.
pub(super) fn up_to(amount: i64, good: i64, watch: i64) -> Verdict {
    match amount {
        _ if amount <= good => Verdict::Within,
        _ if amount <= watch => Verdict::Watch,
        _ => Verdict::OutOf,
    }
}

/// Returns which of three an amount is: good from `good`, to be watched from `watch`, else out.
pub(super) fn from(amount: i64, good: i64, watch: i64) -> Verdict {
    up_to(-amount, -good, -watch)
}
