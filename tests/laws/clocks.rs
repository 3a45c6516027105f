//! However a phone's clock jumps, time is counted once and every jump back is told.
//!
//! The model is the rule in its plainest form: a list of taps, of which each
//! takes effect at the latest instant that the phone has shown so far. Set back
//! by hours, forward by days, in another time zone, across a change of summer
//! time: for the model these are all the same, since only instants count.
#![allow(clippy::unwrap_used, reason = "a test stops where it cannot go on")]

use proptest::collection::vec;
use proptest::prelude::*;
use quaywright_core::book::ledger::by_activity;
use quaywright_core::command::Command;
use quaywright_core::event::{Activity, Doing, On};
use quaywright_core::moment::{Length, Moment};

use crate::phone::{Phone, at};

const ACTIVITIES: [Activity; 4] = [Activity::Travel, Activity::Waiting, Activity::Paperwork, Activity::MealPeriod];
const DAY: i64 = 24 * 60;

/// One tap: how many minutes the phone's clock has moved since the one before it,
/// its offset from UTC in half hours, and what is done from then on.
type Step = (i64, i16, usize);

fn step() -> impl Strategy<Value = Step> {
    let moved = prop_oneof![
        6 => 0..300_i64,
        1 => -3 * 60..0_i64,
        1 => -2 * DAY..-DAY,
        1 => DAY..3 * DAY,
    ];
    (moved, -24..=28_i16, 0..ACTIVITIES.len())
}

/// Returns what the rule gives: minutes for each activity, and how many taps the clock was behind.
fn model(steps: &[Step]) -> ([i64; ACTIVITIES.len()], usize) {
    let (mut totals, mut behind) = ([0; ACTIVITIES.len()], 0);
    let (mut clock, mut latest, mut doing) = (0, i64::MIN, None);
    for &(moved, _, activity) in steps {
        clock += moved;
        behind += usize::from(clock < latest);
        let takes_effect = latest.max(clock);
        if let Some(before) = doing.replace(activity) {
            totals[before] += takes_effect - latest;
        }
        latest = takes_effect;
    }
    (totals, behind)
}

/// Taps so on a phone; returns it with its clock at the last tap.
fn tapped(steps: &[Step]) -> Phone {
    let start = at("2026-03-28T20:00:00+00:00");
    let mut phone = Phone::new(0x6c, "2026-03-28T20:00:00+00:00");
    let mut clock = 0;
    for &(moved, half_hours, activity) in steps {
        clock += moved;
        phone.now = Moment::new(start.utc_ms() + clock * 60_000, half_hours * 30).unwrap();
        phone.must(Command::SwitchClock { to: Doing::At { activity: ACTIVITIES[activity], on: On::NoJob } });
    }
    phone
}

/// Steps of which none asks for what runs already, which a phone refuses.
fn steps() -> impl Strategy<Value = Vec<Step>> {
    vec(step(), 1..40).prop_map(|mut steps| {
        steps.dedup_by_key(|step| step.2);
        steps
    })
}

proptest! {
    #[test]
    fn totals_are_those_of_the_plain_rule(steps in steps()) {
        let phone = tapped(&steps);
        let (totals, behind) = model(&steps);
        let spans = phone.book.ledger.spans(phone.now);
        let counted = by_activity(spans.iter());
        for (activity, minutes) in ACTIVITIES.into_iter().zip(totals) {
            let found = counted.iter().find(|it| it.0 == activity).map_or(Length::ZERO, |it| it.1);
            prop_assert_eq!(found.minutes() as i64, minutes, "{:?}", activity);
        }
        prop_assert_eq!(phone.book.ledger.set_backs().count(), behind);
        // The same day by day, wherever the phone was.
        let ledger = &phone.book.ledger;
        let days = ledger.days(phone.now).into_iter().flat_map(|day| ledger.spans_of(day, phone.now));
        let in_days: u64 = days.map(|span| span.length().minutes()).sum();
        prop_assert_eq!(in_days as i64, totals.iter().sum::<i64>());
    }
}

#[test]
fn back_by_hours_forward_by_days_another_zone_and_summer_time() {
    // Minutes by hand. Central Europe's clocks go forward on 29 March 2026 at 01:00 UTC.
    let steps = [
        (0, 2, 0),        // 20:00 UTC, travel
        (60, 2, 1),       // 21:00 UTC, waiting
        (-180, 2, 2),     // set back by 3 hours: 18:00 UTC, paperwork
        (420, 4, 0),      // put right, and summer time has begun: 01:00 UTC, travel
        (30, 0, 1),       // in another zone: 01:30 UTC, waiting
        (2 * DAY, 0, 3),  // forward by 2 days, meal period
        (-2 * DAY, 0, 0), // put right, travel
        (60, 0, 1),       // an hour later, still behind the latest instant
    ];
    let phone = tapped(&steps);
    assert_eq!(model(&steps), ([60 + 30, 2 * DAY, 4 * 60, 0], 3));
    let spans = phone.book.ledger.spans(phone.now);
    let counted: Vec<_> = by_activity(spans.iter()).into_iter().map(|it| (it.0, it.1.minutes() as i64)).collect();
    assert!(counted.contains(&(Activity::Paperwork, 4 * 60)), "{counted:?}");
    assert!(counted.contains(&(Activity::Waiting, 2 * DAY)), "{counted:?}");
    let backs: Vec<_> = phone.book.ledger.set_backs().map(|back| back.by.minutes() as i64).collect();
    assert_eq!(backs, [180, 2 * DAY, 2 * DAY - 60]);
}
