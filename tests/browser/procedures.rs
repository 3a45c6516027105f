//! Work by a procedure: taken ready-made, done on an engine, learned from, given on.

use quaywright_core::book::Book;
use quaywright_core::exchange::{intake, procedure};
use serde_json::json;

use crate::ground::World;
use crate::hand::{CORNERS, book_of};
use crate::page::{Page, SOON};

const LONDON: &str = "Europe/London";

impl Page {
    /// Takes a ready-made procedure into the book; gives back its name in the log.
    #[track_caller]
    pub fn take_ready_made(&self, title: &str) -> String {
        self.place("Jobs");
        self.tap_named("link", "Procedures");
        self.wait_for_text(title);
        self.hide_what_was_said();
        self.tap_named("button", &format!("Take it: {title}"));
        self.said("is in the book");
        self.wait_for("location.hash.startsWith('#/procedure/')", SOON);
        self.eval("location.hash.split('/')[2]").unwrap()
    }

    /// Puts the steps of a procedure of the book on the job that is open at its steps.
    #[track_caller]
    pub fn do_by(&self, title: &str) {
        self.unfold("Do it by a procedure");
        self.choose_labelled("With a procedure", title);
        self.tap_named("button", "Take its steps");
        self.said("Its steps are on the checklist");
        self.hide_what_was_said();
    }
}

/// Opens the workbook with a boat that has one outboard on petrol, of no known year.
fn boat_with_an_outboard(world: &World) -> Page {
    let page = world.open_workbook_at(LONDON, "2026-05-04T08:00:00+01:00");
    page.open_job("Marsh Heron", "A. Finch", "No charge at sea", "Flat after a night");
    page.job("Marsh Heron", "Story");
    page.tap_named("link", "Marsh Heron");
    page.wait_for("location.hash.startsWith('#/boat/')", SOON);
    page.tap_words("Add an engine");
    page.fill_labelled("Model", "Four-stroke outboard");
    page.tap_named("button", "Add the engine");
    page.said("Engine added");
    page.unfold("Put its facts right");
    for (field, value) in [("Drive", "outboard"), ("Fuel", "petrol (gasoline)")] {
        page.hide_what_was_said();
        page.choose_labelled(field, value);
        page.said("Engine kept");
    }
    page.wait_for_text("outboard, petrol (gasoline)");
    page
}

fn kept(world: &World, page: &Page) -> Book {
    book_of(&intake::take(&world.backup(page)).unwrap())
}

/// Opens a job on the boat by a procedure.
fn open_by(page: &Page, title: &str, procedure: &str) {
    page.place("Now");
    page.tap_named("link", "New job");
    page.choose_labelled("Boat", "Marsh Heron");
    page.fill_labelled("What is to be done", title);
    page.wait_for(&format!("document.body.innerText.includes({})", json!(procedure)), SOON);
    page.choose_labelled("With a procedure", procedure);
    page.tap_named("button", "Open it, clock as it is");
    page.said("Its steps are on the checklist");
    page.wait_for("location.hash.endsWith('/steps')", SOON);
}

#[test]
fn a_job_is_done_by_a_ready_made_procedure_and_becomes_one_for_the_next() {
    let world = World::of_app();
    let page = boat_with_an_outboard(&world);
    open_by(&page, "Impeller", "Raw-water impeller (ready-made)");

    // What does not fit the engine is told with its reason.
    let left = "[...document.querySelectorAll('summary')].find(it => it.innerText.includes('left out'))";
    page.wait_for(left, SOON);
    page.tap_said(left);
    page.wait_for_text("Only drive sterndrive or inboard with shaft");
    assert!(page.text().contains("this one: outboard"), "{}", page.text());

    // The next step shows its cautions whole, and one tap enters what it takes off.
    page.wait_for("document.querySelector('main details[open] .stop')?.innerText.startsWith('Caution, ')", SOON);
    let boxes = "[...document.querySelectorAll('section[aria-label=Steps] .step input[type=checkbox]')]";
    let steps: usize = page.eval(&format!("{boxes}.length")).unwrap();
    assert!(steps > 8, "{steps}");
    let photo = world.lay_out("pump.jpg", &page.paint("jpeg", 400, 300, CORNERS));
    for nth in 0..steps {
        page.hide_what_was_said();
        let enters =
            "[...document.querySelectorAll('details[open] li button')].filter(it => it.innerText === 'It came off')";
        if nth < 6 && page.eval::<usize>(&format!("{enters}.length")).unwrap() > 0 {
            page.tap_said(&format!("{enters}[0]"));
            page.said(" off");
            page.hide_what_was_said();
        }
        page.tap_said(&format!("{boxes}[{nth}].closest('label')"));
        page.said("Done: ");
        // The box stays under the finger: nothing is drawn anew by a tick.
        assert_eq!(page.eval::<usize>(&format!("{boxes}.filter(it => it.checked).length")).unwrap(), nth + 1);
    }
    let first = "document.querySelector('section[aria-label=Steps] .step + .row button').ariaLabel";
    let button: String = page.eval(first).unwrap();
    page.photograph(&button, &[photo]);
    page.hide_what_was_said();
    page.tap_said("[...document.querySelectorAll('summary')].filter(it => it.innerText.trim() === 'What it takes')[1]");
    page.tap_said(
        "[...document.querySelectorAll('details[open] button')].find(it => it.innerText === 'I forgot this')",
    );
    page.said("The next job is told of it");

    // Finished, kept as a procedure, found again with the time it took.
    page.tap_named("button", "Start labour on this job");
    page.said("Labour on this job from now on");
    page.minutes_pass(50);
    page.tap_named("button", "Finish the job");
    page.said("The job is finished");
    page.tap_named("link", "For the next time");
    page.tap_named("button", "Keep this job as a procedure");
    page.said("Kept as a procedure");
    page.wait_for("location.hash.startsWith('#/procedure/')", SOON);
    page.write("What the work is", "Impeller of the Heron");
    page.said("Kept");
    page.off_the_clock();
    let book = kept(&world, &page);
    let own = book.procedures.procedures().last().unwrap();
    let reads = &book.procedures.current(own.id).unwrap().reads;
    assert_eq!(reads.title.as_str(), "Impeller of the Heron");
    assert!(own.from.is_some() && reads.steps.len() >= steps);
    assert_eq!(reads.steps.iter().map(|it| it.pictures.len()).sum::<usize>(), 1);

    // The next one is told what was forgotten with the first.
    open_by(&page, "Impeller again", "Raw-water impeller");
    page.wait_for_text("Forgotten on Marsh Heron");
    page.wait_for_text("Took 0:50 so far.");
    open_by(&page, "A third time", "Impeller of the Heron");
    let book = kept(&world, &page);
    let last = book.jobs.jobs().last().unwrap();
    assert_eq!(book.steps.steps_of(last.id).count(), reads.steps.len());
    page.assert_quiet();
}

#[test]
fn a_procedure_goes_from_phone_to_phone_and_its_next_version_after_it() {
    let world = World::of_app();
    let page = world.open_workbook_at(LONDON, "2026-05-04T08:00:00+01:00");
    page.take_ready_made("Battery change");
    page.write("What to know before", "Ask for the key of the shed.");
    page.said("Kept");
    let file = world.save_document(&page, "Make a file of it", "procedure Battery change");
    let given = procedure::read(&file).unwrap().procedures;
    assert_eq!(given[0].about.as_str(), "Ask for the key of the shed.");
    page.place("Hand over");
    page.wait_for_text("The procedure Battery change");

    let other = World::of_app();
    let there = other.open_workbook_at(LONDON, "2026-05-05T08:00:00+01:00");
    there.place("Jobs");
    there.tap_named("link", "Procedures");
    let take_in = |bytes: &[u8]| {
        there.hide_what_was_said();
        let path = other.lay_out("from-a-colleague.txt", bytes);
        there.choose_file("input[aria-label='Take in a file of procedures']", &[path]);
    };
    take_in(&file);
    there.said("Battery change is in the book");
    take_in(&file);
    there.said("The procedure reads like that already");
    let better = String::from_utf8(file.clone()).unwrap().replacen("of the shed.", "of the shed, and a lamp.", 1);
    take_in(better.as_bytes());
    there.said("Battery change is in the book");
    take_in(better.replacen("\"v\":1", "\"v\":7", 1).as_bytes());
    there.said("written by a newer Quaywright");
    take_in(&file[..file.len() / 2]);
    there.said("cut off or damaged");
    let book = kept(&other, &there);
    let all: Vec<_> = book.procedures.procedures().collect();
    assert_eq!((all.len(), all[0].versions.len()), (1, 2));
    assert!(book.procedures.current(all[0].id).unwrap().reads.about.as_str().ends_with("and a lamp."));
    there.assert_quiet();
    page.assert_quiet();
}

#[test]
fn the_rows_of_a_step_are_put_right_and_a_wrong_one_is_told() {
    let mut world = World::of_app();
    let page = world.open_workbook_at(LONDON, "2026-05-04T08:00:00+01:00");
    page.take_ready_made("Flush fitting");
    page.unfold("Change step 1");
    page.fill_labelled("Comes off, one a line: 6 × cover screw, M5", "some screws\nsix × cap");
    page.tap_named("button", "Keep the step");
    page.said("“six × cap” is not read");
    page.hide_what_was_said();
    page.fill_labelled("Comes off, one a line: 6 × cover screw, M5", "4 × cap screw, M6\ncap");
    page.fill_labelled("What is to be done", "Take the cap off");
    // What is half typed outlives the page.
    page.dies_after_a_rest();
    page.unfold("Change step 1");
    page.tap_named("button", "Keep the step");
    page.said("Step kept");
    page.hide_what_was_said();
    // The step is drawn anew and stays open.
    page.choose_labelled("Field", "year from");
    page.fill_labelled("Value", "98");
    page.tap_named("button", "Add the condition");
    page.said("Write the year with four digits");
    page.hide_what_was_said();
    page.fill_labelled("Value", "1998");
    page.tap_named("button", "Add the condition");
    page.said("The condition is kept");
    page.hide_what_was_said();
    page.tap_named("button", "Later");
    page.said("Moved");
    page.hide_what_was_said();
    let book = kept(&world, &page);
    let kept_one = book.procedures.procedures().next().unwrap();
    let reads = &book.procedures.current(kept_one.id).unwrap().reads;
    let step = &reads.steps[1];
    assert_eq!((step.number.0, step.text.as_str()), (1, "Take the cap off"));
    assert_eq!(step.items.iter().map(|it| (it.count.0, it.size.as_str())).collect::<Vec<_>>(), [(4, "M6"), (1, "")]);
    assert_eq!(step.only.iter().map(|it| it.words()).collect::<Vec<_>>(), ["year from 1998"]);

    // Without a network the ready-made ones are here too.
    page.wait_until_offline_is_ready();
    world.stop_server();
    page.place("Jobs");
    page.tap_named("link", "Procedures");
    page.wait_for_text("Winter lay-up");
    page.assert_quiet();
}

#[test]
fn a_picture_of_a_step_is_added_named_carried_and_taken_out() {
    let world = World::of_app();
    let page = world.open_workbook_at(LONDON, "2026-05-04T08:00:00+01:00");
    page.take_ready_made("Flush fitting");
    let file = world.lay_out("fitting.jpg", &page.paint("jpeg", 400, 300, CORNERS));
    page.unfold("Change step 1");
    page.choose_file("input[aria-label='Add a picture to step 1']", &[file]);
    page.said("Picture kept");
    page.hide_what_was_said();
    page.write("What the picture shows", "The cap, arrow up");
    page.said("Kept what it shows");
    page.wait_for("document.querySelector('main .photo img')?.naturalWidth === 400", SOON);
    let shared = world.save_document(&page, "Make a file of it", "procedure Flush fitting");
    let mut given = procedure::read(&shared).unwrap();
    let (pictures, gone) = given.take_pictures();
    assert_eq!((pictures.len(), gone), (1, 0));
    assert_eq!(given.procedures[0].steps[0].pictures[0].caption.as_str(), "The cap, arrow up");
    page.unfold("Change step 1");
    page.hide_what_was_said();
    page.tap_named("button", "Take this picture out, picture 1 of step 1");
    page.said("The picture is out");
    let book = kept(&world, &page);
    let one = book.procedures.procedures().next().unwrap().id;
    assert!(book.procedures.current(one).unwrap().reads.steps[0].pictures.is_empty());
    page.assert_quiet();
}

#[test]
fn a_thing_that_was_forgotten_is_told_on_the_next_job() {
    let world = World::of_app();
    let page = boat_with_an_outboard(&world);
    open_by(&page, "Impeller", "Raw-water impeller (ready-made)");
    let enters = "[...document.querySelectorAll('details[open] li button')].find(it => it.innerText === 'It came off')";
    page.wait_for("document.querySelector('main details[open] .stop')", SOON);
    let boxes = "[...document.querySelectorAll('section[aria-label=Steps] .step input[type=checkbox]')]";
    for nth in 0..8 {
        if page.eval::<bool>(&format!("Boolean({enters})")).unwrap() {
            break;
        }
        page.hide_what_was_said();
        page.tap_said(&format!("{boxes}[{nth}].closest('label')"));
        page.said("Done: ");
    }
    let entered: String = page.eval(&format!("{enters}.ariaLabel")).unwrap();
    page.hide_what_was_said();
    page.tap_said(enters);
    page.said(" off");
    page.hide_what_was_said();
    page.part("Off-list");
    let fold =
        "[...document.querySelectorAll('.part.current summary')].find(it => it.innerText.startsWith('Put right: '))";
    page.wait_for(fold, SOON);
    let name: String = page.eval(&format!("{fold}.innerText.slice('Put right: '.length)")).unwrap();
    assert!(entered.contains(&name), "{entered}");
    page.unfold(&format!("Put right: {name}"));
    page.tap_named("button", &format!("I forgot this: {name}"));
    page.said("The next job is told of it");

    open_by(&page, "Impeller again", "Raw-water impeller");
    page.wait_for("[...document.querySelectorAll('li.row .stop')].some(it => it.textContent.startsWith('Forgotten on Marsh Heron'))", SOON);
    page.assert_quiet();
}
