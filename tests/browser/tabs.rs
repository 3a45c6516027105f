//! The workbook in several tabs: one writes, the others show, and the next one takes over.

use std::time::{Duration, Instant};

use crate::failure::must;
use crate::page::Page;
use crate::phone::{Phone, Verdict, assert_kept};

/// How soon another tab must be able to write once the one that wrote is gone.
const TAKEN_OVER: Duration = Duration::from_secs(5);

/// Returns the tabs that say that they only show.
fn watching(tabs: &[Page]) -> usize {
    tabs.iter().filter(|it| it.text().contains("This one only shows")).count()
}

/// Waits until exactly one of the tabs writes, and returns its place among them.
#[track_caller]
fn writer(tabs: &[Page]) -> usize {
    let begun = Instant::now();
    while watching(tabs) + 1 != tabs.len() {
        assert!(begun.elapsed() < TAKEN_OVER, "{} of {} tabs write", tabs.len() - watching(tabs), tabs.len());
    }
    let place = tabs.iter().position(|it| !it.text().contains("This one only shows"));
    place.expect("one of them does not say that it only shows")
}

#[test]
fn one_of_several_tabs_writes_and_the_next_one_takes_over() {
    for (count, crash) in [(2, false), (2, true), (5, false), (5, true)] {
        let mut phone = Phone::new();
        let mut tabs: Vec<Page> = (1..count).map(|_| phone.world().open_workbook()).collect();
        tabs.insert(0, phone.gives_page());
        let mut tapped = Vec::new();
        while tabs.len() > 1 {
            let writes = writer(&tabs);
            // All of them are tapped, one after the other; only one keeps anything.
            for (place, tab) in tabs.iter().enumerate() {
                let activity = ["Travel", "Waiting"][tapped.len() % 2];
                match must(Phone::tries_in(tab, activity)) {
                    Verdict::Kept => {
                        assert_eq!(place, writes, "a tab that only shows has written");
                        tapped.push(activity);
                    }
                    Verdict::NotKept(words) => {
                        assert_ne!(place, writes, "{words}");
                        assert!(words.contains("tab only shows"), "{words}");
                    }
                }
            }
            // What it kept is seen in all of them.
            let last = *tapped.last().expect("one of them has written");
            tabs.iter().for_each(|tab| tab.clock_shows(last));
            let gone = tabs.remove(writes);
            must(if crash { gone.crash() } else { gone.close() });
        }
        writer(&tabs);
        phone.takes_page(tabs.remove(0));
        phone.taps("Paperwork");
        tapped.push("Paperwork");
        let held = phone.holds().clock();
        assert_kept(&tapped, &held, &format!("{count} tabs, crash {crash}"));
        assert_eq!(held.len(), tapped.len());
    }
}
