//! A long history opens from a start-up cache, and the cache may be anything: old, cut,
//! flipped, of another history. It is dropped or passed over, and nothing is lost with it.

use std::collections::BTreeSet;
use std::time::Instant;

use quaywright_core::moment::Moment;
use quaywright_xtask::demo::large::big_log;

use crate::failure::must;
use crate::page::SOON;
use crate::phone::Phone;

/// Enough records for two full packs and some after them.
const RECORDS: usize = 4_300;

/// Alters the packs of a workbook that is not open: `change` gets the part of the database,
/// the names and the bytes of its packs.
const ALTER: &str = "(change => new Promise((done, fail) => {
    const opening = indexedDB.open('quaywright');
    opening.onerror = () => fail(opening.error);
    opening.onsuccess = () => {
        const altering = opening.result.transaction(['packs'], 'readwrite', { durability: 'strict' });
        const part = altering.objectStore('packs');
        const beforeReserve = IDBKeyRange.upperBound('reserve', true);
        const names = part.getAllKeys(beforeReserve), packs = part.getAll(beforeReserve);
        packs.onsuccess = () => change(part, names.result, packs.result);
        altering.onabort = () => fail(altering.error);
        altering.oncomplete = () => { opening.result.close(); done(packs.result.length); };
    };
}))";

fn packs(phone: &Phone) -> usize {
    phone.keys_of("packs").iter().filter(|it| *it != "reserve").count()
}

#[test]
fn an_old_or_damaged_cache_loses_nothing() {
    let from = Moment::new(1_735_718_400_000, 60).expect("the first working day of a year is a moment");
    let history = big_log(RECORDS, from, 14);
    let mut phone = Phone::new();
    phone.page().place("Hand over");
    phone.brings_back("history.jsonl", &history.join(&b'\n'));
    phone.page().said("are here now");
    let deadline = Instant::now() + 3 * SOON;
    while packs(&phone) < 2 {
        assert!(Instant::now() < deadline, "{} packs were made of {RECORDS} records", packs(&phone));
    }
    phone.taps("Travel");
    phone.rests();
    let before = phone.holds();
    assert!(before.records.len() > RECORDS);

    for (what, change) in [
        ("a flipped byte", "(part, names, packs) => { packs[0][70_000] ^= 1; part.put(packs[0], names[0]); }"),
        ("a pack that is gone", "(part, names) => part.delete(names[0])"),
        ("an older pack in a later one's place", "(part, names, packs) => part.put(packs[0], names[1])"),
        ("a cut pack", "(part, names, packs) => part.put(packs[1].slice(0, 90_000), names[1])"),
        ("no pack", "part => part.clear()"),
    ] {
        let found: usize = must(phone.opens_beside().eval(&format!("{ALTER}({change})")));
        assert_eq!(found, 2, "{what}: the packs of the start before were not made again");
        phone.opens_workbook_there();
        phone.does_not_show("missing");
        phone.does_not_show("restored");
        let now = phone.holds();
        let lines: BTreeSet<&[u8]> = now.lines().into_iter().collect();
        assert!(before.lines().iter().all(|line| lines.contains(line)), "{what}");
        let deadline = Instant::now() + 3 * SOON;
        while packs(&phone) < 2 {
            assert!(Instant::now() < deadline, "{what}: the packs are not made again");
        }
    }
}
