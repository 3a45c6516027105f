//! A group of fasteners is entered and tightened one by one, by a finger and by keys; what is
//! passed over is caught.

use std::thread::sleep;
use std::time::Duration;

use quaywright_core::book::tightening::Group;
use quaywright_core::exchange::intake;
use serde_json::json;

use crate::ground::World;
use crate::hand::{Loose, book_of};
use crate::looks::judge;
use crate::page::{Page, SOON};

/// The order of eight in a circle, and that of the last check.
const STAR: [u16; 8] = [1, 5, 3, 7, 2, 6, 4, 8];
const ROUND: [u16; 8] = [1, 2, 3, 4, 5, 6, 7, 8];

/// How soon after a tap another one is a finger that bounces; nobody puts a wrench on so quickly.
const BOUNCE: Duration = Duration::from_millis(320);

const FORM: &str = "A group to tighten";
const HOW_MANY: &str = "How many (in each row)";
const VALUE: &str = "Torque, as the manual writes it";

fn open_torque(world: &World) -> Page {
    let page = world.open_workbook_at("Europe/London", "2026-05-04T08:00:00+01:00");
    page.open_job("Marsh Heron", "A. Finch", "Head gasket", "Steam from the exhaust");
    page.job("Marsh Heron", "Torque");
    page
}

fn enter_head(page: &Page) {
    page.unfold(FORM);
    page.fill_labelled("What is tightened", "Cylinder head");
    page.fill_labelled(HOW_MANY, "8");
    page.fill_labelled(VALUE, "45 ± 5");
    page.wait_for_text("45 N·m (33.2 lbf·ft), from 40 to 50 N·m");
    page.fill_labelled("From which manual", "Service manual 3");
    page.fill_labelled("Page", "4-12");
    page.tap_named("button", "Add the group");
    page.said("Cylinder head: 8 in a circle");
    page.wait_for("location.hash.startsWith('#/group/')", SOON);
}

/// Taps the big button for each of these fasteners.
fn follow(page: &Page, places: &[u16], done: &str, pass: &str) {
    for place in places {
        page.wait_for_text(&format!("Next: {place}"));
        sleep(BOUNCE);
        page.tap_named("button", &format!("{place} {done}"));
        page.said(&format!("{place} {done} in {pass}"));
    }
}

fn group_of(world: &World, page: &Page) -> Group {
    let book = book_of(&intake::take(&world.backup(page)).unwrap());
    book.tightening.groups().next().unwrap().clone()
}

fn back_to_the_group(page: &Page) {
    page.job("Marsh Heron", "Torque");
    page.tap_words_in("main a.entry", "Cylinder head");
    page.wait_for("location.hash.startsWith('#/group/')", SOON);
}

#[test]
fn a_finger_that_bounces_tightens_one_fastener() {
    let world = World::of_app();
    let page = open_torque(&world);
    enter_head(&page);
    page.wait_for_text("Next: 1");
    // The second tap comes when the button speaks of the next one, by the event's own time 120 ms after the first.
    let bounce = "new Promise(done => {
        const big = document.querySelector('.next .big');
        let first;
        big.addEventListener('click', event => first ??= event.timeStamp, { once: true });
        new MutationObserver((_, seen) => {
            seen.disconnect();
            const again = new MouseEvent('click', { bubbles: true });
            Object.defineProperty(again, 'timeStamp', { value: first + 120 });
            big.dispatchEvent(again);
            done();
        }).observe(big, { characterData: true, childList: true, subtree: true });
        big.click();
    })";
    page.eval::<()>(&format!("{bounce}.then(() => undefined)")).unwrap();
    page.wait_for_text("Next: 5");
    sleep(BOUNCE);
    assert_eq!(group_of(&world, &page).taps.len(), 1);
    back_to_the_group(&page);
    follow(&page, &STAR[1..3], "is tight", "pass 1 (30 %)");
    assert_eq!(group_of(&world, &page).taps.len(), 3);
}

#[test]
fn a_fastener_that_was_passed_over_is_caught() {
    let world = World::of_app();
    let page = open_torque(&world);
    // A value without the place where it stands is not taken.
    page.unfold(FORM);
    page.fill_labelled("What is tightened", "Cylinder head");
    page.fill_labelled(VALUE, "45");
    page.tap_named("button", "Add the group");
    page.said("Say which manual the value is from.");
    page.hide_what_was_said();
    enter_head(&page);

    page.wait_for_text("13.5 N·m (119 lbf·in)");
    follow(&page, &STAR[..3], "is tight", "pass 1 (30 %)");
    page.tap_words_in(".said button", "Take back");
    page.said("Taken back");
    follow(&page, &STAR[2..], "is tight", "pass 1 (30 %)");

    // In the second pass the fifth is passed over, by taps on the drawing.
    page.wait_for_text("31.5 N·m (23.23 lbf·ft)");
    follow(&page, &STAR[..1], "is tight", "pass 2 (70 %)");
    for place in &STAR[2..] {
        page.tap_named("button", &format!("{place}, open"));
        page.said(&format!("{place} is tight in pass 2 (70 %)"));
    }
    page.wait_for_text("Skipped: 5 in pass 2 (70 %).");
    judge(&page, "group-skipped");
    // The third pass is done all the same, and the check is forgotten.
    page.tap_named("button", "100 %: 0/8 45 N·m");
    follow(&page, &STAR, "is tight", "pass 3 (100 %)");
    page.wait_for_text("Next: 5");

    page.place("Jobs");
    page.job("Marsh Heron", "Torque");
    page.wait_for_text("skipped: 5 in pass 2 (70 %)");
    page.place("Hand over");
    page.wait_for_text(
        "not all is tight (Cylinder head: tightening not done, 23 of 32 taps; skipped: 5 in pass 2 (70 %))",
    );

    back_to_the_group(&page);
    follow(&page, &[5], "is tight", "pass 2 (70 %)");
    page.wait_for_text("Out of its order: 5 in pass 2 (70 %).");
    follow(&page, &ROUND, "holds", "pass 4 (check)");
    page.wait_for_text("All tight: 32 of 32.");
    page.hide_what_was_said();
    judge(&page, "group-tight");
    let group = group_of(&world, &page);
    assert!(group.state().is_complete());
    assert_eq!(group.taps.iter().filter(|tap| tap.withdrawn).count(), 1);
    page.assert_quiet();
}

#[test]
fn keys_alone_tighten_a_group_and_take_a_tap_back() {
    let world = World::of_app();
    let page = open_torque(&world);
    enter_head(&page);
    page.hide_what_was_said();
    let focus = |words: &str| {
        let button = format!(
            "[...document.querySelectorAll('main button')].find(it => (it.ariaLabel ?? it.innerText).startsWith({}))",
            json!(words)
        );
        page.wait_for(&button, SOON);
        page.eval::<()>(&format!("void {button}.focus()")).unwrap();
    };
    focus("1 is tight");
    // The focus stays on the one big button while what it says changes.
    for place in STAR {
        let stays = format!("document.activeElement.innerText === '{place} is tight'");
        page.wait_for(&stays, SOON);
        sleep(BOUNCE);
        page.press("Enter");
        page.said(&format!("{place} is tight in pass 1 (30 %)"));
    }
    focus("Take back 8");
    page.press("Enter");
    page.said("Taken back");
    focus("8, next");
    page.press("Enter");
    page.said("8 is tight in pass 1 (30 %)");
    page.unfold("As a list");
    focus("Tight: 5");
    page.press("Enter");
    page.said("5 is tight in pass 2 (70 %)");
    page.wait_for_text("Skipped: 1 in pass 2 (70 %).");
    page.assert_quiet();
}

#[test]
fn a_wrench_with_an_adapter_changes_what_is_set_and_a_group_without_a_value_gets_guidance_only() {
    let world = World::of_app();
    let page = open_torque(&world);
    enter_head(&page);
    page.unfold("Another wrench, or an adapter");
    page.fill_labelled("What it is called", "the long one");
    page.fill_labelled("Last calibrated, as 2026-02-03", "2024-02-03");
    page.fill_labelled("End of its scale, as 100 Nm", "100");
    page.fill_labelled("Drive to the middle of the grip", "400 mm");
    page.fill_labelled("Drive to the fastener", "100 mm");
    page.dies_after_a_rest();
    page.unfold("Another wrench, or an adapter");
    page.tap_named("button", "Take this wrench");
    page.said("From now on with the long one");
    // 13.5 × 400 / 500.
    page.wait_for_text("10.8 N·m (95.6 lbf·in)");
    page.wait_for_text("Set with the adapter; the fastener gets 13.5 N·m (119 lbf·in).");
    page.wait_for_text("Below a fifth of this wrench's scale");
    page.wait_for_text("Calibrated more than a year ago.");
    page.wait_for_text("Right only with the hand at the middle of the grip");
    page.hide_what_was_said();
    page.eval::<()>("void document.querySelectorAll('details').forEach(it => { it.open = true; })").unwrap();
    judge(&page, "group-with-adapter");

    page.job("Marsh Heron", "Torque");
    page.unfold(FORM);
    page.fill_labelled("What is tightened", "Battery tray");
    page.unfold("More: side, passes, thread, run gate");
    page.fill_labelled("Thread, as M8 or 3/8-16", "M8");
    page.choose_labelled("Strength, as marked", "8.8");
    page.choose_labelled("Threads and heads are", "plain, as received");
    page.wait_for_text("General guidance, not a maker's value.");
    page.wait_for_text("The engine's service manual, local codes and licensed practice come first.");
    page.hide_what_was_said();
    judge(&page, "job-torque");
    // With a value there is no guidance.
    page.fill_labelled(VALUE, "20");
    page.wait_for("!document.body.innerText.includes('General guidance, not')", SOON);
    page.fill_labelled(VALUE, "");
    page.tap_named("button", "Add the group");
    page.said("Battery tray: 4 in a circle");
    page.wait_for_text("no value entered. General guidance: about 25 N·m (18 lbf·ft)");
    page.assert_quiet();
}

#[test]
fn one_tap_makes_a_group_of_what_came_off() {
    let world = World::of_app();
    let page = world.open_workbook_at("Europe/London", "2026-05-04T08:00:00+01:00");
    page.open_job("Marsh Heron", "A. Finch", "Head gasket", "Steam from the exhaust");
    page.job("Marsh Heron", "Off-list");
    page.take_off(&Loose { what: "End cap bolt", count: "6", size: "M8 x 40", side: "port", stowed: "" });
    page.hide_what_was_said();
    page.unfold("Put right: End cap bolt");
    page.tap_named("button", "Tighten together: End cap bolt");
    page.said("End cap bolt: a group to tighten. Type the value and where it stands.");
    page.wait_for("location.hash.startsWith('#/group/')", SOON);
    page.wait_for_text("Next: 1");
    let facts = group_of(&world, &page).facts;
    assert_eq!((facts.what.as_str(), facts.side.as_str()), ("End cap bolt", "port"));
    assert_eq!(facts.pattern.count(), 6);
    assert!(facts.hardware.thread.is_some() && facts.entered.is_none(), "{facts:?}");
    page.assert_quiet();
}

#[test]
fn a_group_that_is_half_typed_outlives_the_page() {
    let world = World::of_app();
    let page = open_torque(&world);
    page.unfold(FORM);
    page.fill_labelled("What is tightened", "Cylinder head");
    page.fill_labelled(HOW_MANY, "8");
    page.fill_labelled(VALUE, "45 ± 5");
    judge(&page, "group-form");
    // A draft is kept once typing rests.
    std::thread::sleep(std::time::Duration::from_millis(900));
    page.reload().unwrap();
    page.wait_until_open();
    let typed = "[...document.querySelectorAll('.part.current input')].map(it => it.value)";
    page.wait_for(&format!("{typed}.includes('Cylinder head')"), SOON);
    let typed: Vec<String> = page.eval(typed).unwrap();
    assert!(["8", "45 ± 5"].iter().all(|it| typed.iter().any(|value| value == it)), "{typed:?}");
    // What became a group is no draft any more.
    page.unfold(FORM);
    page.fill_labelled("From which manual", "Service manual 3");
    page.fill_labelled("Page", "4-12");
    page.tap_named("button", "Add the group");
    page.said("Cylinder head: 8 in a circle");
    page.job("Marsh Heron", "Torque");
    page.unfold(FORM);
    let left = "[...document.querySelectorAll('.part.current input')].some(it => it.value === 'Cylinder head')";
    assert!(!page.eval::<bool>(left).unwrap());
    page.assert_quiet();
}

#[test]
fn the_wrench_in_hand_is_offered_first_then_those_of_the_job() {
    let world = World::of_app();
    let page = open_torque(&world);
    enter_head(&page);
    let name = |wrench: &str| {
        page.unfold("Another wrench, or an adapter");
        page.fill_labelled("What it is called", wrench);
        page.tap_named("button", "Take this wrench");
        page.said(&format!("From now on with {wrench}"));
        page.hide_what_was_said();
    };
    name("the long one");
    page.job("Marsh Heron", "Torque");
    page.unfold(FORM);
    page.fill_labelled("What is tightened", "Sump");
    page.tap_named("button", "Add the group");
    page.said("Sump: 4 in a circle");
    page.wait_for("location.hash.startsWith('#/group/')", SOON);
    page.hide_what_was_said();
    name("the short one");
    let offered =
        "[...document.querySelectorAll('[aria-label=\"Wrenches named before\"] button')].map(it => it.innerText)";
    page.wait_for(&format!("{offered}.join() === 'the short one,the long one'"), SOON);
    back_to_the_group(&page);
    page.wait_for(&format!("{offered}.join() === 'the long one,the short one'"), SOON);
    // One tap takes it.
    page.tap_named("button", "the short one");
    page.said("From now on with the short one");
    page.wait_for(&format!("{offered}[0] === 'the short one'"), SOON);
    page.assert_quiet();
}
