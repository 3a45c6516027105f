//! The wrench in hand: chosen among those named before, or typed once.

use leptos::ev::SubmitEvent;
use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::command::Command;
use quaywright_core::id::GroupId;
use quaywright_core::tightening::torque::TorqueUnit;
use quaywright_core::tightening::wrench::{Lever, Wrench};
use quaywright_core::view::{self, GroupCard, KnownWrench, WrenchText};

use crate::components::{Field, button, named_button};
use crate::desk::{Desk, sentence};
use crate::look::{Look, shown};

/// Returns the section about the wrench.
pub(super) fn wrench(desk: Desk, card: Look<GroupCard>) -> AnyView {
    let (group, unit) = card.with_untracked(|card| {
        (card.id, card.facts.entered.as_ref().map_or(TorqueUnit::NewtonMetre, |it| it.target.aim.unit()))
    });
    let in_hand = shown(move || match card.with(|card| card.wrench.clone()) {
        Some(wrench) => {
            let adapter = wrench.adapter.map(|(words, hold)| view! { <p>{words}</p><p class="small">{hold}</p> });
            let back = move || desk.take_back(wrench.event);
            view! {
                <div class="step">
                    <div class="grow"><p><strong>{wrench.name.clone()}</strong></p>{adapter}</div>
                    {named_button("quiet", "Not this one", format!("Not this one: {}", wrench.name), back)}
                </div>
            }
            .into_any()
        }
        None => view! { <p class="none">"No wrench is named. The record then says none."</p> }.into_any(),
    });
    let known = desk.look(move |book, _| view::known_wrenches(book, group));
    let offer = move |wrench: KnownWrench| {
        let words = wrench.words.clone();
        button("", words, move || take(desk, group, wrench.wrench.clone(), wrench.lever))
    };
    let offers = shown(move || {
        view! {
            <div class="offers" role="group" aria-label="Wrenches named before">
                {known.get().into_iter().map(offer).collect_view()}
            </div>
        }
    });
    view! {
        <section>
            <h2>"Wrench"</h2>
            {in_hand}
            {offers}
            <details>
                <summary class="choice">"Another wrench, or an adapter"</summary>
                {form(desk, group, unit)}
            </details>
        </section>
    }
    .into_any()
}

fn form(desk: Desk, group: GroupId, unit: TorqueUnit) -> AnyView {
    let fields = [(); 6].map(|()| RwSignal::new(String::new()));
    let [name, largest, calibrated, length, adapter, angle] = fields;
    let key = move |field: &str| format!("wrench/{group}/{field}");
    let keep = move |event: SubmitEvent| {
        event.prevent_default();
        let [name, largest, calibrated, length, adapter, angle] = fields.map(|field| field.get_untracked());
        match (WrenchText { name, largest, calibrated, length, adapter, angle }).read(unit) {
            Ok((wrench, lever)) => take(desk, group, wrench, lever),
            Err(why) => desk.complain(sentence(&why.to_string())),
        }
    };
    view! {
        <form class="group" on:submit=keep>
            <Field name="What it is called" value=name draft=key("name") />
            <Field name="Last calibrated, as 2026-02-03" value=calibrated draft=key("calibrated") keyboard="numeric" />
            <Field name="End of its scale, as 100 Nm" value=largest draft=key("largest") />
            <p class="small">"Only with an adapter that stands off the drive, with units (mm, in):"</p>
            <Field name="Drive to the middle of the grip" value=length draft=key("length") />
            <Field name="Drive to the fastener" value=adapter draft=key("adapter") />
            <Field name="Angle: 0 straight on, 90 square" value=angle draft=key("angle") keyboard="numeric" />
            <button type="submit">"Take this wrench"</button>
        </form>
    }
    .into_any()
}

fn take(desk: Desk, group: GroupId, wrench: Wrench, lever: Option<Lever>) {
    let words = format!("From now on with {}", wrench.name);
    spawn_local(async move {
        if desk.ask(Command::TakeWrench { group, wrench, lever }, words).await.is_some() {
            desk.drop_drafts(&format!("wrench/{group}/"));
        }
    });
}
