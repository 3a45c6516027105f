//! What it costs to drag a boundary of a day: how evenly frames come, and tasks that hold them up.
//!
//! A finger moves a boundary up and down, a step each sixtieth of a second. Long
//! tasks are those that the browser itself tells of (W3C, Long Tasks API: more
//! than 50 ms); frames are counted by the page between two paints.

use std::thread::sleep;
use std::time::Duration;

use quaywright_xtask::bench::{Figure, Unit};
use serde_json::json;

use crate::failure::must;
use crate::ground::World;
use crate::slowed::slow;
use crate::start::quieten;
use crate::{milliseconds, percentile};

const SLOWED: f64 = 4.0;
const STEPS: u32 = 240;
const STEP: Duration = Duration::from_millis(16);

const WATCH: &str = "(() => {
    const seen = globalThis.seen = { long: [], frames: [] };
    new PerformanceObserver(list => seen.long.push(...list.getEntries().map(it => it.duration)))
        .observe({ type: 'longtask' });
    let last = performance.now();
    const frame = now => { seen.frames.push(now - last); last = now; requestAnimationFrame(frame); };
    requestAnimationFrame(frame);
})()";

/// Drags a boundary of yesterday on a slowed page.
pub fn figures(world: &World) -> [Figure; 2] {
    let page = world.browser().blank();
    must(page.go(&world.address()));
    page.wait_until_open();
    quieten(&page);
    let yesterday = "new Date(Date.now() - 864e5).toLocaleDateString('sv')";
    must(page.eval::<()>(&format!("void (location.hash = '#/day/' + {yesterday})")));
    page.wait_for("document.querySelectorAll('.edge').length > 4", Duration::from_secs(20));
    let edge = "document.querySelectorAll('.edge')[2]";
    must(page.eval::<()>(&format!("void {edge}.scrollIntoView({{ block: 'center', behavior: 'instant' }})")));
    let slowed = slow(&page, SLOWED);
    sleep(Duration::from_secs(2));
    let box_of = format!("(it => [it.x + it.width / 2, it.y + it.height / 2])({edge}.getBoundingClientRect())");
    let [x, y]: [f64; 2] = must(page.eval(&box_of));
    let touch = |kind: &str, points| {
        must(page.call("Input.dispatchTouchEvent", json!({ "type": kind, "touchPoints": points })));
    };
    must(page.eval::<()>(WATCH));
    touch("touchStart", json!([{ "x": x, "y": y }]));
    for step in 0..STEPS {
        let way = f64::from(step % 80) - 40.0;
        touch("touchMove", json!([{ "x": x, "y": y + way }]));
        sleep(STEP);
    }
    let moving: String = must(page.eval("document.querySelector('.edge.moving')?.innerText ?? ''"));
    assert!(!moving.is_empty(), "the boundary is not being moved; {}", page.describe());
    let long: Vec<f64> = must(page.eval("seen.long"));
    let frames: Vec<f64> = must(page.eval("seen.frames"));
    // Nothing is mended by a measurement.
    touch("touchCancel", json!([]));
    let conditions = format!("the demo shop's yesterday; {STEPS} moves of a finger, {slowed}");
    let frames_at = |share| percentile(&frames, share);
    [
        Figure {
            name: "drag-long-tasks-4x".to_owned(),
            value: long.len() as f64,
            unit: Unit::Tasks,
            aim: Some(0.0),
            conditions: format!("{conditions}; tasks of more than 50 ms, as the browser tells of them"),
        },
        milliseconds(
            "drag-frame-p98-4x".to_owned(),
            frames_at(98),
            None,
            format!("{conditions}; between two frames, median {:.1} ms, {} frames", frames_at(50), frames.len()),
        ),
    ]
}
