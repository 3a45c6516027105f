//! Voice notes on their way into the book: bytes and the record that names them, in one action.

use quaywright_core::command::Command;
use quaywright_core::event::{About, VoiceFacts};
use quaywright_core::id::BlobId;
use quaywright_core::store::Blob;

use super::Desk;
use crate::platform::share::Ready;
use crate::platform::voice::Recorded;

impl Desk {
    /// Keeps a voice note; one that cannot be kept is held so that it can still leave the phone.
    pub async fn add_voice(self, about: About, recorded: Recorded) {
        let Recorded { bytes, sound, ms } = recorded;
        let id = BlobId::of(&bytes);
        let voice = VoiceFacts { blob: id, bytes: u32::try_from(bytes.len()).unwrap_or(u32::MAX), ms, sound };
        let unkept = bytes.clone();
        let blobs = vec![Blob { id, bytes }];
        if self.ask_with(Command::TakeVoice { about, voice }, blobs, "Voice note kept".to_owned()).await.is_none() {
            let kind = sound.media_type();
            let end = kind.strip_prefix("audio/").unwrap_or_default();
            self.hold_unkept(Ready::of(&format!("voice-note.{end}"), kind, &unkept));
        }
    }
}
