//! Which revision of a day a document of it is, and what it lists.
#![allow(clippy::unwrap_used, reason = "a test stops where it cannot go on")]

use std::collections::BTreeSet;

use proptest::prelude::*;
use proptest::test_runner::Config;
use quaywright_core::command::Command;
use quaywright_core::event::{About, Activity, Document, Doing, Event, Mend, On, PayType, StoryPart, Way};
use quaywright_core::exchange::{bundle, html, pieces::assemble, plain};
use quaywright_core::id::{BlobId, EventId, JobId, LineId};
use quaywright_core::log::Sealed;
use quaywright_core::moment::{Day, Moment};
use quaywright_core::sheet::amended::{Amended, Revision, changed_since, revision};
use quaywright_core::sheet::differs::differs;
use quaywright_core::sheet::job::{JobRevision, days_of, job_revision};
use quaywright_core::sheet::revised::{Left, revised_day_sheet};
use quaywright_core::sheet::{DaySheet, LogHead, day_sheet};
use quaywright_core::text::{Label, Prose};

use crate::histories::{history, lived};
use crate::phone::{Phone, at, jpeg};
use crate::schemas::misfits_of_days;

/// A phone after a day on one job: four hours of labour, and a story.
struct Told {
    phone: Phone,
    job: JobId,
    line: LineId,
}

fn monday() -> Day {
    Day::parse("2026-05-04").unwrap()
}

impl Told {
    fn new() -> Self {
        let mut phone = Phone::new(0x5e, "2026-05-04T07:45:00.000+01:00");
        let (job, line) = phone.job("Heron", "P. Wherry", "Impeller", "Weak stream");
        phone.clock("2026-05-04T08:00:00.000+01:00", Activity::Labour, On::Line(line));
        phone.stop("2026-05-04T12:00:00.000+01:00");
        phone.is("2026-05-04T16:40:00.000+01:00");
        Self { phone, job, line }
    }

    fn hand_over(&mut self) {
        let file = BlobId::of(self.phone.tip.next().to_string().as_bytes());
        let what = Document::DayBundle { day: monday(), table: false };
        self.phone.must(Command::HandOver { what, way: Way::Shared, file });
    }

    /// Says that an hour of the morning, from the first on, was spent otherwise.
    fn mend(&mut self, hour: usize, activity: Activity) {
        let [from, to] = [hour, hour + 1].map(|it| at(&format!("2026-05-04T{:02}:00:00.000+01:00", it + 8)));
        let doing = Doing::At { activity, on: On::Line(self.line) };
        self.phone.must(Command::Mend(Mend { from, to, doing, reason: Label::default() }));
    }

    fn sheet(&self) -> DaySheet {
        let Phone { book, now, tip, log, .. } = &self.phone;
        revised_day_sheet(&log.in_order(), book, monday(), *now, LogHead::from(tip))
    }

    fn by_times(&self) -> Revision {
        revision(&self.phone.book, monday(), self.phone.now)
    }

    /// Returns the job's revision by the whole log.
    fn job_revision(&self) -> JobRevision {
        let Phone { book, now, tip, log, .. } = &self.phone;
        Left::of(&log.in_order(), &days_of(book, self.job, *now)).of_job(book, self.job, *now, LogHead::from(tip))
    }

    /// Returns the number, and what is listed.
    fn told(&self) -> (usize, Vec<String>) {
        let Revision { number, amends } = self.sheet().revision;
        (number, amends.iter().flat_map(Amended::words).collect())
    }
}

#[test]
fn what_is_said_after_the_file_left_is_listed_and_makes_a_revision() {
    let mut day = Told::new();
    assert_eq!(day.told(), (1, vec![]));
    day.phone.part(day.job, 1, "Impeller", "9-113");
    let wrong = day.phone.tip.next();
    day.phone.note(About::Job(day.job), "Six blades");
    day.hand_over();
    day.hand_over();
    assert_eq!(day.told(), (1, vec![]));

    day.phone.is("2026-05-04T17:02:00.000+01:00");
    day.hand_over();
    day.phone.is("2026-05-04T19:00:00.000+01:00");
    let (job, line) = (day.job, day.line);
    day.phone.part(job, 1, "Impeller", "9-114");
    day.phone.must(Command::Withdraw { event: wrong });
    day.phone.tell(line, StoryPart::Cause, "Two vanes gone.");
    day.phone.note(About::Day, "Rain");
    day.phone.photo(About::Job(job), &jpeg("vanes"), "The old one");
    let listed: Vec<String> = [
        "Heron, Impeller: cause is now \"Two vanes gone.\"",
        "Heron, Impeller: part 1 × Impeller, no. 9-114 added",
        "Heron, Impeller: note 16:40 \"Six blades\" taken away",
        "Heron, Impeller: 1 photo added",
        "the day: note 19:00 \"Rain\" added",
    ]
    .map(str::to_owned)
    .into();
    assert_eq!(day.told(), (2, listed.clone()));
    // A screen, which has the book alone, does not claim a number: no time is another.
    assert_eq!(day.by_times().number, 1);
    assert_eq!(changed_since(&day.phone.book, monday(), day.phone.now), None);

    // The page, the text and the data say it.
    let sheet = day.sheet();
    assert_eq!(sheet.revision.amends.as_ref().unwrap().handed_over, at("2026-05-04T17:02:00.000+01:00"));
    let page = String::from_utf8(assemble(&html::day_page(&sheet, Vec::new()), |_| None)).unwrap();
    assert!(page.contains("2, amends what was handed over 2026-05-04, 17:02"), "{page}");
    assert!(page.contains("Changed since") && page.contains("part 1 × Impeller, no. 9-114 added"), "{page}");
    assert!(listed.iter().all(|words| plain::plain(&sheet).contains(words)));
    let data: serde_json::Value = serde_json::from_slice(&bundle::summaries(std::slice::from_ref(&sheet))).unwrap();
    let amends = &data[0]["summary"]["amends"];
    assert_eq!(amends["changes"], serde_json::json!([]));
    assert_eq!(amends["also"], serde_json::json!(listed));
    assert_eq!(misfits_of_days(&[sheet]), Vec::<String>::new());

    // Handed over so, it stays the second; a time that is another then makes the third, alone.
    day.hand_over();
    assert_eq!(day.told(), (2, listed));
    day.mend(0, Activity::Diagnosis);
    let words = ["labour 4:00 is now 3:00", "diagnosis 0:00 is now 1:00"].map(|it| format!("Heron, Impeller: {it}"));
    assert_eq!(day.told(), (3, words.into()));
    assert_eq!(
        (day.by_times().number, changed_since(&day.phone.book, monday(), day.phone.now)),
        (2, Some(at("2026-05-04T19:00:00.000+01:00")))
    );
}

#[test]
fn lines_jobs_and_who_pays_are_listed() {
    let mut day = Told::new();
    day.hand_over();
    day.phone.is("2026-05-04T19:00:00.000+01:00");
    let (job, line) = (day.job, day.line);
    day.phone.line(job, PayType::Warranty, "Pump weeps");
    day.phone.must(Command::SetPay { line, pay: PayType::Internal });
    let (_, other) = day.phone.job("Teal", "The ferry company", "Lights", "Dark");
    day.phone.must(Command::TellStory { line: other, part: StoryPart::Cause, text: Prose::new("Fuse") });
    let listed = [
        "Heron, Impeller, line 1: customer pay is now internal",
        "Heron, Impeller, line 2: this line, warranty, added",
        "Heron, Impeller, line 2: complaint is now \"Pump weeps\"",
        "Teal, Lights: now among the day's jobs",
    ];
    assert_eq!(day.told(), (2, listed.map(str::to_owned).into()));
}

#[test]
fn the_table_of_hours_and_another_days_file_tell_nothing() {
    let mut day = Told::new();
    for what in [
        Document::DayBundle { day: monday(), table: true },
        Document::DayBundle { day: monday().plus(1).unwrap(), table: false },
    ] {
        day.phone.must(Command::HandOver { what, way: Way::Shared, file: BlobId::of(b"file") });
    }
    day.phone.part(day.job, 1, "Impeller", "9-114");
    assert_eq!(day.told(), (1, vec![]));
}

/// What a person does after the day's work.
#[derive(Clone, Debug)]
enum Act {
    HandOver,
    Mend { hour: usize, activity: usize },
    Part(u32),
    TakePartBack(usize),
    Cause(usize),
    Note,
}

const ACTIVITIES: [Activity; 3] = [Activity::Labour, Activity::Diagnosis, Activity::Waiting];
const CAUSES: [&str; 3] = ["", "Two vanes gone.", "Cover worn."];

fn act() -> impl Strategy<Value = Act> {
    prop_oneof![
        3 => Just(Act::HandOver),
        2 => mend(),
        1 => (1..3_u32).prop_map(Act::Part),
        1 => (0..4_usize).prop_map(Act::TakePartBack),
        1 => (0..CAUSES.len()).prop_map(Act::Cause),
        1 => Just(Act::Note),
    ]
}

fn mend() -> impl Strategy<Value = Act> {
    (0..4_usize, 0..ACTIVITIES.len()).prop_map(|(hour, activity)| Act::Mend { hour, activity })
}

/// What the day's file says, kept without the book: hours by activity, parts by count, cause, notes.
#[derive(Clone, Debug, Default, PartialEq)]
struct Model {
    hours: [usize; 4],
    parts: Vec<(EventId, u32)>,
    cause: usize,
    notes: usize,
}

impl Model {
    fn times(&self) -> Vec<usize> {
        (0..ACTIVITIES.len()).map(|it| self.hours.iter().filter(|&&hour| hour == it).count()).collect()
    }

    fn counts(&self) -> Vec<u32> {
        let mut counts: Vec<u32> = self.parts.iter().map(|it| it.1).collect();
        counts.sort_unstable();
        counts
    }

    fn says(&self) -> (Vec<usize>, Vec<u32>, usize, usize) {
        (self.times(), self.counts(), self.cause, self.notes)
    }

    fn act(&mut self, day: &mut Told, act: &Act) {
        match *act {
            Act::HandOver => day.hand_over(),
            // A mend that would change nothing is refused.
            Act::Mend { hour, activity } if self.hours[hour] == activity => {}
            Act::Mend { hour, activity } => {
                self.hours[hour] = activity;
                day.mend(hour, ACTIVITIES[activity]);
            }
            Act::Part(count) => {
                self.parts.push((day.phone.tip.next(), count));
                day.phone.part(day.job, count, "Impeller", "9-114");
            }
            Act::TakePartBack(which) => {
                if which < self.parts.len() {
                    let event = self.parts.remove(which).0;
                    day.phone.must(Command::Withdraw { event });
                }
            }
            Act::Cause(which) => {
                self.cause = which;
                let text = Prose::new(CAUSES[which]);
                day.phone.say(Event::StoryTold { line: day.line, part: StoryPart::Cause, text });
            }
            Act::Note => {
                self.notes += 1;
                day.phone.note(About::Job(day.job), "Look again");
            }
        }
    }
}

/// Counts the states in which something left, and the present one where it is another.
fn number<T: PartialEq>(mut left: Vec<T>, now: T) -> usize {
    left.push(now);
    left.dedup();
    left.len()
}

#[test]
fn a_job_is_another_when_what_was_noted_on_a_day_that_was_told_is_another() {
    let mut day = Told::new();
    let told = |day: &Told| {
        let JobRevision { number, amends } = day.job_revision();
        (number, amends.map(|it| it.words()).unwrap_or_default())
    };
    day.phone.part(day.job, 1, "Impeller", "9-113");
    day.hand_over();
    assert_eq!(told(&day), (1, vec![]));
    day.phone.is("2026-05-04T19:00:00.000+01:00");
    let late = day.phone.tip.next();
    day.phone.part(day.job, 2, "Seal", "");
    day.mend(0, Activity::Diagnosis);
    let listed = [
        "2026-05-04, Heron, Impeller: labour 4:00 is now 3:00",
        "2026-05-04, Heron, Impeller: diagnosis 0:00 is now 1:00",
        "2026-05-04, Heron, Impeller: part 2 × Seal added",
    ];
    assert_eq!(told(&day), (2, listed.map(str::to_owned).into()));
    day.hand_over();
    assert_eq!(told(&day).0, 2);
    // Another day, its parts and a longer story only add to the job.
    day.phone.is("2026-05-05T09:00:00.000+01:00");
    day.phone.part(day.job, 4, "Bolt", "");
    day.phone.tell(day.line, StoryPart::Cause, "Two vanes gone.");
    assert_eq!(told(&day), (2, listed.map(str::to_owned).into()));
    day.phone.must(Command::Withdraw { event: late });
    assert_eq!(told(&day), (3, vec!["2026-05-04, Heron, Impeller: part 2 × Seal taken away".to_owned()]));
}

proptest! {
    #![proptest_config(Config { cases: 96, failure_persistence: None, ..Config::default() })]

    #[test]
    fn the_number_counts_the_states_that_left(acts in prop::collection::vec(act(), 0..14)) {
        let (mut day, mut model, mut left) = (Told::new(), Model::default(), Vec::new());
        for act in &acts {
            day.phone.now = Moment::new(day.phone.now.utc_ms() + 60_000, 60).unwrap();
            model.act(&mut day, act);
            if matches!(act, Act::HandOver) {
                left.push(model.says());
            }
            let told = day.sheet().revision;
            let by_times = day.by_times();
            let times = left.iter().map(|it| it.0.clone()).collect();
            prop_assert_eq!(told.number, number(left.clone(), model.says()));
            prop_assert_eq!(by_times.number, number(times, model.times()));
            prop_assert!(told.number >= by_times.number);
            // A screen that says "changed since" names what the document amends.
            if let Some(at) = changed_since(&day.phone.book, monday(), day.phone.now) {
                prop_assert_eq!(told.amends.map(|it| it.handed_over), Some(at));
            } else if let Some(amended) = told.amends {
                prop_assert!(amended.words().next().is_some());
            }
        }
    }

    #[test]
    fn where_only_times_differ_it_is_the_revision_by_times(
        acts in prop::collection::vec(prop_oneof![Just(Act::HandOver), mend()], 0..14),
    ) {
        let (mut day, mut model) = (Told::new(), Model::default());
        for act in &acts {
            day.phone.now = Moment::new(day.phone.now.utc_ms() + 60_000, 60).unwrap();
            model.act(&mut day, act);
            prop_assert_eq!(day.sheet().revision, day.by_times());
            prop_assert_eq!(day.job_revision(), job_revision(&day.phone.book, day.job, day.phone.now));
        }
    }

    #[test]
    fn for_every_history_it_is_no_lower_than_by_times(history in history(80)) {
        let phones = lived(&history);
        let phone = &phones[0];
        let records: Vec<&Sealed> = phone.log.in_order();
        let days: BTreeSet<Day> = phone.book.handovers.days_told().map(|it| it.day).collect();
        let (left, head) = (Left::of(&records, &days), LogHead::from(&phone.tip));
        for day in days {
            let sheet = day_sheet(&phone.book, day, phone.now, head);
            prop_assert_eq!(differs(&sheet, &sheet), vec![]);
            let told = left.revision(&phone.book, &sheet, phone.now);
            prop_assert!(told.number >= sheet.revision.number);
            prop_assert_eq!(told.number, left.number(&phone.book, day, phone.now, head));
            prop_assert_eq!(&told, &revised_day_sheet(&records, &phone.book, day, phone.now, head).revision);
            if let Some(amended) = &told.amends {
                prop_assert!(amended.words().next().is_some());
            }
        }
    }
}
