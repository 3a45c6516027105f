//! What a screen shows: plain data, in the words and figures of the screen.
//!
//! A screen asks here and draws the answer; it holds no rule and looks into no
//! other part of the book. Each function takes the book and, where it matters,
//! the time, and gives a value that compares, so that a screen is drawn again
//! only when what it shows has changed.

mod agreement;
mod agreement_form;
mod day;
mod drawing;
mod estimate;
mod fleet;
mod group_card;
mod group_form;
mod hours;
mod job;
mod jobs;
mod leaving;
mod marks;
mod now;
mod off;
mod procedure;
mod reading;
mod rules;
mod taking_apart;
mod tightening;
mod torque;
mod visits;
mod warranty;
mod words;

pub use agreement::{
    AgreementCard, ConsentRow, EstimateCard, OverrunCard, RecommendedRow, ToSign, agreement_card, drawn_points,
    is_agreed, is_waived, known_before_estimate, message_link, overrun_card, rule_in_words, shown_to_sign,
    stroke_points,
};
pub use agreement_form::{
    Asked, ConsentEntry, EstimateEntry, LineEntry, NotAgreed, cost_line_words, draft_of_lines, lines_of_draft,
    recommendation, total_of,
};
pub use day::{PieceRow, day_strip};
pub use drawing::{Drawing, Spot, drawing};
pub use estimate::{estimates, left_to_do, such_jobs_took};
pub use fleet::{BoatCard, BoatRow, EngineCard, boat_card, boats, engine_card, engines, reader_of};
pub use group_card::{FastenerRow, FastenerState, GroupCard, Next, PassRow, Value, WrenchCard, group_card};
pub use group_form::{GroupText, NoGroup, NoWrench, Shape, Told, WrenchText};
pub use hours::{DayBar, HoursCard, Kind, Period, WeekRow, hours_card};
use job::voices_about;
pub use job::{
    BilledRow, EvidenceRow, JobCard, JobTime, LineCard, PairRow, PartRow, PhotoCard, StepRow, VoiceRow, evidence_of,
    job_card, job_time, pairs, parts_of, recent_labels, voice_length,
};
pub use jobs::{JobRow, finished_jobs, jobs_for_summary, known_tags, open_jobs};
pub use leaving::{ChangedDay, LeftRow, backup_state, days_changed_since, papers, recent_days, still_to_leave};
pub(crate) use marks::ninth_of;
pub use marks::{
    MarkedPhoto, NINTHS, Overlay, Pen, Point, Tool, Written, marked_photo, marks_words, overlay, photo_words,
};
pub use now::{LineChoice, Running, SpanRow, clock_is_behind, day_rows, running, running_since, worked};
pub(crate) use off::instead_words;
pub use off::{
    CheckRow, ItemRow, OffList, RunGate, TieRow, ToCheck, Waits, cautions, cautions_before_running, check_words,
    how_it_stands, item_name, item_rows, off_list, run_gate, ties_of, waits, wrench_for,
};
pub use procedure::{
    ExpectedRow, Guide, GuidedStep, LeftOutRow, MeasureRow, ProcedureCard, ProcedureRow, SideRun, StartCard,
    can_be_learned_from, guide, is_by_procedure, procedure_card, procedures, started,
};
pub use reading::{
    Answer, AskedReading, CourseRow, Judged, LimitRow, ReadingCard, Series, Shelf, answer, asked_reading, blank_form,
    choose_unit, courses_of, engine_of_job, engines_to_choose, limit_rows, readings_of, readings_on_the_bench, series,
    shelves,
};
pub(crate) use reading::{answers, finding, title as reading_title};
pub use rules::{NotRead, RuleChoice, RuleEntry};
pub use taking_apart::{ApartProposal, apart_proposal, destroyed_by_taking_apart};
pub use tightening::{GroupRow, KnownWrench, group_of_item, group_rows, known_manuals, known_wrenches, needed_groups};
pub use torque::{NotReckoned, Reckoned, general_guidance, strengths_for, torque_both_ways, wrench_setting};
pub use visits::{NotAVisit, VisitEntry, VisitRow, VisitsCard, visits_card, visits_of_boat};
pub use warranty::{ClaimCard, Claims, FailedRow, ProofRow, StageRow, claim_lacks, claims};
pub use words::{Place, day_words, hour_minute, note_title, place, subject, title, when};

#[cfg(test)]
mod tests {
    use super::*;
    use crate::book::Book;
    use crate::event::{About, Activity, BoatFacts, Doing, Event, ItemFacts, On};
    use crate::exchange::line;
    use crate::id::{BoatId, DeviceId, EventId, ItemId, JobId};
    use crate::log::Tip;
    use crate::moment::{Day, Moment};
    use crate::quantity::Count;
    use crate::text::Label;

    #[test]
    fn a_clock_that_runs_since_yesterday_says_so() {
        let to = Doing::At { activity: Activity::Labour, on: On::NoJob };
        let book = told(&[("2026-05-04T03:30:00+01:00", Event::ClockSwitched { to })]);
        let since = |today| running_since(&book, day(today)).map(|it| it.since);
        assert_eq!(since("2026-05-04").as_deref(), Some("03:30"));
        assert_eq!(since("2026-05-05").as_deref(), Some("Monday 4 May, 03:30"));
    }

    fn day(text: &str) -> Day {
        Day::parse(text).unwrap()
    }

    fn told(events: &[(&str, Event)]) -> Book {
        let mut tip = Tip::fresh(DeviceId::new([1; 8]));
        let mut book = Book::default();
        for (at, event) in events {
            let (_, sealed) = line::seal(tip.record(Moment::parse(at).unwrap(), event.clone()));
            tip.advance(&sealed);
            book.apply(&sealed.record);
        }
        assert_eq!(book.faults, []);
        book
    }

    #[test]
    fn a_clock_that_was_set_back_is_told() {
        let labour = Doing::At { activity: Activity::Labour, on: On::NoJob };
        let book = told(&[("2026-05-05T11:00:30+01:00", Event::ClockSwitched { to: labour })]);
        let behind = |now: &str| clock_is_behind(&book, Moment::parse(now).unwrap());
        assert_eq!(behind("2026-05-05T11:00:00+01:00"), None);
        assert_eq!(behind("2026-05-05T11:20:00+01:00"), None);
        assert!(behind("2026-05-04T11:00:30+01:00").unwrap().starts_with("This phone's clock is 24:00 before"));
        assert_eq!(clock_is_behind(&Book::default(), Moment::new(0, 0).unwrap()), None);
    }

    #[test]
    fn what_just_began_runs_and_what_went_over_midnight_does_not() {
        let labour = Doing::At { activity: Activity::Labour, on: On::NoJob };
        let book = told(&[("2026-05-05T22:00:30+01:00", Event::ClockSwitched { to: labour })]);
        let until = |on: &str, now: &str| {
            let rows = day_rows(&book, day(on), Moment::parse(now).unwrap());
            rows.into_iter().map(|row| row.to).collect::<Vec<_>>()
        };
        assert_eq!(until("2026-05-05", "2026-05-05T22:00:00+01:00"), [None]);
        assert_eq!(until("2026-05-05", "2026-05-06T01:00:00+01:00"), [Some("00:00".to_owned())]);
        assert_eq!(until("2026-05-06", "2026-05-06T01:00:00+01:00"), [None]);
    }

    #[test]
    fn says_what_a_photo_is_about() {
        let id = |seq| EventId { device: DeviceId::new([1; 8]), seq };
        let at = "2026-05-05T11:00:00+01:00";
        let facts = BoatFacts { name: Label::new("Heron"), ..BoatFacts::default() };
        let item = ItemFacts { what: Label::new("Bolt"), count: Count(4), ..ItemFacts::default() };
        let job = JobId(id(2));
        let book = told(&[
            (at, Event::BoatAdded(facts)),
            (at, Event::JobOpened { boat: BoatId(id(1)), engine: None, title: Label::new("No charge") }),
            (at, Event::CameOff { job, item }),
        ]);
        assert_eq!(subject(&book, About::Day).as_deref(), Some("the day"));
        assert_eq!(subject(&book, About::Job(job)).as_deref(), Some("No charge on Heron"));
        assert_eq!(subject(&book, About::Item(ItemId(id(3)))).as_deref(), Some("Bolt on Heron"));
        assert_eq!(subject(&book, About::Item(ItemId(id(9)))), None);
    }

    #[test]
    fn says_days_in_words() {
        assert_eq!(day_words(day("2026-05-04"), day("2026-12-31")), "Monday 4 May");
        assert_eq!(day_words(day("2026-12-31"), day("2027-01-01")), "Thursday 31 December 2026");
        let at = Moment::parse("2026-05-04T08:05:59+01:00").unwrap();
        assert_eq!(when(at, day("2026-05-04")), "08:05");
        assert_eq!(when(at, day("2026-05-05")), "Monday 4 May, 08:05");
    }
}
