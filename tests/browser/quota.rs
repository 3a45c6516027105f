//! The phone is full: a photo is refused in words, and what is written goes on.

use crate::failure::must;
use crate::phone::{ACTIVITIES, Phone, Verdict};

/// The limit that is set, in bytes; the workbook's own files take nearly half of it.
const LIMIT: u64 = 4_000_000;

#[test]
fn a_full_phone_refuses_photos_and_takes_text() {
    let mut phone = Phone::new();
    phone.taps("Waiting");
    phone.page().wait_until_offline_is_ready();
    phone.sleeps();
    must(phone.opens_beside().quota(Some(LIMIT)));
    phone.opens_workbook_there();

    let mut kept = 0;
    let refusal = loop {
        assert!(kept < 40, "the limit was never felt");
        match must(phone.photographs(kept + 1)) {
            Verdict::Kept => kept += 1,
            Verdict::NotKept(words) => break words,
        }
    };
    assert!(refusal.contains("no room"), "{refusal}");

    let mut tapped = vec!["Waiting"];
    for activity in ACTIVITIES.into_iter().cycle().take(90) {
        phone.taps(activity);
        tapped.push(activity);
    }
    for number in 1..=10 {
        assert_eq!(must(phone.notes(&format!("Note {number} on a full phone"))), Verdict::Kept);
    }
    assert!(matches!(must(phone.photographs(1_000)), Verdict::NotKept(_)), "there is room after all");

    must(phone.page().quota(None));
    assert_eq!(must(phone.photographs(2_000)), Verdict::Kept);
    phone.taps("Waiting");
    tapped.push("Waiting");
    phone.sleeps();
    phone.wakes();
    phone.does_not_show("missing");
    let held = phone.holds();
    assert_eq!(held.clock(), tapped.iter().map(|it| it.to_lowercase()).collect::<Vec<_>>());
    assert_eq!(held.photos.len(), kept as usize + 1);
    phone.rests();
}
