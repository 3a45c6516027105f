//! The minutes in which something about the work was entered.
//!
//! Whoever photographs, writes or puts back is at work: these minutes are what
//! can be said for a clock that was forgotten. What is only about the records
//! (names, mends, procedures, withdrawals, documents that left) or agreed with an owner may be done at home and is
//! no sign of work; a photo counts when it was taken, if that is known.

use crate::event::Event;
use crate::log::Record;
use crate::moment::Moment;
use crate::order;

const MINUTE_MS: i64 = 60_000;

/// Minutes since 1970 UTC at whose end something had been entered.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Entries(Vec<u32>);

impl Entries {
    /// Returns the whole minutes between two moments, both not included, at
    /// which something had just been entered, as milliseconds since 1970 UTC.
    pub fn within(&self, from: Moment, to: Moment) -> Vec<i64> {
        let times = self.0.iter().map(|&minute| i64::from(minute) * MINUTE_MS);
        order::each_once(times.filter(|&ms| ms > from.utc_ms() && ms < to.utc_ms()).collect())
    }

    pub(super) fn note(&mut self, record: &Record) {
        let at = match &record.event {
            Event::TechnicianNamed { .. }
            | Event::ClockSwitched { .. }
            | Event::Withdrawn { .. }
            | Event::HandedOver { .. }
            | Event::Mended(_)
            | Event::LineBilled { .. }
            | Event::JobTagged { .. }
            | Event::PhotoCaptioned { .. }
            | Event::ProcedureKept { .. }
            | Event::ProcedureAmended { .. }
            | Event::Forgotten { .. }
            | Event::ReadingAssigned { .. }
            | Event::LimitsSet { .. }
            | Event::PhotoMarked { .. }
            | Event::OwnerReads { .. }
            | Event::PhotosPaired { .. }
            | Event::ShopRulesSet(_)
            | Event::EstimateMade { .. }
            | Event::ConsentGiven { .. }
            | Event::Recommended { .. }
            | Event::RecommendationAnswered { .. }
            | Event::FailedPartAmended { .. }
            | Event::PhotoShows { .. }
            | Event::ReadingStaged { .. }
            | Event::DocumentMade { .. }
            | Event::NextVisitPlanned { .. }
            | Event::NextVisitMade { .. } => return,
            Event::PhotoTaken { photo, .. } => photo.taken.unwrap_or(record.at),
            _ => record.at,
        };
        // A moment ends with the year 9999, so its minutes fit.
        let minute = (at.utc_ms() + MINUTE_MS - 1) / MINUTE_MS;
        let minute = u32::try_from(minute).unwrap_or(u32::MAX);
        if self.0.last() != Some(&minute) {
            self.0.push(minute);
        }
    }
}
