//! The office: days in, bills, hours and pay out.
//!
//! What is asked is done in a worker on a store of its own; this page only shows. Its
//! words are those of the office's command, so the one explains the other.

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::exchange::html::looking::IN_APP;
use quaywright_core::looking::Asked;
use quaywright_core::moment::Day;
use quaywright_core::text::Label;
use quaywright_core::view::RuleChoice;
use quaywright_desk::forms::Form;
use quaywright_desk::pay::PayRules;
use quaywright_desk::wire::Ask;

use super::heading;
use crate::components::{Field, button, named_button};
use crate::desk::office::{ANSWER, AtOffice, Holds, Made};
use crate::desk::{Desk, use_desk};
use crate::look::{Look, shown};
use crate::platform::office::{allow_drop, dropped, picked};
use crate::platform::page;
use crate::platform::photo::FileInput;
use crate::route::Route;

/// The office page.
#[component]
pub fn OfficeScreen() -> impl IntoView {
    let desk = use_desk();
    let office = desk.at_office();
    // The way below this page says what is looked at; nothing is, where there is none.
    let asked = Look::at(move || {
        desk.route.get();
        page::fragment().trim_start_matches("/office").trim_start_matches('/').to_owned()
    });
    let told = RwSignal::new(String::new());
    Effect::new(move || {
        let (address, is_busy) = (asked.get(), office.busy.with(Option::is_some));
        if !is_busy && told.get_untracked() != address {
            told.set(address.clone());
            office.looked_at.set(None);
            if !address.is_empty() {
                office.look(address);
            }
        }
    });
    let below = shown(move || match (office.damaged.get(), asked.with(String::is_empty)) {
        (true, _) => damaged(office),
        (false, true) => work(desk, office),
        (false, false) => looked_at(office),
    });
    let drop_here = move |event: leptos::ev::DragEvent| {
        let files = dropped(&event);
        spawn_local(async move { office.take_in(files.await) });
    };
    view! {
        <div on:dragover=move |event| allow_drop(&event) on:drop=drop_here>
            {heading("Office")}
            <p>{move || standing(office)}</p>
            <section id=ANSWER tabindex="-1" aria-label="Answer">{at_work(office)}{report(office)}</section>
            {below}
        </div>
    }
}

/// What the office does.
fn work(desk: Desk, office: AtOffice) -> AnyView {
    view! {
        {find(office)}
        <div class="beside">
            <div>{days_in(office)}</div>
            <div>
                {bills(office)}
                {gone_out(desk, office)}
                {hours(desk, office)}
                {pay(desk, office)}
            </div>
        </div>
    }
    .into_any()
}

/// A store that is damaged: its files to save, and then the way on.
fn damaged(office: AtOffice) -> AnyView {
    let rescue = move || office.ask("Reading what is there …", Ask::Rescue, Vec::new());
    let are_saved = Look::at(move || office.files.with(|files| !files.is_empty() && files.iter().all(|it| it.saved)));
    let anew = move || office.ask("Beginning anew …", Ask::BeginAnew, Vec::new());
    let way_on = shown(move || {
        are_saved.get().then(|| {
            view! {
                <p class="group">"Begin with an empty store and take the days in again: the damaged one stays where it is, and nothing reads or changes it. The new one does not know what went out: before the first export, tell by the saved tables which jobs were billed."</p>
                <p class="group">{button("", "Begin anew beside it", anew)}</p>
            }
        })
    });
    view! {
        <section>
            <h2>"The store is damaged"</h2>
            <p>"Nothing in it was changed. Save its files first: whoever can read them finds in them what is still whole."</p>
            <p class="group">{button("big", "Save what is there", rescue)}</p>
            {way_on}
        </section>
    }
    .into_any()
}

/// What the office looks at: the ways to it, and words that are looked for.
fn find(office: AtOffice) -> AnyView {
    let words = RwSignal::new(String::new());
    let go = move || {
        let asked = Asked::Find(Label::new(&words.get_untracked()));
        page::go(&format!("{}/{asked}", Route::Office.fragment()));
    };
    let place = |(words, asked): (&'static str, Asked)| {
        view! { <a class="button" href=format!("{IN_APP}{asked}")>{words}</a> }
    };
    shown(move || {
        office.holds.get().is_some_and(|holds| holds.files > 0).then(|| {
            view! {
                <nav class="row group" aria-label="Look at">
                    {Asked::places().map(place).collect_view()}
                </nav>
                <div class="stack group">
                    <Field name="Words in any boat's story, all of which must occur" value=words />
                    {button("", "Find", go)}
                </div>
            }
        })
    })
}

/// What is looked at, and the way back, also where there was nothing to see.
fn looked_at(office: AtOffice) -> AnyView {
    let answer = shown(move || {
        office.looked_at.get().map(|(title, elements)| {
            // Made by the worker, which escapes all that a person typed.
            let name = title.clone();
            view! {
                <section aria-label=name>
                    <h2>{title}</h2>
                    <div class="answer" inner_html=elements></div>
                </section>
            }
        })
    });
    view! {
        <p class="group"><a class="button" href=Route::Office.link()>"Days in, bills and pay"</a></p>
        {answer}
    }
    .into_any()
}

fn standing(office: AtOffice) -> String {
    match office.holds.get() {
        Some(known) => holds(known),
        None if office.busy.with(Option::is_some) => "Opening the store …".to_owned(),
        None if office.damaged.get() => "The store is not open: a part of it is damaged.".to_owned(),
        None => "The store is not open. What keeps it is said below; then open this page again.".to_owned(),
    }
}

fn holds(holds: Holds) -> String {
    let counted = |count: usize, one: &str| if count == 1 { format!("1 {one}") } else { format!("{count} {one}s") };
    match holds.files {
        0 => "Nothing is taken in yet. Pick the files that came from the phones, or drop them on this page.".to_owned(),
        files => {
            let who = counted(holds.technicians, "technician");
            let are = if files == 1 { "is" } else { "are" };
            format!("{} of {who} {are} kept in this browser.", counted(files, "file"))
        }
    }
}

/// What is under way, with a way to stop it.
fn at_work(office: AtOffice) -> AnyView {
    let is_busy = Look::at(move || office.busy.with(Option::is_some));
    let looked = move || match office.looked.get() {
        0 => String::new(),
        count => format!(" {count} looked at."),
    };
    shown(move || {
        is_busy.get().then(|| {
            view! {
                <div class="row group">
                    <p class="grow">{move || office.busy.get()}{looked}</p>
                    {button("", "Stop", move || office.stop())}
                </div>
            }
        })
    })
}

/// What was said last, what is wrong, and files to save.
fn report(office: AtOffice) -> AnyView {
    let file = move |nth: usize, made: &Made, of: usize| {
        let name = made.ready.name();
        let is = if made.saved { "is saved" } else { "is ready" };
        // One alone needs no name on its button.
        let save = match of {
            1 => button("big", "Save", move || office.save(nth)),
            _ => named_button("big", "Save", format!("Save {name}"), move || office.save(nth)),
        };
        view! {
            <div class="row group">
                <p class="grow" role="status">{format!("{name} {is}.")}</p>
                {save}
            </div>
        }
    };
    let files = shown(move || {
        office
            .files
            .with(|files| files.iter().enumerate().map(|(nth, made)| file(nth, made, files.len())).collect_view())
    });
    let lines = |text: &str| {
        text.lines().map(|line| view! { <li><p class="stop">{line.to_owned()}</p></li> }).collect::<Vec<_>>()
    };
    let wrong = shown(move || {
        office.wrong.with(|wrong| {
            (!wrong.is_empty()).then(|| view! { <h2>"To look at"</h2><ul class="list">{lines(wrong)}</ul> })
        })
    });
    let said = shown(move || {
        office
            .said
            .with(|said| (!said.is_empty()).then(|| view! { <p class="prose group" role="status">{said.clone()}</p> }))
    });
    view! { {files}{said}{wrong} }.into_any()
}

/// Files in.
fn days_in(office: AtOffice) -> AnyView {
    let pick = move |event: leptos::ev::Event| {
        let input: FileInput = event_target(&event);
        office.take_in(picked(&input));
    };
    view! {
        <section>
            <h2>"Days in"</h2>
            <p>"Day files (PDF, page or JSON), backups and zip files, in any order and twice if need be: nothing is counted twice. Drop files or whole folders anywhere on this page."</p>
            <p class="row group">
                <label class="file">
                    "Pick files"
                    <input class="away" type="file" multiple aria-label="Pick files" on:change=pick />
                </label>
                <label class="file">
                    "Pick a folder"
                    <input class="away" type="file" prop:webkitdirectory=true aria-label="Pick a folder" on:change=pick />
                </label>
            </p>
            <p class="small">"They are kept in this browser, on this device. Keep the files too: taken in elsewhere they come to the same."</p>
        </section>
    }
    .into_any()
}

/// Bills, and what of them goes out.
fn bills(office: AtOffice) -> AnyView {
    let (open, all) = (RwSignal::new(false), RwSignal::new(false));
    let pick = move |event: leptos::ev::Event| {
        let input: FileInput = event_target(&event);
        office.take_prices(picked(&input));
    };
    let prices = move || match office.prices.get() {
        name if name.is_empty() => "No price list yet: choose the shop's file.".to_owned(),
        name => format!("By {name}."),
    };
    let left = Callback::new(move |typed: String| office.ask("Keeping the columns …", Ask::Columns, typed.into()));
    let show = move || {
        let ask = Ask::Bill { open: open.get_untracked(), all: all.get_untracked() };
        office.ask("Working out the bills …", ask, Vec::new());
    };
    let export =
        move || office.ask("Working out what goes out …", Ask::Export { open: open.get_untracked() }, Vec::new());
    view! {
        <section>
            <h2>"Bills"</h2>
            <p>{prices}</p>
            <p class="row group">
                <label class="file">
                    "Choose the price list"
                    <input class="away" type="file" aria-label="Choose the price list" on:change=pick />
                </label>
                {what_it_is_like(office, "What a price list is like", Form::Prices)}
            </p>
            {choice("Open jobs too", open)}
            {choice("Show those too that have nothing more to bill", all)}
            <div class="stack group">
                {button("", "Show the bills", show)}
                {button("big", "Export what did not go out yet", export)}
                <Field name="Columns of the table" value=office.columns on_left=left />
                <p class="small">"As Head=field,Head=field; where nothing is written, every field is a column."</p>
                {what_it_is_like(office, "Which fields there are", Form::Columns)}
            </div>
        </section>
    }
    .into_any()
}

/// A button that tells what the shop's own file is like, and hands out one to begin with.
fn what_it_is_like(office: AtOffice, words: &'static str, form: Form) -> impl IntoView {
    button("", words, move || office.ask("Fetching it …", Ask::Form(form), Vec::new()))
}

fn choice(words: &'static str, on: RwSignal<bool>) -> impl IntoView {
    view! {
        <label class="choice group">
            <input type="checkbox" prop:checked=move || on.get() on:change=move |_| on.update(|on| *on = !*on) />
            {words}
        </label>
    }
}

/// What went out: an export once more, and drafts of invoices of it.
fn gone_out(desk: Desk, office: AtOffice) -> AnyView {
    let number = RwSignal::new(String::new());
    let last = Look::at(move || office.holds.get().map_or(0, |holds| holds.exports));
    Effect::new(move || number.set(last.get().to_string()));
    let issued = RwSignal::new(desk.minute.with_untracked(|now| now.day().to_string()));
    let no_number = move || desk.complain("Write the number of an export, such as 1.");
    let again = move || match number.get_untracked().trim().parse() {
        Ok(number) => office.ask("Fetching it …", Ask::Again(number), Vec::new()),
        Err(_) => no_number(),
    };
    let drafts = move || match (number.get_untracked().trim().parse(), Day::parse(issued.get_untracked().trim())) {
        (Ok(number), Some(issued)) => office.make_drafts(number, issued),
        (Err(_), _) => no_number(),
        (_, None) => desk.complain("Write a day as 2026-05-31."),
    };
    let pick = move |event: leptos::ev::Event| {
        let input: FileInput = event_target(&event);
        office.take_parties(picked(&input));
    };
    let parties = move || match office.parties.get() {
        name if name.is_empty() => {
            "Drafts of invoices need the list of who sells and who buys: choose the file.".to_owned()
        }
        name => format!("Who sells and who buys: {name}."),
    };
    shown(move || {
        (last.get() > 0).then(|| {
            view! {
                <section>
                    <h2>"What went out"</h2>
                    <div class="stack">
                        <Field name="Number of an export" value=number keyboard="numeric" />
                        {button("", "Write the export again", again)}
                    </div>
                    <p>{parties}</p>
                    <p class="row group">
                        <label class="file">
                            "Choose who sells and who buys"
                            <input class="away" type="file" aria-label="Choose who sells and who buys" on:change=pick />
                        </label>
                        {what_it_is_like(office, "What that file is like", Form::Parties)}
                    </p>
                    <div class="stack group">
                        <Field name="Day that the drafts bear" value=issued />
                        {button("", "Make drafts of invoices", drafts)}
                    </div>
                    <p class="small">"One file with two drafts of each invoice: XML for accounting programs (UBL 2.1, EN 16931-1), and a PDF with it inside. They are numbered by the export: the accounting program gives invoices their numbers."</p>
                </section>
            }
        })
    })
}

/// The first and the last day of what is asked for, as they are typed.
#[derive(Clone, Copy)]
struct AskedDays {
    from: RwSignal<String>,
    to: RwSignal<String>,
}

impl AskedDays {
    fn new() -> Self {
        Self { from: RwSignal::new(String::new()), to: RwSignal::new(String::new()) }
    }

    /// Returns both days, each of which may be left out; what is no day is told.
    fn typed(self, desk: Desk) -> Option<(Option<Day>, Option<Day>)> {
        let day = |text: String| if text.trim().is_empty() { Some(None) } else { Day::parse(text.trim()).map(Some) };
        let days = day(self.from.get_untracked()).zip(day(self.to.get_untracked()));
        if days.is_none() {
            desk.complain("Write a day as 2026-05-04, or leave it empty.");
        }
        days
    }

    fn fields(self, first: &'static str, last: &'static str) -> impl IntoView {
        view! {
            <Field name=first value=self.from />
            <Field name=last value=self.to />
            <p class="small">"Days as 2026-05-04; where nothing is written, from the beginning or to the end."</p>
        }
    }
}

/// Hours by customer.
fn hours(desk: Desk, office: AtOffice) -> AnyView {
    let days = AskedDays::new();
    let ask = move || {
        if let Some((from, to)) = days.typed(desk) {
            office.ask("Adding up the hours …", Ask::Hours { from, to }, Vec::new());
        }
    };
    view! {
        <section>
            <h2>"Hours by customer"</h2>
            <div class="stack">
                {days.fields("First day", "Last day")}
                {button("", "Make the table of hours", ask)}
            </div>
        </section>
    }
    .into_any()
}

/// Weeks for payroll.
fn pay(desk: Desk, office: AtOffice) -> AnyView {
    let days = AskedDays::new();
    let text = || RwSignal::new(String::new());
    let (week, weekly, daily, double, rounding) = (text(), text(), text(), text(), text());
    // What was typed and is not kept yet stays when the store is opened once more.
    let kept = Look::at(move || office.pay.get());
    Effect::new(move || {
        let PayRules { week_begins, weekly: of_week, daily: of_day, double: doubled, rounding: rounded } = kept.get();
        let fields = [(week, week_begins), (weekly, of_week), (daily, of_day), (double, doubled), (rounding, rounded)];
        fields.into_iter().for_each(|(field, kept)| field.set(kept.unwrap_or_default()));
    });
    let typed = move |field: RwSignal<String>| Some(field.get_untracked()).filter(|text| !text.trim().is_empty());
    let ask = move || {
        let rules = PayRules {
            week_begins: typed(week),
            weekly: typed(weekly),
            daily: typed(daily),
            double: typed(double),
            rounding: typed(rounding),
        };
        if let Some((from, to)) = days.typed(desk) {
            office.ask("Adding up the weeks …", Ask::Pay { from, to }, rules.lines().into_bytes());
        }
    };
    let option = |words: &'static str| {
        view! { <option value=words prop:selected=move || rounding.with(|it| it == words)>{words}</option> }
    };
    view! {
        <section>
            <h2>"Payroll"</h2>
            <p>"Each technician's workdays and workweeks with overtime, by the shop's rules as they are on that technician's phone. What is written here holds for everybody in their place; which rules held is told. Making the table keeps it for the next time."</p>
            <div class="stack">
                {days.fields("First day of payroll", "Last day of payroll")}
                <p class="small">"Each workweek that holds one of these days is told whole, since overtime is by the week."</p>
                <Field name="Workweek begins, such as Sunday 06:00" value=week />
                <Field name="Overtime after so many hours of a week" value=weekly keyboard="decimal" />
                <Field name="Overtime after so many hours of a day" value=daily keyboard="decimal" />
                <Field name="Double time after so many hours of a day" value=double keyboard="decimal" />
                <label>
                    <span class="name">{RuleChoice::Pay.name()}</span>
                    <select on:change=move |event| rounding.set(event_target_value(&event))>
                        <option value="" prop:selected=move || rounding.with(String::is_empty)>"as on the phones"</option>
                        {RuleChoice::Pay.offered().iter().copied().map(option).collect_view()}
                    </select>
                </label>
                {button("", "Make the table for payroll", ask)}
            </div>
        </section>
    }
    .into_any()
}
