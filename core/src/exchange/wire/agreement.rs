//! The written shapes of estimates, consents and recommendations.
//!
//! Version 3 added them; version 4 adds the `language` and `units` in which a text was
//! signed, where that is another than plain English. Amounts are whole minor units of the `currency` beside
//! them (ISO 4217); an absent field means "not said". A consent is `to` an
//! `estimate`, to `more` than one, or to the `work`, by a `way`, with what was
//! signed: `text`, its `sha256`, and `drawn`, a list of lines of x and y in turn.
//! What is longer or larger than can be meant is refused here.

use super::{job, known, label, moment, prose, reader};
use crate::agreement::consent::{Agreed, Consent, Signed, Stroke, Strokes, Way};
use crate::agreement::estimate::{Cost, CostLine, Estimate, Form, MOST_LINES, TakingApart};
use crate::agreement::rules::RuleSet;
use crate::event::{Event, Reader, Recommendation, Reply};
use crate::exchange::json::{Fields, Json, Wrong};
use crate::id::{EstimateId, EventId, Hash, JobId, RecommendationId};
use crate::moment::Day;
use crate::money::Currency;
use crate::money::minor::Minor;
use crate::quantity::Count;

/// Writes an estimate.
pub(in crate::exchange) fn estimate_form(estimate: &Estimate) -> Fields<'_> {
    let lines: Vec<Json<'_>> = estimate.lines.iter().map(|line| line_form(line).into()).collect();
    let form = Fields::default().put("for", estimate.what_for.as_str()).put("currency", estimate.currency.code());
    let form = form.put("form", form_word(estimate.form)).put("lines", lines);
    let form = form.put_known("valid-until", estimate.valid_until.map(|day| day.to_string()));
    let form = form.put_known("taking-apart", estimate.taking_apart.as_ref().map(apart_form));
    form.put("rules", estimate.rules.slug()).put("on-summary", estimate.on_summary)
}

fn estimate(of: &mut Fields<'_>) -> Result<Estimate, Wrong> {
    let mut lines = Vec::new();
    for line in of.list("lines")? {
        lines.push(line.fields("lines")?.whole(cost_line)?);
    }
    if lines.len() > MOST_LINES {
        return Err(Wrong::Unfit("lines"));
    }
    Ok(Estimate {
        what_for: of.parsed("for", prose)?,
        currency: of.parsed("currency", currency)?,
        form: of.parsed("form", |word| Form::ALL.into_iter().find(|&form| form_word(form) == word))?,
        lines,
        valid_until: known(of, "valid-until", Day::parse)?,
        taking_apart: of.known("taking-apart")?.map(|form| form.fields("taking-apart")?.whole(apart)).transpose()?,
        rules: of.parsed("rules", RuleSet::parse)?,
        on_summary: of.flag("on-summary")?,
    })
}

const fn form_word(form: Form) -> &'static str {
    match form {
        Form::Itemised => "itemised",
        Form::AtMost => "at-most",
    }
}

fn line_form(line: &CostLine) -> Fields<'_> {
    let form = Fields::default();
    let form = match line.cost {
        Cost::Labour { minutes } => form.put("cost", "labour").put("minutes", minutes),
        Cost::Parts { count } => form.put("cost", "parts").put("count", count.0),
        Cost::ShopSupplies => form.put("cost", "shop-supplies"),
        Cost::Other => form.put("cost", "other"),
        Cost::Tax => form.put("cost", "tax"),
    };
    form.put("words", line.words.as_str()).put("amount", line.amount.units())
}

fn cost_line(of: &mut Fields<'_>) -> Result<CostLine, Wrong> {
    let cost = match &*of.text("cost")? {
        "labour" => Cost::Labour { minutes: of.number("minutes")? },
        "parts" => Cost::Parts { count: Count(of.number("count")?) },
        "shop-supplies" => Cost::ShopSupplies,
        "other" => Cost::Other,
        "tax" => Cost::Tax,
        _ => return Err(Wrong::Unfit("cost")),
    };
    Ok(CostLine { cost, words: of.parsed("words", label)?, amount: amount(of, "amount")? })
}

fn apart_form(apart: &TakingApart) -> Fields<'_> {
    let destroyed: Vec<Json<'_>> = apart.destroyed.iter().map(|what| what.as_str().into()).collect();
    let form = Fields::default().put("price", apart.price.units()).put("destroyed", destroyed);
    form.put("days", apart.days).put("not-as-it-was", apart.not_as_it_was.as_str())
}

fn apart(of: &mut Fields<'_>) -> Result<TakingApart, Wrong> {
    let what = |form: Json<'_>| match form {
        Json::Text(text) => label(&text).ok_or(Wrong::Unfit("destroyed")),
        _ => Err(Wrong::Unfit("destroyed")),
    };
    Ok(TakingApart {
        price: amount(of, "price")?,
        destroyed: of.list("destroyed")?.into_iter().map(what).collect::<Result<_, _>>()?,
        days: of.number("days")?,
        not_as_it_was: of.parsed("not-as-it-was", label)?,
    })
}

/// Writes that somebody agreed.
pub(in crate::exchange) fn consent_form(consent: &Consent) -> Fields<'_> {
    let form = Fields::default();
    let form = match &consent.to {
        Agreed::Estimate(estimate) => form.put("to", "estimate").put("estimate", estimate.to_string()),
        Agreed::More { estimate, what, added, minutes } => {
            let form = form.put("to", "more").put("estimate", estimate.to_string()).put("what", what.as_str());
            form.put("added", added.units()).put("minutes", *minutes)
        }
        Agreed::Work => form.put("to", "work"),
    };
    let form = form.put("by", consent.by.as_str()).put("at", consent.at.to_string());
    let form = match &consent.way {
        Way::InPerson => form.put("way", "in-person"),
        Way::Telephone { number } => form.put("way", "telephone").put("number", number.as_str()),
        Way::Writing => form.put("way", "writing"),
    };
    form.put_known("signed", consent.signed.as_ref().map(signed_form))
}

/// Tells whether a consent says what version 4 first knew.
pub(super) fn is_of_the_fourth_form(consent: &Consent) -> bool {
    consent.signed.as_ref().is_some_and(|signed| signed.reader != Reader::default())
}

fn consent(of: &mut Fields<'_>) -> Result<Consent, Wrong> {
    let estimate = |of: &mut Fields<'_>| of.parsed("estimate", |text| EventId::parse(text).map(EstimateId));
    let to = match &*of.text("to")? {
        "estimate" => Agreed::Estimate(estimate(of)?),
        "more" => Agreed::More {
            estimate: estimate(of)?,
            what: of.parsed("what", prose)?,
            added: amount(of, "added")?,
            minutes: of.number("minutes")?,
        },
        "work" => Agreed::Work,
        _ => return Err(Wrong::Unfit("to")),
    };
    let (by, at) = (of.parsed("by", label)?, of.parsed("at", moment)?);
    let way = match &*of.text("way")? {
        "in-person" => Way::InPerson,
        "telephone" => Way::Telephone { number: of.parsed("number", label)? },
        "writing" => Way::Writing,
        _ => return Err(Wrong::Unfit("way")),
    };
    let signed = of.known("signed")?.map(|form| form.fields("signed")?.whole(signed)).transpose()?;
    Ok(Consent { to, by, at, way, signed })
}

fn signed_form(signed: &Signed) -> Fields<'_> {
    let line = |stroke: &Stroke| {
        let numbers = stroke.iter().flat_map(|&(x, y)| [x.into(), y.into()]);
        Json::List(numbers.collect())
    };
    let drawn: Vec<Json<'_>> = signed.drawn.strokes().iter().map(line).collect();
    let form = Fields::default().put("text", signed.text.as_str()).put("sha256", signed.hash.to_string());
    let form = form.put("drawn", drawn);
    if signed.reader == Reader::default() { form } else { reader::put(form, signed.reader) }
}

fn signed(of: &mut Fields<'_>) -> Result<Signed, Wrong> {
    let (text, hash) = (of.parsed("text", prose)?, of.parsed("sha256", Hash::parse)?);
    let strokes = of.list("drawn")?.into_iter().map(stroke).collect::<Result<Vec<Stroke>, Wrong>>()?;
    let drawn = Strokes::new(strokes).ok_or(Wrong::Unfit("drawn"))?;
    Ok(Signed { text, hash, drawn, reader: reader::of_signed(of)? })
}

fn stroke(form: Json<'_>) -> Result<Stroke, Wrong> {
    let wrong = || Wrong::Unfit("drawn");
    let number = |number: Json<'_>| match number {
        Json::Number(number) => u16::try_from(number).map_err(|_| wrong()),
        _ => Err(wrong()),
    };
    let numbers = form.list_of("drawn")?.into_iter().map(number).collect::<Result<Vec<u16>, Wrong>>()?;
    if numbers.len() % 2 == 0 {
        Ok(numbers.chunks_exact(2).map(|two| (two[0], two[1])).collect())
    } else {
        Err(wrong())
    }
}

/// Writes what is recommended.
pub(in crate::exchange) fn recommendation_form(facts: &Recommendation) -> Fields<'_> {
    let form = Fields::default().put("what", facts.what.as_str()).put("why", facts.why.as_str());
    match facts.cost {
        Some((amount, currency)) => form.put("amount", amount.units()).put("currency", currency.code()),
        None => form,
    }
}

fn recommendation(of: &mut Fields<'_>) -> Result<Recommendation, Wrong> {
    let (what, why) = (of.parsed("what", label)?, of.parsed("why", prose)?);
    let cost = match known(of, "currency", currency)? {
        Some(currency) => Some((amount(of, "amount")?, currency)),
        None => None,
    };
    Ok(Recommendation { what, why, cost })
}

/// Returns the written word of a reply.
pub(in crate::exchange) const fn reply_word(reply: Reply) -> &'static str {
    reply.words()
}

/// Reads that an estimate was made.
pub(super) fn estimate_made(of: &mut Fields<'_>) -> Result<Event, Wrong> {
    Ok(Event::EstimateMade { job: of.parsed("job", job)?, estimate: Box::new(of.nested("estimate", estimate)?) })
}

/// Reads that a consent was given.
pub(super) fn consent_given(of: &mut Fields<'_>) -> Result<Event, Wrong> {
    Ok(Event::ConsentGiven { job: of.parsed("job", job)?, consent: Box::new(of.nested("consent", consent)?) })
}

/// Reads that something was recommended.
pub(super) fn recommended(of: &mut Fields<'_>) -> Result<Event, Wrong> {
    let recommendation = Box::new(of.nested("recommendation", recommendation)?);
    Ok(Event::Recommended { job: of.parsed("job", job)?, recommendation })
}

/// Reads what the owner said to it.
pub(super) fn answered(of: &mut Fields<'_>) -> Result<Event, Wrong> {
    Ok(Event::RecommendationAnswered {
        recommendation: of.parsed("recommendation", |text| EventId::parse(text).map(RecommendationId))?,
        reply: of.parsed("reply", |word| Reply::ALL.into_iter().find(|&reply| reply_word(reply) == word))?,
    })
}

/// Writes that something was done for a job: the job and what is said of it.
pub(super) fn on_job<'a>(job: JobId, name: &'static str, form: Fields<'a>) -> Fields<'a> {
    Fields::default().put("job", job.to_string()).put(name, form)
}

fn currency(code: &str) -> Option<Currency> {
    Currency::parse(code).ok()
}

fn amount(of: &mut Fields<'_>, name: &'static str) -> Result<Minor, Wrong> {
    Minor::new(of.number(name)?).ok_or(Wrong::Unfit(name))
}
