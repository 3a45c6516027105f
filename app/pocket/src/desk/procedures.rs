//! Procedures on their way into the book: ready-made ones, and a colleague's file.
//!
//! The ready-made ones lie beside the page, in the form of a shared file, and are
//! fetched when somebody looks for them; the service worker has them without a
//! network. One that is taken is a procedure of the book like every other.

use quaywright_core::command::Command;
use quaywright_core::event::Procedure;
use quaywright_core::exchange::procedure;
use quaywright_core::id::{EventId, VersionId};
use quaywright_core::store::Blob;

use super::{Desk, sentence};
use crate::platform::page;

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
