//! What a screen shows: plain data, in the words and figures of the screen.
//!
//! A screen asks here and draws the answer; it holds no rule and looks into no
//! other part of the book. Each function takes the book and, where it matters,
//! the time, and gives a value that compares, so that a screen is drawn again
//! only when what it shows has changed.

mod fleet;
mod job;
mod jobs;
mod leaving;
mod now;
mod words;

pub use fleet::{BoatCard, BoatRow, EngineCard, boat_card, boats, engine_card, engines};
pub use job::{
    EvidenceRow, ItemRow, JobCard, JobTime, LineCard, PartRow, PhotoCard, StepRow, job_card, job_time, recent_labels,
};
pub use jobs::{JobRow, finished_jobs, jobs_for_summary, open_jobs};
pub use leaving::{LeftRow, backup_state, left_lately, recent_days};
pub use now::{LineChoice, Running, SpanRow, clock_is_behind, day_rows, running, worked};
pub use words::{Place, day_words, hour_minute, place, subject, title, when};
