//! Notes, photos and voice notes, each tied to what it is about.

use super::named::Named;
use crate::event::{About, Mark, PhotoFacts, VoiceFacts};
use crate::id::{BlobId, EventId, NoteId, PhotoId, VoiceId};
use crate::moment::Moment;
use crate::text::{Label, Prose};

/// All notes, photos and voice notes.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Evidence {
    notes: Named<Note>,
    photos: Named<Photo>,
    voices: Named<Voice>,
}

/// A note.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Note {
    /// Its name in the log.
    pub id: NoteId,
    /// When it was written.
    pub at: Moment,
    /// What it is about.
    pub about: About,
    /// What it says.
    pub text: Prose,
    /// Whether it was withdrawn.
    pub withdrawn: bool,
}

/// A photo.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Photo {
    /// Its name in the log.
    pub id: PhotoId,
    /// When it was added.
    pub at: Moment,
    /// What it is about.
    pub about: About,
    /// What is known of it.
    pub facts: PhotoFacts,
    /// What is drawn on it.
    pub marks: Vec<Mark>,
    /// Whether it was withdrawn.
    pub withdrawn: bool,
}

/// A voice note.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Voice {
    /// Its name in the log.
    pub id: VoiceId,
    /// When it was spoken.
    pub at: Moment,
    /// What it is about.
    pub about: About,
    /// What is known of it.
    pub facts: VoiceFacts,
    /// Whether it was withdrawn.
    pub withdrawn: bool,
}

impl Evidence {
    /// Returns a note, withdrawn or not.
    pub fn note_of(&self, id: NoteId) -> Option<&Note> {
        self.notes.get(id.0)
    }

    /// Returns a photo, withdrawn or not.
    pub fn photo_of(&self, id: PhotoId) -> Option<&Photo> {
        self.photos.get(id.0)
    }

    /// Returns the notes that count, in the order in which they were written.
    pub fn notes(&self) -> impl DoubleEndedIterator<Item = &Note> {
        self.notes.all().filter(|note| !note.withdrawn)
    }

    /// Returns the photos that count, in the order in which they were added.
    pub fn photos(&self) -> impl DoubleEndedIterator<Item = &Photo> {
        self.photos.all().filter(|photo| !photo.withdrawn)
    }

    /// Returns the voice notes that count, in the order in which they were spoken.
    pub fn voices(&self) -> impl DoubleEndedIterator<Item = &Voice> {
        self.voices.all().filter(|voice| !voice.withdrawn)
    }

    /// Returns the bytes of every photo and voice note, the withdrawn ones too: a withdrawal
    /// may be withdrawn.
    pub fn all_blobs(&self) -> impl Iterator<Item = BlobId> {
        let photos = self.photos.all().map(|photo| photo.facts.blob);
        photos.chain(self.voices.all().map(|voice| voice.facts.blob))
    }

    /// Returns the photos of one thing.
    pub fn photos_about(&self, about: About) -> impl DoubleEndedIterator<Item = &Photo> {
        self.photos().filter(move |photo| photo.about == about)
    }

    /// Returns the notes on one thing.
    pub fn notes_about(&self, about: About) -> impl DoubleEndedIterator<Item = &Note> {
        self.notes().filter(move |note| note.about == about)
    }

    pub(super) fn note(&mut self, id: EventId, at: Moment, about: About, text: &Prose) -> Result<(), EventId> {
        self.notes.put(id, Note { id: NoteId(id), at, about, text: text.clone(), withdrawn: false });
        Ok(())
    }

    pub(super) fn photo(&mut self, id: EventId, at: Moment, about: About, facts: &PhotoFacts) -> Result<(), EventId> {
        let (id, facts, marks) = (PhotoId(id), facts.clone(), Vec::new());
        self.photos.put(id.0, Photo { id, at, about, facts, marks, withdrawn: false });
        Ok(())
    }

    pub(super) fn voice(&mut self, id: EventId, at: Moment, about: About, facts: VoiceFacts) -> Result<(), EventId> {
        self.voices.put(id, Voice { id: VoiceId(id), at, about, facts, withdrawn: false });
        Ok(())
    }

    pub(super) fn draw(&mut self, id: PhotoId, marks: &[Mark]) -> Result<(), EventId> {
        self.photos.known(id.0)?.marks = marks.to_vec();
        Ok(())
    }

    pub(super) fn caption(&mut self, id: PhotoId, caption: &Label) -> Result<(), EventId> {
        self.photos.known(id.0)?.facts.caption = caption.clone();
        Ok(())
    }

    pub(super) fn marked(&self, id: EventId) -> Option<bool> {
        let note = self.notes.get(id).map(|note| note.withdrawn);
        let photo = || self.photos.get(id).map(|photo| photo.withdrawn);
        note.or_else(photo).or_else(|| self.voices.get(id).map(|voice| voice.withdrawn))
    }

    pub(super) fn mark(&mut self, id: EventId, withdrawn: bool) -> bool {
        if let Ok(note) = self.notes.known(id) {
            note.withdrawn = withdrawn;
            return true;
        }
        if let Ok(photo) = self.photos.known(id) {
            photo.withdrawn = withdrawn;
            return true;
        }
        let Ok(voice) = self.voices.known(id) else { return false };
        voice.withdrawn = withdrawn;
        true
    }
}
