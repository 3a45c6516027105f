//! The office page at work: its worker, what it is at, and what it said.
//!
//! Files go to the worker one at a time, so the page stays quick and **Stop** takes hold
//! at once: the worker is ended, what it kept stays, and the next question starts one anew.

use std::rc::Rc;

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_desk::wire::{Answer, Ask, Remembered};

use super::{Desk, sentence};
use crate::platform::office::{Ended, Office, Picked};
use crate::platform::page;
use crate::platform::share::Ready;

/// The office at work on this page.
#[derive(Clone, Copy)]
pub struct AtOffice {
    desk: Desk,
    worker: StoredValue<Option<Rc<Office>>, LocalStorage>,
    /// What it is at, in words.
    pub busy: RwSignal<Option<String>>,
    /// How many files were looked at in this run.
    pub looked: RwSignal<usize>,
    /// What the store holds, when that is known.
    pub holds: RwSignal<Option<Holds>>,
    /// What the price list is called.
    pub prices: RwSignal<String>,
    /// The columns of exports, as they are kept.
    pub columns: RwSignal<String>,
    /// What was asked for, in words.
    pub said: RwSignal<String>,
    /// What is wrong, in words.
    pub wrong: RwSignal<String>,
    /// A table that is ready to be saved.
    pub table: RwSignal<Option<Table>, LocalStorage>,
    /// What is looked at: its title, and the elements below it.
    pub looked_at: RwSignal<Option<(String, String)>>,
}

/// What the store holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Holds {
    /// Files that were taken in.
    pub files: usize,
    /// Who worked.
    pub technicians: usize,
    /// The number of the last export, 0 for none.
    pub exports: u32,
}

/// A table that is ready to be saved.
#[derive(Clone, Debug)]
pub struct Table {
    /// The file.
    pub ready: Ready,
    export: Option<u32>,
}

/// Where on the page it is told what is under way and what came of it.
pub const ANSWER: &str = "answer";

/// Tells whether one who asks this from further down has to be led to what is told of it.
fn is_told_above(ask: &Ask) -> bool {
    matches!(ask, Ask::TakeIn | Ask::Bill { .. } | Ask::Export { .. } | Ask::Again(_) | Ask::Hours { .. } | Ask::Pay)
}

impl Desk {
    /// Begins the office's work; it ends with what is drawn here.
    pub fn at_office(self) -> AtOffice {
        let office = AtOffice {
            desk: self,
            worker: StoredValue::new_local(None),
            busy: RwSignal::new(None),
            looked: RwSignal::new(0),
            holds: RwSignal::new(None),
            prices: RwSignal::new(String::new()),
            columns: RwSignal::new(String::new()),
            said: RwSignal::new(String::new()),
            wrong: RwSignal::new(String::new()),
            table: RwSignal::new_local(None),
            looked_at: RwSignal::new(None),
        };
        office.run("Opening the store …", Vec::new());
        office
    }
}

/// A question, what it is called while it is worked at, and what goes along.
type Question = (Ask, Beside);

/// What goes along with a question.
pub enum Beside {
    /// Bytes.
    Bytes(Vec<u8>),
    /// A file, which the worker reads.
    File(Picked),
}

impl AtOffice {
    /// Asks one thing.
    pub fn ask(self, words: &str, ask: Ask, beside: Vec<u8>) {
        self.run(words, vec![(ask, Beside::Bytes(beside))]);
    }

    /// Keeps the price list in a file.
    pub fn take_prices(self, files: Vec<Picked>) {
        if let Some(file) = files.into_iter().next() {
            self.run("Reading the price list …", vec![(Ask::Prices(file.name.clone()), Beside::File(file))]);
        }
    }

    /// Takes files in, one after the other.
    pub fn take_in(self, files: Vec<Picked>) {
        if files.is_empty() {
            return self.desk.mention("There is no file in that.");
        }
        let mut questions = vec![(Ask::TakeIn, Beside::Bytes(Vec::new()))];
        questions.extend(files.into_iter().map(|file| (Ask::File(file.name.clone()), Beside::File(file))));
        questions.push((Ask::End, Beside::Bytes(Vec::new())));
        self.run("Taking in", questions);
    }

    /// Stops what is under way.
    pub fn stop(self) {
        self.worker.with_value(|worker| worker.iter().for_each(|worker| worker.stop()));
    }

    /// Saves the table that is ready; an export is marked as written.
    pub fn save(self) {
        let Some(table) = self.table.get_untracked() else { return };
        match table.ready.download() {
            Ok(()) => {
                self.desk.mention(format!("{} is saved", table.ready.name()));
                if let Some(number) = table.export {
                    self.run("Noting it …", vec![(Ask::Written(number), Beside::Bytes(Vec::new()))]);
                }
            }
            Err(why) => self.desk.complain(sentence(&why)),
        }
    }

    /// Asks some things in turn; the first that is not done ends it.
    fn run(self, words: &str, questions: Vec<Question>) {
        if self.busy.with_untracked(Option::is_some) {
            return self.desk.mention("The office is at work: wait for it, or stop it.");
        }
        self.busy.set(Some(words.to_owned()));
        if !matches!(questions.first(), Some((Ask::Written(_), _))) {
            self.said.set(String::new());
            self.wrong.set(String::new());
            self.table.set(None);
        }
        self.looked.set(0);
        if questions.first().is_some_and(|(ask, _)| is_told_above(ask)) {
            page::focus(ANSWER);
        }
        let words = words.to_owned();
        spawn_local(async move {
            let done = self.ask_all(&words, questions).await;
            // Who left meanwhile took the signals along.
            if self.busy.try_set(None).is_some() {
                return;
            }
            match done {
                Ok(None) => {}
                Ok(Some(why)) => self.desk.complain(sentence(&why)),
                Err(ended) => {
                    self.worker.set_value(None);
                    match ended {
                        Ended::Stopped => self.desk.mention(
                            "Stopped. What was kept stays; take the same files in again, and the rest comes in.",
                        ),
                        Ended::Failed(why) => self.desk.complain(sentence(&why)),
                    }
                }
            }
        });
    }

    /// Returns why one was not done, if one was not.
    async fn ask_all(self, words: &str, questions: Vec<Question>) -> Result<Option<String>, Ended> {
        let worker = match self.worker.try_get_value().flatten() {
            Some(worker) => worker,
            None => {
                let worker = Office::start()?;
                self.worker.try_update_value(|known| *known = Some(worker.clone())).ok_or(Ended::Stopped)?;
                worker.hear().await?;
                let place = if page::query("demo").is_some() { "demo" } else { "yard" };
                worker.ask(&Ask::Open(place.to_owned()), &[]);
                if let Some(why) = self.hear(&worker).await? {
                    self.worker.try_set_value(None);
                    return Ok(Some(why));
                }
                worker
            }
        };
        let files = questions.iter().filter(|(ask, _)| matches!(ask, Ask::File(_))).count();
        let mut nth = 0;
        for (ask, beside) in questions {
            if let Ask::File(_) = ask {
                nth += 1;
                self.busy.try_set(Some(format!("{words} {nth} of {files} files …")));
            }
            match beside {
                Beside::Bytes(bytes) => worker.ask(&ask, &bytes),
                Beside::File(file) => worker.ask_with_file(&ask, &file),
            }
            if let Some(why) = self.hear(&worker).await? {
                return Ok(Some(why));
            }
        }
        Ok(None)
    }

    /// Hears all that is answered to one question; returns why it was not done, if it was not.
    async fn hear(self, worker: &Office) -> Result<Option<String>, Ended> {
        let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
        loop {
            let (answer, beside) = worker.hear().await?;
            match answer {
                Answer::Ready => {}
                Answer::Holds { files, technicians, exports } => {
                    self.holds.try_set(Some(Holds { files, technicians, exports }));
                }
                Answer::Remembered(Remembered::Prices) => {
                    self.prices.try_set(text(&beside));
                }
                Answer::Remembered(Remembered::Columns) => {
                    self.columns.try_set(text(&beside));
                }
                Answer::Looked(count) => {
                    self.looked.try_set(count);
                }
                Answer::Said => {
                    self.said.try_update(|said| said.push_str(&text(&beside)));
                }
                Answer::Wrong => {
                    self.wrong.try_update(|wrong| wrong.push_str(&text(&beside)));
                }
                Answer::Table { name, export } => {
                    let ready = Ready::of(&name, "text/csv", &beside);
                    self.table.try_set(ready.map(|ready| Table { ready, export }));
                }
                Answer::Page(title) => {
                    self.looked_at.try_set(Some((title, text(&beside))));
                }
                Answer::Done => return Ok(None),
                Answer::Failed(why) => return Ok(Some(why)),
            }
        }
    }
}
