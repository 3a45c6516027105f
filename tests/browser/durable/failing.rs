//! The browser's database fails in the middle of a call: it throws, it aborts, it is full,
//! or it never says anything.
//!
//! Faults are planted in front of the workbook's own code. Whatever the fault: an action
//! ends in bounded time with words; what the screen called kept is there after a reload;
//! and what was asked for again because it was in doubt is there once.

use serde_json::json;

use crate::failure::must;
use crate::phone::{Phone, VERDICT, Verdict};

/// Stands before IndexedDB: `fault = { call, kind, from, until }` lets the calls of that
/// name with these numbers go wrong, counted since the fault was planted.
const FAULTS: &str = "(() => {
    const thrown = kind => new DOMException('planted', kind);
    const deaf = object => {
        for (const name of ['oncomplete', 'onabort', 'onsuccess', 'onerror', 'onupgradeneeded'])
            Object.defineProperty(object, name, { get: () => null, set: () => {} });
        return object;
    };
    globalThis.calls = 0;
    const stand = (type, call) => {
        const real = type.prototype[call];
        type.prototype[call] = function (...given) {
            const fault = globalThis.fault ?? JSON.parse(sessionStorage.getItem('fault'));
            if (fault?.call !== call) return real.apply(this, given);
            calls++;
            if (calls < fault.from || calls > fault.until) return real.apply(this, given);
            if (fault.kind === 'silent') return deaf(real.apply(this, given));
            if (fault.kind !== 'abort') throw thrown(fault.kind);
            const answer = real.apply(this, given);
            (answer.abort ? answer : this.transaction).abort();
            return answer;
        };
    };
    for (const call of ['add', 'getAll', 'getAllKeys']) stand(IDBObjectStore, call);
    stand(IDBDatabase, 'transaction');
    stand(IDBFactory, 'open');
})()";

/// A phone on which faults can be planted.
#[track_caller]
fn phone() -> Phone {
    let mut phone = Phone::new();
    phone.taps("Travel");
    phone.rests();
    must(phone.opens_beside().before_each_document(FAULTS));
    phone.opens_workbook_there();
    phone
}

/// Plants a fault for the coming calls of one name.
fn plant(phone: &Phone, call: &str, kind: &str, from: u32, until: u32) {
    let fault = json!({ "call": call, "kind": kind, "from": from, "until": until });
    must(phone.page().eval::<()>(&format!("void (calls = 0, fault = {fault})")));
}

/// Takes the fault away.
fn mend(phone: &Phone) {
    must(phone.page().eval::<()>("void (fault = {}, sessionStorage.removeItem('fault'))"));
}

const NEVER_ENDING: u32 = u32::MAX;

#[test]
fn an_action_that_meets_a_fault_once_is_kept_once() {
    let phone = phone();
    let mut tapped = vec!["travel".to_owned()];
    for call in ["transaction", "add"] {
        for kind in ["UnknownError", "InvalidStateError", "AbortError", "abort", "silent"] {
            if (call, kind) == ("add", "silent") {
                continue; // only the end of a transaction counts, so nobody listens to what is laid down
            }
            let activity = ["Waiting", "Paperwork"][tapped.len() % 2];
            plant(&phone, call, kind, 1, 1);
            let verdict = must(phone.tries(activity));
            let calls: u32 = must(phone.page().eval("calls"));
            mend(&phone);
            assert_eq!(verdict, Verdict::Kept, "{call} {kind}");
            assert!(calls >= 2, "{call} {kind} was met {calls} times: the fault was not felt");
            tapped.push(activity.to_lowercase());
        }
    }
    phone.reloads();
    assert_eq!(phone.holds().clock(), tapped);
}

#[test]
fn an_action_that_always_fails_ends_in_words_and_is_never_doubled() {
    let phone = phone();
    let mut tapped = vec!["travel".to_owned()];
    for call in ["transaction", "add"] {
        for kind in ["UnknownError", "InvalidStateError", "QuotaExceededError", "DataError", "abort", "silent"] {
            let activity = ["Waiting", "Paperwork"][tapped.len() % 2];
            plant(&phone, call, kind, 1, NEVER_ENDING);
            let begun = std::time::Instant::now();
            let verdict = must(phone.tries(activity));
            assert!(begun.elapsed() < VERDICT, "{call} {kind} took {:?}", begun.elapsed());
            mend(&phone);
            if let Verdict::NotKept(words) = verdict {
                assert!(words.contains("ot kept"), "{call} {kind}: {words}");
                // The person does what the words make him do: the same again.
                assert_eq!(must(phone.tries(activity)), Verdict::Kept, "{call} {kind}, again");
            }
            tapped.push(activity.to_lowercase());
        }
    }
    phone.reloads();
    assert_eq!(phone.holds().clock(), tapped);
}

#[test]
fn an_action_in_doubt_is_settled_by_a_reload() {
    let phone = phone();
    let mut tapped = vec!["travel".to_owned()];
    for (call, kind) in [("transaction", "silent"), ("add", "UnknownError"), ("add", "abort")] {
        let activity = ["Waiting", "Paperwork"][tapped.len() % 2];
        plant(&phone, call, kind, 1, NEVER_ENDING);
        let verdict = must(phone.tries(activity));
        assert!(matches!(&verdict, Verdict::NotKept(words) if words.contains("ot kept")), "{call} {kind}: {verdict:?}");
        phone.reloads();
        // It is kept after all, or it is said that it is not; and the screen shows which.
        let held = phone.holds().clock();
        phone.page().place("Now");
        let told_lost = phone.page().text().contains("was not kept: do it again");
        if !told_lost {
            tapped.push(activity.to_lowercase());
        }
        assert_eq!(held, tapped, "{call} {kind}");
        let shown = if told_lost { &tapped[tapped.len() - 1] } else { activity };
        let shown = shown[..1].to_uppercase() + &shown[1..].to_lowercase();
        phone.page().clock_shows(&shown);
    }
}

#[test]
fn a_start_that_meets_a_fault_opens_or_says_why_not() {
    let phone = phone();
    for (call, numbers) in [("open", 1..=1), ("transaction", 1..=6), ("getAllKeys", 1..=3), ("getAll", 1..=4)] {
        for number in numbers {
            for kind in ["UnknownError", "InvalidStateError", "silent"] {
                if kind == "silent" && number > 2 {
                    continue; // each waits as long as the others: twenty seconds
                }
                let fault = json!({ "call": call, "kind": kind, "from": number, "until": number });
                let plant = format!("void sessionStorage.setItem('fault', {})", json!(fault.to_string()));
                must(phone.page().eval::<()>(&plant));
                must(phone.page().reload());
                phone.page().wait_for("document.querySelector('main.workbook h1')", VERDICT);
                phone.does_not_show("missing");
                phone.page().wait_for("document.querySelector('.clock')?.textContent.includes('Travel')", VERDICT);
                mend(&phone);
            }
        }
    }
    phone.reloads();
    assert_eq!(phone.holds().clock(), ["travel"]);
}
