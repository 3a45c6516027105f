//! A phone without a browser: decides, seals, keeps, applies.
#![allow(clippy::unwrap_used, reason = "a test stops where it cannot go on")]

use quaywright_core::book::Book;
use quaywright_core::command::{BoatChoice, Command, NewJob, Refusal, decide};
use quaywright_core::event::{
    About, Activity, BoatFacts, Details, Doing, Event, ItemFacts, On, PartFacts, PayType, PhotoFacts, StoryPart, Tags,
};
use quaywright_core::exchange::line;
use quaywright_core::id::{BlobId, DeviceId, EventId, ItemId, JobId, LineId, StepId};
use quaywright_core::log::{Log, Sealed, Tip};
use quaywright_core::moment::Moment;
use quaywright_core::quantity::Count;
use quaywright_core::text::{Label, Prose};

/// One device and what it holds.
pub(crate) struct Phone {
    /// What it knows.
    pub(crate) book: Book,
    /// The end of its chain.
    pub(crate) tip: Tip,
    /// What its clock says.
    pub(crate) now: Moment,
    /// Every line that it wrote.
    pub(crate) lines: Vec<Vec<u8>>,
    /// Every record that it holds, its own and others'.
    pub(crate) log: Log,
}

pub(crate) fn at(text: &str) -> Moment {
    Moment::parse(text).unwrap()
}

impl Phone {
    pub(crate) fn new(device: u8, now: &str) -> Self {
        let tip = Tip::fresh(DeviceId::new([device; 8]));
        Self { book: Book::default(), tip, now: at(now), lines: Vec::new(), log: Log::default() }
    }

    /// Says an event, sensible or not.
    pub(crate) fn say(&mut self, event: Event) -> Sealed {
        let (line, sealed) = line::seal(self.tip.record(self.now, event));
        self.tip.advance(&sealed);
        self.book.apply(&sealed.record);
        self.log.take(sealed.clone());
        self.lines.push(line);
        sealed
    }

    /// Asks for something; gives back the name of its first event.
    pub(crate) fn ask(&mut self, command: Command) -> Result<EventId, Refusal> {
        let first = self.tip.next();
        for event in decide(&self.book, command, first, self.now)? {
            self.say(event);
        }
        Ok(first)
    }

    /// Asks for something that must not be refused.
    #[track_caller]
    pub(crate) fn must(&mut self, command: Command) -> EventId {
        self.ask(command).unwrap_or_else(|refusal| panic!("refused: {refusal}"))
    }

    /// Takes what another phone holds.
    pub(crate) fn hear(&mut self, other: &Log) {
        self.log.merge(other);
        self.tip = self.log.tip(self.tip.device);
        self.book = Book::replay(self.log.in_order().into_iter().map(|sealed| &sealed.record));
    }

    /// Sets the clock of the phone.
    pub(crate) fn is(&mut self, now: &str) -> &mut Self {
        self.now = at(now);
        self
    }

    pub(crate) fn named(&mut self, name: &str, shop: &str) {
        self.must(Command::NameTechnician { name: Label::new(name), shop: Label::new(shop) });
    }

    /// Opens a job with one line on a new boat and starts nothing.
    pub(crate) fn job(&mut self, boat: &str, owner: &str, title: &str, complaint: &str) -> (JobId, LineId) {
        let facts = BoatFacts {
            name: Label::new(boat),
            owner: Label::new(owner),
            berth: Label::new("Pontoon C 12"),
            hin: Label::default(),
        };
        let new = NewJob {
            boat: BoatChoice::New(facts),
            engine: None,
            title: Label::new(title),
            pay: PayType::CustomerPay,
            complaint: Prose::new(complaint),
            tags: Tags::default(),
            start: None,
        };
        let first = self.must(Command::OpenJob(new));
        (JobId(first.later(1)), LineId(first.later(2)))
    }

    pub(crate) fn line(&mut self, job: JobId, pay: PayType, complaint: &str) -> LineId {
        LineId(self.must(Command::AddLine { job, pay, complaint: Prose::new(complaint) }))
    }

    pub(crate) fn clock(&mut self, now: &str, activity: Activity, on: On) {
        self.is(now).must(Command::SwitchClock { to: Doing::At { activity, on } });
    }

    pub(crate) fn stop(&mut self, now: &str) {
        self.is(now).must(Command::SwitchClock { to: Doing::Off });
    }

    pub(crate) fn tell(&mut self, line: LineId, part: StoryPart, text: &str) {
        self.must(Command::TellStory { line, part, text: Prose::new(text) });
    }

    pub(crate) fn off(&mut self, job: JobId, count: u32, what: &str, size: &str, side: &str, stowed: &str) -> ItemId {
        let [what, size, side, stowed] = [what, size, side, stowed].map(Label::new);
        let item = ItemFacts { what, side, count: Count(count), size, stowed, details: Details::default() };
        ItemId(self.must(Command::TakeOff { job, item }))
    }

    pub(crate) fn back(&mut self, item: ItemId, count: u32) {
        self.must(Command::PutBack { item, count: Count(count) });
    }

    pub(crate) fn step(&mut self, job: JobId, text: &str, done: bool) -> StepId {
        let step = StepId(self.must(Command::AddStep { job, text: Label::new(text) }));
        if done {
            self.must(Command::TickStep { step, done });
        }
        step
    }

    pub(crate) fn note(&mut self, about: About, text: &str) {
        self.must(Command::WriteNote { about, text: Prose::new(text) });
    }

    pub(crate) fn part(&mut self, job: JobId, count: u32, what: &str, number: &str) {
        let part = PartFacts { what: Label::new(what), number: Label::new(number), count: Count(count) };
        self.must(Command::UsePart { job, part });
    }

    pub(crate) fn photo(&mut self, about: About, bytes: &[u8], caption: &str) -> BlobId {
        let blob = BlobId::of(bytes);
        let photo = PhotoFacts {
            blob,
            bytes: u32::try_from(bytes.len()).unwrap(),
            width: 4,
            height: 3,
            caption: Label::new(caption),
            taken: None,
            position: None,
        };
        self.must(Command::TakePhoto { about, photo });
        blob
    }
}

/// Returns a JPEG of markers and made-up coded data: enough to be carried, not to be seen.
pub(crate) fn jpeg(content: &str) -> Vec<u8> {
    let exif = segment(0xe1, b"Exif\0\0made up place 51.5 north");
    let scan = segment(0xda, &[0; 6]);
    [b"\xff\xd8", &exif[..], &scan, content.as_bytes(), b"\xff\xd9"].concat()
}

fn segment(marker: u8, content: &[u8]) -> Vec<u8> {
    let length = u16::try_from(content.len() + 2).unwrap().to_be_bytes();
    [&[0xff, marker], &length[..], content].concat()
}
