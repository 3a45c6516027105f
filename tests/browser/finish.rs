//! The demo's half-finished teardown is finished: once by keys alone, following what a screen
//! reader is told, and once by one thumb on the smallest phone.

use std::time::Duration;

use quaywright_core::exchange::intake;
use quaywright_core::moment::Day;
use quaywright_core::view::{off_list, run_gate};
use quaywright_xtask::demo;

use crate::ground::{World, dist};
use crate::hand::book_of;
use crate::page::{Page, SOON, Screen};

const SMALL: Screen = Screen { width: 360, height: 640, scale: 2.0, mobile: true };
/// What is tapped on the way, by the beginnings of its name.
const ACTIONS: &str = "['I have made sure', 'Back on: ', 'All ']";
/// How many taps it can take at most: each thing once, each thing to make sure of once.
const MOST_TAPS: usize = 60;

/// Opens the launch's off-list on the demo's last morning, putting together.
fn half_finished(world: &World) -> (Page, usize) {
    let page = world.open_workbook_at("Europe/London", "2026-05-08T07:10:00+01:00");
    let backup = demo::shop(Day::parse("2026-05-08").unwrap(), 60).unwrap().backup();
    page.place("Hand over");
    page.bring_back(world.lay_out("backup.jsonl", &backup));
    page.said("are here now");
    page.hide_what_was_said();
    page.job("Brisk Errand", "Off-list");
    page.wait_for_text("Do not run: ");
    let chosen =
        "[...document.querySelectorAll('[aria-pressed=true]')].some(it => it.innerText === 'Putting together')";
    page.wait_for(chosen, SOON);
    let book = book_of(&intake::take(&backup).unwrap());
    let job = book.jobs.jobs().find(|job| job.title.as_str().starts_with("Runs hot")).unwrap().id;
    let off = book.teardown.still_off(job).count();
    let checks = book.teardown.still_off(job).map(|item| item.facts.details.checks().count()).sum::<usize>();
    assert!(off >= 12 && checks >= 4, "{off} items, {checks} checks");
    (page, off + checks)
}

/// Sees that everything is on and sure, in the log too.
fn is_finished(world: &World, page: &Page) {
    page.wait_for_text("Nothing is off.");
    page.wait_for_text("Nothing that was marked is missing.");
    let book = book_of(&intake::take(&world.backup(page)).unwrap());
    let job = book.jobs.jobs().find(|job| job.title.as_str().starts_with("Runs hot")).unwrap().id;
    let told = off_list(&book, job);
    assert_eq!((told.next, told.waiting, told.to_check, told.wrong), (vec![], vec![], vec![], vec![]));
    assert!(!run_gate(&book, job).shut);
    page.assert_quiet();
}

/// Waits until what was done is said, and the list is drawn anew.
fn kept(page: &Page) {
    page.wait_for("/back on|Made sure/.test(document.querySelector('.said')?.innerText ?? '')", SOON);
    std::thread::sleep(Duration::from_millis(150));
    page.hide_what_was_said();
}

#[test]
fn the_demos_teardown_is_finished_by_keys_and_a_screen_reader() {
    let world = World::of_app();
    let (page, due) = half_finished(&world);
    let at_action = format!(
        "(at => at?.tagName === 'BUTTON' && at.closest('.part.current') && \
         {ACTIONS}.some(it => (at.ariaLabel ?? at.innerText).startsWith(it)))(document.activeElement)"
    );
    let (mut done, mut keys) = (0, 0);
    while !page.text().contains("Nothing is off.") || page.text().contains("I have made sure") {
        let from = keys;
        while !page.eval::<bool>(&format!("Boolean({at_action})")).unwrap() {
            page.press("Tab");
            keys += 1;
            assert!(keys - from < 200, "no key leads to what is next; {}", page.describe());
        }
        // Once begun, what is next is a key or two away.
        assert!(done == 0 || keys - from <= 3, "{} keys to what is next; {}", keys - from, page.describe());
        // What a screen reader says of it names the thing.
        let name: String = page.eval("document.activeElement.ariaLabel ?? document.activeElement.innerText").unwrap();
        assert!(page.shows("button", &name), "{name} is no button to a screen reader");
        page.hide_what_was_said();
        page.press("Enter");
        kept(&page);
        done += 1;
        assert!(done <= MOST_TAPS, "it does not come to an end; {}", page.describe());
        // The keyboard went to what comes next, and what is read there names it.
        let told: String = page.eval("document.activeElement.innerText ?? ''").unwrap();
        assert!(!told.is_empty());
    }
    assert_eq!(done, due);
    assert_eq!(page.axe().unwrap().iter().map(ToString::to_string).collect::<String>(), "");
    is_finished(&world, &page);
}

#[test]
fn the_demos_teardown_is_finished_by_one_thumb_on_a_small_phone() {
    let world = World::of(&dist(), SMALL);
    let (page, due) = half_finished(&world);
    // The first thing that can be done: what to make sure of, else what is next.
    let next = format!(
        "[...document.querySelectorAll('.part.current button')].find(it => it.checkVisibility() && \
         {ACTIONS}.some(name => (it.ariaLabel ?? it.innerText).startsWith(name)))"
    );
    let mut taps = 0;
    while page.eval::<bool>(&format!("Boolean({next})")).unwrap() {
        // Within a thumb's reach: below the upper third of the screen, above the foot.
        let reach = format!(
            "(() => {{ const foot = document.querySelector('nav.foot').getBoundingClientRect().top; \
             const at = {next}.getBoundingClientRect(); \
             return [at.top >= innerHeight / 3 && at.bottom <= foot, at.width, at.height, at.top]; }})()"
        );
        let (mut near, mut width, mut height, mut top): (bool, f64, f64, f64) = page.eval(&reach).unwrap();
        // Once begun, what is next comes under the thumb by itself.
        assert!(near || taps == 0, "what is next is at {top} after {taps} taps; {}", page.describe());
        if !near {
            page.eval::<()>(&format!("void {next}.scrollIntoView({{ block: 'end', behavior: 'instant' }})")).unwrap();
            (near, width, height, top) = page.eval(&reach).unwrap();
        }
        let name: String = page.eval(&format!("(it => it.ariaLabel ?? it.innerText)({next})")).unwrap();
        assert!(near, "{name} cannot be brought within reach, it is at {top}; {}", page.describe());
        assert!(width >= 48.0 && height >= 48.0, "{name} is {width} by {height}");
        page.hide_what_was_said();
        page.tap_said(&next);
        kept(&page);
        taps += 1;
        assert!(taps <= MOST_TAPS, "it does not come to an end; {}", page.describe());
    }
    // One tap a thing, and one for each thing to make sure of.
    assert_eq!(taps, due);
    is_finished(&world, &page);
}
