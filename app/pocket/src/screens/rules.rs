//! The shop's rules: how time is paid, billed and counted.
//!
//! Each choice is kept at once and says so at the foot, where it can be taken
//! back. What a rule does stands below it, and that local law may ask for more.

use leptos::prelude::*;
use quaywright_core::command::Command;
use quaywright_core::event::ShopRules;
use quaywright_core::hours::LOCAL_LAW;
use quaywright_core::view::{RuleChoice, RuleEntry};

use super::heading;
use crate::components::Field;
use crate::desk::{Desk, sentence, use_desk};
use crate::look::Look;

/// All rules, in the order in which they matter to a day.
#[component]
pub fn RulesScreen() -> impl IntoView {
    let desk = use_desk();
    let rules = desk.look(|book, _| book.shop.rules());
    let choice = move |which| choice(desk, rules, which);
    let entry = move |which| entry(desk, rules, which);
    view! {
        {heading("Shop's rules")}
        <p>"They hold for every day, past ones too. What was tapped stays exact and stands beside every figure."</p>
        <p class="small">{LOCAL_LAW}</p>
        <div class="beside">
            <section class="stack">
                <h2>"Pay"</h2>
                {choice(RuleChoice::Pay)}
                {choice(RuleChoice::FirstDay)}
                {entry(RuleEntry::DayStart)}
                {entry(RuleEntry::Weekly)}
                {entry(RuleEntry::Daily)}
                {entry(RuleEntry::Double)}
            </section>
            <section class="stack">
                <h2>"Pauses"</h2>
                {entry(RuleEntry::Rest)}
                {entry(RuleEntry::Unpaid)}
            </section>
            <section class="stack">
                <h2>"Bills"</h2>
                {choice(RuleChoice::Bill)}
                {entry(RuleEntry::Minimum)}
            </section>
            <section class="stack">
                <h2>"The end of the day"</h2>
                {entry(RuleEntry::UsualEnd)}
            </section>
        </div>
    }
}

fn keep(desk: Desk, rules: ShopRules) {
    desk.tell(Command::SetShopRules(rules), "The shop's rules say so from now on");
}

/// A rule that is one of a few.
fn choice(desk: Desk, rules: Look<ShopRules>, which: RuleChoice) -> AnyView {
    let choose = move |event| {
        if let Ok(nth) = event_target_value(&event).parse() {
            keep(desk, which.choose(rules.get_untracked(), nth));
        }
    };
    let option = move |(nth, words): (usize, &&'static str)| {
        // What was taken back is chosen no more, whatever the finger chose.
        view! {
            <option value=nth.to_string() prop:selected=move || rules.with(|rules| which.chosen(rules)) == nth>
                {*words}
            </option>
        }
    };
    view! {
        <div>
            <label>
                <span class="name">{which.name()}</span>
                <select on:change=choose>{(0..).zip(which.offered()).map(option).collect_view()}</select>
            </label>
            <p class="small">{which.about()}</p>
        </div>
    }
    .into_any()
}

/// A rule that is typed.
fn entry(desk: Desk, rules: Look<ShopRules>, which: RuleEntry) -> AnyView {
    let text = Look::at(move || rules.with(|rules| which.text(rules)));
    let value = RwSignal::new(String::new());
    Effect::new(move || value.set(text.get()));
    let left = Callback::new(move |typed: String| {
        let before = rules.get_untracked();
        match which.typed(before, &typed) {
            // The same said in another way.
            Ok(after) if after == before => value.set(text.get_untracked()),
            Ok(after) => keep(desk, after),
            Err(why) => desk.complain(sentence(&why.to_string())),
        }
    });
    let about = which.about().map(|about| view! { <p class="small">{about}</p> });
    view! {
        <div>
            <Field name=which.name() value keyboard="decimal" on_left=left />
            {about}
        </div>
    }
    .into_any()
}
