//! A document, from asking for it to its leaving.
//!
//! It is made, then offered: shared, saved, looked at. Where the share sheet does not
//! take it, why is said and the next best form stands there at once: the page for the
//! PDF and the PDF for the page where this browser takes that, a message for an owner,
//! the file itself to be saved. Photos that are too much for one PDF are a choice.

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::event::Reader;
use quaywright_core::id::JobId;
use quaywright_papers::wire::{PHOTO_BYTES, SHARED_BYTES};

use crate::components::{button, named_button};
use crate::desk::{Amount, Desk, Made, Outcome, Paper, TooMuch, use_desk};
use crate::look::{Look, shown};
use crate::platform::prefs;
use crate::platform::share::{Refusal, takes};

/// Makes a document, then shares or saves it.
#[component]
pub(super) fn Document(paper: Look<Paper>, name: &'static str, #[prop(optional)] big: bool) -> impl IntoView {
    let progress = Progress::new(use_desk(), paper);
    let class = if big { "big" } else { "" };
    let offer = shown(move || match (progress.making.get(), progress.made.get(), progress.too_much.get()) {
        (true, ..) => view! { <p class="busy">"Making it …"</p> }.into_any(),
        (false, Some(made), _) => leave(progress, made),
        (false, None, Some(much)) => too_many_photos(progress, much),
        (false, None, None) => {
            let make = move || progress.make(progress.paper.get_untracked(), Amount::AsItIs);
            view! { <p class="group">{button(class, name, make)}</p> }.into_any()
        }
    });
    view! { <div>{offer}</div> }
}

/// How far a document is.
#[derive(Clone, Copy)]
struct Progress {
    desk: Desk,
    /// What the screen is to make.
    paper: Look<Paper>,
    /// What was asked for last: that, or its other form.
    asked: RwSignal<Option<Paper>>,
    making: RwSignal<bool>,
    too_much: RwSignal<Option<TooMuch>>,
    made: RwSignal<Option<Made>, LocalStorage>,
}

impl Progress {
    fn new(desk: Desk, paper: Look<Paper>) -> Self {
        let (asked, making, too_much) = (RwSignal::new(None), RwSignal::new(false), RwSignal::new(None));
        let it = Self { desk, paper, asked, making, too_much, made: RwSignal::new_local(None) };
        // A file that was made before the choice or the book changed is not offered any more;
        // that it was made or left changes nothing in it.
        let entries = Look::at(move || desk.book.with(|book| book.records().saturating_sub(book.handovers.records())));
        Effect::new(move || {
            // A look that nobody reads is not taken again.
            let _ = (paper.get(), entries.get());
            it.made.set(None);
            it.too_much.set(None);
        });
        it
    }

    fn make(self, wanted: Paper, amount: Amount) {
        spawn_local(async move {
            self.making.set(true);
            let done = self.desk.make(wanted, amount).await;
            self.making.set(false);
            self.asked.set(Some(wanted));
            self.too_much.set(if let Outcome::TooMuch(much) = done { Some(much) } else { None });
            self.made.set(if let Outcome::Made(made) = done { Some(made) } else { None });
        });
    }

    /// Opens the share sheet for the nth file; straight from a tap.
    fn share(self, nth: usize, on_refusal: Callback<Refusal>) {
        if let Some(made) = self.made.get_untracked() {
            self.desk.share(made, nth, on_refusal);
        }
    }

    fn has_left(self, nth: usize) -> bool {
        self.made.with(|made| made.as_ref().is_some_and(|made| made.has_left(nth)))
    }

    /// Returns what was asked for last.
    fn asked(self) -> Paper {
        self.asked.get_untracked().unwrap_or_else(|| self.paper.get_untracked())
    }
}

/// Lets a person choose what becomes of photos that are too much for one PDF.
fn too_many_photos(progress: Progress, much: TooMuch) -> AnyView {
    let said = format!("The photos come to {}, more than one PDF takes.", size_words(much.bytes));
    let (parts, smaller) = (much.parts, Amount::Smaller { bytes: much.bytes, most: PHOTO_BYTES });
    let make = move |amount| move || progress.make(progress.asked(), amount);
    let page = move || progress.make(progress.asked().as_page(), Amount::AsItIs);
    view! {
        <div class="stack group" role="group" aria-label="Too many photos for one PDF">
            <p role="status">{said}</p>
            {button("big", "PDF with smaller photos", make(smaller))}
            <p class="small">"All are in it, less sharp. The whole photos stay on this phone; an office that takes the day in from it does not get them."</p>
            {button("", format!("{parts} PDFs with whole photos"), make(Amount::Several(much)))}
            <p class="small">"Everything stands in the first, with as many photos as it takes; the others hold the other photos. Each leaves by itself, and the office takes in all of them."</p>
            {button("", "Page with whole photos", page)}
            <p class="small">"One HTML page has room for all of them as they are, and the office can take it in."</p>
        </div>
    }
    .into_any()
}

/// Offers a document's files to leave.
fn leave(progress: Progress, made: Made) -> AnyView {
    let several = (made.files.len() > 1).then(|| {
        let words = format!("{} files, one document together: it has left when all of them have.", made.files.len());
        view! { <p role="status">{words}</p> }
    });
    let fault = |words: &String| view! { <p class="stop">{words.clone()}</p> };
    let faults = made.faults.iter().map(fault).collect_view();
    let files = (0..made.files.len()).map(|nth| leave_one(progress, &made, nth)).collect_view();
    let again = button("quiet", "Make it anew", move || progress.made.set(None));
    view! { <div class="stack group">{several}{faults}{files}<div class="row">{again}</div></div> }.into_any()
}

/// Offers one file of a document.
fn leave_one(progress: Progress, made: &Made, nth: usize) -> AnyView {
    let Some(file) = made.files.get(nth).cloned() else { return ().into_any() };
    let desk = progress.desk;
    let refused: RwSignal<Option<Refusal>> = RwSignal::new(file.refusal());
    let on_refusal = Callback::new(move |why| refused.set(Some(why)));
    let (saving, seen) = (made.clone(), file.clone());
    // Several files have buttons of the same words: their names tell them apart.
    let several = made.files.len() > 1;
    let (name, bytes) = (file.name(), file.bytes() as u64);
    let size = size_words(bytes);
    let full = move |words: &str| if several { format!("{words}: {name}") } else { words.to_owned() };
    let (share_name, save_name, look_name) = (full("Share"), full("Save"), full("Look at it"));
    let share = shown(move || {
        let may = refused.with(|why| why.as_ref().is_none_or(Refusal::may_pass));
        let (name, share) = (share_name.clone(), move || progress.share(nth, on_refusal));
        may.then(|| named_button("big", "Share", name, share))
    });
    let instead = shown(move || refused.get().map(|why| next_best(progress, &why, bytes)));
    // The office's tables and a backup are for programs; a page or a PDF is worth a look before it leaves.
    let is_seen = [".html", ".pdf"].iter().any(|end| file.name().ends_with(end));
    let look = is_seen.then(|| named_button("grow", "Look at it", look_name, move || desk.look_at(&seen)));
    let left =
        shown(move || (several && progress.has_left(nth)).then(|| view! { <p class="small">"It has left."</p> }));
    view! {
        <p role="status">{format!("{} is ready, {size}.", file.name())}</p>
        {left}
        {share}
        {instead}
        <div class="row">
            {look}
            {named_button("grow", "Save", save_name, move || desk.download(saving.clone(), nth))}
        </div>
    }
    .into_any()
}

/// Offers what may leave where a file does not: its other form, a message, the file saved.
fn next_best(progress: Progress, why: &Refusal, bytes: u64) -> AnyView {
    let asked = progress.asked();
    let other = asked.in_other_form(prefs::leaf().unwrap_or_default()).filter(|other| takes(other.media_type()));
    // A page is larger than the same as PDF, since its photos are written as text.
    let other = other.filter(|other| *why != Refusal::Size || other.media_type() == "application/pdf");
    let words =
        other.map(|other| if other.media_type() == "text/html" { "Make it as a page" } else { "Make it as a PDF" });
    let other =
        other.zip(words).map(|(other, words)| button("big", words, move || progress.make(other, Amount::AsItIs)));
    let is_pdf = asked.media_type() == "application/pdf";
    let smaller = (*why == Refusal::Size && is_pdf).then(|| {
        let amount = Amount::Smaller { bytes, most: SHARED_BYTES };
        button("big", "PDF with smaller photos", move || progress.make(asked, amount))
    });
    let message = match asked {
        Paper::OwnerSummary(job, reader, _) | Paper::OwnerPdf(job, _, reader, _) => {
            Some(message(progress.desk, job, Look::at(move || reader)))
        }
        _ => None,
    };
    view! {
        <div class="stack" role="group" aria-label="Another way to send it">
            <p class="stop">{why.words()}" It has not left this phone."</p>
            {smaller}
            {other}
            {message}
            <p class="small">"Or save the file here and send it with another app."</p>
        </div>
    }
    .into_any()
}

/// Returns a size in words; whole numbers, because writing fractions is a large part of a program.
fn size_words(bytes: u64) -> String {
    let tenths = bytes.div_ceil(100_000);
    match tenths {
        0..10 => format!("{} kB", bytes.div_ceil(1_000)),
        _ if tenths.is_multiple_of(10) => format!("{} MB", tenths / 10),
        _ => format!("{}.{} MB", tenths / 10, tenths % 10),
    }
}

/// Makes the summary as a short message, to be copied into whatever one writes with.
pub(super) fn message(desk: Desk, job: JobId, reader: Look<Reader>) -> AnyView {
    let text: RwSignal<Option<String>> = RwSignal::new(None);
    let entries = Look::at(move || desk.book.with(|book| book.records()));
    Effect::new(move || {
        // What was made before the book or the choice changed is not offered any more.
        let _ = (entries.get(), reader.get());
        text.set(None);
    });
    let make = move || {
        spawn_local(async move {
            let paper = Paper::OwnerMessage(job, reader.get_untracked());
            let Outcome::Made(made) = desk.make(paper, Amount::AsItIs).await else { return };
            if let Some(file) = made.files.first() {
                text.set(file.text().await);
            }
        });
    };
    shown(move || match text.get() {
        None => view! { <p class="group">{button("", "Write a short message", make)}</p> }.into_any(),
        Some(words) => {
            let (copied, signs) = (words.clone(), words.chars().count());
            let language = reader.get().language.tag();
            view! {
                <label class="group">
                    <span class="name">{format!("Message, {signs} characters")}</span>
                    <textarea rows="8" readonly lang=language prop:value=words></textarea>
                </label>
                <p class="group">{button("", "Copy the message", move || desk.copy(copied.clone()))}</p>
            }
            .into_any()
        }
    })
    .into_any()
}
