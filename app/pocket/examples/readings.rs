//! Every kind of reading and nothing else, to be weighed: see `cargo xtask bench`.
//!
//! What goes in and comes out is hidden from the compiler, so that nothing is left out.

use std::hint::black_box;

use quaywright_core::reading::form::{Typed, questions, read};
use quaywright_core::reading::limits::Limits;
use quaywright_core::reading::{Kind, unit::Unit};

fn main() {
    let name = black_box("battery-at-rest");
    let Some(kind) = Kind::parse(name) else { return };
    let text = black_box("12.6").to_owned();
    let field = |input: &quaywright_core::reading::form::Input| Typed {
        name: input.name,
        nth: 0,
        text: text.clone(),
        unit: black_box(Unit::Volt),
    };
    let typed: Vec<Typed> = kind.inputs().iter().map(field).collect();
    let (given, wrong) = read(kind.inputs(), &typed);
    let wrong: Vec<String> = wrong.into_iter().map(|it| it.why.to_string()).collect();
    let asked = questions(kind.inputs(), &given);
    let limits = black_box(Limits::default());
    let found = kind.judge(&given, Some(&limits));
    let verdict = found.verdict().words();
    black_box((kind.words(), kind.question(), kind.before(), wrong, asked, found, verdict));
}
