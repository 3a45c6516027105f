//! An estimate that is being written: its lines, then what holds for all of them.
//!
//! The lines are kept as a draft while they are being collected, so that a page
//! that dies takes none along; what is made of them is one event. Where the chosen
//! rule lets an owner waive the estimate, that can be prepared here instead.

use std::str::FromStr;

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::agreement::estimate::{Cost, CostLine, Estimate, Form};
use quaywright_core::agreement::rules::RuleSet;
use quaywright_core::command::Command;
use quaywright_core::id::JobId;
use quaywright_core::money::Currency;
use quaywright_core::view::{self, ApartProposal, EstimateEntry, LineEntry, NotAgreed};

use crate::components::{Field, button, named_button};
use crate::desk::{Desk, sentence};
use crate::look::{Look, shown};
use crate::platform::page;
use crate::route::{AgreementPart, Route};
use crate::screens::heading;

/// A choice from a few, by their place.
pub(super) fn choice(name: &'static str, offered: Vec<String>, chosen: RwSignal<usize>) -> AnyView {
    let choose = move |event| chosen.set(event_target_value(&event).parse().unwrap_or_default());
    let option = move |(nth, words): (usize, String)| {
        view! { <option value=nth.to_string() prop:selected=move || chosen.get() == nth>{words}</option> }
    };
    view! {
        <label>
            <span class="name">{name}</span>
            <select on:change=choose>{offered.into_iter().enumerate().map(option).collect_view()}</select>
        </label>
    }
    .into_any()
}

fn place_of<T: PartialEq + Copy>(all: &[T], one: T) -> usize {
    all.iter().position(|&it| it == one).unwrap_or_default()
}

/// Returns the one at that place, which a draft of another version may have beyond the end.
fn one_of<T: Copy, const MANY: usize>(all: &[T; MANY], at: usize) -> T {
    all[at.min(MANY - 1)]
}

/// What the form keeps as drafts: amounts without their currency, or lines without what they
/// were to be, would be another estimate when the page is opened again.
const DRAFTS: [&str; 12] = [
    "lines",
    "for",
    "price",
    "days",
    "currency",
    "form",
    "rules",
    "until",
    "apart",
    "destroyed",
    "not-as-it-was",
    "on-summary",
];

/// A choice that survives the death of the page, and is `first` until there is one.
fn kept<T: ToString + FromStr + Clone + Send + Sync + 'static>(desk: Desk, key: String, first: T) -> RwSignal<T> {
    let chosen = RwSignal::new(desk.draft(&key).and_then(|text| text.parse().ok()).unwrap_or(first));
    Effect::new(move |before: Option<()>| {
        let now = chosen.with(T::to_string);
        if before.is_some() {
            desk.keep_draft(&key, now);
        }
    });
    chosen
}

fn tick(words: &'static str, on: RwSignal<bool>) -> AnyView {
    view! {
        <label class="choice">
            <input type="checkbox" prop:checked=move || on.get() on:change=move |_| on.update(|on| *on = !*on) />
            {words}
        </label>
    }
    .into_any()
}

/// The form.
pub(super) fn form(desk: Desk, job: JobId) -> AnyView {
    let first = desk.book.with_untracked(|book| EstimateEntry::first(book, job));
    let known = desk.look(move |book, now| view::known_before_estimate(book, job, now));
    let text = |text: &str| RwSignal::new(text.to_owned());
    let key = move |field: &str| format!("estimate/{job}/{field}");
    let currency = kept(desk, key("currency"), place_of(&Currency::ALL, first.currency));
    let form = kept(desk, key("form"), place_of(&Form::ALL, first.form));
    let rules = kept(desk, key("rules"), place_of(&RuleSet::ALL, first.rules));
    let (what_for, valid_until) = (text(&first.what_for), kept(desk, key("until"), first.valid_until.clone()));
    let (price, destroyed, days, reason) =
        (text(&first.apart_price), text(&first.destroyed), text(&first.days), text(&first.not_as_it_was));
    let apart = kept(desk, key("apart"), first.apart);
    let on_summary = kept(desk, key("on-summary"), first.on_summary);
    let in_currency = move || one_of(&Currency::ALL, currency.get());
    let drafted = desk.draft(&key("lines")).map(|draft| view::lines_of_draft(&draft, untrack(in_currency)));
    let lines = RwSignal::new(drafted.filter(|lines| !lines.is_empty()).unwrap_or(first.lines));
    let entry = move || EstimateEntry {
        what_for: what_for.get_untracked(),
        currency: untrack(in_currency),
        form: one_of(&Form::ALL, form.get_untracked()),
        lines: lines.get_untracked(),
        valid_until: valid_until.get_untracked(),
        apart: apart.get_untracked(),
        apart_price: price.get_untracked(),
        destroyed: destroyed.get_untracked(),
        days: days.get_untracked(),
        not_as_it_was: reason.get_untracked(),
        rules: one_of(&RuleSet::ALL, rules.get_untracked()),
        on_summary: on_summary.get_untracked(),
    };
    let keep = move |estimate: Result<Estimate, NotAgreed>, words: &'static str, then: AgreementPart| {
        let estimate = match estimate {
            Ok(estimate) => Box::new(estimate),
            Err(why) => return desk.complain(sentence(&why.to_string())),
        };
        spawn_local(async move {
            if desk.ask(Command::MakeEstimate { job, estimate }, words).await.is_some() {
                DRAFTS.iter().for_each(|field| desk.drop_draft(&key(field)));
                page::go(&Route::Agreement(job, then).fragment());
            }
        });
    };
    let make = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        keep(entry().read(), "The estimate is made", AgreementPart::Whole);
    };
    let waive = move || keep(entry().read_waiver(), "The waiver is ready to be signed", AgreementPart::Sign);
    let words = |all: &[&'static str]| all.iter().map(|it| (*it).to_owned()).collect::<Vec<_>>();
    let apart_fields = shown(move || {
        apart.get().then(|| {
            view! {
                <Field name="Price of taking apart and putting together again" value=price draft=key("price") keyboard="decimal" />
                <Field name="What that destroys, with commas between" value=destroyed draft=key("destroyed") />
                <Field name="The longest time until it is together again, in days" value=days draft=key("days") keyboard="numeric" />
                {proposed(desk, job, lines, Look::at(in_currency), price, days)}
                <Field name="Why it may not go back as it was (empty: it can)" value=reason draft=key("not-as-it-was") />
            }
        })
    });
    let about_rule = shown(move || {
        let mut told = view::rule_in_words(one_of(&RuleSet::ALL, rules.get())).into_iter();
        let head = told.next();
        let line = |line| view! { <p class="small">{line}</p> };
        // What it asks for beside the estimate would push the rest of the form off a phone.
        let duties = (told.len() > 0).then(|| {
            view! {
                <details>
                    <summary class="choice">"What else this rule asks for"</summary>
                    {told.map(line).collect_view()}
                </details>
            }
        });
        view! { {head.map(line)}{duties} }
    });
    let waiver = shown(move || {
        one_of(&RuleSet::ALL, rules.get()).lets_waive().then(|| {
            view! {
                <section>
                    <h2>"Without an estimate"</h2>
                    <p>"By this rule an owner may waive the written estimate: no cost is agreed then, and the waiver is signed."</p>
                    {button("", "The owner waives the estimate", waive)}
                </section>
            }
        })
    });
    // Amounts are whole minor units, so another currency would make others of them.
    let is_chosen = Look::at(move || !lines.with(Vec::is_empty));
    let in_which = shown(move || {
        if is_chosen.get() {
            let code = untrack(in_currency).code();
            view! { <p class="small">{code}". Remove the lines to choose another currency."</p> }.into_any()
        } else {
            choice("Currency", Currency::ALL.map(|it| it.code().to_owned()).to_vec(), currency)
        }
    });
    let before = shown(move || known.get().map(|words| view! { <p class="small">{words}</p> }));
    view! {
        {heading("Estimate")}
        {before}
        {in_which}
        {line_list(desk, job, lines, Look::at(in_currency))}
        <form class="group" on:submit=make>
            <Field name="What is asked for" value=what_for draft=key("for") long=true />
            {choice("It is", words(&Form::ALL.map(Form::words)), form)}
            <label>
                <span class="name">"May be agreed to until (empty: no last day)"</span>
                <input
                    type="date"
                    prop:value=move || valid_until.get()
                    on:input=move |event| valid_until.set(event_target_value(&event))
                />
            </label>
            {tick("It is taken apart to find out", apart)}
            {apart_fields}
            {choice("Rule that it follows", words(&RuleSet::ALL.map(RuleSet::words)), rules)}
            {about_rule}
            {tick("Tell it on the work summary too", on_summary)}
            <button type="submit" class="big">"Make the estimate"</button>
        </form>
        {waiver}
    }
    .into_any()
}

/// What is proposed for taking apart, with where it comes from; it is taken by a tap.
fn proposed(
    desk: Desk,
    job: JobId,
    lines: RwSignal<Vec<CostLine>>,
    currency: Look<Currency>,
    price: RwSignal<String>,
    days: RwSignal<String>,
) -> AnyView {
    let proposal =
        desk.look(move |book, now| lines.with(|lines| view::apart_proposal(book, job, lines, currency.get(), now)));
    shown(move || {
        let ApartProposal { price: costs, days: lasts, because } = proposal.get();
        let told: Vec<String> =
            [costs.clone(), lasts.as_ref().map(|days| format!("days: {days}"))].into_iter().flatten().collect();
        let words = because.into_iter().map(|words| view! { <p class="small">{words}</p> }).collect_view();
        let take = (!told.is_empty()).then(|| {
            button("", format!("Take what is proposed: {}", told.join(", ")), move || {
                costs.iter().for_each(|costs| price.set(costs.clone()));
                lasts.iter().for_each(|lasts| days.set(lasts.clone()));
            })
        });
        view! { {words}{take} }
    })
}

/// The lines so far, what they come to, and the form for one more.
fn line_list(desk: Desk, job: JobId, lines: RwSignal<Vec<CostLine>>, currency: Look<Currency>) -> AnyView {
    let kind = RwSignal::new(0_usize);
    let [words, size, amount] = [(); 3].map(|()| RwSignal::new(String::new()));
    let key = move |field: &str| format!("estimate/{job}/line/{field}");
    let keep = move |of: Vec<CostLine>| {
        let draft = view::draft_of_lines(&of, currency.get_untracked());
        desk.keep_draft(&format!("estimate/{job}/lines"), draft);
        lines.set(of);
    };
    let add = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        let entry = LineEntry {
            kind: kind.get_untracked(),
            words: words.get_untracked(),
            size: size.get_untracked(),
            amount: amount.get_untracked(),
        };
        let before = lines.get_untracked();
        match entry.read(currency.get_untracked(), &before) {
            Ok(line) => {
                keep(before.into_iter().chain([line]).collect());
                // What was wrong with it before is right now.
                desk.said.set(None);
                desk.drop_drafts(&key(""));
                [words, size, amount].iter().for_each(|field| field.set(String::new()));
            }
            Err(why) => desk.complain(sentence(&why.to_string())),
        }
    };
    let row = move |(nth, line): (usize, CostLine)| {
        let told = view::cost_line_words(&line);
        let name = format!("Remove {told}");
        let remove = move || {
            let mut left = lines.get_untracked();
            left.remove(nth);
            keep(left);
        };
        view! {
            <li class="step">
                <span class="grow">{told}</span>
                <span class="figure">{line.amount.figure(currency.get())}</span>
                {named_button("quiet", "Remove", name, remove)}
            </li>
        }
    };
    let rows = shown(move || lines.get().into_iter().enumerate().map(row).collect_view());
    let none = shown(move || lines.with(Vec::is_empty).then(|| view! { <p class="none">"No line yet."</p> }));
    let total = move || lines.with(|lines| view::total_of(lines, currency.get()));
    let kinds = Cost::ALL.map(|cost| sentence(cost.words()).trim_end_matches('.').to_owned()).to_vec();
    let size_field = shown(move || match kind.get() {
        0 => view! { <Field name="Hours, such as 2.5 or 2:30" value=size draft=key("size") keyboard="decimal" /> }
            .into_any(),
        1 => view! { <Field name="How many" value=size draft=key("size") keyboard="numeric" /> }.into_any(),
        _ => ().into_any(),
    });
    let hint = move || match kind.get() {
        0 => "Amount, or a rate such as 95/h",
        1 => "Amount, or a price such as 12.50 each",
        4 => "Amount, or per cent of what stands above, such as 7.25 %",
        _ => "Amount",
    };
    let amount_field = shown(move || view! { <Field name=hint() value=amount draft=key("amount") /> });
    view! {
        <ul class="list group">{rows}</ul>
        {none}
        <p class="group">"In all "<span class="figure large">{total}</span></p>
        <form class="group" on:submit=add>
            {choice("Kind of cost", kinds, kind)}
            <Field name="What for" value=words draft=key("words") />
            {size_field}
            {amount_field}
            <button type="submit">"Add the line"</button>
        </form>
    }
    .into_any()
}
