//! The written shape of a procedure, the same in a record's line and in a file.
//!
//! | field | value |
//! |-------|-------|
//! | `key` | text that names the procedure in all its versions; may be absent |
//! | `title` | what the work is |
//! | `about` | what else to know before; may be absent |
//! | `tags` | list of words; may be absent |
//! | `steps` | list of steps, in order |
//!
//! A step; all but the first two may be absent:
//!
//! | field | value |
//! |-------|-------|
//! | `number` | from 1, its own in all versions |
//! | `text` | what is to be done |
//! | `side` | on which side of the machine |
//! | `cautions` | list of `lifting` `fuel-vapour` `battery-first` `hot-and-pressurised` `no-cooling-water` `carbon-monoxide` `propeller` `stop-switch` `shore-power` |
//! | `tools`, `consumables` | lists of words |
//! | `items` | list of `{"what", "count", "size"}`; what is expected to come off; `size` may be absent, and what more is known of it stands beside, as in `wire/teardown.rs` |
//! | `fasteners` | list of `{"what", "layout"}`; a layout is `{"circle": n}` or `{"rectangle": {"rows", "columns"}}` |
//! | `readings` | list of `{"what", "kind"}`; a kind by its slug in `core/src/reading/mod.rs`; may be absent |
//! | `pictures` | list of `{"blob", "bytes", "width", "height", "caption"}` |
//! | `only` | list of conditions, each an object of one field |
//!
//! A condition: `power-from`, `power-to` (as `{"tenths", "unit"}`), `year-from`,
//! `year-to`, `engines-from`, `engines-to` (numbers), `drive` (`outboard`
//! `sterndrive` `shaft` `saildrive` `jet` `pod` `generator`), `fuel` (`petrol`
//! `diesel` `lpg` `electric`), `with`, `without` (words). All must hold; several
//! of `drive`, or of `fuel`, are alternatives.

use super::{Fields, Json, Wrong, label, power_form, power_of, teardown, tightening};
use crate::event::{
    Condition, Drive, ExpectedItem, ExpectedReading, Fasteners, Fuel, Picture, Procedure, ProcedureStep, StepNumber,
    Tags, Traits,
};
use crate::exchange::json::Read;
use crate::id::BlobId;
use crate::quantity::Count;
use crate::reading::Kind;
use crate::reassembly::caution::Caution;
use crate::text::Label;

/// Writes a procedure.
pub(in crate::exchange) fn procedure_form(procedure: &Procedure) -> Fields<'_> {
    let form = put_text(Fields::default(), "key", &procedure.key).put("title", procedure.title.as_str());
    let form = put_text(form, "about", &procedure.about);
    let form = put_list(form, "tags", procedure.tags.words(), |it| it.as_str().into());
    let steps: Vec<Json<'_>> = procedure.steps.iter().map(|step| step_form(step).into()).collect();
    form.put("steps", steps)
}

/// Reads what [`procedure_form`] writes.
pub(in crate::exchange) fn procedure(of: &mut Fields<'_>) -> Result<Procedure, Wrong> {
    Ok(Procedure {
        key: text(of, "key")?,
        title: of.parsed("title", label)?,
        about: text(of, "about")?,
        tags: Tags::new(list(of, "tags", words)?),
        steps: all(of.list("steps")?, "steps", step)?,
    })
}

fn step_form(step: &ProcedureStep) -> Fields<'_> {
    let form = Fields::default().put("number", step.number.0).put("text", step.text.as_str());
    let form = put_text(form, "side", &step.side);
    let form = put_list(form, "cautions", &step.cautions, |it| caution_word(*it).into());
    let form = put_list(form, "tools", &step.tools, |it| it.as_str().into());
    let form = put_list(form, "consumables", &step.consumables, |it| it.as_str().into());
    let form = put_list(form, "items", &step.items, item_form);
    let form = put_list(form, "fasteners", &step.fasteners, fasteners_form);
    let form = put_list(form, "readings", &step.readings, reading_form);
    let form = put_list(form, "pictures", &step.pictures, picture_form);
    put_list(form, "only", &step.only, condition_form)
}

fn step(of: &mut Fields<'_>) -> Result<ProcedureStep, Wrong> {
    Ok(ProcedureStep {
        number: StepNumber(of.number("number")?),
        text: of.parsed("text", label)?,
        side: text(of, "side")?,
        cautions: list(of, "cautions", |it| {
            let word = plain(it, "cautions")?;
            Caution::ALL.into_iter().find(|&it| caution_word(it) == word.as_str()).ok_or(Wrong::Unfit("cautions"))
        })?,
        tools: list(of, "tools", words)?,
        consumables: list(of, "consumables", words)?,
        items: rows(of, "items", item)?,
        fasteners: rows(of, "fasteners", fasteners)?,
        readings: rows(of, "readings", reading)?,
        pictures: rows(of, "pictures", picture)?,
        only: list(of, "only", condition)?,
    })
}

fn item_form(item: &ExpectedItem) -> Json<'_> {
    let form = Fields::default().put("what", item.what.as_str()).put("count", item.count.0);
    teardown::details_form(put_text(form, "size", &item.size), &item.details).into()
}

fn item(of: &mut Fields<'_>) -> Result<ExpectedItem, Wrong> {
    Ok(ExpectedItem {
        what: of.parsed("what", label)?,
        count: Count(of.number("count")?),
        size: text(of, "size")?,
        details: teardown::details(of)?,
    })
}

fn fasteners_form(fasteners: &Fasteners) -> Json<'_> {
    let form = Fields::default().put("what", fasteners.what.as_str());
    form.put("layout", tightening::layout_form(fasteners.layout)).into()
}

fn fasteners(of: &mut Fields<'_>) -> Result<Fasteners, Wrong> {
    Ok(Fasteners { what: of.parsed("what", label)?, layout: tightening::layout(of.take("layout")?)? })
}

fn reading_form(reading: &ExpectedReading) -> Json<'_> {
    Fields::default().put("what", reading.what.as_str()).put_known("kind", reading.kind.map(Kind::slug)).into()
}

fn reading(of: &mut Fields<'_>) -> Result<ExpectedReading, Wrong> {
    Ok(ExpectedReading { what: of.parsed("what", label)?, kind: super::known(of, "kind", Kind::parse)? })
}

fn picture_form(picture: &Picture) -> Json<'_> {
    let form = Fields::default().put("blob", picture.blob.to_string()).put("bytes", picture.bytes);
    let form = form.put("width", picture.width).put("height", picture.height);
    form.put("caption", picture.caption.as_str()).into()
}

fn picture(of: &mut Fields<'_>) -> Result<Picture, Wrong> {
    Ok(Picture {
        blob: of.parsed("blob", BlobId::parse)?,
        bytes: of.number("bytes")?,
        width: of.number("width")?,
        height: of.number("height")?,
        caption: of.parsed("caption", label)?,
    })
}

fn condition_form(condition: &Condition) -> Json<'_> {
    let form = Fields::default();
    let form = match condition {
        Condition::PowerFrom(power) => form.put("power-from", power_form(*power)),
        Condition::PowerTo(power) => form.put("power-to", power_form(*power)),
        Condition::YearFrom(year) => form.put("year-from", *year),
        Condition::YearTo(year) => form.put("year-to", *year),
        Condition::EnginesFrom(count) => form.put("engines-from", count.0),
        Condition::EnginesTo(count) => form.put("engines-to", count.0),
        Condition::Drive(drive) => form.put("drive", drive_word(*drive)),
        Condition::Fuel(fuel) => form.put("fuel", fuel_word(*fuel)),
        Condition::With(option) => form.put("with", option.as_str()),
        Condition::Without(option) => form.put("without", option.as_str()),
    };
    form.into()
}

fn condition(form: Json<'_>) -> Result<Condition, Wrong> {
    let mut of = form.fields("only")?;
    let field = of.first().unwrap_or_default();
    let condition = match field.as_str() {
        "power-from" => Condition::PowerFrom(of.nested("power-from", power_of)?),
        "power-to" => Condition::PowerTo(of.nested("power-to", power_of)?),
        "year-from" => Condition::YearFrom(of.number("year-from")?),
        "year-to" => Condition::YearTo(of.number("year-to")?),
        "engines-from" => Condition::EnginesFrom(Count(of.number("engines-from")?)),
        "engines-to" => Condition::EnginesTo(Count(of.number("engines-to")?)),
        "drive" => Condition::Drive(of.parsed("drive", drive)?),
        "fuel" => Condition::Fuel(of.parsed("fuel", fuel)?),
        "with" => Condition::With(of.parsed("with", label)?),
        "without" => Condition::Without(of.parsed("without", label)?),
        _ => return Err(Wrong::Unknown(field)),
    };
    of.end()?;
    Ok(condition)
}

/// Writes what is known of an engine's make-up.
pub(super) fn traits_form(traits: &Traits) -> Fields<'_> {
    let options = traits
        .options
        .as_ref()
        .map(|tags| -> Vec<Json<'_>> { tags.words().iter().map(|word| word.as_str().into()).collect() });
    let form = Fields::default().put_known("drive", traits.drive.map(drive_word));
    form.put_known("fuel", traits.fuel.map(fuel_word)).put_known("options", options)
}

/// Reads what [`traits_form`] writes.
pub(super) fn traits(of: &mut Fields<'_>) -> Result<Traits, Wrong> {
    Ok(Traits {
        drive: super::known(of, "drive", drive)?,
        fuel: super::known(of, "fuel", fuel)?,
        options: of.known("options")?.map(|form| super::tags(form.list_of("options")?)).transpose()?,
    })
}

fn put_text<'a>(form: Fields<'a>, name: &'static str, text: &'a Label) -> Fields<'a> {
    if text.is_empty() { form } else { form.put(name, text.as_str()) }
}

fn put_list<'a, T>(form: Fields<'a>, name: &'static str, list: &'a [T], row: fn(&'a T) -> Json<'a>) -> Fields<'a> {
    if list.is_empty() { form } else { form.put(name, list.iter().map(row).collect::<Vec<_>>()) }
}

/// Takes out text that may be absent.
fn text(of: &mut Fields<'_>, name: &'static str) -> Result<Label, Wrong> {
    Ok(super::known(of, name, label)?.unwrap_or_default())
}

/// Takes out a list that may be absent.
fn list<'a, T>(
    of: &mut Fields<'a>,
    name: &'static str,
    row: fn(Json<'a>) -> Result<T, Wrong>,
) -> Result<Vec<T>, Wrong> {
    let Some(form) = of.known(name)? else { return Ok(Vec::new()) };
    form.list_of(name)?.into_iter().map(row).collect()
}

/// Takes out a list of objects that may be absent.
fn rows<'a, T>(of: &mut Fields<'a>, name: &'static str, row: Read<'a, T>) -> Result<Vec<T>, Wrong> {
    let Some(form) = of.known(name)? else { return Ok(Vec::new()) };
    all(form.list_of(name)?, name, row)
}

fn all<'a, T>(list: Vec<Json<'a>>, name: &'static str, row: Read<'a, T>) -> Result<Vec<T>, Wrong> {
    list.into_iter().map(|it| it.fields(name)?.whole(row)).collect()
}

fn words(form: Json<'_>) -> Result<Label, Wrong> {
    plain(form, "words")
}

fn plain(form: Json<'_>, name: &'static str) -> Result<Label, Wrong> {
    match form {
        Json::Text(text) => Ok(Label::new(&text)),
        _ => Err(Wrong::Unfit(name)),
    }
}

pub(in crate::exchange) const fn caution_word(caution: Caution) -> &'static str {
    match caution {
        Caution::Lifting => "lifting",
        Caution::FuelVapour => "fuel-vapour",
        Caution::BatteryFirst => "battery-first",
        Caution::HotAndPressurised => "hot-and-pressurised",
        Caution::NoCoolingWater => "no-cooling-water",
        Caution::CarbonMonoxide => "carbon-monoxide",
        Caution::Propeller => "propeller",
        Caution::StopSwitch => "stop-switch",
        Caution::ShorePower => "shore-power",
    }
}

const fn drive_word(drive: Drive) -> &'static str {
    match drive {
        Drive::Outboard => "outboard",
        Drive::Sterndrive => "sterndrive",
        Drive::Shaft => "shaft",
        Drive::Saildrive => "saildrive",
        Drive::Jet => "jet",
        Drive::Pod => "pod",
        Drive::Generator => "generator",
    }
}

fn drive(word: &str) -> Option<Drive> {
    Drive::ALL.into_iter().find(|&drive| drive_word(drive) == word)
}

const fn fuel_word(fuel: Fuel) -> &'static str {
    match fuel {
        Fuel::Petrol => "petrol",
        Fuel::Diesel => "diesel",
        Fuel::Gas => "lpg",
        Fuel::Electric => "electric",
    }
}

fn fuel(word: &str) -> Option<Fuel> {
    Fuel::ALL.into_iter().find(|&fuel| fuel_word(fuel) == word)
}
