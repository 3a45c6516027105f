//! Estimates from made-up histories, counted by hand.

use super::*;
use crate::event::{Activity, BoatFacts, Doing, Event, ItemFacts, On};
use crate::exchange::line;
use crate::id::{BoatId, DeviceId, EventId, ItemId, StepId};
use crate::log::Tip;
use crate::text::Label;

struct Told {
    book: Book,
    tip: Tip,
    now: Moment,
    boat: Option<BoatId>,
}

impl Told {
    fn new() -> Self {
        let now = Moment::parse("2026-05-04T08:00:00+01:00").unwrap();
        Self { book: Book::default(), tip: Tip::fresh(DeviceId::new([1; 8])), now, boat: None }
    }

    fn say(&mut self, event: Event) -> EventId {
        let id = self.tip.next();
        let (_, sealed) = line::seal(self.tip.record(self.now, event));
        self.tip.advance(&sealed);
        self.book.apply(&sealed.record);
        assert_eq!(self.book.faults, []);
        id
    }

    fn pass(&mut self, minutes: i64) {
        self.now = self.now.moved(minutes);
    }

    fn job(&mut self, tags: &str) -> JobId {
        let boat = match self.boat {
            Some(boat) => boat,
            None => BoatId(self.say(Event::BoatAdded(BoatFacts::default()))),
        };
        self.boat = Some(boat);
        let job = JobId(self.say(Event::JobOpened { boat, engine: None, title: Label::new("Impeller") }));
        self.say(Event::JobTagged { job, tags: Tags::typed(tags) });
        job
    }

    fn work(&mut self, job: JobId, minutes: i64) {
        self.say(Event::ClockSwitched { to: Doing::At { activity: Activity::Labour, on: On::Job(job) } });
        self.pass(minutes);
        self.say(Event::ClockSwitched { to: Doing::Off });
    }

    fn took(&self, tags: &str) -> Option<String> {
        such_jobs_took(&self.book, &Tags::typed(tags), None, self.now)
    }
}

#[test]
fn finished_jobs_with_all_the_tags_tell_how_long_such_a_job_takes() {
    let mut told = Told::new();
    assert_eq!(told.took(""), None);
    assert_eq!(told.took("impeller").as_deref(), Some("No finished job has these tags yet."));
    for (minutes, tags) in [(60, "impeller"), (90, "impeller, twin"), (45, "twin")] {
        let job = told.job(tags);
        told.work(job, minutes);
        told.say(Event::JobFinished { job });
    }
    let open = told.job("impeller");
    told.work(open, 600);
    let few = "2 such jobs took 1:00, 1:30. From five on there is a statistic.";
    assert_eq!(told.took("impeller").as_deref(), Some(few));
    assert_eq!(
        told.took("impeller, twin").as_deref(),
        Some("1 such job took 1:30. From five on there is a statistic.")
    );
    // 60, 70, 80, 90, 100: median 80, and 92 at 0.8 of the way (Hyndman and Fan, definition 7).
    for minutes in [70, 80, 100] {
        let job = told.job("impeller");
        told.work(job, minutes);
        told.say(Event::JobFinished { job });
    }
    let five = "5 such jobs: half took at most 1:20, four of five at most 1:32.";
    assert_eq!(told.took("impeller").as_deref(), Some(five));
}

#[test]
fn what_is_left_goes_by_the_pace_of_the_job() {
    let mut told = Told::new();
    let job = told.job("");
    let left = |told: &Told| left_to_do(&told.book, job, told.now);
    assert_eq!(left(&told), None);
    let steps: Vec<StepId> = (0..7)
        .map(|nth| StepId(told.say(Event::StepAdded { job, text: Label::new(&format!("step {nth}")) })))
        .collect();
    for (&step, minutes) in steps.iter().zip([10, 20, 30, 40]) {
        told.work(job, minutes);
        told.pass(500);
        told.say(Event::StepTicked { step, done: true });
    }
    assert_eq!(left(&told).as_deref(), Some("Open: 3 steps. Cannot say yet: fewer than five are done."));
    told.work(job, 50);
    told.say(Event::StepTicked { step: steps[4], done: true });
    // 10 to 50: median 30, and 42 at 0.8 of the way; twice that.
    let words = "Open: 2 steps. At the pace of this job 1:00 to 1:24 more; what is on no list is not in it.";
    assert_eq!(left(&told).as_deref(), Some(words));
    let item = ItemFacts { what: Label::new("Bolt"), ..ItemFacts::default() };
    let item = ItemId(told.say(Event::CameOff { job, item }));
    let words = "Open: 2 steps and 1 item. Cannot say yet: fewer than five are done.";
    assert_eq!(left(&told).as_deref(), Some(words));
    // Time before the item went back is the item's, not the next step's.
    told.work(job, 100);
    told.say(Event::BackOn { item, count: Count(1) });
    told.pass(1);
    told.say(Event::StepTicked { step: steps[5], done: true });
    let words = "Open: 1 step. At the pace of this job 0:25 to 0:40 more; what is on no list is not in it.";
    assert_eq!(left(&told).as_deref(), Some(words));
    told.say(Event::StepTicked { step: steps[6], done: true });
    assert_eq!(left(&told), None);
}
