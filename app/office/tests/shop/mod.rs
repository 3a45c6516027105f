//! A made-up shop for the tests: phones, their days, and the files they hand over.
#![allow(dead_code, reason = "each test program uses its part")]
#![allow(clippy::expect_used, reason = "a test stops where it cannot go on")]

use std::path::Path;
use std::process::{Child, Command, Output};
use std::thread;
use std::time::{Duration, Instant};

use quaywright_core::book::Book;
use quaywright_core::event::{Activity, BoatFacts, Doing, Event, Mend, On, PartFacts, PayType};
use quaywright_core::exchange::{bundle, job_file, line, pieces};
use quaywright_core::id::{BlobId, BoatId, DeviceId, EventId, JobId, LineId};
use quaywright_core::log::{Log, Record, Tip};
use quaywright_core::moment::{Day, Moment};
use quaywright_core::quantity::Count;
use quaywright_core::sheet::{LogHead, day_sheet};
use quaywright_core::text::{Label, Prose};

/// Made-up prices: 60 an hour, a part at 14.20 and half, a fifth of VAT.
pub(crate) const PRICES: &str = r#"{
    "quaywright": "prices", "v": 1, "currency": "GBP", "rounding": "tenth",
    "rates": [{"name": "yard", "price": "60"}],
    "costs": [{"number": "IMP-6", "cost": "14.20"}], "bands": [{"from": "0", "percent": "50"}],
    "taxes": [{"name": "VAT", "category": "S", "percent": "20"}]
}"#;

/// Who sells and who buys.
pub(crate) const PARTIES: &str = r#"{"quaywright": "parties", "v": 1, "terms": "Within 14 days",
    "seller": {"name": "Lower Basin Boatyard", "country": "GB", "vat": "GB123456789"},
    "customers": [{"name": "Towpath Trust", "town": "Lockby", "country": "GB"}]}"#;

/// A phone and everything that was said to it.
pub(crate) struct Phone {
    tip: Tip,
    lines: Vec<Vec<u8>>,
    records: Vec<Record>,
}

impl Phone {
    /// Returns a technician's phone.
    pub(crate) fn of(device: u8, name: &str) -> Self {
        let tip = Tip::fresh(DeviceId::new([device; 8]));
        let mut phone = Self { tip, lines: Vec::new(), records: Vec::new() };
        let (name, shop) = (Label::new(name), Label::new("Lower Basin Boatyard"));
        phone.say("2026-05-04T07:00", Event::TechnicianNamed { name, shop });
        phone
    }

    /// Says an event at a local time of a summer in London.
    pub(crate) fn say(&mut self, at: &str, event: Event) -> EventId {
        let at = Moment::parse(&format!("{at}:00+01:00")).expect("a moment");
        let (line, sealed) = line::seal(self.tip.record(at, event));
        self.tip.advance(&sealed);
        self.lines.push(line);
        self.records.push(sealed.record);
        EventId { device: self.tip.device, seq: self.tip.seq }
    }

    /// Opens a job on a boat of her own, with one line.
    pub(crate) fn job(&mut self, at: &str, boat: &str, owner: &str, title: &str, pay: PayType) -> (JobId, LineId) {
        let facts = BoatFacts { name: Label::new(boat), owner: Label::new(owner), ..BoatFacts::default() };
        let boat = BoatId(self.say(at, Event::BoatAdded(facts)));
        let job = JobId(self.say(at, Event::JobOpened { boat, engine: None, title: Label::new(title) }));
        let complaint = Prose::new(title);
        (job, LineId(self.say(at, Event::LineAdded { job, pay, complaint })))
    }

    /// Does something on a line from now on.
    pub(crate) fn does(&mut self, at: &str, activity: Activity, line: LineId) -> EventId {
        self.say(at, Event::ClockSwitched { to: Doing::At { activity, on: On::Line(line) } })
    }

    /// Takes a meal, or goes home.
    pub(crate) fn pauses(&mut self, at: &str) {
        let to = Doing::At { activity: Activity::MealPeriod, on: On::NoJob };
        self.say(at, Event::ClockSwitched { to });
    }

    /// Goes off the clock.
    pub(crate) fn stops(&mut self, at: &str) {
        self.say(at, Event::ClockSwitched { to: Doing::Off });
    }

    /// Uses a part.
    pub(crate) fn uses(&mut self, at: &str, job: JobId, what: &str, number: &str, count: u32) {
        let part = PartFacts { what: Label::new(what), number: Label::new(number), count: Count(count) };
        self.say(at, Event::PartUsed { job, part });
    }

    /// Says later that something else was done.
    pub(crate) fn mends(&mut self, at: &str, from: &str, to: &str, doing: Doing) {
        let moment = |text: &str| Moment::parse(&format!("{text}:00+01:00")).expect("a moment");
        let (from, to) = (moment(from), moment(to));
        self.say(at, Event::Mended(Mend { from, to, doing, reason: Label::new("forgot") }));
    }

    /// Takes on a job by the file that another phone makes of it.
    pub(crate) fn takes_on(&mut self, other: &Phone, job: JobId) {
        let mut log = Log::default();
        other.lines.iter().for_each(|bytes| log.take(line::read(bytes).expect("a line")));
        let held = job_file::records_of(&log, job);
        for (bytes, record) in other.lines.iter().zip(&other.records).filter(|(_, it)| held.contains(&it.id)) {
            if !self.lines.contains(bytes) {
                self.tip.hlc = self.tip.hlc.seen(record.hlc);
                self.lines.push(bytes.clone());
                self.records.push(record.clone());
            }
        }
    }

    /// Returns the file of a day as it would be handed over now.
    pub(crate) fn day_file(&self, day: &str) -> Vec<u8> {
        self.day_file_with(day, |_| None)
    }

    /// Returns the same with the photos that it asks for.
    pub(crate) fn day_file_with(&self, day: &str, photo: impl FnMut(BlobId) -> Option<Vec<u8>>) -> Vec<u8> {
        let book = Book::replay(&self.records);
        let now = self.records.last().expect("something was said").at;
        let day = Day::parse(day).expect("a day");
        let sheet = day_sheet(&book, day, now, LogHead::from(&self.tip));
        let pieces = bundle::page(&sheet, self.lines.iter().map(Vec::as_slice));
        pieces::assemble(&pieces, photo)
    }

    /// Returns everything that was said.
    pub(crate) fn records(&self) -> &[Record] {
        &self.records
    }

    /// Returns the whole log as plain lines.
    pub(crate) fn log_file(&self) -> Vec<u8> {
        self.lines.iter().flat_map(|line| line.iter().copied().chain([b'\n'])).collect()
    }
}

/// Returns a technician's month of working days, and each day's file as it was handed over in the evening.
pub(crate) fn month(device: u8, name: &str) -> (Phone, Vec<(String, Vec<u8>)>) {
    let mut phone = Phone::of(device, name);
    let mut files = Vec::new();
    for nth in 0..20 {
        let day = format!("2026-05-{:02}", 4 + nth / 5 * 7 + nth % 5);
        let at = |time: &str| format!("{day}T{time}");
        let boat = format!("Barge {nth} of {name}");
        let (job, line) = phone.job(&at("08:00"), &boat, "Towpath Trust", "Pump leaks", PayType::CustomerPay);
        phone.does(&at("08:00"), Activity::Travel, line);
        phone.does(&at("08:30"), Activity::Labour, line);
        phone.pauses(&at("12:00"));
        phone.does(&at("12:30"), Activity::Labour, line);
        phone.uses(&at("15:00"), job, "impeller", "IMP-6", 1);
        phone.stops(&at("16:00"));
        phone.say(&at("16:01"), Event::JobFinished { job });
        files.push((format!("{name} {day}.html"), phone.day_file(&day)));
    }
    (phone, files)
}

/// Returns the command, to be given its words.
pub(crate) fn office() -> Command {
    Command::new(env!("CARGO_BIN_EXE_quaywright-office"))
}

/// Returns what a piece of work came to, and how long it took here.
pub(crate) fn took<T>(work: impl FnOnce() -> T) -> (T, Duration) {
    let began = Instant::now();
    (work(), began.elapsed())
}

/// Kills a command after a time; returns whether it was still at it.
pub(crate) fn killed_after(mut running: Child, time: Duration) -> bool {
    thread::sleep(time);
    let ended = running.try_wait().expect("its state").is_some();
    running.kill().ok();
    running.wait().expect("it is gone");
    !ended
}

/// Runs the command on a store.
pub(crate) fn run(task: &str, store: &Path, words: &[&str]) -> Output {
    office().arg(task).arg("--store").arg(store).args(words).output().expect("the command runs")
}

/// Returns what was said, after looking at how the command ended.
#[track_caller]
pub(crate) fn said(output: &Output, ended: i32) -> String {
    let wrong = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(ended), "{wrong}");
    String::from_utf8(output.stdout.clone()).expect("what is said is text")
}

/// Returns what is wrong.
pub(crate) fn wrong(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("what is wrong is text")
}
