//! Why a request cannot be met, in words that say what to do instead.
//!
//! Only requests are refused. What happened is never refused by the log: what
//! makes no sense there is a fault that the book tells.

use super::off_list;
use crate::agreement::estimate::MOST_LINES;
use crate::event::Senseless;
use crate::procedure::sound::Unsound;
use crate::quantity::{Count, EngineHours};
use crate::reassembly::ties::Refused;
use crate::text::LONGEST_PROSE;
use crate::tightening::group::Slip;

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
    /// A photo cannot be a pair with itself.
    #[error("choose two photos: one before the work and one after it")]
    OnePhoto,
    /// The photos belong to different jobs, or to none.
    #[error("both photos have to be of this job")]
    PhotosOfTwoJobs,
    /// They are a pair already.
    #[error("these two are a pair already")]
    PairedAlready,
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
    /// More lines than an estimate can carry.
    #[error("an estimate has at most {MOST_LINES} lines: put some together")]
    TooManyLines,
    /// A consent from the future.
    #[error("this would be said in the future: enter when it was said")]
    NotYetSaid,
    /// The last day of an estimate is over.
    #[error("the estimate no longer held then: make it anew, and have the new one agreed to")]
    NoLongerHolds,
    /// What was signed is not the text that goes with it.
    #[error("the signature does not belong to this text: show it again, then have it signed")]
    AnotherText,
    /// A planned day lies behind.
    #[error("that day is over: choose today or a later day, or say in words when it shall be")]
    VisitIsOver,
    /// A visit that is planned for another boat.
    #[error("this visit is planned for another boat: say it on a job of hers")]
    AnotherBoat,
}
