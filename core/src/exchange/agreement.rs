//! What was agreed with an owner: as JSON for the office, and as the owner's page.
//!
//! In a job's summary ([`super::bundle`]) `agreements` holds `estimates` (`id`,
//! `at`, `agreed`: whether it is the one that was agreed to last, `estimate` as
//! in a record, its sums in minor units of its currency, and `waived` where there
//! is none because the owner waives it), `consents` (`id`,
//! `consent` as in a record, and `whole`: whether what was signed fits its
//! SHA-256) and `recommended` (`id`, `recommendation`, perhaps `reply`).
//!
//! The page is made as the work summary is ([`super::html`]): a signature is
//! drawn from whole numbers, beside the hash of what was signed.

use super::bundle::list;
use super::html::Page;
use super::json::Fields;
use super::pieces::Piece;
use super::wire::agreement::{consent_form, estimate_form, recommendation_form, reply_word};
use crate::agreement::consent::{HIGH, Strokes, WIDE};
use crate::book::agreements::{Given, Made, Recommended};
use crate::event::Reply;
use crate::sheet::SignedState;
use crate::sheet::agreement::{AgreementSheet, Agreements, ConsentSheet, EstimateText, SignedSheet, words};
use crate::words::{Hole, Word, Words};

/// Writes a job's agreements; nothing where there are none.
pub(super) fn agreements_form(of: &Agreements) -> Option<Fields<'_>> {
    let Agreements { estimates, agreed, consents, recommended } = of;
    if estimates.is_empty() && consents.is_empty() && recommended.is_empty() {
        return None;
    }
    let made = estimates.iter().map(|made| made_form(made).put("agreed", Some(made.id) == *agreed).into());
    let form = Fields::default().put("estimates", made.collect::<Vec<_>>());
    Some(form.put("consents", list(consents, given_form)).put("recommended", list(recommended, recommended_form)))
}

fn made_form(made: &Made) -> Fields<'_> {
    let totals = made.estimate.totals();
    let sums = Fields::default().put("labour", totals.labour.units()).put("parts", totals.parts.units());
    let sums = sums.put("shop-supplies", totals.supplies.units()).put("other", totals.other.units());
    let sums = sums.put("before-tax", totals.before_tax().units()).put("tax", totals.tax.units());
    let sums = sums.put("total", totals.total().units()).put("labour-minutes", totals.minutes);
    let form = Fields::default().put("id", made.id.to_string()).put("at", made.at.to_string());
    let waived = made.estimate.is_waiver().then_some(true);
    form.put("estimate", estimate_form(&made.estimate)).put("sums", sums).put_known("waived", waived)
}

fn given_form(given: &Given) -> Fields<'_> {
    let whole = given.consent.signed.as_ref().map(|signed| signed.is_whole());
    let form = Fields::default().put("id", given.id.to_string()).put("consent", consent_form(&given.consent));
    form.put_known("whole", whole)
}

fn recommended_form((recommended, reply): &(Recommended, Option<Reply>)) -> Fields<'_> {
    let form = Fields::default().put("id", recommended.id.to_string());
    let form = form.put("recommendation", recommendation_form(&recommended.facts));
    form.put_known("reply", reply.map(reply_word))
}

/// How a signature looks.
const STYLE: &str = "<style>svg{display:block;width:100%;max-width:24rem;border-bottom:1px solid}\
polyline{fill:none;stroke:currentColor;stroke-width:18;stroke-linecap:round;stroke-linejoin:round}</style>";

/// Returns the owner's page of what was agreed.
pub fn page(sheet: &AgreementSheet) -> Vec<Piece> {
    let words = Words::of(sheet.reader);
    let of = words.say(sheet.estimate.as_ref().map_or(Word::Estimate, kind));
    let mut page = Page::begin_for(sheet.reader, &words.headed(sheet.boat.name.as_str(), &of));
    page.raw(STYLE);
    page.body();
    page.raw("<header>");
    match sheet.shop.is_empty() {
        true => page.class("p", "label", &of),
        false => page.typed("p", "label", sheet.shop.as_str()),
    }
    page.typed("h1", "", sheet.boat.name.as_str());
    page.typed("p", "lead", sheet.title.as_str());
    page.raw("</header><dl>");
    page.boat_in(&sheet.boat, &words);
    page.typed_fact(&words.say(Word::Technician), sheet.technician.as_str());
    page.fact(&words.say(Word::Date), &words.day(sheet.day));
    page.raw("</dl>");
    if let Some(estimate) = &sheet.estimate {
        estimated(&mut page, estimate, &words);
    }
    if !sheet.consents.is_empty() {
        page.raw("<section>");
        page.tag("h2", &words.say(Word::Agreed));
        for (nth, consent) in sheet.consents.iter().enumerate() {
            // What one signed and the next agreed to stand apart.
            if nth > 0 {
                page.raw("</section><section>");
            }
            agreed(&mut page, consent, &words);
        }
        page.raw("</section>");
    }
    page.list(&words.say(Word::InAll), sheet.in_all.iter().cloned());
    page.list(&words.say(Word::Recommended), sheet.recommended.iter().cloned());
    page.as_written(&words);
    page.end()
}

fn kind(estimate: &EstimateText) -> Word {
    if estimate.is_waiver { Word::Waiver } else { Word::Estimate }
}

/// Writes the estimate that stands; what its head says stands in the page's.
fn estimated(page: &mut Page, estimate: &EstimateText, words: &Words) {
    page.raw("<section>");
    page.tag("h2", &words.say(kind(estimate)));
    const OF_THE_PAGE: usize = 3;
    estimate.head.iter().skip(OF_THE_PAGE).for_each(|line| page.tag("p", line));
    let [what, amount, in_all] = [Word::What, Word::Amount, Word::InAll].map(|word| words.say(word));
    page.rows(&what, &amount, &estimate.lines);
    page.rows(&in_all, &amount, &estimate.sums);
    page.tag("h3", &words.say(Word::Terms));
    estimate.terms.iter().for_each(|line| page.tag("p", line));
    page.raw("</section>");
}

fn agreed(page: &mut Page, consent: &ConsentSheet, words: &Words) {
    page.tag("p", &consent.words);
    let Some(signed) = &consent.signed else { return };
    signature(page, signed, words);
    page.class("p", "quiet", &words::hash(words, signed.hash));
    let is_well = matches!(signed.state, SignedState::Same | SignedState::Translated);
    page.class("p", if is_well { "quiet" } else { "stop" }, &words::state(words, signed.state));
    if signed.state != SignedState::Same {
        let language = signed.reader.language;
        signed.text.as_str().lines().for_each(|line| page.said_in(language, "p", "quiet", line));
    }
}

/// Draws a signature: lines of whole numbers, which no text of anybody's can end.
fn signature(page: &mut Page, signed: &SignedSheet, words: &Words) {
    if signed.drawn.is_empty() {
        return;
    }
    page.raw("<figure class=\"signature\">");
    page.drawing(&signed.drawn, &words.fill(Word::SignatureOf, &[("who", Hole::Text(&signed.by))]));
    page.tag("figcaption", &signed.by);
    page.raw("</figure>");
}

/// Returns the lines of a drawing as the `points` of polylines.
pub fn points(drawn: &Strokes) -> Vec<String> {
    let place = |(x, y): &(u16, u16)| [x.to_string(), y.to_string()].join(",");
    drawn.strokes().iter().map(|stroke| stroke.iter().map(place).collect::<Vec<_>>().join(" ")).collect()
}

/// Returns the field of a drawing as an SVG's `viewBox`.
pub fn view_box() -> String {
    format!("0 0 {WIDE} {HIGH}")
}
