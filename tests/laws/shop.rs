//! The shop's rules in the laws: what a phone says of them, and any of them at random.
#![allow(clippy::unwrap_used, reason = "a test stops where it cannot go on")]

use proptest::prelude::*;
use quaywright_core::event::{DayTable, Document, Event, ShopRules, Way};
use quaywright_core::hours::days::DayStart;
use quaywright_core::hours::overtime::Overtime;
use quaywright_core::hours::rounding::{Charge, LengthRule, PunchRule};
use quaywright_core::hours::worked;
use quaywright_core::hours::workweek::{Weekday, Workweek};
use quaywright_core::id::{BlobId, Hash};
use quaywright_core::moment::{Length, Moment, TimeOfDay};

use crate::phone::{Phone, at};

/// Says the rules of a shop, with every field filled and left out, and the tables that go with them.
pub(crate) fn rules_are_said(phone: &mut Phone) {
    let minutes = |minutes: u64| Length::from_ms(minutes * 60_000);
    let full = ShopRules {
        pay: PunchRule::NearestQuarter,
        bill: Charge { rule: LengthRule::UpToTenth, minimum: minutes(60) },
        week: Workweek { first: Weekday::Sunday, start: DayStart::at(6, 30).unwrap() },
        overtime: Overtime { weekly: minutes(2_400), daily: Some(minutes(480)), double: Some(minutes(720)) },
        pauses: worked::Rules::of_shop(minutes(25), minutes(45)).unwrap(),
        usual_end: TimeOfDay::at_minute(17 * 60 + 15),
    };
    let day = at("2026-05-04T07:58:12+01:00").day();
    let left = |of| Event::HandedOver {
        what: Document::DayTable { day, of },
        way: Way::Downloaded,
        file: BlobId(Hash::of(b"a table")),
    };
    let taken_back = phone.tip.next().later(1);
    for event in [
        Event::ShopRulesSet(full),
        Event::ShopRulesSet(ShopRules::default()),
        Event::Withdrawn { event: taken_back },
        left(DayTable::Billing),
        left(DayTable::Mends),
    ] {
        phone.now = Moment::new(phone.now.utc_ms() + 60_001, 60).unwrap();
        phone.say(event);
    }
}

/// Returns some rules; many of them make sense.
pub(crate) fn rules(which: usize, amount: u32) -> ShopRules {
    let minutes = |minutes: usize| Length::from_ms(minutes as u64 * 60_000);
    let some = |length: Length| (amount > 2).then_some(length);
    ShopRules {
        pay: PunchRule::ALL[which % PunchRule::ALL.len()],
        bill: Charge { rule: LengthRule::ALL[which % LengthRule::ALL.len()], minimum: minutes(which * 10) },
        week: Workweek { first: Weekday::ALL[which % 7], start: DayStart::at((which % 24) as u8, 30).unwrap() },
        overtime: Overtime {
            weekly: minutes(60 + which * 90),
            daily: some(minutes(60 + which * 20)),
            double: some(minutes(60 + which * 30)),
        },
        pauses: worked::Rules::of_shop(minutes(20 + which), minutes(30 + which)).unwrap(),
        usual_end: some(minutes(which)).and_then(|it| TimeOfDay::at_minute(it.minutes() as u16)),
    }
}

/// Any rules, said.
pub(crate) fn event() -> impl Strategy<Value = Event> {
    (0..200_usize, 0..5_u32).prop_map(|(which, amount)| Event::ShopRulesSet(rules(which, amount)))
}
