//! What a document costs on a phone: time, memory, bytes; and beside it what the browser's
//! own printing of the same page costs.
//!
//! A job with forty photos as a phone keeps them, and a day of eight jobs without any, are
//! made as a person makes them, by the button. Time is from the moment at which the worker's
//! module is loaded and says so until the file is in the page: the page gives it the log and
//! the photos meanwhile. Chromium's own throttle slows the page's thread only, so the whole
//! process behind the page is stopped and let run in turn, worker and all; by how much that
//! slows is measured beside it and told.
//!
//! Memory is what the processes behind the pages hold of the machine's memory (`VmRSS`): the
//! most while one document is made, above what they hold before. Module, script, copies
//! between the two and whatever the browser adds are in it; the finished file is not, once the
//! browser's main process has it.

use std::fs;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread::{self, sleep};
use std::time::{Duration, Instant};

use jpeg_encoder::{ColorType, Encoder};
use quaywright_core::command::Command;
use quaywright_core::event::{About, Activity, On, PhotoFacts, StoryPart};
use quaywright_core::exchange::{backup, pieces};
use quaywright_core::id::{BlobId, JobId};
use quaywright_core::moment::Moment;
use quaywright_core::text::Label;
use quaywright_xtask::bench::{Figure, Unit};
use quaywright_xtask::demo;
use serde_json::{Value, json};

use crate::failure::must;
use crate::ground::World;
use crate::page::Page;
use crate::phone::Phone;
use crate::start::quieten;
use crate::{milliseconds, percentile};

const PHOTOS: usize = 40;
/// As the app keeps photos: a long side of 1,600 pixels.
const PHOTO: (u16, u16) = (1_600, 1_200);
const JOBS: usize = 8;
/// How often each document is made.
const TIMES: usize = 5;
const SLOWED: u32 = 4;
const PATIENCE: Duration = Duration::from_secs(120);
const HOUR_MS: i64 = 60 * 60 * 1_000;

/// The most that each may be: milliseconds, kilobytes, times the photos' bytes.
const SUMMARY_AIM: f64 = 1_000.0;
const DAY_AIM: f64 = 300.0;
const MEMORY_AIM: f64 = 200_000.0;
const BYTES_AIM: f64 = 1.03;

/// Notes when the worker of the documents said what, and how large the file was.
const WATCH: &str = "(() => {
    const Plain = Worker;
    globalThis.Worker = function (script, ...rest) {
        const worker = new Plain(script, ...rest);
        if (!String(script).includes('papers')) return worker;
        const clock = {};
        worker.addEventListener('message', ({ data: [words, beside] }) => {
            const word = words.split(' ')[0];
            clock[word] ??= performance.now();
            if (word === 'made') globalThis.made = { ms: clock.made - clock.ready, bytes: beside.size };
        });
        return worker;
    };
})()";

/// Chooses the page instead of the PDF.
const AS_PAGE: &str = "(() => {
    const options = [...document.querySelectorAll('option')];
    const list = options.find(it => it.innerText === 'Page (HTML)').closest('select');
    list.value = '';
    list.dispatchEvent(new Event('change', { bubbles: true }));
})()";

/// How far a loop of nothing gets in some milliseconds, a millisecond.
const SPIN: &str = "(() => {
    const begin = performance.now();
    let rounds = 0;
    while (performance.now() - begin < 600) rounds += 1;
    return rounds / (performance.now() - begin);
})()";

/// Takes the figures on a phone that holds nothing else.
pub fn figures(world: &World) -> Vec<Figure> {
    let page = world.browser().blank();
    must(page.before_each_document(WATCH));
    must(page.go(&world.address()));
    page.wait_until_open();
    page.place("Hand over");
    page.choose_labelled("Documents as", "PDF, A4");
    page.choose_labelled("Job", "Long Reach · All of it with photos");
    quieten(&page);
    sleep(Duration::from_secs(2));
    let photos = photo_bytes();
    let (summary, day) = ("Make the work summary", "Make the day's file");
    let whole_speed = (made(&page, summary), made(&page, day));
    let memory = memory(world, &page, summary);
    let free: f64 = must(page.eval(SPIN));
    let slow = world.browser().slow_renderers(SLOWED);
    let by: f64 = free / must(page.eval::<f64>(SPIN));
    let slowed = (made(&page, summary), made(&page, day));
    drop(slow);
    let told = |what: &str, speed: &str, made: &Made| {
        format!(
            "{what}, PDF on A4, from the loaded module to the file in the page, {speed}; median of {TIMES}, {:.0} to {:.0} ms",
            percentile(&made.times, 0),
            percentile(&made.times, 100)
        )
    };
    let job = format!("a job with {PHOTOS} photos of {} kB in all", photos / 1_000);
    let jobs = format!("a day of {JOBS} jobs without photos");
    let whole = "at this machine's speed";
    let slower = format!("page and worker slowed {by:.1} times by the clock");
    let time = |name: &str, aim, conditions, made: &Made| {
        milliseconds(name.to_owned(), percentile(&made.times, 50), aim, conditions)
    };
    let mut figures = vec![
        time("job-summary-40-photos", None, told(&job, whole, &whole_speed.0), &whole_speed.0),
        time("job-summary-40-photos-4x", Some(SUMMARY_AIM), told(&job, &slower, &slowed.0), &slowed.0),
        time("day-bundle-8-jobs", Some(DAY_AIM), told(&jobs, whole, &whole_speed.1), &whole_speed.1),
        time("day-bundle-8-jobs-4x", None, told(&jobs, &slower, &slowed.1), &slowed.1),
        Figure {
            name: "job-summary-40-photos-memory".to_owned(),
            value: memory,
            unit: Unit::Kilobytes,
            aim: Some(MEMORY_AIM),
            conditions: format!("{job}; growth of the processes behind the pages, read each 10 ms"),
        },
        times_the_photos("job-summary-40-photos-bytes", whole_speed.0.bytes, photos, Some(BYTES_AIM), &job),
    ];
    figures.extend(printed(world, &page, photos, &job));
    figures
}

/// What came of making one document some times.
struct Made {
    times: Vec<f64>,
    bytes: f64,
}

fn made(page: &Page, button: &str) -> Made {
    let (mut times, mut bytes) = (Vec::new(), 0.0);
    for _ in 0..TIMES {
        let it = make(page, button);
        times.push(it["ms"].as_f64().unwrap());
        bytes = it["bytes"].as_f64().unwrap();
        tap(page, "Make it anew");
    }
    Made { times, bytes }
}

/// Taps the button of these words: the tree of names is not kept while it is measured.
fn tap(page: &Page, words: &str) {
    page.tap_said(&format!("[...document.querySelectorAll('button')].find(it => it.innerText === {})", json!(words)));
}

/// Makes a document and leaves it on the screen.
fn make(page: &Page, button: &str) -> Value {
    must(page.eval::<()>("void (globalThis.made = undefined)"));
    tap(page, button);
    page.wait_for("globalThis.made", PATIENCE);
    page.wait_for_text("is ready, ");
    must(page.eval("made"))
}

/// Returns by how many kilobytes the processes behind the pages grow while a document is made.
fn memory(world: &World, page: &Page, button: &str) -> f64 {
    let renderers = world.browser().renderers();
    let held = move || renderers.iter().map(|pid| resident_kb(*pid)).sum::<u64>();
    let before = held();
    let is_over = Arc::new(AtomicBool::new(false));
    let over = Arc::clone(&is_over);
    let watching = thread::spawn(move || {
        let mut most = 0;
        while !over.load(Ordering::Relaxed) {
            most = most.max(held());
            sleep(Duration::from_millis(10));
        }
        most
    });
    make(page, button);
    is_over.store(true, Ordering::Relaxed);
    let most = watching.join().unwrap();
    tap(page, "Make it anew");
    // The system counts in 1,024 bytes.
    (most.saturating_sub(before) as f64 * 1.024).round()
}

fn resident_kb(pid: u32) -> u64 {
    let status = fs::read_to_string(format!("/proc/{pid}/status")).unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:"));
    line.and_then(|line| line.split_whitespace().next()?.parse().ok()).unwrap_or_default()
}

fn times_the_photos(name: &str, bytes: f64, photos: u64, aim: Option<f64>, conditions: &str) -> Figure {
    let value = (bytes / photos as f64 * 10_000.0).round() / 10_000.0;
    Figure { name: name.to_owned(), value, unit: Unit::Times, aim, conditions: format!("{conditions}; {bytes} bytes") }
}

/// Has the browser print the same page.
fn printed(world: &World, page: &Page, photos: u64, job: &str) -> [Figure; 2] {
    must(page.eval::<()>(AS_PAGE));
    tap(page, "Make the work summary");
    page.wait_for_text("is ready, ");
    tap(page, "Save");
    let file = world.browser().wait_download("work on Long Reach");
    let print = world.browser().blank();
    must(print.go(&format!("file://{}", file.to_string_lossy().replace(' ', "%20"))));
    print.wait_for("[...document.images].every(it => it.complete && it.naturalWidth)", PATIENCE);
    let how = json!({ "preferCSSPageSize": true, "generateTaggedPDF": true, "generateDocumentOutline": true });
    let (mut times, mut bytes) = (Vec::new(), 0.0);
    for _ in 0..TIMES {
        let begin = Instant::now();
        let answer = must(print.call("Page.printToPDF", how.clone()));
        times.push(begin.elapsed().as_secs_f64() * 1_000.0);
        let base64 = answer["data"].as_str().unwrap();
        bytes = (base64.len() / 4 * 3 - base64.bytes().rev().take_while(|&byte| byte == b'=').count()) as f64;
    }
    let conditions = format!("the page of {job}, printed by Chromium at this machine's speed");
    [
        milliseconds("job-summary-40-photos-printed".to_owned(), percentile(&times, 50), None, conditions.clone()),
        times_the_photos("job-summary-40-photos-printed-bytes", bytes, photos, None, &conditions),
    ]
}

/// Returns the two as a backup.
pub fn book() -> Vec<u8> {
    let now = demo::now().unwrap();
    let earlier = |hours: i64| Moment::new(now.utc_ms() - hours * HOUR_MS, now.offset_min()).unwrap().to_string();
    let mut phone = Phone::new(0x9a, &earlier(100));
    phone.named("M. Sluice", "Lower Basin Boatyard");
    let (job, line) = phone.job("Long Reach", "P. Wherry", "All of it with photos", "Everything weeps.");
    phone.tell(line, StoryPart::Cause, "Hoses and seals of the first owner.");
    phone.tell(line, StoryPart::Correction, "All of them new, each one photographed.");
    let blobs: Vec<(BlobId, Vec<u8>)> = (0..PHOTOS).map(|nth| photograph(&mut phone, job, nth)).collect();
    phone.is(&earlier(1));
    for nth in 0..JOBS {
        let (job, line) = phone.job(&format!("Heron {nth}"), "A. Finch", "Winter lay-up", "To be laid up");
        let before = earlier(1);
        phone.clock(&before, Activity::Labour, On::Line(line));
        phone.tell(line, StoryPart::Cause, "The season is over; coolant tested at -12 degrees.");
        phone.tell(line, StoryPart::Correction, "Drained, fogged, batteries out and on a charger.");
        phone.part(job, 2, "Oil filter", "OF-12");
        phone.off(job, 4, "Drain plug", "M12", "under", "bag on the wheel");
        phone.step(job, "Antifreeze through the raw-water side", true);
        phone.note(About::Job(job), "Owner wants the cover off in March.");
    }
    phone.stop(&now.to_string());
    let names: Vec<BlobId> = blobs.iter().map(|blob| blob.0).collect();
    let bytes = |name| blobs.iter().find(|blob| blob.0 == name).map(|blob| blob.1.clone());
    pieces::assemble(&backup::pieces(phone.lines.iter().map(Vec::as_slice), &names), bytes)
}

fn photograph(phone: &mut Phone, job: JobId, nth: usize) -> (BlobId, Vec<u8>) {
    let jpeg = picture(nth);
    let photo = PhotoFacts {
        blob: BlobId::of(&jpeg),
        bytes: u32::try_from(jpeg.len()).unwrap(),
        width: PHOTO.0,
        height: PHOTO.1,
        caption: Label::new(&format!("Hose {nth}, as found")),
        taken: None,
        position: None,
    };
    phone.must(Command::TakePhoto { about: About::Job(job), photo: photo.clone() });
    (photo.blob, jpeg)
}

/// Returns how many bytes the photos have together.
fn photo_bytes() -> u64 {
    (0..PHOTOS).map(|nth| picture(nth).len() as u64).sum()
}

/// Returns a picture of its own, about as hard to pack as a photo: shapes with grain over them.
fn picture(nth: usize) -> Vec<u8> {
    let (width, height) = (usize::from(PHOTO.0), usize::from(PHOTO.1));
    let mut grain = 0x2545_f491_u32.wrapping_add(nth as u32);
    let mut pixels = Vec::with_capacity(width * height * 3);
    for at in 0..width * height {
        let (x, y) = (at % width, at / width);
        // Marsaglia's xorshift of 32 bits (2003).
        grain ^= grain << 13;
        grain ^= grain >> 17;
        grain ^= grain << 5;
        let shape = ((x / 90 + y / 70 + nth) % 7 * 24) as u8 + (x * 60 / width) as u8;
        let tone = shape.saturating_add((grain >> 28) as u8);
        pixels.extend_from_slice(&[tone, tone.saturating_add(12), tone.saturating_sub(9)]);
    }
    let mut jpeg = Vec::new();
    Encoder::new(&mut jpeg, 82).encode(&pixels, PHOTO.0, PHOTO.1, ColorType::Rgb).unwrap();
    jpeg
}
