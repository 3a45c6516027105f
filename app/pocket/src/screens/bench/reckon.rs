//! Torque reckoned freely: in other units, with an adapter, as general guidance.
//!
//! Nothing here is kept; what is tightened on a job is told on the job.

use leptos::prelude::*;
use quaywright_core::tightening::guidance::{Strength, Surface};
use quaywright_core::tightening::torque::TorqueUnit;
use quaywright_core::view::{self, NotReckoned, Reckoned};

use crate::components::Field;
use crate::desk::sentence;
use crate::look::{Look, shown};
use crate::screens::heading;

/// The three questions about torque.
#[component]
pub fn ReckonScreen() -> impl IntoView {
    let [torque, wrench, adapter, angle, thread] = [(); 5].map(|()| RwSignal::new(String::new()));
    let unit = RwSignal::new(TorqueUnit::NewtonMetre.sign());
    let (strength, surface) = (RwSignal::new(Strength::Class8_8.sign()), RwSignal::new(Surface::Plain.words()));
    let unit_chosen = move || by_words(&TorqueUnit::ALL, TorqueUnit::sign, unit.get());
    let units = choice("Unit", TorqueUnit::ALL.map(TorqueUnit::sign).into(), unit);
    let both = told(&[torque], move || Some(view::torque_both_ways(&torque.get(), unit_chosen()?)));
    let setting = told(&[torque, wrench, adapter], move || {
        Some(view::wrench_setting(&torque.get(), unit_chosen()?, &wrench.get(), &adapter.get(), &angle.get()))
    });
    let guidance = told(&[thread], move || {
        let thread = thread.get();
        let strength = by_words(&view::strengths_for(&thread), Strength::sign, strength.get())?;
        let surface = by_words(&Surface::ALL, Surface::words, surface.get())?;
        Some(view::general_guidance(&thread, strength, surface))
    });
    let offered = Look::at(move || view::strengths_for(&thread.get()));
    let strengths = shown(move || {
        let offered: Vec<&'static str> = offered.get().into_iter().map(Strength::sign).collect();
        if let Some(first) = offered.first().filter(|_| !offered.contains(&strength.get_untracked())) {
            strength.set(first);
        }
        choice("Mark on the head", offered, strength)
    });
    view! {
        {heading("Torque")}
        <div class="stack">
            <div class="measure">
                <Field name="Torque" value=torque keyboard="decimal" />
                {units}
            </div>
            {both}
        </div>
        <h2>"With an adapter"</h2>
        <div class="stack">
            <Field name="Wrench, drive to grip (400 mm, 16 in)" value=wrench />
            <Field name="Adapter, drive to fastener" value=adapter />
            <Field name="Angle, 0 straight on to 180 pointing back" value=angle keyboard="decimal" />
            {setting}
        </div>
        <h2>"Without a value at hand"</h2>
        <div class="stack">
            <Field name="Thread (M8, M10 × 1.25, 3/8-16)" value=thread />
            {strengths}
            {choice("How it rubs", Surface::ALL.map(Surface::words).into(), surface)}
            {guidance}
        </div>
    }
}

/// A list to choose from.
fn choice(name: &'static str, all: Vec<&'static str>, value: RwSignal<&'static str>) -> AnyView {
    let kept = all.clone();
    let choose = move |event| {
        let chosen = event_target_value(&event);
        if let Some(one) = kept.iter().find(|one| **one == chosen) {
            value.set(one);
        }
    };
    let option = |one: &'static str| view! { <option value=one selected=move || value.get() == one>{one}</option> };
    view! {
        <label>
            <span class="name">{name}</span>
            <select on:change=choose>{all.into_iter().map(option).collect_view()}</select>
        </label>
    }
    .into_any()
}

/// Returns the one that is called so.
fn by_words<T: Copy>(all: &[T], words: fn(T) -> &'static str, chosen: &str) -> Option<T> {
    all.iter().copied().find(|&one| words(one) == chosen)
}

/// What is reckoned once something is written in each of these.
fn told(
    needed: &[RwSignal<String>],
    reckon: impl Fn() -> Option<Result<Reckoned, NotReckoned>> + Send + Sync + 'static,
) -> AnyView {
    let needed = needed.to_vec();
    let is_written = move || needed.iter().all(|text| text.with(|text| !text.trim().is_empty()));
    let reckoned = Look::at(move || {
        let reckoned = is_written().then(&reckon).flatten();
        reckoned.map(|it| it.map_err(|why| sentence(&why.to_string())))
    });
    let shown = shown(move || {
        reckoned.get().map(|reckoned| match reckoned {
            Ok(Reckoned { figure, beside }) => {
                let beside = beside.into_iter().map(|words| view! { <p class="small">{words}</p> }).collect_view();
                view! { <p class="figure large">{figure}</p>{beside} }.into_any()
            }
            Err(why) => view! { <p class="stop">{why}</p> }.into_any(),
        })
    });
    view! { <div aria-live="polite">{shown}</div> }.into_any()
}
