//! IndexedDB, as far as it is needed: connections, strict transactions, errors.
//!
//! Written on web-sys and not on indexed_db_futures, for three things that the
//! crate (0.6.4) hides: the `dataLoss` of an upgrade, the only sign by which a
//! browser tells that it emptied a damaged database; the reason of an aborted
//! commit, without which a full disk looks like any failure; and a connection
//! that can be dropped while a transaction hangs. It also weighs less.
//!
//! Rules: a transaction counts when its `complete` event has come, not before,
//! and one that is dropped before all was asked of it is aborted. Durability is always strict. The
//! database is opened in whatever version it has, so an older program opens
//! what a newer one left; parts that are missing are made again and reported.
//! There is no way here to delete a database.

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use js_sys::{Array, Function, Object, Promise, Reflect};
use quaywright_core::store::{Found, StoreError};
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{
    DomException, Event, IdbDatabase, IdbObjectStore, IdbOpenDbRequest, IdbRequest, IdbTransaction,
    IdbVersionChangeEvent,
};

/// The parts of the database: records, photos, the start-up cache, what is half typed.
pub const PARTS: [&str; 4] = [EVENTS, BLOBS, PACKS, DRAFTS];
/// The records, by name.
pub const EVENTS: &str = "events";
/// The photos, by SHA-256.
pub const BLOBS: &str = "blobs";
/// The packs, by the name of their first record.
pub const PACKS: &str = "packs";
/// What is half typed, by key.
pub const DRAFTS: &str = "drafts";

thread_local! {
    static OPEN: RefCell<Vec<Rc<Database>>> = RefCell::default();
}

/// One database, whose connection is made when it is needed.
pub struct Database {
    name: String,
    connection: RefCell<Option<Rc<Connection>>>,
    found: RefCell<Option<Found>>,
}

impl Database {
    /// Returns the database of that name; the whole page shares one.
    pub fn named(name: &str) -> Rc<Self> {
        OPEN.with_borrow_mut(|open| {
            if let Some(known) = open.iter().find(|known| known.name == name) {
                return known.clone();
            }
            let (connection, found) = (RefCell::default(), RefCell::default());
            let fresh = Rc::new(Self { name: name.to_owned(), connection, found });
            open.push(fresh.clone());
            fresh
        })
    }

    /// Returns how the database was found when this page first opened it.
    pub async fn found(&self) -> Result<Found, StoreError> {
        self.connection().await?;
        Ok(self.found.borrow().clone().unwrap_or_default())
    }

    /// Begins a strict transaction that reads.
    pub async fn reading(&self, parts: &[&str]) -> Result<Transaction, StoreError> {
        Transaction::begin(self.connection().await?, parts, "readonly")
    }

    /// Begins a strict transaction that writes.
    pub async fn writing(&self, parts: &[&str]) -> Result<Transaction, StoreError> {
        Transaction::begin(self.connection().await?, parts, "readwrite")
    }

    /// Drops the connection; the next transaction makes a new one.
    pub fn disconnect(&self) {
        self.connection.borrow_mut().take();
    }

    async fn connection(&self) -> Result<Rc<Connection>, StoreError> {
        let open = self.connection.borrow().clone().filter(|connection| !connection.closed.get());
        if let Some(connection) = open {
            return Ok(connection);
        }
        let (connection, found) = open_whole(&self.name).await?;
        let connection = Rc::new(connection);
        *self.connection.borrow_mut() = Some(connection.clone());
        self.found.borrow_mut().get_or_insert(found);
        Ok(connection)
    }
}

/// An open connection; closed when it is dropped.
struct Connection {
    database: IdbDatabase,
    closed: Rc<Cell<bool>>,
    _on_close: Closure<dyn Fn()>,
}

impl Connection {
    fn new(database: IdbDatabase) -> Self {
        let closed = Rc::new(Cell::new(false));
        // Another page wants to change the database, or the browser dropped it:
        // this connection must not stand in the way.
        let close = {
            let (database, closed) = (database.clone(), closed.clone());
            Closure::<dyn Fn()>::new(move || {
                closed.set(true);
                database.close();
            })
        };
        let callback: &Function = close.as_ref().unchecked_ref();
        database.set_onversionchange(Some(callback));
        database.set_onclose(Some(callback));
        Self { database, closed, _on_close: close }
    }

    fn missing_parts(&self) -> Vec<String> {
        let names = self.database.object_store_names();
        PARTS.iter().filter(|part| !names.contains(part)).map(|&part| part.to_owned()).collect()
    }
}

impl Drop for Connection {
    fn drop(&mut self) {
        self.database.set_onversionchange(None);
        self.database.set_onclose(None);
        self.database.close();
    }
}

/// Opens the database with all its parts, and says how it was found.
async fn open_whole(name: &str) -> Result<(Connection, Found), StoreError> {
    let (connection, upgrade) = open(name, None).await?;
    let mut found = Found { created: upgrade.created, lost: upgrade.lost, missing: Vec::new() };
    let missing = connection.missing_parts();
    if missing.is_empty() {
        return Ok((connection, found));
    }
    let next = connection.database.version() + 1.0;
    drop(connection);
    let (connection, upgrade) = open(name, Some(next)).await?;
    found.missing = missing;
    found.lost = found.lost.or(upgrade.lost);
    Ok((connection, found))
}

/// What an upgrade told.
#[derive(Clone, Default)]
struct Upgrade {
    created: bool,
    lost: Option<String>,
}

async fn open(name: &str, version: Option<f64>) -> Result<(Connection, Upgrade), StoreError> {
    let unavailable = |why: &str| StoreError::Unavailable(why.to_owned());
    let window = web_sys::window().ok_or_else(|| unavailable("no window"))?;
    let factory = window.indexed_db().ok().flatten().ok_or_else(|| unavailable("no IndexedDB"))?;
    let request = match version {
        Some(version) => factory.open_with_f64(name, version),
        None => factory.open(name),
    };
    let request = request.map_err(|error| failure(&error))?;
    let upgrade: Rc<RefCell<Upgrade>> = Rc::default();
    let told = upgrade.clone();
    // Handed over to the browser, so that it outlives a wait that was given up.
    let upgrading = Closure::once_into_js(move |event: IdbVersionChangeEvent| make_parts(&event, &told));
    request.set_onupgradeneeded(Some(upgrading.unchecked_ref()));
    let opening = Opening(Some(request.clone()));
    let database: IdbDatabase = answer(&request).await?.unchecked_into();
    opening.arrived();
    let upgrade = upgrade.borrow().clone();
    Ok((Connection::new(database), upgrade))
}

/// Makes every part that is not there; never takes one away.
fn make_parts(event: &IdbVersionChangeEvent, told: &RefCell<Upgrade>) {
    let request = event.target().and_then(|target| target.dyn_into::<IdbOpenDbRequest>().ok());
    let Some(database) = request.and_then(|request| request.result().ok()) else { return };
    let database: IdbDatabase = database.unchecked_into();
    let names = database.object_store_names();
    for part in PARTS.iter().filter(|part| !names.contains(part)) {
        // A part that could not be made is missed when the database is open.
        let _ = database.create_object_store(part);
    }
    let loss = text_of(event, "dataLoss").filter(|loss| loss != "none");
    let lost = loss.map(|loss| match text_of(event, "dataLossMessage").filter(|message| !message.is_empty()) {
        Some(message) => format!("{loss}: {message}"),
        None => loss,
    });
    *told.borrow_mut() = Upgrade { created: event.old_version() == 0.0, lost };
}

/// A request to open; if nobody waits for it any more, its connection is closed.
struct Opening(Option<IdbOpenDbRequest>);

impl Opening {
    fn arrived(mut self) {
        self.0 = None;
    }
}

impl Drop for Opening {
    fn drop(&mut self) {
        if let Some(request) = self.0.take() {
            let close = Closure::once_into_js(move |event: Event| {
                let request = event.target().and_then(|target| target.dyn_into::<IdbOpenDbRequest>().ok());
                if let Some(database) = request.and_then(|request| request.result().ok()) {
                    database.unchecked_into::<IdbDatabase>().close();
                }
            });
            request.set_onsuccess(Some(close.unchecked_ref()));
        }
    }
}

/// A transaction: aborted when it is dropped before its end is waited for.
pub struct Transaction {
    transaction: IdbTransaction,
    end: Promise,
    ended: Cell<bool>,
    _connection: Rc<Connection>,
}

impl Transaction {
    fn begin(connection: Rc<Connection>, parts: &[&str], mode: &str) -> Result<Self, StoreError> {
        let names: Array = parts.iter().map(|part| JsValue::from_str(part)).collect();
        let options = Object::new();
        Reflect::set(&options, &"durability".into(), &"strict".into()).map_err(|error| failure(&error))?;
        // web-sys has the method without options only.
        let begin = Reflect::get(&connection.database, &"transaction".into()).map_err(|error| failure(&error))?;
        let begin: Function = begin.unchecked_into();
        let begun = begin.call3(&connection.database, &names, &mode.into(), &options);
        let transaction: IdbTransaction = begun.map_err(|error| failure(&error))?.unchecked_into();
        let end = Promise::new(&mut |resolve: Function, _| {
            transaction.set_oncomplete(Some(&resolve));
            transaction.set_onabort(Some(&resolve));
        });
        Ok(Self { transaction, end, ended: Cell::new(false), _connection: connection })
    }

    /// Returns one part of the database within this transaction.
    pub fn part(&self, name: &str) -> Result<IdbObjectStore, StoreError> {
        self.transaction.object_store(name).map_err(|error| failure(&error))
    }

    /// Returns the durability that the browser grants this transaction.
    pub fn durability(&self) -> Option<String> {
        text_of(&self.transaction, "durability")
    }

    /// Waits until everything is kept, or says why nothing is.
    pub async fn kept(self) -> Result<(), StoreError> {
        // Nothing more is asked of it. Else the browser waits until this page has heard every
        // answer, and after a tap it lets the page hear none before the next frame is painted.
        // Where it cannot be said, or has ended already, it ends by itself.
        #[expect(deprecated, reason = "web-sys has it twice, and this is the one that is not unstable")]
        let _ = self.transaction.commit();
        let event = JsFuture::from(self.end.clone()).await.map_err(|error| failure(&error))?;
        self.ended.set(true);
        if event.unchecked_into::<Event>().type_() == "complete" {
            return Ok(());
        }
        Err(self.transaction.error().map_or(StoreError::Aborted, |error| failure(&error)))
    }
}

impl Drop for Transaction {
    fn drop(&mut self) {
        if !self.ended.get() {
            // It has ended by itself, or is about to, where this fails.
            let _ = self.transaction.abort();
        }
    }
}

/// Waits for a request and returns its result; listens from now on, so many can be asked before the first is waited for.
///
/// The promise is resolved by either event and never rejected, so that a wait
/// that is given up leaves no unhandled rejection behind.
pub fn answer(request: &IdbRequest) -> impl Future<Output = Result<JsValue, StoreError>> {
    let answered = Promise::new(&mut |resolve: Function, _| {
        request.set_onsuccess(Some(&resolve));
        request.set_onerror(Some(&resolve));
    });
    async move {
        JsFuture::from(answered).await.map_err(|error| failure(&error))?;
        match request.error() {
            Ok(Some(error)) => Err(failure(&error)),
            _ => request.result().map_err(|error| failure(&error)),
        }
    }
}

/// Returns what a failure means.
pub fn failure(error: &JsValue) -> StoreError {
    let Some(exception) = error.dyn_ref::<DomException>() else { return StoreError::Other(words(error)) };
    let (name, message) = (exception.name(), exception.message());
    // One engine says `UnknownError` for a connection that its other process lost.
    if message.contains("onnection") && message.contains("lost") {
        return StoreError::Lost;
    }
    match name.as_str() {
        "QuotaExceededError" => StoreError::Full,
        "AbortError" | "UnknownError" | "TimeoutError" | "TransactionInactiveError" => StoreError::Aborted,
        "InvalidStateError" | "NotFoundError" => StoreError::Lost,
        "SecurityError" | "NotSupportedError" => StoreError::Unavailable(words(error)),
        _ => StoreError::Other(words(error)),
    }
}

/// Returns an error's own words.
pub fn words(error: &JsValue) -> String {
    match error.dyn_ref::<DomException>() {
        Some(exception) => [exception.name(), exception.message()].join(": "),
        None => text_of(error, "message").or_else(|| error.as_string()).unwrap_or_else(|| "unknown".to_owned()),
    }
}

fn text_of(object: &JsValue, field: &str) -> Option<String> {
    Reflect::get(object, &JsValue::from_str(field)).ok()?.as_string()
}
