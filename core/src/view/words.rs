//! Words and times that several screens share.

use crate::book::Book;
use crate::event::{About, BoatFacts, On};
use crate::id::BoatId;
use crate::moment::{Day, Moment};

use super::running;

/// Where work is done, in words.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Place {
    /// The boat's name; empty without a job.
    pub boat: String,
    /// What the job is, or "no job".
    pub job: String,
}

/// Returns what the page's title says: the boat, or the activity, that runs.
pub fn title(book: &Book) -> String {
    match running(book) {
        Some(running) if !running.place.boat.is_empty() => format!("{} · Quaywright", running.place.boat),
        Some(running) => format!("{} · Quaywright", running.activity.words()),
        None => "Quaywright".to_owned(),
    }
}

/// Returns a time of day, `08:05`.
pub fn hour_minute(at: Moment) -> String {
    let (hour, minute) = at.time_of_day();
    format!("{hour:02}:{minute:02}")
}

/// Returns a day in words, `Monday 4 May`, with the year unless it is that of `today`.
pub fn day_words(day: Day, today: Day) -> String {
    const WEEKDAYS: [&str; 7] = ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"];
    const MONTHS: [&str; 12] = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ];
    let (year, month, date) = day.parts();
    let month = MONTHS[(month as usize + 11) % 12];
    let words = format!("{} {date} {month}", WEEKDAYS[day.weekday() % 7]);
    if year == today.parts().0 { words } else { format!("{words} {year}") }
}

/// Returns a moment in words: the time, with the day unless it was `today`.
pub fn when(at: Moment, today: Day) -> String {
    if at.day() == today { hour_minute(at) } else { format!("{}, {}", day_words(at.day(), today), hour_minute(at)) }
}

/// Returns where an activity belongs, in words.
pub fn place(book: &Book, on: On) -> Place {
    let job = book.job_of(on).and_then(|job| book.jobs.job(job));
    let Some(job) = job else { return Place { boat: String::new(), job: "no job".to_owned() } };
    Place { boat: boat_name(book, job.boat), job: job.title.to_string() }
}

/// Returns what a photo is about, in words that follow "a photo of"; nothing
/// where it is not in the book.
pub fn subject(book: &Book, about: About) -> Option<String> {
    let words = about_words(book, about);
    let boat = book.job_about(about).map(|job| place(book, On::Job(job)).boat);
    match (words, boat) {
        (Some(words), Some(boat)) => Some(format!("{words} on {boat}")),
        _ => (about == About::Day).then(|| "the day".to_owned()),
    }
}

pub(super) fn boat_name(book: &Book, boat: BoatId) -> String {
    book.fleet.boat(boat).map(|boat| boat.facts.name.to_string()).unwrap_or_default()
}

pub(super) fn whereabouts(facts: &BoatFacts) -> String {
    joined(&[facts.owner.to_string(), facts.berth.to_string()], ", ")
}

pub(super) fn joined(parts: &[String], with: &str) -> String {
    let told: Vec<&str> = parts.iter().map(String::as_str).filter(|part| !part.is_empty()).collect();
    told.join(with)
}

pub(super) fn about_words(book: &Book, about: About) -> Option<String> {
    match about {
        About::Day => None,
        About::Job(job) => book.jobs.job(job).map(|job| job.title.to_string()),
        About::Item(item) => book.teardown.item(item).map(|item| item.facts.what.to_string()),
        About::Step(step) => book.steps.step(step).map(|step| step.text.to_string()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::event::{Doing, Event};
    use crate::exchange::line;
    use crate::id::DeviceId;
    use crate::log::Tip;
    use crate::text::Label;

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
