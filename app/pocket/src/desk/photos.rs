//! Photos on their way into the book.
//!
//! A photo and the record that names it are kept in one action. What the next
//! photo is for is a draft from before the camera opens until it is kept.

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::command::Command;
use quaywright_core::event::{About, PhotoFacts, Position};
use quaywright_core::exchange::exif;
use quaywright_core::id::{BlobId, EventId, GroupId, ItemId, JobId, ReadingId, StepId};
use quaywright_core::store::Blob;
use quaywright_core::text::Label;
use quaywright_papers::wire::{Answer, Ask};

use super::Desk;
use crate::later::{self, Errand};
use crate::platform::papers::Papers;
use crate::platform::photo::{self, File, FileInput, Small};
use crate::platform::prefs;
use crate::platform::share::Ready;

/// The draft that tells what a photo is awaited for.
const EXPECTED: &str = "expected-photo";

impl Desk {
    /// Keeps what the next photo is for; returns when that is safe.
    pub async fn expect_photo(self, about: About) {
        let inner = self.inner.get_value();
        inner.set_draft(EXPECTED, Some(written(about)));
        self.store_draft(EXPECTED).await;
    }

    /// Forgets that a photo was awaited.
    pub fn forget_expected_photo(self) {
        self.drop_draft(EXPECTED);
        self.expected.set(None);
    }

    /// Tells, after a start, what a photo had been awaited for.
    pub(super) fn remember_expected_photo(self) {
        self.expected.set(self.draft(EXPECTED).and_then(|text| read(&text)));
    }

    /// Takes in the pictures that were picked, one after another; a file that is no
    /// picture does not keep the others out.
    pub fn add_photos(self, about: About, input: &FileInput) {
        let files = photo::picked(input);
        spawn_local(later::run(self, Errand::Photos { about, files }));
    }

    /// Takes in these pictures.
    pub async fn take_photos(self, about: About, files: Vec<File>) {
        let mut not_opened = Vec::new();
        for (before, file) in files.iter().enumerate() {
            if files.len() > 1 {
                self.mention(format!("Photo {} of {} …", before + 1, files.len()));
            }
            match photo::make_small(file).await {
                Ok(small) => {
                    // What cannot be kept was told; the next one could not be kept either.
                    if !self.add_photo(about, file, small).await {
                        return;
                    }
                }
                Err(why) => not_opened.push(why),
            }
        }
        if !not_opened.is_empty() {
            self.complain(not_opened.join(" "));
        }
        self.forget_expected_photo();
    }

    async fn add_photo(self, about: About, file: &File, small: Small) -> bool {
        let position = if prefs::keeps_position() { position(file).await } else { None };
        let id = BlobId::of(&small.bytes);
        let facts = PhotoFacts {
            blob: id,
            bytes: u32::try_from(small.bytes.len()).unwrap_or(u32::MAX),
            width: small.width,
            height: small.height,
            caption: Label::default(),
            taken: None,
            position,
        };
        let blob = Blob { id, bytes: small.bytes };
        let unkept = blob.bytes.clone();
        let asked = self.ask_with(Command::TakePhoto { about, photo: facts }, vec![blob], "Photo kept".to_owned());
        let kept = asked.await.is_some();
        if !kept {
            let name = file.name();
            let stem = name.rsplit_once('.').map_or(name.as_str(), |(stem, _)| stem);
            self.hold_unkept(Ready::of(&format!("{stem}.jpg"), "image/jpeg", &unkept));
        }
        kept
    }

    /// Holds what could not be kept, so that it can still leave the phone.
    pub(super) fn hold_unkept(self, file: Option<Ready>) {
        self.unkept.set(file);
    }

    /// Opens the share sheet for the photo that could not be kept.
    pub fn share_unkept(self, photo: Ready) {
        spawn_local(async move {
            match photo.share().await {
                Ok(true) => self.let_unkept_go("It is shared, not kept here."),
                Ok(false) => {}
                Err(why) => self.complain(format!("{} Save it as a file instead.", why.words())),
            }
        });
    }

    /// Saves the photo that could not be kept as a download.
    pub fn save_unkept(self, photo: Ready) {
        match photo.download() {
            Ok(()) => self.let_unkept_go("It is saved as a file, not kept in the workbook."),
            Err(why) => self.complain(why),
        }
    }

    fn let_unkept_go(self, words: &str) {
        self.unkept.set(None);
        self.mention(words);
    }
}

/// Returns the position in a picture's file; none when it has none or cannot be read.
async fn position(file: &File) -> Option<Position> {
    let papers = Papers::start().ok()?;
    // The first answer is that one may ask.
    papers.hear().await.ok()?;
    papers.ask_with_file(&Ask::Position, &photo::head(file, exif::WITHIN)?);
    match papers.hear().await.ok()?.answer {
        Answer::Position(position) => position,
        _ => None,
    }
}

fn written(about: About) -> String {
    match about {
        About::Day => "day".to_owned(),
        About::Job(job) => format!("job/{job}"),
        About::Item(item) => format!("item/{item}"),
        About::Step(step) => format!("step/{step}"),
        About::Reading(reading) => format!("reading/{reading}"),
        About::Group(group) => format!("group/{group}"),
    }
}

fn read(text: &str) -> Option<About> {
    if text == "day" {
        return Some(About::Day);
    }
    let (kind, id) = text.split_once('/')?;
    let id = EventId::parse(id)?;
    match kind {
        "job" => Some(About::Job(JobId(id))),
        "item" => Some(About::Item(ItemId(id))),
        "step" => Some(About::Step(StepId(id))),
        "reading" => Some(About::Reading(ReadingId(id))),
        "group" => Some(About::Group(GroupId(id))),
        _ => None,
    }
}
