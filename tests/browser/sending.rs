//! What a share sheet refuses leaves in another way, offered at once; nothing is marked as sent
//! that was not. And photos that are too many for one PDF leave in several.

use std::fs;

use quaywright_core::command::Command;
use quaywright_core::event::{About, Event};
use quaywright_core::exchange::{backup, intake, pieces};
use quaywright_core::id::BlobId;
use quaywright_xtask::demo;
use serde_json::json;

use crate::device::Phone;
use crate::ground::World;
use crate::hand::CORNERS;
use crate::looks::judge;
use crate::page::{Page, SOON};

/// A share sheet that takes the kinds it is told, beforehand or only when it is asked.
const SHARE_SHEET: &str = "
    globalThis.kinds = ['text/html', 'application/pdf', 'text/plain'];
    globalThis.most = 1e9;
    globalThis.honest = true;
    globalThis.shared = [];
    const taken = files => files.every(it => kinds.includes(it.type) && it.size < most);
    navigator.canShare = ({ files }) => !honest || taken(files);
    navigator.share = ({ files }) => {
        if (!taken(files)) return Promise.reject(new DOMException('not this', 'NotAllowedError'));
        shared.push(...files.map(it => it.type));
        return Promise.resolve();
    };";

fn left(page: &Page) -> String {
    page.eval("document.body.innerText.split('What left, and what has not')[1]").unwrap()
}

#[track_caller]
fn has_not_left(page: &Page) {
    let left = left(page);
    assert!(left.contains("it has not left") && !left.contains("an app took it"), "{left}");
}

fn workbook(world: &World) -> Page {
    let page = world.open_workbook();
    page.before_each_document(SHARE_SHEET).unwrap();
    page.reload().unwrap();
    page.wait_until_open();
    page.open_job("Marsh Heron", "A. Finch", "No charge", "Flat");
    page.off_the_clock();
    page.place("Hand over");
    page
}

#[track_caller]
fn shared(page: &Page, kind: &str) {
    page.said("is shared");
    page.wait_for(&format!("shared.at(-1) === {}", json!(kind)), SOON);
    page.wait_for_text("an app took it, no receipt yet");
}

#[test]
fn a_page_that_is_refused_beforehand_leaves_as_pdf() {
    let world = World::of_app();
    let page = workbook(&world);
    page.eval::<()>("void (kinds = ['application/pdf', 'text/plain'])").unwrap();
    page.tap_named("button", "Make the day's file");
    page.wait_for_text("The share sheet of this browser takes no file of this kind. It has not left this phone.");
    assert!(!page.shows("button", "Share"));
    has_not_left(&page);
    judge(&page, "document-refused");
    page.tap_named("button", "Make it as a PDF");
    page.wait_for_text(".pdf is ready");
    page.tap_named("button", "Share");
    shared(&page, "application/pdf");
    page.assert_quiet();
}

#[test]
fn a_pdf_that_is_refused_only_when_asked_leaves_as_a_page() {
    let world = World::of_app();
    let page = workbook(&world);
    page.eval::<()>("void (kinds = ['text/html'], honest = false)").unwrap();
    page.choose_labelled("Documents as", "PDF, A4");
    page.tap_named("button", "Make the work summary");
    page.wait_for_text(".pdf is ready");
    page.tap_named("button", "Share");
    page.said("The share sheet did not take this file (NotAllowedError). It has not left this phone.");
    has_not_left(&page);
    // It may be tried again, and the next best stands beside it: the page, or a message.
    assert!(page.shows("button", "Share"));
    page.tap_named("button", "Make it as a page");
    page.wait_for_text(".html is ready");
    page.tap_named("button", "Share");
    shared(&page, "text/html");
    page.forget_console_errors().unwrap();
}

#[test]
fn where_no_file_can_be_shared_it_is_saved_and_an_owner_gets_a_message() {
    let world = World::of_app();
    let page = workbook(&world);
    page.eval::<()>("void (kinds = [])").unwrap();
    page.tap_named("button", "Make the work summary");
    page.wait_for_text("This browser has no share sheet for files. It has not left this phone.");
    assert!(!page.shows("button", "Share") && !page.shows("button", "Make it as a PDF"));
    has_not_left(&page);
    let message = "[...document.querySelectorAll('[aria-label=\"Another way to send it\"] button')]\
                   .find(it => it.innerText === 'Write a short message')";
    page.tap_said(message);
    page.wait_for(
        "document.querySelector('[aria-label=\"Another way to send it\"] textarea')?.value.includes('Marsh Heron')",
        SOON,
    );
    has_not_left(&page);
    judge(&page, "document-message");
    page.tap_named("button", "Save");
    page.said("is saved on this phone");
    page.wait_for_text("saved as a file");
    page.assert_quiet();
}

#[test]
fn a_file_that_is_too_large_is_offered_with_smaller_photos() {
    let world = World::of_app();
    let page = workbook(&world);
    let photo = world.lay_out("bolts.jpg", &page.paint("jpeg", 1_600, 1_200, CORNERS));
    page.job("Marsh Heron", "Photos");
    page.pick("Photo of the job", &[photo]);
    page.said("Photo kept");
    page.place("Hand over");
    page.choose_labelled("Documents as", "PDF, A4");
    page.eval::<()>("void (most = 100)").unwrap();
    page.tap_named("button", "Make the work summary");
    page.wait_for_text("The share sheet of this browser takes no file so large. It has not left this phone.");
    // A page would be larger still.
    assert!(!page.shows("button", "Make it as a page"));
    has_not_left(&page);
    judge(&page, "document-too-large");
    page.eval::<()>("void (most = 1e9)").unwrap();
    page.tap_named("button", "PDF with smaller photos");
    page.wait_for_text(".pdf is ready");
    page.tap_named("button", "Share");
    shared(&page, "application/pdf");
}

/// Chromium's `canShare` does not look at the size, and its share sheet refuses 50 MB and more.
#[test]
fn what_is_beyond_the_strictest_sheet_is_not_offered_to_it() {
    let world = World::of_app();
    let page = world.browser().blank();
    let large = "(() => {
        const size = Object.getOwnPropertyDescriptor(Blob.prototype, 'size').get;
        globalThis.megabytes = 0;
        Object.defineProperty(Blob.prototype, 'size', { get() {
            return this.type === 'text/html' && megabytes ? megabytes * 1024 * 1024 : size.call(this);
        } });
    })()";
    page.before_each_document(SHARE_SHEET).unwrap();
    page.before_each_document(large).unwrap();
    page.go(&world.address()).unwrap();
    page.wait_until_open();
    page.open_job("Marsh Heron", "A. Finch", "No charge", "Flat");
    page.off_the_clock();
    page.place("Hand over");
    for (megabytes, is_offered) in [(49, true), (50, false), (60, false)] {
        page.eval::<()>(&format!("void (megabytes = {megabytes})")).unwrap();
        page.place("Now");
        page.place("Hand over");
        page.tap_named("button", "Make the day's file");
        page.wait_for_text(".html is ready");
        assert_eq!(page.shows("button", "Share"), is_offered, "{megabytes} MB");
        let words = "The share sheet of this browser takes no file so large. It has not left this phone.";
        assert_eq!(page.text().contains(words), !is_offered, "{megabytes} MB");
    }
    page.assert_quiet();
}

/// Returns a workbook with a job of three photos, of which the log says that each has 40 MB.
fn heavy(page: &Page) -> Vec<u8> {
    let mut phone = Phone::new(0x9c, &demo::now().unwrap().to_string());
    let (job, _) = phone.job("Marsh Heron", "A. Finch", "No charge", "Flat");
    let photos: Vec<Vec<u8>> = (0..3).map(|nth| page.paint("jpeg", 64 + nth * 16, 48, CORNERS)).collect();
    for photo in &photos {
        phone.photo(About::Job(job), photo, "heavy");
        let taken = phone.book.evidence.photos().last().unwrap();
        let (id, mut facts) = (taken.id, taken.facts.clone());
        phone.must(Command::Withdraw { event: id.0 });
        facts.bytes = 40_000_000;
        phone.say(Event::PhotoTaken { about: About::Job(job), photo: facts });
    }
    let names: Vec<BlobId> = photos.iter().map(|photo| BlobId::of(photo)).collect();
    let bytes = |name| photos.iter().find(|photo| BlobId::of(photo) == name).cloned();
    pieces::assemble(&backup::pieces(phone.lines.iter().map(Vec::as_slice), &names), bytes)
}

#[test]
fn photos_that_are_too_many_leave_in_several_pdfs_and_count_when_all_have_left() {
    let world = World::of_app();
    let page = world.open_workbook();
    page.place("Hand over");
    page.bring_back(world.lay_out("backup.jsonl", &heavy(&page)));
    page.said("are here now");
    page.hide_what_was_said();
    page.choose_labelled("Documents as", "PDF, A4");
    page.tap_named("button", "Make the day's file");
    page.wait_for_text("The photos come to 120 MB, more than one PDF takes.");
    page.tap_named("button", "2 PDFs with whole photos");
    page.wait_for_text("2 files, one document together: it has left when all of them have.");
    page.wait_for_text("part 2 of 2.pdf is ready");
    has_not_left(&page);
    let mut blobs = 0;
    for (part, said) in [(1, "1 of its files has not left yet."), (2, "part 2 of 2.pdf is saved on this phone")] {
        has_not_left(&page);
        let save = format!(
            "[...document.querySelectorAll('button')].find(it => it.ariaLabel?.startsWith('Save: ') && it.ariaLabel.includes('part {part} of 2'))"
        );
        page.tap_said(&save);
        page.said(said);
        let file = world.browser().wait_download(&format!("part {part} of 2"));
        let taken = intake::take(&fs::read(file).unwrap()).unwrap();
        assert_eq!((taken.records.is_empty(), taken.faults.len()), (part == 2, 1), "{:?}", taken.faults);
        blobs += taken.blobs.len();
    }
    page.wait_for_text("saved as a file");
    assert!(!left(&page).contains("it has not left"), "{}", left(&page));
    assert_eq!(blobs, 3);
    page.assert_quiet();
}

#[test]
fn what_a_pdf_cannot_show_stays_on_the_screen_beside_it() {
    let world = World::of_app();
    let page = world.open_workbook();
    page.open_job("Marsh Heron", "A. Finch", "No charge \u{821f}", "Flat");
    page.place("Hand over");
    page.choose_labelled("Documents as", "PDF, A4");
    page.tap_named("button", "Make the work summary");
    page.wait_for_text(".pdf is ready");
    page.said("It has not left yet");
    let told = "letters that a PDF cannot show: make it as a page to show all of it";
    assert!(page.text().contains(told), "{}", page.text());
    page.assert_quiet();
}
