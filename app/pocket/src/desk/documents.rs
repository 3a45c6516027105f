//! Documents on their way out: made piece by piece, shared or saved, and noted.
//!
//! That a document left is an event, and it is said only when the browser has
//! said so: an app took it from the share sheet, or the download began.

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::book::Book;
use quaywright_core::command::Command;
use quaywright_core::event::{Document, Way};
use quaywright_core::exchange::pieces::Piece;
use quaywright_core::exchange::{backup, bundle, html, table};
use quaywright_core::id::{BlobId, Hashing, JobId};
use quaywright_core::moment::Day;
use quaywright_core::order;
use quaywright_core::sheet::{self, LogHead};
use quaywright_core::store::Kept;

use super::{Desk, sentence};
use crate::platform::share::{Growing, Ready};
use crate::platform::{clock, page};

/// What can be made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// The office's file of a day.
    DayBundle(Day),
    /// A day's hours as a table.
    DayTable(Day),
    /// One job's summary for its owner.
    OwnerSummary(JobId),
    /// Everything.
    Backup,
}

/// A document that is ready to leave.
#[derive(Clone, Debug)]
pub struct Made {
    /// The file.
    pub ready: Ready,
    what: Document,
    file: BlobId,
}

impl Desk {
    /// Makes a document; `progress` is told in words how far it is.
    ///
    /// # Errors
    /// Says in words why it could not be made.
    pub async fn make(self, paper: Paper, progress: impl Fn(String)) -> Result<Made, String> {
        let today = clock::now().day();
        let (what, name, kind, pieces) = match paper {
            Paper::DayBundle(day) => {
                let sheet = self.day_sheet(day);
                let records = self.records().await?;
                let pieces = bundle::page(&sheet, records.iter().map(|kept| kept.bytes.as_slice()));
                (Document::DayBundle { day, table: false }, format!("day {day}.html"), "text/html", pieces)
            }
            Paper::DayTable(day) => {
                let pieces = vec![Piece::Text(table::table(&[self.day_sheet(day)]))];
                (Document::DayBundle { day, table: true }, format!("hours {day}.csv"), "text/csv", pieces)
            }
            Paper::OwnerSummary(job) => {
                let sheet = self.book.with_untracked(|book| sheet::owner_sheet(book, job, today));
                let sheet = sheet.ok_or("This job is not in the book.")?;
                let name = format!("work on {} {today}.html", file_name(&sheet.boat.name));
                (Document::OwnerSummary { job }, name, "text/html", html::owner_page(&sheet))
            }
            Paper::Backup => {
                let records = self.records().await?;
                let photos = self.photos_in_use();
                let pieces = backup::pieces(records.iter().map(|kept| kept.bytes.as_slice()), &photos);
                let up_to = self.own_last_number();
                (Document::Backup { up_to }, format!("quaywright backup {today}.txt"), "text/plain", pieces)
            }
        };
        self.build(pieces, what, &name, kind, progress).await
    }

    async fn build(
        self,
        pieces: Vec<Piece>,
        what: Document,
        name: &str,
        kind: &str,
        progress: impl Fn(String),
    ) -> Result<Made, String> {
        let growing = Growing::default();
        let mut hashing = Hashing::default();
        let photos = pieces.iter().filter(|piece| piece.blob().is_some()).count();
        let mut done = 0;
        for piece in &pieces {
            let photo = match piece.blob() {
                Some(blob) => {
                    done += 1;
                    progress(format!("Photo {done} of {photos} …"));
                    self.photo(blob).await.ok()
                }
                None => None,
            };
            let bytes = piece.written(photo.as_deref());
            hashing.take(&bytes);
            growing.push(&bytes);
        }
        let ready = growing.finish(name, kind)?;
        Ok(Made { ready, what, file: BlobId(hashing.finish()) })
    }

    /// Opens the share sheet; must be called straight from a tap.
    pub fn share(self, made: Made) {
        spawn_local(async move {
            match made.ready.share().await {
                Ok(true) => self.note_that_it_left(made, Way::Shared).await,
                Ok(false) => self.mention("Not shared."),
                Err(why) => self.complain(sentence(&why)),
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
            let made = self.make(paper, move |words| self.mention(words)).await;
            match made.and_then(|made| made.ready.download().map(|()| made.ready.name())) {
                Ok(name) => self.mention(format!("{name} is saved")),
                Err(why) => self.complain(sentence(&why)),
            }
        });
    }

    async fn note_that_it_left(self, made: Made, way: Way) {
        let words = match way {
            Way::Shared => format!("{} is shared", made.ready.name()),
            Way::Downloaded => format!("{} is saved on this phone", made.ready.name()),
        };
        let command = Command::HandOver { what: made.what, way, file: made.file };
        self.ask(command, words).await;
    }

    fn day_sheet(self, day: Day) -> sheet::DaySheet {
        let now = clock::now();
        let head = self.log_head();
        self.book.with_untracked(|book| sheet::day_sheet(book, day, now, head))
    }

    fn log_head(self) -> LogHead {
        let tip = self.inner.with_value(|inner| inner.tip.get());
        match tip {
            Some(tip) => LogHead::from(&tip),
            None => LogHead {
                device: quaywright_core::id::DeviceId::new([0; 8]),
                seq: 0,
                hash: quaywright_core::id::Hash::NONE,
            },
        }
    }

    fn own_last_number(self) -> u64 {
        self.log_head().seq
    }

    fn photos_in_use(self) -> Vec<BlobId> {
        let photos = |book: &Book| book.evidence.all_photos().map(|photo| photo.facts.blob).collect();
        order::each_once(self.book.with_untracked(photos))
    }

    /// Returns every record's line as it is kept.
    async fn records(self) -> Result<Vec<Kept>, String> {
        let vault = self.inner.get_value().vault.borrow().clone().ok_or("The workbook is still opening.")?;
        let records = vault.look().await.map_err(|error| sentence(&error.to_string()));
        page::breathe().await;
        records
    }
}

/// Returns a boat's name as a part of a file's name: no mark that a file system
/// reads, none that turns the direction of what follows.
fn file_name(boat: &quaywright_core::text::Label) -> String {
    let plain = |c: char| c.is_ascii_alphanumeric() || c == ' ' || c == '-';
    let other_script = |c: char| !c.is_ascii() && !('\u{2000}'..='\u{206f}').contains(&c);
    let fit = |c: char| if plain(c) || other_script(c) { c } else { '_' };
    boat.as_str().chars().take(40).map(fit).collect()
}
