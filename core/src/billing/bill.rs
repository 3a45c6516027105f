//! A bill as plain data: its lines, where each comes from, and what is still open.

use std::fmt;

use super::prices::PriceList;
use super::rule::Tie;
use crate::event::{Activity, PayType};
use crate::id::{EventId, JobId, LineId, PartId};
use crate::moment::{Day, Length};
use crate::money::tax::Tax;
use crate::money::totals::{Document, Taxed, Totals, totals};
use crate::money::{Money, MoneyError, Price, Quantity};
use crate::text::Label;

/// All bills of a job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JobBills {
    /// One for each pay type with something to bill.
    pub bills: Vec<Bill>,
    /// What has to be answered before any of them can go out.
    pub questions: Vec<Question>,
}

/// What one job comes to for one who pays.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bill {
    /// The job.
    pub job: JobId,
    /// Who pays.
    pub pay: PayType,
    /// Its lines: time in the order of the job's lines, then travel, parts, minimum and supplies.
    pub lines: Vec<BillLine>,
    /// What has to be answered before it can go out.
    pub questions: Vec<Question>,
}

/// A line of a bill.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BillLine {
    /// What it is for.
    pub item: Item,
    /// The same in words.
    pub words: String,
    /// Who did it; of several the names with commas between.
    pub by: Label,
    /// The rule that sets its price; empty where there is none.
    pub rule: Label,
    /// The first day of it.
    pub first: Day,
    /// The last day of it.
    pub last: Day,
    /// How much.
    pub quantity: Quantity,
    /// Of what.
    pub unit: Unit,
    /// For how much each.
    pub price: Price,
    /// What it comes to.
    pub gross: Money,
    /// What is taken off.
    pub discount: Money,
    /// What is left.
    pub net: Money,
    /// The tax that is on it.
    pub tax: Tax,
    /// The events that it comes from.
    pub from: Vec<EventId>,
}

/// What a line of a bill is for.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Item {
    /// Time by the clock.
    Time(LineId, Activity),
    /// A line at a flat rate.
    Flat(LineId),
    /// A line that is not charged.
    NoCharge(LineId),
    /// Travel to a zone.
    Zone(Label),
    /// A part.
    Part(PartId),
    /// What is missing to the shop's least charge of a job, in hours.
    Least,
    /// What is missing to the minimum charge.
    Minimum,
    /// Shop supplies.
    Supplies,
}

/// What a quantity counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Unit {
    /// Hours.
    Hour,
    /// Pieces, days of travel, a charge.
    Each,
}

impl Unit {
    /// Returns the word.
    pub const fn words(self) -> &'static str {
        match self {
            Unit::Hour => "hour",
            Unit::Each => "each",
        }
    }

    /// Returns so much of it in words, for people: `1 hour`, `1.5 hours`, `2 each`.
    pub fn counted(self, quantity: Quantity) -> String {
        let is_one = quantity.decimal().abs() == Quantity::ONE.decimal();
        match self {
            Unit::Hour if !is_one => format!("{quantity} hours"),
            _ => format!("{quantity} {}", self.words()),
        }
    }
}

/// The name of an item within the bills of a shop: the same as long as it stands for the same.
impl fmt::Display for Item {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Item::Time(line, activity) => write!(f, "{line} {}", activity.words()),
            Item::Flat(line) => write!(f, "{line} flat"),
            Item::NoCharge(line) => write!(f, "{line} no charge"),
            Item::Zone(zone) => write!(f, "travel to {zone}"),
            Item::Part(part) => write!(f, "{part} part"),
            Item::Least => f.write_str("least charge"),
            Item::Minimum => f.write_str("minimum"),
            Item::Supplies => f.write_str("supplies"),
        }
    }
}

impl Item {
    /// Reads the name of an item, as its `Display` writes it.
    pub fn parse(text: &str) -> Option<Self> {
        match text {
            "least charge" => return Some(Self::Least),
            "minimum" => return Some(Self::Minimum),
            "supplies" => return Some(Self::Supplies),
            _ => {}
        }
        if let Some(zone) = text.strip_prefix("travel to ") {
            return Some(Self::Zone(Label::new(zone)));
        }
        let (id, what) = text.split_once(' ')?;
        let id = EventId::parse(id)?;
        let activity = || Activity::ALL.into_iter().find(|known| known.words() == what);
        Some(match what {
            "flat" => Self::Flat(LineId(id)),
            "no charge" => Self::NoCharge(LineId(id)),
            "part" => Self::Part(PartId(id)),
            _ => Self::Time(LineId(id), activity()?),
        })
    }
}

/// What the list or the book leaves open.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Question {
    /// No rate holds.
    #[error("no rate holds for {0} on {1}: add one to the price list")]
    NoRate(&'static str, Day),
    /// No tax is named.
    #[error("no tax is named for {0}: add a rule to the price list, also for what is exempt")]
    NoTax(&'static str),
    /// Two rules hold.
    #[error(transparent)]
    Tie(#[from] Tie),
    /// The berth is in no zone.
    #[error("the berth {0:?} is in no zone of travel: add it to one in the price list")]
    NoZone(String),
    /// A part's cost is not known.
    #[error("the cost of {0:?} is not known: add its number to the costs in the price list")]
    NoCost(String),
    /// A part on a job that several pay, or nobody.
    #[error("{0:?} is on a job that not just one pays: say on a job of its own who pays for it")]
    PartOfNoLine(String),
    /// Time with no line named.
    #[error("{} of time is on no line of the job: ask the technician to mend it", .0.clock_face())]
    TimeOfNoLine(Length),
    /// Two phones say different things of a time on the job.
    #[error("two phones say different things of {}: ask the technician to mend it", .0)]
    TwoPhones(Day),
    /// The figures do not go.
    #[error(transparent)]
    Money(#[from] MoneyError),
}

impl JobBills {
    /// Tells whether nothing is left to ask.
    pub fn are_ready(&self) -> bool {
        self.questions.is_empty() && self.bills.iter().all(|bill| bill.questions.is_empty())
    }
}

impl Bill {
    /// Returns its sums.
    ///
    /// # Errors
    /// When a sum is too large.
    pub fn totals(&self, prices: &PriceList) -> Result<Totals, MoneyError> {
        let taxed = |line: &BillLine| Taxed { net: line.net, tax: line.tax.clone() };
        let lines = self.lines.iter().map(taxed).collect();
        totals(&Document::of(lines, prices.currency), prices.tax_by)
    }
}
