//! What a procedure must be before it is kept, whoever wrote it.
//!
//! The bounds keep a record and a file of a size that a phone can hold; the rest
//! keeps out what could never be done. A procedure that came in a file by hand is
//! judged the same as one that was typed.

use super::EngineProfile;
use super::condition::Fit;
use crate::event::{Condition, Procedure, ProcedureStep};
use crate::quantity::Count;
use crate::tightening::pattern::Pattern;

/// The most steps of a procedure.
pub const MOST_STEPS: usize = 300;
/// The most rows of one kind in a step: items, tools, pictures, conditions …
pub const MOST_ROWS: usize = 60;

/// Why a procedure is not kept.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Unsound {
    /// It has no title.
    #[error("write what the work is first")]
    NoTitle,
    /// It has no step.
    #[error("write at least one step")]
    NoStep,
    /// It has more than [`MOST_STEPS`].
    #[error("a procedure has at most {MOST_STEPS} steps: make two of it")]
    TooManySteps,
    /// A step says nothing.
    #[error("step {0} says nothing: write what is to be done, or take it out")]
    EmptyStep(usize),
    /// A step has more than [`MOST_ROWS`] of something.
    #[error("step {0} is too long: make two of it")]
    TooManyRows(usize),
    /// Something is counted as none, or has no name.
    #[error("step {0} expects something without a name or count: write both")]
    Nothing(usize),
    /// Fasteners lie in no way that can be tightened in an order.
    #[error("step {0} tightens fewer than two fasteners together, or too many: count them anew")]
    NoPattern(usize),
    /// Two steps have the same number, or one has none.
    #[error("step {0} has no number of its own: the file is damaged")]
    NotNumbered(usize),
    /// A step's rows fit no engine.
    #[error("step {0} fits no engine: {1}")]
    ForNone(usize, String),
}

/// Tells what keeps a procedure from being kept; steps are counted from 1.
///
/// # Errors
/// The first thing that is wrong.
pub fn sound(procedure: &Procedure) -> Result<(), Unsound> {
    match procedure.steps.len() {
        _ if procedure.title.is_empty() => return Err(Unsound::NoTitle),
        0 => return Err(Unsound::NoStep),
        count if count > MOST_STEPS => return Err(Unsound::TooManySteps),
        _ => {}
    }
    for (nth, step) in (1..).zip(&procedure.steps) {
        step_sound(nth, step)?;
        let others = procedure.steps.iter().take(nth - 1);
        if step.number.0 == 0 || others.into_iter().any(|it| it.number == step.number) {
            return Err(Unsound::NotNumbered(nth));
        }
    }
    Ok(())
}

fn step_sound(nth: usize, step: &ProcedureStep) -> Result<(), Unsound> {
    if step.text.is_empty() {
        return Err(Unsound::EmptyStep(nth));
    }
    let rows = [
        step.cautions.len(),
        step.tools.len(),
        step.consumables.len(),
        step.items.len(),
        step.fasteners.len(),
        step.readings.len(),
        step.pictures.len(),
        step.only.len(),
    ];
    if rows.into_iter().any(|count| count > MOST_ROWS) {
        return Err(Unsound::TooManyRows(nth));
    }
    let nameless = step.items.iter().any(|it| it.what.is_empty() || it.count == Count(0))
        || step.fasteners.iter().any(|it| it.what.is_empty())
        || step.readings.iter().any(|it| it.what.is_empty());
    if nameless {
        return Err(Unsound::Nothing(nth));
    }
    if step.fasteners.iter().any(|it| Pattern::of(it.layout).is_err()) {
        return Err(Unsound::NoPattern(nth));
    }
    contradiction(&step.only).map_or(Ok(()), |words| Err(Unsound::ForNone(nth, words)))
}

/// Returns two rows that no engine meets together, in words.
fn contradiction(rows: &[Condition]) -> Option<String> {
    // An engine that is just what one row asks for shows whether another can hold with it.
    let just = |row: &Condition| {
        let mut engine = EngineProfile::default();
        match row {
            Condition::PowerFrom(power) => engine.power = Some(*power),
            Condition::YearFrom(year) => engine.year = Some(*year),
            Condition::EnginesFrom(count) => engine.engines = Some(*count),
            _ => {}
        }
        engine
    };
    let upper = |row: &Condition| matches!(row, Condition::PowerTo(_) | Condition::YearTo(_) | Condition::EnginesTo(_));
    for lower in rows {
        let engine = just(lower);
        let against = rows.iter().filter(|it| upper(it)).find(|it| matches!(it.judge(&engine), Fit::Not(_)));
        let denied = match lower {
            Condition::With(option) => rows.iter().find(|it| **it == Condition::Without(option.clone())),
            _ => None,
        };
        if let Some(other) = against.or(denied) {
            return Some([&lower.words(), ", ", &other.words()].concat());
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::super::samples::{procedure, step};
    use super::*;
    use crate::event::ExpectedItem;
    use crate::quantity::{Power, PowerUnit};
    use crate::text::Label;

    #[test]
    fn what_could_never_be_done_is_told() {
        let hp = |tenths| Power { tenths, unit: PowerUnit::Horsepower };
        let one = |only| procedure(vec![step(1, "do it", only)]);
        let nothing = ExpectedItem { what: Label::new("bolt"), ..ExpectedItem::default() };
        let unnamed = ProcedureStep { items: vec![nothing], ..step(1, "do it", vec![]) };
        let long = ProcedureStep { tools: vec![Label::new("spanner"); MOST_ROWS + 1], ..step(1, "do it", vec![]) };
        for (it, said) in [
            (one(vec![]), Ok(())),
            (Procedure::default(), Err(Unsound::NoTitle)),
            (procedure(vec![]), Err(Unsound::NoStep)),
            (procedure(vec![step(1, "", vec![])]), Err(Unsound::EmptyStep(1))),
            (procedure(vec![step(1, "a", vec![]), step(1, "b", vec![])]), Err(Unsound::NotNumbered(2))),
            (procedure(vec![step(0, "a", vec![])]), Err(Unsound::NotNumbered(1))),
            (procedure(vec![unnamed]), Err(Unsound::Nothing(1))),
            (procedure(vec![long]), Err(Unsound::TooManyRows(1))),
            (one(vec![Condition::PowerFrom(hp(1_000)), Condition::PowerTo(hp(1_000))]), Ok(())),
            (
                one(vec![Condition::PowerTo(hp(500)), Condition::PowerFrom(hp(1_000))]),
                Err(Unsound::ForNone(1, "power from 100 hp, power up to 50 hp".to_owned())),
            ),
            (
                one(vec![Condition::With(Label::new("trim")), Condition::Without(Label::new("trim"))]),
                Err(Unsound::ForNone(1, "has trim, does not have trim".to_owned())),
            ),
        ] {
            assert_eq!(sound(&it), said);
        }
        let many = procedure((1..=MOST_STEPS as u16 + 1).map(|number| step(number, "do it", vec![])).collect());
        assert_eq!(sound(&many), Err(Unsound::TooManySteps));
    }
}
