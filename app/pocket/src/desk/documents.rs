//! Documents on their way out: made in the papers' worker, shared or saved, and noted.
//!
//! The worker gets the log and, one by one, the photos that it asks for. That a
//! document left is an event, and it is said only when the browser has said so:
//! an app took it from the share sheet, or the download began. One document that is
//! several files left when the last of them did.

use std::collections::VecDeque;
use std::rc::Rc;

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::book::Book;
use quaywright_core::command::Command;
use quaywright_core::event::{Document, Way};
use quaywright_core::id::{BlobId, EventId};
use quaywright_core::moment::Length;
use quaywright_core::store::Kept;
use quaywright_core::store::patience::within;
use quaywright_papers::wire::{Answer, Ask, Photos, smaller_side};

pub use quaywright_papers::wire::{Leaf, Paper, Times, TooMuch};

use super::{Desk, Phase, sentence};
use crate::platform::clipboard;
use crate::platform::clock;
use crate::platform::papers::{Ended, Papers, Told};
use crate::platform::photo;
use crate::platform::share::{Ready, Refusal};
use crate::platform::store::{IdbStore, Lying};
use crate::platform::timer::PageTimer;

/// How many bytes of the log are handed over at a time.
const HANDED_AT_ONCE: usize = 256 * 1024;
/// How long a photo is waited for before it is asked of the vault, which has a second copy.
const READING: Length = Length::from_ms(10_000);

/// Photos that were read before they were asked for, in the order in which they will be.
type Ahead = VecDeque<(BlobId, Lying)>;

/// A document that is ready to leave.
#[derive(Clone, Debug)]
pub struct Made {
    /// Its files: one, or several that are one document together.
    pub files: Vec<Ready>,
    /// What is not in them as it should be, as sentences.
    pub faults: Vec<String>,
    what: Document,
    /// The name of its bytes; of several files, that of the row of their names.
    file: BlobId,
    /// How each file left, if it did.
    left: ArcRwSignal<Vec<Option<Way>>>,
}

impl Made {
    fn new(files: Vec<(Ready, BlobId)>, faults: Vec<String>, what: Document) -> Self {
        let names: Vec<BlobId> = files.iter().map(|file| file.1).collect();
        let file = match names.as_slice() {
            [one] => *one,
            several => BlobId::of(several.iter().map(BlobId::to_string).collect::<String>().as_bytes()),
        };
        let left = ArcRwSignal::new(vec![None; files.len()]);
        Self { files: files.into_iter().map(|file| file.0).collect(), faults, what, file, left }
    }

    /// Returns whether its nth file, from 0, has left.
    pub fn has_left(&self, nth: usize) -> bool {
        self.left.with(|left| left.get(nth).is_some_and(Option::is_some))
    }
}

/// What came of making a document.
pub enum Outcome {
    /// It is ready to leave.
    Made(Made),
    /// Its photos are too much for one PDF: they may be smaller, it may be several, or a page.
    TooMuch(TooMuch),
    /// It was not made; why is said.
    Not,
}

/// How a document is made whose photos may be too much for one PDF.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Amount {
    /// As it comes; whether that is too much is said.
    AsItIs,
    /// With smaller photos, so that so many bytes of them come to no more than `most`.
    Smaller {
        /// How many bytes they have as they are.
        bytes: u64,
        /// How many they may have.
        most: u64,
    },
    /// As several files.
    Several(TooMuch),
}

/// What came of making one file.
enum Filed {
    Made(Ready, BlobId),
    TooMuch(TooMuch),
}

/// Work of the papers' worker that a person may stop.
#[derive(Clone)]
pub struct UnderWay {
    /// What it is at, in words.
    pub words: String,
    papers: Rc<Papers>,
}

impl UnderWay {
    /// Stops it.
    pub fn stop(&self) {
        self.papers.stop();
    }
}

impl Desk {
    /// Makes a document; notes that it was made, and says why when it was not.
    pub async fn make(self, paper: Paper, amount: Amount) -> Outcome {
        // A message is copied from the screen: nothing waits to leave.
        let leaves = !matches!(paper, Paper::OwnerMessage(..));
        let made = self.made(paper, amount).await;
        self.under_way.set(None);
        match made {
            Ok(Outcome::Made(made)) => {
                // Where nothing may be kept the document is offered all the same.
                if leaves && self.phase.get_untracked() == Phase::Ready {
                    let words = match made.files.as_slice() {
                        [one] => format!("{} is made. It has not left yet.", one.name()),
                        several => format!("{} files are made. They have not left yet.", several.len()),
                    };
                    let kept = self.ask(Command::NoteMade { what: made.what, file: made.file }, words).await;
                    self.no_backup_holds(made.what, kept);
                }
                return Outcome::Made(made);
            }
            Ok(other) => return other,
            Err(Ended::Stopped) => self.mention("Stopped. Nothing was made."),
            Err(Ended::Failed(why)) => self.complain(sentence(&why)),
        }
        Outcome::Not
    }

    async fn made(self, paper: Paper, amount: Amount) -> Result<Outcome, Ended> {
        let what = self.document(paper);
        let all = match amount {
            Amount::AsItIs => vec![Photos::Whole],
            Amount::Smaller { .. } => vec![Photos::Smaller],
            Amount::Several(much) => (1..=much.parts).map(Photos::Part).collect(),
        };
        let side = match amount {
            Amount::Smaller { bytes, most } => smaller_side(bytes, most, photo::LONG_SIDE),
            _ => photo::LONG_SIDE,
        };
        let (mut files, mut faults) = (Vec::new(), Vec::new());
        for photos in all {
            match self.made_file(paper, photos, side, &mut faults).await? {
                Filed::Made(ready, name) => files.push((ready, name)),
                Filed::TooMuch(much) => return Ok(Outcome::TooMuch(much)),
            }
        }
        Ok(Outcome::Made(Made::new(files, faults, what)))
    }

    fn document(self, paper: Paper) -> Document {
        match paper {
            Paper::DayBundle(day) | Paper::DayPdf(day, _) | Paper::DayJson(day) => {
                Document::DayBundle { day, table: false }
            }
            Paper::DayTable(day) => Document::DayBundle { day, table: true },
            Paper::Further(day, of) => Document::DayTable { day, of },
            Paper::Agreement(job) | Paper::AgreementPdf(job, _) => Document::Agreement { job },
            Paper::OwnerSummary(job, ..) | Paper::OwnerPdf(job, ..) | Paper::OwnerMessage(job, _) => {
                Document::OwnerSummary { job }
            }
            Paper::WarrantyPack(line) | Paper::WarrantyPdf(line, _) => Document::WarrantyPack { line },
            Paper::JobFile(job) => Document::JobFile { job },
            Paper::Backup => {
                let tip = self.inner.with_value(|inner| inner.tip.get());
                Document::Backup { up_to: tip.map_or(0, |tip| tip.seq) }
            }
            Paper::Procedure(version) => Document::Procedure { version },
        }
    }

    /// Has one file made in the papers' worker; smaller photos have long sides of `side` pixels.
    /// What is not in it as it should be is added to the faults, each once.
    async fn made_file(
        self,
        paper: Paper,
        photos: Photos,
        side: u32,
        faults: &mut Vec<String>,
    ) -> Result<Filed, Ended> {
        let part = if let Photos::Part(part) = photos { format!("Part {part}: ") } else { String::new() };
        let papers = self.start_papers(&[&part, "Making it …"].concat())?;
        let device = self.inner.with_value(|inner| inner.tip.get()).map(|tip| tip.device);
        let records = self.records().await?;
        // The first answer is that one may ask.
        papers.hear().await?;
        hand_over(&papers, records);
        papers.ask(&Ask::Make { paper, now: clock::now(), device, photos }, &[]);
        let mut ahead = Ahead::new();
        loop {
            match papers.hear().await? {
                Told { answer: Answer::Wanted { blob, number, of, then }, .. } => {
                    self.show_work(&papers, format!("{part}Photo {number} of {of} …"));
                    match photos {
                        Photos::Smaller => self.give_photo(&papers, blob, Some(side)).await,
                        _ => self.give_lying(&papers, blob, then, &mut ahead).await,
                    }
                }
                Told { answer: Answer::Another(blob), .. } => self.give_photo(&papers, blob, None).await,
                Told { answer: Answer::TooMuch(much), .. } => return Ok(Filed::TooMuch(much)),
                Told { answer: Answer::Fault(why), .. } => {
                    let why = sentence(&why);
                    if !faults.contains(&why) {
                        faults.push(why);
                    }
                }
                told => {
                    if let Answer::Made(file) = told.answer {
                        return Ok(Filed::Made(told.document(), file));
                    }
                }
            }
        }
    }

    /// Gives the worker a photo as it lies in the database, since it verifies it with less work than
    /// it is here; reads those that it will ask for then, while it is at this one.
    async fn give_lying(self, papers: &Papers, blob: BlobId, then: Vec<BlobId>, ahead: &mut Ahead) {
        if ahead.is_empty() {
            *ahead = self.lying(vec![blob]).await;
        }
        match ahead.pop_front() {
            Some((name, photo)) if name == blob => papers.ask_with_lying(&Ask::Photo, &photo),
            _ => self.give_photo(papers, blob, None).await,
        }
        if ahead.is_empty() && !then.is_empty() {
            *ahead = self.lying(then).await;
        }
    }

    /// Returns the first of these photos as they lie in the database, up to one that cannot be read there.
    async fn lying(self, blobs: Vec<BlobId>) -> Ahead {
        let place = IdbStore::new(self.inner.with_value(|inner| inner.place));
        within(&PageTimer, READING, place.lying(&blobs)).await.unwrap_or_default()
    }

    /// Gives the worker a photo that it asked for, made smaller to a long side of so many pixels where one is named.
    async fn give_photo(self, papers: &Papers, blob: BlobId, side: Option<u32>) {
        match (self.photo(blob).await, side) {
            (Ok(photo), None) => papers.ask(&Ask::Photo, &photo),
            (Ok(photo), Some(side)) => match photo::smaller(&photo, self.size_of(blob), side).await {
                Some(small) => papers.ask(&Ask::Smaller, &small),
                None => papers.ask(&Ask::Photo, &photo),
            },
            (Err(_), _) => papers.ask(&Ask::NoPhoto, &[]),
        }
    }

    /// Returns width and height of a photo.
    fn size_of(self, blob: BlobId) -> (u16, u16) {
        let size = |book: &Book| {
            let photo = book.evidence.photos().find(|photo| photo.facts.blob == blob)?;
            Some((photo.facts.width, photo.facts.height))
        };
        self.book.with_untracked(size).unwrap_or_default()
    }

    /// Starts the papers' worker and shows what it is at.
    pub(super) fn start_papers(self, words: &str) -> Result<Rc<Papers>, Ended> {
        let papers = Papers::start()?;
        self.show_work(&papers, words.to_owned());
        Ok(papers)
    }

    fn show_work(self, papers: &Rc<Papers>, words: String) {
        self.under_way.set(Some(UnderWay { words, papers: papers.clone() }));
    }

    /// Opens the share sheet for one of a document's files, counted from 0; must be called straight from a tap.
    pub fn share(self, made: Made, nth: usize, on_refusal: Callback<Refusal>) {
        spawn_local(async move {
            let Some(file) = made.files.get(nth).cloned() else { return };
            match file.share().await {
                Ok(true) => self.note_that_it_left(made, nth, Way::Shared).await,
                Ok(false) => self.mention("Not shared. It has not left this phone."),
                Err(why) => {
                    self.complain(format!("{} It has not left this phone.", why.words()));
                    on_refusal.run(why);
                }
            }
        });
    }

    /// Gives one of a document's files, counted from 0, to the browser as a download.
    pub fn download(self, made: Made, nth: usize) {
        spawn_local(async move {
            let Some(file) = made.files.get(nth).cloned() else { return };
            match file.download() {
                Ok(()) => self.note_that_it_left(made, nth, Way::Downloaded).await,
                Err(why) => self.complain(sentence(&why)),
            }
        });
    }

    /// Makes and saves in one, where nothing may be noted: the book is read-only.
    pub fn save(self, paper: Paper) {
        spawn_local(async move {
            let Outcome::Made(made) = self.make(paper, Amount::AsItIs).await else { return };
            for file in &made.files {
                match file.download() {
                    Ok(()) => self.mention(format!("{} is saved", file.name())),
                    Err(why) => self.complain(sentence(&why)),
                }
            }
            if !made.faults.is_empty() {
                self.complain(made.faults.join(" "));
            }
        });
    }

    /// Copies a message to the clipboard; that it left nobody can know.
    pub fn copy(self, text: String) {
        spawn_local(async move {
            match clipboard::copy(&text).await {
                true => self.mention("Copied. Paste it where you write to the owner."),
                false => self.complain("This browser copies nothing by itself: hold a finger on the text and copy it."),
            }
        });
    }

    /// Opens a document to be looked at, in a page of its own.
    pub fn look_at(self, file: &Ready) {
        if let Err(why) = file.open() {
            self.complain(sentence(&why));
        }
    }

    /// What tells only of a backup is in no backup: the witness does not ask for it after a loss.
    fn no_backup_holds(self, what: Document, entry: Option<EventId>) {
        let vault = self.inner.get_value().vault.borrow().clone();
        if let (Document::Backup { .. }, Some(entry), Some(vault)) = (what, entry, vault) {
            vault.note_told(entry);
        }
    }

    async fn note_that_it_left(self, made: Made, nth: usize, way: Way) {
        made.left.update(|left| left.iter_mut().skip(nth).take(1).for_each(|it| *it = Some(way)));
        let name = made.files.get(nth).map(Ready::name).unwrap_or_default();
        let words = match way {
            Way::Shared => format!("{name} is shared"),
            Way::Downloaded => format!("{name} is saved on this phone"),
        };
        let left: Vec<Way> = made.left.with_untracked(|left| left.iter().copied().flatten().collect());
        let missing = made.files.len() - left.len();
        if missing > 0 {
            let have = if missing == 1 { "has" } else { "have" };
            return self.mention(format!("{words}. {missing} of its files {have} not left yet."));
        }
        // A document of which one file was only saved was not shared.
        let way = if left.contains(&Way::Downloaded) { Way::Downloaded } else { way };
        let command = Command::HandOver { what: made.what, way, file: made.file };
        let kept = self.ask(command, words).await;
        self.no_backup_holds(made.what, kept);
    }

    /// Returns every record's line as it is kept.
    async fn records(self) -> Result<Vec<Kept>, Ended> {
        let vault = self.inner.get_value().vault.borrow().clone();
        let vault = vault.ok_or_else(|| Ended::Failed("the workbook is still opening".to_owned()))?;
        vault.look().await.map_err(|error| Ended::Failed(error.to_string()))
    }
}

/// Hands the log over in parts, so that it is never here twice.
fn hand_over(papers: &Papers, records: Vec<Kept>) {
    let mut run = Vec::new();
    for record in records {
        run.extend_from_slice(&record.bytes);
        run.push(b'\n');
        if run.len() >= HANDED_AT_ONCE {
            papers.ask(&Ask::Lines, &run);
            run.clear();
        }
    }
    papers.ask(&Ask::Lines, &run);
}
