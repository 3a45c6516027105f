//! What a tap on the clock costs: until it is answered, kept, and seen.
//!
//! A tap is a real touch. It begins with the time stamp of the click that comes
//! of it, which is that of the finger's lifting: how long the finger stays is not
//! in it, what the browser needs until the page hears of it is. It is answered with the paint in which the button shows that it is at
//! work, or already the new state; kept with the `complete` event of the strict
//! transaction that writes the record; and seen with the paint after the screen
//! shows the new activity. The taps go to and fro between two activities, as fast as a finger
//! would; what a tap leaves behind to be done runs into the next one. From the finger's
//! lifting on the driver is silent until the tap is over: each of its questions is a
//! script on the page's own thread, slowed like the page's.

use std::thread::sleep;
use std::time::Duration;

use quaywright_xtask::bench::{Figure, Unit};
use serde_json::json;

use crate::failure::must;
use crate::ground::World;
use crate::page::Page;
use crate::slowed::slow;
use crate::start::quieten;
use crate::{milliseconds, percentile};

const TAPS: usize = 200;
const SLOWED: f64 = 4.0;
/// How long the finger stays on the button, and how long it and the driver rest after a tap.
const STAY: Duration = Duration::from_millis(60);
const REST: Duration = Duration::from_millis(240);
/// The most that 98 of 100 taps may take until they are answered, seen and kept, in milliseconds.
const SEEN_AIM: f64 = 50.0;
const KEPT_AIM: f64 = 60.0;

const WATCH: &str = "(() => {
    const taps = globalThis.taps = {};
    let tap = null;
    const since = () => performance.now() - tap.at;
    const told = () => { if (tap.answered && tap.kept && tap.seen) taps.done([tap.answered, tap.kept, tap.seen]); };
    // Calls back when the frame that is being made has been painted.
    const painted = then => requestAnimationFrame(() => {
        const { port1, port2 } = new MessageChannel();
        port1.onmessage = then;
        port2.postMessage(0);
    });
    addEventListener('click', event => { if (tap && !tap.at) tap.at = event.timeStamp; }, true);
    const begin = IDBDatabase.prototype.transaction;
    IDBDatabase.prototype.transaction = function (...given) {
        const transaction = begin.apply(this, given);
        const [, mode, options] = given;
        const keeps = mode === 'readwrite' && options?.durability === 'strict';
        if (tap?.at && !tap.kept && keeps && transaction.objectStoreNames.contains('events')) {
            transaction.addEventListener('complete', () => { tap.kept = since(); told(); });
        }
        return transaction;
    };
    new MutationObserver(() => {
        if (!tap?.at || tap.shown) return;
        const shown = document.querySelector('.clock .activity')?.textContent === tap.activity;
        if (!tap.busy && (shown || tap.button.ariaBusy)) {
            tap.busy = true;
            painted(() => { tap.answered = since(); told(); });
        }
        if (shown) {
            tap.shown = true;
            painted(() => { tap.seen = since(); told(); });
        }
    }).observe(document, { childList: true, subtree: true, characterData: true, attributeFilter: ['aria-busy'] });
    // Makes ready for a tap and returns where to touch.
    taps.aim = async activity => {
        const rest = () => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)));
        const all = [...document.querySelectorAll('.choices button')];
        const button = all.find(it => it.textContent === activity && it.closest('section').ariaLabel === 'On no job');
        button.scrollIntoView({ block: 'center', behavior: 'instant' });
        await rest();
        tap = { activity, button };
        taps.all = new Promise((done, fail) => { taps.done = done; setTimeout(fail, 20000, new Error('no answer')); });
        const box = button.getBoundingClientRect();
        return [box.x + box.width / 2, box.y + box.height / 2];
    };
})()";

/// What a run of taps took, in milliseconds.
pub struct Taps {
    /// In words, how the page was slowed.
    slowed: String,
    answered: Vec<f64>,
    kept: Vec<f64>,
    seen: Vec<f64>,
}

/// Taps to and fro on a slowed page.
pub fn measure(world: &World) -> Taps {
    let page = world.browser().blank();
    must(page.before_each_document(WATCH));
    must(page.go(&world.address()));
    page.wait_until_open();
    page.place("Now");
    quieten(&page);
    let slowed = slow(&page, SLOWED);
    let mut taps = Taps { slowed, answered: Vec::new(), kept: Vec::new(), seen: Vec::new() };
    for activity in ["Waiting", "Paperwork"].into_iter().cycle().take(TAPS) {
        let [answered, kept, seen] = tap(&page, activity);
        taps.answered.push(answered);
        taps.kept.push(kept);
        taps.seen.push(seen);
    }
    taps
}

fn tap(page: &Page, activity: &str) -> [f64; 3] {
    let [x, y]: [f64; 2] = must(page.eval(&format!("taps.aim({})", json!(activity))));
    let touch = |kind: &str, points| {
        must(page.call("Input.dispatchTouchEvent", json!({ "type": kind, "touchPoints": points })));
    };
    touch("touchStart", json!([{ "x": x, "y": y }]));
    sleep(STAY);
    touch("touchEnd", json!([]));
    sleep(REST);
    must(page.eval("taps.all"))
}

impl Taps {
    /// Returns median and 98th percentile, until answered, kept and seen.
    pub fn figures(&self, size: &str, book: &str) -> Vec<Figure> {
        let conditions = format!("{book}; {TAPS} touches, {}", self.slowed);
        let is_long = size != "empty";
        let mut figures = Vec::new();
        for (what, times, aim) in
            [("answered", &self.answered, SEEN_AIM), ("kept", &self.kept, KEPT_AIM), ("painted", &self.seen, SEEN_AIM)]
        {
            for (of, share) in [("median", 50), ("p98", 98)] {
                let aim = (is_long && of == "p98").then_some(aim);
                let name = format!("tap-{what}-{of}-{size}");
                figures.push(milliseconds(name, percentile(times, share), aim, conditions.clone()));
            }
        }
        figures
    }

    /// Returns how many times as long a tap takes as with a shorter book in the same run.
    pub fn ratios(&self, shorter: &Self) -> [Figure; 2] {
        let ratio = |what: &str, long: &[f64], short: &[f64]| Figure {
            name: format!("tap-{what}-median-100k-to-empty"),
            value: (percentile(long, 50) / percentile(short, 50) * 100.0).round() / 100.0,
            unit: Unit::Times,
            aim: None,
            conditions: "medians of the same run".to_owned(),
        };
        [ratio("kept", &self.kept, &shorter.kept), ratio("painted", &self.seen, &shorter.seen)]
    }
}
