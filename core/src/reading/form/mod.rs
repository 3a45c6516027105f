//! What a kind of reading asks for, and what was answered.
//!
//! Every kind is a short list of inputs, so that one form on the screen, one written
//! form in the log and one table on paper serve them all. In reading order: [`Input`]
//! with its [`Name`] and [`Choice`] is what is asked, [`Given`] what was answered,
//! [`Question`] what is asked back, [`Answers`] what a judge gets.

mod answers;
mod choice;
mod input;
mod name;
mod question;
pub(super) mod units;

pub use answers::{Answers, Lack};
pub use choice::Choice;
pub use input::{Input, Need, Of, takes};
pub use name::Name;
pub use question::{Instead, Question, questions};

pub(super) use answers::{KPA, ONE, of, percent, ratio};

use super::figure::{Entered, NotAFigure};
use super::unit::Unit;

/// One answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Given {
    /// To which input.
    pub name: Name,
    /// Which of several, from 1; 0 for the only one.
    pub nth: u8,
    /// What was answered.
    pub value: Value,
}

/// What was answered.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Value {
    /// A figure.
    Figure(Entered),
    /// A choice.
    Choice(Choice),
}

/// What is typed into one field of a form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Typed {
    /// Into which input.
    pub name: Name,
    /// Which of several, from 1; 0 for the only one.
    pub nth: u8,
    /// The figure, or the slug of a choice; empty where nothing was typed.
    pub text: String,
    /// The unit that is chosen beside it.
    pub unit: Unit,
}

/// What is wrong with one field.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wrong {
    /// Which input.
    pub name: Name,
    /// Which of several, from 1; 0 for the only one.
    pub nth: u8,
    /// What to write instead.
    pub why: NotAFigure,
}

/// Reads a form: what was answered, and what is wrong with the rest. What is empty is no answer.
pub fn read(inputs: &[Input], typed: &[Typed]) -> (Vec<Given>, Vec<Wrong>) {
    let (mut given, mut wrong) = (Vec::new(), Vec::new());
    for field in typed.iter().filter(|field| !field.text.trim().is_empty()) {
        let Some(input) = inputs.iter().find(|input| input.name == field.name) else { continue };
        let (name, nth) = (field.name, field.nth);
        match input.of {
            Of::Figure { .. } => match Entered::parse(&field.text, field.unit) {
                Ok(entered) => given.push(Given { name, nth, value: Value::Figure(entered) }),
                Err(why) => wrong.push(Wrong { name, nth, why }),
            },
            Of::Choice(_) => {
                given.extend(Choice::parse(&field.text).map(|it| Given { name, nth, value: Value::Choice(it) }));
            }
        }
    }
    (given, wrong)
}

/// Returns words as a sentence; they are this program's own and so begin with a plain letter.
pub(super) fn sentence(words: &str) -> String {
    let mut sentence = [words, "."].concat();
    if let Some(first) = sentence.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    sentence
}
