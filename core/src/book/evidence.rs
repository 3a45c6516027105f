//! Notes, photos and voice notes, each tied to what it is about.

use super::named::Named;
use crate::event::{About, Mark, PhotoFacts, Shows, VoiceFacts};
use crate::id::{
    BlobId, DeviceId, EventId, GroupId, ItemId, JobId, NoteId, PairId, PhotoId, ReadingId, StepId, VoiceId,
};
use crate::moment::Moment;
use crate::text::{Label, Prose};

/// All notes, photos and voice notes.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Evidence {
    notes: Named<Note>,
    photos: Named<Photo>,
    voices: Named<Voice>,
    pairs: Named<Pair>,
    /// The photos of each thing, by its name: a list of thousands asks for each of its rows.
    photos_by_subject: Named<Vec<PhotoId>>,
}

/// Two photos of the same thing, before the work and after it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pair {
    /// The name in the log of the statement.
    pub id: PairId,
    /// The photo before the work.
    pub before: PhotoId,
    /// The photo after it.
    pub after: PhotoId,
    /// What they show; may be empty.
    pub what: Label,
    /// Whether it was withdrawn.
    pub withdrawn: bool,
}

impl Pair {
    /// Tells whether this photo is one of the two.
    pub fn has(&self, photo: PhotoId) -> bool {
        self.before == photo || self.after == photo
    }
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
    /// What it proves, where somebody said so.
    pub shows: Option<Shows>,
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

/// Returns the name of a thing; the days have one together.
fn subject(about: About) -> EventId {
    match about {
        About::Day => EventId { device: DeviceId::new([0; 8]), seq: 0 },
        About::Job(JobId(id))
        | About::Item(ItemId(id))
        | About::Step(StepId(id))
        | About::Reading(ReadingId(id))
        | About::Group(GroupId(id)) => id,
    }
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

    /// Returns the pairs that count and whose photos do, in the order in which they were made.
    pub fn pairs(&self) -> impl Iterator<Item = &Pair> {
        let counts = |photo| self.photo_of(photo).is_some_and(|photo| !photo.withdrawn);
        self.pairs.all().filter(move |pair| !pair.withdrawn && counts(pair.before) && counts(pair.after))
    }

    /// Returns the bytes of every photo and voice note, the withdrawn ones too: a withdrawal
    /// may be withdrawn.
    pub fn all_blobs(&self) -> impl Iterator<Item = BlobId> {
        let photos = self.photos.all().map(|photo| photo.facts.blob);
        photos.chain(self.voices.all().map(|voice| voice.facts.blob))
    }

    /// Returns the photos of one thing.
    pub fn photos_about(&self, about: About) -> impl DoubleEndedIterator<Item = &Photo> {
        let ids = self.photos_by_subject.get(subject(about)).into_iter().flatten();
        ids.filter_map(|&id| self.photo_of(id)).filter(move |photo| photo.about == about && !photo.withdrawn)
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
        self.photos_by_subject.of(subject(about)).push(id);
        self.photos.put(id.0, Photo { id, at, about, facts, marks, shows: None, withdrawn: false });
        Ok(())
    }

    pub(super) fn voice(&mut self, id: EventId, at: Moment, about: About, facts: VoiceFacts) -> Result<(), EventId> {
        self.voices.put(id, Voice { id: VoiceId(id), at, about, facts, withdrawn: false });
        Ok(())
    }

    pub(super) fn pair(&mut self, id: EventId, before: PhotoId, after: PhotoId, what: &Label) -> Result<(), EventId> {
        self.photos.known(before.0)?;
        self.photos.known(after.0)?;
        if before == after {
            return Err(before.0);
        }
        self.pairs.put(id, Pair { id: PairId(id), before, after, what: what.clone(), withdrawn: false });
        Ok(())
    }

    pub(super) fn draw(&mut self, id: PhotoId, marks: &[Mark]) -> Result<(), EventId> {
        self.photos.known(id.0)?.marks = marks.to_vec();
        Ok(())
    }

    pub(super) fn show(&mut self, id: PhotoId, shows: Option<Shows>) -> Result<(), EventId> {
        self.photos.known(id.0)?.shows = shows;
        Ok(())
    }

    pub(super) fn caption(&mut self, id: PhotoId, caption: &Label) -> Result<(), EventId> {
        self.photos.known(id.0)?.facts.caption = caption.clone();
        Ok(())
    }

    pub(super) fn marked(&self, id: EventId) -> Option<bool> {
        let note = self.notes.get(id).map(|note| note.withdrawn);
        let photo = || self.photos.get(id).map(|photo| photo.withdrawn);
        let voice = || self.voices.get(id).map(|voice| voice.withdrawn);
        note.or_else(photo).or_else(voice).or_else(|| self.pairs.get(id).map(|pair| pair.withdrawn))
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
        if let Ok(voice) = self.voices.known(id) {
            voice.withdrawn = withdrawn;
            return true;
        }
        let Ok(pair) = self.pairs.known(id) else { return false };
        pair.withdrawn = withdrawn;
        true
    }
}
