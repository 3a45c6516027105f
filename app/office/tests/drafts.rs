//! Drafts of invoices of an export, from the day files to the XML and the PDF.
#![allow(clippy::expect_used, reason = "a test stops where it cannot go on")]

mod shop;

use std::fs;

use shop::{PARTIES, PRICES, month, run, said, wrong};

#[test]
fn an_export_becomes_drafts_that_are_the_same_each_time() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = |name: &str| folder.path().join(name).to_str().expect("a plain path").to_owned();
    let write = |name: &str, bytes: &[u8]| {
        fs::write(at(name), bytes).expect("the file is written");
        at(name)
    };
    let store = folder.path().join("shop.quay");
    let (phone, _) = month(1, "M. Sluice");
    said(&run("take-in", &store, &[&write("log.jsonl", &phone.log_file())]), 0);
    let (prices, parties) = (write("prices.json", PRICES.as_bytes()), write("parties.json", PARTIES.as_bytes()));
    said(&run("bill", &store, &["--prices", &prices, "--export", &at("lines.csv")]), 0);
    let drafts = |number: &str, into: &str, parties: &str| {
        let words = [number, &at(into), "--prices", &prices, "--parties", parties, "--issued", "2026-05-31"];
        run("drafts", &store, &words)
    };
    let names = said(&drafts("1", "once", &parties), 0);
    assert_eq!(names.lines().count(), 40, "twenty jobs, each as XML and PDF: {names}");
    said(&drafts("1", "twice", &parties), 0);
    for name in names.lines() {
        let read = |into: &str| fs::read(folder.path().join(into).join(name)).expect("it was written");
        assert!(read("once") == read("twice"), "{name}");
    }
    // A day: half an hour of travel and 7 hours of labour at 60, an impeller at 14.20 and half.
    let first = fs::read_to_string(folder.path().join("once/draft-1-1.xml")).expect("the first draft");
    for says in ["<cbc:TaxExclusiveAmount currencyID=\"GBP\">471.30<", "<cbc:PayableAmount currencyID=\"GBP\">565.56<"]
    {
        assert!(first.contains(says), "{first}");
    }
    // Who is not known is named, and another export is not there.
    let strangers = write("strangers.json", PARTIES.replace("Towpath", "Another").as_bytes());
    let output = drafts("1", "none", &strangers);
    said(&output, 1);
    assert!(wrong(&output).contains("\"Towpath Trust\" is not among the customers"), "{}", wrong(&output));
    assert!(wrong(&drafts("2", "none", &parties)).contains("no export 2"));
}
