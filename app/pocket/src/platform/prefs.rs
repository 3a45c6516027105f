//! What a person prefers on this phone, in localStorage through gloo-storage.
//!
//! Nothing that was said to the book is here: this storage may lose its last
//! seconds when a browser dies, and a preference can be set again.

use gloo_storage::{LocalStorage, Storage};
use quaywright_papers::wire::{Leaf, Times};

const POSITION: &str = "quaywright.keep-position";

/// Tells whether the place where a photo was taken shall be kept with it.
pub fn keeps_position() -> bool {
    LocalStorage::raw().get_item(POSITION).ok().flatten().as_deref() == Some("true")
}

/// Says whether the place where a photo was taken shall be kept with it.
pub fn keep_position(keep: bool) {
    // A preference that is not kept is asked for again; nothing is lost.
    let _ = LocalStorage::raw().set_item(POSITION, if keep { "true" } else { "false" });
}

const GRID: &str = "quaywright.grid-minutes";

/// Returns to which minutes a moved boundary goes, if that was ever chosen.
pub fn grid_minutes() -> Option<u8> {
    LocalStorage::raw().get_item(GRID).ok().flatten()?.parse().ok()
}

/// Says to which minutes a moved boundary goes.
pub fn set_grid_minutes(minutes: u8) {
    let _ = LocalStorage::raw().set_item(GRID, &minutes.to_string());
}

const LEAF: &str = "quaywright.leaf";

/// Returns on what paper documents are made as PDF; nothing where they are made as pages.
pub fn leaf() -> Option<Leaf> {
    Leaf::parse(&LocalStorage::raw().get_item(LEAF).ok().flatten()?)
}

/// Says on what paper documents are made as PDF, or that they are made as pages.
pub fn set_leaf(leaf: Option<Leaf>) {
    let _ = LocalStorage::raw().set_item(LEAF, leaf.map(Leaf::words).unwrap_or_default());
}

const TIMES: &str = "quaywright.owners-see-time";

/// Returns whether owners' documents tell hours of labour and diagnosis.
pub fn times() -> Times {
    let told = LocalStorage::raw().get_item(TIMES).ok().flatten().as_deref() == Some("true");
    if told { Times::Told } else { Times::Kept }
}

/// Says whether owners' documents tell hours of labour and diagnosis.
pub fn set_times(times: Times) {
    let _ = LocalStorage::raw().set_item(TIMES, if times == Times::Told { "true" } else { "false" });
}

const OFFICE: &str = "quaywright.office";

/// Tells whether this is the office.
pub fn is_office() -> bool {
    LocalStorage::raw().get_item(OFFICE).ok().flatten().as_deref() == Some("true")
}

/// Says whether this is the office.
pub fn set_office(is_office: bool) {
    let _ = LocalStorage::raw().set_item(OFFICE, if is_office { "true" } else { "false" });
}
