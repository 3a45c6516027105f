//! How an engine's readings went over the years, and which kinds have such a course.

use super::finding;
use crate::book::Book;
use crate::book::readings::Reading;
use crate::id::EngineId;
use crate::moment::{Day, Moment};
use crate::reading::Kind;
use crate::reading::form::Name;
use crate::reading::unit::Unit;
use crate::view::{day_words, hour_minute};

/// A kind of reading on an engine's page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CourseRow {
    /// The kind.
    pub kind: Kind,
    /// How often it was read and when last, and whether the engine has limits of its own.
    pub words: String,
}

/// Returns the kinds that were read on an engine or for which it has limits of its own, and after
/// these, without words, all others that may have limits.
pub fn courses_of(book: &Book, engine: EngineId, today: Day) -> (Vec<CourseRow>, Vec<Kind>) {
    let row = |kind: Kind| {
        let (mut count, mut last) = (0_usize, None);
        for reading in readings_of_engine(book, engine, kind) {
            (count, last) = (count + 1, Some(reading.at));
        }
        let limited = book.readings.limits_of(engine, kind).is_some_and(|limits| !limits.each.is_empty());
        let read = last.map(|at| {
            let times = if count == 1 {
                "read once, ".to_owned()
            } else {
                ["read ", &count.to_string(), " times, last "].concat()
            };
            times + &day_words(at.day(), today)
        });
        let limits = limited.then(|| "own limits".to_owned());
        let words: Vec<String> = read.into_iter().chain(limits).collect();
        CourseRow { kind, words: words.join("; ") }
    };
    let (known, other): (Vec<CourseRow>, Vec<CourseRow>) =
        Kind::ALL.iter().copied().map(row).partition(|row| !row.words.is_empty());
    let other = other.into_iter().map(|row| row.kind).filter(|kind| !kind.measured().is_empty());
    (known, other.collect())
}

fn readings_of_engine(book: &Book, engine: EngineId, kind: Kind) -> impl Iterator<Item = &Reading> {
    let is_of_engine = move |it: &&Reading| book.engine_read(it).is_some_and(|it| it.id == engine);
    book.readings.readings().filter(move |it| it.facts.kind == kind).filter(is_of_engine)
}

/// How one thing that is measured went over time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Series {
    /// What it is.
    pub words: String,
    /// When, and the figure, earliest first.
    pub rows: Vec<(String, String)>,
    /// Where each stands in a square of 1000 by 1000, upwards and to the right.
    pub dots: Vec<(u16, u16)>,
}

/// Returns how an engine's readings of one kind went over time; what was read once has no course yet.
pub fn series(book: &Book, engine: EngineId, kind: Kind, today: Day) -> Vec<Series> {
    let mut courses: Vec<Course> = Vec::new();
    for reading in readings_of_engine(book, engine, kind) {
        for point in finding(book, reading).points {
            let key = (point.name, point.nth);
            let at = courses.iter().position(|course| course.key == key).unwrap_or_else(|| {
                courses.push(Course { key, unit: point.unit, places: point.places, points: Vec::new() });
                courses.len() - 1
            });
            // The latest unit tells all of them, so that they can be compared.
            let course = &mut courses[at];
            (course.unit, course.places) = (point.unit, course.places.max(point.places));
            course.points.push((reading.at, point.amount));
        }
    }
    courses.retain(|course| course.points.len() > 1);
    let all = || courses.iter().flat_map(|course| &course.points);
    let times = ends(all().map(|&(at, _)| at.utc_ms()));
    courses.iter().map(|course| course.series(times, heights(&courses, course), today)).collect()
}

/// One thing that is measured, each time that it was.
struct Course {
    key: (Name, u8),
    unit: Unit,
    places: u8,
    points: Vec<(Moment, i64)>,
}

impl Course {
    fn series(&self, times: (i64, i64), heights: (i64, i64), today: Day) -> Series {
        let (name, nth) = self.key;
        let day = |at: Moment| [day_words(at.day(), today), hour_minute(at)].join(", ");
        let row = |&(at, amount): &(Moment, i64)| (day(at), self.unit.told(amount, self.places));
        let dot = |&(at, amount): &(Moment, i64)| (scaled(at.utc_ms(), times), scaled(amount, heights));
        Series {
            words: if nth > 0 { format!("{} {nth}", name.words()) } else { name.words().to_owned() },
            rows: self.points.iter().map(row).collect(),
            dots: self.points.iter().map(dot).collect(),
        }
    }
}

/// Returns the lowest and highest of all that share a name with a course, so that cylinders share a scale.
fn heights(courses: &[Course], course: &Course) -> (i64, i64) {
    let alike = courses.iter().filter(|it| it.key.0 == course.key.0);
    ends(alike.flat_map(|it| it.points.iter().map(|&(_, amount)| amount)))
}

fn ends(all: impl Iterator<Item = i64>) -> (i64, i64) {
    all.fold((i64::MAX, i64::MIN), |(low, high), it| (low.min(it), high.max(it)))
}

fn scaled(value: i64, (low, high): (i64, i64)) -> u16 {
    let (above, span) = (i128::from(value) - i128::from(low), i128::from(high) - i128::from(low));
    if span <= 0 { 500 } else { (above * 1_000 / span).clamp(0, 1_000) as u16 }
}
