//! How every screen looks and is handled: by eye, by thumb, by keyboard, by a screen reader.
//!
//! A made-up shop fills the screens; each is then looked at on two phones and a
//! desk, by day and by night. Judged are the rules of axe-core with contrast at
//! 7:1, a target of 48 by 48 pixels for the thumb, nothing wider than the
//! screen, nothing that cannot be scrolled clear of the foot, and a way with
//! the keyboard to everything, always visible.
//!
//! With a folder in `QUAYWRIGHT_SHOTS`, a picture of every screen lies there
//! afterwards, for a person to look at.

use std::path::PathBuf;
use std::time::Duration;
use std::{env, fs};

use serde_json::{Value, json};

use crate::ground::World;
use crate::hand::{CORNERS, Loose};
use crate::page::{Page, SOON, Screen};

const SMALL: Screen = Screen { width: 360, height: 640, scale: 2.0, mobile: true };

/// Everything that is pressed or filled in and can be seen. A radio button or a
/// check box is pressed on its label; a link within a sentence is part of the text.
const TARGETS: &str = "
    const seen = it => it.checkVisibility({ visibilityProperty: true, opacityProperty: true });
    const targets = [...document.querySelectorAll('a[href], button, input, select, textarea, summary, label.file')]
        .filter(it => seen(it) && !it.classList.contains('away'))
        .map(it => it.matches('[type=radio], [type=checkbox]') ? it.closest('label') ?? it : it)
        .filter(it => getComputedStyle(it).display !== 'inline');
    const told = it => `${it.tagName.toLowerCase()} “${(it.ariaLabel ?? it.innerText ?? it.value).trim().slice(0, 40)}”`;
    const box = it => it.getBoundingClientRect();";

/// One look at the shop, by its name.
struct Look {
    name: &'static str,
    fragment: String,
    /// What is done there before it is judged.
    prepare: &'static str,
}

fn look(name: &'static str, fragment: impl Into<String>) -> Look {
    Look { name, fragment: fragment.into(), prepare: "" }
}

/// Returns a shop with something on every screen, and where to look.
fn shop() -> (World, Page, Vec<Look>) {
    let world = World::of_app();
    let page = world.open_workbook_at("Europe/London", "2026-05-04T08:00:00+01:00");
    let photo = world.lay_out("bolts.jpg", &page.paint("jpeg", 1_200, 900, CORNERS));
    page.name_technician("R. Teal", "Slipway Works");
    page.open_job("Grey Seal", "B. Wren", "Water under the floor", "A puddle after each night");
    page.minutes_pass(55);
    page.job("Grey Seal", "Story");
    page.tap_named("button", "Finish the job");
    page.said("The job is finished");
    page.open_job(
        "Sea Otter of the Northern Channel",
        "C. Dunlin",
        "Leaking fitting at the after heat exchanger",
        "Drips",
    );
    page.minutes_pass(35);
    page.open_job("Marsh Heron", "A. Finch", "No charge at sea", "Batteries flat after a night at anchor");
    page.minutes_pass(40);
    page.do_now("On no job", "Meal period");
    page.minutes_pass(30);
    page.switch_to("Marsh Heron");
    page.minutes_pass(95);
    page.job("Marsh Heron", "Story");
    page.write("Cause", "Regulator without output; belt worn on one side");
    page.said("Cause kept");
    fill_the_job(&page, photo);
    let job: String = page.eval("location.hash.split('/')[2]").unwrap();
    let photo = draw_on_a_photo(&page);
    page.job("Marsh Heron", "Story");
    let boat = add_an_engine(&page);
    let procedure = page.take_ready_made("Raw-water impeller");
    page.job("Marsh Heron", "Steps");
    page.do_by("Raw-water impeller");
    page.job("Sea Otter", "Off-list");
    let untouched: String = page.eval("location.hash.split('/')[2]").unwrap();
    page.hide_what_was_said();

    let today: String = page.eval("new Date().toLocaleDateString('sv')").unwrap();
    let part = |part: &str| format!("/job/{job}/{part}");
    let looks = vec![
        look("now-running", "/now"),
        look("jobs", "/jobs"),
        look("jobs-finished", "/jobs/finished"),
        look("new-job", "/new-job"),
        look("new-job-on-a-boat", format!("/new-job/{boat}")),
        look("job-story", part("story")),
        look("job-off", part("off")),
        Look {
            name: "job-off-put-right",
            fragment: part("off"),
            prepare: "void document.querySelectorAll('details').forEach(it => { it.open = true; })",
        },
        look("job-off-empty", format!("/job/{untouched}/off")),
        look("job-steps", part("steps")),
        Look {
            name: "job-steps-unfolded",
            fragment: part("steps"),
            prepare: "void document.querySelectorAll('details').forEach(it => { it.open = true; })",
        },
        look("procedures", "/procedures"),
        look("procedure", format!("/procedure/{procedure}")),
        Look {
            name: "procedure-change",
            fragment: format!("/procedure/{procedure}"),
            prepare: "void document.querySelectorAll('details').forEach((it, at) => { it.open = at === 2; })",
        },
        look("procedure-unknown", "/procedure/0000000000000000-1"),
        look("job-photos", part("photos")),
        look("job-parts", part("parts")),
        Look {
            name: "photo-drawn-on",
            fragment: photo.clone(),
            prepare: "void document.querySelectorAll('details').forEach(it => { it.open = true; })",
        },
        Look {
            name: "photo-words",
            fragment: photo,
            prepare: "void [...document.querySelectorAll('main button')].find(it => it.innerText === 'Words').click()",
        },
        look("photo-unknown", "/photo/0000000000000000-1"),
        look("job-time", part("time")),
        look("job-unknown", "/job/0000000000000000-1/story"),
        look("boats", "/boats"),
        Look {
            name: "boat",
            fragment: format!("/boat/{boat}"),
            prepare: "void document.querySelectorAll('details').forEach(it => { it.open = true; })",
        },
        look("day", format!("/day/{today}")),
        Look {
            name: "day-put-right",
            fragment: format!("/day/{today}"),
            prepare: "void document.querySelector('.pieces .entry').click()",
        },
        look("day-empty", "/day/2020-02-29"),
        look("hours-week", format!("/hours/{today}/week")),
        look("hours-month", format!("/hours/{today}/month")),
        look("hours-empty", "/hours/2020-02-29/day"),
        look("rules", "/rules"),
        look("note", "/note"),
        look("office", "/office"),
        Look {
            name: "hand-over",
            fragment: "/hand-over".to_owned(),
            prepare: "new Promise(done => {
                const press = name => [...document.querySelectorAll('button')].find(it => it.innerText === name)?.click();
                press(\"Make the day's file\");
                press('Make the work summary');
                press('Make a backup');
                const look = () => document.body.innerText.split(' is ready').length > 3 ? done(null) : setTimeout(look, 50);
                look();
            })",
        },
    ];
    (world, page, looks)
}

fn fill_the_job(page: &Page, photo: PathBuf) {
    page.part("Off-list");
    for loose in [
        Loose { what: "Cover bolt", count: "12", size: "M8 × 45", side: "front", stowed: "red tray" },
        Loose { what: "Bypass hose", count: "1", size: "22 mm", side: "under", stowed: "cockpit locker" },
    ] {
        page.take_off(&loose);
    }
    page.photograph("Photo of Cover bolt", std::slice::from_ref(&photo));
    page.tap_named("button", "1 back on: Cover bolt");
    page.said("1 × Cover bolt back on");
    page.tap_named("button", "Back on: Bypass hose");
    page.said("1 × Bypass hose back on");
    page.part("Steps");
    for step in ["Look at the bracket", "Run her up and measure the charge"] {
        page.fill_labelled("Another step", step);
        page.tap_named("button", "Add the step");
        page.said("Step added");
        page.hide_what_was_said();
    }
    page.tap_words("Look at the bracket");
    page.said("Done: Look at the bracket");
    page.part("Parts");
    page.fill_labelled("Part", "Regulator");
    page.fill_labelled("Part number, as on the packet", "RG-14-B");
    page.tap_named("button", "Add the part");
    page.said("1 × Regulator used");
    page.part("Photos");
    page.photograph("Photo of the job", &[photo]);
    page.tap_named("link", "Note");
    page.fill_labelled("What to remember", "Belt worn on one side, look at the bracket again");
    page.tap_named("button", "Keep the note");
    page.said("Note kept");
}

/// Draws on the first photo of the job that is open; returns where that is done.
fn draw_on_a_photo(page: &Page) -> String {
    page.job("Marsh Heron", "Photos");
    page.tap_named("link", "Draw on it: No charge at sea");
    page.wait_for("document.querySelector('.board img')?.complete", SOON);
    page.draw(".pen", &[(25.0, 80.0), (40.0, 60.0), (60.0, 45.0)]);
    page.wait_for_text("arrow to the middle");
    // A tap right after a flick only stops the flick.
    std::thread::sleep(Duration::from_millis(500));
    page.tap_named("button", "Words");
    page.tap_named("button", "this way up");
    page.draw(".pen", &[(25.0, 90.0)]);
    page.wait_for_text("“this way up” at the lower left");
    page.hide_what_was_said();
    page.eval("location.hash.slice(1)").unwrap()
}

/// Returns the boat that has an engine now.
fn add_an_engine(page: &Page) -> String {
    page.tap_named("link", "Marsh Heron");
    page.wait_for("location.hash.startsWith('#/boat/')", SOON);
    page.tap_words("Add an engine");
    page.fill_labelled("Which one (port, starboard, generator …)", "starboard");
    page.fill_labelled("Model", "Four-cylinder diesel");
    page.tap_named("button", "Add the engine");
    page.said("Engine added");
    page.eval("location.hash.split('/')[2]").unwrap()
}

fn go(page: &Page, look: &Look) {
    page.eval::<()>(&format!("void (location.hash = {})", json!(look.fragment))).unwrap();
    page.wait_for("document.querySelector('h1')?.innerText", SOON);
    if !look.prepare.is_empty() {
        page.eval::<Value>(&format!("Promise.resolve({}).then(() => null)", look.prepare)).unwrap();
    }
    rest(page);
}

/// Waits until nothing moves any more: photos are there, a frame is drawn.
fn rest(page: &Page) {
    std::thread::sleep(Duration::from_millis(120));
    let shown = "![...document.querySelectorAll('.photo .waiting')].some(it => it.checkVisibility() && \
                 it.getBoundingClientRect().top < innerHeight)";
    page.wait_for(shown, SOON);
    page.eval::<()>(
        "new Promise(done => requestAnimationFrame(() => requestAnimationFrame(() => done()))).then(() => {})",
    )
    .unwrap();
}

/// Writes a picture of the whole page, if pictures are wanted.
fn shoot(page: &Page, name: &str) {
    let Some(folder) = env::var_os("QUAYWRIGHT_SHOTS").map(PathBuf::from) else { return };
    fs::create_dir_all(&folder).unwrap();
    page.screenshot(&folder.join(format!("{name}.png"))).unwrap();
}

/// Returns what axe-core finds, contrast of 7:1 included.
fn rules_broken(page: &Page) -> String {
    let found: String = page.axe().unwrap().iter().map(ToString::to_string).collect();
    let contrast: Vec<Value> = page
        .eval(
            "axe.run(document, { runOnly: ['color-contrast-enhanced', 'target-size'], resultTypes: ['violations'] })
             .then(it => it.violations.flatMap(it => it.nodes.map(node => [it.id, node.html, node.failureSummary])))",
        )
        .unwrap();
    contrast.iter().fold(found, |found, one| format!("{found}{one}\n"))
}

/// Returns what is too small for a thumb, wider than the screen, or under the foot for ever.
fn out_of_reach(page: &Page) -> Vec<String> {
    let js = format!(
        "(() => {{ {TARGETS}
            const wrong = [];
            for (const it of targets) {{
                const {{ width, height }} = box(it);
                if (width < 47.5 || height < 47.5) wrong.push(`${{told(it)}} is ${{width}} × ${{height}}`);
                const words = document.createRange();
                words.selectNodeContents(it);
                if (it.tagName === 'BUTTON' && box(words).width > it.clientWidth + 1) wrong.push(`${{told(it)}} overflows`);
            }}
            const across = document.documentElement.clientWidth;
            if (document.documentElement.scrollWidth > across) wrong.push('the page scrolls sideways');
            for (const it of document.body.querySelectorAll('*')) {{
                if (seen(it) && !it.closest('.away') && (box(it).right > across + 1 || box(it).left < -1)) {{
                    wrong.push(`${{told(it)}} reaches from ${{box(it).left}} to ${{box(it).right}} of ${{across}}`);
                }}
            }}
            const figures = [...document.querySelectorAll('.figure')].filter(seen);
            const jumps = figures.filter(it => !getComputedStyle(it).fontVariantNumeric.includes('tabular-nums'));
            jumps.forEach(it => wrong.push(`${{told(it)}} has digits of different widths`));
            scrollTo(0, document.documentElement.scrollHeight);
            const fixed = [...document.querySelectorAll('nav.foot, .said')].filter(it => box(it).height);
            const below = innerWidth < 1024 ? Math.min(...fixed.map(it => box(it).top)) : innerHeight;
            const main = targets.filter(it => it.closest('main'));
            const low = main.filter(it => box(it).bottom > below);
            low.forEach(it => wrong.push(`${{told(it)}} ends at ${{box(it).bottom}}, under what begins at ${{below}}`));
            scrollTo(0, 0);
            return wrong;
        }})()"
    );
    page.eval(&js).unwrap()
}

/// Judges what the page shows, on two phones and a desk, by day and by night.
#[track_caller]
pub fn judge(page: &Page, name: &str) {
    let mut wrong = Vec::new();
    for (screen, size) in [(Screen::PHONE, "390"), (SMALL, "360"), (Screen::DESK, "1280")] {
        page.viewport(screen).unwrap();
        rest(page);
        wrong.extend(out_of_reach(page).into_iter().map(|it| format!("{size}: {it}")));
        for (dark, light) in [(false, "light"), (true, "dark")] {
            if dark && size == "360" {
                continue;
            }
            page.media(dark).unwrap();
            rest(page);
            shoot(page, &format!("{name}-{size}-{light}"));
            let broken = rules_broken(page);
            if !broken.is_empty() {
                wrong.push(format!("{size} {light}: {broken}"));
            }
        }
    }
    page.media(false).unwrap();
    page.viewport(Screen::PHONE).unwrap();
    assert!(wrong.is_empty(), "{name}:\n{}", wrong.join("\n"));
}

/// Judges every look and tells of all that are wrong, not only of the first.
#[test]
fn every_screen_can_be_read_and_reached() {
    let (_world, page, looks) = shop();
    let mut wrong = Vec::new();
    for look in &looks {
        go(&page, look);
        let verdict = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| judge(&page, look.name)));
        if let Err(words) = verdict {
            wrong.push(words.downcast_ref::<String>().cloned().unwrap_or_default());
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
    page.assert_quiet();
}

#[test]
fn an_empty_workbook_can_be_read_and_reached() {
    let world = World::of_app();
    let page = world.open_workbook();
    for (name, fragment) in [
        ("now-empty", "/now"),
        ("jobs-empty", "/jobs"),
        ("finished-empty", "/jobs/finished"),
        ("boats-empty", "/boats"),
        ("note-empty", "/note"),
        ("hand-over-empty", "/hand-over"),
    ] {
        go(&page, &look(name, fragment));
        judge(&page, name);
    }
}

#[test]
fn a_loss_and_a_second_tab_can_be_read_and_reached() {
    let world = World::of_app();
    let page = world.open_workbook();
    page.open_job("Marsh Heron", "A. Finch", "No charge", "Flat");
    let second = world.open();
    second.wait_until_open();
    second.wait_for_text("This one only shows");
    second.wait_for_text("Marsh Heron");
    judge(&second, "watching");
    second.close().unwrap();

    page.place("Hand over");
    let origin = world.address();
    let params = json!({ "origin": origin.trim_end_matches('/'), "storageTypes": "indexeddb,file_systems" });
    std::thread::sleep(Duration::from_secs(1));
    page.go("about:blank").unwrap();
    page.call("Storage.clearDataForOrigin", params).unwrap();
    page.go(&origin).unwrap();
    page.wait_until_open();
    page.wait_for_text("Something that was kept is missing");
    judge(&page, "halted");
    page.tap_named("button", "Carry on without what is missing …");
    page.wait_for_text("What is missing stays missing.");
    judge(&page, "halted-sure");
}

#[test]
fn what_is_told_can_be_read_and_reached() {
    let world = World::of_app();
    let page = world.open_workbook();
    page.open_job("Marsh Heron", "A. Finch", "No charge", "Flat");
    page.do_now("On Marsh Heron", "Diagnosis");
    judge(&page, "said-with-a-way-back");

    // The picker opens and never comes back; the page is loaded anew meanwhile.
    page.call("Page.setInterceptFileChooserDialog", json!({ "enabled": true })).unwrap();
    page.tap_named("button", "Photo");
    std::thread::sleep(Duration::from_millis(800));
    page.reload().unwrap();
    page.wait_until_open();
    page.wait_for_text("A photo of No charge on Marsh Heron was wanted");
    let file = world.lay_out("cut.txt", b"{\"quaywright\":\"backup\",\"v\":1,\"records\":3,\"photos\":0}\n");
    page.place("Hand over");
    page.bring_back(file);
    page.said("Nothing was taken in: no entry of the file is whole.");
    page.wait_for_text("The end of the file is missing");
    judge(&page, "told");
}

/// Presses Tab until the focus comes round, and sees that it was everywhere, and seen.
#[test]
fn the_keyboard_reaches_everything() {
    let (_world, page, looks) = shop();
    for look in looks.iter().filter(|it| ["now-running", "job-off", "hand-over", "boat", "new-job"].contains(&it.name))
    {
        go(&page, look);
        let wanted: Vec<String> = page
            .eval(&format!(
                "(() => {{ {TARGETS}
            globalThis.visited = new Set();
            const stops = [...document.querySelectorAll('a[href], button, input, select, textarea, summary')]
                .filter(it => seen(it) && it.tabIndex >= 0 && !it.disabled);
            // Of a group of radio buttons one is a stop, and the arrows go on from there.
            globalThis.stops = stops.filter(it => it.type !== 'radio' || it.checked);
            return globalThis.stops.map(told);
        }})()"
            ))
            .unwrap();
        assert!(wanted.len() > 5, "{wanted:?}");
        page.eval::<()>("void document.activeElement.blur()").unwrap();
        let mut unseen = Vec::new();
        for _ in 0..wanted.len() + 5 {
            page.press("Tab");
            let trouble: String = page.eval(&format!("(() => {{ {TARGETS}
                const it = document.activeElement;
                if (it === document.body) return '';
                visited.add(it);
                const mark = it.classList.contains('away') ? it.closest('label') : it;
                const style = getComputedStyle(mark);
                if (style.outlineStyle === 'none' || parseFloat(style.outlineWidth) < 2) return told(mark) + ' shows no focus';
                const {{ x, y, width, height }} = box(mark);
                const top = document.elementFromPoint(x + width / 2, y + Math.min(height, innerHeight) / 2);
                const covered = !top || !(mark.contains(top) || top.contains(mark) || [...(mark.labels ?? [])].some(l => l.contains(top)));
                return covered ? told(mark) + ' has the focus and is covered' : '';
            }})()")).unwrap();
            if !trouble.is_empty() {
                unseen.push(trouble);
            }
        }
        assert!(unseen.is_empty(), "{}: {unseen:#?}", look.name);
        let missed: Vec<String> = page
            .eval(&format!(
                "(() => {{ {TARGETS} return stops.filter(it => it.isConnected && !visited.has(it)).map(told); }})()"
            ))
            .unwrap();
        assert!(missed.is_empty(), "{}: never reached: {missed:#?}", look.name);
    }
    by_key_alone(&page);
}

/// Works the clock, a list and a check box without touching the glass.
fn by_key_alone(page: &Page) {
    go(page, &look("now-running", "/now"));
    let focus = |js: &str| page.eval::<()>(&format!("void {js}.focus()")).unwrap();
    focus("[...document.querySelectorAll('button')].find(it => it.innerText === 'Off the clock')");
    page.press("Enter");
    page.said("Off the clock");
    page.wait_for("!document.querySelector('[role=timer]')", SOON);
    focus("[...document.querySelectorAll('button')].find(it => it.innerText === 'Travel')");
    press_space(page);
    page.said("Travel from now on");
    focus("document.querySelector('nav.foot a[href$=hand-over]')");
    page.press("Enter");
    page.wait_for("location.hash === '#/hand-over'", SOON);
    page.wait_for("document.activeElement.id === 'heading'", SOON);
    focus("document.querySelector('input[type=checkbox]')");
    press_space(page);
    page.wait_for("document.querySelector('input[type=checkbox]').checked", SOON);
}

fn press_space(page: &Page) {
    let key = |kind: &str| {
        let text = if kind == "keyDown" { " " } else { "" };
        json!({ "type": kind, "key": " ", "code": "Space", "windowsVirtualKeyCode": 32, "text": text })
    };
    page.call("Input.dispatchKeyEvent", key("keyDown")).unwrap();
    page.call("Input.dispatchKeyEvent", key("keyUp")).unwrap();
}
