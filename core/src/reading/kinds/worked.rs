//! The worked examples in the heads of the kinds, worked.
//!
//! A line of a head reads "- `kind`: input = answer; … → what: figure → verdict", with a dash
//! where nothing is worked out. Each is held against what the judge says, and no kind is
//! without one.

use super::judged;
use crate::reading::Kind;

const HEADS: [&str; 16] = [
    include_str!("amounts.rs"),
    include_str!("battery.rs"),
    include_str!("charging.rs"),
    include_str!("compression.rs"),
    include_str!("conductor.rs"),
    include_str!("draw.rs"),
    include_str!("fuel.rs"),
    include_str!("hold.rs"),
    include_str!("hours.rs"),
    include_str!("leak_down.rs"),
    include_str!("load_test.rs"),
    include_str!("plain.rs"),
    include_str!("ranged.rs"),
    include_str!("sling.rs"),
    include_str!("slip.rs"),
    include_str!("voltage_drop.rs"),
];

/// Works one example and returns its kind.
fn worked(example: &str) -> Kind {
    let (slug, rest) = example.split_once("`: ").unwrap();
    let kind = Kind::parse(slug).unwrap();
    let [answers, told, verdict] = *rest.split(" → ").collect::<Vec<_>>() else { panic!("{example}") };
    let answers: Vec<(&str, &str)> = answers.split("; ").map(|it| it.split_once(" = ").unwrap()).collect();
    let found = judged(kind, &answers);
    let said: Vec<String> = found.told.iter().map(|it| format!("{}: {}", it.words, it.value)).collect();
    assert!(told == "–" && said.is_empty() || said.iter().any(|it| it == told), "{example}: {said:?}");
    assert_eq!(found.verdict().words(), verdict, "{example}");
    kind
}

#[test]
fn every_kind_has_a_worked_example_that_holds() {
    let lines = HEADS.iter().flat_map(|head| head.lines());
    let mut kinds: Vec<Kind> = lines.filter_map(|line| line.strip_prefix("//! - `")).map(worked).collect();
    kinds.sort_unstable();
    kinds.dedup();
    assert_eq!(kinds, Kind::ALL);
}
