//! What is drawn of lines in PDFs, looked at as a picture: the rings of a tightening pattern
//! with their numbers, and a signature.

use std::process::Command;

use quaywright_core::agreement::consent::Strokes;
use quaywright_core::command::Command as Request;
use quaywright_core::event::{Activity, GroupFacts, Hardware, On};
use quaywright_core::id::GroupId;
use quaywright_core::text::Label;
use quaywright_core::tightening::group::Shares;
use quaywright_core::tightening::pattern::{Layout, Numbering, Pattern};
use quaywright_core::view::{Asked, ConsentEntry};
use quaywright_papers::wire::{Leaf, Paper};

use crate::phone::Phone;
use crate::press::{Sheaf, press};

/// Two pixels are a point.
const RESOLUTION: &str = "144";

/// A page as a picture in grey.
struct Picture {
    width: usize,
    pixels: Vec<u8>,
}

impl Picture {
    fn of_the_page_of(sheaf: &Sheaf) -> Self {
        let (folder, file) = sheaf.lay();
        let out = folder.path().join("page");
        let words = ["-gray", "-r", RESOLUTION, "-singlefile"];
        let said = Command::new("pdftoppm").args(words).args([&file, &out]).output().unwrap();
        assert!(said.status.success(), "{said:?}");
        // A greyscale PGM: what it is, its size, the brightest, and then a byte for each pixel.
        let bytes = std::fs::read(out.with_extension("pgm")).unwrap();
        let parts: Vec<&[u8]> = bytes.splitn(4, |&byte| byte == b'\n').collect();
        let size = std::str::from_utf8(parts[1]).unwrap();
        let width = size.split(' ').next().unwrap().parse().unwrap();
        Self { width, pixels: parts[3].to_vec() }
    }

    fn is_dark(&self, (x, y): (usize, usize)) -> bool {
        self.pixels[y * self.width + x] < 160
    }

    /// Returns how thick a ring around a place is drawn, in pixels: above, below, left and right of it.
    fn ring(&self, (x, y): (f32, f32)) -> [usize; 4] {
        // A ring's radius is 8.25 points, and a number within it is at most 5 to each side.
        let reach = 12..22;
        let (x, y) = ((x * 2.0).round() as usize, (y * 2.0).round() as usize);
        let dark =
            |place: &dyn Fn(usize) -> (usize, usize)| reach.clone().filter(|&far| self.is_dark(place(far))).count();
        [dark(&|far| (x, y - far)), dark(&|far| (x, y + far)), dark(&|far| (x - far, y)), dark(&|far| (x + far, y))]
    }
}

/// Returns every word of a document that is a number, with its middle.
fn numbers(sheaf: &Sheaf) -> Vec<(u16, (f32, f32))> {
    let boxes = sheaf.asked("pdftotext", &["-bbox", "FILE", "-"]);
    let number = |line: &str| {
        let side = |name: &str| line.split_once(&[name, "=\""].concat())?.1.split('"').next()?.parse::<f32>().ok();
        let word = line.split_once('>')?.1.split('<').next()?.parse().ok()?;
        Some((word, ((side("xMin")? + side("xMax")?) / 2.0, (side("yMin")? + side("yMax")?) / 2.0)))
    };
    boxes.lines().filter_map(number).collect()
}

#[test]
fn a_pattern_is_drawn_with_a_ring_and_a_number_for_each_fastener_and_heavy_where_it_is_done() {
    let mut phone = Phone::new(0xa1, "2026-05-04T08:00:00.000+01:00");
    let (job, line) = phone.job("Heron", "P. Wherry", "Water pump", "Drips");
    phone.clock("2026-05-04T08:11:00.000+01:00", Activity::Labour, On::Line(line));
    let facts = Box::new(GroupFacts {
        what: Label::new("Pump cover"),
        side: Label::default(),
        pattern: Pattern::of(Layout::Circle(6)).unwrap(),
        numbering: Numbering::ByPosition,
        entered: None,
        shares: Shares::parse("100").unwrap(),
        hardware: Hardware::default(),
        needed: None,
    });
    let group = GroupId(phone.must(Request::AddGroup { job, facts }));
    // One pass, and a last one that checks; a fastener is done with the second.
    let mut done: Vec<u16> = Vec::new();
    loop {
        let sheaf =
            press(&phone.lines, phone.tip.device, phone.now, Paper::DayPdf(phone.now.day(), Leaf::A4), |_| None);
        let picture = Picture::of_the_page_of(&sheaf);
        let ringed = numbers(&sheaf).into_iter().map(|(number, middle)| (number, picture.ring(middle)));
        let mut rings: Vec<_> = ringed.filter(|(_, ring)| ring.iter().all(|&thick| thick > 0)).collect();
        rings.sort_unstable();
        assert_eq!(rings.iter().map(|ring| ring.0).collect::<Vec<_>>(), [1, 2, 3, 4, 5, 6], "{rings:?}");
        // Heavy is three times as wide as light: about 5 pixels and fewer than 2, at four places each.
        let heavy: Vec<u16> =
            rings.iter().filter(|ring| ring.1.iter().sum::<usize>() > 12).map(|ring| ring.0).collect();
        done.sort_unstable();
        assert_eq!(heavy, done, "{rings:?}");
        let Some(step) = phone.book.tightening.group(group).unwrap().state().next() else { break };
        phone.must(Request::Tighten { group, step });
        done.extend((step.pass == 2).then_some(step.place.0));
    }
    assert_eq!(done.len(), 6);
}

#[test]
fn work_that_was_accepted_by_a_finger_bears_the_signature() {
    let signed = |strokes: Vec<Vec<(u16, u16)>>| {
        let mut phone = Phone::new(0xa2, "2026-05-04T08:00:00.000+01:00");
        let (job, _) = phone.job("Heron", "P. Wherry", "Stern gland", "Drips");
        let entry = ConsentEntry { by: "P. Wherry".into(), ..ConsentEntry::default() };
        let drawn = Strokes::new(strokes).unwrap();
        let consent = entry.read(&phone.book, job, Asked::Work, drawn, phone.now).unwrap();
        phone.must(Request::GiveConsent { job, consent: Box::new(consent) });
        press(&phone.lines, phone.tip.device, phone.now, Paper::AgreementPdf(job, Leaf::A4), |_| None)
    };
    // What is signed is the same text, so the two sheets differ by what was drawn and nothing else.
    let (long, dot) = (signed(vec![vec![(100, 500), (2_800, 500)]]), signed(vec![vec![(100, 500)]]));
    let text = |sheaf: &Sheaf| sheaf.asked("pdftotext", &["-layout", "FILE", "-"]);
    assert_eq!(text(&long), text(&dot));
    for told in ["P. Wherry agreed to the work as it was done", "signed", "This sheet says what was signed."] {
        assert!(text(&long).contains(told), "{told} is missing: {}", text(&long));
    }
    long.asked("qpdf", &["--check", "FILE"]);
    let (long, dot) = (Picture::of_the_page_of(&long), Picture::of_the_page_of(&dot));
    assert_eq!(long.pixels.len(), dot.pixels.len());
    let places = (0..long.pixels.len()).map(|at| (at % long.width, at / long.width));
    let added: Vec<_> = places.filter(|&place| long.is_dark(place) && !dot.is_dark(place)).collect();
    let span = |of: fn(&(usize, usize)) -> usize| {
        let all = added.iter().map(of);
        all.clone().max().unwrap() - all.min().unwrap()
    };
    // One straight line across the field: long, level and without a gap.
    let (wide, high) = (span(|it| it.0), span(|it| it.1));
    assert!(wide > 200 && high < 8 && added.len() >= wide, "{wide} {high} {}", added.len());
}
