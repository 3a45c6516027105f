//! What the owner gets: in the language that was chosen, pairs beside each other, a short
//! message; and days, numbers and money as the browser's own ICU writes them.

use std::fs;

use quaywright_core::event::{Language, Measures, Reader};
use quaywright_core::moment::Day;
use quaywright_core::money::Currency;
use quaywright_core::money::minor::Minor;
use quaywright_core::owner::words::Words;
use serde_json::json;

use crate::ground::World;
use crate::hand::CORNERS;
use crate::page::{Page, SOON};

/// Opens a job with two photos that are a pair.
fn a_job_with_a_pair(world: &World) -> Page {
    let page = world.open_workbook_at("Europe/London", "2026-05-04T08:00:00+01:00");
    page.open_job("Marsh Heron", "A. Finch", "No charge at sea", "Battery flat after a day out");
    page.job("Marsh Heron", "Photos");
    for name in ["worn.jpg", "new.jpg"] {
        let picture = world.lay_out(name, &page.paint("jpeg", 640, 480, CORNERS));
        page.photograph("Photo of the job", &[picture]);
    }
    page.tap_said(
        "[...document.querySelectorAll('button')].filter(it => it.innerText === 'This is before the work')[1]",
    );
    page.wait_for_text("Now point at the photo that shows it afterwards.");
    page.tap_named("button", "And this is after it");
    page.said("The owner sees both beside each other");
    page.wait_for_text("Before and after");
    page
}

#[test]
fn the_owner_reads_german_and_sees_the_pair() {
    let world = World::of_app();
    let page = a_job_with_a_pair(&world);
    page.place("Hand over");
    page.choose_labelled("Owner reads", "Deutsch");
    page.said("Kept: the owner reads Deutsch, units as read");
    page.hide_what_was_said();
    page.choose_labelled("Units for the owner", "metric");
    page.said("Kept: the owner reads Deutsch, units metric");
    let summary = world.save_document(&page, "Make the work summary", "work on Marsh Heron");
    let summary = String::from_utf8(summary).unwrap();
    for told in
        ["<html lang=\"de\">", "Noch in Arbeit", "Montag, 4. Mai 2026", "Vorher und nachher", "Vorher", "Nachher"]
    {
        assert!(summary.contains(told), "{told} is missing: {}", &summary[..summary.len().min(3_000)]);
    }

    page.choose_labelled("Documents as", "PDF, A4");
    let pdf = world.save_document(&page, "Make the work summary", "work on Marsh Heron");
    assert!(
        String::from_utf8_lossy(&pdf).contains("/Lang (de)") || String::from_utf8_lossy(&pdf).contains("/Lang(de)")
    );

    page.tap_named("button", "Write a short message");
    page.wait_for(
        "document.querySelector('textarea[readonly]')?.value.startsWith('Marsh Heron: No charge at sea')",
        SOON,
    );
    let message: String = page.eval("document.querySelector('textarea[readonly]').value").unwrap();
    assert!(message.contains("Die Arbeit geht weiter.") && message.chars().count() < 600, "{message}");
    page.tap_named("button", "Copy the message");
    page.said("Copied. Paste it where you write to the owner.");
    assert_eq!(page.console_errors().unwrap(), Vec::<String>::new());
    if let Ok(folder) = std::env::var("QUAYWRIGHT_PICTURES") {
        fs::create_dir_all(&folder).unwrap();
        page.screenshot(&std::path::Path::new(&folder).join("owner-hand-over.png")).unwrap();
        fs::write(std::path::Path::new(&folder).join("owner.html"), &summary).unwrap();
        fs::write(std::path::Path::new(&folder).join("owner.pdf"), &pdf).unwrap();
        page.job("Marsh Heron", "Photos");
        page.screenshot(&std::path::Path::new(&folder).join("owner-photos.png")).unwrap();
    }
}

/// Chromium carries ICU with CLDR's data, and is written by others.
#[test]
fn days_numbers_and_money_are_written_as_the_browsers_icu_writes_them() {
    let world = World::of_app();
    let page = world.open_workbook();
    let locales = [
        ("en-GB", Language::English, Measures::AsRead),
        ("en-US", Language::English, Measures::Us),
        ("es", Language::Spanish, Measures::AsRead),
        ("fr", Language::French, Measures::AsRead),
        ("de", Language::German, Measures::AsRead),
    ];
    for (locale, language, measures) in locales {
        let words = Words::of(Reader { language, measures });
        let asked = |js: &str, given: &str| -> String {
            let js = format!("((locale, given) => {js})({}, {})", json!(locale), json!(given));
            // Where CLDR has a narrow space that does not break, a PDF's letters have none.
            let told = page.eval::<String>(&js).unwrap().replace('\u{202f}', "\u{a0}");
            // We write British days without the comma that this ICU has and later ones have not.
            if locale == "en-GB" { told.replace("day, ", "day ") } else { told }
        };
        for nth in (0..400).step_by(13) {
            let day = Day::parse("2026-01-01").unwrap().plus(nth).unwrap();
            let js = "new Intl.DateTimeFormat(locale, { dateStyle: 'full', timeZone: 'UTC' }).format(new Date(given))";
            assert_eq!(words.day(day), asked(js, &day.to_string()), "{locale}");
        }
        for number in ["0", "7", "12.60", "999.5", "2140", "2407.3", "12345", "12345.6", "1234567"] {
            let js = "new Intl.NumberFormat(locale, { minimumFractionDigits: (given.split('.')[1] ?? '').length }).format(given)";
            assert_eq!(words.number(number), asked(js, number), "{locale}");
        }
        for amount in ["0", "12.5", "999.99", "1234.5", "12345.67", "1234567"] {
            for currency in [Currency::Eur, Currency::Gbp] {
                let js = "new Intl.NumberFormat(locale, { style: 'currency', currency: given.split(' ')[1] }).format(given.split(' ')[0])";
                let money = Minor::parse(amount, currency).unwrap();
                assert_eq!(
                    words.money(money, currency),
                    asked(js, &format!("{amount} {}", currency.code())),
                    "{locale}"
                );
            }
        }
    }
}
