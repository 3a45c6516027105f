//! Years of made-up work, for the figures of the bench.
//!
//! A long log has the mix of a real one: mostly taps of the clock, items that
//! come off and go back on, notes; now and then a new boat; a handful of jobs
//! open at a time and thousands finished. It is sealed straight away, without
//! asking the commands, because a million of them shall take seconds; that it
//! makes sense to the book is tested.

use quaywright_core::event::{
    About, Activity, BoatFacts, Details, Doing, Event, ItemFacts, On, PartFacts, PayType, StoryPart,
};
use quaywright_core::exchange::line::seal;
use quaywright_core::id::{BoatId, DeviceId, EventId, ItemId, JobId, LineId, StepId};
use quaywright_core::log::Tip;
use quaywright_core::moment::Moment;
use quaywright_core::quantity::Count;
use quaywright_core::text::{Label, Prose};

use super::chance::Chance;

/// The phone of the long history.
const DEVICE: DeviceId = DeviceId::new(*b"quaylong");
/// How many jobs are open at a time.
const OPEN_JOBS: usize = 6;
/// How many events a job has before it is finished.
const EVENTS_OF_A_JOB: u32 = 60;
const MINUTE_MS: i64 = 60_000;

/// Returns a history of `events` record lines that begins at `from`; `seed` decides it.
///
/// It ends earlier only when the calendar does.
pub fn big_log(events: usize, from: Moment, seed: u64) -> Vec<Vec<u8>> {
    let mut years = Years {
        tip: Tip::fresh(DEVICE),
        now: from,
        chance: Chance::of(seed),
        boats: Vec::new(),
        jobs: Vec::new(),
        lines: Vec::with_capacity(events),
    };
    while years.lines.len() < events && years.pass_time() {
        years.happen();
    }
    years.lines.truncate(events);
    years.lines
}

/// A technician's years as they go by.
struct Years {
    tip: Tip,
    now: Moment,
    chance: Chance,
    boats: Vec<BoatId>,
    jobs: Vec<OpenJob>,
    lines: Vec<Vec<u8>>,
}

/// What one must know of an open job to go on with it.
struct OpenJob {
    id: JobId,
    line: LineId,
    off: Vec<(ItemId, u32)>,
    steps: Vec<StepId>,
    events: u32,
}

const BOATS: [&str; 6] = ["Wet Thumb", "Long Reach", "Second Kettle", "Marsh Lantern", "Oar Less", "Quiet Wake"];
const TITLES: [&str; 6] = [
    "Will not turn over",
    "Stern gland weeps",
    "Runs hot above 1800 rpm",
    "Alternator not charging",
    "Shakes at half throttle",
    "Winter lay-up",
];
const ITEMS: [&str; 8] =
    ["Bolt, end cap", "Hose, raw water", "Clip", "Bracket", "Pencil anode", "P-clip", "Belt guard", "Washer"];
const SIDES: [&str; 5] = ["port", "starboard", "front", "top", "under"];
const SIZES: [&str; 5] = ["M8 x 30, 13 mm", "32 mm bore", "32 to 50 mm", "M10 x 80, 17 mm", ""];
const STOWED: [&str; 4] = ["tray, row 1", "tray, row 2", "bench", "tin 1"];
const NOTES: [&str; 4] = [
    "Thread is rough for the last turns. Chase it before the bolt goes back.",
    "Owner asks to be called before the engine is run.",
    "Clips are stretched: new ones from the store.",
    "Water at the exhaust is full again; temperature steady for a quarter of an hour under load.",
];
const STEPS: [&str; 4] = ["Sea-cock shut", "Drain the coolant", "Run to temperature", "Look again cold"];

impl Years {
    /// Goes on by some minutes, over the night when the day is done.
    fn pass_time(&mut self) -> bool {
        let minutes = 1 + i64::from(self.chance.below(9));
        let evening = self.now.time_of_day().0 >= 17;
        if evening {
            self.say(Event::ClockSwitched { to: Doing::Off });
        }
        let (start, past) = if evening { (self.now.next_midnight(), 7 * 60 + 20) } else { (self.now, 0) };
        let next = Moment::new(start.utc_ms() + (past + minutes) * MINUTE_MS, start.offset_min());
        self.now = next.unwrap_or(self.now);
        next.is_some()
    }

    /// Lets one thing happen, as often as such things do.
    fn happen(&mut self) {
        if self.jobs.len() < OPEN_JOBS {
            return self.open_job();
        }
        let nth = self.chance.below(OPEN_JOBS as u32) as usize;
        let dice = self.chance.below(100);
        let Some(mut job) = (nth < self.jobs.len()).then(|| self.jobs.swap_remove(nth)) else { return };
        let before = self.lines.len();
        match dice {
            // A job that is nearly done is only put together.
            _ if job.events >= EVENTS_OF_A_JOB => self.put_back(&mut job),
            0..35 => self.tap(&job),
            35..57 => self.take_off(&mut job),
            57..79 => self.put_back(&mut job),
            79..91 => self.note(&job),
            91..95 => self.step(&mut job),
            95..98 => self.part(&job),
            _ => self.story(&job),
        }
        job.events += (self.lines.len() - before) as u32;
        if job.events >= EVENTS_OF_A_JOB && job.off.is_empty() {
            self.say(Event::JobFinished { job: job.id });
        } else {
            self.jobs.push(job);
        }
    }

    fn open_job(&mut self) {
        let boat = match self.chance.below(12) {
            0 => None,
            _ => self.boats.get(self.chance.below(self.boats.len() as u32) as usize).copied(),
        };
        let boat = boat.unwrap_or_else(|| self.add_boat());
        let title = Label::new(self.chance.one_of(&TITLES));
        let id = JobId(self.say(Event::JobOpened { boat, engine: None, title }));
        let pay = if self.chance.below(8) == 0 { PayType::Warranty } else { PayType::CustomerPay };
        let complaint = Prose::new(self.chance.one_of(&NOTES));
        let line = LineId(self.say(Event::LineAdded { job: id, pay, complaint }));
        self.jobs.push(OpenJob { id, line, off: Vec::new(), steps: Vec::new(), events: 2 });
    }

    fn add_boat(&mut self) -> BoatId {
        let name = format!("{} {}", self.chance.one_of(&BOATS), self.boats.len() + 1);
        let facts = BoatFacts { name: Label::new(&name), ..BoatFacts::default() };
        let boat = BoatId(self.say(Event::BoatAdded(facts)));
        self.boats.push(boat);
        boat
    }

    fn tap(&mut self, job: &OpenJob) {
        let activity = Activity::ALL[self.chance.below(Activity::ALL.len() as u32) as usize];
        let on = if activity.is_pause() { On::NoJob } else { On::Job(job.id) };
        self.say(Event::ClockSwitched { to: Doing::At { activity, on } });
    }

    fn take_off(&mut self, job: &mut OpenJob) {
        let count = 1 + self.chance.below(8);
        let item = ItemFacts {
            what: Label::new(self.chance.one_of(&ITEMS)),
            side: Label::new(self.chance.one_of(&SIDES)),
            count: Count(count),
            size: Label::new(self.chance.one_of(&SIZES)),
            stowed: Label::new(self.chance.one_of(&STOWED)),
            details: Details::default(),
        };
        let id = ItemId(self.say(Event::CameOff { job: job.id, item }));
        job.off.push((id, count));
    }

    /// Puts some of what came off last back on, or all of it.
    fn put_back(&mut self, job: &mut OpenJob) {
        let Some((item, off)) = job.off.pop() else { return };
        let count = if self.chance.below(5) == 0 { 1 + self.chance.below(off) } else { off };
        self.say(Event::BackOn { item, count: Count(count) });
        if count < off {
            job.off.push((item, off - count));
        }
    }

    fn note(&mut self, job: &OpenJob) {
        let about = match job.off.last() {
            Some(&(item, _)) if self.chance.below(3) == 0 => About::Item(item),
            _ => About::Job(job.id),
        };
        let text = Prose::new(self.chance.one_of(&NOTES));
        self.say(Event::NoteWritten { about, text });
    }

    fn step(&mut self, job: &mut OpenJob) {
        if let Some(step) = job.steps.pop() {
            self.say(Event::StepTicked { step, done: true });
        } else {
            let text = Label::new(self.chance.one_of(&STEPS));
            let step = StepId(self.say(Event::StepAdded { job: job.id, text }));
            job.steps.push(step);
        }
    }

    fn part(&mut self, job: &OpenJob) {
        let number = format!("QB-{:04}", self.chance.below(10_000));
        let part =
            PartFacts { what: Label::new(self.chance.one_of(&ITEMS)), number: Label::new(&number), count: Count(1) };
        self.say(Event::PartUsed { job: job.id, part });
    }

    fn story(&mut self, job: &OpenJob) {
        let part = StoryPart::ALL[self.chance.below(StoryPart::ALL.len() as u32) as usize];
        let text = Prose::new(self.chance.one_of(&NOTES));
        self.say(Event::StoryTold { line: job.line, part, text });
    }

    fn say(&mut self, event: Event) -> EventId {
        let (line, sealed) = seal(self.tip.record(self.now, event));
        self.tip.advance(&sealed);
        self.lines.push(line);
        sealed.record.id
    }
}

#[cfg(test)]
mod tests {
    use super::big_log;
    use quaywright_core::book::Book;
    use quaywright_core::exchange::line::read;
    use quaywright_core::log::Log;
    use quaywright_core::moment::Moment;

    #[test]
    fn a_long_history_makes_sense_and_is_the_same_each_time() {
        let from = Moment::parse("2020-01-06T07:30:00+00:00").unwrap();
        let lines = big_log(20_000, from, 1);
        assert_eq!(lines.len(), 20_000);
        assert_eq!(lines[..500], big_log(500, from, 1));
        assert_ne!(lines[..500], big_log(500, from, 2));

        let mut log = Log::default();
        lines.iter().for_each(|line| log.take(read(line).unwrap()));
        assert_eq!(log.faults(), []);
        let book = Book::replay(log.in_order().into_iter().map(|sealed| &sealed.record));
        assert_eq!(book.faults, []);
        let (open, finished): (Vec<_>, Vec<_>) = book.jobs.jobs().partition(|job| job.finished.is_none());
        assert!(open.len() <= 6 && finished.len() > 200, "{} open, {} finished", open.len(), finished.len());
        assert!(book.ledger.taps().len() > 5_000);
        for job in finished {
            assert_eq!(book.teardown.still_off(job.id).count(), 0, "a finished job has nothing off");
        }
    }
}
