//! What is different between two sheets of one day besides its times.
//!
//! Times are compared by [`super::amended`]; this is the rest of what the office bills or
//! judges by: which jobs are told, who pays for a line, its story, parts, readings, notes,
//! voice notes, photos and what was agreed with the owner. The state of a job that is the same
//! on every day's sheet (what is off, steps, tightening, visits) is told as it stands and is no
//! correction of a day.
//!
//! Rule: lines and readings are the same by name and compared by what they say. Parts, notes,
//! photos and what was agreed have no name on a sheet: each is the same as one like it on the
//! other, and what is left over was added or is gone. So nothing differs from itself, and what
//! differs from one sheet differs from each that is like it.

use super::readings::ReadingSheet;
use super::{DaySheet, JobSheet, LineSheet, NoteSheet, PhotoSheet, Story, part_words};
use crate::event::{Billing, PartFacts, PayType, StoryPart};
use crate::id::JobId;
use crate::moment::Length;
use crate::text::Prose;
use crate::view::{Place, hour_minute};

/// Something that a day's sheet tells otherwise than one before it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Difference {
    /// Boat and job in words, or the day itself.
    pub place: Place,
    /// What is different.
    pub what: What,
}

/// What is different on a job, or of the day as such.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum What {
    /// The job itself is told, or no longer.
    Job(Turn),
    /// A line.
    Line {
        /// The line's number, when the job has several.
        number: Option<usize>,
        /// What is different about it.
        what: OnLine,
    },
    /// A part.
    Part(Turn, PartFacts),
    /// A reading was added, or is gone.
    Reading(Turn, String),
    /// A reading comes to something else now.
    Judged(String),
    /// A note.
    Note(Turn, NoteSheet),
    /// A voice note, in words.
    Voice(Turn, String),
    /// So many photos.
    Photos(Turn, usize),
    /// What was agreed with the owner, or recommended, in words.
    Agreed(Turn, String),
}

/// What is different about a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum OnLine {
    /// The line itself.
    Itself(Turn, PayType),
    /// Who pays.
    Pay {
        /// Who did.
        before: PayType,
        /// Who does.
        now: PayType,
    },
    /// How it is billed; only where days are taken in, since a sheet tells it among the hours of the whole job.
    Billing {
        /// How it was.
        before: Billing,
        /// How it is.
        now: Billing,
    },
    /// A part of its story.
    Story {
        /// Which.
        part: StoryPart,
        /// What it said.
        before: Prose,
        /// What it says.
        now: Prose,
    },
}

/// Which way something turned.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turn {
    /// It was not told before.
    Added,
    /// It is not told any more.
    Gone,
}

impl Turn {
    const fn words(self) -> &'static str {
        match self {
            Self::Added => "added",
            Self::Gone => "taken away",
        }
    }
}

/// How many characters of what is told now go into one line, and of what was told before.
const LONGEST: (usize, usize) = (120, 60);

impl Difference {
    /// Returns the difference in one line, for the office.
    pub fn words(&self) -> String {
        let (at, what) = (self.place.words(), self.what.words());
        match &self.what {
            What::Line { number: Some(_), .. } => format!("{at}, {what}"),
            _ => format!("{at}: {what}"),
        }
    }
}

impl What {
    /// Returns what is different, without where.
    pub fn words(&self) -> String {
        match self {
            Self::Job(Turn::Added) => "now among the day's jobs".to_owned(),
            Self::Job(Turn::Gone) => "no longer among the day's jobs".to_owned(),
            Self::Line { number: Some(number), what } => format!("line {number}: {}", what.words()),
            Self::Line { number: None, what } => what.words(),
            Self::Part(turn, part) => format!("part {} {}", part_words(part), turn.words()),
            Self::Reading(turn, words) => format!("reading {}: {words}", turn.words()),
            Self::Judged(words) => format!("reading is now: {words}"),
            Self::Note(turn, note) => format!("note {} {}", note_words(note), turn.words()),
            Self::Voice(turn, words) => format!("{words}, {}", turn.words()),
            Self::Photos(turn, 1) => format!("1 photo {}", turn.words()),
            Self::Photos(turn, count) => format!("{count} photos {}", turn.words()),
            Self::Agreed(turn, words) => format!("of what was agreed, {}: {words}", turn.words()),
        }
    }
}

impl OnLine {
    fn words(&self) -> String {
        match self {
            Self::Itself(turn, pay) => format!("this line, {}, {}", pay.words(), turn.words()),
            Self::Pay { before, now } => format!("{} is now {}", before.words(), now.words()),
            Self::Billing { before, now } => format!("{} is now {}", billing_words(*before), billing_words(*now)),
            Self::Story { part, before, now } => story_words(*part, before, now),
        }
    }
}

fn billing_words(billing: Billing) -> String {
    match billing {
        Billing::ByClock => "billed by the clock".to_owned(),
        Billing::Flat { minutes } => {
            format!("billed {} flat", Length::from_ms(u64::from(minutes) * 60_000).clock_face())
        }
        Billing::NoCharge => "no charge".to_owned(),
    }
}

/// Returns what a part of the story says now, and what it said where that is short.
fn story_words(part: StoryPart, before: &Prose, now: &Prose) -> String {
    let (part, before, now) = (part.words(), one_line(before), one_line(now));
    let said = if now.is_empty() { format!("{part} is empty now") } else { format!("{part} is now {}", quoted(&now)) };
    let is_short = !before.is_empty() && before.chars().count() <= LONGEST.1;
    if is_short { format!("{said}, before it {}", quoted(&before)) } else { said }
}

fn note_words(note: &NoteSheet) -> String {
    let about = note.about.as_ref().map(|about| format!(", {about}")).unwrap_or_default();
    format!("{}{about} {}", hour_minute(note.at), quoted(&one_line(&note.text)))
}

fn one_line(prose: &Prose) -> String {
    prose.as_str().split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Returns text in marks; the end of a long one is cut.
fn quoted(text: &str) -> String {
    let end = text.char_indices().nth(LONGEST.0).map_or(text.len(), |(end, _)| end);
    let more = if end < text.len() { "…" } else { "" };
    format!("\"{}{more}\"", &text[..end])
}

/// Returns what `now` tells otherwise than `before`, a sheet of the same day; nothing of times.
pub fn differs(before: &DaySheet, now: &DaySheet) -> Vec<Difference> {
    let mut found = Vec::new();
    for job in &now.jobs {
        let was = before.jobs.iter().find(|was| was.job == job.job);
        of_job(was, Some(job)).for_each(|what| found.push(Difference { place: place(job), what }));
    }
    for gone in before.jobs.iter().filter(|was| !now.jobs.iter().any(|job| job.job == was.job)) {
        of_job(Some(gone), None).for_each(|what| found.push(Difference { place: place(gone), what }));
    }
    let place = Place { boat: String::new(), job: "the day".to_owned() };
    let of_day = of_things(&Things::of_day(before), &Things::of_day(now));
    found.extend(of_day.into_iter().map(|what| Difference { place: place.clone(), what }));
    found
}

/// Returns what `now` tells otherwise than `before` of what was noted of a job on their day. Its lines
/// and what was agreed are of the whole job, and grow with each of its days.
pub(super) fn of_the_day(before: &DaySheet, now: &DaySheet, job: JobId) -> Vec<Difference> {
    let of = |sheet: &'_ DaySheet| sheet.jobs.iter().position(|it| it.job == job);
    let (was, is) = (of(before).map(|at| &before.jobs[at]), of(now).map(|at| &now.jobs[at]));
    let Some(place) = is.or(was).map(place) else { return Vec::new() };
    let things = of_things(&Things::of_job(was), &Things::of_job(is));
    things.into_iter().map(|what| Difference { place: place.clone(), what }).collect()
}

fn place(job: &JobSheet) -> Place {
    Place { boat: job.boat.name.to_string(), job: job.title.to_string() }
}

/// Returns what is different about a job that one of two sheets tells, or both.
fn of_job(before: Option<&JobSheet>, now: Option<&JobSheet>) -> impl Iterator<Item = What> {
    let itself = match (before, now) {
        (None, Some(_)) => Some(What::Job(Turn::Added)),
        (Some(_), None) => Some(What::Job(Turn::Gone)),
        _ => None,
    };
    // A job that is not told has no lines and no agreement of the day: they go and come with it.
    let of_both = before.zip(now).map(|(before, now)| {
        let (was, is) = (before.agreements.words(), now.agreements.words());
        let agreed = turned(&was, &is, |one| one).into_iter().map(|(turn, it)| What::Agreed(turn, it.clone()));
        of_lines(&before.lines, &now.lines).into_iter().chain(agreed).collect::<Vec<_>>()
    });
    let things = of_things(&Things::of_job(before), &Things::of_job(now));
    itself.into_iter().chain(of_both.into_iter().flatten()).chain(things)
}

fn of_lines(before: &[LineSheet], now: &[LineSheet]) -> Vec<What> {
    let mut found = Vec::new();
    let mut tell = |among: &[LineSheet], at: usize, what| {
        found.push(What::Line { number: (among.len() > 1).then_some(at + 1), what });
    };
    for (at, line) in now.iter().enumerate() {
        let was = before.iter().find(|was| was.line == line.line);
        match was {
            None => tell(now, at, OnLine::Itself(Turn::Added, line.pay)),
            Some(was) if was.pay != line.pay => tell(now, at, OnLine::Pay { before: was.pay, now: line.pay }),
            Some(_) => {}
        }
        let told = was.map(|was| was.story.clone()).unwrap_or_default();
        of_story(&told, &line.story).for_each(|what| tell(now, at, what));
    }
    for (at, was) in before.iter().enumerate().filter(|(_, was)| !now.iter().any(|line| line.line == was.line)) {
        tell(before, at, OnLine::Itself(Turn::Gone, was.pay));
    }
    found
}

fn of_story<'a>(before: &'a Story, now: &'a Story) -> impl Iterator<Item = OnLine> + 'a {
    let both = StoryPart::ALL.into_iter().map(|part| (part, before.part(part), now.part(part)));
    let changed = both.filter(|(_, before, now)| before != now);
    changed.map(|(part, before, now)| OnLine::Story { part, before: before.clone(), now: now.clone() })
}

/// What was noted of a job on the day, or of the day as such.
#[derive(Default)]
pub(super) struct Things<'a> {
    pub(super) parts: &'a [PartFacts],
    pub(super) readings: &'a [ReadingSheet],
    pub(super) notes: &'a [NoteSheet],
    pub(super) photos: &'a [PhotoSheet],
    pub(super) voices: Vec<String>,
}

impl<'a> Things<'a> {
    fn of_job(job: Option<&'a JobSheet>) -> Self {
        let Some(job) = job else { return Self::default() };
        let voices = job.voices.iter().map(super::voices::VoiceSheet::words).collect();
        let JobSheet { parts, readings, notes, photos, .. } = job;
        Self { parts, readings, notes, photos, voices }
    }

    fn of_day(day: &'a DaySheet) -> Self {
        let voices = day.voices.iter().map(super::voices::VoiceSheet::words).collect();
        Self { notes: &day.notes, photos: &day.photos, voices, ..Self::default() }
    }
}

pub(super) fn of_things(before: &Things<'_>, now: &Things<'_>) -> Vec<What> {
    let parts = turned(before.parts, now.parts, |part| part).into_iter();
    let parts = parts.map(|(turn, part)| What::Part(turn, part.clone()));
    let readings = of_readings(before.readings, now.readings);
    // A thing that a note is on may get another name: it is the same note.
    let notes = turned(before.notes, now.notes, |note| (note.at, &note.text)).into_iter();
    let notes = notes.map(|(turn, note)| What::Note(turn, note.clone()));
    let voices = turned(&before.voices, &now.voices, |words| words).into_iter();
    let voices = voices.map(|(turn, words)| What::Voice(turn, words.clone()));
    let photos = turned(before.photos, now.photos, |photo| photo.blob);
    let photos = [Turn::Added, Turn::Gone].into_iter().filter_map(|way| {
        let count = photos.iter().filter(|(turn, _)| *turn == way).count();
        (count > 0).then_some(What::Photos(way, count))
    });
    parts.chain(readings).chain(notes).chain(voices).chain(photos).collect()
}

fn of_readings(before: &[ReadingSheet], now: &[ReadingSheet]) -> Vec<What> {
    let turned = turned(before, now, |it| it.id).into_iter();
    let turned = turned.map(|(turn, it)| What::Reading(turn, it.owner_words()));
    let judged = now.iter().filter_map(|it| {
        let was = before.iter().find(|was| was.id == it.id)?;
        let words = it.owner_words();
        (was.owner_words() != words).then_some(What::Judged(words))
    });
    turned.chain(judged).collect()
}

/// Returns what only one of two lists holds: what is gone first. Of several alike as many are the same as both hold.
pub(super) fn turned<'a, T, K: PartialEq>(
    before: &'a [T],
    now: &'a [T],
    key: impl Fn(&'a T) -> K,
) -> Vec<(Turn, &'a T)> {
    let mut gone: Vec<&T> = before.iter().collect();
    let mut added = Vec::new();
    for one in now {
        match gone.iter().position(|it| key(it) == key(one)) {
            Some(at) => drop(gone.remove(at)),
            None => added.push((Turn::Added, one)),
        }
    }
    gone.into_iter().map(|it| (Turn::Gone, it)).chain(added).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::id::{BlobId, DeviceId, EventId};
    use crate::moment::Moment;
    use crate::quantity::Count;
    use crate::text::Label;

    #[test]
    fn of_several_alike_as_many_are_the_same_as_both_hold() {
        type Row = (&'static [u8], &'static [u8], &'static [(Turn, u8)]);
        let table: [Row; 5] = [
            (&[], &[], &[]),
            (&[1, 2], &[2, 1], &[]),
            (&[1, 1], &[1], &[(Turn::Gone, 1)]),
            (&[1], &[1, 1, 2], &[(Turn::Added, 1), (Turn::Added, 2)]),
            (&[1, 3], &[2, 3], &[(Turn::Gone, 1), (Turn::Added, 2)]),
        ];
        for (before, now, expected) in table {
            let found: Vec<_> = turned(before, now, |&one| one).into_iter().map(|(turn, &one)| (turn, one)).collect();
            assert_eq!(found, expected, "{before:?} {now:?}");
        }
    }

    #[test]
    fn each_difference_is_one_line() {
        let said = |what| Difference { place: Place { boat: "Heron".into(), job: "Impeller".into() }, what }.words();
        let part = PartFacts { what: Label::new("Impeller"), number: Label::new("9-114"), count: Count(1) };
        assert_eq!(said(What::Part(Turn::Added, part)), "Heron, Impeller: part 1 × Impeller, no. 9-114 added");
        let story = |number, before: &str, now: &str| {
            let (before, now) = (Prose::new(before), Prose::new(now));
            said(What::Line { number, what: OnLine::Story { part: StoryPart::Cause, before, now } })
        };
        assert_eq!(story(None, "", "Two vanes\ngone."), "Heron, Impeller: cause is now \"Two vanes gone.\"");
        assert_eq!(story(Some(2), "Worn", ""), "Heron, Impeller, line 2: cause is empty now, before it \"Worn\"");
        let (long, cut) = ("ö".repeat(121), "ö".repeat(120));
        assert_eq!(story(None, &long, &long), format!("Heron, Impeller: cause is now \"{cut}…\""));
        let at = Moment::parse("2026-05-04T14:05:00+01:00").unwrap();
        let note = NoteSheet { at, about: Some(Label::new("Cover")), text: Prose::new("M4, not M5") };
        let words = "Heron, Impeller: note 14:05, Cover \"M4, not M5\" taken away";
        assert_eq!(said(What::Note(Turn::Gone, note)), words);
        assert_eq!(said(What::Photos(Turn::Added, 1)), "Heron, Impeller: 1 photo added");
        assert_eq!(said(What::Photos(Turn::Gone, 2)), "Heron, Impeller: 2 photos taken away");
        let pay = OnLine::Pay { before: PayType::CustomerPay, now: PayType::Warranty };
        let words = "Heron, Impeller: customer pay is now warranty";
        assert_eq!(said(What::Line { number: None, what: pay }), words);
    }

    #[test]
    fn photos_are_told_by_how_many_came_and_went() {
        let photo = |name: &[u8]| PhotoSheet {
            blob: BlobId::of(name),
            caption: "Photo".to_owned(),
            captioned: false,
            width: 4,
            height: 3,
            marks: Vec::new(),
            of_reading: None,
            shows: None,
        };
        let (before, now) = ([photo(b"a"), photo(b"b")], [photo(b"b"), photo(b"c"), photo(b"d")]);
        let things = |photos| Things { photos, ..Things::default() };
        let found = of_things(&things(&before), &things(&now));
        assert_eq!(found, [What::Photos(Turn::Added, 2), What::Photos(Turn::Gone, 1)]);
    }

    #[test]
    fn a_line_that_came_is_told_with_its_story_and_one_that_went_alone() {
        let line = |seq, complaint: &str| LineSheet {
            line: crate::id::LineId(EventId { device: DeviceId::new([1; 8]), seq }),
            pay: PayType::Internal,
            story: Story { complaint: Prose::new(complaint), ..Story::default() },
            time: Vec::new(),
            claim: None,
        };
        let (one, two) = (line(1, "Weeps"), line(2, "Drips"));
        let complaint =
            OnLine::Story { part: StoryPart::Complaint, before: Prose::default(), now: Prose::new("Drips") };
        let on = |what| What::Line { number: Some(2), what };
        let added = [on(OnLine::Itself(Turn::Added, PayType::Internal)), on(complaint)];
        assert_eq!(of_lines(std::slice::from_ref(&one), &[one.clone(), two.clone()]), added);
        let gone = [on(OnLine::Itself(Turn::Gone, PayType::Internal))];
        assert_eq!(of_lines(&[one.clone(), two], std::slice::from_ref(&one)), gone);
    }
}
