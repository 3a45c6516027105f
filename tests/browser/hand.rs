//! What a technician does with the workbook, in a technician's words.
//!
//! A test reads as a day does: open a job, take off twelve bolts, write the
//! cause, close the day. Each of these waits until the workbook has said that
//! it is kept, so the next one never runs ahead of the one before it.
//!
//! The clock on the wall can be set: a day of eight hours is worked in seconds,
//! by adding to what the page is told of the time. The real clock runs on under
//! it, so nothing stands still that would not.

use std::fs;
use std::path::PathBuf;

use data_encoding::BASE64;
use quaywright_core::book::Book;
use quaywright_core::exchange::intake::Intake;
use quaywright_core::log::Log;
use serde_json::json;

use crate::failure::must;
use crate::ground::World;
use crate::page::{ANY, Page, SOON};

/// Puts a settable clock before the page's own; how far it is ahead outlives a reload of the tab.
const WALL_CLOCK: &str = "(() => {
    const Real = Date;
    const ahead = () => { try { return Number(sessionStorage.getItem('wall-clock')); } catch { return 0; } };
    globalThis.realNow = () => Real.now();
    globalThis.Date = class Date extends Real {
        constructor(...given) { super(...(given.length ? given : [Real.now() + ahead()])); }
        static now() { return Real.now() + ahead(); }
    };
})()";

/// Colours of the corners of a painted picture: top left, top right, bottom left, bottom right.
pub type Corners = [&'static str; 4];
/// A picture whose corners can be told apart.
pub const CORNERS: Corners = ["red", "lime", "blue", "white"];

/// Something that came off, as it is typed into the form.
pub struct Loose<'a> {
    /// What.
    pub what: &'a str,
    /// How many.
    pub count: &'a str,
    /// Size.
    pub size: &'a str,
    /// Side.
    pub side: &'a str,
    /// Where it lies.
    pub stowed: &'a str,
}

impl World {
    /// Opens the workbook and waits until one may work.
    #[track_caller]
    pub fn open_workbook(&self) -> Page {
        let page = self.open();
        page.wait_until_open();
        page
    }

    /// Opens the workbook at a place and a time: `Europe/London`, `2026-05-04T08:00:00+01:00`.
    #[track_caller]
    pub fn open_workbook_at(&self, zone: &str, time: &str) -> Page {
        let page = self.browser().blank();
        must(page.call("Emulation.setTimezoneOverride", json!({ "timezoneId": zone })));
        must(page.before_each_document(WALL_CLOCK));
        must(page.go(&self.address()));
        page.set_wall_clock(time);
        must(page.reload());
        page.wait_until_open();
        page
    }

    /// Presses the button that makes a document, saves it, and returns its bytes.
    #[track_caller]
    pub fn save_document(&self, page: &Page, make: &str, name: &str) -> Vec<u8> {
        page.hide_what_was_said();
        page.tap_named("button", make);
        page.wait_for_text(name);
        page.tap_named("button", "Save");
        page.said(name);
        page.tap_named("button", "Make it anew");
        let file = self.browser().wait_download(name);
        let bytes = fs::read(&file).expect("a finished download can be read");
        fs::remove_file(file).expect("a download can be removed");
        bytes
    }

    /// Makes a backup and returns its bytes.
    #[track_caller]
    pub fn backup(&self, page: &Page) -> Vec<u8> {
        page.place("Hand over");
        self.save_document(page, "Make a backup", "quaywright backup")
    }

    /// Writes a file that can be picked by the page, and returns where it lies.
    #[track_caller]
    pub fn lay_out(&self, name: &str, bytes: &[u8]) -> PathBuf {
        let folder = self.desk_drawer();
        fs::create_dir_all(&folder).expect("the profile takes a folder");
        let path = folder.join(name);
        fs::write(&path, bytes).expect("the profile takes a file");
        path
    }
}

/// Returns the book that the records of a file give, and sees that they form one sound log.
#[track_caller]
pub fn book_of(intake: &Intake) -> Book {
    assert_eq!(intake.faults, []);
    let mut log = Log::default();
    for (_, sealed) in &intake.records {
        log.take(sealed.clone());
    }
    assert_eq!(log.faults(), []);
    let book = Book::replay(log.in_order().into_iter().map(|sealed| &sealed.record));
    assert_eq!(book.faults, []);
    book
}

impl Page {
    /// Waits until the workbook is open.
    #[track_caller]
    pub fn wait_until_open(&self) {
        self.wait_for("!document.getElementById('opening') && document.querySelector('main.workbook h1')", 2 * SOON);
    }

    /// Waits until the service worker answers for the page: from now on it opens without a network.
    #[track_caller]
    pub fn wait_until_offline_is_ready(&self) {
        must(self.eval::<()>(
            "void navigator.serviceWorker.ready.then(() => setTimeout(() => { globalThis.kept = true; }, 500))",
        ));
        self.wait_for("globalThis.kept", 3 * SOON);
        // A page that was on its way while the worker claimed the pages is missed, and served from its next load on.
        if !must(self.eval::<bool>("Boolean(navigator.serviceWorker.controller)")) {
            must(self.reload());
            self.wait_until_open();
        }
        self.wait_for("navigator.serviceWorker.controller", SOON);
    }

    /// Sets the clock on the wall.
    #[track_caller]
    pub fn set_wall_clock(&self, time: &str) {
        let js = format!("void sessionStorage.setItem('wall-clock', Date.parse({}) - realNow())", json!(time));
        must(self.eval::<()>(&js));
    }

    /// Lets so many minutes pass.
    #[track_caller]
    pub fn minutes_pass(&self, minutes: u32) {
        let js = format!(
            "void sessionStorage.setItem('wall-clock', Number(sessionStorage.getItem('wall-clock')) + {minutes} * 60000)"
        );
        must(self.eval::<()>(&js));
    }

    /// Goes to one of the places at the foot of the screen.
    #[track_caller]
    pub fn place(&self, name: &str) {
        self.tap_named("link", name);
        let current = format!("document.querySelector('nav.foot [aria-current]')?.innerText === {}", json!(name));
        self.wait_for(&current, SOON);
    }

    /// Waits until the workbook says these words at the foot of the screen.
    #[track_caller]
    pub fn said(&self, words: &str) {
        let js = format!("document.querySelector('.said')?.innerText.includes({})", json!(words));
        self.wait_for(&js, 2 * SOON);
    }

    /// Types into a field and leaves it.
    #[track_caller]
    pub fn write(&self, label: &str, text: &str) {
        self.fill_labelled(label, text);
        self.press("Tab");
    }

    /// Tells the workbook who works here.
    #[track_caller]
    pub fn name_technician(&self, name: &str, shop: &str) {
        self.place("Hand over");
        self.write("Your name, as documents show it", name);
        self.said("Name kept");
        self.hide_what_was_said();
        self.write("Shop", shop);
        self.said("Name kept");
    }

    /// Opens a job on a new boat with the clock running on it.
    #[track_caller]
    pub fn open_job(&self, boat: &str, owner: &str, title: &str, complaint: &str) {
        self.place("Now");
        self.tap_named("link", "New job");
        self.wait_for_text("Complaint, in the customer's words");
        self.fill_labelled("Boat's name", boat);
        self.fill_labelled("Owner", owner);
        self.fill_labelled("What is to be done", title);
        self.fill_labelled("Complaint, in the customer's words", complaint);
        self.tap_named("button", "Open it and start labour");
        self.said("is open");
        self.wait_for("location.hash === '#/now'", SOON);
    }

    /// Taps the first match of a selector that shows these words.
    #[track_caller]
    pub fn tap_words_in(&self, css: &str, words: &str) {
        let (css, words) = (json!(css), json!(words));
        self.tap_said(&format!("[...document.querySelectorAll({css})].find(it => it.innerText.includes({words}))"));
    }

    /// Goes to a part of a job, by the words on its row in the list.
    #[track_caller]
    pub fn job(&self, boat: &str, part: &str) {
        self.place("Jobs");
        let js = format!(
            "[...document.querySelectorAll('main a.entry')].find(it => it.innerText.includes({}))",
            json!(boat)
        );
        self.tap_said(&js);
        self.wait_for("document.querySelector('nav.parts')", SOON);
        self.part(part);
    }

    /// Goes to a part of the job that is open, by the first word of its link.
    #[track_caller]
    pub fn part(&self, part: &str) {
        let at = ["Story", "Off-list", "Steps", "Torque", "Readings", "Photos", "Parts", "Time", "Warranty"]
            .iter()
            .position(|it| *it == part);
        let at = at.expect("a job has a part of this name") + 1;
        self.tap(&format!("nav.parts a:nth-of-type({at})"));
        let current = format!("document.querySelector('nav.parts a:nth-of-type({at})').hasAttribute('aria-current')");
        self.wait_for(&current, SOON);
    }

    /// Unfolds what is folded behind these words.
    #[track_caller]
    pub fn unfold(&self, words: &str) {
        let folded = format!(
            "[...document.querySelectorAll('summary')].find(it => it.checkVisibility() && \
             it.innerText.trim() === {} && !it.parentElement.open)",
            json!(words)
        );
        // What lies far down is drawn when it comes near.
        let there = format!(
            "[...document.querySelectorAll('summary')].some(it => it.checkVisibility() && it.innerText.trim() === {})",
            json!(words)
        );
        self.wait_for(&there, SOON);
        if must(self.eval::<bool>(&format!("Boolean({folded})"))) {
            self.tap_said(&folded);
            self.wait_for(&format!("!{folded}"), SOON);
        }
    }

    /// Enters something that came off on the job that is open.
    #[track_caller]
    pub fn take_off(&self, loose: &Loose) {
        // What is chosen already is not chosen again.
        let chosen = "[...document.querySelectorAll('.part.current [aria-pressed=true]')].some(it => it.innerText === 'Taking apart')";
        if !must(self.eval::<bool>(chosen)) {
            self.tap_named("button", "Taking apart");
        }
        self.fill_labelled("What came off", loose.what);
        self.fill_labelled("How many", loose.count);
        self.fill_labelled("Size", loose.size);
        self.fill_labelled("Side (port, front, under …)", loose.side);
        self.fill_labelled("Where it lies now", loose.stowed);
        self.tap_named("button", "It came off");
        self.said(&format!("{} × {} off", loose.count, loose.what));
    }

    /// Picks files for the photo button of this name, and waits until a photo is kept.
    #[track_caller]
    pub fn photograph(&self, button: &str, files: &[PathBuf]) {
        self.pick(button, files);
        self.said("Photo kept");
    }

    /// Picks files for the photo button of this name.
    #[track_caller]
    pub fn pick(&self, button: &str, files: &[PathBuf]) {
        self.hide_what_was_said();
        self.choose_file(&format!("input[aria-label={}]", json!(format!("{button}: pick pictures"))), files);
    }

    /// Picks a file to bring back.
    #[track_caller]
    pub fn bring_back(&self, file: PathBuf) {
        self.hide_what_was_said();
        self.choose_file("input[aria-label='Bring back a backup']", &[file]);
    }

    /// Puts away what was said, so that the next words are new ones.
    #[track_caller]
    pub fn hide_what_was_said(&self) {
        let put_away = "(document.querySelector(\".said [aria-label='Hide this line']\")?.click(), \
                        !document.querySelector('.said').innerText.trim())";
        self.wait_for(put_away, SOON);
    }

    /// Stops the clock.
    #[track_caller]
    pub fn off_the_clock(&self) {
        self.place("Now");
        self.tap_named("button", "Off the clock");
        self.said("Off the clock");
    }

    /// Waits until the clock shows this activity.
    #[track_caller]
    pub fn clock_shows(&self, words: &str) {
        let js = format!("document.querySelector('.clock')?.innerText.includes({})", json!(words));
        self.wait_for(&js, SOON);
    }

    /// Taps the row of another job under “switch to labour on”.
    #[track_caller]
    pub fn switch_to(&self, boat: &str) {
        let row = format!(
            "[...document.querySelectorAll('main button.entry')].find(it => it.innerText.includes({}))",
            json!(boat)
        );
        self.tap_said(&row);
        self.said(&format!("Labour on {boat} from now on"));
    }

    /// Taps an activity, on the running job or on none.
    #[track_caller]
    pub fn do_now(&self, group: &str, activity: &str) {
        let button = format!(
            "[...document.querySelectorAll('section[aria-label] .choices button')].find(it => \
             it.innerText === {} && it.closest('section').ariaLabel === {})",
            json!(activity),
            json!(group)
        );
        self.tap_said(&button);
        self.said(&format!("{activity} from now on"));
        self.clock_shows(activity);
    }

    /// Paints a picture with a colour in each corner, in the page, and returns its file.
    #[track_caller]
    pub fn paint(&self, kind: &str, width: u32, height: u32, corners: Corners) -> Vec<u8> {
        let js = format!(
            "(async () => {{
                const [w, h] = [{width}, {height}];
                const canvas = new OffscreenCanvas(w, h);
                const pen = canvas.getContext('2d');
                {}.forEach((colour, at) => {{
                    pen.fillStyle = colour;
                    pen.fillRect(at % 2 * w / 2, Math.floor(at / 2) * h / 2, Math.ceil(w / 2), Math.ceil(h / 2));
                }});
                const file = await canvas.convertToBlob({{ type: 'image/{kind}', quality: 0.9 }});
                return await new Promise(done => {{
                    const reader = new FileReader();
                    reader.onload = () => done(reader.result.split(',')[1]);
                    reader.readAsDataURL(file);
                }});
            }})()",
            json!(corners)
        );
        let picture: String = must(self.eval(&js));
        BASE64.decode(picture.as_bytes()).expect("the page writes base64")
    }

    /// Returns the colours in the corners of a picture's file, as [`Corners`] names them, and its size.
    #[track_caller]
    pub fn corners(&self, picture: &[u8]) -> ([String; 4], [u32; 2]) {
        let js = format!(
            "(async () => {{
                const bytes = Uint8Array.from(atob({}), it => it.charCodeAt(0));
                const picture = await createImageBitmap(new Blob([bytes]), {{ imageOrientation: 'none' }});
                const pen = new OffscreenCanvas(picture.width, picture.height).getContext('2d');
                pen.drawImage(picture, 0, 0);
                const names = {{ red: [255, 0, 0], lime: [0, 255, 0], blue: [0, 0, 255], white: [255, 255, 255] }};
                const near = it => Object.keys(names).find(name => names[name].every((c, i) => Math.abs(c - it[i]) < 40));
                const at = (x, y) => [...pen.getImageData(picture.width * x, picture.height * y, 1, 1).data];
                const seen = [[.25, .25], [.75, .25], [.25, .75], [.75, .75]].map(it => at(...it));
                return [seen.map(it => near(it) ?? String(it)), [picture.width, picture.height]];
            }})()",
            json!(BASE64.encode(picture))
        );
        must(self.eval(&js))
    }

    /// Ends the test when the page complained of anything.
    #[track_caller]
    pub fn assert_quiet(&self) {
        assert_eq!(must(self.console_errors()), Vec::<String>::new());
    }

    /// Taps anything by its name.
    #[track_caller]
    pub fn tap_words(&self, words: &str) {
        self.tap_named(ANY, words);
    }
}
