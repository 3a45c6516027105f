//! Which wrench or key fits a thread, and what a head may be by its width.
//!
//! One thread can carry several heads: an M10 is found with 13, 14, 15, 16 and
//! 17 mm. So the standard one is proposed and the others are named beside it, and
//! the way back from a width to a thread is a hint, never a fact.
//!
//! Tables, each seen in published copies, except where an entry is marked: ISO 272
//! widths (ISO 4014, 4017), the older DIN 931 and 933, JIS B 1180 (ordinary and
//! small), JIS B 1189 (flange), ISO 4762 (keys), ASME B18.2.3.1M (M10), ASME
//! B18.2.1 (inch) and B18.3 (inch keys).

use std::fmt;

use super::thread::{System, Thread};
use super::{Standing, figure};
use crate::order;

/// A width across flats, as the tool is marked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Across {
    /// In whole millimetres.
    Millimetres(u8),
    /// In sixteenths of an inch.
    Sixteenths(u8),
}

impl fmt::Display for Across {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Across::Millimetres(mm) => write!(f, "{mm} mm"),
            Across::Sixteenths(all) => write!(f, "{} in", figure::sixteenths(*all)),
        }
    }
}

/// A kind of head that a screw of some thread can have.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Head {
    /// A hexagon of today's standard: ISO 272, or ASME B18.2.1 for inch threads.
    Hexagon,
    /// A hexagon of an older or another national standard.
    OtherHexagon,
    /// A hexagon with a flange.
    Flange,
    /// A hexagon socket.
    Socket,
}

/// One entry: such a head of such a thread takes such a tool.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Fitting {
    /// The head.
    pub head: Head,
    /// The tool.
    pub across: Across,
    /// Which table it stands in.
    pub table: &'static str,
    /// Whether the table was seen.
    pub standing: Standing,
}

const SEEN: Standing = Standing::Seen;
const MEMORY: Standing = Standing::FromMemory;

/// A diameter with the width that goes with it.
type Column = &'static [(u8, u8, Standing)];

/// One column of a table: the kind of head and where it is standardised.
struct Table(System, Head, &'static str, Column);

const TABLES: &[Table] = &[
    Table(
        System::Metric,
        Head::Hexagon,
        "ISO 272",
        &[
            (4, 7, SEEN),
            (5, 8, SEEN),
            (6, 10, SEEN),
            (8, 13, SEEN),
            (10, 16, SEEN),
            (12, 18, SEEN),
            (14, 21, SEEN),
            (16, 24, SEEN),
        ],
    ),
    Table(
        System::Metric,
        Head::OtherHexagon,
        "DIN 931, 933 and JIS B 1180, ordinary",
        &[(10, 17, SEEN), (12, 19, SEEN), (14, 22, SEEN)], // where it differs from ISO 272
    ),
    Table(
        System::Metric,
        Head::OtherHexagon,
        "JIS B 1180, small",
        &[(8, 12, SEEN), (10, 14, SEEN), (12, 17, SEEN), (14, 19, SEEN), (16, 22, SEEN)],
    ),
    Table(System::Metric, Head::OtherHexagon, "ASME B18.2.3.1M", &[(10, 15, SEEN)]),
    Table(
        System::Metric,
        Head::Flange,
        "JIS B 1189",
        &[(5, 7, SEEN), (6, 8, SEEN), (8, 10, SEEN), (10, 13, SEEN), (12, 15, SEEN), (14, 18, SEEN), (16, 21, SEEN)],
    ),
    Table(
        System::Metric,
        Head::Socket,
        "ISO 4762",
        &[
            (4, 3, SEEN),
            (5, 4, SEEN),
            (6, 5, SEEN),
            (8, 6, SEEN),
            (10, 8, SEEN),
            (12, 10, SEEN),
            (14, 12, MEMORY),
            (16, 14, SEEN),
        ],
    ),
    Table(
        System::Inch,
        Head::Hexagon,
        "ASME B18.2.1",
        &[
            (4, 7, SEEN),
            (5, 8, SEEN),
            (6, 9, SEEN),
            (7, 10, SEEN),
            (8, 12, SEEN),
            (9, 13, SEEN),
            (10, 15, SEEN),
            (12, 18, SEEN),
        ],
    ),
    Table(
        System::Inch,
        Head::Socket,
        "ASME B18.3",
        &[
            (4, 3, SEEN),
            (5, 4, SEEN),
            (6, 5, SEEN),
            (7, 6, MEMORY),
            (8, 6, SEEN),
            (9, 7, MEMORY),
            (10, 8, MEMORY),
            (12, 10, MEMORY),
        ],
    ),
];

/// All entries, with the system and diameter of their thread.
fn entries() -> impl Iterator<Item = (System, u8, Fitting)> {
    TABLES.iter().flat_map(|&Table(system, head, table, column)| {
        column.iter().map(move |&(diameter, width, standing)| {
            let across = match system {
                System::Metric => Across::Millimetres(width),
                System::Inch => Across::Sixteenths(width),
            };
            (system, diameter, Fitting { head, across, table, standing })
        })
    })
}

/// Returns what fits the heads that a thread is found with, the standard hexagon first.
pub fn fitting(thread: Thread) -> Vec<Fitting> {
    entries().filter(|it| (it.0, it.1) == (thread.system(), thread.diameter())).map(|it| it.2).collect()
}

/// Returns the coarse threads whose heads have a width; a hint, never a fact.
pub fn threads_of(across: Across) -> Vec<(Thread, Fitting)> {
    let coarse = |system, diameter| Thread::all(system).find(|it| it.diameter() == diameter);
    entries()
        .filter(|it| it.2.across == across)
        .filter_map(|(system, diameter, fitting)| Some((coarse(system, diameter)?, fitting)))
        .collect()
}

/// Returns what to try on a thread, `13 mm (older 12 mm), flange 10 mm, socket head 6 mm`; empty where none is known.
pub fn proposal(thread: Thread) -> String {
    let fitting = fitting(thread);
    let of = |head| {
        let widths = fitting.iter().filter(|it| it.head == head).map(|it| (it.across, it.standing)).collect();
        let told: Vec<_> = order::each_once(widths).into_iter().map(in_words).collect();
        told.join(" or ")
    };
    let mut told = of(Head::Hexagon);
    for (head, before, after) in
        [(Head::OtherHexagon, " (older ", ")"), (Head::Flange, ", flange ", ""), (Head::Socket, ", socket head ", "")]
    {
        let widths = of(head);
        if !widths.is_empty() {
            [before, &widths, after].into_iter().for_each(|piece| told.push_str(piece));
        }
    }
    told
}

fn in_words((across, standing): (Across, Standing)) -> String {
    let mut told = across.to_string();
    if standing == Standing::FromMemory {
        [" (", standing.words(), ")"].into_iter().for_each(|it| told.push_str(it));
    }
    told
}

#[cfg(test)]
mod tests {
    use super::*;

    fn thread(text: &str) -> Thread {
        Thread::parse(text).unwrap()
    }

    #[test]
    fn proposals() {
        for (text, expected) in [
            ("M6", "10 mm, flange 8 mm, socket head 5 mm"),
            ("M8", "13 mm (older 12 mm), flange 10 mm, socket head 6 mm"),
            ("M8x1", "13 mm (older 12 mm), flange 10 mm, socket head 6 mm"),
            ("M10", "16 mm (older 14 mm or 15 mm or 17 mm), flange 13 mm, socket head 8 mm"),
            ("M12", "18 mm (older 17 mm or 19 mm), flange 15 mm, socket head 10 mm"),
            ("3/8", "9/16 in, socket head 5/16 in"),
            ("3/4-16", "1-1/8 in, socket head 5/8 in (from memory)"),
            ("M24", ""),
        ] {
            assert_eq!(proposal(thread(text)), expected, "{text}");
        }
    }

    #[test]
    fn a_width_is_a_hint() {
        let hints = |mm| {
            let found = threads_of(Across::Millimetres(mm));
            found.iter().map(|(thread, fitting)| format!("{thread} {}", fitting.table)).collect::<Vec<_>>()
        };
        assert_eq!(hints(17), ["M10 DIN 931, 933 and JIS B 1180, ordinary", "M12 JIS B 1180, small"]);
        assert_eq!(hints(13), ["M8 ISO 272", "M10 JIS B 1189"]);
        assert_eq!(hints(12), ["M8 JIS B 1180, small", "M14 ISO 4762"]);
        assert_eq!(hints(11), [""; 0]);
    }

    #[test]
    fn inch_widths_of_asme_b18_2_1_in_millimetres() {
        // Nominal widths across flats in thousandths of a millimetre, 25.4 mm an inch.
        for (text, expected) in [("1/4", 11_113), ("3/8", 14_288), ("1/2", 19_050), ("3/4", 28_575)] {
            let Across::Sixteenths(sixteenths) = fitting(thread(text))[0].across else { panic!("an inch width") };
            assert_eq!((u32::from(sixteenths) * 25_400 + 8) / 16, expected, "{text}");
        }
    }

    #[test]
    fn tables_rise_and_a_head_is_wider_than_its_thread() {
        for Table(system, head, table, column) in TABLES {
            assert!(column.windows(2).all(|pair| pair[0].0 < pair[1].0 && pair[0].1 <= pair[1].1), "{table}");
            let wider = |width: u8, diameter: u8| (width > diameter) == (*head != Head::Socket);
            assert!(column.iter().all(|&(diameter, width, _)| wider(width, diameter)), "{table}");
            let known = |diameter| Thread::all(*system).any(|it| it.diameter() == diameter);
            assert!(column.iter().all(|&(diameter, ..)| known(diameter)), "{table}");
        }
    }
}
