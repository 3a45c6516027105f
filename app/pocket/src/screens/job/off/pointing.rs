//! Pointing: after "it is behind …" the next item that is tapped is the other one.

use leptos::prelude::*;
use quaywright_core::command::Command;
use quaywright_core::id::ItemId;
use quaywright_core::reassembly::ties::{Freed, Tie, TieKind};

use crate::components::{button, named_button};
use crate::desk::use_desk;
use crate::look::shown;
use crate::platform::page;

/// What is about to be said of an item and the one that will be pointed at.
#[derive(Clone, PartialEq, Eq)]
struct Begun {
    item: ItemId,
    name: String,
    /// None frees the two from each other.
    kind: Option<TieKind>,
}

/// What is about to be said, if anything is.
#[derive(Clone, Copy, Default)]
pub struct Pointing(RwSignal<Option<Begun>>);

impl Begun {
    fn words(&self) -> &'static str {
        self.kind.map_or("need not wait for", TieKind::words)
    }
}

/// Says that pointing has begun, and how to leave it.
pub fn banner(pointing: Pointing) -> AnyView {
    shown(move || {
        let begun = pointing.0.get()?;
        let words = format!("{} {} … tap the other one in the list.", begun.name, begun.words());
        Some(view! {
            <div class="telling" role="status">
                <p>{words}</p>
                {button("", "Never mind", move || pointing.0.set(None))}
            </div>
        })
    })
}

/// Returns the buttons that begin to point from an item.
pub fn beginnings(pointing: Pointing, item: ItemId, name: &str) -> AnyView {
    let begin = |words: &'static str, kind: Option<TieKind>| {
        let name = name.to_owned();
        let full = format!("{name}: {words}");
        named_button("", words, full, move || {
            pointing.0.set(Some(Begun { item, name: name.clone(), kind }));
            page::to_top();
        })
    };
    view! {
        <div class="row">
            {begin("It is behind …", Some(TieKind::Behind))}
            {begin("It is held by …", Some(TieKind::HeldBy))}
            {begin("It need not wait for …", None)}
        </div>
    }
    .into_any()
}

/// Returns the button that points at an item, while something points.
pub fn target(pointing: Pointing, other: ItemId, name: String) -> AnyView {
    let desk = use_desk();
    shown(move || {
        let begun = pointing.0.get().filter(|begun| begun.item != other)?;
        let words = format!("{} {} {name}", begun.name, begun.words());
        let said = words.clone();
        let item = begun.item;
        let point = move || {
            let command = match begun.kind {
                Some(kind) => Command::Tie(Tie { item, kind, other }),
                None => Command::Free(Freed(item, other)),
            };
            desk.tell(command, said.clone());
            pointing.0.set(None);
        };
        Some(view! { <div class="row">{named_button("big", "This one", format!("This one: {words}"), point)}</div> })
    })
}
