//! Starts the pocket workbook.

use quaywright_pocket::{App, platform};

fn main() {
    platform::page::tell_panics();
    leptos::mount::mount_to_body(App);
}
