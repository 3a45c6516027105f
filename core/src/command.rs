//! What may be asked for, and what it comes to.
//!
//! [`decide`] turns a request into the events that say it, without changing
//! anything; or it refuses, in words that say what to do instead. A request may
//! be refused; a thing that happened may not. What only *might* be wrong (a job
//! finished with items still off) is not refused but shown where it matters.

mod off_list;
mod procedures;
mod reading;

use crate::book::Book;
use crate::book::ledger::{LONGEST_MEND, Stretch};
use crate::event::{
    About, Activity, Billing, BoatFacts, Check, Document, Doing, EngineFacts, Event, GroupFacts, ItemFacts, Mark, Mend,
    On, PartFacts, PayType, PhotoFacts, Procedure, ReadingFacts, Senseless, ShopRules, StoryPart, Tags, TakenFor,
    Traits, VoiceFacts, Way,
};
use crate::id::{
    BlobId, BoatId, EngineId, EventId, GroupId, ItemId, JobId, LineId, PhotoId, ProcedureId, ReadingId, StepId,
    VersionId,
};
use crate::moment::{Length, Moment};
use crate::procedure::sound::Unsound;
use crate::quantity::{Count, EngineHours};
use crate::reading::Kind;
use crate::reading::limits::Limits;
use crate::reassembly::gate::Need;
use crate::reassembly::tally::{How, Instead};
use crate::reassembly::ties::{Freed, Refused, Tie};
use crate::text::{LONGEST_PROSE, Label, Prose};
use crate::tightening::group::{Slip, Step, Tap};
use crate::tightening::wrench::{Lever, Wrench};

pub use off_list::MOST_SPOTS;

/// A request.
#[derive(Clone, Debug, PartialEq, Eq)]
#[expect(missing_docs, reason = "each request is told above it; the fields' names and types say the rest")]
pub enum Command {
    /// Say who works here.
    NameTechnician { name: Label, shop: Label },
    /// Enter a boat.
    AddBoat(BoatFacts),
    /// Put a boat's facts right.
    AmendBoat { boat: BoatId, facts: BoatFacts },
    /// Enter an engine, with its hours if they were read.
    AddEngine { boat: BoatId, facts: EngineFacts, hours: Option<EngineHours> },
    /// Put an engine's facts right.
    AmendEngine { engine: EngineId, facts: EngineFacts },
    /// Enter a reading of the hour meter.
    ReadHours { engine: EngineId, hours: EngineHours },
    /// Open a job with its first line; perhaps on a new boat, perhaps starting the clock.
    OpenJob(NewJob),
    /// Call a job something else.
    RetitleJob { job: JobId, title: Label },
    /// Say that nothing is left to do on a job.
    FinishJob { job: JobId },
    /// Take a finished job up again.
    ReopenJob { job: JobId },
    /// Add a line to a job.
    AddLine { job: JobId, pay: PayType, complaint: Prose },
    /// Say who pays for a line.
    SetPay { line: LineId, pay: PayType },
    /// Tell a part of a line's story.
    TellStory { line: LineId, part: StoryPart, text: Prose },
    /// Do something else from now on.
    SwitchClock { to: Doing },
    /// Take back the last tap of the clock.
    UndoTap,
    /// Say that something came off.
    TakeOff { job: JobId, item: ItemFacts },
    /// Put right what is known of something that came off.
    AmendItem { item: ItemId, facts: ItemFacts },
    /// Say that so many of an item are back on.
    PutBack { item: ItemId, count: Count },
    /// Add a step to a job's checklist.
    AddStep { job: JobId, text: Label },
    /// Say that a step is done, or not done after all.
    TickStep { step: StepId, done: bool },
    /// Write a note.
    WriteNote { about: About, text: Prose },
    /// Add a photo whose bytes are kept in the same action.
    TakePhoto { about: About, photo: PhotoFacts },
    /// Enter a part used.
    UsePart { job: JobId, part: PartFacts },
    /// Take back an earlier statement, or a withdrawal.
    Withdraw { event: EventId },
    /// Say what was in fact done between two instants.
    Mend(Mend),
    /// Say how a line is billed.
    BillLine { line: LineId, billing: Billing },
    /// Give a job these tags and no others.
    TagJob { job: JobId, tags: Tags },
    /// Say what a photo shows.
    Caption { photo: PhotoId, caption: Label },
    /// Say how the shop pays, bills and counts time.
    SetShopRules(ShopRules),
    /// Note that a document left the phone.
    HandOver { what: Document, way: Way, file: BlobId },
    /// Enter a group of fasteners that are tightened together.
    AddGroup { job: JobId, facts: Box<GroupFacts> },
    /// Put right what is known of a group.
    AmendGroup { group: GroupId, facts: Box<GroupFacts> },
    /// Say with which wrench a group is tightened from now on.
    TakeWrench { group: GroupId, wrench: Wrench, lever: Option<Lever> },
    /// Say that a fastener is tight in a pass.
    Tighten { group: GroupId, step: Step },
    /// Say of what make-up an engine is.
    DescribeEngine { engine: EngineId, traits: Traits },
    /// Keep a procedure: a new one, or the next version of the one with its key.
    KeepProcedure(Procedure),
    /// Make a procedure of a job, as it was done.
    KeepAsProcedure { job: JobId },
    /// Put into a procedure what one more job has shown.
    LearnFrom { job: JobId, procedure: ProcedureId },
    /// Let a procedure read otherwise.
    AmendProcedure { procedure: ProcedureId, to: Procedure },
    /// Do a job by a version of a procedure.
    StartProcedure { job: JobId, version: VersionId },
    /// Say that something was forgotten on a job.
    Forget { job: JobId, step: Option<StepId>, what: Label },
    /// Keep what was measured.
    TakeReading { taken_for: TakenFor, reading: Box<ReadingFacts> },
    /// Put a reading on a job.
    PutReading { reading: ReadingId, job: JobId },
    /// Set an engine's own limits for a kind of reading.
    SetLimits { engine: EngineId, kind: Kind, limits: Box<Limits> },
    /// Say that one item goes on before another, whatever the order of removal.
    Tie(Tie),
    /// Say that two items of one side do not wait for each other.
    Free(Freed),
    /// Say that some of an item are replaced or left off, and why.
    DoInstead { item: ItemId, how: How, count: Count, reason: Label },
    /// Say that an item is on as it has to be.
    MakeSure { item: ItemId, check: Check },
    /// Say what a step is needed for before the engine runs.
    NeedStep { step: StepId, need: Option<Need> },
    /// Give a photo these marks and no others.
    MarkPhoto { photo: PhotoId, marks: Vec<Mark> },
    /// Add a voice note whose bytes are kept in the same action.
    TakeVoice { about: About, voice: VoiceFacts },
}

impl Command {
    /// Tells whether the first event that this comes to can be withdrawn.
    pub fn can_be_taken_back(&self) -> bool {
        matches!(
            self,
            Command::SwitchClock { .. }
                | Command::UndoTap
                | Command::TakeOff { .. }
                | Command::PutBack { .. }
                | Command::AddStep { .. }
                | Command::AddLine { .. }
                | Command::WriteNote { .. }
                | Command::TakePhoto { .. }
                | Command::UsePart { .. }
                | Command::Mend(_)
                | Command::SetShopRules(_)
                | Command::Withdraw { .. }
                | Command::AddGroup { .. }
                | Command::TakeWrench { .. }
                | Command::Tighten { .. }
                | Command::KeepProcedure(_)
                | Command::KeepAsProcedure { .. }
                | Command::LearnFrom { .. }
                | Command::AmendProcedure { .. }
                | Command::StartProcedure { .. }
                | Command::Forget { .. }
                | Command::TakeReading { .. }
                | Command::PutReading { .. }
                | Command::SetLimits { .. }
                | Command::Tie(_)
                | Command::Free(_)
                | Command::DoInstead { .. }
                | Command::MakeSure { .. }
                | Command::TakeVoice { .. }
        )
    }
}

/// A job to be opened.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewJob {
    /// The boat.
    pub boat: BoatChoice,
    /// The engine, when the job is on one that is known.
    pub engine: Option<EngineId>,
    /// What to call the job.
    pub title: Label,
    /// Who pays for the first line.
    pub pay: PayType,
    /// What the customer says is wrong; may still be empty.
    pub complaint: Prose,
    /// Words under which the job is found again, if any.
    pub tags: Tags,
    /// What to start the clock with, if it shall run on the job at once.
    pub start: Option<Activity>,
}

/// The boat of a new job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum BoatChoice {
    /// One that is in the book.
    Known(BoatId),
    /// One that is entered with the job.
    New(BoatFacts),
}

/// Why a request cannot be met, and what to do instead.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Refusal {
    /// A name is needed.
    #[error("write {0} first")]
    Nameless(&'static str),
    /// The thing is not in the book (any more).
    #[error("this {0} is not in the book")]
    Unknown(&'static str),
    /// The clock already says this.
    #[error("the clock already says that")]
    AlreadyDoing,
    /// No tap is left to take back.
    #[error("there is no tap to take back")]
    NothingToUndo,
    /// It was taken back already, or it is nothing that can be taken back.
    #[error("that was taken back already, or cannot be: put it right where it stands")]
    NotToBeTakenBack,
    /// A pause is nobody's job.
    #[error("a meal or rest period belongs to no job: choose it without one")]
    PauseOnJob,
    /// At least one must be counted.
    #[error("count at least one")]
    NoCount,
    /// More would be back on than came off.
    #[error(
        "{off} came off and {settled} are accounted for: {} Look in the tray, or put the count right",
        off_list::too_many(*.off, *.settled, *.asked)
    )]
    TooManyBack {
        /// How many came off.
        off: Count,
        /// How many are back on, replaced or left off.
        settled: Count,
        /// How many more were asked for.
        asked: Count,
    },
    /// Fewer would have come off than are back on.
    #[error("{settled} are already back on, replaced or left off: the count cannot be less")]
    FewerThanBack {
        /// How many are back on, replaced or left off.
        settled: Count,
    },
    /// What was replaced or left off says too little.
    #[error("write why it does not go back on: worn, cracked, no spare, not needed any more")]
    NoReason,
    /// What the order of items would be is not possible.
    #[error("{0}")]
    Order(Refused),
    /// It was said before and stands.
    #[error("that is said already: nothing would change")]
    SaidAlready,
    /// Nothing of the item is on.
    #[error("nothing of it is on yet: put it back on first, then make sure")]
    NotOnYet,
    /// More is drawn on a photo than can be told apart.
    #[error("this is more than a photo can carry: take some of the marks away")]
    TooManyMarks,
    /// The text is longer than a document could carry.
    #[error("this text has {0} characters: split it into several notes of at most {LONGEST_PROSE}")]
    TooLong(usize),
    /// The mend ends before or when it begins.
    #[error("this takes no time: choose an end after the beginning")]
    NoTime,
    /// The mend reaches beyond the present.
    #[error("this ends in the future: end it now at the latest, and tap the clock for what comes then")]
    InTheFuture,
    /// The mend covers more than a day.
    #[error("this covers more than 24 hours: say it in parts of at most 24 hours")]
    LongerThanADay,
    /// The mend says what is said already.
    #[error("the day already says that: nothing would change")]
    ChangesNothing,
    /// The shop's rules make no sense.
    #[error(transparent)]
    Senseless(#[from] Senseless),
    /// The shop's rules say that already.
    #[error("the shop's rules say that already")]
    SameRules,
    /// The hour meter would have run backwards.
    #[error("the hour meter last showed {last}: a smaller figure means a new meter or a slip. Check it")]
    HoursBackwards {
        /// The last reading.
        last: EngineHours,
    },
    /// A lowest limit above the highest.
    #[error("the lowest is above the highest: are they swapped?")]
    Swapped,
    /// A torque value needs the place where it stands.
    #[error("{0}")]
    Sourceless(&'static str),
    /// The tap on a fastener would change nothing.
    #[error(transparent)]
    Slip(#[from] Slip),
    /// A procedure makes no sense as it is.
    #[error(transparent)]
    Unsound(#[from] Unsound),
    /// A procedure reads like that already.
    #[error("the procedure reads like that already: nothing would change")]
    ReadsSo,
    /// A job has nothing that a procedure could be made of.
    #[error("nothing came off on this job and it has no steps: there is nothing to make a procedure of")]
    NothingToLearn,
    /// No step of a procedure fits the engine.
    #[error("no step of this procedure fits this engine: look at what is known of the engine, or at the conditions")]
    NoStepFits,
    /// The job is done by this procedure already.
    #[error("this job is done by that procedure already")]
    AlreadyStarted,
}

/// Decides what a request means now, without changing anything.
///
/// `next` is the name that the first of the returned events will get; each
/// further event gets the next number. `now` is when they will be said.
///
/// # Errors
/// Returns a [`Refusal`] that says what to do instead.
pub fn decide(book: &Book, command: Command, next: EventId, now: Moment) -> Result<Vec<Event>, Refusal> {
    let event = match command {
        Command::OpenJob(new) => return open_job(book, new, next),
        Command::TakeReading { taken_for, reading } => return reading::take(book, taken_for, reading),
        Command::AddEngine { boat, facts, hours } => return add_engine(book, boat, facts, hours, next),
        Command::NameTechnician { name, shop } => Event::TechnicianNamed { name: named(name, "your name")?, shop },
        Command::AddBoat(facts) => Event::BoatAdded(boat_facts(facts)?),
        Command::AmendBoat { boat, facts } => {
            known(book.fleet.boat(boat), "boat")?;
            Event::BoatAmended { boat, facts: boat_facts(facts)? }
        }
        Command::AmendEngine { engine, facts } => {
            known(book.fleet.engine(engine), "engine")?;
            Event::EngineAmended { engine, facts }
        }
        Command::ReadHours { engine, hours } => {
            let last = known(book.fleet.engine(engine), "engine")?.last_hours();
            if let Some(last) = last.filter(|&last| last > hours) {
                return Err(Refusal::HoursBackwards { last });
            }
            Event::EngineHoursRead { engine, hours }
        }
        Command::RetitleJob { job, title } => {
            known(book.jobs.job(job), "job")?;
            Event::JobRetitled { job, title: named(title, "what the job is")? }
        }
        Command::FinishJob { job } => {
            known(book.jobs.job(job), "job")?;
            Event::JobFinished { job }
        }
        Command::ReopenJob { job } => {
            known(book.jobs.job(job), "job")?;
            Event::JobReopened { job }
        }
        Command::AddLine { job, pay, complaint } => {
            known(book.jobs.job(job), "job")?;
            Event::LineAdded { job, pay, complaint: sized(complaint)? }
        }
        Command::SetPay { line, pay } => {
            known(book.jobs.line(line), "job line")?;
            Event::PayTypeSet { line, pay }
        }
        Command::TellStory { line, part, text } => {
            known(book.jobs.line(line), "job line")?;
            Event::StoryTold { line, part, text: sized(text)? }
        }
        Command::SwitchClock { to } => Event::ClockSwitched { to: switch(book, to)? },
        Command::UndoTap => {
            let tap = book.ledger.last().ok_or(Refusal::NothingToUndo)?;
            Event::Withdrawn { event: tap.id }
        }
        Command::TakeOff { job, item } => {
            known(book.jobs.job(job), "job")?;
            Event::CameOff { job, item: item_facts(item)? }
        }
        Command::AmendItem { item, facts } => {
            let settled = known(book.teardown.item(item), "item")?.settled();
            let facts = item_facts(facts)?;
            if facts.count < settled {
                return Err(Refusal::FewerThanBack { settled });
            }
            Event::ItemAmended { item, facts }
        }
        Command::PutBack { item, count } => {
            off_list::fits(book, item, count)?;
            Event::BackOn { item, count }
        }
        Command::AddStep { job, text } => {
            known(book.jobs.job(job), "job")?;
            Event::StepAdded { job, text: named(text, "what the step is")? }
        }
        Command::TickStep { step, done } => {
            known(book.steps.step(step), "step")?;
            Event::StepTicked { step, done }
        }
        Command::WriteNote { about, text } => {
            known_about(book, about)?;
            let text = sized(text)?;
            if text.is_empty() {
                return Err(Refusal::Nameless("the note"));
            }
            Event::NoteWritten { about, text }
        }
        Command::TakePhoto { about, photo } => {
            known_about(book, about)?;
            Event::PhotoTaken { about, photo }
        }
        Command::UsePart { job, part } => {
            known(book.jobs.job(job), "job")?;
            counted(part.count)?;
            Event::PartUsed { job, part: PartFacts { what: named(part.what, "what the part is")?, ..part } }
        }
        Command::Withdraw { event } => withdraw(book, event)?,
        Command::Mend(mended) => Event::Mended(mend(book, mended, now)?),
        Command::BillLine { line, billing } => {
            known(book.jobs.line(line), "job line")?;
            Event::LineBilled { line, billing }
        }
        Command::TagJob { job, tags } => {
            known(book.jobs.job(job), "job")?;
            Event::JobTagged { job, tags }
        }
        Command::Caption { photo, caption } => {
            known(book.evidence.photo_of(photo), "photo")?;
            Event::PhotoCaptioned { photo, caption }
        }
        Command::SetShopRules(rules) => Event::ShopRulesSet(shop_rules(book, rules)?),
        Command::HandOver { what, way, file } => Event::HandedOver { what, way, file },
        Command::AddGroup { job, facts } => {
            known(book.jobs.job(job), "job")?;
            Event::GroupAdded { job, facts: group_facts(facts)? }
        }
        Command::AmendGroup { group, facts } => {
            known(book.tightening.group(group), "group")?;
            Event::GroupAmended { group, facts: group_facts(facts)? }
        }
        Command::TakeWrench { group, wrench, lever } => {
            known(book.tightening.group(group), "group")?;
            let name = named(wrench.name, "what the wrench is called")?;
            Event::WrenchTaken { group, wrench: Wrench { name, ..wrench }, lever }
        }
        Command::Tighten { group, step } => {
            let known_group = known(book.tightening.group(group).filter(|group| !group.withdrawn), "group")?;
            known_group.state().apply(Tap::Done(step))?;
            Event::FastenerTightened { group, step }
        }
        Command::DescribeEngine { engine, traits } => {
            known(book.fleet.engine(engine), "engine")?;
            Event::EngineDescribed { engine, traits }
        }
        Command::KeepProcedure(procedure) => procedures::keep(book, procedure)?,
        Command::KeepAsProcedure { job } => procedures::keep_as(book, job)?,
        Command::LearnFrom { job, procedure } => procedures::learn(book, job, procedure)?,
        Command::AmendProcedure { procedure, to } => procedures::amend(book, procedure, to)?,
        Command::StartProcedure { job, version } => return procedures::start(book, job, version, next),
        Command::Forget { job, step, what } => procedures::forget(book, job, step, what)?,
        Command::PutReading { reading, job } => {
            known(book.readings.reading(reading).filter(|reading| !reading.withdrawn), "reading")?;
            known(book.jobs.job(job), "job")?;
            Event::ReadingAssigned { reading, job }
        }
        Command::SetLimits { engine, kind, limits } => reading::set_limits(book, engine, kind, limits)?,
        Command::Tie(tie) => Event::Tied(off_list::tied(book, tie)?),
        Command::Free(two) => Event::Freed(off_list::freed(book, two)?),
        Command::DoInstead { item, how, count, reason } => {
            off_list::fits(book, item, count)?;
            let instead = Instead::new(how, count, reason).map_err(|_| Refusal::NoReason)?;
            Event::DoneInstead { item, instead }
        }
        Command::MakeSure { item, check } => {
            off_list::make_sure(book, item, check)?;
            Event::MadeSure { item, check }
        }
        Command::NeedStep { step, need } => {
            known(book.steps.step(step), "step")?;
            Event::StepNeeded { step, need }
        }
        Command::MarkPhoto { photo, marks } => {
            known(book.evidence.photo_of(photo), "photo")?;
            Event::PhotoMarked { photo, marks: off_list::drawn(marks)? }
        }
        Command::TakeVoice { about, voice } => {
            known_about(book, about)?;
            Event::VoiceNoted { about, voice }
        }
    };
    Ok(vec![event])
}

fn open_job(book: &Book, new: NewJob, next: EventId) -> Result<Vec<Event>, Refusal> {
    let mut events = Vec::with_capacity(5);
    let boat = match new.boat {
        BoatChoice::Known(boat) => known(book.fleet.boat(boat), "boat")?.id,
        BoatChoice::New(facts) => {
            events.push(Event::BoatAdded(boat_facts(facts)?));
            BoatId(next)
        }
    };
    if let Some(engine) = new.engine {
        known(book.fleet.engine(engine).filter(|engine| engine.boat == boat), "engine")?;
    }
    let job = JobId(next.later(events.len() as u64));
    events.push(Event::JobOpened { boat, engine: new.engine, title: named(new.title, "what the job is")? });
    events.push(Event::LineAdded { job, pay: new.pay, complaint: sized(new.complaint)? });
    if !new.tags.words().is_empty() {
        events.push(Event::JobTagged { job, tags: new.tags });
    }
    if let Some(activity) = new.start {
        let on = if activity.is_pause() { On::NoJob } else { On::Job(job) };
        events.push(Event::ClockSwitched { to: Doing::At { activity, on } });
    }
    Ok(events)
}

fn add_engine(
    book: &Book,
    boat: BoatId,
    facts: EngineFacts,
    hours: Option<EngineHours>,
    next: EventId,
) -> Result<Vec<Event>, Refusal> {
    known(book.fleet.boat(boat), "boat")?;
    let reading = hours.map(|hours| Event::EngineHoursRead { engine: EngineId(next), hours });
    Ok([Event::EngineAdded { boat, facts }].into_iter().chain(reading).collect())
}

fn switch(book: &Book, to: Doing) -> Result<Doing, Refusal> {
    let to = sensible(book, to)?;
    let now = book.ledger.last().map_or(Doing::Off, |tap| tap.to);
    if now == to { Err(Refusal::AlreadyDoing) } else { Ok(to) }
}

/// Lets pass what can be done: a job that is there, and no pause on it.
fn sensible(book: &Book, doing: Doing) -> Result<Doing, Refusal> {
    if let Doing::At { activity, on } = doing {
        match on {
            On::NoJob => {}
            On::Job(job) => drop(known(book.jobs.job(job), "job")?),
            On::Line(line) => drop(known(book.jobs.line(line), "job line")?),
        }
        if activity.is_pause() && on != On::NoJob {
            return Err(Refusal::PauseOnJob);
        }
    }
    Ok(doing)
}

fn mend(book: &Book, mend: Mend, now: Moment) -> Result<Mend, Refusal> {
    let Mend { from, to, doing, .. } = mend;
    let length = to.since(from).filter(|&length| length > Length::ZERO).ok_or(Refusal::NoTime)?;
    if to.utc_ms() > now.utc_ms() {
        return Err(Refusal::InTheFuture);
    }
    if length > LONGEST_MEND {
        return Err(Refusal::LongerThanADay);
    }
    sensible(book, doing)?;
    // Where nothing is said the technician is off the clock.
    let as_it_stands = book.ledger.between(from, to);
    let sum = |of: &dyn Fn(&&Stretch) -> bool| as_it_stands.iter().filter(of).map(Stretch::length).sum::<Length>();
    let same = match doing {
        Doing::Off => sum(&|it| it.doing != Doing::Off) == Length::ZERO,
        Doing::At { .. } => sum(&|it| it.doing == doing) == length,
    };
    if same { Err(Refusal::ChangesNothing) } else { Ok(mend) }
}

fn shop_rules(book: &Book, rules: ShopRules) -> Result<ShopRules, Refusal> {
    let rules = rules.checked()?;
    if rules == book.shop.rules() { Err(Refusal::SameRules) } else { Ok(rules) }
}

fn withdraw(book: &Book, event: EventId) -> Result<Event, Refusal> {
    if !book.can_withdraw(event) {
        return Err(Refusal::NotToBeTakenBack);
    }
    // What is back on once more must still fit what came off.
    if let Some((item, again)) = book.teardown.return_of(book.subject_of(event)).filter(|(_, again)| again.withdrawn)
        && again.became.count() > item.still_off()
    {
        let (off, settled) = (item.facts.count, item.settled());
        return Err(Refusal::TooManyBack { off, settled, asked: again.became.count() });
    }
    Ok(Event::Withdrawn { event })
}

fn known<T>(thing: Option<T>, what: &'static str) -> Result<T, Refusal> {
    thing.ok_or(Refusal::Unknown(what))
}

fn known_about(book: &Book, about: About) -> Result<(), Refusal> {
    match about {
        About::Day => Ok(()),
        About::Job(job) => known(book.jobs.job(job), "job").map(drop),
        About::Item(item) => known(book.teardown.item(item), "item").map(drop),
        About::Step(step) => known(book.steps.step(step), "step").map(drop),
        About::Reading(reading) => known(book.readings.reading(reading), "reading").map(drop),
    }
}

fn named(label: Label, what: &'static str) -> Result<Label, Refusal> {
    if label.is_empty() { Err(Refusal::Nameless(what)) } else { Ok(label) }
}

fn boat_facts(facts: BoatFacts) -> Result<BoatFacts, Refusal> {
    Ok(BoatFacts { name: named(facts.name, "the boat's name")?, ..facts })
}

fn item_facts(facts: ItemFacts) -> Result<ItemFacts, Refusal> {
    counted(facts.count)?;
    // With dirty hands it is enough to say that something came off; what it was comes after.
    Ok(facts)
}

fn group_facts(mut facts: Box<GroupFacts>) -> Result<Box<GroupFacts>, Refusal> {
    facts.what = named(facts.what, "what is tightened")?;
    match facts.entered.as_ref().and_then(|entered| entered.unsaid()) {
        Some(unsaid) => Err(Refusal::Sourceless(unsaid)),
        None => Ok(facts),
    }
}

fn counted(count: Count) -> Result<(), Refusal> {
    if count == Count(0) { Err(Refusal::NoCount) } else { Ok(()) }
}

fn sized(text: Prose) -> Result<Prose, Refusal> {
    match text.length() {
        length if length > LONGEST_PROSE => Err(Refusal::TooLong(length)),
        _ => Ok(text),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::event::Hardware;
    use crate::hours::overtime::Overtime;
    use crate::id::DeviceId;
    use crate::log::Tip;
    use crate::moment::TimeOfDay;
    use crate::tightening::group::Shares;
    use crate::tightening::pattern::{Layout, Numbering, Pattern, Place};
    use crate::tightening::torque::{Entered, Source, Target, TorqueUnit};

    /// A phone without a browser: decides, seals, applies.
    pub(super) struct Bench {
        pub(super) book: Book,
        tip: Tip,
        now: Moment,
    }

    impl Bench {
        pub(super) fn new() -> Self {
            let now = Moment::parse("2026-05-04T08:00:00+01:00").unwrap();
            Self { book: Book::default(), tip: Tip::fresh(DeviceId::new([1; 8])), now }
        }

        pub(super) fn ask(&mut self, command: Command) -> Result<EventId, Refusal> {
            let first = self.tip.next();
            for event in decide(&self.book, command, first, self.now)? {
                let (_, sealed) = crate::exchange::line::seal(self.tip.record(self.now, event));
                self.tip.advance(&sealed);
                self.book.apply(&sealed.record);
            }
            assert_eq!(self.book.faults, [], "what was decided always makes sense");
            Ok(first)
        }

        pub(super) fn job(&mut self) -> JobId {
            self.opened(Some(Activity::Diagnosis))
        }

        /// Opens one more job, and leaves the clock as it is.
        pub(super) fn job_beside(&mut self) -> JobId {
            self.opened(None)
        }

        fn opened(&mut self, start: Option<Activity>) -> JobId {
            let boat = BoatChoice::New(BoatFacts { name: Label::new("Heron"), ..BoatFacts::default() });
            let new = NewJob {
                boat,
                engine: None,
                title: Label::new("No charge"),
                pay: PayType::CustomerPay,
                complaint: Prose::new("Batteries flat every morning"),
                tags: Tags::default(),
                start,
            };
            JobId(self.ask(Command::OpenJob(new)).unwrap().later(1))
        }

        fn item(&mut self, job: JobId, count: u32) -> ItemId {
            let item = ItemFacts { what: Label::new("Bolt"), count: Count(count), ..ItemFacts::default() };
            ItemId(self.ask(Command::TakeOff { job, item }).unwrap())
        }
    }

    #[test]
    fn one_request_opens_a_job_on_a_new_boat_with_the_clock_running() {
        let mut bench = Bench::new();
        let job = bench.job();
        let opened = bench.book.jobs.job(job).unwrap();
        assert_eq!(bench.book.fleet.boat(opened.boat).unwrap().facts.name.as_str(), "Heron");
        assert_eq!(bench.book.jobs.lines_of(job).count(), 1);
        assert_eq!(bench.book.ledger.running().map(|span| span.on), Some(On::Job(job)));
    }

    #[test]
    fn the_clock_refuses_what_makes_no_sense() {
        let mut bench = Bench::new();
        let job = bench.job();
        let at = |activity, on| Command::SwitchClock { to: Doing::At { activity, on } };
        assert_eq!(bench.ask(at(Activity::Diagnosis, On::Job(job))), Err(Refusal::AlreadyDoing));
        assert_eq!(bench.ask(at(Activity::MealPeriod, On::Job(job))), Err(Refusal::PauseOnJob));
        assert!(bench.ask(at(Activity::MealPeriod, On::NoJob)).is_ok());
        assert!(bench.ask(Command::UndoTap).is_ok());
        assert_eq!(bench.book.ledger.running().map(|span| span.activity), Some(Activity::Diagnosis));
        assert!(bench.ask(Command::UndoTap).is_ok());
        assert_eq!(bench.ask(Command::UndoTap), Err(Refusal::NothingToUndo));
        assert_eq!(bench.ask(Command::SwitchClock { to: Doing::Off }), Err(Refusal::AlreadyDoing));
    }

    #[test]
    fn a_mend_is_refused_with_what_to_do_instead() {
        let mut bench = Bench::new();
        let job = bench.job();
        let at = |text| Moment::parse(text).unwrap();
        let nobody = JobId(EventId { device: DeviceId::new([9; 8]), seq: 1 });
        let doing = |activity, on| Doing::At { activity, on };
        let labour = doing(Activity::Labour, On::Job(job));
        bench.now = at("2026-05-04T12:00:00+01:00");
        for (from, to, doing, said) in [
            ("2026-05-04T09:00:00+01:00", "2026-05-04T09:00:00+01:00", labour, Err(Refusal::NoTime)),
            ("2026-05-04T10:00:00+01:00", "2026-05-04T09:00:00+01:00", labour, Err(Refusal::NoTime)),
            ("2026-05-04T11:00:00+01:00", "2026-05-04T12:00:00.001+01:00", labour, Err(Refusal::InTheFuture)),
            ("2026-05-03T08:59:59+01:00", "2026-05-04T09:00:00+01:00", labour, Err(Refusal::LongerThanADay)),
            (
                "2026-05-04T09:00:00+01:00",
                "2026-05-04T10:00:00+01:00",
                doing(Activity::Labour, On::Job(nobody)),
                Err(Refusal::Unknown("job")),
            ),
            (
                "2026-05-04T09:00:00+01:00",
                "2026-05-04T10:00:00+01:00",
                doing(Activity::RestPeriod, On::Job(job)),
                Err(Refusal::PauseOnJob),
            ),
            (
                "2026-05-04T09:00:00+01:00",
                "2026-05-04T10:00:00+01:00",
                doing(Activity::Diagnosis, On::Job(job)),
                Err(Refusal::ChangesNothing),
            ),
            ("2026-05-04T06:00:00+01:00", "2026-05-04T08:00:00+01:00", Doing::Off, Err(Refusal::ChangesNothing)),
            // The same instant told in another place is still the present.
            ("2026-05-03T11:00:00+00:00", "2026-05-04T11:00:00+00:00", labour, Ok(())),
            ("2026-05-04T09:00:00+01:00", "2026-05-04T10:00:00+01:00", labour, Err(Refusal::ChangesNothing)),
            ("2026-05-04T09:00:00+01:00", "2026-05-04T12:00:00+01:00", Doing::Off, Ok(())),
        ] {
            let mend = Mend { from: at(from), to: at(to), doing, reason: Label::new("forgot to tap") };
            assert_eq!(bench.ask(Command::Mend(mend)).map(drop), said, "{from} to {to}");
        }
        assert_eq!(bench.book.ledger.running().map(|span| span.from), Some(bench.now));
    }

    #[test]
    fn billing_tags_and_captions_need_what_they_are_about() {
        let mut bench = Bench::new();
        let job = bench.job();
        let line = bench.book.jobs.lines_of(job).next().unwrap().id;
        let tags = Tags::new(["lift", "", "engine out", "lift"].map(Label::new).to_vec());
        bench.ask(Command::BillLine { line, billing: Billing::Flat { minutes: 90 } }).unwrap();
        bench.ask(Command::TagJob { job, tags }).unwrap();
        assert_eq!(bench.book.jobs.line(line).unwrap().billing, Billing::Flat { minutes: 90 });
        let words: Vec<&str> = bench.book.jobs.job(job).unwrap().tags.words().iter().map(Label::as_str).collect();
        assert_eq!(words, ["engine out", "lift"]);
        let nothing = EventId { device: DeviceId::new([9; 8]), seq: 1 };
        let bill = Command::BillLine { line: LineId(nothing), billing: Billing::NoCharge };
        assert_eq!(bench.ask(bill), Err(Refusal::Unknown("job line")));
        let tag = Command::TagJob { job: JobId(nothing), tags: Tags::default() };
        assert_eq!(bench.ask(tag), Err(Refusal::Unknown("job")));
        let caption = Command::Caption { photo: PhotoId(nothing), caption: Label::new("Bolts") };
        assert_eq!(bench.ask(caption), Err(Refusal::Unknown("photo")));
    }

    #[test]
    fn the_shops_rules_are_said_taken_back_and_refused_when_they_make_no_sense() {
        let mut bench = Bench::new();
        assert_eq!(bench.ask(Command::SetShopRules(ShopRules::default())), Err(Refusal::SameRules));
        let rules = ShopRules { usual_end: TimeOfDay::at_minute(1_000), ..ShopRules::default() };
        let said = bench.ask(Command::SetShopRules(rules)).unwrap();
        assert_eq!((bench.book.shop.rules(), bench.book.shop.chosen()), (rules, Some(rules)));
        let weekly = Length::from_ms(0);
        let none = ShopRules { overtime: Overtime { weekly, ..rules.overtime }, ..rules };
        let refusal = bench.ask(Command::SetShopRules(none)).unwrap_err();
        assert_eq!(refusal, Refusal::Senseless(Senseless::Weekly));
        assert_eq!(refusal.to_string(), "a workweek has 168 hours: enter from 1 to 168");
        bench.ask(Command::Withdraw { event: said }).unwrap();
        assert_eq!((bench.book.shop.rules(), bench.book.shop.chosen()), (ShopRules::default(), None));
        // Said by something else than this program they are a fault and change nothing.
        let (_, sealed) = crate::exchange::line::seal(bench.tip.record(bench.now, Event::ShopRulesSet(none)));
        bench.book.apply(&sealed.record);
        assert_eq!(bench.book.faults, [crate::book::Fault::NoSuchRules { record: sealed.record.id }]);
        assert_eq!(bench.book.shop.chosen(), None);
    }

    #[test]
    fn a_job_is_opened_with_its_tags() {
        let mut bench = Bench::new();
        let boat = bench.book.fleet.boats().next().map(|boat| boat.id);
        assert_eq!(boat, None);
        let new = NewJob {
            boat: BoatChoice::New(BoatFacts { name: Label::new("Heron"), ..BoatFacts::default() }),
            engine: None,
            title: Label::new("Impeller"),
            pay: PayType::CustomerPay,
            complaint: Prose::default(),
            tags: Tags::typed("impeller, twin,, impeller"),
            start: Some(Activity::Labour),
        };
        let job = JobId(bench.ask(Command::OpenJob(new)).unwrap().later(1));
        let tags = &bench.book.jobs.job(job).unwrap().tags;
        assert_eq!((tags.text().as_str(), tags.toggled("twin").text().as_str()), ("impeller, twin", "impeller"));
        assert_eq!(tags.toggled("port"), Tags::typed("impeller,port,twin"));
        assert_eq!(bench.book.ledger.running().map(|span| span.on), Some(On::Job(job)));
    }

    #[test]
    fn undoing_an_undo_brings_the_tap_back() {
        let mut bench = Bench::new();
        bench.job();
        let undo = bench.ask(Command::UndoTap).unwrap();
        assert_eq!(bench.book.ledger.running(), None);
        let redo = bench.ask(Command::Withdraw { event: undo }).unwrap();
        assert!(bench.book.ledger.running().is_some());
        bench.ask(Command::Withdraw { event: redo }).unwrap();
        assert_eq!(bench.book.ledger.running(), None);
    }

    #[test]
    fn nothing_is_taken_back_twice() {
        let mut bench = Bench::new();
        let job = bench.job();
        let note = bench.ask(Command::WriteNote { about: About::Job(job), text: Prose::new("Belt is worn") }).unwrap();
        let back = bench.ask(Command::Withdraw { event: note }).unwrap();
        assert_eq!(bench.ask(Command::Withdraw { event: note }), Err(Refusal::NotToBeTakenBack));
        let again = bench.ask(Command::Withdraw { event: back }).unwrap();
        assert_eq!(bench.ask(Command::Withdraw { event: back }), Err(Refusal::NotToBeTakenBack));
        assert_eq!(bench.book.evidence.notes().count(), 1);
        bench.ask(Command::Withdraw { event: again }).unwrap();
        assert_eq!(bench.book.evidence.notes().count(), 0);
        assert_eq!(bench.ask(Command::Withdraw { event: job.0 }), Err(Refusal::NotToBeTakenBack));
    }

    #[test]
    fn a_line_added_by_mistake_goes_and_its_time_stays_on_the_job() {
        let mut bench = Bench::new();
        let job = bench.job();
        let add = Command::AddLine { job, pay: PayType::Warranty, complaint: Prose::default() };
        let line = LineId(bench.ask(add).unwrap());
        let on = On::Line(line);
        bench.ask(Command::SwitchClock { to: Doing::At { activity: Activity::Labour, on } }).unwrap();
        bench.ask(Command::Withdraw { event: line.0 }).unwrap();
        assert_eq!(bench.book.jobs.lines_of(job).count(), 1);
        assert_eq!(bench.book.job_of(on), Some(job));
    }

    #[test]
    fn a_job_without_an_engine_is_on_the_boats_only_one() {
        let mut bench = Bench::new();
        let job = bench.job();
        let engine_of = |bench: &Bench| bench.book.engine_of(bench.book.jobs.job(job).unwrap()).map(|engine| engine.id);
        assert_eq!(engine_of(&bench), None);
        let boat = bench.book.jobs.job(job).unwrap().boat;
        let add = Command::AddEngine { boat, facts: EngineFacts::default(), hours: None };
        let first = EngineId(bench.ask(add.clone()).unwrap());
        assert_eq!(engine_of(&bench), Some(first));
        bench.ask(add).unwrap();
        assert_eq!(engine_of(&bench), None);
    }

    #[test]
    fn counting_back_on_is_exact() {
        let mut bench = Bench::new();
        let job = bench.job();
        let bolts = bench.item(job, 12);
        let back = |count| Command::PutBack { item: bolts, count: Count(count) };
        bench.ask(back(11)).unwrap();
        assert_eq!(bench.book.teardown.item(bolts).unwrap().still_off(), Count(1));
        let refusal = bench.ask(back(2)).unwrap_err();
        assert_eq!(refusal, Refusal::TooManyBack { off: Count(12), settled: Count(11), asked: Count(2) });
        let last = bench.ask(back(1)).unwrap();
        assert_eq!(bench.book.teardown.still_off(job).count(), 0);
        bench.ask(Command::Withdraw { event: last }).unwrap();
        assert_eq!(bench.book.teardown.item(bolts).unwrap().still_off(), Count(1));
        let facts = ItemFacts { what: Label::new("Bolt"), count: Count(5), ..ItemFacts::default() };
        let fewer = bench.ask(Command::AmendItem { item: bolts, facts });
        assert_eq!(fewer, Err(Refusal::FewerThanBack { settled: Count(11) }));
    }

    #[test]
    fn what_was_put_back_twice_is_not_brought_back_twice() {
        let mut bench = Bench::new();
        let job = bench.job();
        let bolts = bench.item(job, 3);
        let all = Command::PutBack { item: bolts, count: Count(3) };
        let first = bench.ask(all.clone()).unwrap();
        let undo = bench.ask(Command::Withdraw { event: first }).unwrap();
        bench.ask(all).unwrap();
        let refusal = bench.ask(Command::Withdraw { event: undo });
        assert_eq!(refusal, Err(Refusal::TooManyBack { off: Count(3), settled: Count(3), asked: Count(3) }));
    }

    #[test]
    fn empty_names_and_foreign_things_are_refused() {
        let mut bench = Bench::new();
        let nobody = JobId(EventId { device: DeviceId::new([9; 8]), seq: 1 });
        assert_eq!(bench.ask(Command::FinishJob { job: nobody }), Err(Refusal::Unknown("job")));
        assert_eq!(bench.ask(Command::AddBoat(BoatFacts::default())), Err(Refusal::Nameless("the boat's name")));
        let long = Prose::new(&"x".repeat(LONGEST_PROSE + 1));
        let note = Command::WriteNote { about: About::Day, text: long };
        assert_eq!(bench.ask(note), Err(Refusal::TooLong(LONGEST_PROSE + 1)));
    }

    fn head_bolts(value: Option<(&str, &str)>) -> Box<GroupFacts> {
        let read = |(text, page)| {
            let source = Source { manual: Label::new("Service manual 3"), page: Label::new(page) };
            Entered { target: Target::parse(text, TorqueUnit::NewtonMetre).unwrap(), source }
        };
        Box::new(GroupFacts {
            what: Label::new("Cylinder head"),
            side: Label::new("port"),
            pattern: Pattern::of(Layout::Circle(8)).unwrap(),
            numbering: Numbering::ByPosition,
            entered: value.map(read),
            shares: Shares::default(),
            hardware: Hardware::default(),
            needed: None,
        })
    }

    #[test]
    fn a_torque_value_is_kept_only_with_where_it_stands() {
        let mut bench = Bench::new();
        let job = bench.job();
        let mut add = |facts| bench.ask(Command::AddGroup { job, facts });
        let refusal = add(head_bolts(Some(("45 Nm", "")))).unwrap_err();
        assert_eq!(refusal.to_string(), "Say on which page of the manual it stands.");
        assert!(add(head_bolts(Some(("45 Nm", "4-12")))).is_ok() && add(head_bolts(None)).is_ok());
        let nameless = Box::new(GroupFacts { what: Label::default(), ..*head_bolts(None) });
        assert_eq!(add(nameless), Err(Refusal::Nameless("what is tightened")));
    }

    #[test]
    fn a_fastener_is_tightened_once_in_a_pass_until_that_is_taken_back() {
        let mut bench = Bench::new();
        let job = bench.job();
        let group = GroupId(bench.ask(Command::AddGroup { job, facts: head_bolts(None) }).unwrap());
        let tap = |pass, place| Command::Tighten { group, step: Step { pass, place: Place(place) } };
        let first = bench.ask(tap(1, 1)).unwrap();
        assert_eq!(bench.ask(tap(1, 1)), Err(Refusal::Slip(Slip::AlreadyDone)));
        assert_eq!(bench.ask(tap(1, 9)), Err(Refusal::Slip(Slip::NotHere)));
        assert_eq!(bench.ask(tap(5, 1)), Err(Refusal::Slip(Slip::NotHere)));
        // Another order than the pattern's happens, and is told.
        bench.ask(tap(2, 3)).unwrap();
        let taken_back = bench.ask(Command::Withdraw { event: first }).unwrap();
        bench.ask(tap(1, 1)).unwrap();
        bench.ask(Command::Withdraw { event: taken_back }).unwrap();
        assert_eq!(bench.book.tightening.group(group).unwrap().state().progress().0, 2);
        bench.ask(Command::Withdraw { event: group.0 }).unwrap();
        assert_eq!(bench.ask(tap(1, 2)), Err(Refusal::Unknown("group")));
        let wrench = Command::TakeWrench { group, wrench: Wrench::default(), lever: None };
        assert_eq!(bench.ask(wrench), Err(Refusal::Nameless("what the wrench is called")));
    }

    #[test]
    fn an_hour_meter_does_not_run_back() {
        let mut bench = Bench::new();
        let job = bench.job();
        let boat = bench.book.jobs.job(job).unwrap().boat;
        let hours = |text| EngineHours::parse(text).unwrap();
        let add = Command::AddEngine { boat, facts: EngineFacts::default(), hours: Some(hours("812.5")) };
        let engine = EngineId(bench.ask(add).unwrap());
        let less = bench.ask(Command::ReadHours { engine, hours: hours("81.2") });
        assert_eq!(less, Err(Refusal::HoursBackwards { last: hours("812.5") }));
        bench.ask(Command::ReadHours { engine, hours: hours("815") }).unwrap();
        assert_eq!(bench.book.fleet.engine(engine).unwrap().last_hours(), Some(hours("815")));
    }
}
