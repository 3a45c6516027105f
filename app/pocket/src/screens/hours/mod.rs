//! A day, a week or a month at a glance.

mod chart;

use leptos::prelude::*;
use quaywright_core::hours::LOCAL_LAW;
use quaywright_core::moment::{Day, Length};
use quaywright_core::view::{self, BilledRow, HoursCard, Kind, Period, WeekRow};

use super::Heading;
use super::now::sentence_case;
use crate::desk::{sentence, use_desk};
use crate::look::{Look, shown};
use crate::route::Route;

/// What the time went on, and what it comes to.
#[component]
pub fn HoursScreen(period: Period, day: Day) -> impl IntoView {
    let desk = use_desk();
    let card = desk.look(move |book, now| view::hours_card(book, period, day, now));
    let title = Look::at(move || card.with(|card| card.title.clone()));
    let worked = move || card.with(|card| (card.sums[0] + card.sums[1]).clock_face());
    let link = move |one: Period| {
        let current = (one == period).then_some("true");
        view! {
            <a class="button" href=Route::Hours(one, day).link() aria-current=current>{capital(one.words())}</a>
        }
    };
    view! {
        <Heading text=title />
        <nav class="choices" aria-label="How much is looked at">{Period::ALL.map(link).collect_view()}</nav>
        <p class="group"><span class="figure huge">{worked}</span></p>
        <p>"hours and minutes of work"</p>
        <div class="beside">
            <section>
                {shown(move || card.with(|card| view! { <figure class="group">{chart::days(&card.days)}</figure> }))}
                {shown(move || kinds(card.with(|card| card.sums)))}
                {shown(move || card.with(|card| card.lost.clone()).map(|words| view! { <p class="group">{words}</p> }))}
                {day_by_day(card)}
            </section>
            <section>
                {shown(move || card.with(activities))}
                {shown(move || weeks(card.with(|card| card.weeks.clone())))}
                {shown(move || pays(card.with(|card| card.pays.clone())))}
            </section>
        </div>
        {beside(period, card)}
        <p class="group"><a class="button" href=Route::Rules.link()>"Shop's rules"</a></p>
    }
}

/// The way to the one before and the one after.
fn beside(period: Period, card: Look<HoursCard>) -> AnyView {
    let ways = Look::at(move || card.with(|card| (card.before, card.after)));
    let to = move |day: Option<Day>, words: &str| {
        let words = format!("The {} {words}", period.words());
        day.map(|day| view! { <a class="button grow" href=Route::Hours(period, day).link()>{words}</a> })
    };
    shown(move || {
        let (before, after) = ways.get();
        view! { <div class="row group">{to(before, "before")}{to(after, "after")}</div> }
    })
}

/// What the bars stand for, and how much of each there was.
fn kinds(sums: [Length; 4]) -> AnyView {
    let row = |kind: Kind| {
        view! {
            <tr>
                <th scope="row">{chart::swatch(kind)}" "{capital(kind.words())}</th>
                <td class="figure">{sums[kind as usize].clock_face()}</td>
            </tr>
        }
    };
    view! { <table><tbody>{Kind::ALL.map(row).collect_view()}</tbody></table> }.into_any()
}

/// The figures behind the bars; a day leads to where it can be put right.
fn day_by_day(card: Look<HoursCard>) -> AnyView {
    // A row stays while its time grows, and with it the focus.
    let days = Look::at(move || {
        let with_time = |bar: &&view::DayBar| bar.whole() > Length::ZERO;
        card.with(|card| card.days.iter().filter(with_time).map(|bar| (bar.day, bar.words.clone())).collect::<Vec<_>>())
    });
    let cell = move |day: Day, nth: usize| {
        let face = move || {
            let length = card.with(|card| card.days.iter().find(|bar| bar.day == day).map(|bar| bar.parts[nth]));
            length.filter(|&length| length > Length::ZERO).map(Length::clock_face).unwrap_or_default()
        };
        view! { <td class="figure">{face}</td> }
    };
    let row = move |(day, words): (Day, String)| {
        view! {
            <tr>
                <th scope="row"><a class="cell" href=Route::Day(day).link()>{words}</a></th>
                {[0, 1, 2, 3].map(|nth| cell(day, nth)).collect_view()}
            </tr>
        }
    };
    let table = move || {
        let head = ["Day", "Billed", "Not billed", "Pauses", "Lost"];
        let head = head.map(|words| view! { <th scope="col">{words}</th> }).collect_view();
        view! {
            <h2>"Day by day"</h2>
            <table class="figures">
                <thead><tr>{head}</tr></thead>
                <tbody><For each=move || days.get() key=|row| row.clone() children=row /></tbody>
            </table>
        }
    };
    let is_empty = Look::at(move || days.with(Vec::is_empty));
    shown(move || match is_empty.get() {
        true => view! { <p class="none">"Nothing was said of these days."</p> }.into_any(),
        false => table().into_any(),
    })
}

fn activities(card: &HoursCard) -> AnyView {
    let longest = card.activities.iter().map(|&(_, length)| length).max().unwrap_or_default();
    let row = |&(activity, length): &(quaywright_core::event::Activity, Length)| {
        view! {
            <tr>
                <th scope="row">{sentence_case(activity)}{chart::bar(length, longest)}</th>
                <td class="figure">{length.clock_face()}</td>
            </tr>
        }
    };
    let rows = card.activities.iter().map(row).collect_view();
    (!card.activities.is_empty())
        .then(|| view! { <h2>"By activity"</h2><table><tbody>{rows}</tbody></table> })
        .into_any()
}

fn weeks(rows: Vec<WeekRow>) -> AnyView {
    let row = |row: WeekRow| {
        let figures = [row.counted, row.paid, row.overtime, row.double];
        let figures = figures.map(|figure| view! { <td class="figure">{figure}</td> }).collect_view();
        view! { <tr><th scope="row">{row.words}</th>{figures}</tr> }
    };
    let head = ["Week from", "Counted", "Paid", "Overtime", "Double"];
    let head = head.map(|words| view! { <th scope="col">{words}</th> }).collect_view();
    (!rows.is_empty())
        .then(|| {
            view! {
                <h2>"Pay, by workweek"</h2>
                <table class="figures">
                    <thead><tr>{head}</tr></thead>
                    <tbody>{rows.into_iter().map(row).collect_view()}</tbody>
                </table>
                <p class="small">
                    "Counted are short pauses too, meal periods are not. Paid is the same with starts and stops rounded; \
                     overtime and double time are part of it."
                </p>
                <p class="small">{LOCAL_LAW}</p>
            }
        })
        .into_any()
}

fn pays(rows: Vec<BilledRow>) -> AnyView {
    let row = |row: BilledRow| {
        let figures = [row.clock, row.billed, row.difference];
        let figures = figures.map(|figure| view! { <td class="figure">{figure}</td> }).collect_view();
        view! { <tr><th scope="row">{capital(&row.what)}</th>{figures}</tr> }
    };
    let head = ["Who pays", "Clock", "Billed", "More"];
    let head = head.map(|words| view! { <th scope="col">{words}</th> }).collect_view();
    (!rows.is_empty())
        .then(|| {
            view! {
                <h2>"Clock and billed"</h2>
                <table class="figures">
                    <thead><tr>{head}</tr></thead>
                    <tbody>{rows.into_iter().map(row).collect_view()}</tbody>
                </table>
                <p class="small">"Of the jobs worked on, over all their days: a line is billed as a whole."</p>
            }
        })
        .into_any()
}

fn capital(words: &str) -> String {
    sentence(words).trim_end_matches('.').to_owned()
}
