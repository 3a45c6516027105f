//! The steps of a procedure that fit an engine, and why the others do not.
//!
//! Nothing is dropped in silence: what is kept and what is left out are together
//! the whole procedure, each in its order, and a step that was kept only because
//! the engine's record does not say enough is told as such.

use super::EngineProfile;
use super::condition::{Field, Fit};
use crate::event::{Condition, Procedure, ProcedureStep};

/// A procedure for one engine.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Variant<'a> {
    /// What is to be done.
    pub kept: Vec<Kept<'a>>,
    /// What does not apply.
    pub left_out: Vec<LeftOut<'a>>,
}

/// A step that applies, or may.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Kept<'a> {
    /// The step.
    pub step: &'a ProcedureStep,
    /// What could not be judged, in words: "year unknown: kept, check (year from 1998)".
    pub unsure: Vec<String>,
}

/// A step that does not apply.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LeftOut<'a> {
    /// The step.
    pub step: &'a ProcedureStep,
    /// Why, in words: "only year from 1998; this one: 1994".
    pub why: Vec<String>,
}

/// Picks the steps for an engine.
pub fn variant<'a>(procedure: &'a Procedure, engine: &EngineProfile) -> Variant<'a> {
    let mut variant = Variant { kept: Vec::new(), left_out: Vec::new() };
    for step in &procedure.steps {
        let (why, unsure) = judge(&step.only, engine);
        match why.is_empty() {
            true => variant.kept.push(Kept { step, unsure }),
            false => variant.left_out.push(LeftOut { step, why }),
        }
    }
    variant
}

/// Returns why some rows do not fit an engine, and what of them cannot be judged.
fn judge(rows: &[Condition], engine: &EngineProfile) -> (Vec<String>, Vec<String>) {
    let (mut why, mut unsure) = (Vec::new(), Vec::new());
    for (nth, row) in rows.iter().enumerate() {
        let alternatives = matches!(row.field(), Field::Drive | Field::Fuel);
        let same = |it: &&Condition| alternatives && it.field() == row.field();
        if rows[..nth].iter().any(|it| same(&it)) {
            continue;
        }
        let group = if alternatives { rows.iter().filter(same).collect() } else { vec![row] };
        let fits: Vec<Fit> = group.iter().map(|it| it.judge(engine)).collect();
        if fits.contains(&Fit::Fits) {
            continue;
        }
        let words = words(&group);
        match fits.into_iter().next() {
            Some(Fit::Not(is)) => why.push(["only ", &words, "; this one: ", &is].concat()),
            Some(Fit::Unknown(name)) => unsure.push([name, " unknown: kept, check (only ", &words, ")"].concat()),
            Some(Fit::Fits) | None => {}
        }
    }
    (why, unsure)
}

/// Returns a row, or alternatives, in words: "drive outboard or sterndrive".
fn words(group: &[&Condition]) -> String {
    let values: Vec<String> = group.iter().map(|it| it.value()).collect();
    let field = group.first().map_or("", |it| it.field().words());
    [field, " ", &values.join(" or ")].concat()
}

/// Returns for which engines a step is, in words; nothing where it is for all.
pub fn only_words(rows: &[Condition]) -> Option<String> {
    let mut told: Vec<String> = Vec::new();
    for field in Field::ALL {
        let group: Vec<&Condition> = rows.iter().filter(|it| it.field() == field).collect();
        match field {
            Field::Drive | Field::Fuel if !group.is_empty() => told.push(words(&group)),
            _ => told.extend(group.into_iter().map(Condition::words)),
        }
    }
    (!told.is_empty()).then(|| ["only ", &told.join(", ")].concat())
}

#[cfg(test)]
mod tests {
    use super::super::samples::{procedure, step};
    use super::*;
    use crate::event::{Drive, Fuel, Traits};

    #[test]
    fn says_what_was_left_out_and_why_and_what_could_not_be_judged() {
        let outdrive = vec![Condition::Drive(Drive::Outboard), Condition::Drive(Drive::Sterndrive)];
        let whole = procedure(vec![
            step(1, "Close the seacock", vec![Condition::Drive(Drive::Shaft)]),
            step(2, "Tilt it up", outdrive.clone()),
            step(3, "Take the cover off", vec![]),
            step(4, "Take the old-style key out", vec![Condition::YearTo(1998)]),
            step(5, "Air the compartment", vec![Condition::Fuel(Fuel::Petrol), Condition::Drive(Drive::Sterndrive)]),
        ]);
        let traits = Traits { drive: Some(Drive::Outboard), fuel: Some(Fuel::Petrol), options: None };
        let variant = variant(&whole, &EngineProfile { traits, ..EngineProfile::default() });
        let kept: Vec<(u16, Vec<String>)> =
            variant.kept.iter().map(|it| (it.step.number.0, it.unsure.clone())).collect();
        let check = "year unknown: kept, check (only year up to 1998)".to_owned();
        assert_eq!(kept, [(2, vec![]), (3, vec![]), (4, vec![check])]);
        let left: Vec<(u16, Vec<String>)> =
            variant.left_out.iter().map(|it| (it.step.number.0, it.why.clone())).collect();
        let one = "only drive inboard with shaft; this one: outboard".to_owned();
        let other = "only drive sterndrive; this one: outboard".to_owned();
        assert_eq!(left, [(1, vec![one]), (5, vec![other])]);
        assert_eq!(only_words(&outdrive).as_deref(), Some("only drive outboard or sterndrive"));
        assert_eq!(only_words(&[]), None);
    }

    #[test]
    fn alternatives_are_told_once_and_together() {
        let rows = vec![
            Condition::Drive(Drive::Outboard),
            Condition::YearFrom(2010),
            Condition::Drive(Drive::Sterndrive),
            Condition::YearTo(2020),
        ];
        let whole = procedure(vec![step(1, "Tilt it up", rows)]);
        let traits = Traits { drive: Some(Drive::Shaft), ..Traits::default() };
        let engine = EngineProfile { year: Some(2005), traits, ..EngineProfile::default() };
        let left = &variant(&whole, &engine).left_out[0];
        let why =
            ["only drive outboard or sterndrive; this one: inboard with shaft", "only year from 2010; this one: 2005"];
        assert_eq!(left.why, why);
    }
}
