//! Notes and photos, each tied to what it is about.

use std::collections::BTreeMap;

use crate::event::{About, PhotoFacts};
use crate::id::{EventId, NoteId, PhotoId};
use crate::moment::Moment;
use crate::text::Prose;

/// All notes and photos.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Evidence {
    notes: BTreeMap<NoteId, Note>,
    photos: BTreeMap<PhotoId, Photo>,
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
    /// Whether it was withdrawn.
    pub withdrawn: bool,
}

impl Evidence {
    /// Returns a note, withdrawn or not.
    pub fn note_of(&self, id: NoteId) -> Option<&Note> {
        self.notes.get(&id)
    }

    /// Returns a photo, withdrawn or not.
    pub fn photo_of(&self, id: PhotoId) -> Option<&Photo> {
        self.photos.get(&id)
    }

    /// Returns the notes that count, in the order in which they were written.
    pub fn notes(&self) -> impl DoubleEndedIterator<Item = &Note> {
        self.notes.values().filter(|note| !note.withdrawn)
    }

    /// Returns the photos that count, in the order in which they were added.
    pub fn photos(&self) -> impl DoubleEndedIterator<Item = &Photo> {
        self.photos.values().filter(|photo| !photo.withdrawn)
    }

    /// Returns every photo, the withdrawn ones too: a withdrawal may be withdrawn.
    pub fn all_photos(&self) -> impl Iterator<Item = &Photo> {
        self.photos.values()
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
        let id = NoteId(id);
        self.notes.insert(id, Note { id, at, about, text: text.clone(), withdrawn: false });
        Ok(())
    }

    pub(super) fn photo(&mut self, id: EventId, at: Moment, about: About, facts: &PhotoFacts) -> Result<(), EventId> {
        let id = PhotoId(id);
        self.photos.insert(id, Photo { id, at, about, facts: facts.clone(), withdrawn: false });
        Ok(())
    }

    pub(super) fn marked(&self, id: EventId) -> Option<bool> {
        let note = self.notes.get(&NoteId(id)).map(|note| note.withdrawn);
        note.or_else(|| self.photos.get(&PhotoId(id)).map(|photo| photo.withdrawn))
    }

    pub(super) fn mark(&mut self, id: EventId, withdrawn: bool) -> bool {
        if let Some(note) = self.notes.get_mut(&NoteId(id)) {
            note.withdrawn = withdrawn;
            return true;
        }
        let Some(photo) = self.photos.get_mut(&PhotoId(id)) else { return false };
        photo.withdrawn = withdrawn;
        true
    }
}
