//! Hand over: close the day, make its documents, see what has left the phone.

use leptos::prelude::*;
use quaywright_core::book::Technician;
use quaywright_core::closing::{self, CarryOver, Missing, forgotten};
use quaywright_core::command::Command;
use quaywright_core::event::{DayTable, Doing};
use quaywright_core::id::JobId;
use quaywright_core::moment::Day;
use quaywright_core::sheet::amended;
use quaywright_core::text::Label;
use quaywright_core::view::{self, Period};

use super::Heading;
use super::document::{Document, message};
use super::reader::reader_fields;
use crate::components::{Field, button, named_button};
use crate::desk::{Desk, Leaf, Paper, Times, use_desk};
use crate::look::{Look, shown};
use crate::platform::photo::{self, FileInput};
use crate::platform::{page, prefs};
use crate::route::{JobPart, Route};

/// The page for one day, today unless another is chosen.
#[component]
pub fn HandOverScreen(day: Option<Day>) -> impl IntoView {
    let desk = use_desk();
    let today = Look::at(move || desk.minute.get().day());
    let day = Look::at(move || day.unwrap_or_else(|| today.get()));
    let leaf = RwSignal::new(prefs::leaf());
    let title = Look::at(move || {
        if day.get() == today.get() { "Hand over today".to_owned() } else { view::day_words(day.get(), today.get()) }
    });
    view! {
        <Heading text=title />
        <div class="beside">
            <div>
                <OtherDays day />
                {changed_since(desk)}
                <StillMissing day />
                <Tomorrow day />
            </div>
            <div>
                <AsWhat leaf />
                <ForTheOffice day leaf />
                <ForTheOwner day leaf />
                <OnlyHere />
                <ThisPhone />
            </div>
        </div>
    }
}

/// The days worked lately, to choose from.
#[component]
fn OtherDays(day: Look<Day>) -> impl IntoView {
    let desk = use_desk();
    let days = desk.look(view::recent_days);
    let choose = move |event| {
        if let Some(day) = Day::parse(&event_target_value(&event)) {
            page::go(&Route::HandOver { day: Some(day) }.fragment());
        }
    };
    let option = move |one: Day| {
        let today = desk.minute.get_untracked().day();
        let words = if one == today { "Today".to_owned() } else { view::day_words(one, today) };
        view! { <option value=one.to_string() selected=move || day.get() == one>{words}</option> }
    };
    view! {
        <label class="group">
            <span class="name">"Day"</span>
            <select on:change=choose>{shown(move || days.get().into_iter().map(option).collect_view())}</select>
        </label>
    }
}

/// The days that were handed over and are others now: each wants its file to leave again.
fn changed_since(desk: Desk) -> AnyView {
    let days = desk.look(view::days_changed_since);
    let row = |row: view::ChangedDay| {
        let changes = row.changes.into_iter().map(|words| view! { <p class="small">{words}</p> }).collect_view();
        let go = Route::HandOver { day: Some(row.day) }.link();
        let words = format!("Hand over {} again", row.words);
        view! { <li><p>{row.about}</p>{changes}<p class="group"><a class="button" href=go>{words}</a></p></li> }
    };
    shown(move || {
        (!days.with(Vec::is_empty)).then(|| {
            let rows = days.get().into_iter().map(row).collect_view();
            view! { <section><h2>"Changed since handed over"</h2><ul class="list">{rows}</ul></section> }
        })
    })
}

/// What the day still needs; nothing here stops anybody.
#[component]
fn StillMissing(day: Look<Day>) -> impl IntoView {
    let desk = use_desk();
    let missing = desk.look(move |book, now| closing::closing(book, day.get(), now).missing);
    let odd = desk.look(move |book, now| {
        let odd = forgotten::forgotten(book, day.get(), now);
        odd.into_iter().map(|proposal| proposal.to_string()).collect::<Vec<_>>()
    });
    let asked = move |words: String| {
        let go = Route::Day(day.get_untracked()).link();
        view! { <li class="row"><p class="grow stop">{words}</p><a class="button" href=go>"Put the day right"</a></li> }
    };
    let asked = shown(move || odd.get().into_iter().map(asked).collect_view());
    let list = shown(move || missing.get().into_iter().map(|one| missing_row(desk, one)).collect_view());
    let none = shown(move || {
        let nothing = missing.with(Vec::is_empty) && odd.with(Vec::is_empty);
        nothing.then(|| view! { <p class="none">"Nothing is missing."</p> })
    });
    view! {
        <section>
            <h2>"Still missing"</h2>
            <ul class="list">{asked}{list}</ul>
            {none}
        </section>
    }
}

fn missing_row(desk: Desk, missing: Missing) -> impl IntoView {
    let part = match missing {
        Missing::StillOff { .. } | Missing::TooMany { .. } | Missing::NotSure { .. } => JobPart::Off,
        Missing::StepsOpen { .. } => JobPart::Steps,
        Missing::Loose { .. } => JobPart::Torque,
        Missing::Claim { .. } => JobPart::Warranty,
        _ => JobPart::Story,
    };
    let stop = matches!(missing, Missing::ClockRunning { .. }).then(|| {
        button("", "Off the clock", move || desk.tell(Command::SwitchClock { to: Doing::Off }, "Off the clock"))
    });
    let go = missing.job().map(|job| view! { <a class="button" href=Route::Job(job, part).link()>"Go there"</a> });
    let stops = matches!(
        missing,
        Missing::StillOff { .. } | Missing::TooMany { .. } | Missing::NotSure { .. } | Missing::Loose { .. }
    );
    let class = if stops { "grow stop" } else { "grow" };
    view! {
        <li class="row">
            <p class=class>{missing.to_string()}</p>
            {stop}
            {go}
        </li>
    }
}

/// What tomorrow starts from.
#[component]
fn Tomorrow(day: Look<Day>) -> impl IntoView {
    let desk = use_desk();
    let carry = desk.look(move |book, now| closing::closing(book, day.get(), now).carry_over);
    let list = shown(move || carry.get().into_iter().map(carry_row).collect_view());
    let none = shown(move || carry.with(Vec::is_empty).then(|| view! { <p class="none">"No job is open."</p> }));
    view! {
        <section>
            <h2>"Tomorrow starts from"</h2>
            <ul class="list">{list}</ul>
            {none}
        </section>
    }
}

fn carry_row(carry: CarryOver) -> impl IntoView {
    let off = carry.off.into_iter().map(|item| view! { <li>{item.to_string()}</li> });
    let off = off.collect::<Vec<_>>();
    let off = (!off.is_empty()).then(|| view! { <p class="stop">"Still off:"</p><ul>{off}</ul> });
    let stands = carry.stands.into_iter().map(|words| view! { <p>{words}</p> }).collect_view();
    let next = carry.next_steps.first().map(|step| view! { <p>"Next: "{step.clone()}</p> });
    let loose = carry.tightening.into_iter().map(|group| view! { <p>{group}</p> }).collect_view();
    let note = carry.last_note.map(|note| view! { <p class="prose">{note}</p> });
    view! {
        <li>
            <p><a class="button" href=Route::Job(carry.job, JobPart::Off).link()>{carry.boat}" · "{carry.title}</a></p>
            {off}
            {stands}
            {next}
            {loose}
            {note}
        </li>
    }
}

/// As what documents are made: as a page, or as PDF on paper of a size.
#[component]
fn AsWhat(leaf: RwSignal<Option<Leaf>>) -> impl IntoView {
    let choose = move |event| {
        leaf.set(Leaf::parse(&event_target_value(&event)));
        prefs::set_leaf(leaf.get_untracked());
    };
    let option = move |(value, words): (Option<Leaf>, &'static str)| {
        let name = value.map(Leaf::words).unwrap_or_default();
        view! { <option value=name selected=move || leaf.get() == value>{words}</option> }
    };
    let forms = [(None, "Page (HTML)"), (Some(Leaf::A4), "PDF, A4"), (Some(Leaf::Letter), "PDF, US Letter")];
    view! {
        <label class="group">
            <span class="name">"Documents as"</span>
            <select on:change=choose>{forms.map(option).collect_view()}</select>
        </label>
    }
}

/// What can leave for the office, in words.
const FOR_THE_OFFICE: [&str; 5] = [
    "the day, to read and to take in",
    "hours as a table (CSV)",
    "clock and billed hours as a table (CSV)",
    "what was put right as a table (CSV)",
    "the day's data alone (JSON)",
];

/// Returns one of [`FOR_THE_OFFICE`].
fn for_the_office(which: usize, day: Day, leaf: Option<Leaf>) -> Paper {
    match (which, leaf) {
        (1, _) => Paper::DayTable(day),
        (2, _) => Paper::Further(day, DayTable::Billing),
        (3, _) => Paper::Further(day, DayTable::Mends),
        (4, _) => Paper::DayJson(day),
        (_, Some(leaf)) => Paper::DayPdf(day, leaf),
        (_, None) => Paper::DayBundle(day),
    }
}

#[component]
fn ForTheOffice(day: Look<Day>, leaf: RwSignal<Option<Leaf>>) -> impl IntoView {
    let desk = use_desk();
    let which = RwSignal::new(0_usize);
    let paper = Look::at(move || for_the_office(which.get(), day.get(), leaf.get()));
    // Which revision the file is it says itself: words and parts count there too, and the book keeps none that left.
    let told = desk.look(move |book, now| {
        amended::changed_since(book, day.get(), now).map(|at| format!("{}, {}", at.day(), view::hour_minute(at)))
    });
    let changed = |at| view! { <p>"What was handed over on "{at}" has changed since: the new file says what."</p> };
    let amends = shown(move || told.get().map(changed));
    let choose = move |event| which.set(event_target_value(&event).parse().unwrap_or_default());
    let option = move |(nth, words): (usize, &'static str)| {
        view! { <option value=nth.to_string() selected=move || which.get() == nth>{words}</option> }
    };
    let options = (0..).zip(FOR_THE_OFFICE).map(option).collect_view();
    let hours = move || Route::Hours(Period::Week, day.get()).link();
    view! {
        <section>
            <h2>"For the office"</h2>
            <p>"One file with the day's hours, parts, stories and photos. The office reads it and takes it in."</p>
            {amends}
            <Document paper name="Make the day's file" big=true />
            <label class="group">
                <span class="name">"What the file holds"</span>
                <select on:change=choose>{options}</select>
            </label>
            <div class="row group">
                <a class="button grow" href=hours>"The week in hours"</a>
                <a class="button grow" href=Route::Rules.link()>"Shop's rules"</a>
            </div>
        </section>
    }
}

#[component]
fn ForTheOwner(day: Look<Day>, leaf: RwSignal<Option<Leaf>>) -> impl IntoView {
    let desk = use_desk();
    // Only what is shown of them: their times grow each minute, and nothing here shall be drawn anew for that.
    let jobs = desk.look(move |book, now| {
        let jobs = view::jobs_for_summary(book, day.get(), now).into_iter();
        jobs.map(|job| (job.id, format!("{} · {}", job.boat, job.title))).collect::<Vec<(JobId, String)>>()
    });
    let chosen: RwSignal<Option<JobId>> = RwSignal::new(None);
    let job = Look::at(move || {
        let first = jobs.with(|jobs| jobs.first().map(|job| job.0));
        chosen.get().filter(|&id| jobs.with(|jobs| jobs.iter().any(|job| job.0 == id))).or(first)
    });
    let of_boat = desk.look(move |book, _| job.get().and_then(|job| view::reader_of(book, job)));
    let choose = move |event| {
        let value = event_target_value(&event);
        chosen.set(jobs.with_untracked(|jobs| jobs.iter().find(|job| job.0.to_string() == value).map(|job| job.0)));
    };
    let option = move |(id, words): (JobId, String)| {
        view! { <option value=id.to_string() selected=move || job.get() == Some(id)>{words}</option> }
    };
    let times = RwSignal::new(prefs::times());
    let set_times = move |_| {
        times.update(|it| *it = if *it == Times::Told { Times::Kept } else { Times::Told });
        prefs::set_times(times.get_untracked());
    };
    let no_more = move || match times.get() {
        Times::Kept => {
            "No times, nobody else's boat; prices only where they were recommended or estimated to the owner."
        }
        Times::Told => "Nobody else's boat; prices only where they were recommended or estimated to the owner.",
    };
    shown(move || {
        if jobs.with(Vec::is_empty) {
            return view! {
                <section>
                    <h2>"For the owner"</h2>
                    <p class="none">"No job yet to tell an owner about."</p>
                </section>
            }
            .into_any();
        }
        let reader = Look::at(move || of_boat.get().map(|it| it.1).unwrap_or_default());
        let paper = Look::at(move || match (job.get(), leaf.get()) {
            (Some(job), Some(leaf)) => Paper::OwnerPdf(job, leaf, reader.get(), times.get()),
            (Some(job), None) => Paper::OwnerSummary(job, reader.get(), times.get()),
            (None, _) => Paper::Backup,
        });
        let boat = Look::at(move || of_boat.get().map(|it| it.0));
        let fields = shown(move || boat.get().map(|boat| reader_fields(desk, boat, reader)));
        let short = shown(move || job.get().map(|job| message(desk, job, reader)));
        view! {
            <section>
                <h2>"For the owner"</h2>
                <label>
                    <span class="name">"Job"</span>
                    <select on:change=choose>{jobs.get().into_iter().map(option).collect_view()}</select>
                </label>
                <p class="group">"One document with all pictures of the job: what was found, done and remains. "{no_more}</p>
                {fields}
                <label class="choice group">
                    <input type="checkbox" prop:checked=move || times.get() == Times::Told on:change=set_times />
                    "Owners see the hours of labour and diagnosis that they pay by the clock"
                </label>
                <Document paper name="Make the work summary" />
                {short}
            </section>
        }
        .into_any()
    })
}

/// Says on the first screen what should still leave the phone.
pub fn still_to_leave() -> AnyView {
    let desk = use_desk();
    // Looked at again when a document was made or left, not at each tap of the clock.
    let handed = Look::at(move || (desk.book.with(|book| book.handovers.records()), desk.minute.get().day()));
    let words = Look::at(move || {
        handed.get();
        let now = desk.minute.get_untracked();
        desk.book.with_untracked(|book| view::still_to_leave(book, now))
    });
    shown(move || {
        let go = Route::HandOver { day: None }.link();
        words.get().map(|words| {
            view! {
                <section class="row group" aria-label="Still to leave this phone">
                    <p class="grow">{words}</p>
                    <a class="button" href=go.clone()>"See what waits"</a>
                </section>
            }
        })
    })
}

/// What exists only on this phone, and the backup.
#[component]
fn OnlyHere() -> impl IntoView {
    let desk = use_desk();
    let state = desk.look(view::backup_state);
    let left = desk.look(view::papers);
    let picked = move |event: leptos::ev::Event| {
        let input: FileInput = event_target(&event);
        desk.bring_back(photo::picked(&input));
    };
    let row = move |row: view::LeftRow| {
        let (class, what) = (if row.waits.is_some() { "small stop" } else { "small" }, row.what.clone());
        let let_go = row.waits.map(|event| {
            let full = format!("Need not leave: {what}");
            let tell = move || desk.tell(Command::Withdraw { event }, format!("{what} need not leave"));
            named_button("quiet", "Need not leave", full, tell)
        });
        view! { <li class="row"><div class="grow"><p>{row.what}</p><p class=class>{row.how}</p></div>{let_go}</li> }
    };
    view! {
        <section>
            <h2>"Only on this phone"</h2>
            <p>{move || state.get()}</p>
            <Document paper=Look::at(|| Paper::Backup) name="Make a backup" />
            <p class="group">
                <label class="file">
                    "Bring back a backup"
                    <input class="away" type="file" aria-label="Bring back a backup" on:change=picked />
                </label>
            </p>
            <p class="small">"A job's file from a colleague is taken in the same way: it joins what is here."</p>
            <h2>"What left, and what has not"</h2>
            <p class="small">"A document that was made and has not left must be made again to send it; the file itself is not kept."</p>
            <ul class="list">{shown(move || left.get().into_iter().map(row).collect_view())}</ul>
            {shown(move || left.with(Vec::is_empty).then(|| view! { <p class="none">"Nothing yet."</p> }))}
        </section>
    }
}

/// Who works here, and what this phone shall do.
#[component]
fn ThisPhone() -> impl IntoView {
    let desk = use_desk();
    let technician = Look::at(move || desk.book.with(|book| book.technician.clone()));
    let (name, shop) = (RwSignal::new(String::new()), RwSignal::new(String::new()));
    // A backup may bring names in while this is shown; what is being typed stays.
    Effect::new(move |before: Option<Technician>| {
        let before = before.unwrap_or_default();
        let known = technician.get();
        for (field, old, new) in [(name, &before.name, &known.name), (shop, &before.shop, &known.shop)] {
            if field.get_untracked() == old.as_str() {
                field.set(new.to_string());
            }
        }
        known
    });
    let keep = Callback::new(move |_: String| {
        let (name, shop) = (Label::new(&name.get_untracked()), Label::new(&shop.get_untracked()));
        desk.tell(Command::NameTechnician { name, shop }, "Name kept");
    });
    let position = RwSignal::new(prefs::keeps_position());
    let set_position = move |_| {
        position.update(|on| *on = !*on);
        prefs::keep_position(position.get_untracked());
    };
    let set_office = move |_| {
        desk.office.update(|on| *on = !*on);
        prefs::set_office(desk.office.get_untracked());
    };
    view! {
        <section>
            <h2>"This phone"</h2>
            <div class="stack">
                <Field name="Your name, as documents show it" value=name on_left=keep />
                <Field name="Shop" value=shop on_left=keep />
            </div>
            <label class="choice group">
                <input type="checkbox" prop:checked=move || position.get() on:change=set_position />
                "Keep the place where a photo was taken"
            </label>
            <label class="choice group">
                <input type="checkbox" prop:checked=move || desk.office.get() on:change=set_office />
                "This is the office: show its page among the places"
            </label>
        </section>
    }
}
