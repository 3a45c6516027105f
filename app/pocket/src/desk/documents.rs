//! Documents on their way out: made in the papers' worker, shared or saved, and noted.
//!
//! The worker gets the log and, one by one, the photos that it asks for. That a
//! document left is an event, and it is said only when the browser has said so:
//! an app took it from the share sheet, or the download began.

use std::rc::Rc;

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::book::Book;
use quaywright_core::command::Command;
use quaywright_core::event::{Document, Way};
use quaywright_core::id::{BlobId, EventId};
use quaywright_core::store::Kept;
use quaywright_papers::wire::{Answer, Ask, smaller_side};

pub use quaywright_papers::wire::{Leaf, Paper};

use super::{Desk, Phase, sentence};
use crate::platform::clipboard;
use crate::platform::clock;
use crate::platform::papers::{Ended, Papers, Told};
use crate::platform::photo;
use crate::platform::share::Ready;

/// How many bytes of the log are handed over at a time.
const HANDED_AT_ONCE: usize = 256 * 1024;

/// A document that is ready to leave.
#[derive(Clone, Debug)]
pub struct Made {
    /// The file.
    pub ready: Ready,
    what: Document,
    file: BlobId,
}

/// What came of making a document.
pub enum Outcome {
    /// It is ready to leave.
    Made(Made),
    /// Its photos have so many bytes, which is too much for a PDF: they may be smaller, or it may be a page.
    TooMuch(u64),
    /// It was not made; why is said.
    Not,
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
    /// Makes a document, with photos that are smaller than they are where so many bytes
    /// of them are too much; notes that it was made, and says why when it was not.
    pub async fn make(self, paper: Paper, too_much: Option<u64>) -> Outcome {
        // A message is copied from the screen: nothing waits to leave.
        let leaves = !matches!(paper, Paper::OwnerMessage(..));
        let made = self.made(paper, too_much).await;
        self.under_way.set(None);
        match made {
            Ok(Outcome::Made(made)) => {
                // Where nothing may be kept the document is offered all the same.
                if leaves && self.phase.get_untracked() == Phase::Ready {
                    let words = format!("{} is made. It has not left yet.", made.ready.name());
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

    async fn made(self, paper: Paper, too_much: Option<u64>) -> Result<Outcome, Ended> {
        let papers = self.start_papers("Making it …")?;
        let tip = self.inner.with_value(|inner| inner.tip.get());
        let what = match paper {
            Paper::DayBundle(day) | Paper::DayPdf(day, _) => Document::DayBundle { day, table: false },
            Paper::DayTable(day) => Document::DayBundle { day, table: true },
            Paper::Further(day, of) => Document::DayTable { day, of },
            Paper::Agreement(job) | Paper::AgreementPdf(job, _) => Document::Agreement { job },
            Paper::OwnerSummary(job, _) | Paper::OwnerPdf(job, ..) | Paper::OwnerMessage(job, _) => {
                Document::OwnerSummary { job }
            }
            Paper::WarrantyPack(line) | Paper::WarrantyPdf(line, _) => Document::WarrantyPack { line },
            Paper::JobFile(job) => Document::JobFile { job },
            Paper::Backup => Document::Backup { up_to: tip.map_or(0, |tip| tip.seq) },
            Paper::Procedure(version) => Document::Procedure { version },
        };
        let records = self.records().await?;
        // The first answer is that one may ask.
        papers.hear().await?;
        hand_over(&papers, records);
        let (now, device) = (clock::now(), tip.map(|tip| tip.device));
        papers.ask(&Ask::Make { paper, now, device, smaller: too_much.is_some() }, &[]);
        let side = too_much.map(|bytes| smaller_side(bytes, photo::LONG_SIDE));
        loop {
            match papers.hear().await? {
                Told { answer: Answer::Wanted { blob, number, of }, .. } => {
                    self.show_work(&papers, format!("Photo {number} of {of} …"));
                    match (self.photo(blob).await, side) {
                        (Ok(photo), None) => papers.ask(&Ask::Photo, &photo),
                        (Ok(photo), Some(side)) => match photo::smaller(&photo, self.size_of(blob), side).await {
                            Some(small) => papers.ask(&Ask::Smaller, &small),
                            None => papers.ask(&Ask::Photo, &photo),
                        },
                        (Err(_), _) => papers.ask(&Ask::NoPhoto, &[]),
                    }
                }
                Told { answer: Answer::TooMuch(bytes), .. } => return Ok(Outcome::TooMuch(bytes)),
                Told { answer: Answer::Fault(why), .. } => self.complain(sentence(&why)),
                told => {
                    if let Answer::Made(file) = told.answer {
                        return Ok(Outcome::Made(Made { ready: told.document(), what, file }));
                    }
                }
            }
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

    /// Opens the share sheet; must be called straight from a tap.
    pub fn share(self, made: Made) {
        spawn_local(async move {
            match made.ready.share().await {
                Ok(true) => self.note_that_it_left(made, Way::Shared).await,
                Ok(false) => self.mention("Not shared. It has not left this phone."),
                Err(why) => self.complain(format!("{} It has not left: save it as a file instead.", sentence(&why))),
            }
        });
    }

    /// Gives the file to the browser as a download.
    pub fn download(self, made: Made) {
        spawn_local(async move {
            match made.ready.download() {
                Ok(()) => self.note_that_it_left(made, Way::Downloaded).await,
                Err(why) => self.complain(sentence(&why)),
            }
        });
    }

    /// Makes and saves in one, where nothing may be noted: the book is read-only.
    pub fn save(self, paper: Paper) {
        spawn_local(async move {
            let Outcome::Made(made) = self.make(paper, None).await else { return };
            match made.ready.download() {
                Ok(()) => self.mention(format!("{} is saved", made.ready.name())),
                Err(why) => self.complain(sentence(&why)),
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
    pub fn look_at(self, made: &Made) {
        if let Err(why) = made.ready.open() {
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

    async fn note_that_it_left(self, made: Made, way: Way) {
        let words = match way {
            Way::Shared => format!("{} is shared", made.ready.name()),
            Way::Downloaded => format!("{} is saved on this phone", made.ready.name()),
        };
        let what = made.what;
        let command = Command::HandOver { what: made.what, way, file: made.file };
        let kept = self.ask(command, words).await;
        self.no_backup_holds(what, kept);
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
