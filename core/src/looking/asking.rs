//! A question that is being answered, one technician's book at a time.
//!
//! Whoever has the books gives each that is wanted ([`Asking::wants`], [`Asking::hear`]),
//! then asks whether that was all ([`Asking::needs_more`]): a boat is looked for in all
//! books first, and her history is then read from those that know her.

use std::collections::{BTreeMap, BTreeSet};

use super::activity::Sums;
use super::answer::Answer;
use super::asked::{Asked, Why};
use super::board::{self, OpenJob};
use super::boats::{KnownBoat, are_same};
use super::claims::{self, Claim};
use super::finds::{self, Found, Words};
use super::history::{self, Past, PastJob};
use super::parts::{self, Wanted};
use super::unbilled::{self, Unsent};
use super::why::{self, Trace};
use super::{Of, why_answer};
use crate::billing::PriceList;
use crate::billing::hours::{DayHours, day_hours};
use crate::billing::outgoing::Gone;
use crate::billing::shares::Shares;
use crate::id::{BoatId, DeviceId, JobId, LineId};
use crate::moment::Day;
use crate::money::MoneyError;
use crate::text::Label;

/// What an answer may make use of beside the books.
#[derive(Clone, Copy, Default)]
pub struct With<'a> {
    /// The shop's price list.
    pub prices: Option<&'a PriceList>,
    /// What went out, by job.
    pub gone: Option<&'a BTreeMap<JobId, Vec<Gone>>>,
    /// What others did on a job than whoever has it.
    pub shares: Option<&'a Shares>,
}

/// A question that is being answered.
pub struct Asking<'a> {
    asked: Asked,
    with: With<'a>,
    heard: Heard,
    today: Option<Day>,
    failed: Option<MoneyError>,
}

/// What was heard so far.
enum Heard {
    Board(Vec<OpenJob>),
    Parts(Vec<Wanted>),
    Claims(Vec<Claim>),
    Claim(Vec<Claim>),
    Unbilled(Vec<Unsent>),
    Hours(Sums),
    Find(Words, Vec<Found>),
    /// All boats of all books, so that it is known which of them are asked for.
    Boats(Vec<KnownBoat>),
    /// Those that are one boat, and what was heard of her.
    Boat(Vec<KnownBoat>, Past),
    Job(Vec<PastJob>),
    Why(Option<Told>),
}

/// Why there is no answer.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoAnswer {
    /// It is in no book.
    #[error("this is in nobody's book: look at its name, or take in the files that tell of it")]
    Unknown,
    /// There is no price list.
    #[error("what is unbilled is known by a price list only: name the shop's")]
    NoPrices,
    /// The figures do not go.
    #[error(transparent)]
    Money(#[from] MoneyError),
}

impl<'a> Asking<'a> {
    /// Begins with a question.
    pub fn new(asked: Asked, with: With<'a>) -> Self {
        let heard = match &asked {
            Asked::Board(_) => Heard::Board(Vec::new()),
            Asked::Parts(_) => Heard::Parts(Vec::new()),
            Asked::Claims(_) => Heard::Claims(Vec::new()),
            Asked::Claim(_) => Heard::Claim(Vec::new()),
            Asked::Unbilled(_) => Heard::Unbilled(Vec::new()),
            Asked::Hours(..) => Heard::Hours(Sums::default()),
            Asked::Find(words) => Heard::Find(Words::of(words.as_str()), Vec::new()),
            Asked::Boat(_) => Heard::Boats(Vec::new()),
            Asked::Job(_) => Heard::Job(Vec::new()),
            Asked::Why(_) => Heard::Why(None),
        };
        Self { asked, with, heard, today: None, failed: None }
    }

    /// Tells whether a technician's book is wanted, whose name and devices these are, and
    /// `beside` them those of others that it is made with.
    pub fn wants(&self, who: &Label, own: &BTreeSet<DeviceId>, beside: &BTreeSet<DeviceId>) -> bool {
        match (&self.asked, &self.heard) {
            (Asked::Why(Why::Billed { job: JobId(of), .. }) | Asked::Job(JobId(of)) | Asked::Claim(LineId(of)), _) => {
                own.contains(&of.device) || beside.contains(&of.device)
            }
            (Asked::Why(Why::Said(event)), _) => own.contains(&event.device),
            (_, Heard::Boat(known, _)) => known.iter().any(|boat| boat.who == *who),
            _ => true,
        }
    }

    /// Tells whether the books that are wanted now have to be heard once more.
    pub fn needs_more(&mut self) -> bool {
        let (Heard::Boats(all), Asked::Boat(asked)) = (&mut self.heard, &self.asked) else { return false };
        let known = match all.iter().find(|it| it.boat == *asked) {
            Some(boat) => all.iter().filter(|it| are_same(boat, it)).cloned().collect(),
            None => Vec::new(),
        };
        let is_known = !Vec::is_empty(&known);
        self.heard = Heard::Boat(known, Past::default());
        is_known
    }

    /// Hears a technician's hours where they are known without the book; nothing else needs them.
    pub fn hear_hours(&mut self, who: &Label, hours: &[DayHours]) {
        if let (Heard::Hours(sums), Asked::Hours(by, only)) = (&mut self.heard, &self.asked) {
            sums.add(*by, only, who, hours);
        }
    }

    /// Hears all that may be found in a technician's book, where it is known without the book;
    /// only finding needs it.
    pub fn hear_index(&mut self, who: &Label, index: &finds::Index) {
        if let Heard::Find(words, found) = &mut self.heard {
            found.extend(finds::found(who, index, words));
        }
    }

    /// Hears one technician's book.
    pub fn hear(&mut self, of: &Of<'_>) {
        self.today = self.today.max(Some(of.now.day()));
        match (&mut self.heard, &self.asked) {
            (Heard::Board(jobs), _) => jobs.extend(board::open_jobs(of)),
            (Heard::Parts(wanted), _) => wanted.extend(parts::wanted(of)),
            (Heard::Claims(claims), _) => claims.extend(claims::claims(of)),
            (Heard::Claim(claims), Asked::Claim(line)) => {
                claims.extend(claims::claims(of).into_iter().filter(|claim| claim.line == *line));
            }
            (Heard::Unbilled(all), _) => match unbilled::unsent(of, self.with) {
                Ok(unsent) => all.extend(unsent),
                Err(why) => self.failed = Some(why),
            },
            (Heard::Hours(sums), Asked::Hours(by, only)) => sums.add(*by, only, of.who, &day_hours(of.book, of.now)),
            (Heard::Find(words, found), _) => found.extend(finds::found(of.who, &finds::index(of), words)),
            (Heard::Boats(known), _) => known.extend(history::known_boats(of)),
            (Heard::Boat(known, past), _) => {
                let boats: Vec<BoatId> = known.iter().filter(|it| it.who == *of.who).map(|it| it.boat).collect();
                let mut more = history::past(of, &boats);
                past.engines.append(&mut more.engines);
                past.jobs.append(&mut more.jobs);
            }
            (Heard::Job(jobs), Asked::Job(id)) => jobs.extend(history::one_job(of, *id)),
            (Heard::Why(found), Asked::Why(asked)) => {
                if let Some(trace) = why::trace(of, asked) {
                    let has = !matches!(asked, Why::Billed { job, .. } if !of.has(*job));
                    let billed = has.then(|| why_answer::Billed::of(of, asked, self.with));
                    *found = Some(put_together(found.take(), trace, billed));
                }
            }
            (Heard::Claim(_) | Heard::Hours(_) | Heard::Job(_) | Heard::Why(_), _) => {}
        }
    }

    /// Returns the answer.
    ///
    /// # Errors
    /// When what is asked for is in no book, or cannot be known or added up.
    pub fn answer(self) -> Result<Answer, NoAnswer> {
        let Self { asked, with, heard, today, failed } = self;
        if let Some(why) = failed {
            return Err(why.into());
        }
        Ok(match (heard, &asked) {
            (Heard::Board(jobs), Asked::Board(whose)) => board::answer(whose, jobs, today),
            (Heard::Parts(wanted), Asked::Parts(whose)) => parts::answer(whose, wanted, today),
            (Heard::Claims(claims), Asked::Claims(whose)) => claims::answer(whose, claims, today),
            (Heard::Claim(claims), Asked::Claim(_)) => {
                claims::one(claims::together(claims).first().ok_or(NoAnswer::Unknown)?)
            }
            (Heard::Unbilled(_), _) if with.prices.is_none() => return Err(NoAnswer::NoPrices),
            (Heard::Unbilled(all), Asked::Unbilled(whose)) => unbilled::answer(whose, all, today)?,
            (Heard::Hours(sums), Asked::Hours(by, only)) => sums.answer(*by, only),
            (Heard::Find(_, found), Asked::Find(words)) => finds::answer(words, found),
            (Heard::Boat(known, past), Asked::Boat(boat)) if !known.is_empty() => {
                history::boat_answer(*boat, &known, past, today)
            }
            (Heard::Job(jobs), Asked::Job(_)) => {
                history::job_answer(history::together(jobs).first().ok_or(NoAnswer::Unknown)?)
            }
            (Heard::Why(Some((trace, billed))), Asked::Why(why)) => why_answer::answer(why, &trace, &billed),
            _ => return Err(NoAnswer::Unknown),
        })
    }
}

/// What of a billed line is told: where it comes from, and what a bill says of it.
type Told = (Box<Trace>, why_answer::Billed);

/// Puts what one more book tells to what is told: first stands what the book of who has the job says.
fn put_together(known: Option<Told>, trace: Trace, billed: Option<why_answer::Billed>) -> Told {
    match (known, billed) {
        (None, billed) => (Box::new(trace), billed.unwrap_or_default()),
        (Some((mut first, said)), None) => {
            first.join(trace);
            (first, said)
        }
        (Some((other, _)), Some(billed)) => {
            let mut first = Box::new(trace);
            first.join(*other);
            (first, billed)
        }
    }
}
