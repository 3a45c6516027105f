//! Voice notes by the phone's own recorder: kept, heard again, handed to the office, never half claimed.
//!
//! Chromium's made-up microphone beeps and is never refused; a refusal and a browser without a
//! recorder are put in its place before the page's own script runs.

use std::time::Duration;

use quaywright_core::book::Book;
use quaywright_core::event::{About, Sound};
use quaywright_core::exchange::intake;

use crate::ground::World;
use crate::hand::{Loose, book_of};
use crate::looks::judge;
use crate::page::{Page, SOON};
use crate::shell::next_version;

fn at_the_seal(page: &Page) {
    page.open_job("Marsh Heron", "A. Finch", "Cooler leaks", "Water in the bilge");
    page.job("Marsh Heron", "Off-list");
    page.take_off(&Loose { what: "Shaft seal", count: "1", size: "", side: "under", stowed: "tray 1" });
}

fn book(world: &World, page: &Page) -> Book {
    book_of(&intake::take(&world.backup(page)).unwrap())
}

fn records(page: &Page, seconds: u64) {
    page.tap_named("button", "Voice note on Shaft seal");
    page.wait_for_text("of 3:00 recorded");
    std::thread::sleep(Duration::from_secs(seconds));
}

#[test]
fn a_voice_note_is_two_taps_and_is_heard_again() {
    let mut world = World::of_app();
    let page = world.open_workbook();
    at_the_seal(&page);
    page.wait_until_offline_is_ready();
    world.stop_server();
    records(&page, 3);
    assert_eq!(page.axe().unwrap().iter().map(ToString::to_string).collect::<String>(), "");
    page.tap_named("button", "Stop and keep");
    page.said("Voice note kept");
    page.wait_for("[...document.querySelectorAll('button')].some(it => it.ariaLabel === null && it.innerText.startsWith('Play voice note, 0:0'))", SOON);
    let play =
        "[...document.querySelectorAll('.part.current button')].find(it => it.innerText.startsWith('Play voice note'))";
    page.tap_said(play);
    page.wait_for("document.querySelector('audio')?.currentTime > 0.5", SOON);
    assert_eq!(page.axe().unwrap().iter().map(ToString::to_string).collect::<String>(), "");

    // It survives the death of the page, in both places.
    page.reload().unwrap();
    page.wait_until_open();
    page.place("Now");
    page.clock_shows("Marsh Heron");
    let file = world.backup(&page);
    let taken = intake::take(&file).unwrap();
    let kept = book_of(&taken);
    let item = kept.teardown.still_off(kept.jobs.jobs().next().unwrap().id).next().unwrap().id;
    let voice = kept.evidence.voices().next().unwrap();
    assert_eq!((voice.about, voice.facts.sound), (About::Item(item), Sound::Webm));
    assert!((2_500..6_000).contains(&voice.facts.ms), "{}", voice.facts.ms);
    let (_, bytes) = taken.blobs.iter().find(|blob| blob.0 == voice.facts.blob).unwrap();
    // EBML, the head of WebM (RFC 8794, section 11.2.1).
    assert!(bytes.starts_with(&[0x1a, 0x45, 0xdf, 0xa3]) && bytes.len() as u32 == voice.facts.bytes);

    page.place("Hand over");
    let day: String = page.eval("new Date().toLocaleDateString('sv')").unwrap();
    let office = world.save_document(&page, "Make the day's file", &format!("day {day}.html"));
    let office = String::from_utf8(office).unwrap();
    assert!(office.contains("Shaft seal: voice note, 0:0") && office.contains("<audio controls data-blob="));
    page.assert_quiet();
}

#[test]
fn who_goes_elsewhere_while_it_records_has_said_what_there_was_to_say() {
    let world = World::of_app();
    let page = world.open_workbook();
    at_the_seal(&page);
    records(&page, 2);
    judge(&page, "voice-recording");
    page.place("Now");
    page.said("Voice note kept");
    assert_eq!(book(&world, &page).evidence.voices().count(), 1);
    // What is being recorded when the page dies is lost, and nothing claims otherwise.
    page.job("Marsh Heron", "Off-list");
    records(&page, 2);
    page.reload().unwrap();
    page.wait_until_open();
    assert_eq!(book(&world, &page).evidence.voices().count(), 1);
    page.assert_quiet();
}

#[test]
fn a_new_version_is_not_offered_while_something_is_recorded() {
    let world = World::of_app();
    let page = world.open_workbook();
    page.wait_until_offline_is_ready();
    at_the_seal(&page);
    let (folder, _) = next_version();
    world.server().set_root(folder.path()).unwrap();
    page.reload().unwrap();
    page.wait_until_open();
    page.wait_for_text("A new version of Quaywright is ready.");
    records(&page, 2);
    assert!(!page.text().contains("A new version"), "taking it would end the recording");
    page.tap_named("button", "Stop and keep");
    page.said("Voice note kept");
    page.wait_for_text("A new version of Quaywright is ready.");
    page.assert_quiet();
}

#[test]
fn a_refused_microphone_is_told_with_two_ways_on() {
    let world = World::of_app();
    let page = world.browser().blank();
    page.before_each_document(
        "navigator.mediaDevices.getUserMedia = async () => { throw new DOMException('', 'NotAllowedError'); }",
    )
    .unwrap();
    page.go(&world.address()).unwrap();
    page.wait_until_open();
    at_the_seal(&page);
    page.tap_named("button", "Voice note on Shaft seal");
    page.wait_for_text("The microphone is refused: allow it for this page in the browser's settings, then try again.");
    judge(&page, "voice-refused");
    page.tap_named("link", "Write it");
    page.wait_for_text("Note on Marsh Heron");
    assert_eq!(book(&world, &page).evidence.voices().count(), 0);
    page.assert_quiet();
}

#[test]
fn a_browser_without_a_recorder_takes_the_phones_own_recording() {
    let world = World::of_app();
    let page = world.browser().blank();
    page.before_each_document("delete window.MediaRecorder").unwrap();
    page.go(&world.address()).unwrap();
    page.wait_until_open();
    at_the_seal(&page);
    let file = world.lay_out("note.wav", &wave());
    let foreign = world.lay_out("note.txt", b"no sound");
    let input = "input[aria-label='Voice note on Shaft seal: file']";
    page.choose_file(input, &[foreign]);
    page.wait_for_text("cannot be played here, so it was not added");
    page.choose_file(input, &[file]);
    page.said("Voice note kept");
    let kept = book(&world, &page);
    let voice = kept.evidence.voices().next().unwrap();
    assert_eq!((voice.facts.sound, voice.facts.ms), (Sound::Wav, 1_000));
    page.assert_quiet();
}

/// A second of silence: RIFF WAVE, 8 bits, 8,000 samples a second, one channel.
fn wave() -> Vec<u8> {
    let number = |of: u32| of.to_le_bytes();
    let head = [b"RIFF".as_slice(), &number(36 + 8_000), b"WAVEfmt ", &number(16), &[1, 0, 1, 0]].concat();
    let form = [number(8_000).as_slice(), &number(8_000), &[1, 0, 8, 0], b"data", &number(8_000)].concat();
    [head, form, vec![128; 8_000]].concat()
}
