//! What a teardown of thousands costs on a phone: the tap that puts the next thing on, and
//! scrolling through all of it with its photos.
//!
//! 2,000 items on five sides with 10,000 ties and a photo each, made without asking the
//! commands. Script is what Chromium counts as such on the page's own thread in the second after
//! a touch (`Performance.getMetrics`): deciding, keeping, drawing, the photos that come into
//! view, the notes that follow. The driver is silent meanwhile, since each of its questions is a
//! script too. Within it the page itself times how long finding takes what goes on next (User
//! Timing): all parts of the list, for all items. Memory is what the script engine counts for the page, WebAssembly and DOM with it
//! (`Runtime.getHeapUsage`), the most that was seen while scrolling; pictures that the browser
//! has decoded are its own cache and are not in it.

use std::thread::sleep;
use std::time::Duration;

use jpeg_encoder::{ColorType, Encoder};
use quaywright_core::event::{About, BoatFacts, Event, ItemFacts, PayType, PhotoFacts};
use quaywright_core::exchange::{backup, line::seal, pieces};
use quaywright_core::id::{BlobId, BoatId, DeviceId, EventId, ItemId, JobId};
use quaywright_core::log::Tip;
use quaywright_core::moment::Moment;
use quaywright_core::quantity::Count;
use quaywright_core::reassembly::ties::{Tie, TieKind};
use quaywright_core::text::{Label, Prose};
use quaywright_xtask::bench::{Figure, Unit};
use quaywright_xtask::demo;
use serde_json::json;

use crate::failure::must;
use crate::ground::World;
use crate::page::Page;
use crate::slowed::slow;
use crate::start::quieten;
use crate::{milliseconds, percentile};

const ITEMS: usize = 2_000;
const TIES: usize = 10_000;
const SIDES: [&str; 5] = ["port", "starboard", "front", "top", "under"];
const PHOTO: (u16, u16) = (800, 600);
const SLOWED: f64 = 4.0;
const TAPS: usize = 40;
/// How often memory is read while the page scrolls, in how many steps between, and how far each goes.
const SCROLLS: usize = 40;
const SCROLL_STEPS: usize = 10;
const SCROLL_PIXELS: i32 = 400;
const FRAME: Duration = Duration::from_millis(33);
const PATIENCE: Duration = Duration::from_secs(60);
/// How long the page is left alone before a tap, and after it.
const REST: Duration = Duration::from_millis(300);
const AWAY: Duration = Duration::from_millis(1_000);
/// The longest that finding what is next may take, in milliseconds, and the most memory, in kilobytes.
const FOUND_AIM: f64 = 16.0;
const MEMORY_AIM: f64 = 150_000.0;

const WATCH: &str = "(() => {
    const long = globalThis.long = [];
    new PerformanceObserver(list => long.push(...list.getEntries().map(it => it.duration)))
        .observe({ type: 'longtask' });
})()";
const BIG: &str = "document.querySelector('#next-on button.big')";

/// Brings the button of what is next to rest in view; returns where it is and what it says.
const AIM: &str = "(async () => {
    const button = document.querySelector('#next-on button.big');
    const middle = () => {
        const box = button.getBoundingClientRect();
        return [box.x + box.width / 2, box.y + box.height / 2];
    };
    const isSeen = ([x, y]) => button.contains(document.elementFromPoint(x, y));
    if (!isSeen(middle())) button.scrollIntoView({ block: 'center', behavior: 'instant' });
    await new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)));
    return [...middle(), button.ariaLabel];
})()";
/// How long finding what is next took last, as the page timed it.
const FOUND: &str = "performance.getEntriesByName('next-found', 'measure').at(-1).duration";

/// Takes the figures on a phone that holds nothing else.
pub fn figures(world: &World) -> Vec<Figure> {
    let page = world.browser().blank();
    must(page.go(&world.address()));
    page.wait_until_open();
    page.job("Long Reach", "Off-list");
    page.tap_named("button", "Putting together");
    page.wait_for(BIG, PATIENCE);
    quieten(&page);
    must(page.call("Performance.enable", json!({})));
    let slowed = slow(&page, SLOWED);
    sleep(Duration::from_secs(2));
    let mut figures = taps(&page, &slowed).to_vec();
    figures.extend(scroll(&page, &slowed));
    figures
}

fn taps(page: &Page, slowed: &str) -> [Figure; 2] {
    let (mut scripts, mut finds) = (Vec::new(), Vec::new());
    for _ in 0..TAPS {
        let [script, found] = tap(page);
        scripts.push(script);
        finds.push(found);
    }
    let figure = |name: &str, of: &[f64], aim, what: &str| {
        milliseconds(
            name.to_owned(),
            percentile(of, 98),
            aim,
            format!(
                "{what}; {ITEMS} items, {TIES} ties, a photo each; {slowed}; 98th percentile of {TAPS} taps, median {:.1} ms",
                percentile(of, 50)
            ),
        )
    };
    [
        figure("next-item-script-4x", &scripts, None, "all script of a tap and of the second after it"),
        figure("next-item-found-4x", &finds, Some(FOUND_AIM), "finding what goes on next, alone"),
    ]
}

/// Puts the next thing on; returns the script of the tap, and of that finding what is next then.
fn tap(page: &Page) -> [f64; 2] {
    let (x, y, name): (f64, f64, String) = must(page.eval(AIM));
    sleep(REST);
    let before = script_ms(page);
    let touch = |kind: &str, points| {
        must(page.call("Input.dispatchTouchEvent", json!({ "type": kind, "touchPoints": points })));
    };
    touch("touchStart", json!([{ "x": x, "y": y }]));
    touch("touchEnd", json!([]));
    sleep(AWAY);
    let script = script_ms(page) - before;
    page.wait_for(&format!("{BIG} && {BIG}.ariaLabel !== {}", json!(name)), PATIENCE);
    [script, must(page.eval(FOUND))]
}

fn scroll(page: &Page, slowed: &str) -> [Figure; 2] {
    must(page.eval::<()>("void window.scrollTo(0, 0)"));
    must(page.eval::<()>(WATCH));
    let mut most = 0.0_f64;
    for _ in 0..SCROLLS {
        for _ in 0..SCROLL_STEPS {
            must(page.eval::<()>(&format!("void window.scrollBy(0, {SCROLL_PIXELS})")));
            sleep(FRAME);
        }
        let usage = must(page.call("Runtime.getHeapUsage", json!({})));
        let sizes = ["usedSize", "embedderHeapUsedSize", "backingStorageSize"];
        most = most.max(sizes.iter().filter_map(|size| usage[size].as_f64()).sum());
    }
    let far: f64 = must(page.eval("window.scrollY"));
    assert!(far > 10_000.0, "the page scrolled {far} pixels; {}", page.describe());
    let long: Vec<f64> = must(page.eval("long"));
    let conditions = format!("{ITEMS} items with a photo each; {far:.0} pixels, 400 in 33 ms, {slowed}");
    [
        Figure {
            name: "off-list-scroll-long-tasks-4x".to_owned(),
            value: long.len() as f64,
            unit: Unit::Tasks,
            aim: Some(0.0),
            conditions: format!(
                "{conditions}; tasks of more than 50 ms, the longest {:.0}",
                long.iter().copied().fold(0.0, f64::max)
            ),
        },
        Figure {
            name: "off-list-memory".to_owned(),
            value: (most / 1_000.0).round(),
            unit: Unit::Kilobytes,
            aim: Some(MEMORY_AIM),
            conditions: format!("{conditions}; script, DOM and WebAssembly, the most of {SCROLLS} readings"),
        },
    ]
}

/// Returns how long script ran on the page's own thread, in milliseconds.
fn script_ms(page: &Page) -> f64 {
    let told = must(page.call("Performance.getMetrics", json!({})));
    let metrics = told["metrics"].as_array().cloned().unwrap_or_default();
    let script = metrics.iter().find(|it| it["name"] == "ScriptDuration");
    script.and_then(|it| it["value"].as_f64()).map_or(f64::NAN, |seconds| seconds * 1_000.0)
}

/// Returns the teardown as a backup.
pub fn book() -> Vec<u8> {
    let mut log = Log { tip: Tip::fresh(DeviceId::new(*b"quaytear")), now: demo::now().unwrap(), lines: Vec::new() };
    let boat = BoatId(log.say(Event::BoatAdded(BoatFacts { name: Label::new("Long Reach"), ..BoatFacts::default() })));
    let job = JobId(log.say(Event::JobOpened { boat, engine: None, title: Label::new("All of it apart") }));
    log.say(Event::LineAdded { job, pay: PayType::CustomerPay, complaint: Prose::new("Everything leaks.") });
    let mut blobs = Vec::new();
    let items: Vec<ItemId> = (0..ITEMS).map(|nth| log.item(job, nth, &mut blobs)).collect();
    // What came off earlier waits for what came off later, across sides too.
    for nth in 0..TIES {
        let earlier = nth * 7_919 % (ITEMS - 1);
        let later = earlier + 1 + nth * 31 % (ITEMS - 1 - earlier);
        log.say(Event::Tied(Tie { item: items[later], kind: TieKind::Behind, other: items[earlier] }));
    }
    let names: Vec<BlobId> = blobs.iter().map(|blob: &(BlobId, Vec<u8>)| blob.0).collect();
    let bytes = |name| blobs.iter().find(|blob| blob.0 == name).map(|blob| blob.1.clone());
    pieces::assemble(&backup::pieces(log.lines.iter().map(Vec::as_slice), &names), bytes)
}

struct Log {
    tip: Tip,
    now: Moment,
    lines: Vec<Vec<u8>>,
}

impl Log {
    fn say(&mut self, event: Event) -> EventId {
        let (line, sealed) = seal(self.tip.record(self.now, event));
        self.tip.advance(&sealed);
        self.lines.push(line);
        sealed.record.id
    }

    fn item(&mut self, job: JobId, nth: usize, blobs: &mut Vec<(BlobId, Vec<u8>)>) -> ItemId {
        let what = format!("Bolt {nth}");
        let (what, side, stowed) = (Label::new(&what), Label::new(SIDES[nth % SIDES.len()]), Label::new("tray 1"));
        let size = Label::new("M8 x 30, 13 mm");
        let item = ItemFacts { what, side, count: Count(1), size, stowed, ..ItemFacts::default() };
        let id = ItemId(self.say(Event::CameOff { job, item }));
        let jpeg = picture(nth);
        let photo = PhotoFacts {
            blob: BlobId::of(&jpeg),
            bytes: jpeg.len() as u32,
            width: PHOTO.0,
            height: PHOTO.1,
            caption: Label::default(),
            taken: None,
            position: None,
        };
        blobs.push((photo.blob, jpeg));
        self.say(Event::PhotoTaken { about: About::Item(id), photo });
        id
    }
}

/// Returns a picture that no other number gives.
fn picture(nth: usize) -> Vec<u8> {
    let (width, height) = (usize::from(PHOTO.0), usize::from(PHOTO.1));
    let tone = |at: usize| {
        let bit = (at % width) / 64 + (at / width) / 64 * 13;
        if bit < 16 && nth >> bit & 1 == 1 { 240 } else { (at % width / 8) as u8 }
    };
    let pixels: Vec<u8> = (0..width * height).map(tone).collect();
    let mut jpeg = Vec::new();
    Encoder::new(&mut jpeg, 60).encode(&pixels, PHOTO.0, PHOTO.1, ColorType::Luma).unwrap();
    jpeg
}
