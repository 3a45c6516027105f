//! The form in which the demo's days are written down, and how they are told to
//! a phone.
//!
//! An entry is a time of day and what was done; it speaks of jobs, items and
//! steps by their words, as a person would. So the week reads like a diary, and
//! nobody counts event numbers.

use std::collections::BTreeMap;

use quaywright_core::agreement::consent::Strokes;
use quaywright_core::command::{BoatChoice, Command, NewJob};
use quaywright_core::event::{
    About, Activity, Billing, BoatFacts, Check, Consumable, Details, Doing, Drive, EngineFacts, FailedPart, Fate, Fuel,
    ItemFacts, ItemKind, Language, Mark, Measures, Mend, On, OpenEnd, PartFacts, PayType, PhotoFacts, Reader,
    ReadingFacts, Recommendation, Renew, Reply, ShopRules, Shows, Sound, Spot, Stage, StoryPart, Tags, TakenFor,
    Traits, VoiceFacts,
};
use quaywright_core::hours::rounding::{Charge, LengthRule};
use quaywright_core::id::{BoatId, EngineId, GroupId, ItemId, JobId, LineId, RecommendationId, StepId};
use quaywright_core::moment::{Day, Length, Moment};
use quaywright_core::money::Currency;
use quaywright_core::quantity::{Count, EngineHours, Power, PowerUnit};
use quaywright_core::reading::Kind;
use quaywright_core::reading::figure::Entered;
use quaywright_core::reading::form::{self, Choice, Given, Name, Value};
use quaywright_core::reading::unit::Unit;
use quaywright_core::reassembly::gate::Need;
use quaywright_core::reassembly::tally::How;
use quaywright_core::reassembly::ties::{Freed, Tie, TieKind};
use quaywright_core::text::{Label, Prose};
use quaywright_core::tightening::wrench::Wrench;
use quaywright_core::view::{Asked, ConsentEntry, EstimateEntry, GroupText, LineEntry, VisitEntry};

use super::phone::{Flaw, Phone};
use super::photos::{self, Scene};
use super::tone;

/// A text of the diary.
type Words = &'static str;

/// The boats of the shop's round.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Boat {
    SlowTuesday,
    MarshLantern,
    ArdentNovice,
    BriskErrand,
    TwoBanks,
    Sluice,
}

/// The jobs of the week.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Job {
    Battery,
    Gland,
    Alternator,
    Propeller,
    Exchanger,
    Impeller,
}

/// What the clock runs for.
#[derive(Clone, Copy, Debug)]
pub(super) enum For {
    /// No job.
    NoJob,
    /// A job as a whole.
    All(Job),
    /// One line of a job, counted from 1.
    Line(Job, usize),
}

/// What a note or a photo is about.
#[derive(Clone, Copy, Debug)]
pub(super) enum Of {
    /// The day.
    Today,
    /// A job.
    Work(Job),
    /// Something that came off.
    Thing(Job, Words),
    /// A step of a checklist.
    Step(Job, Words),
}

/// What is drawn on a photo, in ten thousandths of its width and height.
#[derive(Clone, Copy, Debug)]
pub(super) enum Sketch {
    /// From where to where.
    Arrow([u16; 4]),
    /// Around where, and how wide.
    Ring([u16; 3]),
    /// Where, and what.
    Words([u16; 2], Words),
}

impl Sketch {
    fn mark(self) -> Option<Mark> {
        Some(match self {
            Self::Arrow([x, y, to_x, to_y]) => Mark::Arrow(Spot::new(x, y)?, Spot::new(to_x, to_y)?),
            Self::Ring([x, y, radius]) => Mark::Ring(Spot::new(x, y)?, radius),
            Self::Words([x, y], words) => Mark::Words(Spot::new(x, y)?, Label::new(words)),
        })
    }
}

/// What was done.
#[derive(Clone, Copy, Debug)]
pub(super) enum Entry {
    /// The technician and the shop are named.
    Named(Words, Words),
    /// A boat is entered: name, owner, berth, HIN.
    Entered(Boat, [Words; 4]),
    /// An engine is entered: place, model, serial number, year, kilowatts, hours.
    Engine(Boat, [Words; 3], u16, Words, Words),
    /// An hour meter is read; the engine is counted from 1.
    Hours(Boat, usize, Words),
    /// A job is opened on an engine counted from 1: pay type, title, complaint.
    Opened(Job, Boat, usize, PayType, Words, Words),
    /// A job gets a further line.
    Further(Job, PayType, Words),
    /// A part of the story of a line, counted from 1, is told.
    Told(Job, usize, StoryPart, Words),
    /// A job is finished.
    Finished(Job),
    /// The clock is switched.
    Clock(Activity, For),
    /// The clock is switched off.
    ClockOff,
    /// The last tap of the clock is taken back.
    Undone,
    /// Something came off: what, side, count, size, where it lies.
    Off(Job, Words, Words, u32, Words, Words),
    /// What more is known of something that came off.
    Knows(Job, Words, &'static [Fact]),
    /// Something goes back on after another.
    Follows(Job, Words, TieKind, Words),
    /// Two things of one side need not wait for each other.
    Free(Job, Words, Words),
    /// The count of something that came off is put right.
    Recounted(Job, Words, u32),
    /// What came off last was entered twice: it counts once.
    TwiceEntered(Job, Words),
    /// So many are back on.
    Back(Job, Words, u32),
    /// So many do not go back on, and why.
    Instead(Job, Words, How, u32, Words),
    /// Somebody made sure of something.
    Sure(Job, Words, Check),
    /// A checklist gets its steps.
    Checklist(Job, &'static [Words]),
    /// A step is done.
    Done(Job, Words),
    /// A note is written.
    Note(Of, Words),
    /// A photo is taken, with its caption.
    Photo(Of, Scene, Words),
    /// A part is used: what, number, count.
    Part(Job, Words, Words, u32),
    /// What was in fact done between two times of the day, and why the clock said otherwise.
    Mended(Words, Words, Activity, For, Words),
    /// A line, counted from 1, is billed so many minutes.
    Billed(Job, usize, u32),
    /// Something is measured: which kind, what, and the answers by their slugs, figures with their unit.
    Measured(Job, Kind, Words, &'static [(Words, Words)]),
    /// A job is tagged.
    Tagged(Job, &'static [Words]),
    /// The photo taken last gets a better caption.
    Captioned(Words),
    /// Something is drawn on the photo taken last.
    Drawn(Sketch),
    /// A voice note of so many seconds is spoken.
    Spoken(Of, u32),
    /// So many fasteners in a circle are to be tightened: what, side, count, value, manual and page.
    Group(Job, Words, Words, Words, Words, [Words; 2]),
    /// A group is tightened with a wrench that was calibrated so many days before today.
    Wrench(Job, Words, Words, i64),
    /// So many taps on what is next in a group.
    Tight(Job, Words, usize),
    /// The shop bills lines to the nearest tenth of an hour, and a job at least so many minutes.
    Bills(u32),
    /// How an engine, counted from 1, drives the boat and what it burns.
    Drives(Boat, usize, Drive, Fuel),
    /// A job becomes a procedure.
    Learned(Job),
    /// An estimate in pounds is made: its lines as they are typed (kind, what for, size, amount).
    Estimated(Job, &'static [(usize, Words, Words, Words)]),
    /// Who signs the estimate that stands.
    Signed(Job, Words),
    /// More is agreed by telephone: who, which number, what, cost, hours.
    AgreedByTelephone(Job, Words, Words, Words, [Words; 2]),
    /// More work is recommended, with why, and answered at once.
    Recommended(Job, Words, Words, Reply),
    /// The next visit is planned by the shop: what, and when in words.
    Planned(Job, Words, Words),
    /// What a boat's owner reads.
    Reads(Boat, Language, Measures),
    /// The photo with this caption was taken before the work, the one taken last after it.
    Paired(Words),
    /// A part failed on a line counted from 1: what, number, tag, where it is kept.
    Failed(Job, usize, [Words; 4]),
    /// The photo taken last proves this.
    Proves(Shows),
    /// The reading taken last is from before the repair, or from after it.
    Staged(Stage),
}

/// What can be known of something that came off.
#[derive(Clone, Copy, Debug)]
pub(super) enum Fact {
    /// What kind of thing it is.
    Is(ItemKind),
    /// Which way up it goes back on.
    WayUp(Words),
    /// What has to be new.
    New(&'static [Consumable]),
    /// What its open end was closed with.
    End(OpenEnd),
    /// It is tied back in place.
    TiedBack,
    /// What of the engine it is needed for before that may run.
    Needed(Need),
}

impl Fact {
    fn add(self, details: &mut Details) {
        match self {
            Self::Is(kind) => details.kind = Some(kind),
            Self::WayUp(words) => details.way_up = Label::new(words),
            Self::New(renew) => details.renew = Renew::new(renew.to_vec()),
            Self::End(end) => details.end = Some(end),
            Self::TiedBack => details.tied_back = true,
            Self::Needed(need) => details.needed = Some(need),
        }
    }
}

/// A day: how many days before today, and its entries with their times.
pub(super) type DayStory = (i64, &'static [(Words, Entry)]);

/// Tells days to a phone.
pub(super) struct Teller {
    phone: Phone,
    today: Day,
    offset_min: i16,
    boats: BTreeMap<Boat, BoatId>,
    jobs: BTreeMap<Job, JobId>,
}

impl Teller {
    /// Returns somebody who tells days up to `today` to this phone.
    pub(super) fn new(phone: Phone, today: Day, offset_min: i16) -> Self {
        Self { phone, today, offset_min, boats: BTreeMap::new(), jobs: BTreeMap::new() }
    }

    /// Tells these days and gives the phone back.
    pub(super) fn tell(mut self, days: &[DayStory]) -> Result<Phone, Flaw> {
        for &(before, entries) in days {
            for (time, entry) in entries {
                self.phone.wait(self.moment(before, time)?);
                if self.phone.is_over() {
                    return Ok(self.phone);
                }
                self.enter(*entry)?;
            }
        }
        Ok(self.phone)
    }

    fn moment(&self, before: i64, time: &str) -> Result<Moment, Flaw> {
        let untimed = || Flaw::Untimed(time.to_owned());
        let day = self.today.plus(-before).ok_or_else(untimed)?;
        at(day, time, self.offset_min).ok_or_else(untimed)
    }

    fn enter(&mut self, entry: Entry) -> Result<(), Flaw> {
        let command = match entry {
            Entry::Entered(boat, facts) => return self.enter_boat(boat, facts),
            Entry::Opened(job, boat, engine, pay, title, complaint) => {
                return self.open(job, boat, engine, pay, title, complaint);
            }
            Entry::Checklist(job, steps) => return self.list(job, steps),
            Entry::Photo(of, scene, caption) => return self.photo(of, scene, caption),
            Entry::Spoken(of, seconds) => return self.speak(of, seconds),
            Entry::Tight(job, what, taps) => return self.tighten(job, what, taps),
            Entry::Recommended(job, what, why, reply) => return self.recommend(job, what, why, reply),
            Entry::Named(name, shop) => Command::NameTechnician { name: Label::new(name), shop: Label::new(shop) },
            Entry::Engine(boat, words, year, power, hours) => self.engine(boat, words, year, power, hours)?,
            Entry::Hours(boat, nth, hours) => {
                let hours = EngineHours::parse(hours).ok_or_else(|| self.unmade(hours))?;
                Command::ReadHours { engine: self.engine_of(boat, nth)?, hours, sure: false }
            }
            Entry::Further(job, pay, complaint) => {
                Command::AddLine { job: self.job(job)?, pay, complaint: Prose::new(complaint) }
            }
            Entry::Told(job, line, part, text) => {
                Command::TellStory { line: self.line(job, line)?, part, text: Prose::new(text) }
            }
            Entry::Drives(boat, nth, drive, fuel) => {
                let traits = Traits { drive: Some(drive), fuel: Some(fuel), options: None };
                Command::DescribeEngine { engine: self.engine_of(boat, nth)?, traits }
            }
            Entry::Failed(job, nth, words) => {
                let [what, number, tag, place] = words.map(Label::new);
                let part = Box::new(FailedPart { what, number, tag, fate: Some(Fate::Kept), place });
                Command::FailPart { line: self.line(job, nth)?, part }
            }
            Entry::Proves(shows) => {
                let last = self.phone.book().evidence.photos().next_back().map(|photo| photo.id);
                Command::SayShows { photo: last.ok_or_else(|| self.unmade(shows.words()))?, shows: Some(shows) }
            }
            Entry::Staged(stage) => {
                let last = self.phone.book().readings.readings().next_back().map(|reading| reading.id);
                let reading = last.ok_or_else(|| self.unmade(stage.words()))?;
                Command::StageReading { reading, stage: Some(stage) }
            }
            Entry::Learned(job) => Command::KeepAsProcedure { job: self.job(job)? },
            Entry::Estimated(job, lines) => self.estimate(job, lines)?,
            Entry::Signed(job, by) => {
                let entry = ConsentEntry { by: by.to_owned(), ..ConsentEntry::default() };
                self.consent(job, Asked::Estimate, &entry)?
            }
            Entry::AgreedByTelephone(job, by, number, what, cost) => {
                let [by, number, what] = [by, number, what].map(str::to_owned);
                let [added, hours] = cost.map(str::to_owned);
                let entry = ConsentEntry { way: 1, by, number, what, added, hours, ..ConsentEntry::default() };
                self.consent(job, Asked::More, &entry)?
            }
            Entry::Planned(job, what, words) => {
                let (what, words) = (what.to_owned(), words.to_owned());
                let entry = VisitEntry { what, words, who: 1, ..VisitEntry::default() };
                let visit = entry.read().map_err(|why| self.unmade(&why.to_string()))?;
                Command::PlanVisit { job: self.job(job)?, visit: Box::new(visit) }
            }
            Entry::Finished(job) => Command::FinishJob { job: self.job(job)? },
            Entry::Clock(activity, what) => Command::SwitchClock { to: Doing::At { activity, on: self.on(what)? } },
            Entry::ClockOff => Command::SwitchClock { to: Doing::Off },
            Entry::Undone => Command::UndoTap,
            Entry::Off(job, what, side, count, size, stowed) => {
                let [what, side, size, stowed] = [what, side, size, stowed].map(Label::new);
                let item = ItemFacts { what, side, count: Count(count), size, stowed, details: Details::default() };
                Command::TakeOff { job: self.job(job)?, item }
            }
            Entry::Knows(job, what, known) => {
                let (item, mut facts) = self.known_item(job, what)?;
                known.iter().for_each(|fact| fact.add(&mut facts.details));
                Command::AmendItem { item, facts }
            }
            Entry::Follows(job, what, kind, other) => {
                Command::Tie(Tie { item: self.item(job, what)?, kind, other: self.item(job, other)? })
            }
            Entry::Free(job, one, other) => Command::Free(Freed(self.item(job, one)?, self.item(job, other)?)),
            Entry::Recounted(job, what, count) => {
                let (item, facts) = self.known_item(job, what)?;
                Command::AmendItem { item, facts: ItemFacts { count: Count(count), ..facts } }
            }
            Entry::TwiceEntered(job, what) => Command::Withdraw { event: self.item(job, what)?.0 },
            Entry::Back(job, what, count) => Command::PutBack { item: self.item(job, what)?, count: Count(count) },
            Entry::Instead(job, what, how, count, reason) => {
                let (item, count, reason) = (self.item(job, what)?, Count(count), Label::new(reason));
                Command::DoInstead { item, how, count, reason }
            }
            Entry::Sure(job, what, check) => Command::MakeSure { item: self.item(job, what)?, check },
            Entry::Done(job, step) => Command::TickStep { step: self.step(job, step)?, done: true },
            Entry::Note(of, text) => Command::WriteNote { about: self.about(of)?, text: Prose::new(text) },
            Entry::Part(job, what, number, count) => {
                let part = PartFacts { what: Label::new(what), number: Label::new(number), count: Count(count) };
                Command::UsePart { job: self.job(job)?, part }
            }
            Entry::Mended(from, to, activity, what, reason) => {
                let [from, to] = [from, to].map(|time| at(self.phone.now().day(), time, self.offset_min));
                let (Some(from), Some(to)) = (from, to) else { return Err(self.unmade(reason)) };
                let doing = Doing::At { activity, on: self.on(what)? };
                Command::Mend(Mend { from, to, doing, reason: Label::new(reason) })
            }
            Entry::Billed(job, nth, minutes) => {
                Command::BillLine { line: self.line(job, nth)?, billing: Billing::Flat { minutes } }
            }
            Entry::Measured(job, kind, what, answers) => self.reading(job, kind, what, answers)?,
            Entry::Tagged(job, words) => {
                let tags = Tags::new(words.iter().map(|word| Label::new(word)).collect());
                Command::TagJob { job: self.job(job)?, tags }
            }
            Entry::Bills(minutes) => {
                let minimum = Length::from_ms(u64::from(minutes) * 60_000);
                let bill = Charge { rule: LengthRule::NearestTenth, minimum };
                Command::SetShopRules(ShopRules { bill, ..self.phone.book().shop.rules() })
            }
            Entry::Reads(boat, language, measures) => {
                Command::SetReader { boat: self.boat(boat)?, reader: Reader { language, measures } }
            }
            Entry::Paired(caption) => {
                let mut photos = self.phone.book().evidence.photos().map(|photo| (photo.id, &photo.facts.caption));
                let before = photos.find(|it| it.1.as_str() == caption).ok_or_else(|| self.unmade(caption))?.0;
                let after = photos.next_back().ok_or_else(|| self.unmade(caption))?.0;
                Command::PairPhotos { before, after, what: Label::default() }
            }
            Entry::Captioned(caption) => {
                let last = self.phone.book().evidence.photos().next_back().map(|photo| photo.id);
                let photo = last.ok_or_else(|| self.unmade(caption))?;
                Command::Caption { photo, caption: Label::new(caption) }
            }
            Entry::Drawn(sketch) => {
                let last = self.phone.book().evidence.photos().next_back().map(|photo| photo.id);
                let photo = last.ok_or_else(|| self.unmade("a mark"))?;
                Command::Draw { photo, instead_of: None, mark: sketch.mark() }
            }
            Entry::Group(job, what, side, count, value, source) => {
                let [what, side, count, value] = [what, side, count, value].map(str::to_owned);
                let [manual, page] = source.map(str::to_owned);
                let text = GroupText { what, side, count, value, manual, page, ..GroupText::default() };
                let facts = text.read(None).map_err(|_| self.unmade(&text.value))?;
                Command::AddGroup { job: self.job(job)?, facts: Box::new(facts) }
            }
            Entry::Wrench(job, what, name, days) => {
                let wrench = Wrench { name: Label::new(name), largest: None, calibrated: self.today.plus(-days) };
                Command::TakeWrench { group: self.group(job, what)?, wrench, lever: None }
            }
        };
        self.phone.say(command).map(drop)
    }

    fn enter_boat(&mut self, boat: Boat, facts: [Words; 4]) -> Result<(), Flaw> {
        let [name, owner, berth, hin] = facts.map(Label::new);
        let id = self.phone.say(Command::AddBoat(BoatFacts { name, owner, berth, hin }))?;
        self.boats.insert(boat, BoatId(id));
        Ok(())
    }

    fn reading(&self, job: Job, kind: Kind, what: Words, answers: &[(Words, Words)]) -> Result<Command, Flaw> {
        let mut given = Vec::new();
        for &(slug, said) in answers {
            let input = Name::parse(slug).and_then(|name| kind.input(name));
            let value = match input.map(|input| input.of) {
                Some(form::Of::Figure { .. }) => {
                    let (figure, sign) = said.split_once(' ').unwrap_or((said, ""));
                    let unit = Unit::ALL.iter().copied().find(|unit| unit.words() == sign);
                    unit.and_then(|unit| Entered::parse(figure, unit).ok()).map(Value::Figure)
                }
                Some(form::Of::Choice(_)) => Choice::parse(said).map(Value::Choice),
                None => None,
            };
            let (Some(input), Some(value)) = (input, value) else { return Err(self.unmade(said)) };
            given.push(Given { name: input.name, nth: 0, value });
        }
        let (what, instrument) = (Label::new(what), Label::new("workshop multimeter"));
        let reading = Box::new(ReadingFacts { kind, what, given, instrument, note: Prose::default() });
        Ok(Command::TakeReading { taken_for: TakenFor { job: Some(self.job(job)?), ..TakenFor::default() }, reading })
    }

    fn engine(&self, boat: Boat, words: [Words; 3], year: u16, power: Words, hours: Words) -> Result<Command, Flaw> {
        let [place, model, serial] = words.map(Label::new);
        let power = Power::parse(power, PowerUnit::Kilowatt);
        let facts = EngineFacts { place, model, serial, year: Some(year), power };
        Ok(Command::AddEngine { boat: self.boat(boat)?, facts, hours: EngineHours::parse(hours) })
    }

    fn open(
        &mut self,
        job: Job,
        boat: Boat,
        engine: usize,
        pay: PayType,
        title: Words,
        complaint: Words,
    ) -> Result<(), Flaw> {
        let new = NewJob {
            boat: BoatChoice::Known(self.boat(boat)?),
            engine: Some(self.engine_of(boat, engine)?),
            title: Label::new(title),
            pay,
            complaint: Prose::new(complaint),
            tags: Tags::default(),
            start: None,
        };
        let id = self.phone.say(Command::OpenJob(new))?;
        self.jobs.insert(job, JobId(id));
        Ok(())
    }

    fn list(&mut self, job: Job, steps: &[Words]) -> Result<(), Flaw> {
        let job = self.job(job)?;
        steps.iter().try_for_each(|step| self.phone.say(Command::AddStep { job, text: Label::new(step) }).map(drop))
    }

    fn photo(&mut self, of: Of, scene: Scene, caption: Words) -> Result<(), Flaw> {
        let about = self.about(of)?;
        let jpeg = scene.jpeg().ok_or(Flaw::Undrawn)?;
        let bytes = u32::try_from(jpeg.len()).map_err(|_| Flaw::Undrawn)?;
        let photo = PhotoFacts {
            blob: self.phone.keep(jpeg),
            bytes,
            width: photos::WIDTH,
            height: photos::HEIGHT,
            caption: Label::new(caption),
            taken: Some(self.phone.now()),
            position: None,
        };
        self.phone.say(Command::TakePhoto { about, photo }).map(drop)
    }

    fn speak(&mut self, of: Of, seconds: u32) -> Result<(), Flaw> {
        let about = self.about(of)?;
        let wave = tone::wave(seconds);
        let bytes = u32::try_from(wave.len()).map_err(|_| Flaw::Undrawn)?;
        let voice = VoiceFacts { blob: self.phone.keep(wave), bytes, ms: 1_000 * seconds, sound: Sound::Wav };
        self.phone.say(Command::TakeVoice { about, voice }).map(drop)
    }

    fn tighten(&mut self, job: Job, what: Words, taps: usize) -> Result<(), Flaw> {
        let group = self.group(job, what)?;
        for _ in 0..taps {
            let next = self.phone.book().tightening.group(group).and_then(|group| group.state().next());
            self.phone.say(Command::Tighten { group, step: next.ok_or_else(|| self.unmade(what))? })?;
        }
        Ok(())
    }

    fn estimate(&self, job: Job, rows: &[(usize, Words, Words, Words)]) -> Result<Command, Flaw> {
        let job = self.job(job)?;
        let mut lines = Vec::new();
        for &(kind, words, size, amount) in rows {
            let [words, size, amount] = [words, size, amount].map(str::to_owned);
            let line = LineEntry { kind, words, size, amount }.read(Currency::Gbp, &lines);
            lines.push(line.map_err(|why| self.unmade(&why.to_string()))?);
        }
        let valid_until = self.phone.now().day().plus(14).map(|day| day.to_string()).unwrap_or_default();
        let first = EstimateEntry::first(self.phone.book(), job);
        let entry = EstimateEntry { currency: Currency::Gbp, lines, valid_until, on_summary: true, ..first };
        let estimate = entry.read().map_err(|why| self.unmade(&why.to_string()))?;
        Ok(Command::MakeEstimate { job, estimate: Box::new(estimate) })
    }

    /// A made-up signature goes with what is agreed in person.
    fn consent(&self, job: Job, asked: Asked, entry: &ConsentEntry) -> Result<Command, Flaw> {
        let job = self.job(job)?;
        let wave = |from: u16| (0..24_u16).map(|at| (from + at * 38, 520 - (at % 4) * 90 + at * 6)).collect();
        let drawn = Strokes::new(vec![wave(300), wave(1_350), vec![(280, 760), (2_300, 700)]]).unwrap_or_default();
        let consent = entry.read(self.phone.book(), job, asked, drawn, self.phone.now());
        let consent = consent.map_err(|why| self.unmade(&why.to_string()))?;
        Ok(Command::GiveConsent { job, consent: Box::new(consent) })
    }

    fn recommend(&mut self, job: Job, what: Words, why: Words, reply: Reply) -> Result<(), Flaw> {
        let job = self.job(job)?;
        let facts = Recommendation { what: Label::new(what), why: Prose::new(why), cost: None };
        let said = self.phone.say(Command::Recommend { job, recommendation: Box::new(facts) })?;
        let recommendation = RecommendationId(said);
        self.phone.say(Command::AnswerRecommendation { recommendation, reply }).map(drop)
    }

    fn on(&self, what: For) -> Result<On, Flaw> {
        match what {
            For::NoJob => Ok(On::NoJob),
            For::All(job) => self.job(job).map(On::Job),
            For::Line(job, nth) => self.line(job, nth).map(On::Line),
        }
    }

    fn about(&self, of: Of) -> Result<About, Flaw> {
        match of {
            Of::Today => Ok(About::Day),
            Of::Work(job) => self.job(job).map(About::Job),
            Of::Thing(job, what) => self.item(job, what).map(About::Item),
            Of::Step(job, step) => self.step(job, step).map(About::Step),
        }
    }

    fn boat(&self, boat: Boat) -> Result<BoatId, Flaw> {
        self.boats.get(&boat).copied().ok_or_else(|| self.unmade(&format!("{boat:?}")))
    }

    fn engine_of(&self, boat: Boat, nth: usize) -> Result<EngineId, Flaw> {
        let engine = self.phone.book().fleet.engines_of(self.boat(boat)?).nth(nth.wrapping_sub(1));
        engine.map(|engine| engine.id).ok_or_else(|| self.unmade(&format!("engine {nth} of {boat:?}")))
    }

    fn job(&self, job: Job) -> Result<JobId, Flaw> {
        self.jobs.get(&job).copied().ok_or_else(|| self.unmade(&format!("{job:?}")))
    }

    fn line(&self, job: Job, nth: usize) -> Result<LineId, Flaw> {
        let line = self.phone.book().jobs.lines_of(self.job(job)?).nth(nth.wrapping_sub(1));
        line.map(|line| line.id).ok_or_else(|| self.unmade(&format!("line {nth} of {job:?}")))
    }

    /// Returns what came off under these words; of two, the later.
    fn item(&self, job: Job, what: Words) -> Result<ItemId, Flaw> {
        let mut items = self.phone.book().teardown.items_of(self.job(job)?).rev();
        items.find(|item| item.facts.what.as_str() == what).map(|item| item.id).ok_or_else(|| self.unmade(what))
    }

    fn known_item(&self, job: Job, what: Words) -> Result<(ItemId, ItemFacts), Flaw> {
        let item = self.item(job, what)?;
        let known = self.phone.book().teardown.item(item).map(|item| item.facts.clone());
        Ok((item, known.unwrap_or_default()))
    }

    fn group(&self, job: Job, what: Words) -> Result<GroupId, Flaw> {
        let mut groups = self.phone.book().tightening.groups_of(self.job(job)?);
        groups.find(|group| group.facts.what.as_str() == what).map(|group| group.id).ok_or_else(|| self.unmade(what))
    }

    fn step(&self, job: Job, text: Words) -> Result<StepId, Flaw> {
        let mut steps = self.phone.book().steps.steps_of(self.job(job)?);
        steps.find(|step| step.text.as_str() == text).map(|step| step.id).ok_or_else(|| self.unmade(text))
    }

    fn unmade(&self, what: &str) -> Flaw {
        Flaw::Unmade { at: self.phone.now(), what: what.to_owned() }
    }
}

/// Returns a time of day, `07:45`, on a day at an offset of minutes east of UTC.
pub(super) fn at(day: Day, time: &str, offset_min: i16) -> Option<Moment> {
    let sign = if offset_min < 0 { '-' } else { '+' };
    let (hours, minutes) = (offset_min.unsigned_abs() / 60, offset_min.unsigned_abs() % 60);
    Moment::parse(&format!("{day}T{time}:00{sign}{hours:02}:{minutes:02}")).ok()
}
