//! What is drawn on a photo, as outlines to draw and as words to read.
//!
//! One set of outlines serves the screen, the pages and the PDF, so a mark looks the same
//! wherever the photo is shown. Lengths are whole pixels of the photo. Each outline is drawn
//! twice, broad and pale, then narrow and dark: so it stands out from any picture without a
//! colour. Who cannot see it hears where it lies, by ninths of the photo.

use super::job::{PhotoCard, photo_card};
use super::words::subject;
use crate::book::Book;
use crate::event::{Mark, Spot, WHOLE};
use crate::id::{JobId, PhotoId};
use crate::text::Label;

/// A place in pixels of the photo, from its upper left corner.
pub type Point = (i32, i32);

/// How a pen goes on from where it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pen {
    /// Without drawing.
    To(Point),
    /// Straight.
    Line(Point),
    /// Along a cubic Bézier curve by two control points.
    Curve(Point, Point, Point),
}

/// Words on a photo.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Written {
    /// Where the middle of the words stands.
    pub middle: Point,
    /// How large the letters are.
    pub size: i32,
    /// The words.
    pub text: String,
}

/// All that is drawn over a photo.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Overlay {
    /// Width and height of the photo.
    pub size: (u16, u16),
    /// How broad the dark line is; the pale one is three times as broad.
    pub line: i32,
    /// The outlines.
    pub pens: Vec<Pen>,
    /// The words.
    pub written: Vec<Written>,
}

/// The ninths of a photo from its upper left to its lower right: what each is called, and its middle.
pub const NINTHS: [(&str, Option<Spot>); 9] = [
    ("upper left", Spot::new(1_667, 1_667)),
    ("top", Spot::new(5_000, 1_667)),
    ("upper right", Spot::new(8_333, 1_667)),
    ("left", Spot::new(1_667, 5_000)),
    ("middle", Spot::new(5_000, 5_000)),
    ("right", Spot::new(8_333, 5_000)),
    ("lower left", Spot::new(1_667, 8_333)),
    ("bottom", Spot::new(5_000, 8_333)),
    ("lower right", Spot::new(8_333, 8_333)),
];

/// With what a person draws.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tool {
    /// A line by hand.
    Line,
    /// An arrow, from its tail to its tip.
    Arrow,
    /// A ring, from its middle to its edge.
    Ring,
    /// Words that are typed.
    Words,
}

impl Tool {
    /// All, in the order in which they are offered.
    pub const ALL: [Tool; 4] = [Tool::Arrow, Tool::Ring, Tool::Line, Tool::Words];

    /// Returns what it is called.
    pub const fn words(self) -> &'static str {
        match self {
            Tool::Line => "Line",
            Tool::Arrow => "Arrow",
            Tool::Ring => "Ring",
            Tool::Words => "Words",
        }
    }

    /// Returns what to do with a finger.
    pub const fn how(self) -> &'static str {
        match self {
            Tool::Line => "Draw with a finger.",
            Tool::Arrow => "Draw from the tail to the tip, or tap where it points.",
            Tool::Ring => "Draw from the middle outwards, or tap the middle.",
            Tool::Words => "Write a few words, then tap where they stand.",
        }
    }

    /// Returns the mark that a finger leaves on a photo of this size; nothing when it touched nothing.
    ///
    /// A finger that only taps gives an arrow or a ring of the usual size.
    pub fn mark(self, path: &[Spot], words: &str, size: (u16, u16)) -> Option<Mark> {
        let (&first, &last) = (path.first()?, path.last()?);
        let tapped = first.apart(last) < TAPPED;
        Some(match self {
            Tool::Line => Mark::Stroke(path.to_vec()),
            Tool::Arrow if tapped => Mark::Arrow(tail_of(first), first),
            Tool::Arrow => Mark::Arrow(first, last),
            Tool::Ring if tapped => Mark::Ring(first, USUAL_RING),
            Tool::Ring => Mark::Ring(first, radius(first, last, size)),
            Tool::Words => Mark::Words(last, Label::new(words)),
        })
    }
}

/// A finger that moves less than this taps: a fiftieth of the photo.
const TAPPED: u32 = 200;
const USUAL_RING: u16 = 900;
const USUAL_ARROW: i16 = 2_000;

/// Returns where an arrow begins that only its tip is known of: towards the middle, where there is room.
fn tail_of(tip: Spot) -> Spot {
    let towards = |at: u16| if at > WHOLE / 2 { -USUAL_ARROW } else { USUAL_ARROW };
    tip.shifted(towards(tip.x()), towards(tip.y()))
}

/// Returns how far apart two places are in ten thousandths of the width.
fn radius(middle: Spot, edge: Spot, (width, height): (u16, u16)) -> u16 {
    let across = u64::from(middle.x().abs_diff(edge.x()));
    let down = u64::from(middle.y().abs_diff(edge.y())) * u64::from(height) / u64::from(width.max(1));
    u16::try_from((across * across + down * down).isqrt()).unwrap_or(u16::MAX)
}

/// A photo as the page shows it on which one draws.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MarkedPhoto {
    /// The photo.
    pub photo: PhotoCard,
    /// What it is a photo of, in words.
    pub of: Option<String>,
    /// The job that it belongs to.
    pub job: Option<JobId>,
    /// Each mark with its words, in the order in which they were drawn.
    pub rows: Vec<(Mark, String)>,
}

/// Returns a photo with what is drawn on it; nothing for one that is removed or not in the book.
pub fn marked_photo(book: &Book, id: PhotoId) -> Option<MarkedPhoto> {
    let photo = book.evidence.photo_of(id).filter(|photo| !photo.withdrawn)?;
    let rows = photo.marks.iter().cloned().zip(marks_words(&photo.marks)).collect();
    let (of, job) = (subject(book, photo.about), book.job_about(photo.about));
    Some(MarkedPhoto { photo: photo_card(book, photo), of, job, rows })
}

/// Returns what to draw over a photo of this size.
pub fn overlay(marks: &[Mark], size: (u16, u16)) -> Overlay {
    let on = On { width: i64::from(size.0.max(1)), height: i64::from(size.1.max(1)) };
    let mut overlay = Overlay { size, line: on.line(), ..Overlay::default() };
    for mark in marks {
        match mark {
            Mark::Stroke(spots) => on.stroke(spots, &mut overlay.pens),
            Mark::Arrow(from, to) => on.arrow(*from, *to, &mut overlay.pens),
            Mark::Ring(middle, radius) => on.ring(*middle, *radius, &mut overlay.pens),
            Mark::Words(at, words) => overlay.written.push(on.words(*at, words.as_str())),
        }
    }
    overlay
}

impl Overlay {
    /// Returns the outlines as the data of an SVG path (SVG 2, section 9.3).
    pub fn path(&self) -> String {
        let mut path = String::new();
        let mut put = |letter: char, points: &[Point]| {
            path.push(letter);
            for (nth, (x, y)) in points.iter().enumerate() {
                let gap = if nth == 0 { "" } else { " " };
                path.push_str(&format!("{gap}{x} {y}"));
            }
        };
        for pen in &self.pens {
            match *pen {
                Pen::To(to) => put('M', &[to]),
                Pen::Line(to) => put('L', &[to]),
                Pen::Curve(one, other, to) => put('C', &[one, other, to]),
            }
        }
        path
    }

    /// Tells whether there is nothing to draw.
    pub fn is_empty(&self) -> bool {
        self.pens.is_empty() && self.written.is_empty()
    }
}

/// The photo that is drawn on.
struct On {
    width: i64,
    height: i64,
}

impl On {
    fn line(&self) -> i32 {
        small(self.width.max(self.height) / 240).max(1)
    }

    fn point(&self, spot: Spot) -> Point {
        let of = |part: u16, whole: i64| small(i64::from(part) * whole / i64::from(WHOLE));
        (of(spot.x(), self.width), of(spot.y(), self.height))
    }

    fn stroke(&self, spots: &[Spot], pens: &mut Vec<Pen>) {
        let points: Vec<Point> = spots.iter().map(|&spot| self.point(spot)).collect();
        pens.extend(points.first().map(|&first| Pen::To(first)));
        // A single place is a dot: a line to where the pen is.
        let rest = if points.len() > 1 { &points[1..] } else { &points };
        pens.extend(rest.iter().map(|&point| Pen::Line(point)));
    }

    /// A shaft and two barbs, each thirty degrees off it.
    fn arrow(&self, from: Spot, to: Spot, pens: &mut Vec<Pen>) {
        let ((x, y), tip) = (self.point(from), self.point(to));
        pens.extend([Pen::To((x, y)), Pen::Line(tip)]);
        let (across, down) = (i64::from(tip.0 - x), i64::from(tip.1 - y));
        let length = (across * across + down * down).isqrt();
        if length == 0 {
            return;
        }
        let barb = (self.width.max(self.height) / 18).min(length);
        // Sine and cosine of thirty degrees, in thousandths.
        let back = |sine: i64| {
            let right = (866 * across + sine * down) * barb / (1_000 * length);
            let below = (866 * down - sine * across) * barb / (1_000 * length);
            (tip.0 - small(right), tip.1 - small(below))
        };
        pens.extend([Pen::To(back(500)), Pen::Line(tip), Pen::Line(back(-500))]);
    }

    /// Four curves that come within a thousandth of a circle: control points at 0.5523 of the radius.
    fn ring(&self, middle: Spot, radius: u16, pens: &mut Vec<Pen>) {
        let (x, y) = self.point(middle);
        let radius = i64::from(radius) * self.width / i64::from(WHOLE);
        let (r, k) = (small(radius), small(radius * 5_523 / 10_000));
        pens.extend([
            Pen::To((x - r, y)),
            Pen::Curve((x - r, y - k), (x - k, y - r), (x, y - r)),
            Pen::Curve((x + k, y - r), (x + r, y - k), (x + r, y)),
            Pen::Curve((x + r, y + k), (x + k, y + r), (x, y + r)),
            Pen::Curve((x - k, y + r), (x - r, y + k), (x - r, y)),
        ]);
    }

    /// Words stay on the photo: as large as fits, and moved in from the edge. A letter is
    /// taken to be six tenths as wide as high, which few letters are.
    fn words(&self, at: Spot, text: &str) -> Written {
        let count = i64::try_from(text.chars().count()).unwrap_or(i64::MAX).max(1);
        let size = (self.width.max(self.height) / 20).min(self.width * 10 / (count.saturating_mul(6))).max(1);
        let half = (count.saturating_mul(size * 3) / 10).min(self.width / 2);
        let (x, y) = self.point(at);
        let x = i64::from(x).clamp(half, (self.width - half).max(half));
        let y = i64::from(y).clamp(size, (self.height - size).max(size));
        Written { middle: (small(x), small(y)), size: small(size), text: text.to_owned() }
    }
}

fn small(length: i64) -> i32 {
    i32::try_from(length).unwrap_or(i32::MAX)
}

/// Returns each mark in words, with where it lies.
pub fn marks_words(marks: &[Mark]) -> Vec<String> {
    marks.iter().map(mark_words).collect()
}

fn mark_words(mark: &Mark) -> String {
    match mark {
        Mark::Stroke(spots) => match (spots.first(), spots.last()) {
            (Some(&from), Some(&to)) if ninth(from) != ninth(to) => {
                format!("line from the {} to the {}", ninth(from), ninth(to))
            }
            (Some(&at), _) => format!("line at the {}", ninth(at)),
            (None, _) => "line".to_owned(),
        },
        Mark::Arrow(_, to) => format!("arrow to the {}", ninth(*to)),
        Mark::Ring(at, _) => format!("ring at the {}", ninth(*at)),
        Mark::Words(at, words) => format!("“{words}” at the {}", ninth(*at)),
    }
}

fn ninth(spot: Spot) -> &'static str {
    NINTHS[ninth_of(spot) as usize].0
}

/// Returns in which of the [`NINTHS`] of a photo a place lies.
pub(crate) fn ninth_of(spot: Spot) -> u32 {
    let third = |part: u16| u32::from(part) * 3 / (u32::from(WHOLE) + 1);
    third(spot.y()) * 3 + third(spot.x())
}

/// Returns what a photo shows, in words, with what is drawn on it.
pub fn photo_words(caption: &str, marks: &[Mark]) -> String {
    if marks.is_empty() {
        return caption.to_owned();
    }
    format!("{caption}. Drawn on it: {}.", marks_words(marks).join("; "))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn spot(x: u16, y: u16) -> Spot {
        Spot::new(x, y).unwrap()
    }

    #[test]
    fn outlines_lie_where_the_marks_were_made() {
        let marks = [
            Mark::Stroke(vec![spot(0, 0), spot(10_000, 10_000)]),
            Mark::Stroke(vec![spot(5_000, 5_000)]),
            Mark::Ring(spot(5_000, 5_000), 1_000),
        ];
        let overlay = overlay(&marks, (1_600, 1_200));
        let ring = "M640 600C640 512 712 440 800 440C888 440 960 512 960 600C960 688 888 760 800 760\
                    C712 760 640 688 640 600";
        assert_eq!(overlay.path(), format!("M0 0L1600 1200M800 600L800 600{ring}"));
        assert_eq!(overlay.line, 6);
    }

    #[test]
    fn an_arrow_has_its_barbs_behind_its_tip() {
        let arrow = overlay(&[Mark::Arrow(spot(0, 5_000), spot(5_000, 5_000))], (1_000, 1_000));
        // A barb of 55: 47 back along the shaft (cosine of 30°) and 27 beside it (sine).
        assert_eq!(arrow.path(), "M0 500L500 500M453 527L500 500L453 473");
        let nowhere = overlay(&[Mark::Arrow(spot(9, 9), spot(9, 9))], (1_000, 1_000));
        assert_eq!(nowhere.path(), "M0 0L0 0");
    }

    #[test]
    fn words_stay_on_the_photo() {
        let at =
            |x, y, text: &str| overlay(&[Mark::Words(spot(x, y), Label::new(text))], (1_000, 800)).written.remove(0);
        let right = at(10_000, 0, "lip down");
        assert_eq!((right.middle, right.size), ((880, 50), 50));
        let long = at(0, 10_000, &"w".repeat(100));
        assert_eq!((long.middle, long.size), ((480, 784), 16));
        assert_eq!(overlay(&[Mark::Words(spot(1, 1), Label::new("x"))], (0, 0)).written[0].middle, (0, 1));
    }

    #[test]
    fn a_finger_leaves_what_its_tool_says() {
        let (from, to, size) = (spot(1_000, 1_000), spot(4_000, 5_000), (4_000, 3_000));
        let drawn = |tool: Tool| tool.mark(&[from, to], " lip down ", size).unwrap();
        assert_eq!(drawn(Tool::Line), Mark::Stroke(vec![from, to]));
        assert_eq!(drawn(Tool::Arrow), Mark::Arrow(from, to));
        // 3,000 across and 4,000 · 3/4 down.
        assert_eq!(drawn(Tool::Ring), Mark::Ring(from, 4_242));
        assert_eq!(drawn(Tool::Words), Mark::Words(to, Label::new("lip down")));
        let tapped = |tool: Tool| tool.mark(&[to], "", size).unwrap();
        assert_eq!(tapped(Tool::Arrow), Mark::Arrow(spot(6_000, 7_000), to));
        assert_eq!(tapped(Tool::Ring), Mark::Ring(to, 900));
        assert_eq!(Tool::Arrow.mark(&[], "", size), None);
    }

    #[test]
    fn marks_are_told_by_ninths() {
        let marks = [
            Mark::Arrow(spot(9_000, 9_000), spot(3_333, 0)),
            Mark::Ring(spot(3_334, 6_667), 9),
            Mark::Words(spot(9_999, 5_000), Label::new("lip down")),
            Mark::Stroke(vec![spot(0, 10_000), spot(5_000, 5_000), spot(10_000, 10_000)]),
            Mark::Stroke(Vec::new()),
        ];
        assert_eq!(
            photo_words("Seal", &marks),
            "Seal. Drawn on it: arrow to the upper left; ring at the middle; “lip down” at the right; \
             line from the lower left to the lower right; line."
        );
        assert_eq!(photo_words("Seal", &[]), "Seal");
        for (name, middle) in NINTHS {
            assert_eq!(ninth(middle.unwrap()), name);
        }
    }
}
