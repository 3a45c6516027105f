//! The service worker: the app's files on this phone, and new versions of them.
//!
//! A new version waits until the person takes it; the page is then loaded anew
//! once. What is half typed is a draft and comes back.

use js_sys::{Function, Object, Reflect};
use leptos::task::spawn_local;
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{ServiceWorkerContainer, ServiceWorkerRegistration};

use super::page;

fn container() -> Option<ServiceWorkerContainer> {
    let navigator = web_sys::window()?.navigator();
    let there = Reflect::has(&navigator, &JsValue::from_str("serviceWorker")).unwrap_or(false);
    there.then(|| navigator.service_worker())
}

/// Registers the service worker and calls `waits` whenever a new version waits.
pub fn watch(waits: impl Fn() + Clone + 'static) {
    let Some(container) = container() else { return };
    spawn_local(async move {
        match JsFuture::from(container.register("sw.js")).await {
            Ok(registration) => follow(registration.unchecked_into(), &container, waits),
            Err(error) => page::log(&format!("the app could not be kept for use offline: {error:?}")),
        }
    });
}

fn follow(
    registration: ServiceWorkerRegistration,
    container: &ServiceWorkerContainer,
    waits: impl Fn() + Clone + 'static,
) {
    // Without a controller this is the first version, which nothing has to wait for.
    if registration.waiting().is_some() && container.controller().is_some() {
        waits();
    }
    let found = {
        let registration = registration.clone();
        Closure::<dyn Fn()>::new(move || {
            let Some(worker) = registration.installing() else { return };
            let (registration, waits) = (registration.clone(), waits.clone());
            let changed = Closure::<dyn Fn()>::new(move || {
                let controlled = container_is_controlled();
                if registration.waiting().is_some() && controlled {
                    waits();
                }
            });
            let callback: &Function = changed.as_ref().unchecked_ref();
            worker.set_onstatechange(Some(callback));
            changed.forget();
        })
    };
    registration.set_onupdatefound(Some(found.as_ref().unchecked_ref()));
    found.forget();
}

fn container_is_controlled() -> bool {
    container().is_some_and(|container| container.controller().is_some())
}

/// Lets the waiting version take over and loads the page anew when it has.
pub fn take_over() {
    let Some(container) = container() else { return };
    let reload = Closure::<dyn Fn()>::new(page::reload);
    container.set_oncontrollerchange(Some(reload.as_ref().unchecked_ref()));
    reload.forget();
    spawn_local(async move {
        let Ok(found) = JsFuture::from(container.get_registration()).await else { return };
        let Ok(registration) = found.dyn_into::<ServiceWorkerRegistration>() else { return };
        let message = Object::new();
        let said = Reflect::set(&message, &JsValue::from_str("type"), &JsValue::from_str("take-over"));
        match (registration.waiting(), said) {
            (Some(waiting), Ok(_)) => drop(waiting.post_message(&message)),
            // Another tab let it take over already: this page alone is of the version before.
            _ => page::reload(),
        }
    });
}
