//! Laws of the off-list and the back-on order, as the book keeps them.
#![allow(clippy::unwrap_used, reason = "a test stops where it cannot go on")]

use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{Config, TestRunner};
use quaywright_core::book::Book;
use quaywright_core::command::Command;
use quaywright_core::quantity::Count;
use quaywright_core::reassembly::tally::Totals;

use crate::histories::{history, lived, taken_apart};
use crate::phone::Phone;

/// Nothing is written beside the sources; a failure says its smallest case.
fn config(cases: u32) -> Config {
    Config { cases, failure_persistence: None, ..Config::default() }
}

fn fold(phone: &Phone) -> Book {
    Book::replay(phone.log.in_order().into_iter().map(|sealed| &sealed.record))
}

/// Compares every order that a phone kept up, tap by tap, with the one made anew.
fn is_as_made_anew(phone: &Phone) -> Result<(), TestCaseError> {
    let anew = fold(phone);
    for job in phone.book.jobs.jobs() {
        prop_assert_eq!(phone.book.teardown.order(job.id), anew.teardown.order(job.id));
    }
    Ok(())
}

proptest! {
    #![proptest_config(config(128))]

    #[test]
    fn an_order_that_is_kept_up_is_the_one_made_anew(history in taken_apart(80)) {
        is_as_made_anew(&lived(&history)[0])?;
    }

    #[test]
    fn so_it_is_after_what_other_phones_said(history in history(80)) {
        for phone in lived(&history) {
            is_as_made_anew(&phone)?;
        }
    }

    #[test]
    fn whatever_was_taken_apart_can_be_put_together_and_the_counts_add_up(history in taken_apart(80)) {
        let mut phone = lived(&history).into_iter().next().unwrap();
        let jobs: Vec<_> = phone.book.jobs.jobs().map(|job| job.id).collect();
        for job in jobs {
            let next = |book: &Book| Some(book.teardown.order(job)?.sequence.next().next()?.id);
            while let Some(item) = next(&phone.book) {
                let count = phone.book.teardown.item(item).unwrap().still_off();
                prop_assert!(count > Count(0));
                phone.must(Command::PutBack { item, count });
            }
            prop_assert_eq!(phone.book.teardown.still_off(job).count(), 0);
            let totals = phone.book.teardown.order(job).map(|it| it.sequence.totals()).unwrap_or_default();
            let Totals { off, on, replaced, left_off, missing, too_many } = totals;
            prop_assert_eq!((off, missing, too_many), (on + replaced + left_off, 0, 0));
        }
        is_as_made_anew(&phone)?;
    }
}

#[test]
fn the_histories_of_the_off_list_are_worth_trying() {
    let mut runner = TestRunner::deterministic();
    let mut seen = [0_usize; 5];
    for _ in 0..100 {
        let history = taken_apart(80).new_tree(&mut runner).unwrap().current();
        let book = &lived(&history)[0].book;
        let jobs = || book.jobs.jobs().map(|job| job.id);
        let orders = || jobs().filter_map(|job| book.teardown.order(job));
        let said = || jobs().flat_map(|job| book.teardown.said_of_order(job));
        seen[0] += usize::from(said().count() > 2);
        seen[1] += usize::from(said().any(|it| it.withdrawn));
        seen[2] += usize::from(orders().any(|order| order.left_out > 0));
        seen[3] += usize::from(orders().any(|order| order.sequence.waiting().count() > 2));
        seen[4] += usize::from(jobs().any(|job| book.teardown.not_sure(job).next().is_some()));
    }
    assert!(seen.iter().all(|&times| times >= 5), "of 100 histories: {seen:?}");
}
