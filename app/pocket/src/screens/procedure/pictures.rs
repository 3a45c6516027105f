//! The pictures of a step: added from the camera or the gallery, named, taken out.

use leptos::prelude::*;
use quaywright_core::event::{Picture, StepNumber};
use quaywright_core::id::{BlobId, ProcedureId};
use quaywright_core::text::Label;

use super::amend;
use crate::components::{Field, named_button};
use crate::desk::{Desk, use_desk};
use crate::platform::photo::FileInput;

/// Returns the fields of a step's pictures, and the button for more.
pub fn pictures(procedure: ProcedureId, step: StepNumber, pictures: &[Picture]) -> AnyView {
    let desk = use_desk();
    let row = |(nth, picture): (usize, &Picture)| {
        let (blob, words) = (picture.blob, RwSignal::new(picture.caption.to_string()));
        let keep = Callback::new(move |text: String| {
            change(desk, procedure, step, "Kept what it shows", move |all| {
                let known = all.iter_mut().find(|it| it.blob == blob);
                known.into_iter().for_each(|it| it.caption = Label::new(&text));
            });
        });
        let out = move || change(desk, procedure, step, "The picture is out", move |all| forget(all, blob));
        let full = format!("Take this picture out, picture {nth} of step {}", step.0);
        view! {
            <li>
                <Field name="What the picture shows" value=words on_left=keep />
                {named_button("quiet", "Take this picture out", full, out)}
            </li>
        }
    };
    let picked = move |event: leptos::ev::Event| {
        let input: FileInput = event_target(&event);
        desk.add_pictures(procedure, step, &input);
    };
    view! {
        <h3>"Pictures"</h3>
        <ul class="list">{(1..).zip(pictures).map(row).collect_view()}</ul>
        <p class="group">
            <label class="file">
                "Add a picture"
                <input
                    class="away"
                    type="file"
                    accept="image/*"
                    multiple
                    aria-label=format!("Add a picture to step {}", step.0)
                    on:change=picked
                />
            </label>
        </p>
    }
    .into_any()
}

fn forget(all: &mut Vec<Picture>, blob: BlobId) {
    all.retain(|it| it.blob != blob);
}

fn change(
    desk: Desk,
    procedure: ProcedureId,
    number: StepNumber,
    words: &'static str,
    change: impl FnOnce(&mut Vec<Picture>),
) {
    amend(desk, procedure, words, |to| {
        if let Some(step) = to.steps.iter_mut().find(|it| it.number == number) {
            change(&mut step.pictures);
        }
    });
}
