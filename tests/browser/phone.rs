//! One technician's phone, in the words of whoever breaks it.
//!
//! A phone is a browser on its own profile and the workbook in it. It works, it
//! dies, it wakes, and then somebody looks at what it still holds. What it holds
//! is never asked of the page: the phone makes a backup as any technician does,
//! and the core reads that file here, record by record.
//!
//! Rule: what the screen said is kept counts as acknowledged, and nothing else.

use std::collections::BTreeSet;
use std::path::Path;
use std::thread::sleep;
use std::time::{Duration, Instant};

use quaywright_core::event::{Doing, Event};
use quaywright_core::exchange::intake;
use quaywright_core::id::BlobId;
use quaywright_core::log::{Log, Sealed};
use serde_json::json;

use crate::failure::{Failure, must};
use crate::ground::World;
use crate::page::{Page, SOON, Screen};

/// The activities that need no job, as their buttons say.
pub const ACTIVITIES: [&str; 6] = ["Travel", "Parts run", "Waiting", "Paperwork", "Meal period", "Rest period"];

/// How long an action may take until the workbook has said whether it is kept:
/// its three tries of four seconds, their reconnections, and some air.
pub const VERDICT: Duration = Duration::from_secs(40);

/// Does something at a place and waits for the words that follow; returns nothing when
/// they are the promised ones, else what the workbook said instead.
///
/// It runs in the page, so that a phone can die at any moment of it.
const DO: &str = "(async (place, find, deed, promised, patience) => {
    const end = performance.now() + patience;
    const until = async (come, what) => {
        while (!come()) {
            if (performance.now() > end) throw new Error(what + ' in ' + document.body.innerText.slice(0, 600));
            await new Promise(done => setTimeout(done, 4));
        }
        return come();
    };
    const said = () => document.querySelector('.said [role]');
    if (location.hash !== place) location.hash = place;
    await until(find, 'nothing to take in hand');
    if (said()) document.querySelector('.said [aria-label=\"Hide this line\"]').click();
    await until(() => !said(), 'the last line stays');
    await deed(find());
    const line = await until(said, 'nothing is said');
    return line.role === 'status' && line.textContent === promised ? '' : line.textContent;
})";

/// Finds the button of an activity on no job.
const ACTIVITY: &str = "() => [...document.querySelectorAll('.choices button')]
    .find(it => it.textContent === ACTIVITY && it.closest('section').ariaLabel === 'On no job')";

/// Gives the camera's input a picture of pure noise, which no codec makes small: some 300 kB.
const NOISE: &str = "async input => {
    const canvas = new OffscreenCanvas(760, 570), pen = canvas.getContext('2d');
    const picture = pen.createImageData(760, 570), dots = new Uint32Array(picture.data.buffer);
    let state = SEED;
    for (let at = 0; at < dots.length; at++) {
        state ^= state << 13; state ^= state >>> 17; state ^= state << 5;
        dots[at] = state | 0xff000000;
    }
    pen.putImageData(picture, 0, 0);
    const blob = await canvas.convertToBlob({ type: 'image/jpeg', quality: 0.9 });
    const files = new DataTransfer();
    files.items.add(new File([blob], 'photo.jpg', { type: 'image/jpeg' }));
    input.files = files.files;
    input.dispatchEvent(new Event('change'));
}";

/// Tells whether everything in the database is in the second copy too.
const COPIED: &str = "(async () => {
    const database = await new Promise((done, fail) => {
        const opening = indexedDB.open('quaywright');
        opening.onsuccess = () => done(opening.result);
        opening.onerror = () => fail(opening.error);
    });
    const ask = (part, what) => new Promise((done, fail) => {
        const asked = database.transaction([part]).objectStore(part)[what]();
        asked.onsuccess = () => done(asked.result);
        asked.onerror = () => fail(asked.error);
    });
    const [records, photos] = [await ask('events', 'getAll'), await ask('blobs', 'getAllKeys')];
    database.close();
    const folder = await (await (await navigator.storage.getDirectory()).getDirectoryHandle('quaywright'))
        .getDirectoryHandle('quaywright');
    const copied = new Set();
    let log = '';
    for await (const [name, file] of folder) {
        if (name.startsWith('log-')) log += await (await file.getFile()).text();
        if (name === 'photos') for await (const photo of file.keys()) copied.add(photo);
    }
    const words = new TextDecoder();
    return photos.every(it => copied.has(it)) && records.every(it => log.includes(words.decode(it)));
})()";

/// A phone with the workbook on it.
pub struct Phone {
    world: World,
    page: Option<Page>,
}

/// What an action came to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// The screen said that it is kept.
    Kept,
    /// The screen said something else: these words.
    NotKept(String),
}

impl Phone {
    /// Returns a new phone on which the workbook is open.
    #[track_caller]
    pub fn new() -> Self {
        Self::with(World::of_app())
    }

    /// Returns a new phone whose workbook comes from this folder.
    #[track_caller]
    pub fn of(root: &Path) -> Self {
        Self::with(World::of(root, Screen::PHONE))
    }

    #[track_caller]
    fn with(world: World) -> Self {
        let mut phone = Self { world, page: None };
        phone.wakes();
        phone
    }

    /// Returns the page with the workbook.
    #[track_caller]
    pub fn page(&self) -> &Page {
        self.page.as_ref().expect("the phone is off: call wakes first")
    }

    /// Hands over the page with the workbook, as one tab among others.
    #[track_caller]
    pub fn gives_page(&mut self) -> Page {
        self.page.take().expect("the phone is off: call wakes first")
    }

    /// Works on in this page.
    pub fn takes_page(&mut self, page: Page) {
        self.page = Some(page);
    }

    /// Returns what stands around the phone.
    pub fn world(&self) -> &World {
        &self.world
    }

    /// Returns what stands around the phone, to be changed.
    pub fn world_mut(&mut self) -> &mut World {
        &mut self.world
    }

    /// Opens the workbook in a new tab instead of the old one, where the phone is off
    /// after switching it on.
    #[track_caller]
    pub fn wakes(&mut self) {
        if !self.world.is_running() {
            self.world.start_browser();
        }
        if let Some(dead) = self.page.take() {
            // One whose process died cannot be closed in better order.
            let _ = dead.close();
        }
        self.page = Some(self.world.open_workbook());
    }

    /// Goes off at once, as with a flat battery.
    #[track_caller]
    pub fn dies(&mut self) {
        self.page = None;
        self.world.kill_browser();
    }

    /// Goes off at once after this time, in the middle of whatever it does then.
    #[track_caller]
    pub fn dies_after(&self, wait: Duration) {
        self.world.kill_browser_after(wait);
    }

    /// Loses the process behind the page after this time; the browser lives on.
    #[track_caller]
    pub fn page_dies_after(&self, wait: Duration) {
        self.world.browser().kill_renderers_after(wait);
    }

    /// Is switched off in good order; its files are at rest afterwards.
    #[track_caller]
    pub fn sleeps(&mut self) {
        self.page = None;
        self.world.close_browser();
    }

    /// Opens, instead of the workbook, another page of its origin, to set something up first.
    #[track_caller]
    pub fn opens_beside(&mut self) -> &Page {
        if !self.world.is_running() {
            self.world.start_browser();
        }
        let page = self.world.browser().open(&format!("{}manifest.webmanifest", self.world.address()));
        if let Some(workbook) = self.page.replace(page) {
            must(workbook.close());
        }
        self.page()
    }

    /// Opens the workbook at an address, where the phone is off after switching it on.
    #[track_caller]
    pub fn opens(&mut self, address: &str) {
        if !self.world.is_running() {
            self.world.start_browser();
        }
        let page = self.page.insert(self.world.browser().open(address));
        page.wait_until_open();
    }

    /// Begins to open the workbook, though the phone may die before it is open.
    pub fn opens_as_far_as_it_gets(&self) {
        let gone = self.page().go(&self.world.address());
        // Whether it got there or not: it is dead when this ends.
        while gone.is_ok() && self.page().eval::<u32>("1").is_ok() {
            sleep(Duration::from_millis(5));
        }
    }

    /// Begins to take the new version, though the phone may die meanwhile.
    pub fn takes_new_version_as_far_as_it_gets(&self) {
        let take =
            "[...document.querySelectorAll('button')].find(it => it.textContent === 'Use the new version').click()";
        // It may be dead before the button is found.
        let _ = self.page().eval::<()>(&format!("void {take}"));
        while !matches!(self.page().eval::<u32>("1"), Err(Failure::Gone(_))) {
            sleep(Duration::from_millis(5));
        }
    }

    /// Goes from such a page to the workbook.
    #[track_caller]
    pub fn opens_workbook_there(&self) {
        must(self.page().go(&self.world.address()));
        self.page().wait_until_open();
    }

    /// Loads the workbook anew in the same page.
    #[track_caller]
    pub fn reloads(&self) {
        must(self.page().reload());
        self.page().wait_until_open();
    }

    /// Taps an activity on no job and waits for what the workbook says.
    pub fn tries(&self, activity: &str) -> Result<Verdict, Failure> {
        Self::tries_in(self.page(), activity)
    }

    /// Taps an activity in another tab and waits for what the workbook says there.
    pub fn tries_in(tab: &Page, activity: &str) -> Result<Verdict, Failure> {
        let find = ACTIVITY.replace("ACTIVITY", &json!(activity).to_string());
        does(tab, "#/now", &find, "it => it.click()", &format!("{activity} from now on"))
    }

    /// Writes a note on the day and waits for what the workbook says.
    pub fn notes(&self, text: &str) -> Result<Verdict, Failure> {
        let find = "() => document.querySelector('main form textarea')";
        let deed = format!(
            "async text => {{
                text.value = {};
                text.dispatchEvent(new Event('input', {{ bubbles: true }}));
                await new Promise(done => setTimeout(done, 10));
                text.form.requestSubmit();
            }}",
            json!(text)
        );
        does(self.page(), "#/note", find, &deed, "Note kept")
    }

    /// Takes a photo of noise for what is on the clock, and waits for what the workbook says.
    pub fn photographs(&self, seed: u32) -> Result<Verdict, Failure> {
        let find = "() => document.querySelector('.clock input[type=file]')";
        does(self.page(), "#/now", find, &NOISE.replace("SEED", &(seed * 2 + 1).to_string()), "Photo kept")
    }

    /// Taps an activity on no job, which is kept.
    #[track_caller]
    pub fn taps(&self, activity: &str) {
        assert_eq!(must(self.tries(activity)), Verdict::Kept, "{activity}");
    }

    /// Waits until the screen shows these words.
    #[track_caller]
    pub fn shows(&self, words: &str) {
        self.page().wait_for_text(words);
    }

    /// Ends the test if the screen shows these words.
    #[track_caller]
    pub fn does_not_show(&self, words: &str) {
        let text = self.page().text();
        assert!(!text.contains(words), "it shows “{words}”:\n{text}");
    }

    /// Makes a backup and returns what is in it.
    #[track_caller]
    pub fn holds(&self) -> Held {
        Held::of(self.world.backup(self.page()))
    }

    /// Brings back a backup from a file of this name.
    #[track_caller]
    pub fn brings_back(&self, name: &str, bytes: &[u8]) {
        let file = self.world.lay_out(name, bytes);
        self.page().bring_back(file);
    }

    /// Says on the page of a loss that work goes on without what is missing.
    #[track_caller]
    pub fn goes_on_without_what_is_missing(&self) {
        self.page().tap_named("button", "Carry on without what is missing …");
        self.page().tap_named("button", "Yes, carry on without it");
        self.shows("Jobs");
        self.does_not_show("is missing");
    }

    /// Waits until everything in the database is in the second copy too.
    #[track_caller]
    pub fn rests(&self) {
        let deadline = Instant::now() + 2 * SOON;
        // A file that is being written just then cannot be read: look again.
        while !self.page().eval::<bool>(COPIED).unwrap_or(false) {
            assert!(Instant::now() < deadline, "the second copy stays behind; {}", self.page().describe());
            sleep(Duration::from_millis(100));
        }
    }

    /// Waits until the database holds so many photos.
    #[track_caller]
    pub fn waits_for_photos(&self, count: usize) {
        let deadline = Instant::now() + 2 * SOON;
        while self.keys_of("blobs").len() < count {
            assert!(Instant::now() < deadline, "{} photos of {count} came back", self.keys_of("blobs").len());
            sleep(Duration::from_millis(100));
        }
    }

    /// Returns the names under which a part of the database holds something.
    #[track_caller]
    pub fn keys_of(&self, part: &str) -> BTreeSet<String> {
        let js = format!(
            "new Promise((done, fail) => {{
                const opening = indexedDB.open('quaywright');
                opening.onerror = () => fail(opening.error);
                opening.onsuccess = () => {{
                    const asked = opening.result.transaction([{part}]).objectStore({part}).getAllKeys();
                    asked.onerror = () => fail(asked.error);
                    asked.onsuccess = () => {{ opening.result.close(); done(asked.result); }};
                }};
            }})",
            part = json!(part)
        );
        must(self.page().eval(&js))
    }
}

/// Does something with what `find` finds at a place; `promised` are the words when it is kept.
fn does(page: &Page, place: &str, find: &str, deed: &str, promised: &str) -> Result<Verdict, Failure> {
    let patience = VERDICT.as_millis();
    let call = format!("{DO}({}, {find}, {deed}, {}, {patience})", json!(place), json!(promised));
    let words: String = page.eval(&call)?;
    Ok(if words.is_empty() { Verdict::Kept } else { Verdict::NotKept(words) })
}

/// What a backup holds, read by the core.
pub struct Held {
    /// The file.
    pub file: Vec<u8>,
    /// Each record with its line, in order of name.
    pub records: Vec<(Vec<u8>, Sealed)>,
    /// The photos that came with it.
    pub photos: BTreeSet<BlobId>,
}

impl Held {
    /// Reads a backup; ends the test where it is not whole, or a chain in it does not hold.
    #[track_caller]
    pub fn of(file: Vec<u8>) -> Self {
        let taken = intake::take(&file).expect("the phone writes backups that can be read");
        assert_eq!(taken.faults, [], "faults in the backup");
        let mut log = Log::default();
        taken.records.iter().for_each(|(_, sealed)| log.take(sealed.clone()));
        assert_eq!(log.faults(), [], "faults in the log");
        let mut records = taken.records;
        records.sort_by_key(|(_, sealed)| sealed.record.id);
        let photos = taken.blobs.into_iter().map(|(id, _)| id).collect();
        Self { file, records, photos }
    }

    /// Returns what the clock was switched to, in order.
    pub fn clock(&self) -> Vec<String> {
        let mut log = Log::default();
        self.records.iter().for_each(|(_, sealed)| log.take(sealed.clone()));
        let switched = |sealed: &&Sealed| match &sealed.record.event {
            Event::ClockSwitched { to: Doing::At { activity, .. } } => Some(activity.words().to_lowercase()),
            Event::ClockSwitched { to: Doing::Off } => Some("off".to_owned()),
            _ => None,
        };
        log.in_order().iter().filter_map(switched).collect()
    }

    /// Returns the photos that records name.
    pub fn photos_named(&self) -> Vec<BlobId> {
        let named = |(_, sealed): &(Vec<u8>, Sealed)| match &sealed.record.event {
            Event::PhotoTaken { photo, .. } => Some(photo.blob),
            _ => None,
        };
        self.records.iter().filter_map(named).collect()
    }

    /// Returns the record lines alone.
    pub fn lines(&self) -> Vec<&[u8]> {
        self.records.iter().map(|(line, _)| line.as_slice()).collect()
    }
}

/// Ends the test unless everything that was acknowledged is there, in order, and nothing
/// twice: at most the one action that was under way when the phone died may be there too.
#[track_caller]
pub fn assert_kept(acknowledged: &[&str], held: &[String], about: &str) {
    let told: Vec<String> = acknowledged.iter().map(|it| it.to_lowercase()).collect();
    let rest = held.strip_prefix(told.as_slice()).unwrap_or_else(|| {
        panic!("{about}: acknowledged {} events, held {}:\n{told:?}\n{held:?}", told.len(), held.len())
    });
    assert!(rest.len() <= 1, "{about}: more than the one action under way was kept beyond {told:?}: {rest:?}");
}

/// Numbers that look like chance and that a seed decides, so that a failure can be had again.
pub struct Chance(u64);

impl Chance {
    /// Returns the sequence of the seed in `QUAYWRIGHT_SEED`, or of a new one; and says which.
    #[allow(clippy::print_stderr, reason = "who wants a failure again needs its seed")]
    pub fn drawn(test: &str) -> Self {
        let named = std::env::var("QUAYWRIGHT_SEED").ok().and_then(|it| it.parse().ok());
        let clock = || std::time::UNIX_EPOCH.elapsed().map_or(1, |it| it.as_secs());
        let seed = named.unwrap_or_else(clock);
        eprintln!("{test}: QUAYWRIGHT_SEED={seed}");
        Self(seed)
    }

    /// Returns a number below `end`. SplitMix64: Steele, Lea, Flood, OOPSLA 2014, figure 14.
    pub fn below(&mut self, end: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (mixed ^ (mixed >> 31)) % end.max(1)
    }

    /// Returns a time between two, in milliseconds.
    pub fn between(&mut self, least: u64, most: u64) -> Duration {
        Duration::from_millis(least + self.below(most - least))
    }

    /// Returns an activity other than the last one.
    pub fn activity(&mut self, last: Option<&str>) -> &'static str {
        let others: Vec<&'static str> = ACTIVITIES.into_iter().filter(|&it| Some(it) != last).collect();
        others[self.below(others.len() as u64) as usize]
    }
}

/// How many rounds of sudden death a test plays: `QUAYWRIGHT_KILLS`, or fifty.
pub fn kills() -> u32 {
    std::env::var("QUAYWRIGHT_KILLS").ok().and_then(|it| it.parse().ok()).unwrap_or(50)
}
