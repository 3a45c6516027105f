//! A made-up yard for the bench: many technicians' day files, and years of logs.
//!
//! Each technician has four jobs a day, some forty records. A day's file is what
//! a phone hands over in the evening: the day sheet and the whole log so far,
//! without photos. Sealed straight away, without asking the commands; that it
//! makes sense to the book is tested. The seed decides every byte.

use std::fs;
use std::path::Path;

use quaywright_core::book::Book;
use quaywright_core::event::{Activity, BoatFacts, Doing, Event, On, PartFacts, PayType, StoryPart};
use quaywright_core::exchange::line::seal;
use quaywright_core::exchange::{bundle, pieces};
use quaywright_core::id::{BoatId, DeviceId, EventId, JobId, LineId};
use quaywright_core::log::Tip;
use quaywright_core::moment::{Day, Moment};
use quaywright_core::quantity::Count;
use quaywright_core::sheet::{LogHead, day_sheet};
use quaywright_core::text::{Label, Prose};

use super::chance::Chance;
use crate::Trouble;

const JOBS_A_DAY: i64 = 4;
const DAY_MS: i64 = 24 * 60 * 60_000;
const MINUTE_MS: i64 = 60_000;
/// Monday, 5 January 2026.
const FIRST_DAY: i64 = 20_458 * DAY_MS;
const OWNERS: [&str; 5] = ["Towpath Trust", "Ferry Board", "A. Lockhart", "Reed and Daughter", "Harbour School"];
const TITLES: [&str; 4] = ["Raw-water pump leaks", "Stern gland weeps", "Will not charge", "Oil and filters"];
/// The parts that the made-up technicians use; the price list of the bench knows them.
pub const PARTS: [&str; 3] = ["IMP-6", "HC-32", "OF-11"];

/// Writes a file for each working day of each technician into a folder.
///
/// # Errors
/// When a file cannot be written or the calendar ends.
pub fn day_files(folder: &Path, technicians: u16, days: u32) -> Result<usize, Trouble> {
    let mut count = 0;
    for nth in 0..technicians {
        let mut phone = Phone::of(nth)?;
        for day in 0..days {
            let day = phone.works(day)?;
            let file = folder.join(format!("{day} {nth}.json"));
            fs::write(&file, phone.day_file(day)).map_err(Trouble::at(&file))?;
            count += 1;
        }
    }
    Ok(count)
}

/// Writes each technician's whole log into a folder; returns how many records there are.
///
/// # Errors
/// When a file cannot be written or the calendar ends.
pub fn logs(folder: &Path, technicians: u16, days: u32) -> Result<usize, Trouble> {
    let mut count = 0;
    for nth in 0..technicians {
        let mut phone = Phone::of(nth)?;
        for day in 0..days {
            phone.works(day)?;
        }
        let file = folder.join(format!("{nth}.jsonl"));
        fs::write(&file, phone.lines.join(&b'\n')).map_err(Trouble::at(&file))?;
        count += phone.lines.len();
    }
    Ok(count)
}

/// A technician's phone.
struct Phone {
    tip: Tip,
    book: Book,
    now: Moment,
    chance: Chance,
    lines: Vec<Vec<u8>>,
}

impl Phone {
    fn of(nth: u16) -> Result<Self, Trouble> {
        let [high, low] = nth.to_be_bytes();
        let tip = Tip::fresh(DeviceId::new([b'q', b'u', b'a', b'y', b'y', b'a', high, low]));
        let mut phone = Self {
            tip,
            book: Book::default(),
            now: moment(FIRST_DAY)?,
            chance: Chance::of(u64::from(nth)),
            lines: Vec::new(),
        };
        let (name, shop) = (Label::new(&format!("Technician {nth}")), Label::new("The made-up yard"));
        phone.say(Event::TechnicianNamed { name, shop });
        Ok(phone)
    }

    fn say(&mut self, event: Event) -> EventId {
        let (line, sealed) = seal(self.tip.record(self.now, event));
        self.tip.advance(&sealed);
        self.book.apply(&sealed.record);
        self.lines.push(line);
        sealed.record.id
    }

    /// Works a day, of five in a week; returns which it was.
    fn works(&mut self, nth: u32) -> Result<Day, Trouble> {
        let start = FIRST_DAY + i64::from(nth / 5 * 7 + nth % 5) * DAY_MS + 7 * 60 * MINUTE_MS;
        for job in 0..JOBS_A_DAY {
            self.now = moment(start + job * 120 * MINUTE_MS)?;
            self.does_a_job()?;
        }
        self.say(Event::ClockSwitched { to: Doing::Off });
        Ok(self.now.day())
    }

    fn pass(&mut self, minutes: u32) -> Result<(), Trouble> {
        let some = i64::from(5 + self.chance.below(minutes)) * MINUTE_MS;
        self.now = moment(self.now.utc_ms() + some)?;
        Ok(())
    }

    fn does_a_job(&mut self) -> Result<(), Trouble> {
        let (owner, title) = (self.chance.one_of(&OWNERS), self.chance.one_of(&TITLES));
        let name = Label::new(&format!("Boat {}", self.chance.below(400)));
        let facts = BoatFacts { name, owner: Label::new(owner), ..BoatFacts::default() };
        let boat = BoatId(self.say(Event::BoatAdded(facts)));
        let job = JobId(self.say(Event::JobOpened { boat, engine: None, title: Label::new(title) }));
        let pay = PayType::ALL[self.chance.below(3) as usize];
        let line = LineId(self.say(Event::LineAdded { job, pay, complaint: Prose::new(title) }));
        for activity in [Activity::Travel, Activity::Diagnosis, Activity::Labour] {
            self.say(Event::ClockSwitched { to: Doing::At { activity, on: On::Line(line) } });
            self.pass(30)?;
        }
        let (what, number) = (Label::new("part"), Label::new(self.chance.one_of(&PARTS)));
        let count = Count(1 + self.chance.below(4));
        self.say(Event::PartUsed { job, part: PartFacts { what, number, count } });
        let text = Prose::new("Taken down, cleaned and put together with new seals; runs dry after half an hour.");
        self.say(Event::StoryTold { line, part: StoryPart::Correction, text });
        self.say(Event::JobFinished { job });
        Ok(())
    }

    fn day_file(&self, day: Day) -> Vec<u8> {
        let sheet = day_sheet(&self.book, day, self.now, LogHead::from(&self.tip));
        pieces::assemble(&bundle::json(&sheet, self.lines.iter().map(Vec::as_slice)), |_| None)
    }
}

fn moment(utc_ms: i64) -> Result<Moment, Trouble> {
    Moment::new(utc_ms, 0).ok_or_else(|| Trouble::Other("the calendar ends".to_owned()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use quaywright_core::exchange::intake;

    #[test]
    fn day_files_are_read_without_a_fault_and_make_sense() {
        let folder = tempfile::tempdir().unwrap();
        assert_eq!(day_files(folder.path(), 2, 6).unwrap(), 12);
        let file = fs::read(folder.path().join("2026-01-12 1.json")).unwrap();
        let intake = intake::take(&file).unwrap();
        assert_eq!(intake.faults, []);
        assert_eq!(intake.records.len(), 1 + 6 * (4 * 9 + 1));
        let book = Book::replay(intake.records.iter().map(|(_, sealed)| &sealed.record));
        assert_eq!(book.faults, []);
        assert_eq!(book.jobs.jobs().count(), 24);
    }
}
