//! A day of very many taps: the screen stays quick, and nothing of the day is out of reach.

use crate::ground::World;
use crate::page::{Page, SOON};

/// More than a day has.
const TAPS: usize = 44;
/// How many rows of the day are shown unasked.
const ROWS: usize = 40;

/// Taps activities as fast as the workbook keeps them.
const TAP_ON: &str = "(async taps => {
    const named = name => [...document.querySelectorAll('.choices button')].find(it => it.textContent === name);
    const activity = () => document.querySelector('.clock .activity').textContent;
    for (let tap = 0; tap < taps; tap++) {
        const name = tap % 2 ? 'Waiting' : 'Paperwork', end = performance.now() + 10000;
        named(name).click();
        while (activity() !== name) {
            if (performance.now() > end) throw new Error(name + ' is not shown');
            await new Promise(done => setTimeout(done, 4));
        }
    }
    return document.querySelectorAll('.strip li').length;
})";

fn tap_on(page: &Page, taps: usize) -> usize {
    page.eval(&format!("{TAP_ON}({taps})")).unwrap()
}

#[test]
fn a_day_of_very_many_taps_is_cut_short_and_shown_whole_when_asked() {
    let world = World::of_app();
    let page = world.open_workbook();
    assert_eq!(tap_on(&page, 2), 2);
    page.eval::<()>("void (globalThis.first = document.querySelector('.strip li:last-child'))").unwrap();
    assert_eq!(tap_on(&page, 10), 12);
    assert!(page.eval::<bool>("first.isConnected && first.matches('.strip li:last-child')").unwrap(), "drawn anew");
    assert!(!page.text().contains("earlier today"));

    assert_eq!(tap_on(&page, TAPS - 12), ROWS);
    page.tap_named("button", &format!("{} earlier today", TAPS - ROWS));
    page.wait_for(&format!("document.querySelectorAll('.strip li').length === {TAPS}"), SOON);
    assert_eq!(tap_on(&page, 2), TAPS + 2);
    assert!(!page.text().contains("earlier today"));
    page.assert_quiet();
}

/// Notes every control that says that it is at work, and every one that says so no more.
const WATCH_WORK: &str = "(() => {
    globalThis.work = [];
    new MutationObserver(changes => changes.forEach(({ target }) => {
        work.push((target.ariaBusy ? 'at work: ' : 'done: ') + target.innerText);
    })).observe(document, { subtree: true, attributeFilter: ['aria-busy'] });
})()";

#[test]
fn a_tapped_control_says_that_it_is_at_work_until_the_tap_is_kept() {
    let world = World::of_app();
    let page = world.open_workbook();
    page.eval::<()>(WATCH_WORK).unwrap();
    page.do_now("On no job", "Paperwork");
    page.said("Paperwork from now on");
    assert_eq!(page.eval::<Vec<String>>("work").unwrap(), ["at work: Paperwork", "done: Paperwork"]);

    page.tap_named("link", "New job");
    page.fill_labelled("Boat's name", "Marsh Heron");
    page.fill_labelled("What is to be done", "No charge");
    page.eval::<()>("void (work.length = 0)").unwrap();
    page.tap_named("button", "Open it and start labour");
    page.said("is open");
    let said: Vec<String> = page.eval("work.map(it => it.split(':')[0])").unwrap();
    assert_eq!(said, ["at work", "done"], "the form that was sent");
    assert!(!page.eval::<bool>("Boolean(document.querySelector('[aria-busy]'))").unwrap());
    page.assert_quiet();
}
