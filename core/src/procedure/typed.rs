//! Rows of a step as a person types them: one a line, or words with commas between.
//!
//! A line is read by what stands in it and written back the same: `6 × cover screw,
//! M5` is what comes off, `cover, 6 in a circle` or `plate, 2 rows of 3` is what is
//! tightened together.

use crate::event::{Details, ExpectedItem, ExpectedReading, Fasteners, Tags};
use crate::quantity::Count;
use crate::text::Label;
use crate::tightening::pattern::Layout;

/// A line that cannot be read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NotRead {
    /// It has no count or no name.
    #[error("“{0}” is not read: write it as 6 × cover screw, M5")]
    Item(String),
    /// It has no layout.
    #[error("“{0}” is not read: write it as cover, 6 in a circle or plate, 2 rows of 3")]
    Fasteners(String),
}

/// Reads words with commas between.
pub fn words(text: &str) -> Vec<Label> {
    text.split([',', '\n']).map(Label::new).filter(|it| !it.is_empty()).collect()
}

/// Writes words with commas between.
pub fn words_text(words: &[Label]) -> String {
    let words: Vec<&str> = words.iter().map(Label::as_str).collect();
    words.join(", ")
}

/// Reads what an engine has: nothing typed is not known, the word "nothing" is nothing.
pub fn options(text: &str) -> Option<Tags> {
    match text.trim() {
        "" => None,
        nothing if nothing.eq_ignore_ascii_case(NOTHING) => Some(Tags::default()),
        text => Some(Tags::new(words(text))),
    }
}

/// Writes what [`options`] reads.
pub fn options_text(options: Option<&Tags>) -> String {
    match options.map(Tags::words) {
        None => String::new(),
        Some([]) => NOTHING.to_owned(),
        Some(words) => words_text(words),
    }
}

const NOTHING: &str = "nothing";

/// Reads what is expected to come off; a line without a count is one, and what stood
/// there before keeps what more is known of it.
///
/// # Errors
/// Names the first line that cannot be read.
pub fn items(text: &str, before: &[ExpectedItem]) -> Result<Vec<ExpectedItem>, NotRead> {
    let read = |line: &str| {
        let mut item = item(line).ok_or_else(|| NotRead::Item(line.to_owned()))?;
        if let Some(known) = before.iter().find(|it| it.what == item.what) {
            item.details = known.details.clone();
        }
        Ok(item)
    };
    lines(text).map(read).collect()
}

/// Writes what [`items`] reads.
pub fn items_text(items: &[ExpectedItem]) -> String {
    let line = |it: &ExpectedItem| {
        let head = it.count.to_string() + " × " + it.what.as_str();
        if it.size.is_empty() { head } else { head + ", " + it.size.as_str() }
    };
    items.iter().map(line).collect::<Vec<_>>().join("\n")
}

fn item(line: &str) -> Option<ExpectedItem> {
    let (count, rest) = match line.split_once(['×', '*']) {
        Some((count, rest)) => (count.trim().parse().ok().filter(|&count| count > 0)?, rest),
        None => (1, line),
    };
    let (what, size) = rest.split_once(',').unwrap_or((rest, ""));
    let what = Label::new(what);
    let (count, size) = (Count(count), Label::new(size));
    (!what.is_empty()).then(|| ExpectedItem { what, count, size, details: Details::default() })
}

/// Reads what is tightened together.
///
/// # Errors
/// Names the first line that cannot be read.
pub fn fasteners(text: &str) -> Result<Vec<Fasteners>, NotRead> {
    lines(text).map(|line| fastener(line).ok_or_else(|| NotRead::Fasteners(line.to_owned()))).collect()
}

/// Writes what [`fasteners`] reads.
pub fn fasteners_text(fasteners: &[Fasteners]) -> String {
    let line = |it: &Fasteners| [it.what.as_str(), ", ", &layout_words(it.layout)].concat();
    fasteners.iter().map(line).collect::<Vec<_>>().join("\n")
}

/// Returns how fasteners lie, in words.
pub fn layout_words(layout: Layout) -> String {
    match layout {
        Layout::Circle(count) => count.to_string() + CIRCLE,
        Layout::Rectangle { rows: 1, columns } => columns.to_string() + ROW,
        Layout::Rectangle { rows, columns } => rows.to_string() + ROWS + &columns.to_string(),
    }
}

const CIRCLE: &str = " in a circle";
const ROW: &str = " in a row";
const ROWS: &str = " rows of ";

fn fastener(line: &str) -> Option<Fasteners> {
    let (what, lie) = line.rsplit_once(',')?;
    let (what, lie) = (Label::new(what), lie.trim());
    let layout = match (lie.strip_suffix(CIRCLE), lie.strip_suffix(ROW)) {
        (Some(count), _) => Layout::Circle(count.parse().ok()?),
        (None, Some(columns)) => Layout::Rectangle { rows: 1, columns: columns.parse().ok()? },
        (None, None) => {
            let (rows, columns) = lie.split_once(ROWS)?;
            Layout::Rectangle { rows: rows.parse().ok()?, columns: columns.parse().ok()? }
        }
    };
    (!what.is_empty()).then_some(Fasteners { what, layout })
}

/// Reads what is measured; a line that stood there before keeps its kind.
pub fn readings(text: &str, before: &[ExpectedReading]) -> Vec<ExpectedReading> {
    let reading = |line| {
        let what = Label::new(line);
        let kind = before.iter().find(|it| it.what == what).and_then(|it| it.kind);
        ExpectedReading { what, kind }
    };
    lines(text).map(reading).collect()
}

/// Writes what [`readings`] reads.
pub fn readings_text(readings: &[ExpectedReading]) -> String {
    readings.iter().map(|it| it.what.as_str()).collect::<Vec<_>>().join("\n")
}

fn lines(text: &str) -> impl Iterator<Item = &str> {
    text.lines().map(str::trim).filter(|line| !line.is_empty())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reading::Kind;

    #[test]
    fn rows_are_read_and_written_back_the_same() {
        let text = "6 × cover screw, M5\n1 × cover";
        assert_eq!(items_text(&items(text, &[]).unwrap()), text);
        assert_eq!(items("cover\n\n 2*clip ,\t", &[]).map(|it| items_text(&it)).as_deref(), Ok("1 × cover\n2 × clip"));
        for wrong in ["0 × cover", "six × cover", "3 ×", ", M5"] {
            assert_eq!(items(wrong, &[]), Err(NotRead::Item(wrong.to_owned())));
        }
        let text = "pump cover, outer, 6 in a circle\nplate, 2 rows of 3\nplugs, 2 in a row";
        assert_eq!(fasteners_text(&fasteners(text).unwrap()), text);
        for wrong in ["cover", "cover, six in a circle", ", 6 in a circle", "plate, 2 rows"] {
            assert_eq!(fasteners(wrong), Err(NotRead::Fasteners(wrong.to_owned())));
        }
        assert_eq!(words_text(&words("tray, , spanner\ntags ")), "tray, spanner, tags");
    }

    #[test]
    fn what_an_engine_has_may_be_unknown_or_nothing() {
        for (text, known) in [("", None), (" ", None), ("Nothing", Some(0)), ("trim, power steering", Some(2))] {
            assert_eq!(options(text).map(|it| it.words().len()), known, "{text}");
        }
        assert_eq!(options_text(options("trim,power steering").as_ref()), "power steering, trim");
        assert_eq!((options_text(None).as_str(), options_text(Some(&Tags::default())).as_str()), ("", "nothing"));
    }

    #[test]
    fn a_reading_keeps_its_kind_while_its_words_stay() {
        let before = [ExpectedReading { what: Label::new("voltage at rest"), kind: Some(Kind::BatteryAtRest) }];
        let read = readings("voltage at rest\nsmell", &before);
        assert_eq!((read[0].kind, read[1].kind), (Some(Kind::BatteryAtRest), None));
        assert_eq!(readings_text(&read), "voltage at rest\nsmell");
    }
}
