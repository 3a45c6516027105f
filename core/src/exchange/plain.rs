//! A day sheet as plain text, for a terminal, a message or a printer.
//!
//! Lines are short, indented by what they belong to, and hold everything that
//! the day page holds but the photos themselves. Times are full minutes.

use crate::closing::CarryOver;
use crate::moment::Length;
use crate::sheet::amended::Amended;
use crate::sheet::billed::LineHours;
use crate::sheet::readings::ReadingSheet;
use crate::sheet::tightening::TorqueSheet;
use crate::sheet::warranty::failed_words;
use crate::sheet::{DaySheet, EngineSheet, JobSheet, LineSheet, NoteSheet, PhotoSheet, Share, Story, part_words};
use crate::text::Prose;
use crate::view::{day_words, hour_minute};

/// Returns a day sheet as text.
pub fn plain(sheet: &DaySheet) -> String {
    let mut text = Text::default();
    let who = [sheet.technician.or("Technician without a name"), sheet.shop.as_str()];
    text.line(0, &joined(&who, ", "));
    text.line(0, &format!("{}, {}", day_words(sheet.day, sheet.day), sheet.day));
    let (worked, paused) = (sheet.worked.clock_face(), sum(&sheet.pauses).clock_face());
    text.line(0, &format!("worked {worked}, pauses {paused}, in all {}", sheet.total.clock_face()));
    if let Some(words) = sheet.revision.words() {
        text.line(0, &format!("revision {words}"));
    }
    put_list(&mut text, "changed since", sheet.revision.amends.iter().flat_map(Amended::words));
    for job in &sheet.jobs {
        put_job(&mut text, job);
    }
    put_shares(&mut text, "On no job", &sheet.no_job);
    put_shares(&mut text, "Pauses", &sheet.pauses);
    if !sheet.notes.is_empty() || !sheet.photos.is_empty() {
        text.head("Of the day");
        put_notes(&mut text, &sheet.notes, &sheet.photos);
    }
    if !sheet.mends.is_empty() {
        text.head("Mended");
        sheet.mends.iter().for_each(|mend| text.line(1, &mend.words()));
    }
    if !sheet.carry_over.is_empty() {
        text.head("Tomorrow starts from");
        sheet.carry_over.iter().for_each(|carried| put_carried(&mut text, carried));
    }
    text.head(&format!("Read from {} up to record {}.", sheet.log.device, sheet.log.seq));
    text.0
}

#[derive(Default)]
struct Text(String);

impl Text {
    /// Writes a line; further lines of the same text are indented alike.
    fn line(&mut self, indent: usize, text: &str) {
        for one in text.lines() {
            (0..indent * 2).for_each(|_| self.0.push(' '));
            self.0.push_str(one);
            self.0.push('\n');
        }
    }

    fn head(&mut self, text: &str) {
        self.0.push('\n');
        self.line(0, text);
    }

    fn told(&mut self, indent: usize, word: &str, text: &Prose) {
        let text = if text.is_empty() { "not written" } else { text.as_str() };
        self.line(indent, &format!("{word}: {}", text.replace('\n', "\n  ")));
    }
}

fn put_job(text: &mut Text, job: &JobSheet) {
    let state = if job.finished { "finished" } else { "open" };
    text.head(&format!("{}: {} ({state}), {}", job.boat.name, job.title, job.time().clock_face()));
    text.line(1, &joined(&[job.boat.owner.as_str(), job.boat.berth.as_str()], ", "));
    if let Some(engine) = &job.engine {
        text.line(1, &engine_words(engine));
    }
    for (number, line) in (1..).zip(&job.lines) {
        let hours = job.hours.lines.iter().find(|hours| hours.line == line.line);
        put_line(text, number, line, hours.and_then(LineHours::words));
    }
    job.hours.minimum_words().iter().for_each(|words| text.line(1, words));
    put_list(text, "no line named", job.no_line.iter().map(share_words));
    put_list(text, "parts", job.parts.iter().map(part_words));
    put_list(text, "still off", job.off.iter().map(ToString::to_string));
    put_list(text, "replaced or left off", job.instead.iter().cloned());
    let mark = |done| if done { "done" } else { "to do" };
    put_list(text, "steps", job.steps.iter().map(|step| format!("{}: {}", mark(step.done), step.text)));
    put_list(text, "tightening", job.torque.iter().flat_map(TorqueSheet::words));
    put_list(text, "measured", job.readings.iter().map(ReadingSheet::office_words));
    put_notes(text, &job.notes, &job.photos);
}

fn put_line(text: &mut Text, number: usize, line: &LineSheet, billed: Option<String>) {
    text.line(1, &format!("line {number}, {}, {}", line.pay.words(), sum(&line.time).clock_face()));
    billed.iter().for_each(|words| text.line(2, words));
    let Story { complaint, cause, correction } = &line.story;
    text.told(2, "complaint", complaint);
    text.told(2, "cause", cause);
    text.told(2, "correction", correction);
    if let Some(claim) = &line.claim {
        claim.failed.iter().for_each(|part| text.line(2, &format!("failed part: {}", failed_words(part))));
        if !claim.lacks.is_empty() {
            text.line(2, &format!("the warranty pack is not whole: {}", claim.lacks.join(", ")));
        }
    }
    line.time.iter().for_each(|share| text.line(2, &share_words(share)));
}

fn put_notes(text: &mut Text, notes: &[NoteSheet], photos: &[PhotoSheet]) {
    let note = |note: &NoteSheet| {
        let about = note.about.as_ref().map(|about| format!(" ({about})")).unwrap_or_default();
        format!("{}{about} {}", hour_minute(note.at), note.text)
    };
    put_list(text, "notes", notes.iter().map(note));
    put_list(text, "photos", photos.iter().map(|photo| photo.caption.clone()));
}

fn put_carried(text: &mut Text, carried: &CarryOver) {
    text.line(1, &joined(&[&carried.boat, &carried.title, &carried.berth], ", "));
    carried.off.iter().for_each(|item| text.line(2, &item.to_string()));
    carried.stands.iter().for_each(|words| text.line(2, words));
    carried.next_steps.iter().for_each(|step| text.line(2, &format!("to do: {step}")));
    carried.tightening.iter().for_each(|group| text.line(2, group));
    carried.last_note.iter().for_each(|note| text.line(2, &format!("note: {note}")));
}

fn put_shares(text: &mut Text, head: &str, shares: &[Share]) {
    if !shares.is_empty() {
        text.head(&format!("{head}, {}", sum(shares).clock_face()));
        shares.iter().for_each(|share| text.line(1, &share_words(share)));
    }
}

fn put_list(text: &mut Text, head: &str, lines: impl Iterator<Item = String>) {
    let mut lines = lines.peekable();
    if lines.peek().is_some() {
        text.line(1, head);
        lines.for_each(|line| text.line(2, &line));
    }
}

fn share_words(share: &Share) -> String {
    format!("{} {}", share.length.clock_face(), share.activity.words())
}

fn sum(shares: &[Share]) -> Length {
    shares.iter().map(|share| share.length).sum()
}

/// Returns an engine in one line.
pub(super) fn engine_words(engine: &EngineSheet) -> String {
    let facts = &engine.facts;
    let serial = if facts.serial.is_empty() { String::new() } else { format!("serial {}", facts.serial) };
    let year = facts.year.map(|year| year.to_string()).unwrap_or_default();
    let power = facts.power.map(|power| power.to_string()).unwrap_or_default();
    let hours = engine.hours.map(|hours| format!("{hours} h")).unwrap_or_default();
    let parts = [facts.place.as_str(), facts.model.as_str(), &serial, &year, &power, &hours];
    let words = joined(&parts, ", ");
    if words.is_empty() { "engine".to_owned() } else { words }
}

/// Returns what is written of these, with something between.
pub(super) fn joined(parts: &[&str], between: &str) -> String {
    let told: Vec<&str> = parts.iter().copied().filter(|part| !part.is_empty()).collect();
    told.join(between)
}
