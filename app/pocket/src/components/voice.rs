//! Voice notes: the button that records one, and the player.
//!
//! One tap starts, one stops and keeps; the length runs beside it and ends at three minutes.
//! The clock goes on as it is. Where nothing can be recorded the reason is said, with two ways
//! on: a recording that another program of the phone made, or a note.

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::command::Command;
use quaywright_core::event::About;
use quaywright_core::moment::{Length, Moment};
use quaywright_core::view::{VoiceRow, voice_length};

use super::{button, named_button};
use crate::desk::{Desk, sentence, use_desk};
use crate::look::{Look, shown};
use crate::platform::share::ShownAt;
use crate::platform::voice::{self, NoVoice, Recording};
use crate::platform::{clock, photo, timer};
use crate::route::Route;

/// A voice note ends by itself at this length.
const LONGEST: Length = Length::from_ms(180_000);

/// What the button is at.
#[derive(Clone)]
enum At {
    Rest,
    /// The browser asks for the microphone.
    Asking,
    /// Since when.
    Running(Recording, Moment),
    /// What was recorded is being kept.
    Keeping,
    /// Nothing is recorded.
    Stuck(NoVoice),
}

/// Returns the button that records a voice note of something.
pub fn voice_button(about: About, full_name: String) -> AnyView {
    let desk = use_desk();
    let at = RwSignal::new_local(At::Rest);
    // Who goes elsewhere while it runs has said what there was to say.
    on_cleanup(move || {
        if let Some(At::Running(recording, _)) = at.try_get_untracked() {
            recording.stop();
        }
    });
    let begin = move || spawn_local(record(desk, about, at));
    shown(move || match at.get() {
        At::Rest if !voice::can_record() => from_file(desk, about, at, full_name.clone()),
        At::Rest => named_button("", "Voice note", full_name.clone(), begin),
        At::Asking => view! { <p class="busy" role="status">"The browser asks for the microphone …"</p> }.into_any(),
        At::Running(recording, since) => running(desk, recording, since),
        At::Keeping => view! { <p class="busy" role="status">"Being kept …"</p> }.into_any(),
        At::Stuck(why) => stuck(desk, about, at, &why, full_name.clone()),
    })
}

/// Records one. A new version that is offered waits meanwhile: to take it would end the page, and
/// what is recorded with it.
async fn record(desk: Desk, about: About, at: RwSignal<At, LocalStorage>) {
    let offered = desk.update.get_untracked();
    desk.update.set(false);
    record_and_keep(desk, about, at).await;
    if offered {
        desk.update.set(true);
    }
}

async fn record_and_keep(desk: Desk, about: About, at: RwSignal<At, LocalStorage>) {
    at.set(At::Asking);
    let recording = match voice::record().await {
        Ok(recording) => recording,
        Err(why) => return drop(at.try_set(At::Stuck(why))),
    };
    // A signal that is gone gives back what it was to hold: then nobody is there to speak.
    if at.try_set(At::Running(recording.clone(), clock::now())).is_some() {
        return recording.stop();
    }
    let long = recording.clone();
    spawn_local(async move {
        timer::wait(LONGEST).await;
        long.stop();
    });
    let recorded = recording.recorded().await;
    at.try_set(At::Keeping);
    match recorded {
        Ok(recorded) => desk.add_voice(about, recorded).await,
        Err(why) => return drop(at.try_set(At::Stuck(why))),
    }
    at.try_set(At::Rest);
}

fn running(desk: Desk, recording: Recording, since: Moment) -> AnyView {
    let length = Look::at(move || {
        let ms = desk.now.get().utc_ms().saturating_sub(since.utc_ms()).max(0);
        // A second that has begun shows when it is over.
        voice_length(u32::try_from(ms).unwrap_or(u32::MAX) / 1_000 * 1_000)
    });
    view! {
        <div class="stack grow" role="group" aria-label="Recording">
            <p><span class="figure large">{move || length.get()}</span>" of 3:00 recorded"</p>
            {button("big", "Stop and keep", move || recording.stop())}
        </div>
    }
    .into_any()
}

fn words(why: &NoVoice) -> String {
    match why {
        NoVoice::NoRecorder => "this browser has no recorder".to_owned(),
        NoVoice::Refused => {
            "the microphone is refused: allow it for this page in the browser's settings, then try again".to_owned()
        }
        NoVoice::NoMicrophone => "no microphone can be used: another program may have it, or none is there".to_owned(),
        NoVoice::Nothing => "nothing was recorded, and nothing is kept".to_owned(),
        NoVoice::NoSound(name) => {
            format!("the file {name} cannot be played here, so it was not added; it is still where you picked it from")
        }
    }
}

fn stuck(desk: Desk, about: About, at: RwSignal<At, LocalStorage>, why: &NoVoice, full_name: String) -> AnyView {
    let job = desk.book.with_untracked(|book| book.job_about(about));
    let again = voice::can_record().then(|| button("", "Try again", move || at.set(At::Rest)));
    view! {
        <div class="stack grow" role="alert">
            <p class="stop">{sentence(&words(why))}</p>
            <div class="row">
                {again}
                {from_file(desk, about, at, full_name)}
                <a class="button" href=Route::Note { job }.link()>"Write it"</a>
            </div>
        </div>
    }
    .into_any()
}

/// Asks for a recording of the phone's own program.
fn from_file(desk: Desk, about: About, at: RwSignal<At, LocalStorage>, full_name: String) -> AnyView {
    let input = NodeRef::<leptos::html::Input>::new();
    let open = move || {
        if let Some(input) = input.get_untracked() {
            input.click();
        }
    };
    let picked = move |_| {
        let Some(input) = input.get_untracked() else { return };
        let files = photo::picked(&input);
        spawn_local(async move {
            for file in &files {
                match voice::of_file(file).await {
                    Ok(recorded) => desk.add_voice(about, recorded).await,
                    Err(why) => return drop(at.try_set(At::Stuck(why))),
                }
            }
            at.try_set(At::Rest);
        });
    };
    view! {
        {named_button("", "Pick a recording", format!("{full_name}: pick a recording"), open)}
        <input
            node_ref=input
            class="away"
            type="file"
            accept="audio/*"
            capture="user"
            tabindex="-1"
            aria-label=format!("{full_name}: file")
            aria-hidden="true"
            on:change=picked
        />
    }
    .into_any()
}

/// Returns a voice note with its player, which is there once it is wanted, and the way to remove it.
pub fn voice_player(voice: VoiceRow) -> AnyView {
    let desk = use_desk();
    let VoiceRow { id, facts, length } = voice;
    let found: RwSignal<Option<Result<ShownAt, String>>, LocalStorage> = RwSignal::new_local(None);
    let play = move || {
        spawn_local(async move {
            let bytes = desk.photo(facts.blob).await.map_err(|trouble| trouble.to_string());
            let sound = bytes.and_then(|bytes| {
                ShownAt::of(facts.sound.media_type(), &bytes)
                    .ok_or_else(|| "this voice note cannot be played".to_owned())
            });
            found.try_set(Some(sound));
        });
    };
    let name = format!("Play voice note, {length}");
    let player = shown(move || {
        found.with(|found| match found {
            None => button("", name.clone(), play),
            Some(Ok(at)) => view! { <audio controls autoplay src=at.address().to_owned()></audio> }.into_any(),
            Some(Err(why)) => view! { <p class="stop">{sentence(why)}</p> }.into_any(),
        })
    });
    let remove = move || desk.tell(Command::Withdraw { event: id.0 }, "The voice note is removed");
    view! {
        <div class="row voice">
            {player}
            {named_button("quiet", "Remove", format!("Remove voice note, {length}"), remove)}
        </div>
    }
    .into_any()
}
