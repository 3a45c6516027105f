//! The vocabulary: everything that a person can say to the program.
//!
//! An event states what happened and is never changed; corrections are events
//! too. What can be derived is not in an event. A thing is named by the event
//! that made it, so an event that makes one carries only its facts.
//!
//! The enum is closed. A new kind raises the version of the written form
//! ([`crate::exchange::line`]), where each kind has its own wire struct.

mod agreement;
pub mod belongs;
mod marks;
mod procedure;
mod reader;
mod reading;
mod shop;
mod teardown;
mod tightening;
mod visit;
mod warranty;

pub use agreement::{Recommendation, Reply};
pub use marks::{Mark, Sound, Spot, VoiceFacts, WHOLE};
pub use procedure::{
    Condition, Drive, ExpectedItem, ExpectedReading, Fasteners, Fuel, Picture, Procedure, ProcedureStep, StepNumber,
    Traits,
};
pub use reader::{Language, Measures, Reader};
pub use reading::{ReadingFacts, TakenFor};
pub use shop::{Senseless, ShopRules};
pub use teardown::{Check, Consumable, Details, ItemKind, OpenEnd, Renew};
pub use tightening::{GroupFacts, Hardware};
pub use visit::{Asker, NextVisit, VisitTime};
pub use warranty::{FailedPart, Fate, Shows, Stage};

use crate::agreement::consent::Consent;
use crate::agreement::estimate::Estimate;
use crate::id::{
    BlobId, BoatId, EngineId, EventId, FailedId, GroupId, ItemId, JobId, LineId, PhotoId, ProcedureId, ReadingId,
    RecommendationId, StartId, StepId, VersionId, VisitId,
};
use crate::moment::{Day, Moment};
use crate::order;
use crate::quantity::{Count, EngineHours, Power};
use crate::reading::Kind;
use crate::reading::limits::Limits;
use crate::reassembly::gate::Need;
use crate::reassembly::tally::Instead;
use crate::reassembly::ties::{Freed, Tie};
use crate::text::{Label, Prose};
use crate::tightening::group::Step;
use crate::tightening::wrench::{Lever, Wrench};

/// What happened.
#[derive(Clone, Debug, PartialEq, Eq)]
#[expect(missing_docs, reason = "each kind is told above it; the fields' names and types say the rest")]
pub enum Event {
    /// Who works here, as documents shall name them.
    TechnicianNamed { name: Label, shop: Label },

    /// A boat is in the book from now on.
    BoatAdded(BoatFacts),
    /// A boat's facts are these from now on.
    BoatAmended { boat: BoatId, facts: BoatFacts },
    /// A boat has this engine.
    EngineAdded { boat: BoatId, facts: EngineFacts },
    /// An engine's facts are these from now on.
    EngineAmended { engine: EngineId, facts: EngineFacts },
    /// The hour meter was read.
    EngineHoursRead { engine: EngineId, hours: EngineHours },

    /// Work on a boat, perhaps on one of its engines.
    JobOpened { boat: BoatId, engine: Option<EngineId>, title: Label },
    /// A job is called this from now on.
    JobRetitled { job: JobId, title: Label },
    /// Nothing is left to do on the job.
    JobFinished { job: JobId },
    /// There is something to do on the job again.
    JobReopened { job: JobId },
    /// A job has one more line.
    LineAdded { job: JobId, pay: PayType, complaint: Prose },
    /// A line is paid like this from now on.
    PayTypeSet { line: LineId, pay: PayType },
    /// A part of a line's story reads like this from now on.
    StoryTold { line: LineId, part: StoryPart, text: Prose },

    /// From this instant the technician does something else.
    ClockSwitched { to: Doing },

    /// Something came off a machine.
    CameOff { job: JobId, item: ItemFacts },
    /// The facts of something that came off are these from now on.
    ItemAmended { item: ItemId, facts: ItemFacts },
    /// So many of an item are back on.
    BackOn { item: ItemId, count: Count },

    /// A job's checklist has one more step.
    StepAdded { job: JobId, text: Label },
    /// A step is done, or not done after all.
    StepTicked { step: StepId, done: bool },

    /// Something worth remembering.
    NoteWritten { about: About, text: Prose },
    /// A photo, and what it shows.
    PhotoTaken { about: About, photo: PhotoFacts },

    /// A part went into a job.
    PartUsed { job: JobId, part: PartFacts },

    /// An earlier event was a mistake and counts no more; withdrawing a
    /// withdrawal makes it count again.
    Withdrawn { event: EventId },

    /// A document left the phone.
    HandedOver { what: Document, way: Way, file: BlobId },

    /// Between two instants the technician was in fact doing something else.
    Mended(Mend),
    /// A line is billed like this from now on.
    LineBilled { line: LineId, billing: Billing },
    /// A job has these tags, and no others, from now on.
    JobTagged { job: JobId, tags: Tags },
    /// A photo shows this.
    PhotoCaptioned { photo: PhotoId, caption: Label },

    /// A job has a group of fasteners that are tightened together.
    GroupAdded { job: JobId, facts: Box<GroupFacts> },
    /// A group's facts are these from now on; another value, shape or row of passes begins it anew.
    GroupAmended { group: GroupId, facts: Box<GroupFacts> },
    /// A group is tightened with this wrench from now on, perhaps with an adapter.
    WrenchTaken { group: GroupId, wrench: Wrench, lever: Option<Lever> },
    /// A fastener is tight in a pass.
    FastenerTightened { group: GroupId, step: Step },
    /// An engine is of this make-up from now on.
    EngineDescribed { engine: EngineId, traits: Traits },
    /// A procedure is in the book from now on, perhaps made from a job.
    ProcedureKept { procedure: Procedure, from: Option<JobId> },
    /// A procedure reads like this from now on.
    ProcedureAmended { procedure: ProcedureId, to: Procedure },
    /// A job is done by this version of a procedure.
    ProcedureStarted { job: JobId, version: VersionId },
    /// A step of a procedure that was started is on the job's checklist.
    StepTaken { start: StartId, number: StepNumber, text: Label },
    /// Something was forgotten on a job, so that its procedure says so the next time.
    Forgotten { job: JobId, step: Option<StepId>, what: Label },

    /// Something was measured.
    ReadingTaken { taken_for: TakenFor, reading: Box<ReadingFacts> },
    /// A reading belongs to this job and engine from now on, or to none.
    ReadingAssigned { reading: ReadingId, to: TakenFor },
    /// An engine's own limits for a kind of reading are these, and no others, from now on.
    LimitsSet { engine: EngineId, kind: Kind, limits: Box<Limits> },
    /// An item goes on before another, whatever the order of removal.
    Tied(Tie),
    /// Two items of one side do not wait for each other.
    Freed(Freed),
    /// Some of an item do not go back on: replaced, or left off on purpose.
    DoneInstead { item: ItemId, instead: Instead },
    /// Somebody looked whether an item is on as it has to be.
    MadeSure { item: ItemId, check: Check },
    /// A step is needed for this, or for nothing, before the engine runs.
    StepNeeded { step: StepId, need: Option<Need> },
    /// A photo has these marks, and no others, from now on.
    PhotoMarked { photo: PhotoId, marks: Vec<Mark> },
    /// Something was said aloud.
    VoiceNoted { about: About, voice: VoiceFacts },
    /// The shop pays, bills and counts time like this.
    ShopRulesSet(ShopRules),

    /// Work on a job is expected to cost this; the last estimate stands.
    EstimateMade { job: JobId, estimate: Box<Estimate> },
    /// Somebody agreed to an estimate, to more than it, or to the work as it was done.
    ConsentGiven { job: JobId, consent: Box<Consent> },
    /// Something should be done beyond what was agreed.
    Recommended { job: JobId, recommendation: Box<Recommendation> },
    /// The owner wants what was recommended, or does not.
    RecommendationAnswered { recommendation: RecommendationId, reply: Reply },
    /// A boat's owner reads this language and these units.
    OwnerReads { boat: BoatId, reader: Reader },
    /// Two photos show the same thing, before the work and after it.
    PhotosPaired { before: PhotoId, after: PhotoId, what: Label },
    /// A part failed, on the line that it is claimed on.
    PartFailed { line: LineId, part: Box<FailedPart> },
    /// What is known of a part that failed is this from now on.
    FailedPartAmended { failed: FailedId, part: Box<FailedPart> },
    /// A photo proves this, or nothing in particular.
    PhotoShows { photo: PhotoId, shows: Option<Shows> },
    /// A reading was taken before the repair, after it, or neither.
    ReadingStaged { reading: ReadingId, stage: Option<Stage> },
    /// A document was made; that it left is said by itself.
    DocumentMade { what: Document, file: BlobId },
    /// A visit is planned to a job's boat.
    NextVisitPlanned { job: JobId, visit: Box<NextVisit> },
    /// A job is a visit that was planned.
    NextVisitMade { visit: VisitId, job: JobId },
}

/// What is known of a boat.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct BoatFacts {
    /// Her name.
    pub name: Label,
    /// Whose she is.
    pub owner: Label,
    /// Where she lies.
    pub berth: Label,
    /// Hull identification number as read off the hull.
    pub hin: Label,
}

/// What is known of an engine.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct EngineFacts {
    /// Which one: "port", "starboard", "generator"; empty on a boat with one.
    pub place: Label,
    /// Model as free text.
    pub model: Label,
    /// Serial number.
    pub serial: Label,
    /// Year of make.
    pub year: Option<u16>,
    /// Rated power.
    pub power: Option<Power>,
}

/// Who pays for a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PayType {
    /// The customer.
    CustomerPay,
    /// The maker, under warranty.
    Warranty,
    /// The shop itself.
    Internal,
}

impl PayType {
    /// All, in the order in which they are offered.
    pub const ALL: [PayType; 3] = [PayType::CustomerPay, PayType::Warranty, PayType::Internal];

    /// Returns the trade's words.
    pub const fn words(self) -> &'static str {
        match self {
            PayType::CustomerPay => "customer pay",
            PayType::Warranty => "warranty",
            PayType::Internal => "internal",
        }
    }
}

/// The three parts of a line's story.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum StoryPart {
    /// What the customer says is wrong.
    Complaint,
    /// What was found.
    Cause,
    /// What was done.
    Correction,
}

impl StoryPart {
    /// All, in the order of the story.
    pub const ALL: [StoryPart; 3] = [StoryPart::Complaint, StoryPart::Cause, StoryPart::Correction];

    /// Returns the trade's word.
    pub const fn words(self) -> &'static str {
        match self {
            StoryPart::Complaint => "complaint",
            StoryPart::Cause => "cause",
            StoryPart::Correction => "correction",
        }
    }
}

/// A kind of work or of pause.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Activity {
    /// Repairing, fitting, testing.
    Labour,
    /// Finding what is wrong.
    Diagnosis,
    /// On the way between shop, yard and jobs.
    Travel,
    /// Fetching parts.
    PartsRun,
    /// Waiting for a lift, a berth, a customer.
    Waiting,
    /// Writing, calling, ordering.
    Paperwork,
    /// A meal period.
    MealPeriod,
    /// A short rest period.
    RestPeriod,
}

impl Activity {
    /// All, in the order in which they are offered.
    pub const ALL: [Activity; 8] = [
        Activity::Labour,
        Activity::Diagnosis,
        Activity::Travel,
        Activity::PartsRun,
        Activity::Waiting,
        Activity::Paperwork,
        Activity::MealPeriod,
        Activity::RestPeriod,
    ];

    /// Returns the trade's words.
    pub const fn words(self) -> &'static str {
        match self {
            Activity::Labour => "labour",
            Activity::Diagnosis => "diagnosis",
            Activity::Travel => "travel",
            Activity::PartsRun => "parts run",
            Activity::Waiting => "waiting",
            Activity::Paperwork => "paperwork",
            Activity::MealPeriod => "meal period",
            Activity::RestPeriod => "rest period",
        }
    }

    /// Tells whether this is a pause and so never on a job.
    pub const fn is_pause(self) -> bool {
        matches!(self, Activity::MealPeriod | Activity::RestPeriod)
    }
}

/// What an activity is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum On {
    /// No job.
    NoJob,
    /// A job, whichever of its lines.
    Job(JobId),
    /// One line of a job.
    Line(LineId),
}

/// What the technician does from a tap of the clock on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Doing {
    /// Off the clock.
    Off,
    /// An activity, on a job or on none.
    At {
        /// What kind of work.
        activity: Activity,
        /// For what.
        on: On,
    },
}

/// What was in fact done between two instants, whatever the clock said then.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mend {
    /// From when on.
    pub from: Moment,
    /// Until when, not included.
    pub to: Moment,
    /// What was done.
    pub doing: Doing,
    /// Why the clock said something else; may be empty.
    pub reason: Label,
}

/// How a line is billed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Billing {
    /// So many hours as the clock says.
    #[default]
    ByClock,
    /// So much, however long it took.
    Flat {
        /// Minutes.
        minutes: u32,
    },
    /// Nothing.
    NoCharge,
}

/// Words under which a job is found again: in order, each once, none of them empty.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Tags(Vec<Label>);

impl Tags {
    /// Returns these words as tags.
    pub fn new(mut words: Vec<Label>) -> Self {
        words.retain(|word| !word.is_empty());
        let mut words = order::by_key(words, Label::clone);
        words.dedup();
        Self(words)
    }

    /// Returns the tags that are typed with commas between them.
    pub fn typed(text: &str) -> Self {
        Self::new(text.split(',').map(Label::new).collect())
    }

    /// Returns them as they are typed.
    pub fn text(&self) -> String {
        self.0.iter().map(Label::as_str).collect::<Vec<_>>().join(", ")
    }

    /// Returns them with this word, or without it where they have it.
    pub fn toggled(&self, word: &str) -> Self {
        let word = Label::new(word);
        let mut words = self.0.clone();
        if words.contains(&word) {
            words.retain(|one| *one != word);
        } else {
            words.push(word);
        }
        Self::new(words)
    }

    /// Returns the words.
    pub fn words(&self) -> &[Label] {
        &self.0
    }
}

/// What is known of something that came off.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub struct ItemFacts {
    /// What it is.
    pub what: Label,
    /// On which side of the machine.
    pub side: Label,
    /// How many, at least one.
    pub count: Count,
    /// Which size, as read or measured.
    pub size: Label,
    /// Where it lies now.
    pub stowed: Label,
    /// What more is known of it.
    pub details: Details,
}

/// What a note or a photo is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum About {
    /// The day as such.
    Day,
    /// A job.
    Job(JobId),
    /// Something that came off.
    Item(ItemId),
    /// A step of a checklist.
    Step(StepId),
    /// A reading: the gauge that showed it.
    Reading(ReadingId),
    /// A group of fasteners.
    Group(GroupId),
}

/// What is known of a photo.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PhotoFacts {
    /// The name of its bytes, a JPEG.
    pub blob: BlobId,
    /// How many bytes.
    pub bytes: u32,
    /// Width in pixels, upright.
    pub width: u16,
    /// Height in pixels, upright.
    pub height: u16,
    /// What it shows, in the technician's words.
    pub caption: Label,
    /// When the camera says it was taken.
    pub taken: Option<Moment>,
    /// Where, only when the technician asked to keep it.
    pub position: Option<Position>,
}

/// A place on earth (WGS 84), in ten-millionths of a degree.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Position {
    /// Degrees north times 10^7.
    pub lat_e7: i32,
    /// Degrees east times 10^7.
    pub lon_e7: i32,
}

/// What is known of a part used.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PartFacts {
    /// What it is.
    pub what: Label,
    /// Part number as on the packet.
    pub number: Label,
    /// How many.
    pub count: Count,
}

/// A document that can leave the phone.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Document {
    /// The office's file of a day.
    DayBundle {
        /// The local day.
        day: Day,
        /// The day's lines as a table instead of the page.
        table: bool,
    },
    /// A further table of a day for the office.
    DayTable {
        /// The local day.
        day: Day,
        /// Of what.
        of: DayTable,
    },
    /// The owner's summary of a job.
    OwnerSummary {
        /// The job.
        job: JobId,
    },
    /// What a claim for warranty on a job's line needs.
    WarrantyPack {
        /// The line.
        line: LineId,
    },
    /// One job, for another technician to go on with.
    JobFile {
        /// The job.
        job: JobId,
    },
    /// Everything, to come back the same; up to this record of this device.
    Backup {
        /// The running number of the last record in it.
        up_to: u64,
    },
    /// A procedure as it then read, for another phone.
    Procedure {
        /// Which version.
        version: VersionId,
    },
    /// What was agreed with a job's owner: the estimate, consents and signatures.
    Agreement {
        /// The job.
        job: JobId,
    },
}

/// What a further table of a day tells.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum DayTable {
    /// Each line of the day's jobs: clock hours and billed hours.
    Billing,
    /// The trail of the day's mends.
    Mends,
}

impl DayTable {
    /// All, in the order in which they are offered.
    pub const ALL: [DayTable; 2] = [DayTable::Billing, DayTable::Mends];
}

/// How a document left.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Way {
    /// Taken by an app of the share sheet, as the browser says.
    Shared,
    /// Given to the browser as a download.
    Downloaded,
}
