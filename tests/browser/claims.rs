//! A claim for warranty from the first complaint to its pack, and the queue of what has
//! left the phone and what has not.

use quaywright_core::event::{Fate, Shows, Stage};
use quaywright_core::exchange::intake;

use crate::ground::World;
use crate::hand::{CORNERS, book_of};
use crate::looks::judge;
use crate::page::SOON;

/// A share sheet that does what it is told to.
const SHARE_SHEET: &str = "
    globalThis.sheet = 'take';
    navigator.canShare = () => true;
    navigator.share = () => sheet === 'take' ? Promise.resolve() : Promise.reject(new DOMException('nobody', sheet));";

#[test]
fn a_claim_names_what_it_lacks_until_its_pack_is_whole() {
    let world = World::of_app();
    let page = world.open_workbook();
    page.open_job("Marsh Heron", "A. Finch", "Sea-water pump", "Weeps at the shaft");
    page.job("Marsh Heron", "Story");
    page.tap_words("warranty");
    page.said("Warranty");
    page.wait_for_text("The warranty pack (Weeps at the shaft) is not whole: no cause, no correction, no engine named");

    // The number on the hull is asked about, never refused.
    page.tap_words("Marsh Heron");
    page.write("HIN, as on the hull", "ABC1O345D404");
    page.wait_for_text("Character 5 is O, but a serial number has no I, O or Q");
    page.said("Boat kept");
    page.write("HIN, as on the hull", "ABC12345L495");
    page.wait_for_text("made December 1994, model year 1995");
    page.unfold("Add an engine");
    page.fill_labelled("Serial number", "D4-2291");
    page.fill_labelled("Hour meter shows", "1204.5");
    page.tap_named("button", "Add the engine");
    page.said("Engine added");

    page.job("Marsh Heron", "Story");
    page.write("Cause", "Seal lip worn");
    page.write("Correction", "New seal");
    page.part("Warranty");
    page.unfold("Enter a failed part");
    page.fill_labelled("Part that failed", "Shaft seal");
    page.choose_labelled("What became of it", "kept");
    page.fill_labelled("Where it is, or where it went", "parts store, shelf 3");
    page.tap_named("button", "Keep the failed part");
    page.said("Shaft seal is the part that failed");
    page.wait_for_text("Shaft seal: kept, parts store, shelf 3");
    let photo = world.lay_out("plate.jpg", &page.paint("jpeg", 320, 240, CORNERS));
    page.photograph("Photo of the serial plate or the failure", &[photo]);
    page.tap_said("document.querySelector('.part.current select option[value=\"serial plate\"]').closest('label')");
    page.eval::<()>(
        "void (() => { const it = document.querySelector('.part.current select:has(option[value=\"serial plate\"])'); \
         it.value = 'serial plate'; it.dispatchEvent(new Event('change', { bubbles: true })); })()",
    )
    .unwrap();
    page.said("The photo shows the serial plate");
    page.wait_for_text("no photo of the failure");
    judge(&page, "job-warranty");

    let pack = world.save_document(&page, "Make the warranty pack", "warranty Marsh Heron 20");
    let pack = String::from_utf8(pack).unwrap();
    for told in [
        "ABC12345L495",
        "D4-2291",
        "Shaft seal: kept",
        "Serial plate",
        "This pack is not whole yet",
        "no photo of the failure",
    ] {
        assert!(pack.contains(told), "{told} is missing");
    }
    // It is named before the job is closed, wherever the clock runs, and afterwards too.
    page.off_the_clock();
    page.job("Marsh Heron", "Story");
    page.wait_for_text("Start labour on this job");
    page.wait_for_text("is not whole: no reading from before");
    page.tap_named("button", "Finish the job");
    page.said("The job is finished");
    page.wait_for_text("Open it again");
    page.wait_for_text("is not whole: no reading from before");
    let book = book_of(&intake::take(&world.backup(&page)).unwrap());
    let line = book.jobs.jobs().next().unwrap().lines[0];
    let failed = book.claims.failed_on(line).next().unwrap();
    assert_eq!(failed.part.fate, Some(Fate::Kept));
    assert_eq!(book.evidence.photos().map(|it| it.shows).collect::<Vec<_>>(), [Some(Shows::SerialPlate)]);
    assert!(book.readings.readings().all(|it| it.stage != Some(Stage::Before)));
    page.assert_quiet();
}

#[test]
fn what_was_made_waits_until_it_leaves_and_the_next_start_says_so() {
    let world = World::of_app();
    let page = world.open_workbook();
    page.open_job("Marsh Heron", "A. Finch", "No charge", "Flat");
    page.before_each_document(SHARE_SHEET).unwrap();
    page.reload().unwrap();
    page.wait_until_open();
    page.place("Hand over");
    page.tap_named("button", "Make the day's file");
    page.wait_for_text("it has not left");
    page.eval::<()>("void (sheet = 'AbortError')").unwrap();
    page.tap_named("button", "Share");
    page.said("Not shared. It has not left this phone.");

    // The page dies; the next start says what should still leave.
    page.reload().unwrap();
    page.wait_until_open();
    page.place("Now");
    page.wait_for_text("Has not left yet: The day's file of");
    judge(&page, "now-has-not-left");
    page.tap_named("link", "See what waits");
    page.wait_for_text("it has not left");
    page.tap_named("button", "Make the day's file");
    page.tap_named("button", "Share");
    page.said("is shared");
    page.wait_for_text("an app took it, no receipt yet");
    page.wait_for("!document.body.innerText.includes('it has not left')", SOON);

    // What need not leave is let go, and can be taken up again.
    page.tap_named("button", "Make a backup");
    page.wait_for_text("it has not left");
    page.tap_named("button", "Need not leave: A backup");
    page.wait_for("!document.body.innerText.includes('it has not left')", SOON);
    page.tap_named("button", "Take back");
    page.wait_for_text("it has not left");
    page.place("Now");
    page.wait_for_text("Has not left yet: A backup.");
    page.assert_quiet();
}
