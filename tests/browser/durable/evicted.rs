//! The browser takes the storage away: it runs short of room, or a week has passed.
//!
//! An eviction takes all of an origin at once, and then nothing on the phone can tell
//! that there was anything. Where a part stays behind, that part tells.

use crate::failure::must;
use crate::phone::{Held, Phone};

fn worked() -> (Phone, Held) {
    let phone = Phone::new();
    phone.taps("Travel");
    phone.taps("Waiting");
    phone.rests();
    let held = phone.holds();
    phone.rests();
    (phone, held)
}

/// Takes kinds of storage away while the phone is off, so to speak: no page of the workbook is open.
#[track_caller]
fn evict(phone: &mut Phone, kinds: &str) {
    phone.sleeps();
    must(phone.opens_beside().clear(kinds));
    phone.sleeps();
    phone.wakes();
}

#[test]
fn after_a_whole_eviction_the_workbook_starts_empty_and_takes_the_backup() {
    let (mut phone, before) = worked();
    evict(&mut phone, "all");
    phone.does_not_show("missing");
    phone.shows("Nothing yet");
    phone.page().place("Hand over");
    phone.brings_back("backup.txt", &before.file);
    phone.page().said("are here now");
    assert_eq!(phone.holds().lines(), before.lines());
}

#[test]
fn a_witness_that_stays_behind_tells_what_is_gone() {
    // One after the other: the note in local storage alone, the note in the cache alone, both.
    for kinds in
        ["indexeddb,file_systems,cache_storage", "indexeddb,file_systems,local_storage", "indexeddb,file_systems"]
    {
        let (mut phone, before) = worked();
        evict(&mut phone, kinds);
        phone.shows("Everything that was kept on this device is gone");
        phone.does_not_show("New job");
        phone.brings_back("backup.txt", &before.file);
        phone.page().said("are here now");
        phone.shows("Everything of the backup is here.");
        assert_eq!(phone.holds().lines(), before.lines());
        phone.taps("Paperwork");
    }
}

#[test]
fn work_after_the_backup_is_missed_and_the_person_is_asked() {
    let (mut phone, before) = worked();
    phone.taps("Travel");
    phone.rests();
    // The witness follows the second copy.
    std::thread::sleep(std::time::Duration::from_secs(1));
    evict(&mut phone, "indexeddb,file_systems");
    phone.brings_back("backup.txt", &before.file);
    phone.page().said("are here now");
    phone.shows("are gone: bring back a backup, or carry on without them");
    phone.goes_on_without_what_is_missing();
    assert_eq!(phone.holds().lines(), before.lines());
}

#[test]
fn one_copy_that_goes_alone_is_made_again() {
    for (kinds, words) in [("indexeddb", "restored from the second copy"), ("file_systems", "Nothing yet")] {
        let (mut phone, before) = worked();
        phone.page().place("Now");
        evict(&mut phone, kinds);
        if kinds == "indexeddb" {
            phone.shows(words);
        }
        phone.does_not_show("missing");
        assert_eq!(&phone.holds().lines()[..before.records.len()], before.lines());
        phone.rests();
    }
}
