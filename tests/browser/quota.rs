//! The phone is full: a photo is refused in words and may leave another way, and
//! what is written goes on.

use crate::failure::must;
use crate::looks::judge;
use crate::page::SOON;
use crate::phone::{ACTIVITIES, Phone, Verdict};

/// The limit that is set, in bytes; the workbook's own files take some 4.4 million of it.
const LIMIT: u64 = 6_500_000;

/// A share sheet that takes every file, and remembers what it took.
const SHARE_SHEET: &str = "
    globalThis.took = [];
    navigator.canShare = () => true;
    navigator.share = async data => { for (const it of data.files) took.push([it.name, it.type, it.size > 1000]); };";

#[test]
fn a_full_phone_refuses_photos_and_takes_text() {
    let mut phone = Phone::new();
    phone.taps("Waiting");
    phone.page().wait_until_offline_is_ready();
    phone.sleeps();
    must(phone.opens_beside().quota(Some(LIMIT)));
    must(phone.page().before_each_document(SHARE_SHEET));
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
    leaves_another_way(&phone);

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

/// The photo that was refused is shared, and the next one is saved as a file.
fn leaves_another_way(phone: &Phone) {
    let page = phone.page();
    page.wait_for_text("photo.jpg is not kept, and leaves with this page.");
    judge(page, "photo-not-kept");
    page.tap_named("button", "Share it now");
    page.said("It is shared, not kept here.");
    let took: Vec<(String, String, bool)> = must(page.eval("took"));
    assert_eq!(took, [("photo.jpg".to_owned(), "image/jpeg".to_owned(), true)]);
    assert!(!page.text().contains("leaves with this page"));

    assert!(matches!(must(phone.photographs(900)), Verdict::NotKept(_)));
    page.hide_what_was_said();
    page.tap_named("button", "Save it as a file");
    page.said("It is saved as a file, not kept in the workbook.");
    let saved = phone.world().browser().wait_download("photo");
    assert_eq!(std::fs::read(saved).unwrap()[..2], [0xff, 0xd8], "a JPEG begins so");
    page.hide_what_was_said();
    page.wait_for("!document.body.innerText.includes('leaves with this page')", SOON);
}
