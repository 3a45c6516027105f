//! Procedures on their way into the book: ready-made ones, and a colleague's file.
//!
//! The ready-made ones lie beside the page, in the form of a shared file, and are
//! fetched when somebody looks for them; the service worker has them without a
//! network. One that is taken is a procedure of the book like every other.

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::command::Command;
use quaywright_core::event::{Picture, Procedure, StepNumber};
use quaywright_core::exchange::procedure;
use quaywright_core::id::{BlobId, EventId, ProcedureId, VersionId};
use quaywright_core::store::Blob;
use quaywright_core::text::Label;

use super::{Desk, sentence};
use crate::platform::page;
use crate::platform::photo::{self, FileInput, Small};

/// The ready-made procedures' files, in the order in which they are offered.
const READY_MADE: [&str; 10] = [
    "raw-water-impeller",
    "gearcase-oil",
    "fuel-filter-bleed",
    "battery-change",
    "flush-fitting",
    "steering-top-up",
    "propeller-shaft-inspection",
    "shaft-seal-powerhead",
    "winter-lay-up",
    "spring-commissioning",
];

impl Desk {
    /// Returns the ready-made procedures.
    ///
    /// # Errors
    /// Says which is not here and why.
    pub async fn ready_made(self) -> Result<Vec<Procedure>, String> {
        let mut all = Vec::with_capacity(READY_MADE.len());
        for name in READY_MADE {
            let bytes = page::fetch_bytes(&["procedures/", name, ".json"].concat()).await?;
            let read = procedure::read(&bytes).map_err(|why| sentence(&why.to_string()))?;
            all.extend(read.procedures);
        }
        Ok(all)
    }

    /// Keeps a procedure; gives back the version that a job can be done by.
    pub async fn keep_procedure(self, kept: Procedure) -> Option<VersionId> {
        let words = format!("{} is in the book", kept.title);
        self.ask(Command::KeepProcedure(kept), words).await.map(VersionId)
    }

    /// Takes in the files that were picked as pictures of a step, one after another; what a picture
    /// shows beside its pixels, such as a position, stays behind.
    pub fn add_pictures(self, procedure: ProcedureId, step: StepNumber, input: &FileInput) {
        let files = photo::picked(input);
        spawn_local(async move {
            for file in &files {
                match photo::make_small(file).await {
                    // What cannot be kept was told; the next one could not be kept either.
                    Ok(small) => {
                        if !self.add_picture(procedure, step, small).await {
                            return;
                        }
                    }
                    Err(why) => self.complain(why),
                }
            }
        });
    }

    async fn add_picture(self, procedure: ProcedureId, step: StepNumber, small: Small) -> bool {
        let blob = Blob { id: BlobId::of(&small.bytes), bytes: small.bytes };
        let bytes = u32::try_from(blob.bytes.len()).unwrap_or(u32::MAX);
        let (width, height, caption) = (small.width, small.height, Label::default());
        let picture = Picture { blob: blob.id, bytes, width, height, caption };
        let now = self.book.with_untracked(|book| book.procedures.current(procedure).map(|it| it.reads.clone()));
        let Some(mut to) = now else { return false };
        let place = to.steps.iter_mut().find(|it| it.number == step);
        place.into_iter().for_each(|it| it.pictures.push(picture.clone()));
        let command = Command::AmendProcedure { procedure, to };
        self.ask_with(command, vec![blob], "Picture kept".to_owned()).await.is_some()
    }

    /// Keeps the procedures of a file that was read, each with its pictures.
    pub(super) async fn keep_procedures(self, file: &[u8], pictures: Vec<Blob>) {
        let Ok(read) = procedure::read(file) else { return };
        let mut kept: Vec<EventId> = Vec::new();
        let all = read.procedures.len();
        for one in read.procedures {
            let named = |blob: &&Blob| one.steps.iter().flat_map(|it| &it.pictures).any(|it| it.blob == blob.id);
            let blobs = pictures.iter().filter(named).cloned().collect();
            let words = format!("{} is in the book", one.title);
            kept.extend(self.ask_with(Command::KeepProcedure(one), blobs, words).await);
        }
        if all > 1 && kept.len() == all {
            self.mention(format!("{all} procedures are in the book now."));
        }
    }
}
