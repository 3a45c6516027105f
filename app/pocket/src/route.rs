//! Where one is in the app, as the fragment of the address.
//!
//! | fragment | place |
//! |----------|-------|
//! | `/now` | what runs, switch, the day as a strip |
//! | `/jobs`, `/jobs/finished` | the jobs |
//! | `/job/<id>/<part>` | a job; parts: `story off steps torque readings photos parts time warranty` |
//! | `/photo/<id>` | a photo, to be drawn on |
//! | `/group/<id>` | a group of fasteners, tightened one by one |
//! | `/bench` | what can be measured and reckoned, and what was, on no job |
//! | `/reading/<kind>`, `/reading/<kind>/<job>` | the form of a reading |
//! | `/step-reading/<step>/<place>` | the form of a reading that a step asks for, by its place in the step's list |
//! | `/course/<engine>/<kind>` | how readings went over time, and own limits |
//! | `/reckon` | torque in other units, with an adapter, general guidance |
//! | `/new-job`, `/new-job/<boat>` | a new job |
//! | `/boats`, `/boat/<id>` | boats and engines |
//! | `/procedures`, `/procedure/<id>` | how work is done |
//! | `/day/<day>` | a day's strip, to be mended |
//! | `/hours/<day>/<period>` | a day, week or month at a glance |
//! | `/rules` | the shop's rules for time |
//! | `/agreement/<job>/<part>` | what was agreed on a job; parts: `whole estimate sign more accept recommend visit` |
//! | `/note`, `/note/<job>` | a quick note |
//! | `/hand-over`, `/hand-over/<day>` | close the day, documents, backup |
//! | `/office` | what came from the phones: days in, bills, hours and pay out |
//!
//! Anything else leads to `/now`.

use quaywright_core::id::{BoatId, EngineId, EventId, GroupId, JobId, PhotoId, ProcedureId, StepId};
use quaywright_core::moment::Day;
use quaywright_core::reading::Kind;
use quaywright_core::view::Period;

/// A place in the app.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Route {
    /// What runs now.
    Now,
    /// The list of jobs.
    Jobs {
        /// The finished ones instead of the open ones.
        finished: bool,
    },
    /// A job.
    Job(JobId, JobPart),
    /// A group of fasteners.
    Group(GroupId),
    /// A photo, to be drawn on.
    Photo(PhotoId),
    /// A new job.
    NewJob {
        /// On this boat.
        boat: Option<BoatId>,
    },
    /// The list of boats.
    Boats,
    /// A boat.
    Boat(BoatId),
    /// The list of procedures.
    Procedures,
    /// A procedure.
    Procedure(ProcedureId),
    /// A day's strip.
    Day(Day),
    /// The day, week or month that holds a day, at a glance.
    Hours(Period, Day),
    /// The shop's rules for time.
    Rules,
    /// A quick note.
    Note {
        /// On this job instead of the running one.
        job: Option<JobId>,
    },
    /// What can be measured and reckoned.
    Bench,
    /// The form of a reading, perhaps for a job.
    Reading(Kind, Option<JobId>),
    /// The form of a reading that a step asks for, by its place in the step's list.
    StepReading(StepId, u8),
    /// How an engine's readings of a kind went.
    Course(EngineId, Kind),
    /// What was agreed on a job.
    Agreement(JobId, AgreementPart),
    /// Torque reckoned freely.
    Reckon,
    /// Closing the day and handing over.
    HandOver {
        /// Another day than today.
        day: Option<Day>,
    },
    /// The office's work.
    Office,
}

/// A part of a job's page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum JobPart {
    /// Complaint, cause, correction.
    Story,
    /// What came off.
    Off,
    /// The checklist.
    Steps,
    /// Groups of fasteners.
    Torque,
    /// What was measured.
    Readings,
    /// Notes and photos.
    Photos,
    /// Parts used.
    Parts,
    /// Time.
    Time,
    /// What claims for warranty need.
    Warranty,
}

impl JobPart {
    /// All parts in their order on the page.
    pub const ALL: [JobPart; 9] = [
        JobPart::Story,
        JobPart::Off,
        JobPart::Steps,
        JobPart::Torque,
        JobPart::Readings,
        JobPart::Photos,
        JobPart::Parts,
        JobPart::Time,
        JobPart::Warranty,
    ];

    /// Returns the part's name in an address.
    pub fn slug(self) -> &'static str {
        match self {
            JobPart::Story => "story",
            JobPart::Off => "off",
            JobPart::Steps => "steps",
            JobPart::Torque => "torque",
            JobPart::Readings => "readings",
            JobPart::Photos => "photos",
            JobPart::Parts => "parts",
            JobPart::Time => "time",
            JobPart::Warranty => "warranty",
        }
    }
}

/// A part of what was agreed on a job.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AgreementPart {
    /// How it stands.
    Whole,
    /// An estimate that is written.
    Estimate,
    /// Agreeing to the estimate.
    Sign,
    /// Agreeing to more than it.
    More,
    /// Accepting the work.
    Accept,
    /// Recommending more.
    Recommend,
    /// Planning the next visit.
    Visit,
}

impl AgreementPart {
    const ALL: [AgreementPart; 7] = [
        AgreementPart::Whole,
        AgreementPart::Estimate,
        AgreementPart::Sign,
        AgreementPart::More,
        AgreementPart::Accept,
        AgreementPart::Recommend,
        AgreementPart::Visit,
    ];

    /// Returns the part's name in an address.
    fn slug(self) -> &'static str {
        match self {
            AgreementPart::Whole => "whole",
            AgreementPart::Estimate => "estimate",
            AgreementPart::Sign => "sign",
            AgreementPart::More => "more",
            AgreementPart::Accept => "accept",
            AgreementPart::Recommend => "recommend",
            AgreementPart::Visit => "visit",
        }
    }
}

impl Route {
    /// Reads a fragment; what is not a place leads to [`Route::Now`].
    pub fn read(fragment: &str) -> Self {
        let mut steps = fragment.split('/').filter(|step| !step.is_empty());
        let (first, second, third) = (steps.next().unwrap_or_default(), steps.next(), steps.next());
        let job = || second.and_then(EventId::parse).map(JobId);
        let boat = || second.and_then(EventId::parse).map(BoatId);
        let read = match first {
            "jobs" => Some(Route::Jobs { finished: second == Some("finished") }),
            "job" => {
                let part = JobPart::ALL.into_iter().find(|part| third == Some(part.slug()));
                job().map(|job| Route::Job(job, part.unwrap_or(JobPart::Story)))
            }
            "photo" => second.and_then(EventId::parse).map(|id| Route::Photo(PhotoId(id))),
            "group" => second.and_then(EventId::parse).map(|id| Route::Group(GroupId(id))),
            "new-job" => Some(Route::NewJob { boat: boat() }),
            "boats" => Some(Route::Boats),
            "boat" => boat().map(Route::Boat),
            "procedures" => Some(Route::Procedures),
            "procedure" => second.and_then(EventId::parse).map(|id| Route::Procedure(ProcedureId(id))),
            "day" => second.and_then(Day::parse).map(Route::Day),
            "hours" => {
                let period = Period::ALL.into_iter().find(|period| third == Some(period.words()));
                second.and_then(Day::parse).map(|day| Route::Hours(period.unwrap_or(Period::Week), day))
            }
            "rules" => Some(Route::Rules),
            "note" => Some(Route::Note { job: job() }),
            "bench" => Some(Route::Bench),
            "reading" => {
                let kind = second.and_then(Kind::parse);
                kind.map(|kind| Route::Reading(kind, third.and_then(EventId::parse).map(JobId)))
            }
            "step-reading" => {
                let step = second.and_then(EventId::parse).map(StepId);
                step.and_then(|step| Some(Route::StepReading(step, third?.parse().ok()?)))
            }
            "course" => {
                let engine = second.and_then(EventId::parse).map(EngineId);
                engine.and_then(|engine| Some(Route::Course(engine, Kind::parse(third?)?)))
            }
            "agreement" => {
                let part = AgreementPart::ALL.into_iter().find(|part| third == Some(part.slug()));
                job().map(|job| Route::Agreement(job, part.unwrap_or(AgreementPart::Whole)))
            }
            "reckon" => Some(Route::Reckon),
            "office" => Some(Route::Office),
            "hand-over" => Some(Route::HandOver { day: second.and_then(Day::parse) }),
            _ => None,
        };
        read.unwrap_or(Route::Now)
    }

    /// Returns the fragment, without `#`.
    pub fn fragment(self) -> String {
        match self {
            Route::Now => "/now".to_owned(),
            Route::Jobs { finished: false } => "/jobs".to_owned(),
            Route::Jobs { finished: true } => "/jobs/finished".to_owned(),
            Route::Job(job, part) => format!("/job/{job}/{}", part.slug()),
            Route::Photo(photo) => format!("/photo/{photo}"),
            Route::Group(group) => format!("/group/{group}"),
            Route::NewJob { boat: None } => "/new-job".to_owned(),
            Route::NewJob { boat: Some(boat) } => format!("/new-job/{boat}"),
            Route::Boats => "/boats".to_owned(),
            Route::Boat(boat) => format!("/boat/{boat}"),
            Route::Procedures => "/procedures".to_owned(),
            Route::Procedure(id) => format!("/procedure/{id}"),
            Route::Day(day) => format!("/day/{day}"),
            Route::Hours(period, day) => format!("/hours/{day}/{}", period.words()),
            Route::Rules => "/rules".to_owned(),
            Route::Note { job: None } => "/note".to_owned(),
            Route::Note { job: Some(job) } => format!("/note/{job}"),
            Route::Bench => "/bench".to_owned(),
            Route::Reading(kind, None) => format!("/reading/{}", kind.slug()),
            Route::Reading(kind, Some(job)) => format!("/reading/{}/{job}", kind.slug()),
            Route::StepReading(step, nth) => format!("/step-reading/{step}/{nth}"),
            Route::Course(engine, kind) => format!("/course/{engine}/{}", kind.slug()),
            Route::Agreement(job, part) => format!("/agreement/{job}/{}", part.slug()),
            Route::Reckon => "/reckon".to_owned(),
            Route::Office => "/office".to_owned(),
            Route::HandOver { day: None } => "/hand-over".to_owned(),
            Route::HandOver { day: Some(day) } => format!("/hand-over/{day}"),
        }
    }

    /// Returns the address of a link to this place.
    pub fn link(self) -> String {
        format!("#{}", self.fragment())
    }
}
