//! No network: the normal state. And a service worker that dies while it gets ready.

use std::fs;
use std::path::Path;

use quaywright_xtask::stamp::stamp;
use tempfile::TempDir;

use crate::ground::dist;
use crate::page::SOON;
use crate::phone::{Chance, Held, Phone};

#[test]
fn everything_works_with_the_server_gone() {
    let mut phone = Phone::new();
    phone.page().open_job("Heron", "A. Reed", "Raw water pump", "Runs hot at cruising speed");
    phone.page().wait_until_offline_is_ready();
    let start = phone.world().address();
    phone.sleeps();
    phone.world_mut().stop_server();

    // A cold start, then one with a deep link.
    phone.wakes();
    phone.shows("Heron");
    phone.page().job("Heron", "Story");
    let link: String = phone.page().eval("location.href").unwrap();
    assert!(link.contains("#/job/"), "{link}");
    phone.sleeps();
    phone.opens(&link);
    let complaint = "[...document.querySelectorAll('textarea')].some(it => it.value === 'Runs hot at cruising speed')";
    phone.page().wait_for(complaint, SOON);

    // Work, and every document.
    phone.taps("Travel");
    phone.page().place("Hand over");
    let summary = phone.world().save_document(phone.page(), "Make the work summary", "work on Heron");
    assert!(String::from_utf8_lossy(&summary).contains("Raw water pump"));
    let day = phone.world().save_document(phone.page(), "Make the day's file", "day ");
    assert!(String::from_utf8_lossy(&day).contains("Raw water pump"));
    assert_eq!(phone.holds().clock().last().map(String::as_str), Some("travel"));
    let asked = phone.page().requests().unwrap();
    assert!(asked.iter().all(|it| it.url.contains(start.as_str())), "{asked:?}");
    assert_eq!(phone.page().console_errors().unwrap(), Vec::<String>::new());
}

#[test]
fn a_server_that_is_there_is_not_asked_for_the_app() {
    let mut phone = Phone::new();
    phone.taps("Travel");
    phone.page().wait_until_offline_is_ready();
    phone.sleeps();
    phone.world().server().forget_requests();
    phone.wakes();
    phone.taps("Waiting");
    phone.holds();
    // All that may be asked is whether there is a newer version; and a browser that wakes a
    // service worker asks for the page beside, and forgets the answer when the worker has one.
    let asked = phone.world().server().requests();
    assert!(asked.iter().all(|it| it == "/sw.js" || it == "/"), "{asked:?}");
}

#[test]
fn a_service_worker_killed_while_it_installs_leaves_nothing_broken() {
    let mut chance = Chance::drawn("a killed installation");
    for _ in 0..8 {
        let mut phone = Phone::new();
        phone.taps("Travel");
        // From nothing again: the installation is what is being killed.
        phone.sleeps();
        phone.opens_beside().clear("service_workers,cache_storage").unwrap();
        phone.dies_after(chance.between(0, 900));
        phone.opens_as_far_as_it_gets();
        phone.dies();
        assert_it_opens_with_and_without_a_server(&mut phone);
    }
}

#[test]
fn a_service_worker_killed_while_it_takes_over_leaves_nothing_broken() {
    let mut chance = Chance::drawn("a killed take-over");
    for round in 0..6 {
        let build = TempDir::new().unwrap();
        copy(&dist(), build.path());
        let mut phone = Phone::of(build.path());
        phone.taps("Travel");
        phone.page().wait_until_offline_is_ready();
        next_version(build.path(), round);
        phone.reloads();
        phone.shows("A new version of Quaywright is ready");
        phone.dies_after(chance.between(0, 400));
        phone.takes_new_version_as_far_as_it_gets();
        phone.dies();
        assert_it_opens_with_and_without_a_server(&mut phone);
    }
}

/// Ends the test unless the workbook opens online, then offline, with what was kept.
#[track_caller]
fn assert_it_opens_with_and_without_a_server(phone: &mut Phone) {
    phone.wakes();
    phone.page().clock_shows("Travel");
    phone.page().wait_until_offline_is_ready();
    phone.sleeps();
    phone.world_mut().stop_server();
    phone.wakes();
    phone.page().clock_shows("Travel");
    assert_eq!(Held::of(phone.world().backup(phone.page())).clock(), ["travel"]);
    phone.sleeps();
    phone.world_mut().start_server();
}

/// Makes the next version of a build: another page is enough.
fn next_version(build: &Path, round: u64) {
    let page = build.join("index.html");
    let text = fs::read_to_string(&page).unwrap();
    fs::write(&page, format!("{text}<p hidden>The next version, {round}</p>\n")).unwrap();
    stamp(build, "/").unwrap();
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap().flatten() {
        let target = to.join(entry.file_name());
        if entry.path().is_dir() {
            copy(&entry.path(), &target);
        } else {
            fs::copy(entry.path(), target).unwrap();
        }
    }
}
