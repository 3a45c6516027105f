//! The written shape of what came off, of its order, and of what became of it.
//!
//! Version 3 added the kinds `tied`, `freed`, `done-instead`, `made-sure` and
//! `step-needed`, and to an item the fields `kind`, `way-up`, `renew`, `end`,
//! `tied-back`, `awaits` and `needed`. Each of these is written only where it
//! says something, so an item without them is the item of version 1.

use super::{item, known, label, step};
use crate::event::{Check, Consumable, Details, Event, ItemFacts, ItemKind, OpenEnd, Renew};
use crate::exchange::json::{Fields, Json, Wrong};
use crate::id::{ItemId, StepId};
use crate::quantity::Count;
use crate::reassembly::gate::Need;
use crate::reassembly::tally::{How, Instead};
use crate::reassembly::ties::{Freed, Tie, TieKind};
use crate::text::Label;

/// Writes what is known of something that came off.
pub(super) fn item_form(facts: &ItemFacts) -> Fields<'_> {
    let form = Fields::default().put("what", facts.what.as_str()).put("side", facts.side.as_str());
    let form = form.put("count", facts.count.0).put("size", facts.size.as_str());
    details_form(form.put("stowed", facts.stowed.as_str()), &facts.details)
}

pub(super) fn details_form<'a>(form: Fields<'a>, details: &'a Details) -> Fields<'a> {
    let said = |label: &'a Label| Some(label.as_str()).filter(|text| !text.is_empty());
    let renew: Vec<Json<'a>> = details.renew.all().iter().map(|&it| consumable_word(it).into()).collect();
    let form = form.put_known("kind", details.kind.map(kind_word)).put_known("way-up", said(&details.way_up));
    let form = form.put_known("renew", Some(renew).filter(|renew| !renew.is_empty()));
    let form = form.put_known("end", details.end.map(end_word));
    let form = form.put_known("tied-back", Some(true).filter(|_| details.tied_back));
    form.put_known("awaits", said(&details.awaits)).put_known("needed", details.needed.map(need_word))
}

pub(super) fn item_facts(of: &mut Fields<'_>) -> Result<ItemFacts, Wrong> {
    Ok(ItemFacts {
        what: of.parsed("what", label)?,
        side: of.parsed("side", label)?,
        count: Count(of.number("count")?),
        size: of.parsed("size", label)?,
        stowed: of.parsed("stowed", label)?,
        details: details(of)?,
    })
}

pub(super) fn details(of: &mut Fields<'_>) -> Result<Details, Wrong> {
    let tied_back = match of.known("tied-back")? {
        None => false,
        Some(Json::Bool(true)) => true,
        Some(_) => return Err(Wrong::Unfit("tied-back")),
    };
    Ok(Details {
        kind: known(of, "kind", kind)?,
        way_up: known(of, "way-up", something)?.unwrap_or_default(),
        renew: renew(of.known("renew")?)?,
        end: known(of, "end", end)?,
        tied_back,
        awaits: known(of, "awaits", something)?.unwrap_or_default(),
        needed: known(of, "needed", need)?,
    })
}

/// Reads a label that is left out where it says nothing.
fn something(text: &str) -> Option<Label> {
    Some(Label::new(text)).filter(|label| !label.is_empty())
}

fn renew(list: Option<Json<'_>>) -> Result<Renew, Wrong> {
    let words = match list {
        None => return Ok(Renew::default()),
        Some(Json::List(words)) if !words.is_empty() => words,
        Some(_) => return Err(Wrong::Unfit("renew")),
    };
    let mut consumables = Vec::with_capacity(words.len());
    for word in words {
        let Json::Text(word) = word else { return Err(Wrong::Unfit("renew")) };
        consumables.push(consumable(&word).ok_or(Wrong::Unfit("renew"))?);
    }
    Ok(Renew::new(consumables))
}

/// Writes a tie.
pub(super) fn tied_form(tie: Tie) -> Fields<'static> {
    let form = Fields::default().put("item", tie.item.to_string()).put("how", tie_word(tie.kind));
    form.put("other", tie.other.to_string())
}

/// Reads a tie.
pub(super) fn tied(of: &mut Fields<'_>) -> Result<Event, Wrong> {
    let (first, kind) = (of.parsed("item", item)?, of.parsed("how", tie)?);
    Ok(Event::Tied(Tie { item: first, kind, other: of.parsed("other", item)? }))
}

/// Writes that two items are freed from each other.
pub(super) fn freed_form(Freed(one, other): Freed) -> Fields<'static> {
    Fields::default().put("item", one.to_string()).put("other", other.to_string())
}

/// Reads that two items are freed from each other.
pub(super) fn freed(of: &mut Fields<'_>) -> Result<Event, Wrong> {
    Ok(Event::Freed(Freed(of.parsed("item", item)?, of.parsed("other", item)?)))
}

/// Writes what was done instead of putting an item back on.
pub(super) fn instead_form(item: ItemId, instead: &Instead) -> Fields<'_> {
    let form = Fields::default().put("item", item.to_string()).put("how", how_word(instead.how));
    form.put("count", instead.count.0).put("reason", instead.reason.as_str())
}

/// Reads what was done instead of putting an item back on.
pub(super) fn done_instead(of: &mut Fields<'_>) -> Result<Event, Wrong> {
    let (item, how, count) = (of.parsed("item", item)?, of.parsed("how", how)?, Count(of.number("count")?));
    let instead = Instead::new(how, count, of.parsed("reason", label)?).map_err(|_| Wrong::Unfit("reason"))?;
    Ok(Event::DoneInstead { item, instead })
}

/// Writes that somebody made sure of an item.
pub(super) fn sure_form(item: ItemId, check: Check) -> Fields<'static> {
    Fields::default().put("item", item.to_string()).put("of", check_word(check))
}

/// Reads that somebody made sure of an item.
pub(super) fn made_sure(of: &mut Fields<'_>) -> Result<Event, Wrong> {
    Ok(Event::MadeSure { item: of.parsed("item", item)?, check: of.parsed("of", check)? })
}

/// Writes what a step is needed for.
pub(super) fn needed_form(step: StepId, need: Option<Need>) -> Fields<'static> {
    Fields::default().put("step", step.to_string()).put_known("needed", need.map(need_word))
}

/// Reads what a step is needed for.
pub(super) fn step_needed(of: &mut Fields<'_>) -> Result<Event, Wrong> {
    Ok(Event::StepNeeded { step: of.parsed("step", step)?, need: known(of, "needed", need)? })
}

const fn tie_word(kind: TieKind) -> &'static str {
    match kind {
        TieKind::Behind => "behind",
        TieKind::HeldBy => "held-by",
    }
}

fn tie(word: &str) -> Option<TieKind> {
    TieKind::ALL.into_iter().find(|&kind| tie_word(kind) == word)
}

const fn how_word(how: How) -> &'static str {
    match how {
        How::Replaced => "replaced",
        How::LeftOff => "left-off",
    }
}

fn how(word: &str) -> Option<How> {
    [How::Replaced, How::LeftOff].into_iter().find(|&how| how_word(how) == word)
}

const fn check_word(check: Check) -> &'static str {
    match check {
        Check::WayUp => "way-up",
        Check::New(consumable) => consumable_word(consumable),
    }
}

fn check(word: &str) -> Option<Check> {
    if word == "way-up" { Some(Check::WayUp) } else { consumable(word).map(Check::New) }
}

const fn consumable_word(consumable: Consumable) -> &'static str {
    match consumable {
        Consumable::Gasket => "gasket",
        Consumable::Seal => "seal",
        Consumable::ORing => "o-ring",
        Consumable::ThreadLocker => "thread-locker",
        Consumable::Sealant => "sealant",
        Consumable::CotterPin => "cotter-pin",
    }
}

fn consumable(word: &str) -> Option<Consumable> {
    Consumable::ALL.into_iter().find(|&it| consumable_word(it) == word)
}

const fn kind_word(kind: ItemKind) -> &'static str {
    match kind {
        ItemKind::Fastener => "fastener",
        ItemKind::Hose => "hose",
        ItemKind::Connector => "connector",
        ItemKind::Cable => "cable",
        ItemKind::Bracket => "bracket",
        ItemKind::Cover => "cover",
        ItemKind::Seal => "seal",
        ItemKind::Fluid => "fluid",
        ItemKind::Part => "part",
    }
}

fn kind(word: &str) -> Option<ItemKind> {
    ItemKind::ALL.into_iter().find(|&kind| kind_word(kind) == word)
}

const fn end_word(end: OpenEnd) -> &'static str {
    match end {
        OpenEnd::Taped => "taped",
        OpenEnd::Capped => "capped",
    }
}

fn end(word: &str) -> Option<OpenEnd> {
    OpenEnd::ALL.into_iter().find(|&end| end_word(end) == word)
}

/// Returns the written word of what something is needed for.
pub(super) const fn need_word(need: Need) -> &'static str {
    match need {
        Need::CoolingWater => "cooling-water",
        Need::Oil => "oil",
        Need::Fuel => "fuel",
        Need::Controls => "controls",
        Need::Guards => "guards",
    }
}

/// Reads what something is needed for.
pub(super) fn need(word: &str) -> Option<Need> {
    Need::ALL.into_iter().find(|&need| need_word(need) == word)
}
