//! The book: what is, as a fold of the log.
//!
//! [`Book::apply`] takes one record after another and never fails: what makes
//! no sense becomes a [`Fault`] and changes nothing else. The same records in
//! the order of the log always give the same book, whatever order they arrived
//! in; so a merge that brings older records rebuilds the book with
//! [`Book::replay`].
//!
//! One book is one technician's. Nothing is removed: what was withdrawn stays,
//! marked, so that the trail can be shown and the withdrawal withdrawn.

pub mod agreements;
pub mod claims;
pub mod drafted;
pub mod entries;
pub mod evidence;
pub mod fleet;
pub mod handover;
pub mod jobs;
pub mod ledger;
pub(crate) mod named;
pub mod parts;
pub mod procedures;
pub mod readings;
pub mod shop;
pub mod steps;
pub mod teardown;
pub mod tightening;
pub mod visits;

use std::collections::BTreeMap;

use crate::event::{About, Document, Event, On, TakenFor};
use crate::id::{EngineId, EventId, JobId, StartId};
use crate::log::Record;
use crate::moment::{Day, Length, Moment};
use crate::order;
use crate::procedure::EngineProfile;
use crate::text::Label;
use handover::MadeDocument;
use teardown::Became;

/// Everything that the log says, as it stands now.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Book {
    /// Who works here.
    pub technician: Technician,
    /// Boats and engines.
    pub fleet: fleet::Fleet,
    /// Jobs and their lines.
    pub jobs: jobs::Jobs,
    /// The clock.
    pub ledger: ledger::Ledger,
    /// What came off.
    pub teardown: teardown::Teardown,
    /// Checklists.
    pub steps: steps::Steps,
    /// Notes and photos.
    pub evidence: evidence::Evidence,
    /// Parts used.
    pub parts: parts::Parts,
    /// Parts that failed.
    pub claims: claims::Claims,
    /// Groups of fasteners.
    pub tightening: tightening::Tightening,
    /// Procedures.
    pub procedures: procedures::Procedures,
    /// Readings and own limits.
    pub readings: readings::Readings,
    /// The shop's rules for time.
    pub shop: shop::Shop,
    /// What was agreed with owners.
    pub agreements: agreements::Agreements,
    /// Visits that are planned.
    pub visits: visits::Visits,
    /// What left the phone.
    pub handovers: handover::HandOvers,
    /// When something about the work was entered.
    pub entries: entries::Entries,
    /// What made no sense.
    pub faults: Vec<Fault>,
    withdrawals: named::Named<Withdrawal>,
    records: u64,
}

/// A statement that something was a mistake.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Withdrawal {
    event: EventId,
    at: Moment,
}

/// Who works here, as documents name them.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Technician {
    /// The technician's name.
    pub name: Label,
    /// The shop's name.
    pub shop: Label,
}

/// A record that makes no sense in this book; it changed nothing.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Fault {
    /// It speaks of something that the book does not hold.
    #[error("record {record} speaks of {thing}, which is not in this book")]
    Unknown {
        /// The record at fault.
        record: EventId,
        /// What it speaks of.
        thing: EventId,
    },
    /// It withdraws something that cannot be withdrawn.
    #[error("record {record} withdraws {what}, which cannot be withdrawn")]
    NotWithdrawable {
        /// The record at fault.
        record: EventId,
        /// What it would withdraw.
        what: EventId,
    },
    /// It mends a time that cannot have been.
    #[error("record {record} mends a time that ends before it begins, is longer than a day or had not come yet")]
    NoSuchTime {
        /// The record at fault.
        record: EventId,
    },
    /// It says rules for time that make no sense.
    #[error("record {record} says rules for hours that no day or week has")]
    NoSuchRules {
        /// The record at fault.
        record: EventId,
    },
    /// It pairs a photo with itself.
    #[error("record {record} says that one photo shows both before and after")]
    OnePhoto {
        /// The record at fault.
        record: EventId,
    },
    /// It tightens a fastener that the group does not have, or in a pass that it does not have.
    #[error("record {record} tightens a fastener in a pass that its group does not have")]
    NoSuchFastener {
        /// The record at fault.
        record: EventId,
    },
}

impl Book {
    /// Returns the book that these records give, taken in the order of the log.
    pub fn replay<'a>(records: impl IntoIterator<Item = &'a Record>) -> Self {
        let mut book = Self::default();
        for record in records {
            book.apply(record);
        }
        book
    }

    /// Takes one more record into account.
    pub fn apply(&mut self, record: &Record) {
        self.records += 1;
        self.entries.note(record);
        if let Err(thing) = self.tell(record) {
            let record_id = record.id;
            let fault = match record.event {
                Event::Withdrawn { event } => Fault::NotWithdrawable { record: record_id, what: event },
                Event::Mended(_) => Fault::NoSuchTime { record: record_id },
                Event::FastenerTightened { group, .. } if self.tightening.group(group).is_some() => {
                    Fault::NoSuchFastener { record: record_id }
                }
                Event::ShopRulesSet(_) => Fault::NoSuchRules { record: record_id },
                Event::PhotosPaired { before, after, .. } if before == after => Fault::OnePhoto { record: record_id },
                _ => Fault::Unknown { record: record_id, thing },
            };
            self.faults.push(fault);
        }
    }

    /// Returns how many records made this book.
    pub fn records(&self) -> u64 {
        self.records
    }

    /// Returns the job that an activity is for.
    pub fn job_of(&self, on: On) -> Option<JobId> {
        match on {
            On::NoJob => None,
            On::Job(job) => Some(job),
            On::Line(line) => self.jobs.line(line).map(|line| line.job),
        }
    }

    /// Returns the line that time is on: the line named, or the only one of the job
    /// named. Time on a line that was withdrawn is on its job.
    pub fn line_of(&self, on: On) -> Option<&jobs::JobLine> {
        if let On::Line(line) = on {
            let named = self.jobs.line(line).filter(|line| !line.withdrawn);
            if named.is_some() {
                return named;
            }
        }
        let mut lines = self.jobs.lines_of(self.job_of(on)?);
        lines.next().filter(|_| lines.next().is_none())
    }

    /// Returns what time counts for as things stand: the line that it is on, or
    /// else the job, if the book holds them.
    pub fn booked(&self, on: On) -> On {
        let job = || self.job_of(on).filter(|&job| self.jobs.job(job).is_some());
        self.line_of(on).map(|line| On::Line(line.id)).or_else(|| job().map(On::Job)).unwrap_or(On::NoJob)
    }

    /// Returns a day's time at `now` by what it counts for and by activity, in
    /// their order; what took no time is left out.
    pub fn times_of(&self, day: Day, now: Moment) -> Vec<handover::Told> {
        self.told(self.ledger.spans_of(day, now))
    }

    /// Returns the time of each of some days as [`Book::times_of`] does, in one pass over the log.
    pub fn times_of_days(&self, days: &[Day], now: Moment) -> Vec<(Day, Vec<handover::Told>)> {
        let Some(&first) = days.iter().min() else { return Vec::new() };
        let mut spans: BTreeMap<Day, Vec<ledger::Span>> = days.iter().map(|&day| (day, Vec::new())).collect();
        for (day, span) in self.ledger.spans_since(first, now).into_iter().flat_map(ledger::by_day) {
            if let Some(of_day) = spans.get_mut(&day) {
                of_day.push(span);
            }
        }
        spans.into_iter().map(|(day, spans)| (day, self.told(spans))).collect()
    }

    /// Returns some spans' time by what it counts for and by activity.
    fn told(&self, spans: Vec<ledger::Span>) -> Vec<handover::Told> {
        let told = |span: ledger::Span| {
            let (on, activity, length) = (self.booked(span.on), span.activity, span.length());
            handover::Told { on, activity, length }
        };
        let times = order::by_key(spans.into_iter().map(told).collect(), handover::Told::key);
        let mut sums: Vec<handover::Told> = Vec::new();
        for told in times.into_iter().filter(|told| told.length > Length::ZERO) {
            match sums.last_mut().filter(|sum| sum.key() == told.key()) {
                Some(sum) => sum.length = sum.length + told.length,
                None => sums.push(told),
            }
        }
        sums
    }

    /// Returns when something was last taken back, or brought back.
    pub fn taken_back(&self, event: EventId) -> Option<Moment> {
        self.withdrawals.all().rfind(|it| self.subject_of(it.event) == event).map(|it| it.at)
    }

    /// Returns the engine that a job is on: the one named, or the boat's only one.
    pub fn engine_of(&self, job: &jobs::Job) -> Option<&fleet::Engine> {
        if let Some(named) = job.engine {
            return self.fleet.engine(named);
        }
        let mut engines = self.fleet.engines_of(job.boat);
        let only = engines.next()?;
        engines.next().is_none().then_some(only)
    }

    /// Returns what is known of the engine that a job is on, for a procedure to judge.
    pub fn profile_of(&self, job: &jobs::Job) -> EngineProfile {
        let engine = self.engine_of(job);
        EngineProfile {
            power: engine.and_then(|it| it.facts.power),
            year: engine.and_then(|it| it.facts.year),
            engines: self.fleet.driving(job.boat),
            traits: engine.map(|it| it.traits.clone()).unwrap_or_default(),
        }
    }
    /// Returns the engine that a reading is of: the one named, or its job's.
    pub fn engine_read(&self, reading: &readings::Reading) -> Option<&fleet::Engine> {
        let named = self.readings.engine_named(reading).and_then(|engine| self.fleet.engine(engine));
        named.or_else(|| self.engine_of(self.jobs.job(self.readings.job_of(reading)?)?))
    }

    /// Returns the visits that are planned to the boat of a job and still lie ahead.
    pub fn visits_ahead(&self, job: JobId) -> Vec<&visits::Planned> {
        let boat = |job| self.jobs.job(job).map(|it| it.boat);
        let waits = |it: &&visits::Planned| boat(it.job) == boat(job) && self.visits.made(it.id).is_none();
        self.visits.planned().filter(waits).collect()
    }

    /// Tells whether an event counts now and can be withdrawn, or is a
    /// withdrawal that stands.
    pub fn can_withdraw(&self, event: EventId) -> bool {
        let (target, counts) = self.behind(event);
        let marked = self.mark_of(target);
        // A withdrawal can be withdrawn while its target is withdrawn, and the other way round.
        marked == Some(!counts)
    }

    /// Returns what an event is about: itself, or what a withdrawal withdraws.
    pub fn subject_of(&self, event: EventId) -> EventId {
        self.behind(event).0
    }

    /// Returns what a chain of withdrawals is about, and whether it counts once
    /// the last of them is withdrawn no more.
    fn behind(&self, event: EventId) -> (EventId, bool) {
        let (mut target, mut counts) = (event, true);
        while let Some(earlier) = self.withdrawals.get(target) {
            target = earlier.event;
            counts = !counts;
        }
        (target, counts)
    }

    /// Returns whether a withdrawable event is withdrawn; `None` for any other.
    fn mark_of(&self, event: EventId) -> Option<bool> {
        self.ledger
            .marked(event)
            .or_else(|| self.teardown.marked(event))
            .or_else(|| self.steps.marked(event))
            .or_else(|| self.evidence.marked(event))
            .or_else(|| self.parts.marked(event))
            .or_else(|| self.jobs.marked(event))
            .or_else(|| self.tightening.marked(event))
            .or_else(|| self.procedures.marked(event))
            .or_else(|| self.readings.marked(event))
            .or_else(|| self.shop.marked(event))
            .or_else(|| self.agreements.marked(event))
            .or_else(|| self.claims.marked(event))
            .or_else(|| self.visits.marked(event))
            .or_else(|| self.handovers.marked(event))
    }

    /// Returns the job that a note or a photo belongs to.
    pub fn job_about(&self, about: About) -> Option<JobId> {
        match about {
            About::Day => None,
            About::Job(job) => Some(job),
            About::Item(item) => self.teardown.item(item).map(|item| item.job),
            About::Step(step) => self.steps.step(step).map(|step| step.job),
            About::Reading(reading) => self.readings.reading(reading).and_then(|it| self.readings.job_of(it)),
            About::Group(group) => self.tightening.group(group).map(|group| group.job),
        }
    }

    /// Tells the event to the part of the book that it concerns; gives back the
    /// name of what that part does not know.
    fn tell(&mut self, record: &Record) -> Result<(), EventId> {
        let (id, at) = (record.id, record.at);
        match &record.event {
            Event::TechnicianNamed { name, shop } => {
                self.technician = Technician { name: name.clone(), shop: shop.clone() };
                Ok(())
            }
            Event::BoatAdded(facts) => self.fleet.add_boat(id, facts),
            Event::BoatAmended { boat, facts } => self.fleet.amend_boat(*boat, facts),
            Event::EngineAdded { boat, facts } => self.fleet.add_engine(id, *boat, facts),
            Event::EngineAmended { engine, facts } => self.fleet.amend_engine(*engine, facts),
            Event::EngineHoursRead { engine, hours } => self.fleet.read_hours(*engine, at, *hours),
            Event::JobOpened { boat, engine, title } => {
                self.fleet.boat(*boat).ok_or(boat.0)?;
                self.jobs.open(id, at, *boat, *engine, title)
            }
            Event::JobRetitled { job, title } => self.jobs.retitle(*job, title),
            Event::JobFinished { job } => self.jobs.finish(*job, Some(at)),
            Event::JobReopened { job } => self.jobs.finish(*job, None),
            Event::LineAdded { job, pay, complaint } => self.jobs.add_line(id, *job, *pay, complaint),
            Event::PayTypeSet { line, pay } => self.jobs.set_pay(*line, *pay),
            Event::StoryTold { line, part, text } => self.jobs.tell(*line, *part, text),
            Event::ClockSwitched { to } => self.ledger.tap(id, at, *to),
            Event::CameOff { job, item } => {
                self.known_job(*job)?;
                self.teardown.came_off(id, at, *job, item)
            }
            Event::ItemAmended { item, facts } => self.teardown.amend(*item, facts),
            Event::BackOn { item, count } => self.teardown.became(id, at, *item, Became::On(*count)),
            Event::StepAdded { job, text } => {
                self.known_job(*job)?;
                self.steps.add(id, *job, text)
            }
            Event::StepTicked { step, done } => self.steps.tick(*step, done.then_some(at)),
            Event::NoteWritten { about, text } => {
                self.known_about(*about)?;
                self.evidence.note(id, at, *about, text)
            }
            Event::PhotoTaken { about, photo } => {
                self.known_about(*about)?;
                self.evidence.photo(id, at, *about, photo)
            }
            Event::PartUsed { job, part } => {
                self.known_job(*job)?;
                self.parts.used(id, at, *job, part)
            }
            Event::Withdrawn { event } => self.withdraw(id, at, *event),
            Event::HandedOver { what, way, file } => {
                if let Document::DayBundle { day, table: false } = *what {
                    self.handovers.told(day, at, self.times_of(day, at));
                }
                self.handovers.left(id, at, *what, *way, *file, self.records - 1)
            }
            Event::Mended(mend) => self.ledger.mend(id, at, mend),
            Event::LineBilled { line, billing } => self.jobs.bill(*line, *billing),
            Event::JobTagged { job, tags } => self.jobs.tag(*job, tags),
            Event::PhotoCaptioned { photo, caption } => self.evidence.caption(*photo, caption),
            Event::GroupAdded { job, facts } => {
                self.known_job(*job)?;
                self.tightening.add(id, at, *job, facts)
            }
            Event::GroupAmended { group, facts } => self.tightening.amend(*group, facts),
            Event::WrenchTaken { group, wrench, lever } => self.tightening.take(id, at, *group, wrench, *lever),
            Event::FastenerTightened { group, step } => self.tightening.tighten(id, at, *group, *step),
            Event::EngineDescribed { engine, traits } => self.fleet.describe(*engine, traits),
            Event::ProcedureKept { procedure, from } => self.procedures.keep(id, at, procedure, *from),
            Event::ProcedureAmended { procedure, to } => self.procedures.amend(id, at, *procedure, to),
            Event::ProcedureStarted { job, version } => {
                let engine = self.profile_of(self.jobs.job(*job).ok_or(job.0)?);
                self.procedures.begin(id, at, *job, *version, engine)
            }
            Event::StepTaken { start, number, text } => {
                let known = self.procedures.start(*start).ok_or(start.0)?;
                let taken = procedures::Taken { start: *start, number: *number };
                self.steps.take(id, known.job, text, taken, known.withdrawn);
                Ok(())
            }
            Event::Forgotten { job, step, what } => {
                self.known_job(*job)?;
                if let Some(step) = step {
                    self.steps.step(*step).filter(|it| it.job == *job).ok_or(step.0)?;
                }
                self.procedures.forget(id, at, *job, *step, what)
            }
            Event::ReadingTaken { taken_for, reading } => {
                self.known_for(*taken_for)?;
                self.readings.take(id, at, *taken_for, reading)
            }
            Event::ReadingAssigned { reading, to } => {
                self.known_for(*to)?;
                self.readings.assign(id, *reading, *to)
            }
            Event::LimitsSet { engine, kind, limits } => {
                self.known_engine(*engine)?;
                self.readings.set_limits(id, *engine, *kind, limits)
            }
            Event::Tied(tie) => self.teardown.tie(id, *tie),
            Event::Freed(freed) => self.teardown.free(id, *freed),
            Event::DoneInstead { item, instead } => {
                self.teardown.became(id, at, *item, Became::Instead(instead.clone()))
            }
            Event::MadeSure { item, check } => self.teardown.made_sure(id, at, *item, *check),
            Event::StepNeeded { step, need } => self.steps.need(*step, *need),
            Event::PhotoMarked { photo, marks } => self.evidence.draw(*photo, marks),
            Event::VoiceNoted { about, voice } => {
                self.known_about(*about)?;
                self.evidence.voice(id, at, *about, *voice)
            }
            Event::ShopRulesSet(rules) => self.shop.state(id, *rules),
            Event::EstimateMade { job, estimate } => {
                self.known_job(*job)?;
                self.agreements.make(id, at, *job, estimate)
            }
            Event::ConsentGiven { job, consent } => {
                self.known_job(*job)?;
                self.agreements.consent(id, *job, consent)
            }
            Event::Recommended { job, recommendation } => {
                self.known_job(*job)?;
                self.agreements.recommend(id, *job, recommendation)
            }
            Event::RecommendationAnswered { recommendation, reply } => {
                self.agreements.reply(id, *recommendation, *reply)
            }
            Event::OwnerReads { boat, reader } => self.fleet.reads(*boat, *reader),
            Event::PhotosPaired { before, after, what } => self.evidence.pair(id, *before, *after, what),
            Event::PartFailed { line, part } => {
                self.jobs.line(*line).ok_or(line.0)?;
                self.claims.fail(id, *line, part)
            }
            Event::FailedPartAmended { failed, part } => self.claims.amend(*failed, part),
            Event::PhotoShows { photo, shows } => self.evidence.show(*photo, *shows),
            Event::ReadingStaged { reading, stage } => self.readings.stage(*reading, *stage),
            Event::DocumentMade { what, file } => {
                self.handovers.make(MadeDocument { id, at, what: *what, file: *file, withdrawn: false });
                Ok(())
            }
            Event::NextVisitPlanned { job, visit } => {
                self.known_job(*job)?;
                self.visits.plan(id, at, *job, visit)
            }
            Event::NextVisitMade { visit, job } => {
                self.known_job(*job)?;
                self.visits.make(id, *visit, *job)
            }
        }
    }

    /// Tells whether a reading can be for this; a step is one of the job's own.
    fn known_for(&self, taken_for: TakenFor) -> Result<(), EventId> {
        taken_for.job.map_or(Ok(()), |job| self.known_job(job))?;
        taken_for.engine.map_or(Ok(()), |engine| self.known_engine(engine))?;
        let of_job = |step| self.steps.step(step).filter(|it| Some(it.job) == taken_for.job);
        taken_for.step.map_or(Ok(()), |step| of_job(step).map(|_| ()).ok_or(step.0))
    }

    fn known_job(&self, job: JobId) -> Result<(), EventId> {
        self.jobs.job(job).map(|_| ()).ok_or(job.0)
    }

    fn known_engine(&self, engine: EngineId) -> Result<(), EventId> {
        self.fleet.engine(engine).map(|_| ()).ok_or(engine.0)
    }

    fn known_about(&self, about: About) -> Result<(), EventId> {
        let (known, thing) = match about {
            About::Day => return Ok(()),
            About::Job(job) => (self.jobs.job(job).is_some(), job.0),
            About::Item(item) => (self.teardown.item(item).is_some(), item.0),
            About::Step(step) => (self.steps.step(step).is_some(), step.0),
            About::Reading(reading) => (self.readings.reading(reading).is_some(), reading.0),
            About::Group(group) => (self.tightening.group(group).is_some(), group.0),
        };
        if known { Ok(()) } else { Err(thing) }
    }

    /// Withdraws an event, or lets it count again when `event` is itself a withdrawal.
    fn withdraw(&mut self, by: EventId, at: Moment, event: EventId) -> Result<(), EventId> {
        let (target, withdrawn) = self.behind(event);
        let marked = self.ledger.mark(target, withdrawn)
            || self.teardown.mark(target, withdrawn)
            || self.steps.mark(target, withdrawn)
            || self.evidence.mark(target, withdrawn)
            || self.parts.mark(target, withdrawn)
            || self.jobs.mark(target, withdrawn)
            || self.tightening.mark(target, withdrawn)
            || self.procedures.mark(target, withdrawn)
            || self.readings.mark(target, withdrawn)
            || self.shop.mark(target, withdrawn)
            || self.agreements.mark(target, withdrawn)
            || self.claims.mark(target, withdrawn)
            || self.visits.mark(target, withdrawn)
            || self.handovers.mark(target, withdrawn);
        if !marked {
            return Err(event);
        }
        if self.procedures.start(StartId(target)).is_some() {
            self.steps.mark_start(StartId(target), withdrawn);
        }
        self.withdrawals.put(by, Withdrawal { event, at });
        Ok(())
    }
}
