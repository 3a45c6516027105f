//! From the start of the page to a desk at which one may work.
//!
//! One tab of a browser writes, the others show. What the storage holds is
//! verified by the vault; whatever was once kept and is missing halts the
//! start, and only the person's word or a backup goes on from there.

use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;
use std::rc::Rc;

use futures::lock::Mutex;
use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::book::Book;
use quaywright_core::exchange::line;
use quaywright_core::id::DeviceId;
use quaywright_core::log::{self, Sealed, Tip};
use quaywright_core::moment::Length;
use quaywright_core::store::vault::{Opened, State};
use quaywright_core::store::{Batch, Blob, Kept};
use quaywright_papers::wire::{self, Answer, Ask};

use super::{Desk, Inner, Phase, sentence};
use crate::later::{self, Errand};
use crate::look::Look;
use crate::platform::lock::{self, Turn};
use crate::platform::papers::Ended;
use crate::platform::photo::{Blob as Bytes, File};
use crate::platform::vault::{self, Drafts, PhoneVault};
use crate::platform::{clock, page, prefs, shell, timer};
use crate::route::Route;

/// The draft under which the device's identity is kept.
const DEVICE: &str = "device";
/// The storage of real work, and that of the demo.
const REAL: &str = "quaywright";
const DEMO: &str = "quaywright-demo";
/// The demo shop's days, which only the demo's own server has.
const DEMO_FILE: &str = "demo/backup.jsonl";

/// How long after a start or an action the two copies are left alone before they are compared.
const FIRST_HURRY: Length = Length::from_ms(10_000);

/// Makes the desk and begins to open the workbook.
pub fn open() -> Desk {
    let now = RwSignal::new(clock::now());
    let minute = Look::at(move || now.get().whole_minute());
    let inner = Inner {
        vault: RefCell::new(None),
        turn: Mutex::new(()),
        tip: Cell::new(None),
        drafts: RefCell::new(BTreeMap::new()),
        asked_to_persist: Cell::new(false),
        place: if page::query("demo").is_some() { DEMO } else { REAL },
    };
    let desk = Desk {
        book: RwSignal::new(Book::default()),
        now,
        minute,
        route: RwSignal::new(Route::read(&page::fragment())),
        said: RwSignal::new(None),
        busy: RwSignal::new(false),
        phase: RwSignal::new(Phase::Opening),
        notices: RwSignal::new(Vec::new()),
        expected: RwSignal::new(None),
        unkept: RwSignal::new_local(None),
        under_way: RwSignal::new_local(None),
        update: RwSignal::new(false),
        office: RwSignal::new(prefs::is_office()),
        inner: StoredValue::new_local(Rc::new(inner)),
    };
    clock::every_second(move || {
        // What is being kept brings the present along; drawn now, it would hold that up.
        if desk.inner.with_value(|inner| inner.turn.try_lock().is_some()) {
            now.set(clock::now());
        }
    });
    page::on_fragment(move |fragment| desk.route.set(Route::read(&fragment)));
    shell::watch(move || desk.update.set(true));
    page::note_taps();
    spawn_local(desk.start());
    desk
}

impl Desk {
    async fn start(self) {
        let inner = self.inner.get_value();
        let vault = Rc::new(vault::vault(inner.place));
        *inner.vault.borrow_mut() = Some(vault.clone());
        lock::on_news(inner.place, move || spawn_local(self.hear_news()));
        match lock::take_turn(inner.place, move || spawn_local(self.become_writer())).await {
            Turn::Writer => self.open_for_writing(&vault).await,
            Turn::Reader => self.open_for_showing(&vault).await,
        }
    }

    async fn open_for_writing(self, vault: &Rc<PhoneVault>) {
        let inner = self.inner.get_value();
        match Drafts::open(inner.place).all().await {
            Ok(drafts) => drafts.into_iter().for_each(|(key, text)| drop(inner.set_draft(&key, Some(text)))),
            // With them the device would lose its identity; and a storage that does not
            // even say this much gives no records either.
            Err(error) => return self.phase.set(Phase::Failed(sentence(&error.to_string()))),
        }
        match vault.open().await {
            Ok(opened) => self.adopt(opened).await,
            Err(error) => return self.phase.set(Phase::Failed(sentence(&error.to_string()))),
        }
        if self.phase.get_untracked() != Phase::Ready {
            return;
        }
        if inner.place == DEMO && self.book.with_untracked(|book| book.records() == 0) {
            later::run(self, Errand::Demo).await;
        }
        self.remember_expected_photo();
        self.follow_shortcut();
        self.settle(vault.clone());
        self.audit_later(vault.clone());
        self.warn_if_dropped_after_a_week();
    }

    /// Compares both copies byte for byte, once the first hurry is over and nobody is at
    /// work: of a long log that takes a while, in which every action would be slower.
    fn audit_later(self, vault: Rc<PhoneVault>) {
        let inner = self.inner.get_value();
        spawn_local(async move {
            loop {
                let before = inner.tip.get();
                timer::wait(FIRST_HURRY).await;
                if inner.tip.get() == before {
                    break;
                }
            }
            for notice in vault.audit().await {
                self.notice(notice.to_string());
            }
        });
    }

    async fn open_for_showing(self, vault: &Rc<PhoneVault>) {
        match vault.look().await {
            Ok(kept) => {
                self.book.set(book_of(&read(&kept)));
                self.phase.set(Phase::Watching);
            }
            Err(error) => self.phase.set(Phase::Failed(sentence(&error.to_string()))),
        }
    }

    /// The tab that wrote is gone, so this one takes its place.
    async fn become_writer(self) {
        let vault = self.inner.get_value().vault.borrow().clone();
        if let Some(vault) = vault {
            self.open_for_writing(&vault).await;
        }
    }

    /// Another tab has kept something.
    async fn hear_news(self) {
        let vault = self.inner.get_value().vault.borrow().clone();
        let Some(vault) = vault else { return };
        if self.phase.get_untracked() != Phase::Watching {
            return;
        }
        match vault.look().await {
            Ok(kept) => self.book.set(book_of(&read(&kept))),
            Err(error) => page::log(&format!("the other tab's news could not be read: {error}")),
        }
    }

    /// Takes what the vault holds as the book, and says what a person should know.
    async fn adopt(self, opened: Opened) {
        let inner = self.inner.get_value();
        let records = read(&opened.records);
        self.book.set(book_of(&records));
        for notice in opened.notices {
            self.notice(notice.to_string());
        }
        match opened.state {
            State::Ready => match self.device(&inner).await {
                Ok(device) => {
                    inner.tip.set(Some(Tip::after(device, &records)));
                    self.phase.set(Phase::Ready);
                }
                Err(why) => self.phase.set(Phase::Failed(sentence(&why))),
            },
            State::ReadOnly(troubles) => {
                inner.tip.set(None);
                let troubles = troubles.iter().map(|trouble| sentence(&trouble.to_string())).collect();
                self.phase.set(Phase::Halted(troubles));
            }
        }
    }

    /// Returns this device's identity; draws one where there is none, or where
    /// the old one lost numbers and must not be used again.
    async fn device(self, inner: &Inner) -> Result<DeviceId, String> {
        let known = inner.draft(DEVICE).and_then(|text| DeviceId::parse(&text));
        let closed = |device| inner.vault.borrow().as_ref().is_some_and(|vault| vault.is_closed(device));
        if let Some(device) = known.filter(|&device| !closed(device)) {
            return Ok(device);
        }
        let device = clock::draw_device()?;
        inner.set_draft(DEVICE, Some(device.to_string()));
        Drafts::open(inner.place).put(DEVICE, &device.to_string()).await.map_err(|error| error.to_string())?;
        Ok(device)
    }

    /// Takes in the demo shop's days.
    pub async fn fetch_demo(self) {
        match page::fetch(DEMO_FILE).await {
            Ok(file) => self.take_in_file(&file, "the demo").await,
            Err(why) => {
                self.complain(format!("The demo shop is not here ({why}): start with `cargo xtask serve --demo`."))
            }
        }
    }

    /// Brings back a backup, or takes in records of another device.
    pub fn bring_back(self, files: Vec<File>) {
        spawn_local(async move {
            for file in files {
                self.take_in_file(&file, &file.name()).await;
            }
        });
    }

    async fn take_in_file(self, file: &Bytes, name: &str) {
        let inner = self.inner.get_value();
        let Some(vault) = inner.vault.borrow().clone() else { return };
        let read = self.read_file(file, name).await;
        self.under_way.set(None);
        let batch = match read {
            Ok((batch, None)) => batch,
            Ok((batch, Some(procedures))) => return self.keep_procedures(&procedures, batch.blobs).await,
            Err(Ended::Stopped) => return self.mention("Stopped. Nothing was taken in."),
            Err(Ended::Failed(why)) => return self.complain(sentence(&why)),
        };
        let (records, photos) = (batch.records.len(), batch.blobs.len());
        if records + photos == 0 {
            return self.complain("Nothing was taken in: no entry of the file is whole. What was here is unchanged.");
        }
        self.mention("Keeping what was read …");
        let restored = {
            let _turn = inner.turn.lock().await;
            vault.restore(&batch).await
        };
        match restored {
            Ok(opened) => {
                self.adopt(opened).await;
                self.settle(vault);
                self.mention(format!("{records} entries and {photos} photos are here now."));
            }
            Err(why) => self.complain(sentence(&why.to_string())),
        }
    }

    /// Has a file read in the papers' worker: records and photos, or photos and procedures;
    /// notices tell what of it was not whole.
    async fn read_file(self, file: &Bytes, name: &str) -> Result<(Batch, Option<Vec<u8>>), Ended> {
        let papers = self.start_papers(&format!("Reading {name} …"))?;
        // The first answer is that one may ask.
        papers.hear().await?;
        papers.ask_with_file(&Ask::TakeIn, file);
        let mut batch = Batch::default();
        let mut procedures = None;
        loop {
            let told = papers.hear().await?;
            match told.answer {
                Answer::Records => {
                    let run = told.bytes();
                    batch.records.extend(wire::entries(&run).map(|(id, line)| Kept { id, bytes: line.to_vec() }));
                }
                Answer::Photo(id) => batch.blobs.push(Blob { id, bytes: told.bytes() }),
                Answer::Procedures => procedures = Some(told.bytes()),
                Answer::Fault(words) => self.notice(words),
                _ => return Ok((batch, procedures)),
            }
        }
    }

    /// Goes on without what is lost, because the person said so.
    pub fn carry_on_without(self) {
        spawn_local(async move {
            let inner = self.inner.get_value();
            let Some(vault) = inner.vault.borrow().clone() else { return };
            if let Err(why) = vault.carry_on_without().await {
                return self.complain(sentence(&why.to_string()));
            }
            self.open_for_writing(&vault).await;
        });
    }

    /// Does what the home screen's shortcut asks for.
    fn follow_shortcut(self) {
        let route = match page::query("do").as_deref() {
            Some("note") => Route::Note { job: None },
            Some("clock") => Route::Now,
            _ => return,
        };
        page::go_instead(&route.fragment());
        self.route.set(route);
    }

    fn warn_if_dropped_after_a_week(self) {
        if page::drops_after_a_week() {
            self.notice(
                "in a browser tab this phone drops what is kept after seven days without use. Put Quaywright on the \
                 home screen (share, then add to home screen) before real work"
                    .to_owned(),
            );
        }
    }
}

/// Reads what the vault holds: by name, each once.
fn read(kept: &[Kept]) -> Vec<Sealed> {
    // The vault has verified every line; one that does not read is none of its.
    kept.iter().filter_map(|one| line::read_verified(&one.bytes).ok()).collect()
}

fn book_of(records: &[Sealed]) -> Book {
    Book::replay(log::in_order(records).into_iter().map(|sealed| &sealed.record))
}
