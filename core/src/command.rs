//! What may be asked for, and what it comes to.
//!
//! [`decide`] turns a request into the events that say it, without changing
//! anything; or it refuses, in words that say what to do instead. A request may
//! be refused; a thing that happened may not. What only *might* be wrong (a job
//! finished with items still off) is not refused but shown where it matters.

mod agreement;
mod drawing;
mod off_list;
mod pairs;
mod procedures;
mod quick;
mod reading;
mod refusal;
mod visit;

use crate::agreement::consent::Consent;
use crate::agreement::estimate::Estimate;
use crate::book::Book;
use crate::book::ledger::{LONGEST_MEND, Stretch};
use crate::event::{
    About, Activity, Billing, BoatFacts, Check, Document, Doing, EngineFacts, Event, FailedPart, GroupFacts, ItemFacts,
    Mark, Mend, NextVisit, On, PartFacts, PayType, PhotoFacts, Procedure, Reader, ReadingFacts, Recommendation, Reply,
    ShopRules, Shows, Stage, StoryPart, Tags, TakenFor, Traits, VoiceFacts, Way,
};
use crate::id::{
    BlobId, BoatId, EngineId, EventId, FailedId, GroupId, ItemId, JobId, LineId, PhotoId, ProcedureId, ReadingId,
    RecommendationId, StepId, VersionId, VisitId,
};
use crate::moment::{Length, Moment};
use crate::quantity::{Count, EngineHours};
use crate::reading::Kind;
use crate::reading::limits::Limits;
use crate::reassembly::gate::Need;
use crate::reassembly::tally::{How, Instead};
use crate::reassembly::ties::{Freed, Tie};
use crate::text::{LONGEST_PROSE, Label, Prose};
use crate::tightening::group::{Step, Tap};
use crate::tightening::wrench::{Lever, Wrench};

pub use drawing::MOST_SPOTS;
pub use quick::{Quick, Request};
pub use refusal::Refusal;

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
    ReadHours {
        /// The engine.
        engine: EngineId,
        /// What its meter shows.
        hours: EngineHours,
        /// Whether somebody looked again and it is less than the last all the same.
        sure: bool,
    },
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
    PutReading { reading: ReadingId, job: Option<JobId>, engine: Option<EngineId> },
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
    /// Draw a mark on a photo, draw it in the place of another, or take that one away.
    Draw { photo: PhotoId, instead_of: Option<Mark>, mark: Option<Mark> },
    /// Add a voice note whose bytes are kept in the same action.
    TakeVoice { about: About, voice: VoiceFacts },
    /// Say what work on a job is expected to cost.
    MakeEstimate { job: JobId, estimate: Box<Estimate> },
    /// Say that somebody agreed.
    GiveConsent { job: JobId, consent: Box<Consent> },
    /// Recommend work beyond what was agreed.
    Recommend { job: JobId, recommendation: Box<Recommendation> },
    /// Say what the owner answered to a recommendation.
    AnswerRecommendation { recommendation: RecommendationId, reply: Reply },
    /// Say which language and units a boat's owner reads.
    SetReader { boat: BoatId, reader: Reader },
    /// Say that two photos of a job show the same thing before and after.
    PairPhotos { before: PhotoId, after: PhotoId, what: Label },
    /// Say that a part failed, on the line that it is claimed on.
    FailPart { line: LineId, part: Box<FailedPart> },
    /// Put right what is known of a part that failed.
    AmendFailed { failed: FailedId, part: Box<FailedPart> },
    /// Say what a photo proves.
    SayShows { photo: PhotoId, shows: Option<Shows> },
    /// Say whether a reading was before the repair or after it.
    StageReading { reading: ReadingId, stage: Option<Stage> },
    /// Note that a document was made.
    NoteMade { what: Document, file: BlobId },
    /// Plan a visit to the boat of a job.
    PlanVisit { job: JobId, visit: Box<NextVisit> },
    /// Say that a job is a visit that was planned.
    MakeVisit { visit: VisitId, job: JobId },
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
                | Command::MakeEstimate { .. }
                | Command::GiveConsent { .. }
                | Command::Recommend { .. }
                | Command::AnswerRecommendation { .. }
                | Command::PairPhotos { .. }
                | Command::FailPart { .. }
                | Command::PlanVisit { .. }
                | Command::MakeVisit { .. }
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
        Command::ReadHours { engine, hours, sure } => {
            let last = known(book.fleet.engine(engine), "engine")?.last_hours();
            if let Some(last) = last.filter(|&last| last > hours && !sure) {
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
        Command::SwitchClock { to } => Quick::SwitchClock { to }.event(book)?,
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
        Command::WriteNote { about, text } => Quick::WriteNote { about, text }.event(book)?,
        Command::TakePhoto { about, photo } => {
            known_about(book, about)?;
            Event::PhotoTaken { about, photo }
        }
        Command::UsePart { job, part } => {
            known(book.jobs.job(job), "job")?;
            counted(part.count)?;
            Event::PartUsed { job, part: PartFacts { what: named(part.what, "what the part is")?, ..part } }
        }
        Command::Withdraw { event } => Quick::Withdraw { event }.event(book)?,
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
        Command::PutReading { reading, job, engine } => reading::put(book, reading, job, engine)?,
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
        Command::Draw { photo, instead_of, mark } => drawing::draw(book, photo, instead_of, mark)?,
        Command::TakeVoice { about, voice } => {
            known_about(book, about)?;
            Event::VoiceNoted { about, voice }
        }
        Command::MakeEstimate { job, estimate } => agreement::make(book, job, estimate)?,
        Command::GiveConsent { job, consent } => agreement::consent(book, job, consent, now)?,
        Command::Recommend { job, recommendation } => agreement::recommend(book, job, recommendation)?,
        Command::AnswerRecommendation { recommendation, reply } => agreement::answer(book, recommendation, reply)?,
        Command::SetReader { boat, reader } => {
            known(book.fleet.boat(boat), "boat")?;
            Event::OwnerReads { boat, reader }
        }
        Command::PairPhotos { before, after, what } => {
            pairs::fits(book, before, after)?;
            Event::PhotosPaired { before, after, what }
        }
        Command::FailPart { line, part } => {
            known(book.jobs.line(line), "job line")?;
            Event::PartFailed { line, part: failed_part(part)? }
        }
        Command::AmendFailed { failed, part } => {
            known(book.claims.failed(failed), "failed part")?;
            Event::FailedPartAmended { failed, part: failed_part(part)? }
        }
        Command::SayShows { photo, shows } => {
            known(book.evidence.photo_of(photo), "photo")?;
            Event::PhotoShows { photo, shows }
        }
        Command::StageReading { reading, stage } => {
            known(book.readings.reading(reading), "reading")?;
            Event::ReadingStaged { reading, stage }
        }
        Command::NoteMade { what, file } => Event::DocumentMade { what, file },
        Command::PlanVisit { job, visit } => visit::plan(book, job, visit, now)?,
        Command::MakeVisit { visit, job } => visit::make(book, visit, job)?,
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
        About::Group(group) => known(book.tightening.group(group), "group").map(drop),
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

fn failed_part(mut part: Box<FailedPart>) -> Result<Box<FailedPart>, Refusal> {
    part.what = named(part.what, "which part failed")?;
    Ok(part)
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
mod tests;
