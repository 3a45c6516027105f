//! The foot of every screen: the places under the thumb, and what was said last.

use leptos::prelude::*;
use quaywright_core::view;

use super::{PhotoButton, button, named_button};
use crate::desk::{Phase, use_desk};
use crate::look::{Look, shown};
use crate::platform::shell;
use crate::route::Route;

/// The places.
#[component]
pub fn Foot() -> impl IntoView {
    let desk = use_desk();
    let place = move |name: &'static str, to: Route, here: fn(Route) -> bool| {
        let current = move || here(desk.route.get()).then_some("page");
        view! {
            <li>
                <a href=to.link() aria-current=current>{name}</a>
            </li>
        }
    };
    // The page itself, while one is there, though this phone is not the office.
    let office = shown(move || {
        let is_here = desk.route.get() == Route::Office;
        (desk.office.get() || is_here).then(|| place("Office", Route::Office, |route| route == Route::Office))
    });
    view! {
        <nav class="foot" aria-label="Places">
            <ul>
                {place("Now", Route::Now, |route| where_is(route) == "Now")}
                {place("Jobs", Route::Jobs { finished: false }, |route| where_is(route) == "Jobs")}
                {place("Bench", Route::Bench, |route| where_is(route) == "Bench")}
                {place("Hand over", Route::HandOver { day: None }, |route| where_is(route) == "Hand over")}
                {office}
            </ul>
        </nav>
    }
}

/// Returns the place that a screen belongs to.
fn where_is(route: Route) -> &'static str {
    match route {
        Route::Now | Route::Note { .. } | Route::Day(_) | Route::Hours(..) => "Now",
        Route::Bench | Route::Reading(_, None) | Route::Course(..) | Route::Reckon => "Bench",
        Route::HandOver { .. } | Route::Rules => "Hand over",
        Route::Office => "Office",
        _ => "Jobs",
    }
}

/// What was said last, with a way back.
#[component]
pub fn SaidLast() -> impl IntoView {
    let desk = use_desk();
    // The words change with each tap; what they are drawn with stays while it can.
    let kind = Look::at(move || desk.said.with(|said| said.as_ref().map(|said| (said.grave, said.undo.is_some()))));
    let busy = Look::at(move || desk.busy.get());
    let words = move || desk.said.with(|said| said.as_ref().map(|said| said.text.clone()).unwrap_or_default());
    let take_back = move || {
        if let Some(event) = desk.said.with_untracked(|said| said.as_ref().and_then(|said| said.undo)) {
            desk.take_back(event);
        }
    };
    let line = shown(move || {
        if let Some(work) = desk.under_way.get() {
            let words = work.words.clone();
            return Some(
                view! {
                    <div class="busy">
                        <p role="status">{words}</p>
                        {button("", "Stop", move || work.stop())}
                    </div>
                }
                .into_any(),
            );
        }
        if busy.get() {
            return Some(view! { <div class="busy"><p>"Keeping it …"</p></div> }.into_any());
        }
        let (grave, can_go_back) = kind.get()?;
        let undo = can_go_back.then(|| button("", "Take back", take_back));
        let role = if grave { "alert" } else { "status" };
        Some(
            view! {
                <div>
                    <p role=role>{move || words()}</p>
                    {undo}
                    {named_button("", "Hide", "Hide this line".to_owned(), move || desk.said.set(None))}
                </div>
            }
            .into_any(),
        )
    });
    view! { <section class="said" aria-label="Said last" aria-live="polite">{line}</section> }
}

/// What stays true until something is done about it.
#[component]
pub fn Standing() -> impl IntoView {
    let desk = use_desk();
    let notice = |text: String| view! { <p>{text}</p> };
    let update = shown(move || {
        desk.update.get().then(|| {
            view! {
                <div class="telling">
                    <p>"A new version of Quaywright is ready. What is kept stays; what is half typed comes back."</p>
                    <div class="row">
                        {button("", "Use the new version", shell::take_over)}
                        {button("quiet", "Later", move || desk.update.set(false))}
                    </div>
                </div>
            }
        })
    });
    let watching = shown(move || {
        (desk.phase.get() == Phase::Watching).then(|| {
            view! {
                <div class="telling" role="status">
                    <p>"Quaywright is open in another tab or window. This one only shows; work on in the other, or close it."</p>
                </div>
            }
        })
    });
    let behind = desk.look(view::clock_is_behind);
    let behind =
        shown(move || behind.get().map(|words| view! { <div class="telling grave" role="alert"><p>{words}</p></div> }));
    // The camera may have taken the page's memory while it was open.
    let wanted = shown(move || {
        let about = desk.expected.get()?;
        let subject = desk.book.with(|book| view::subject(book, about))?;
        Some(view! {
            <div class="telling" role="status">
                <p>{format!("A photo of {subject} was wanted when the app closed.")}</p>
                <div class="row">
                    <PhotoButton about full_name=format!("Photo of {subject}") />
                    {button("quiet", "Not needed", move || desk.forget_expected_photo())}
                </div>
            </div>
        })
    });
    let unkept = shown(move || {
        let photo = desk.unkept.get()?;
        let share = photo.can_be_shared().then(|| {
            let photo = photo.clone();
            button("", "Share it now", move || desk.share_unkept(photo.clone()))
        });
        Some(view! {
            <div class="telling grave" role="alert">
                <p>{format!("{} is not kept, and leaves with this page. Text is still kept.", photo.name())}</p>
                <div class="row">
                    {share}
                    {button("", "Save it as a file", move || desk.save_unkept(photo.clone()))}
                    {button("quiet", "Let it go", move || desk.unkept.set(None))}
                </div>
            </div>
        })
    });
    let notices = shown(move || {
        let notices = desk.notices.get();
        (!notices.is_empty()).then(|| {
            view! {
                <div class="telling" role="status">
                    {notices.into_iter().map(notice).collect_view()}
                    <div class="row">
                        {button("", "Read", move || desk.notices.set(Vec::new()))}
                    </div>
                </div>
            }
        })
    });
    view! {
        {watching}
        {update}
        {behind}
        {wanted}
        {unkept}
        {notices}
    }
}
