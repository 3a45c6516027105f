//! The files under the browser go bad while it is off: bytes flipped, tails cut, files gone.
//!
//! The workbook has two copies and a witness that fail apart from each other, so one of
//! them at a time may go without a loss; and when all is gone, that is said.

use std::fs;
use std::path::{Path, PathBuf};
use std::thread::sleep;
use std::time::Duration;

use quaywright_core::exchange::intake::{self, Fault};

use crate::damage::{files_under, flip_bytes, largest, truncate};
use crate::failure::{Failure, must};
use crate::phone::{Held, Phone, Verdict};

/// How long the workbook leaves the two copies alone after a start, and some air.
const COMPARED: Duration = Duration::from_secs(13);

/// A phone with some work and some photos on it, and what it holds.
#[track_caller]
fn worked(photos: u32) -> (Phone, Held) {
    let phone = Phone::new();
    for activity in
        ["Travel", "Waiting", "Paperwork", "Travel", "Meal period", "Parts run"].into_iter().cycle().take(30)
    {
        phone.taps(activity);
    }
    for seed in 1..=photos {
        assert_eq!(must(phone.photographs(seed * 77)), Verdict::Kept);
    }
    let held = phone.holds();
    phone.rests();
    (phone, held)
}

/// Ends the test unless all of `before` is still on the phone, byte for byte.
#[track_caller]
fn assert_still_there(phone: &Phone, before: &Held) {
    let now = phone.holds();
    let lines = now.lines();
    for line in before.lines() {
        assert!(lines.contains(&line), "lost: {}", String::from_utf8_lossy(line));
    }
    assert!(now.photos.is_superset(&before.photos), "lost a photo");
}

/// Returns the middle of a file.
fn middle(file: &Path) -> u64 {
    fs::metadata(file).map_or(0, |it| it.len()) / 2
}

/// Returns the file in which the database keeps one of its photos; a larger one is the reserve.
#[track_caller]
fn photo_file(phone: &Phone) -> PathBuf {
    let size = |it: &PathBuf| fs::metadata(it).map_or(0, |it| it.len());
    let files = files_under(&phone.world().stores().blobs()).into_iter();
    let photos = files.filter(|it| (100_000..900_000).contains(&size(it)));
    photos.max_by_key(size).expect("the database keeps photos in files of their own")
}

/// Returns the files of the second copy that hold at least so many bytes: its log, its photos.
fn copies(phone: &Phone, least: u64) -> Vec<PathBuf> {
    let files = files_under(&phone.world().stores().opfs()).into_iter();
    files.filter(|it| is_plain(it) && fs::metadata(it).is_ok_and(|it| it.len() >= least)).collect()
}

/// Tells a file of the app's from the browser's own books about them.
fn is_plain(file: &Path) -> bool {
    !file.components().any(|it| matches!(it.as_os_str().to_str(), Some("Paths" | "Origins")))
}

#[test]
fn an_emptied_database_is_restored_from_the_second_copy_and_said() {
    for name in [".log", "MANIFEST"] {
        let (mut phone, before) = worked(2);
        phone.sleeps();
        let mut all = files_under(&phone.world().stores().leveldb()).into_iter();
        let file = all.rfind(|it| it.to_string_lossy().contains(name)).expect("there is a database");
        flip_bytes(&file, middle(&file), 64.min(middle(&file) as usize));
        phone.wakes();
        phone.shows("restored from the second copy");
        phone.waits_for_photos(2);
        assert_still_there(&phone, &before);
        phone.taps("Travel");
        phone.rests();
        phone.sleeps();
        phone.wakes();
        phone.does_not_show("restored");
        assert_still_there(&phone, &before);
    }
}

#[test]
fn a_tail_that_is_missing_is_noticed_and_comes_back() {
    let (mut phone, before) = worked(0);
    phone.sleeps();
    truncate(&largest(&phone.world().stores().leveldb(), ".log"), 0.8);
    phone.wakes();
    phone.shows("restored from the second copy");
    assert_still_there(&phone, &before);
    phone.taps("Waiting");
}

#[test]
fn a_bad_photo_file_harms_no_other_and_is_healed() {
    for delete in [true, false] {
        let (mut phone, before) = worked(3);
        phone.sleeps();
        let file = photo_file(&phone);
        if delete {
            must(fs::remove_file(&file).map_err(Failure::machine("cannot remove a photo's file")));
        } else {
            flip_bytes(&file, middle(&file), 64);
        }
        phone.wakes();
        assert_still_there(&phone, &before);
        phone.taps("Waiting");
    }
}

#[test]
fn a_photo_that_is_bad_in_both_places_is_marked_alone() {
    let (mut phone, before) = worked(3);
    phone.sleeps();
    let file = photo_file(&phone);
    flip_bytes(&file, middle(&file), 64);
    let twins = copies(&phone, 100_000);
    assert!(twins.len() >= 3, "{twins:?}");
    let original = fs::read(&file).expect("a photo's file can be read");
    let is_twin = |it: &&PathBuf| {
        let bytes = fs::read(it).unwrap_or_default();
        bytes.get(1_000..2_000).is_some_and(|some| original.windows(some.len()).any(|it| it == some))
    };
    let twin = twins.iter().find(is_twin).expect("the second copy holds the photo too");
    flip_bytes(twin, middle(twin), 64);

    phone.wakes();
    phone.taps("Travel");
    let taken = intake::take(&phone.world().backup(phone.page())).expect("the backup can be read");
    assert!(matches!(taken.faults[..], [Fault::PhotoMissing(_)]), "{:?}", taken.faults);
    assert_eq!(taken.blobs.len(), before.photos.len() - 1);
    assert!(taken.blobs.iter().all(|(id, _)| before.photos.contains(id)));
    assert!(taken.records.len() > before.records.len());
}

#[test]
fn a_damaged_second_copy_is_written_anew() {
    for cut in [false, true] {
        let (mut phone, before) = worked(0);
        phone.sleeps();
        let log = copies(&phone, 1_000).into_iter().max_by_key(|it| fs::metadata(it).map_or(0, |it| it.len()));
        let log = log.expect("there is a second copy");
        if cut {
            truncate(&log, 0.6)
        } else {
            flip_bytes(&log, middle(&log), 64)
        }
        phone.wakes();
        sleep(COMPARED);
        phone.rests();
        assert_still_there(&phone, &before);
        phone.rests();
        phone.sleeps();

        // Now the first copy goes: the second one has to be whole again to give everything back.
        must(fs::remove_dir_all(phone.world().stores().leveldb()).map_err(Failure::machine("no database")));
        phone.wakes();
        phone.shows("restored from the second copy");
        assert_still_there(&phone, &before);
    }
}

#[test]
fn when_everything_is_gone_it_is_said_and_a_backup_brings_it_back() {
    let (mut phone, before) = worked(2);
    phone.sleeps();
    let stores = phone.world().stores();
    for folder in [stores.leveldb(), stores.blobs(), stores.opfs()] {
        must(fs::remove_dir_all(&folder).map_err(Failure::machine("no store")));
    }
    phone.wakes();
    phone.shows("Something that was kept is missing");
    phone.shows("Everything that was kept on this device is gone");
    phone.does_not_show("New job");

    phone.brings_back("backup.txt", &before.file);
    phone.page().said("are here now");
    // That the backup was made is a record too, and no backup can hold it: that is told, not asked.
    phone.shows("Everything of the backup is here.");
    let after = phone.holds();
    assert_eq!(after.lines(), before.lines());
    assert_eq!(after.photos, before.photos);
    phone.taps("Travel");
    phone.sleeps();
    phone.wakes();
    phone.does_not_show("missing");
    assert_still_there(&phone, &after);
}
