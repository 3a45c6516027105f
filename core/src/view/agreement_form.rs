//! Agreements as they are typed: lines of an estimate, the estimate, a consent, a recommendation.
//!
//! A form holds texts and choices and is read whole; the first thing that cannot
//! be read is told with what to write instead. An amount may be typed as what it
//! is, as so much an hour (`95/h`), as so much each (`12.50 each`) or, for tax, as
//! hundredths of the lines before it (`7.25 %`), rounded half up to the minor unit
//! (Streamlined Sales and Use Tax Agreement section 324).

use crate::agreement::consent::{Agreed, Consent, Signed, Strokes, Way};
use crate::agreement::estimate::{Cost, CostLine, Estimate, Form, TakingApart};
use crate::agreement::rules::RuleSet;
use crate::book::Book;
use crate::event::Recommendation;
use crate::id::{EstimateId, JobId};
use crate::mending::time_of_day;
use crate::moment::{Day, Length, Moment};
use crate::money::Currency;
use crate::money::minor::{Minor, NoAmount};
use crate::quantity::{Count, billed_minutes};
use crate::sheet::agreement::{owners_reader, text_to_sign, words};
use crate::text::{Label, Prose};
use crate::words::Words;

/// What was typed makes no agreement, and what to write instead.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NotAgreed {
    /// An amount.
    #[error(transparent)]
    Amount(#[from] NoAmount),
    /// Hours.
    #[error("hours are written as 2.5 or 2:30")]
    Hours,
    /// A rate without hours.
    #[error("a rate an hour needs the hours: write them first, as 2.5 or 2:30")]
    NoHours,
    /// A count.
    #[error("write how many as a whole number")]
    Count,
    /// Hundredths.
    #[error("tax is written as an amount, or as 7.25 %")]
    Percent,
    /// A day.
    #[error("choose the last day, or leave it empty")]
    Day,
    /// Days.
    #[error("write the longest time in whole days")]
    Days,
    /// A time.
    #[error("a time is written as 10:20; leave it empty for now")]
    Time,
    /// No estimate.
    #[error("make an estimate first")]
    NoEstimate,
}

/// One line of an estimate as it is typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct LineEntry {
    /// Which of [`Cost::ALL`].
    pub kind: usize,
    /// What it is for.
    pub words: String,
    /// Hours of labour, or how many parts; not looked at for others.
    pub size: String,
    /// How much.
    pub amount: String,
}

impl LineEntry {
    /// Reads it; `before` are the lines that stand already.
    ///
    /// # Errors
    /// Returns what to write instead.
    pub fn read(&self, currency: Currency, before: &[CostLine]) -> Result<CostLine, NotAgreed> {
        let (size, amount, words) = (self.size.trim(), self.amount.trim(), Label::new(&self.words));
        let plain = |text: &str| Minor::parse(text, currency).map_err(NotAgreed::Amount);
        let cost = match Cost::ALL.get(self.kind).copied().unwrap_or(Cost::Other) {
            Cost::Labour { .. } if size.is_empty() => Cost::Labour { minutes: 0 },
            Cost::Labour { .. } => Cost::Labour { minutes: billed_minutes(size).ok_or(NotAgreed::Hours)? },
            Cost::Parts { .. } if size.is_empty() => Cost::Parts { count: Count(1) },
            Cost::Parts { .. } => {
                Cost::Parts { count: Count(size.parse().ok().filter(|&it| it > 0).ok_or(NotAgreed::Count)?) }
            }
            other => other,
        };
        if let (Cost::Labour { minutes }, Some(rate)) = (cost, amount.strip_suffix("/h")) {
            let rate = plain(rate)?;
            return if minutes == 0 {
                Err(NotAgreed::NoHours)
            } else {
                Ok(CostLine { cost, words, amount: half_up(rate, u64::from(minutes), 60) })
            };
        }
        if let (Cost::Parts { count }, Some(each)) = (cost, amount.strip_suffix("each")) {
            return Ok(CostLine { cost, words, amount: half_up(plain(each)?, u64::from(count.0), 1) });
        }
        if let (Cost::Tax, Some(percent)) = (cost, amount.strip_suffix('%')) {
            return tax(percent.trim(), currency, before, words);
        }
        Ok(CostLine { cost, words, amount: plain(amount)? })
    }

    /// Returns it as one line of text, so that a half-made estimate can be kept as a draft.
    pub fn of(line: &CostLine, currency: Currency) -> Self {
        let kind = match line.cost {
            Cost::Labour { .. } => 0,
            Cost::Parts { .. } => 1,
            Cost::ShopSupplies => 2,
            Cost::Other => 3,
            Cost::Tax => 4,
        };
        let size = match line.cost {
            Cost::Labour { minutes: 0 } => String::new(),
            Cost::Labour { minutes } => Length::from_ms(u64::from(minutes) * 60_000).clock_face(),
            Cost::Parts { count } => count.to_string(),
            _ => String::new(),
        };
        Self { kind, words: line.words.to_string(), size, amount: line.amount.figure(currency) }
    }
}

/// Returns the lines as a text that [`lines_of_draft`] reads back.
pub fn draft_of_lines(lines: &[CostLine], currency: Currency) -> String {
    let row = |line: &CostLine| {
        let LineEntry { kind, words, size, amount } = LineEntry::of(line, currency);
        [kind.to_string(), size, amount, words].join("\t")
    };
    lines.iter().map(row).collect::<Vec<_>>().join("\n")
}

/// Reads the lines of a draft; one that cannot be read is left out.
pub fn lines_of_draft(text: &str, currency: Currency) -> Vec<CostLine> {
    let line = |row: &str| {
        let mut parts = row.splitn(4, '\t').map(str::to_owned);
        let mut next = || parts.next();
        let entry = LineEntry { kind: next()?.parse().ok()?, size: next()?, amount: next()?, words: next()? };
        entry.read(currency, &[]).ok()
    };
    text.lines().filter_map(line).collect()
}

fn half_up(amount: Minor, part: u64, whole: u64) -> Minor {
    let exact = u128::from(amount.units()) * u128::from(part) * 2 + u128::from(whole);
    Minor::new(u64::try_from(exact / (u128::from(whole) * 2)).unwrap_or(u64::MAX)).unwrap_or(amount)
}

fn tax(percent: &str, currency: Currency, before: &[CostLine], words: Label) -> Result<CostLine, NotAgreed> {
    // Hundredths with up to four decimals, as whole millionths.
    let (whole, part) = percent.split_once(['.', ',']).unwrap_or((percent, ""));
    let digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    if whole.is_empty() || whole.len() > 2 || part.len() > 4 || !digits(whole) || !digits(part) {
        return Err(NotAgreed::Percent);
    }
    let millionths: u64 = format!("{whole}{part:0<4}").parse().map_err(|_| NotAgreed::Percent)?;
    let of: Minor = before.iter().filter(|line| line.cost != Cost::Tax).map(|line| line.amount).sum();
    let told = format!("{percent} % of {}", of.figure(currency));
    let words = if words.is_empty() { Label::new(&told) } else { Label::new(&format!("{words}, {told}")) };
    Ok(CostLine { cost: Cost::Tax, words, amount: half_up(of, millionths, 1_000_000) })
}

/// An estimate as it is typed, its lines read already.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EstimateEntry {
    /// What is asked for.
    pub what_for: String,
    /// In which currency.
    pub currency: Currency,
    /// What it promises.
    pub form: Form,
    /// Its lines.
    pub lines: Vec<CostLine>,
    /// The last day, as `2026-05-31`; empty for none.
    pub valid_until: String,
    /// Whether it is taken apart to find out.
    pub apart: bool,
    /// What that costs, with putting together again.
    pub apart_price: String,
    /// What it destroys, with commas between.
    pub destroyed: String,
    /// The longest time until it is together again, in days.
    pub days: String,
    /// Why it may not go back as it was.
    pub not_as_it_was: String,
    /// Which rules it follows.
    pub rules: RuleSet,
    /// Whether the work summary tells it.
    pub on_summary: bool,
}

impl EstimateEntry {
    /// Returns the form as it begins: the estimate that stands, or the job's complaints, its
    /// off-list and what was chosen the last time.
    pub fn first(book: &Book, job: JobId) -> Self {
        let last = book.agreements.estimates().next_back().map(|made| &made.estimate);
        let said = book.jobs.lines_of(job).map(|line| line.complaint.as_str()).filter(|text| !text.is_empty());
        let blank = Self {
            what_for: said.collect::<Vec<_>>().join("\n"),
            currency: last.map_or(Currency::Usd, |it| it.currency),
            form: Form::Itemised,
            lines: Vec::new(),
            valid_until: String::new(),
            apart: false,
            apart_price: String::new(),
            destroyed: super::destroyed_by_taking_apart(book, job).join(", "),
            days: String::new(),
            not_as_it_was: String::new(),
            rules: last.map_or(RuleSet::None, |it| it.rules),
            on_summary: last.is_some_and(|it| it.on_summary),
        };
        match book.agreements.current(job) {
            Some(made) => Self::of(&made.estimate, blank),
            None => blank,
        }
    }

    fn of(estimate: &Estimate, blank: Self) -> Self {
        let entry = Self {
            what_for: estimate.what_for.to_string(),
            currency: estimate.currency,
            form: estimate.form,
            lines: estimate.lines.clone(),
            valid_until: estimate.valid_until.map(|day| day.to_string()).unwrap_or_default(),
            rules: estimate.rules,
            on_summary: estimate.on_summary,
            ..blank
        };
        let Some(apart) = &estimate.taking_apart else { return entry };
        Self {
            apart: true,
            apart_price: apart.price.figure(estimate.currency),
            destroyed: apart.destroyed.iter().map(Label::as_str).collect::<Vec<_>>().join(", "),
            days: apart.days.to_string(),
            not_as_it_was: apart.not_as_it_was.to_string(),
            ..entry
        }
    }

    /// Reads it.
    ///
    /// # Errors
    /// Returns what to write instead.
    pub fn read(&self) -> Result<Estimate, NotAgreed> {
        let day = self.valid_until.trim();
        let valid_until = if day.is_empty() { None } else { Some(Day::parse(day).ok_or(NotAgreed::Day)?) };
        Ok(Estimate {
            what_for: Prose::new(&self.what_for),
            currency: self.currency,
            form: self.form,
            lines: self.lines.clone(),
            valid_until,
            taking_apart: if self.apart { Some(self.taking_apart()?) } else { None },
            rules: self.rules,
            on_summary: self.on_summary,
        })
    }

    /// Reads what the owner says who waives the estimate: the same without any cost.
    ///
    /// # Errors
    /// Returns what to write instead.
    pub fn read_waiver(&self) -> Result<Estimate, NotAgreed> {
        let blank = Self { lines: Vec::new(), form: Form::Itemised, apart: false, on_summary: false, ..self.clone() };
        blank.read()
    }

    fn taking_apart(&self) -> Result<TakingApart, NotAgreed> {
        let price = self.apart_price.trim();
        let price = if price.is_empty() { Minor::NOTHING } else { Minor::parse(price, self.currency)? };
        let days = self.days.trim();
        Ok(TakingApart {
            price,
            destroyed: self.destroyed.split(',').map(Label::new).filter(|what| !what.is_empty()).collect(),
            days: if days.is_empty() { 0 } else { days.parse().map_err(|_| NotAgreed::Days)? },
            not_as_it_was: Label::new(&self.not_as_it_was),
        })
    }
}

/// Returns a line in words, with its kind.
pub fn cost_line_words(line: &CostLine) -> String {
    let (own, told) = (Words::own(), words::line(&Words::own(), line));
    if line.words.is_empty() { told } else { format!("{}: {told}", words::sum(&own, line.cost)) }
}

/// Returns what some lines come to, as a form shows it.
pub fn total_of(lines: &[CostLine], currency: Currency) -> String {
    lines.iter().map(|line| line.amount).sum::<Minor>().words(currency)
}

/// What somebody is asked to agree to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Asked {
    /// The estimate that stands.
    Estimate,
    /// More than the one that was agreed to.
    More,
    /// The work as it was done.
    Work,
}

/// A consent as it is typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ConsentEntry {
    /// By which way: in person, by telephone, in writing.
    pub way: usize,
    /// Who.
    pub by: String,
    /// The number that was called.
    pub number: String,
    /// At which time of today; empty for now.
    pub time: String,
    /// Which parts and labour are added.
    pub what: String,
    /// What that costs.
    pub added: String,
    /// How many hours it adds.
    pub hours: String,
}

impl ConsentEntry {
    /// The ways, in the order in which they are offered.
    pub const WAYS: [&'static str; 3] = ["in person", "by telephone", "in writing"];

    /// Returns what is agreed to, as far as it can be read.
    ///
    /// # Errors
    /// Returns what to write instead.
    pub fn to(&self, book: &Book, job: JobId, asked: Asked) -> Result<Agreed, NotAgreed> {
        let of = &book.agreements;
        let current = || of.current(job).map(|made| made.id).ok_or(NotAgreed::NoEstimate);
        Ok(match asked {
            Asked::Estimate => Agreed::Estimate(current()?),
            Asked::Work => Agreed::Work,
            Asked::More => {
                let costed = of.agreed(job).filter(|made| !made.estimate.is_waiver());
                let estimate: EstimateId = costed.map(|made| made.id).map_or_else(current, Ok)?;
                let currency = of.estimate(estimate).map_or(Currency::Usd, |made| made.estimate.currency);
                let (added, hours) = (self.added.trim(), self.hours.trim());
                let added = if added.is_empty() { Minor::NOTHING } else { Minor::parse(added, currency)? };
                let minutes = if hours.is_empty() { 0 } else { billed_minutes(hours).ok_or(NotAgreed::Hours)? };
                Agreed::More { estimate, what: Prose::new(&self.what), added, minutes }
            }
        })
    }

    /// Reads it; what is said in person is signed, by a drawing or by the typed name.
    ///
    /// # Errors
    /// Returns what to write instead.
    pub fn read(
        &self,
        book: &Book,
        job: JobId,
        asked: Asked,
        drawn: Strokes,
        now: Moment,
    ) -> Result<Consent, NotAgreed> {
        let to = self.to(book, job, asked)?;
        let at = match self.time.trim() {
            "" => now,
            time => {
                let (hour, minute) = time_of_day(time).ok_or(NotAgreed::Time)?;
                Moment::on(now.day(), hour, minute, now.offset_min()).ok_or(NotAgreed::Time)?
            }
        };
        let way = match self.way {
            0 => Way::InPerson,
            1 => Way::Telephone { number: Label::new(&self.number) },
            _ => Way::Writing,
        };
        let reader = owners_reader(book, job);
        let text = if way == Way::InPerson { text_to_sign(book, job, &to, reader) } else { None };
        let signed = text.map(|text| Signed::new(text, drawn, reader));
        Ok(Consent { to, by: Label::new(&self.by), at, way, signed })
    }
}

/// Reads a recommendation.
///
/// # Errors
/// Returns what to write instead.
pub fn recommendation(book: &Book, what: &str, why: &str, cost: &str) -> Result<Recommendation, NotAgreed> {
    let last = book.agreements.estimates().next_back().map(|made| made.estimate.currency);
    let currency = last.unwrap_or(Currency::Usd);
    let cost = cost.trim();
    let cost = if cost.is_empty() { None } else { Some((Minor::parse(cost, currency)?, currency)) };
    Ok(Recommendation { what: Label::new(what), why: Prose::new(why), cost })
}

#[cfg(test)]
mod tests;
