//! A newer program has written here, and the one before it is put back.
//!
//! What it cannot read it leaves as it is: it shows and saves what it can, says
//! what to do, and writes nothing, so the newer one finds everything again.

use std::fs;

use crate::failure::must;
use crate::phone::{Held, Phone};

/// Puts an entry of a form that nobody knows yet behind the last one; returns its key.
const WRITE_NEWER: &str = "new Promise((done, fail) => {
    const opening = indexedDB.open('quaywright');
    opening.onerror = () => fail(opening.error);
    opening.onsuccess = () => {
        const writing = opening.result.transaction(['events'], 'readwrite', { durability: 'strict' });
        const part = writing.objectStore('events'), keys = part.getAllKeys();
        let key;
        keys.onsuccess = () => {
            const [device, number] = keys.result.at(-1).split('-');
            const next = Number(number) + 1;
            key = device + '-' + String(next).padStart(12, '0');
            part.put(new TextEncoder().encode(`{\"v\":9,\"id\":\"${device}-${next}\",\"what\":\"unknown\"}`), key);
        };
        writing.onabort = () => fail(writing.error);
        writing.oncomplete = () => { opening.result.close(); done(key); };
    };
})";

/// Reads the words under a key.
const WORDS_AT: &str = "(key => new Promise((done, fail) => {
    const opening = indexedDB.open('quaywright');
    opening.onerror = () => fail(opening.error);
    opening.onsuccess = () => {
        const asked = opening.result.transaction(['events']).objectStore('events').get(key);
        asked.onerror = () => fail(asked.error);
        asked.onsuccess = () => { opening.result.close(); done(new TextDecoder().decode(asked.result)); };
    };
}))";

#[test]
fn what_a_newer_program_wrote_is_left_alone_and_the_rest_can_be_saved() {
    let mut phone = Phone::new();
    phone.taps("Travel");
    phone.taps("Waiting");
    phone.rests();
    let before = phone.holds();
    phone.rests();
    let key: String = must(phone.page().eval(WRITE_NEWER));
    let words = || -> String { must(phone.page().eval(&format!("{WORDS_AT}('{key}')"))) };
    let written = words();
    for _ in 0..2 {
        must(phone.page().reload());
        phone.page().wait_until_open();
        phone.shows("A newer Quaywright wrote here (form 9): bring this one up to date, nothing was changed.");
        phone.does_not_show("New job");
        phone.page().tap_named("button", "Save what is left");
        let file = phone.world().browser().wait_download("quaywright backup");
        let saved = Held::of(fs::read(&file).expect("a finished download can be read"));
        fs::remove_file(file).expect("a download can be removed");
        assert_eq!(&saved.lines()[..before.records.len()], before.lines());
    }
    assert_eq!(words(), written);
    // It cannot be talked into going on either.
    phone.page().tap_named("button", "Carry on without what is missing …");
    phone.page().tap_named("button", "Yes, carry on without it");
    phone.page().said("read-only");
    assert_eq!(words(), written);
    phone.sleeps();
    phone.wakes();
    phone.shows("A newer Quaywright wrote here");
}
