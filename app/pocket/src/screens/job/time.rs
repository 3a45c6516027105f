//! The time on a job: in all, by activity, by day.

use leptos::prelude::*;
use quaywright_core::id::JobId;
use quaywright_core::view;

use crate::desk::use_desk;
use crate::look::shown;
use crate::screens::now::sentence_case;

/// A job's time; it grows by the minute while the clock runs.
#[component]
pub fn Time(job: JobId) -> impl IntoView {
    let desk = use_desk();
    let estimate = desk.look(move |book, now| view::estimates(book, job, now));
    let estimates = shown(move || {
        let row = |words: String| view! { <li>{words}</li> };
        let rows = estimate.get().into_iter().map(row).collect_view();
        view! { <h2>"What such a job takes"</h2><ul class="list">{rows}</ul> }
    });
    let time = desk.look(move |book, now| (view::job_time(book, job, now), now.day()));
    let times = shown(move || {
        let (time, today) = time.get();
        let by_activity = time.by_activity.into_iter().map(|(activity, length)| {
            view! { <tr><th scope="row">{sentence_case(activity)}</th><td class="figure">{length.clock_face()}</td></tr> }
        });
        let by_day = time.by_day.into_iter().map(|(day, length)| {
            let words = if day == today { "Today".to_owned() } else { view::day_words(day, today) };
            view! { <tr><th scope="row">{words}</th><td class="figure">{length.clock_face()}</td></tr> }
        });
        let billed = time.billed.into_iter().map(|row| {
            view! {
                <tr>
                    <th scope="row">{row.what}</th>
                    <td class="figure">{row.clock}</td>
                    <td class="figure">{row.billed}</td>
                    <td class="figure">{row.difference}</td>
                </tr>
            }
        });
        view! {
            <p class="group"><span class="figure huge">{time.total.clock_face()}</span></p>
            <p>"hours and minutes on this job, "<span class="figure">{time.today.clock_face()}</span>" of them today"</p>
            <h2>"Clock and billed"</h2>
            <table>
                <thead>
                    <tr><th scope="col">"Line"</th><th scope="col">"Clock"</th><th scope="col">"Billed"</th><th scope="col">"More"</th></tr>
                </thead>
                <tbody>{billed.collect_view()}</tbody>
            </table>
            <p class="small">"How a line is billed is said at its story. Pauses are on no job."</p>
            <h2>"By activity"</h2>
            <table><tbody>{by_activity.collect_view()}</tbody></table>
            <h2>"By day"</h2>
            <table><tbody>{by_day.collect_view()}</tbody></table>
        }
    });
    view! { {times}{estimates} }
}
