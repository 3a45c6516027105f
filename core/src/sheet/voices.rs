//! Voice notes on a day sheet: named with their length, and carried where photos are.
//!
//! They are the technician's own, as notes are: an owner's summary has none.

use super::thing;
use crate::book::Book;
use crate::book::evidence::Voice;
use crate::event::VoiceFacts;
use crate::id::JobId;
use crate::moment::Moment;
use crate::text::Label;
use crate::view::{hour_minute, voice_length};

/// A voice note on a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct VoiceSheet {
    /// When it was spoken.
    pub at: Moment,
    /// The item, step or group that it is on, if it is on one.
    pub about: Option<Label>,
    /// What is known of it.
    pub facts: VoiceFacts,
}

impl VoiceSheet {
    /// Returns what it is, in words: `10:42, Shaft seal: voice note, 0:12`.
    pub fn words(&self) -> String {
        let about = self.about.as_ref().map(|about| format!(", {about}")).unwrap_or_default();
        format!("{}{about}: voice note, {}", hour_minute(self.at), voice_length(self.facts.ms))
    }
}

/// Returns the voice notes on a job and its things, or on no job.
pub(super) fn voices(book: &Book, job: Option<JobId>) -> impl Iterator<Item = VoiceSheet> {
    let of_job = book.evidence.voices().filter(move |voice| book.job_about(voice.about) == job);
    of_job.map(|voice| sheet(book, voice))
}

pub(super) fn sheet(book: &Book, voice: &Voice) -> VoiceSheet {
    VoiceSheet { at: voice.at, about: thing(book, voice.about), facts: voice.facts }
}
