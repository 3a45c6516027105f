//! The desk: the one place where the core, the storage and the screens meet.
//!
//! A screen asks with a [`Request`]. The desk has it decided, keeps what it
//! comes to, and only then takes it into the book, which repaints the screens:
//! what is on the screen is kept. Requests wait for one another, so each is
//! decided on the book that the one before it left.
//!
//! What is half typed is no event yet; it is kept as a draft, so that a page
//! that dies takes nothing with it.

mod documents;
pub mod office;
mod opening;
mod photos;
mod procedures;
mod voices;

use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;
use std::rc::Rc;

use futures::lock::Mutex;
use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::book::Book;
use quaywright_core::command::{Quick, Request};
use quaywright_core::event::About;
use quaywright_core::exchange::line;
use quaywright_core::id::{BlobId, EventId};
use quaywright_core::log::{Sealed, Tip};
use quaywright_core::moment::{Length, Moment};
use quaywright_core::store::vault::{BlobTrouble, NotKept};
use quaywright_core::store::{Batch, Blob, Kept};

pub use documents::{Amount, Leaf, Made, Outcome, Paper, Times, TooMuch, UnderWay};
pub use opening::open;

use crate::look::Look;
use crate::platform::share::Ready;
use crate::platform::vault::{Drafts, PhoneVault};
use crate::platform::{clock, lock, page, timer};
use crate::route::Route;

/// How long a request may take before the screen says that it is under way.
const NOTICED: Length = Length::from_ms(350);
/// How long a way back is offered, and how long other words stay.
const UNDO_STAYS: Length = Length::from_ms(30_000);
const WORDS_STAY: Length = Length::from_ms(8_000);
/// How long a slow second copy and the notes stand back, so that what is kept is seen first: on a
/// slow phone some 100 ms go by until it is painted.
const SEEN_FIRST: Length = Length::from_ms(120);
/// How long typing rests before a draft is kept.
const TYPING_RESTS: Length = Length::from_ms(350);

/// Handle to the desk; every screen has one.
#[derive(Clone, Copy)]
pub struct Desk {
    /// Everything that is kept, folded.
    pub book: RwSignal<Book>,
    /// The present, to the second.
    pub now: RwSignal<Moment>,
    /// The present, to the minute: for everything that need not be drawn each second.
    pub minute: Look<Moment>,
    /// Where one is in the app.
    pub route: RwSignal<Route>,
    /// What was said last.
    pub said: RwSignal<Option<Said>>,
    /// Whether a request has been under way for a noticeable time.
    pub busy: RwSignal<bool>,
    /// Whether one may work.
    pub phase: RwSignal<Phase>,
    /// What stays true until something is done about it.
    pub notices: RwSignal<Vec<String>>,
    /// What a photo is awaited for, since the camera was opened.
    pub expected: RwSignal<Option<About>>,
    /// A photo or voice note that could not be kept and must leave the phone another way.
    pub unkept: RwSignal<Option<Ready>, LocalStorage>,
    /// What the papers' worker is at.
    pub under_way: RwSignal<Option<UnderWay>, LocalStorage>,
    /// Whether a new version waits to take over.
    pub update: RwSignal<bool>,
    /// Whether this is the office.
    pub office: RwSignal<bool>,
    inner: StoredValue<Rc<Inner>, LocalStorage>,
}

/// Whether one may work.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Phase {
    /// The book is being read.
    Opening,
    /// One may work.
    Ready,
    /// Another tab of this browser works; this one shows.
    Watching,
    /// Something that was kept is missing: nothing is written until the person says how to go on.
    Halted(Vec<String>),
    /// The storage could not be opened at all.
    Failed(String),
}

/// What was said last, at the foot of the screen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Said {
    /// In words.
    pub text: String,
    /// What can be taken back.
    pub undo: Option<EventId>,
    /// Whether something was not kept.
    pub grave: bool,
}

/// What the screens do not see.
struct Inner {
    vault: RefCell<Option<Rc<PhoneVault>>>,
    /// One request after another.
    turn: Mutex<()>,
    tip: Cell<Option<Tip>>,
    drafts: RefCell<BTreeMap<String, Draft>>,
    asked_to_persist: Cell<bool>,
    /// Another name for the demo's storage, so that it never mixes with real work.
    place: &'static str,
}

/// What is half typed in one place.
#[derive(Default)]
struct Draft {
    text: Option<String>,
    /// Counts the changes, so that only the last one is stored.
    turn: u32,
}

impl Inner {
    fn draft(&self, key: &str) -> Option<String> {
        self.drafts.borrow().get(key)?.text.clone()
    }

    /// Changes a draft; returns what it was, and the number of this change.
    fn set_draft(&self, key: &str, text: Option<String>) -> (Option<String>, u32) {
        let mut drafts = self.drafts.borrow_mut();
        let draft = drafts.entry(key.to_owned()).or_default();
        draft.turn = draft.turn.wrapping_add(1);
        (std::mem::replace(&mut draft.text, text), draft.turn)
    }
}

/// Returns the desk.
pub fn use_desk() -> Desk {
    expect_context::<Desk>()
}

impl Desk {
    /// Returns a look at what the core says of the book at the present minute.
    pub fn look<T: PartialEq + Send + Sync + 'static>(
        self,
        ask: impl Fn(&Book, Moment) -> T + Send + Sync + 'static,
    ) -> Look<T> {
        Look::at(move || {
            let now = self.minute.get();
            self.book.with(|book| ask(book, now))
        })
    }

    /// Asks for something and says what came of it; `words` tell the deed.
    pub fn tell(self, request: impl Request, words: impl Into<String>) {
        self.tell_any(Rc::new(request), words.into());
    }

    fn tell_any(self, request: Rc<dyn Request>, words: String) {
        spawn_local(async move {
            self.ask_any(request, Vec::new(), words).await;
        });
    }

    /// Asks for something, says what came of it, and gives back the name of the
    /// first event when it is kept.
    pub fn ask(self, request: impl Request, words: impl Into<String>) -> impl Future<Output = Option<EventId>> {
        self.ask_with(request, Vec::new(), words.into())
    }

    /// As [`Desk::ask`], with photos that are kept in the same action.
    fn ask_with(self, request: impl Request, blobs: Vec<Blob>, words: String) -> impl Future<Output = Option<EventId>> {
        self.ask_any(Rc::new(request), blobs, words)
    }

    /// The same for every type of request, so that it is in the program once, and
    /// how a request is decided only where somebody makes it.
    async fn ask_any(self, request: Rc<dyn Request>, blobs: Vec<Blob>, words: String) -> Option<EventId> {
        let inner = self.inner.get_value();
        let undoable = request.can_be_taken_back();
        let late = self.say_when_late();
        // The control answers with the next frame; the new state shows when it is kept.
        let _control = page::at_work();
        let outcome = {
            let _turn = inner.turn.lock().await;
            self.keep(&inner, &*request, blobs).await
        };
        late.set(true);
        self.busy.set(false);
        match outcome {
            Ok(id) => {
                self.say(Said { text: words, undo: undoable.then_some(id), grave: false });
                Some(id)
            }
            Err(reason) => {
                self.complain(reason);
                None
            }
        }
    }

    /// Says something that went wrong, in words.
    pub fn complain(self, text: impl Into<String>) {
        self.say(Said { text: text.into(), undo: None, grave: true });
    }

    /// Says something.
    pub fn mention(self, text: impl Into<String>) {
        self.say(Said { text: text.into(), undo: None, grave: false });
    }

    /// Shows what was said; what is no trouble goes by itself after a while.
    fn say(self, said: Said) {
        self.said.set(Some(said.clone()));
        let stays = match (said.grave, said.undo) {
            (true, _) => return,
            (false, Some(_)) => UNDO_STAYS,
            (false, None) => WORDS_STAY,
        };
        spawn_local(async move {
            timer::wait(stays).await;
            if self.said.with_untracked(|now| now.as_ref() == Some(&said)) {
                self.said.set(None);
            }
        });
    }

    /// Takes back what was said last.
    pub fn take_back(self, event: EventId) {
        self.tell(Quick::Withdraw { event }, "Taken back");
    }

    /// Returns a photo's bytes, verified.
    pub async fn photo(self, id: BlobId) -> Result<Vec<u8>, BlobTrouble> {
        let vault = self.inner.get_value().vault.borrow().clone();
        match vault {
            Some(vault) => vault.blob(id).await,
            None => Err(BlobTrouble::Missing),
        }
    }

    /// Returns what was half typed under this key.
    pub fn draft(self, key: &str) -> Option<String> {
        self.inner.with_value(|inner| inner.draft(key))
    }

    /// Keeps what is half typed, once typing rests; an empty text takes it away.
    pub fn keep_draft(self, key: &str, text: String) {
        let inner = self.inner.get_value();
        let key = key.to_owned();
        let (_, turn) = inner.set_draft(&key, Some(text));
        spawn_local(async move {
            timer::wait(TYPING_RESTS).await;
            let is_last = inner.drafts.borrow().get(&key).is_some_and(|draft| draft.turn == turn);
            if is_last {
                self.store_draft(&key).await;
            }
        });
    }

    /// Forgets what was half typed, since it is kept or not wanted.
    pub fn drop_draft(self, key: &str) {
        let inner = self.inner.get_value();
        if inner.set_draft(key, None).0.is_some() {
            let key = key.to_owned();
            spawn_local(async move { self.store_draft(&key).await });
        }
    }

    /// Forgets everything that was half typed in a place: all drafts whose keys begin so.
    pub fn drop_drafts(self, place: &str) {
        let of_place = |inner: &Rc<Inner>| -> Vec<String> {
            inner.drafts.borrow().keys().filter(|key| key.starts_with(place)).cloned().collect()
        };
        self.inner.with_value(of_place).iter().for_each(|key| self.drop_draft(key));
    }

    /// Stores what is half typed under this key as it is now.
    pub async fn store_draft(self, key: &str) {
        let inner = self.inner.get_value();
        let text = inner.draft(key).unwrap_or_default();
        if let Err(error) = Drafts::open(inner.place).put(key, &text).await {
            page::log(&format!("a draft was not kept: {error}"));
        }
    }

    /// Decides, keeps, and only then takes into the book.
    async fn keep(self, inner: &Rc<Inner>, request: &dyn Request, blobs: Vec<Blob>) -> Result<EventId, String> {
        let vault = inner.vault.borrow().clone().ok_or("The workbook is still opening.")?;
        for _ in 0..2 {
            let tip = inner.tip.get().ok_or("This tab only shows: work goes on in the other one.")?;
            let now = clock::now();
            let events = self.book.with_untracked(|book| request.decide(book, tip.next(), now));
            let events = events.map_err(|refusal| sentence(&refusal.to_string()))?;
            let (batch, sealed) = write(tip, now, events, blobs.clone());
            match vault.append(&batch).await {
                Ok(()) => {
                    // Both in one repaint: drawn before, it would hold up the control's answer.
                    self.now.set(now);
                    self.take_in(inner, &sealed);
                    self.settle(vault);
                    self.ask_to_persist(inner);
                    return Ok(tip.next());
                }
                Err(NotKept::Earlier(kept)) => {
                    let late = self.take_in_late(inner, &kept);
                    // It was this very action, asked for again because it had been in doubt.
                    if let Some(first) = late.first().filter(|_| say_the_same(&late, &sealed)) {
                        self.settle(vault);
                        return Ok(first.record.id);
                    }
                }
                Err(error) => return Err(sentence(&error.to_string())),
            }
        }
        Err("Something else was kept in the meantime: look, then do it again.".to_owned())
    }

    /// Asks the browser, once a page, to keep what is here when it tidies up.
    fn ask_to_persist(self, inner: &Inner) {
        if !inner.asked_to_persist.replace(true) {
            // A browser that says no keeps its storage all the same until it runs short.
            spawn_local(async {
                let _ = page::ask_to_persist().await;
            });
        }
    }

    /// Takes kept records into the book, all in one repaint.
    fn take_in(self, inner: &Inner, sealed: &[Sealed]) {
        if let Some(mut tip) = inner.tip.get() {
            for one in sealed {
                tip.advance(one);
            }
            inner.tip.set(Some(tip));
        }
        self.book.update(|book| sealed.iter().for_each(|one| book.apply(&one.record)));
    }

    /// Takes in what was kept after all although it had not been confirmed.
    fn take_in_late(self, inner: &Inner, kept: &[Kept]) -> Vec<Sealed> {
        let sealed: Vec<Sealed> = kept.iter().filter_map(|one| line::read(&one.bytes).ok()).collect();
        self.take_in(inner, &sealed);
        sealed
    }

    /// Lets the second copy and the notes follow; nobody waits for it.
    fn settle(self, vault: Rc<PhoneVault>) {
        spawn_local(async move {
            timer::wait(SEEN_FIRST).await;
            for notice in vault.settle().await {
                self.notice(notice.to_string());
            }
            lock::tell_others();
        });
    }

    /// Adds what stays true until something is done about it.
    fn notice(self, text: String) {
        let text = sentence(&text);
        self.notices.update(|notices| {
            if !notices.contains(&text) {
                notices.push(text);
            }
        });
    }

    /// Says that something is under way once it takes noticeably long.
    fn say_when_late(self) -> Rc<Cell<bool>> {
        let done = Rc::new(Cell::new(false));
        let watched = done.clone();
        spawn_local(async move {
            timer::wait(NOTICED).await;
            if !watched.get() {
                self.busy.set(true);
            }
        });
        done
    }
}

/// Tells whether two runs of records say the same, perhaps at different moments.
fn say_the_same(some: &[Sealed], others: &[Sealed]) -> bool {
    some.iter().map(|one| &one.record.event).eq(others.iter().map(|one| &one.record.event))
}

/// Writes events as records that join `tip`.
fn write(
    mut tip: Tip,
    now: Moment,
    events: Vec<quaywright_core::event::Event>,
    blobs: Vec<Blob>,
) -> (Batch, Vec<Sealed>) {
    let mut batch = Batch { records: Vec::with_capacity(events.len()), blobs };
    let mut sealed = Vec::with_capacity(events.len());
    for event in events {
        let (bytes, one) = line::seal(tip.record(now, event));
        tip.advance(&one);
        batch.records.push(Kept { id: one.record.id, bytes });
        sealed.push(one);
    }
    (batch, sealed)
}

/// Makes a sentence of an error's text, which is this program's own and so begins
/// with a plain letter.
pub fn sentence(text: &str) -> String {
    let end = if text.ends_with(['.', '?', '!']) { "" } else { "." };
    let mut sentence = format!("{text}{end}");
    if let Some(first) = sentence.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    sentence
}
