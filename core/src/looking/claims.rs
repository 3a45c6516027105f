//! Claims: every line that is paid under warranty, what it lacks, whether its pack left.
//!
//! A line is claimed as soon as it is paid under warranty, finished or not; what it lacks
//! is what the technician is told while standing at the engine ([`crate::closing::claim`]).
//! Its age is counted from the day on which the job was finished, or from the day on which
//! it was opened while it is not. A pack left when the phone's browser said so; the
//! workbook hears nothing of what became of the claim after that, and says nothing of it.
//! First what has not left, oldest first; then what has.
//!
//! A job is often called what the customer says is wrong, and both would be links of the
//! same words; so the link to a claim says that it is one.

use super::Of;
use super::answer::{Answer, Block, Cell};
use super::asked::Asked;
use super::board::choices;
use super::only::Whose;
use crate::book::Book;
use crate::book::jobs::JobLine;
use crate::closing::claim::lacks;
use crate::event::{Document, PayType};
use crate::id::{BoatId, JobId, LineId};
use crate::moment::{Day, Moment};
use crate::order;
use crate::sheet::warranty::failed_words;
use crate::text::{Label, Prose};

/// A line that is claimed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Claim {
    /// The line.
    pub line: LineId,
    /// The job.
    pub job: JobId,
    /// What it is called.
    pub title: Label,
    /// The boat.
    pub boat: BoatId,
    /// Her name.
    pub name: Label,
    /// Whose she is.
    pub customer: Label,
    /// Who did it.
    pub technician: Label,
    /// What the customer says is wrong.
    pub complaint: Prose,
    /// Which line of its job it is, counted from 1, where another one that is claimed there
    /// has the same complaint.
    pub nth: Option<usize>,
    /// When the job was opened.
    pub opened: Day,
    /// When it was finished.
    pub finished: Option<Day>,
    /// The parts that failed, in words.
    pub failed: Vec<String>,
    /// What it lacks, in words.
    pub lacks: Vec<String>,
    /// What became of its pack.
    pub pack: Pack,
    /// Whether the book that tells it is that of who has the job.
    pub is_own: bool,
}

/// What became of a pack.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Pack {
    /// None was made.
    NotMade,
    /// It was made and has not left.
    Made(Day),
    /// It left.
    Left(Day),
}

impl Pack {
    /// Returns it in words.
    pub fn words(self) -> String {
        match self {
            Self::NotMade => "not made".to_owned(),
            Self::Made(day) => format!("made {day}, has not left"),
            Self::Left(day) => format!("left {day}"),
        }
    }

    fn has_left(self) -> bool {
        matches!(self, Self::Left(_))
    }
}

impl Claim {
    /// Returns what it is called beside other claims.
    fn called(&self) -> String {
        let nth = self.nth.map(|nth| format!(", line {nth}")).unwrap_or_default();
        match self.complaint.as_str().lines().next().filter(|line| !line.is_empty()) {
            Some(complaint) => format!("Claim on {complaint}{nth}"),
            None => format!("Claim on a line without complaint{nth}"),
        }
    }

    /// Returns its job's state in words.
    fn state(&self) -> String {
        format!("{} {}", if self.finished.is_some() { "finished" } else { "open since" }, self.since())
    }

    /// Returns what it lacks in words.
    fn lacks_words(&self) -> String {
        if self.lacks.is_empty() { "nothing".to_owned() } else { self.lacks.join("\n") }
    }

    /// Returns the day from which its age is counted.
    pub fn since(&self) -> Day {
        self.finished.unwrap_or(self.opened)
    }
}

/// Returns the claims of a book.
pub fn claims(of: &Of<'_>) -> Vec<Claim> {
    let book = of.book;
    let of_job = |job: &crate::book::jobs::Job| -> Vec<Claim> {
        let boat = book.fleet.boat(job.boat).map(|boat| boat.facts.clone()).unwrap_or_default();
        let claimed = |line: &JobLine| line.pay == PayType::Warranty;
        let first = |line: &JobLine| line.complaint.as_str().lines().next().unwrap_or_default().to_owned();
        let is_alone = |line: &JobLine| {
            let like = book.jobs.lines_of(job.id).filter(|it| claimed(it) && first(it) == first(line));
            like.count() < 2
        };
        let claim = |(nth, line): (usize, &JobLine)| Claim {
            line: line.id,
            job: job.id,
            title: job.title.clone(),
            boat: job.boat,
            name: boat.name.clone(),
            customer: boat.owner.clone(),
            technician: of.who.clone(),
            complaint: line.complaint.clone(),
            nth: Some(nth).filter(|_| !is_alone(line)),
            opened: job.opened.day(),
            finished: job.finished.map(Moment::day),
            failed: book.claims.failed_on(line.id).map(|failed| failed_words(&failed.part)).collect(),
            lacks: lacks(book, line.id, of.now).iter().map(ToString::to_string).collect(),
            pack: pack(book, line.id),
            is_own: of.has(job.id),
        };
        (1..).zip(book.jobs.lines_of(job.id)).filter(|(_, line)| claimed(line)).map(claim).collect()
    };
    book.jobs.jobs().flat_map(of_job).collect()
}

fn pack(book: &Book, line: LineId) -> Pack {
    let is_it = |what: Document| what == Document::WarrantyPack { line };
    let left = book.handovers.all().iter().rfind(|it| is_it(it.what)).map(|it| Pack::Left(it.at.day()));
    let made = || book.handovers.made().rfind(|it| is_it(it.what) && !it.withdrawn).map(|it| Pack::Made(it.at.day()));
    left.or_else(made).unwrap_or(Pack::NotMade)
}

/// Puts to each claim what the books of others tell of its pack.
pub(super) fn together(claims: Vec<Claim>) -> Vec<Claim> {
    let (mut own, others): (Vec<Claim>, Vec<Claim>) = claims.into_iter().partition(|claim| claim.is_own);
    for other in others {
        let claim = own.iter_mut().find(|claim| claim.line == other.line);
        claim.into_iter().for_each(|claim| claim.pack = claim.pack.max(other.pack));
    }
    own
}

/// Returns the list of claims.
pub fn answer(whose: &Whose, claims: Vec<Claim>, today: Option<Day>) -> Answer {
    let mut claims = together(claims);
    let mut blocks = choices(whose, claims.iter().map(|it| (&it.technician, &it.customer)), Asked::Claims);
    claims.retain(|claim| whose.takes(&claim.technician, &claim.customer));
    let claims = order::by_key(claims, |claim| (claim.pack.has_left(), claim.since(), claim.line));
    let row = |claim: &Claim| {
        let days = today.and_then(|today| today.days_after(claim.since())).unwrap_or_default();
        vec![
            Cell::figure(days),
            Cell::words(claim.state()),
            Cell::words(claim.name.or("no name")).to(Asked::Boat(claim.boat)),
            Cell::words(claim.title.or("no title")).to(Asked::Job(claim.job)),
            Cell::words(claim.called()).to(Asked::Claim(claim.line)),
            Cell::words(claim.technician.to_string()),
            Cell::lines(&claim.failed),
            Cell::words(claim.lacks_words()),
            Cell::words(claim.pack.words()),
        ]
    };
    let heads = ["Days", "State", "Boat", "Job", "Claim", "Technician", "Failed part", "Lacks", "Pack"];
    blocks.extend(Block::table(&heads, claims.iter().map(row).collect(), "No line is paid under warranty."));
    let waiting: Vec<&Claim> = claims.iter().filter(|claim| !claim.pack.has_left()).collect();
    let whole = waiting.iter().filter(|claim| claim.lacks.is_empty()).count();
    let lead = format!(
        "Claims: {}. Packs that have not left: {}; {whole} of these lack nothing.",
        claims.len(),
        waiting.len()
    );
    Answer { asked: Asked::Claims(whose.clone()), title: "Claims for warranty".to_owned(), lead, blocks }
}

/// Returns one claim.
pub fn one(claim: &Claim) -> Answer {
    let facts = vec![
        ("Boat", Cell::words(claim.name.or("no name")).to(Asked::Boat(claim.boat))),
        ("Job", Cell::words(claim.title.or("no title")).to(Asked::Job(claim.job))),
        ("State", Cell::words(claim.state())),
        ("Complaint", Cell::words(claim.complaint.as_str())),
        ("Technician", Cell::words(claim.technician.to_string())),
        ("Failed part", Cell::lines(&claim.failed)),
        ("Lacks", Cell::words(claim.lacks_words())),
        ("Pack", Cell::words(claim.pack.words())),
    ];
    Answer {
        asked: Asked::Claim(claim.line),
        title: format!("Claim on {}", claim.name.or("no name")),
        lead: format!(
            "What a claim on this line has and what it lacks. Its pack on the phone: {}.",
            claim.pack.words()
        ),
        blocks: vec![Block::facts(facts)],
    }
}
