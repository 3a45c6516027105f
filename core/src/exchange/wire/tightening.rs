//! The written shapes of groups of fasteners, of wrenches and of taps.
//!
//! | field | written as |
//! |---|---|
//! | `fasteners` | `{"circle": 8}` or `{"rectangle": {"rows": 2, "columns": 5}}`; a row is a rectangle of one |
//! | `numbering` | `by-position` or `by-order` |
//! | `value` | `aim` (thousandths of `unit`), perhaps `low` and `high`, perhaps `turn` (degrees), `manual`, `page` |
//! | `shares` | percent of the value, rising to 100 |
//! | `thread`, `strength` | as they are marked: `M8`, `M10 × 1.25`, `3/8-16`; `8.8`, `grade 5` |
//! | lengths | micrometres |
//!
//! What makes no pattern, no row of passes, no lever is refused here.

use super::{known, label};
use crate::event::{GroupFacts, Hardware};
use crate::exchange::json::{Fields, Json, Wrong};
use crate::id::{EventId, GroupId};
use crate::moment::Day;
use crate::reassembly::gate::Need;
use crate::tightening::extent::Extent;
use crate::tightening::group::{Shares, Step};
use crate::tightening::guidance::{Strength, Surface};
use crate::tightening::pattern::{Layout, Numbering, Pattern, Place};
use crate::tightening::thread::Thread;
use crate::tightening::torque::{Entered, Source, Target, Torque, TorqueUnit};
use crate::tightening::wrench::{Lever, Wrench};

pub(super) fn group(text: &str) -> Option<GroupId> {
    EventId::parse(text).map(GroupId)
}

/// Writes what is known of a group.
pub(super) fn group_form(facts: &GroupFacts) -> Fields<'_> {
    let shares: Vec<Json<'_>> = facts.shares.percents().iter().map(|&it| u16::from(it).into()).collect();
    let form = Fields::default().put("what", facts.what.as_str()).put("side", facts.side.as_str());
    let form = form.put("fasteners", layout_form(facts.pattern.layout()));
    let form = form.put("numbering", numbering_word(facts.numbering));
    let form = form.put_known("value", facts.entered.as_ref().map(entered_form)).put("shares", shares);
    let form = form.put_known("thread", facts.hardware.thread.map(|thread| thread.to_string()));
    let form = form.put_known("strength", facts.hardware.strength.map(Strength::sign));
    let form = form.put_known("surface", facts.hardware.surface.map(surface_word));
    form.put_known("needed", facts.needed.map(need_word))
}

pub(super) fn group_facts(of: &mut Fields<'_>) -> Result<GroupFacts, Wrong> {
    Ok(GroupFacts {
        what: of.parsed("what", label)?,
        side: of.parsed("side", label)?,
        pattern: Pattern::of(layout(of.take("fasteners")?)?).map_err(|_| Wrong::Unfit("fasteners"))?,
        numbering: of.parsed("numbering", numbering)?,
        entered: of.known("value")?.map(|value| value.fields("value")?.whole(entered)).transpose()?,
        shares: shares(of.list("shares")?)?,
        hardware: Hardware {
            thread: known(of, "thread", |text| Thread::parse(text).ok())?,
            strength: known(of, "strength", Strength::parse)?,
            surface: known(of, "surface", surface)?,
        },
        needed: known(of, "needed", need)?,
    })
}

pub(super) fn layout_form(layout: Layout) -> Fields<'static> {
    match layout {
        Layout::Circle(count) => Fields::default().put("circle", count),
        Layout::Rectangle { rows, columns } => {
            Fields::default().put("rectangle", Fields::default().put("rows", rows).put("columns", columns))
        }
    }
}

pub(super) fn layout(form: Json<'_>) -> Result<Layout, Wrong> {
    form.fields("fasteners")?.whole(|of| match of.known("rectangle")? {
        Some(form) => form
            .fields("rectangle")?
            .whole(|of| Ok(Layout::Rectangle { rows: of.number("rows")?, columns: of.number("columns")? })),
        None => Ok(Layout::Circle(of.number("circle")?)),
    })
}

fn shares(list: Vec<Json<'_>>) -> Result<Shares, Wrong> {
    let percent = |one| match one {
        Json::Number(number) => u8::try_from(number).ok(),
        _ => None,
    };
    let percents: Option<Vec<u8>> = list.into_iter().map(percent).collect();
    percents.and_then(|percents| Shares::new(percents).ok()).ok_or(Wrong::Unfit("shares"))
}

fn entered_form(entered: &Entered) -> Fields<'_> {
    let Target { aim, limits, turn } = entered.target;
    let form = Fields::default().put("aim", aim.thousandths()).put("unit", torque_unit_word(aim.unit()));
    let form = form.put_known("low", limits.map(|it| it.0.thousandths()));
    let form = form.put_known("high", limits.map(|it| it.1.thousandths())).put_known("turn", turn);
    form.put("manual", entered.source.manual.as_str()).put("page", entered.source.page.as_str())
}

fn entered(of: &mut Fields<'_>) -> Result<Entered, Wrong> {
    let unit = of.parsed("unit", torque_unit)?;
    let aim = Torque::new(of.number("aim")?, unit).ok_or(Wrong::Unfit("aim"))?;
    let limits = match (number(of, "low")?, number(of, "high")?) {
        (None, None) => None,
        (Some(low), Some(high)) if low <= aim.thousandths() && aim.thousandths() <= high => {
            Torque::new(low, unit).zip(Torque::new(high, unit))
        }
        _ => return Err(Wrong::Unfit("low")),
    };
    let turn = number(of, "turn")?.map(u16::try_from).transpose().map_err(|_| Wrong::Unfit("turn"))?;
    let source = Source { manual: of.parsed("manual", label)?, page: of.parsed("page", label)? };
    Ok(Entered { target: Target { aim, limits, turn }, source })
}

fn number(of: &mut Fields<'_>, name: &'static str) -> Result<Option<u32>, Wrong> {
    match of.known(name)? {
        Some(Json::Number(number)) => u32::try_from(number).map(Some).map_err(|_| Wrong::Unfit(name)),
        Some(_) => Err(Wrong::Unfit(name)),
        None => Ok(None),
    }
}

/// Writes what is known of a wrench.
pub(super) fn wrench_form(wrench: &Wrench) -> Fields<'_> {
    let form = Fields::default().put("name", wrench.name.as_str());
    let form = form.put_known("largest", wrench.largest.map(torque_form));
    form.put_known("calibrated", wrench.calibrated.map(|day| day.to_string()))
}

pub(super) fn wrench(of: &mut Fields<'_>) -> Result<Wrench, Wrong> {
    Ok(Wrench {
        name: of.parsed("name", label)?,
        largest: of.known("largest")?.map(|form| form.fields("largest")?.whole(torque)).transpose()?,
        calibrated: known(of, "calibrated", Day::parse)?,
    })
}

fn torque_form(torque: Torque) -> Fields<'static> {
    Fields::default().put("thousandths", torque.thousandths()).put("unit", torque_unit_word(torque.unit()))
}

fn torque(of: &mut Fields<'_>) -> Result<Torque, Wrong> {
    Torque::new(of.number("thousandths")?, of.parsed("unit", torque_unit)?).ok_or(Wrong::Unfit("thousandths"))
}

/// Writes what stands off a wrench's drive.
pub(super) fn lever_form(lever: Lever) -> Fields<'static> {
    let form = Fields::default().put("wrench", lever.wrench().micrometres());
    form.put("adapter", lever.adapter().micrometres()).put("angle", lever.angle())
}

fn lever(of: &mut Fields<'_>) -> Result<Lever, Wrong> {
    let wrench = Extent::new(of.number("wrench")?).ok_or(Wrong::Unfit("wrench"))?;
    let adapter = Extent::new(of.number("adapter")?).ok_or(Wrong::Unfit("adapter"))?;
    Lever::new(wrench, adapter, of.number("angle")?).map_err(|_| Wrong::Unfit("angle"))
}

pub(super) fn known_lever(of: &mut Fields<'_>) -> Result<Option<Lever>, Wrong> {
    of.known("lever")?.map(|form| form.fields("lever")?.whole(lever)).transpose()
}

/// Reads which fastener in which pass.
pub(super) fn step(of: &mut Fields<'_>) -> Result<Step, Wrong> {
    Ok(Step { pass: of.number("pass")?, place: Place(of.number("place")?) })
}

const fn torque_unit_word(unit: TorqueUnit) -> &'static str {
    match unit {
        TorqueUnit::NewtonMetre => "newton-metre",
        TorqueUnit::PoundForceFoot => "pound-force-foot",
        TorqueUnit::PoundForceInch => "pound-force-inch",
        TorqueUnit::KilogramForceMetre => "kilogram-force-metre",
    }
}

fn torque_unit(word: &str) -> Option<TorqueUnit> {
    TorqueUnit::ALL.into_iter().find(|&unit| torque_unit_word(unit) == word)
}

const fn numbering_word(numbering: Numbering) -> &'static str {
    match numbering {
        Numbering::ByPosition => "by-position",
        Numbering::ByOrder => "by-order",
    }
}

fn numbering(word: &str) -> Option<Numbering> {
    [Numbering::ByPosition, Numbering::ByOrder].into_iter().find(|&it| numbering_word(it) == word)
}

const fn surface_word(surface: Surface) -> &'static str {
    match surface {
        Surface::Plain => "plain",
        Surface::ZincPlated => "zinc-plated",
        Surface::Oiled => "oiled",
        Surface::AntiSeize => "anti-seize",
        Surface::Waxed => "waxed",
    }
}

fn surface(word: &str) -> Option<Surface> {
    Surface::ALL.into_iter().find(|&it| surface_word(it) == word)
}

/// Returns the written word of what something is needed for before the engine runs.
const fn need_word(need: Need) -> &'static str {
    match need {
        Need::CoolingWater => "cooling-water",
        Need::Oil => "oil",
        Need::Fuel => "fuel",
        Need::Controls => "controls",
        Need::Guards => "guards",
    }
}

fn need(word: &str) -> Option<Need> {
    Need::ALL.into_iter().find(|&it| need_word(it) == word)
}
