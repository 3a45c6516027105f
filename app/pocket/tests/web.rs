//! The adapters to the browser, in a real one: what the core's rules rely on.

#![allow(clippy::unwrap_used, clippy::panic, reason = "tests, and what they share")]

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use gloo_storage::{LocalStorage, Storage};
use js_sys::{Array, Function, Object, Promise, Reflect};
use quaywright_core::id::BlobId;
use quaywright_core::moment::Length;
use quaywright_core::store::contract::{Writer, contract};
use quaywright_core::store::vault::{BlobTrouble, NotKept, Notice, State, Trouble, Vault};
use quaywright_core::store::{Batch, Blob, FileEnd, Found, Kept, Note, Notes, SecondCopy, Store, StoreError};
use quaywright_pocket::platform::idb::{BLOBS, Database, EVENTS, PARTS, answer};
use quaywright_pocket::platform::lock::{Turn, on_news, take_turn, tell_others};
use quaywright_pocket::platform::second::OpfsCopy;
use quaywright_pocket::platform::store::IdbStore;
use quaywright_pocket::platform::timer::{PageTimer, wait};
use quaywright_pocket::platform::vault::{Drafts, PhoneVault};
use quaywright_pocket::platform::witness::{BrowserNotes, CACHE};
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};
use web_sys::{BroadcastChannel, IdbDatabase};

wasm_bindgen_test_configure!(run_in_browser);

/// Returns a name that no other test and no earlier run has used.
fn fresh(name: &str) -> String {
    format!("{name}-{}-{}", js_sys::Date::now(), js_sys::Math::random())
}

/// Returns the address of the worker's script; the test server does not serve it.
fn copy_worker() -> String {
    let parts = Array::of1(&include_str!("../../../public/copy-worker.js").into());
    let script = web_sys::Blob::new_with_str_sequence(&parts).unwrap();
    web_sys::Url::create_object_url_with_blob(&script).unwrap()
}

fn phone(database: &str, place: &str) -> PhoneVault {
    let copy = OpfsCopy::new(place, &copy_worker());
    Vault::new(IdbStore::new(database), copy, BrowserNotes::new(place), PageTimer)
}

fn batch(records: &[Kept]) -> Batch {
    Batch { records: records.to_vec(), blobs: Vec::new() }
}

fn photo(bytes: &[u8]) -> Blob {
    Blob { id: BlobId::of(bytes), bytes: bytes.to_vec() }
}

fn indexed_db() -> web_sys::IdbFactory {
    web_sys::window().unwrap().indexed_db().unwrap().unwrap()
}

/// Opens a database past the adapter; an upgrade makes only the events.
async fn open_raw(name: &str, version: f64) -> IdbDatabase {
    let request = indexed_db().open_with_f64(name, version).unwrap();
    let opening = request.clone();
    let upgrade = Closure::once_into_js(move || {
        let database: IdbDatabase = opening.result().unwrap().unchecked_into();
        if !database.object_store_names().contains(EVENTS) {
            database.create_object_store(EVENTS).unwrap();
        }
    });
    request.set_onupgradeneeded(Some(upgrade.unchecked_ref()));
    answer(&request).await.unwrap().unchecked_into()
}

#[wasm_bindgen_test]
async fn the_first_place_keeps_the_contract() {
    contract(&IdbStore::new(&fresh("contract"))).await;
}

#[wasm_bindgen_test]
async fn transactions_are_strict() {
    let database = Database::named(&fresh("strict"));
    assert_eq!(database.writing(&[EVENTS, BLOBS]).await.unwrap().durability().as_deref(), Some("strict"));
    assert_eq!(database.writing(&PARTS).await.unwrap().durability().as_deref(), Some("strict"));
}

#[wasm_bindgen_test]
async fn a_new_database_says_so() {
    let store = IdbStore::new(&fresh("new"));
    let created = Found { created: true, lost: None, missing: Vec::new() };
    assert_eq!(store.found().await, Ok(created.clone()));
    store.reconnect().await;
    assert_eq!(store.found().await, Ok(created));
}

#[wasm_bindgen_test]
async fn missing_parts_are_made_again_and_told() {
    let name = fresh("parts");
    open_raw(&name, 7.0).await.close();
    let store = IdbStore::new(&name);
    let missing = PARTS.iter().filter(|&&part| part != EVENTS).map(|&part| part.to_owned()).collect();
    assert_eq!(store.found().await, Ok(Found { created: false, lost: None, missing }));
    let records = Writer::new(1).records(2);
    assert_eq!(store.append(&batch(&records)).await, Ok(()));
    assert_eq!(store.records(&[]).await, Ok(records));
}

#[wasm_bindgen_test]
async fn a_connection_does_not_stand_in_the_way_of_another_page() {
    let name = fresh("versions");
    let store = IdbStore::new(&name);
    let mut writer = Writer::new(1);
    let (first, second) = (writer.records(1), writer.records(1));
    assert_eq!(store.append(&batch(&first)).await, Ok(()));
    // Another page raises the version: it is not blocked, and work goes on after it.
    open_raw(&name, 9.0).await.close();
    assert_eq!(store.append(&batch(&second)).await, Ok(()));
    assert_eq!(store.records(&[]).await, Ok([first, second].concat()));
}

#[wasm_bindgen_test]
async fn an_attempt_that_is_given_up_keeps_nothing_and_blocks_nothing() {
    let name = fresh("given-up");
    let store = IdbStore::new(&name);
    let mut writer = Writer::new(1);
    let (given_up, kept) = (writer.clone().records(1), writer.records(2));
    assert_eq!(store.records(&[]).await, Ok(Vec::new()));
    let written = Database::named(&name).writing(&[EVENTS]).await.unwrap();
    let part = written.part(EVENTS).unwrap();
    let bytes = js_sys::Uint8Array::from(given_up[0].bytes.as_slice());
    answer(&part.put_with_key(&bytes, &JsValue::from_str("0101010101010101-000000000001")).unwrap()).await.unwrap();
    drop(written);
    store.reconnect().await;
    assert_eq!(store.records(&[]).await, Ok(Vec::new()));
    assert_eq!(store.append(&batch(&kept)).await, Ok(()));
    assert_eq!(store.records(&[]).await, Ok(kept));
}

#[wasm_bindgen_test]
async fn values_that_are_no_bytes_are_as_good_as_damaged() {
    let name = fresh("values");
    let store = IdbStore::new(&name);
    let records = Writer::new(1).records(3);
    let good = photo(b"a photo");
    assert_eq!(store.append(&Batch { records: records.clone(), blobs: vec![good.clone()] }).await, Ok(()));
    let writing = Database::named(&name).writing(&[EVENTS, BLOBS]).await.unwrap();
    let second = JsValue::from_str("0101010101010101-000000000002");
    writing.part(EVENTS).unwrap().put_with_key(&JsValue::NULL, &second).unwrap();
    writing.part(BLOBS).unwrap().put_with_key(&JsValue::NULL, &good.id.to_string().into()).unwrap();
    writing.kept().await.unwrap();
    let read = store.records(&[]).await.unwrap();
    assert_eq!((&read[0], &read[2], read[1].bytes.len()), (&records[0], &records[2], 0));
    assert_eq!(store.blob(good.id).await, Ok(Some(Vec::new())));
}

#[wasm_bindgen_test]
async fn many_records_are_read_in_parts() {
    let store = IdbStore::new(&fresh("many"));
    let records = Writer::new(1).records(4_500);
    for part in records.chunks(1_500) {
        assert_eq!(store.append(&batch(part)).await, Ok(()));
    }
    let read = store.records(&[]).await.unwrap();
    assert!(read == records);
    assert_eq!(store.records(&[records[4_498].id]).await, Ok(vec![records[4_499].clone()]));
}

#[wasm_bindgen_test]
async fn the_second_copy_keeps_what_it_is_given() {
    let place = fresh("copy");
    let copy = OpfsCopy::new(&place, &copy_worker());
    let end = |length, bytes: &[u8]| Ok(FileEnd { length, bytes: bytes.to_vec() });
    assert_eq!(copy.end(4).await, end(0, b""));
    assert_eq!(copy.whole().await, Ok(Vec::new()));
    assert_eq!(copy.write(0, b"one two").await, Ok(()));
    assert_eq!(copy.end(3).await, end(7, b"two"));
    // A torn end is written over and what stood behind it is gone.
    assert_eq!(copy.write(4, b"2").await, Ok(()));
    assert_eq!(copy.whole().await, Ok(b"one 2".to_vec()));
    assert!(copy.write(6, b"a hole before it").await.is_err());
    for text in ["written anew", "and again", "and once more"] {
        assert_eq!(copy.rewrite(text.as_bytes()).await, Ok(()));
        assert_eq!(copy.whole().await, Ok(text.as_bytes().to_vec()));
    }
    assert_eq!(copy.write(13, b"!").await, Ok(()));
    // Another page's worker finds the same.
    let other = OpfsCopy::new(&place, &copy_worker());
    assert_eq!(other.whole().await, Ok(b"and once more!".to_vec()));
    assert_eq!(OpfsCopy::new(&fresh("elsewhere"), &copy_worker()).end(9).await, end(0, b""));
}

#[wasm_bindgen_test]
async fn the_second_copy_keeps_photos() {
    let copy = OpfsCopy::new(&fresh("photos"), &copy_worker());
    let (one, other) = (photo(b"one"), photo(&[7; 300_000]));
    assert_eq!(copy.blob_ids().await, Ok(Vec::new()));
    assert_eq!(copy.put_blob(&one).await, Ok(()));
    assert_eq!(copy.put_blob(&other).await, Ok(()));
    assert_eq!(copy.put_blob(&other).await, Ok(()));
    assert_eq!(copy.blob(one.id).await, Ok(Some(one.bytes)));
    assert_eq!(copy.blob(other.id).await, Ok(Some(other.bytes)));
    assert_eq!(copy.blob(BlobId::of(b"never kept")).await, Ok(None));
    let mut ids = copy.blob_ids().await.unwrap();
    ids.sort_unstable();
    let mut expected = [one.id, other.id];
    expected.sort_unstable();
    assert_eq!(ids, expected);
}

#[wasm_bindgen_test]
async fn two_workers_wait_for_each_other() {
    let place = fresh("two");
    let (one, other) = (OpfsCopy::new(&place, &copy_worker()), OpfsCopy::new(&place, &copy_worker()));
    for round in 0..10_u8 {
        let text = vec![round; 100_000];
        let (left, right) = (one.rewrite(&text), other.end(1));
        let (left, right) = side_by_side(left, right).await;
        assert_eq!(left, Ok(()));
        assert!(right.is_ok(), "{right:?}");
    }
}

/// Runs two futures side by side.
async fn side_by_side<A: 'static, B>(left: impl Future<Output = A>, right: impl Future<Output = B>) -> (A, B) {
    let (mut left, mut right) = (std::pin::pin!(left), std::pin::pin!(right));
    let (mut first, mut second) = (None, None);
    std::future::poll_fn(move |context| {
        if first.is_none()
            && let std::task::Poll::Ready(value) = left.as_mut().poll(context)
        {
            first = Some(value);
        }
        if second.is_none()
            && let std::task::Poll::Ready(value) = right.as_mut().poll(context)
        {
            second = Some(value);
        }
        match (first.take(), second.take()) {
            (Some(a), Some(b)) => std::task::Poll::Ready((a, b)),
            (a, b) => {
                (first, second) = (a, b);
                std::task::Poll::Pending
            }
        }
    })
    .await
}

#[wasm_bindgen_test]
async fn without_a_worker_there_is_no_second_copy() {
    let copy = OpfsCopy::new(&fresh("none"), "no-such-worker.js");
    for _ in 0..2 {
        assert!(matches!(copy.end(1).await, Err(StoreError::Unavailable(_))));
    }
}

#[wasm_bindgen_test]
async fn the_witness_is_in_two_places() {
    let place = fresh("witness");
    let notes = BrowserNotes::new(&place);
    assert_eq!(notes.read(Note::Witness).await, Vec::<String>::new());
    assert_eq!(notes.write(Note::Witness, "first").await, Ok(()));
    assert_eq!(notes.write(Note::Witness, "second").await, Ok(()));
    assert_eq!(notes.read(Note::Witness).await, ["second", "second"]);
    LocalStorage::delete(format!("quaywright.witness.{place}"));
    assert_eq!(notes.read(Note::Witness).await, ["second"]);
    let caches = web_sys::window().unwrap().caches().unwrap();
    assert_eq!(JsFuture::from(caches.has(CACHE)).await.unwrap().as_bool(), Some(true));
    assert_eq!(notes.write(Note::UnderWay, "an action").await, Ok(()));
    assert_eq!(BrowserNotes::new(&place).read(Note::UnderWay).await, ["an action"]);
    assert_eq!(notes.write(Note::UnderWay, "").await, Ok(()));
    assert_eq!(notes.read(Note::UnderWay).await, Vec::<String>::new());
}

#[wasm_bindgen_test]
async fn drafts_come_back_until_they_are_taken_away() {
    let name = fresh("drafts");
    let drafts = Drafts::open(&name);
    assert_eq!(drafts.all().await, Ok(Vec::new()));
    assert_eq!(drafts.put("note/1", "half ty").await, Ok(()));
    assert_eq!(drafts.put("note/1", "half typed é 🛶").await, Ok(()));
    assert_eq!(drafts.put("title", "x").await, Ok(()));
    let again = Drafts::open(&name);
    assert_eq!(again.get("note/1").await, Ok(Some("half typed é 🛶".to_owned())));
    assert_eq!(again.put("title", "").await, Ok(()));
    assert_eq!(again.all().await, Ok(vec![("note/1".to_owned(), "half typed é 🛶".to_owned())]));
    assert_eq!(again.remove("note/1").await, Ok(()));
    assert_eq!(drafts.get("note/1").await, Ok(None));
}

#[wasm_bindgen_test]
async fn the_vault_keeps_and_finds_again() {
    let place = fresh("vault");
    let mut writer = Writer::new(1);
    let records = writer.records(3);
    let with_photo = Batch { records: vec![writer.record("a photo")], blobs: vec![photo(b"a photo")] };
    {
        let vault = phone(&place, &place);
        let opened = vault.open().await.unwrap();
        assert_eq!((opened.state, opened.records.len(), opened.notices.len()), (State::Ready, 0, 0));
        assert_eq!(vault.append(&batch(&records)).await, Ok(()));
        assert_eq!(vault.append(&with_photo).await, Ok(()));
        assert_eq!(vault.settle().await, []);
        assert!(vault.has_second_copy());
    }
    let vault = phone(&place, &place);
    let opened = vault.open().await.unwrap();
    assert_eq!((opened.state, opened.records.len(), opened.notices), (State::Ready, 4, Vec::new()));
    assert_eq!(vault.blob(with_photo.blobs[0].id).await, Ok(b"a photo".to_vec()));
    assert_eq!(vault.blob(BlobId::of(b"never kept")).await, Err(BlobTrouble::Missing));
    assert_eq!(vault.audit().await, []);
}

#[wasm_bindgen_test]
async fn an_emptied_database_is_restored_or_its_loss_is_told() {
    let (place, emptied, gone) = (fresh("place"), fresh("emptied"), fresh("gone"));
    let records = Writer::new(1).records(600);
    let blob = photo(b"a photo");
    {
        let vault = phone(&place, &place);
        vault.open().await.unwrap();
        let all = Batch { records: records.clone(), blobs: vec![blob.clone()] };
        assert_eq!(vault.append(&all).await, Ok(()));
        assert_eq!(vault.settle().await, []);
    }
    // An empty database beside the same second copy and witness.
    let vault = phone(&emptied, &place);
    let opened = vault.open().await.unwrap();
    assert!(opened.records == records);
    assert_eq!((opened.state, opened.notices), (State::Ready, vec![Notice::RecordsHealed(600)]));
    assert_eq!(vault.settle().await, [Notice::PhotosHealed(1)]);
    assert_eq!(vault.blob(blob.id).await, Ok(blob.bytes));
    // The second copy lost as well: nothing is begun silently.
    OpfsCopy::new(&place, &copy_worker()).write(0, b"").await.unwrap();
    let vault = phone(&gone, &place);
    let opened = vault.open().await.unwrap();
    assert_eq!(opened.state, State::ReadOnly(vec![Trouble::AllGone]));
    assert_eq!(vault.append(&batch(&records[..1])).await, Err(NotKept::ReadOnly));
    assert_eq!(vault.restore(&batch(&records)).await.unwrap().state, State::Ready);
}

#[wasm_bindgen_test]
async fn an_action_under_way_survives_the_page() {
    let place = fresh("under-way");
    let record = Writer::new(1).record("under way");
    let line = String::from_utf8(record.bytes.clone()).unwrap();
    LocalStorage::raw()
        .set_item(&format!("quaywright.queue.{place}"), &format!("quaywright-under-way 1\n{line}"))
        .unwrap();
    let opened = phone(&place, &place).open().await.unwrap();
    assert_eq!((opened.records, opened.notices), (vec![record.clone()], vec![Notice::KeptLate(vec![record])]));
    assert_eq!(phone(&place, &place).open().await.unwrap().notices, []);
}

/// Holds a lock as another page would, until the returned function is called.
fn hold(name: &str) -> Function {
    let release: Rc<RefCell<Option<Function>>> = Rc::default();
    let releasing = release.clone();
    let held = Promise::new(&mut |resolve: Function, _| *releasing.borrow_mut() = Some(resolve));
    let locks = Reflect::get(&web_sys::window().unwrap().navigator(), &"locks".into()).unwrap();
    let request: Function = Reflect::get(&locks, &"request".into()).unwrap().unchecked_into();
    let while_held = Closure::once_into_js(move |_lock: JsValue| held);
    request.call2(&locks, &name.into(), &while_held).unwrap();
    release.borrow_mut().take().unwrap()
}

#[wasm_bindgen_test]
async fn one_page_writes_and_the_next_gets_its_turn() {
    let place = fresh("turns");
    let release = hold(&format!("quaywright-log.{place}"));
    let at_last = Rc::new(Cell::new(false));
    let told = at_last.clone();
    assert_eq!(take_turn(&place, move || told.set(true)).await, Turn::Reader);
    assert!(!at_last.get());
    release.call0(&JsValue::NULL).unwrap();
    wait(Length::from_ms(100)).await;
    assert!(at_last.get());
    assert_eq!(take_turn(&fresh("free"), || panic!("it was the writer at once")).await, Turn::Writer);
}

#[wasm_bindgen_test]
async fn other_pages_hear_that_something_was_kept() {
    let place = fresh("news");
    let heard = Rc::new(Cell::new(0));
    let counting = heard.clone();
    on_news(&place, move || counting.set(counting.get() + 1));
    let other_page = BroadcastChannel::new(&format!("quaywright-log.{place}")).unwrap();
    let heard_there = Rc::new(Cell::new(0));
    let counting = heard_there.clone();
    let on_message = Closure::<dyn Fn()>::new(move || counting.set(counting.get() + 1));
    other_page.set_onmessage(Some(on_message.as_ref().unchecked_ref()));
    tell_others();
    other_page.post_message(&"kept".into()).unwrap();
    wait(Length::from_ms(200)).await;
    assert_eq!((heard.get(), heard_there.get()), (1, 1));
    other_page.close();
}

#[wasm_bindgen_test]
async fn failures_are_told_by_their_meaning() {
    let mean = |name: &str, message: &str| {
        let exception = web_sys::DomException::new_with_message_and_name(message, name).unwrap();
        quaywright_pocket::platform::idb::failure(&exception)
    };
    assert_eq!(mean("QuotaExceededError", ""), StoreError::Full);
    assert_eq!(mean("AbortError", ""), StoreError::Aborted);
    assert_eq!(mean("UnknownError", "Internal error opening backing store"), StoreError::Aborted);
    assert_eq!(mean("UnknownError", "Connection to Indexed Database server lost. Refresh the page"), StoreError::Lost);
    assert_eq!(mean("InvalidStateError", "The database connection is closing."), StoreError::Lost);
    assert!(matches!(mean("SecurityError", "denied"), StoreError::Unavailable(_)));
    assert_eq!(mean("DataError", "no key"), StoreError::Other("DataError: no key".to_owned()));
    assert_eq!(quaywright_pocket::platform::idb::failure(&Object::new()), StoreError::Other("unknown".to_owned()));
}
