//! Laws of picking: nothing is lost, nothing is turned round, knowing more never brings back a step.

use super::EngineProfile;
use super::samples::{any_procedure, condition, engine};
use super::variant::variant;
use crate::event::{Condition, Procedure, Traits};
use proptest::prelude::*;

fn numbers<'a>(steps: impl IntoIterator<Item = &'a crate::event::ProcedureStep>) -> Vec<u16> {
    steps.into_iter().map(|it| it.number.0).collect()
}

fn kept(procedure: &Procedure, engine: &EngineProfile) -> Vec<u16> {
    numbers(variant(procedure, engine).kept.iter().map(|it| it.step))
}

proptest! {
    #[test]
    fn what_is_kept_and_what_is_left_out_are_the_whole_in_its_order(procedure in any_procedure(), engine in engine()) {
        let variant = variant(&procedure, &engine);
        let kept = numbers(variant.kept.iter().map(|it| it.step));
        let left = numbers(variant.left_out.iter().map(|it| it.step));
        prop_assert!(kept.is_sorted() && left.is_sorted());
        let mut all = [kept, left].concat();
        all.sort_unstable();
        prop_assert_eq!(all, numbers(&procedure.steps));
        prop_assert!(variant.left_out.iter().all(|it| !it.why.is_empty()));
    }

    #[test]
    fn of_an_engine_of_which_nothing_is_known_nothing_is_left_out(procedure in any_procedure()) {
        let variant = variant(&procedure, &EngineProfile::default());
        prop_assert_eq!(variant.left_out, []);
        for kept in variant.kept {
            prop_assert_eq!(kept.unsure.is_empty(), kept.step.only.is_empty());
        }
    }

    #[test]
    fn knowing_less_only_adds_steps(procedure in any_procedure(), engine in engine()) {
        let known = kept(&procedure, &engine);
        let less = [
            EngineProfile { power: None, ..engine.clone() },
            EngineProfile { year: None, ..engine.clone() },
            EngineProfile { engines: None, ..engine.clone() },
            EngineProfile { traits: Traits { drive: None, ..engine.traits.clone() }, ..engine.clone() },
            EngineProfile { traits: Traits { fuel: None, ..engine.traits.clone() }, ..engine.clone() },
            EngineProfile { traits: Traits { options: None, ..engine.traits.clone() }, ..engine },
        ];
        for engine in less {
            let unknown = kept(&procedure, &engine);
            prop_assert!(known.iter().all(|it| unknown.contains(it)));
        }
    }

    #[test]
    fn what_is_sure_is_judged_as_by_hand(procedure in any_procedure(), engine in engine()) {
        use super::condition::{Field, Fit};
        // Written anew: all rows hold, where those of drive and of fuel hold together if one does.
        let holds = |rows: &[Condition]| {
            let fits = |row: &Condition| !matches!(row.judge(&engine), Fit::Not(_));
            rows.iter().all(|row| match row.field() {
                Field::Drive | Field::Fuel => rows.iter().any(|it| it.field() == row.field() && fits(it)),
                _ => fits(row),
            })
        };
        let by_hand = numbers(procedure.steps.iter().filter(|it| holds(&it.only)));
        prop_assert_eq!(kept(&procedure, &engine), by_hand);
    }

    #[test]
    fn every_row_reads_back_from_what_is_typed(row in condition()) {
        prop_assert_eq!(row.field().read(&row.value()), Ok(row));
    }
}
