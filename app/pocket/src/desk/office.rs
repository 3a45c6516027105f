//! The office page at work: its worker, what it is at, and what it said.
//!
//! Files go to the worker one at a time, so the page stays quick and **Stop** takes hold
//! at once: the worker is ended, what it kept stays, and the next question starts one anew.
//! PDFs are set by the papers' worker ([`papers`]), which is ended with its work.

mod papers;

use std::rc::Rc;

use leptos::prelude::*;
use leptos::task::spawn_local;
use quaywright_core::moment::Length;
use quaywright_desk::pay::PayRules;
use quaywright_desk::wire::{Answer, Ask, Remembered};

use super::{Desk, sentence};
use crate::platform::office::{Ended, Office, Picked};
use crate::platform::papers::Papers;
use crate::platform::share::Ready;
use crate::platform::{page, timer};

/// The office at work on this page.
#[derive(Clone, Copy)]
pub struct AtOffice {
    desk: Desk,
    worker: StoredValue<Option<Rc<Office>>, LocalStorage>,
    papers: StoredValue<Option<Rc<Papers>>, LocalStorage>,
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
    /// What the list of who sells and who buys is called.
    pub parties: RwSignal<String>,
    /// The rules of pay that were typed, as they are kept.
    pub pay: RwSignal<PayRules>,
    /// Whether the store is damaged and was left as it is.
    pub damaged: RwSignal<bool>,
    /// What was asked for, in words.
    pub said: RwSignal<String>,
    /// What is wrong, in words.
    pub wrong: RwSignal<String>,
    /// Files that are ready to be saved, in the order in which they came.
    pub files: RwSignal<Vec<Made>, LocalStorage>,
    /// The parts that were heard of the next one.
    parts: StoredValue<Vec<Ready>, LocalStorage>,
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

/// A file that is ready to be saved.
#[derive(Clone, Debug)]
pub struct Made {
    /// The file.
    pub ready: Ready,
    /// Whether it was saved.
    pub saved: bool,
    export: Option<u32>,
}

/// Returns the kind of a file by the ending of its name, as a media type.
fn media_type(name: &str) -> &'static str {
    match name.rsplit('.').next() {
        Some("csv") => "text/csv",
        Some("json") => "application/json",
        Some("zip") => "application/zip",
        _ => "application/octet-stream",
    }
}

/// Where on the page it is told what is under way and what came of it.
pub const ANSWER: &str = "answer";

/// Tells whether one who asks this from further down has to be led to what is told of it.
fn is_told_above(ask: &Ask) -> bool {
    matches!(
        ask,
        Ask::TakeIn
            | Ask::Form(_)
            | Ask::Bill { .. }
            | Ask::Export { .. }
            | Ask::Again(_)
            | Ask::Hours { .. }
            | Ask::Pay { .. }
            | Ask::Rescue
            | Ask::BeginAnew
    )
}

impl Desk {
    /// Begins the office's work; it ends with what is drawn here.
    pub fn at_office(self) -> AtOffice {
        let office = AtOffice {
            desk: self,
            worker: StoredValue::new_local(None),
            papers: StoredValue::new_local(None),
            busy: RwSignal::new(None),
            looked: RwSignal::new(0),
            holds: RwSignal::new(None),
            prices: RwSignal::new(String::new()),
            columns: RwSignal::new(String::new()),
            parties: RwSignal::new(String::new()),
            pay: RwSignal::new(PayRules::default()),
            damaged: RwSignal::new(false),
            said: RwSignal::new(String::new()),
            wrong: RwSignal::new(String::new()),
            files: RwSignal::new_local(Vec::new()),
            parts: StoredValue::new_local(Vec::new()),
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

    /// Keeps the list of who sells and who buys in a file.
    pub fn take_parties(self, files: Vec<Picked>) {
        if let Some(file) = files.into_iter().next() {
            self.run("Reading who sells and who buys …", vec![(Ask::Parties(file.name.clone()), Beside::File(file))]);
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
        self.papers.with_value(|papers| papers.iter().for_each(|papers| papers.stop()));
        self.worker.with_value(|worker| worker.iter().for_each(|worker| worker.stop()));
    }

    /// Saves a file that is ready, counted from 0; an export is marked as written.
    pub fn save(self, nth: usize) {
        let Some(made) = self.files.with_untracked(|files| files.get(nth).cloned()) else { return };
        match made.ready.download() {
            Ok(()) => {
                self.desk.mention(format!("{} is saved", made.ready.name()));
                self.files.update(|files| files.iter_mut().skip(nth).take(1).for_each(|made| made.saved = true));
                if let Some(number) = made.export {
                    self.run("Noting it …", vec![(Ask::Written(number), Beside::Bytes(Vec::new()))]);
                }
            }
            Err(why) => self.desk.complain(sentence(&why)),
        }
    }

    /// Asks some things in turn; the first that is not done ends it.
    fn run(self, words: &str, questions: Vec<Question>) {
        let first = questions.first().map(|(ask, _)| ask);
        let is_aside = matches!(first, Some(Ask::Written(_)));
        let leads = first.is_some_and(is_told_above);
        let named = words.to_owned();
        self.work(words, is_aside, leads, async move { self.ask_all(&named, questions).await });
    }

    /// Does one piece of work, unless another is under way. Where it is not done aside, what was
    /// told before goes; where it leads, the person is led to what is told of it.
    fn work(
        self,
        words: &str,
        is_aside: bool,
        leads: bool,
        work: impl Future<Output = Result<Option<String>, Ended>> + 'static,
    ) {
        if self.busy.with_untracked(Option::is_some) {
            let words = words.to_owned();
            return spawn_local(async move {
                // Whoever taps straight out of a field that is read when it is left means both.
                match self.is_free_soon().await {
                    true => self.work(&words, is_aside, leads, work),
                    false => self.desk.mention("The office is at work: wait for it, or stop it."),
                }
            });
        }
        self.busy.set(Some(words.to_owned()));
        if !is_aside {
            self.said.set(String::new());
            self.wrong.set(String::new());
            self.files.set(Vec::new());
        }
        self.looked.set(0);
        if leads {
            page::focus(ANSWER);
        }
        spawn_local(async move {
            let done = work.await;
            self.papers.try_set_value(None);
            self.parts.try_set_value(Vec::new());
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

    /// Waits a moment for what is under way; returns whether it is done.
    async fn is_free_soon(self) -> bool {
        for _ in 0..20 {
            timer::wait(Length::from_ms(50)).await;
            match self.busy.try_with_untracked(Option::is_none) {
                Some(true) => return true,
                Some(false) => {}
                None => return false,
            }
        }
        false
    }

    /// Returns the worker, which is started where none is; or why its store is not open.
    async fn worker(self) -> Result<Result<Rc<Office>, String>, Ended> {
        if let Some(worker) = self.worker.try_get_value().flatten() {
            return Ok(Ok(worker));
        }
        let worker = Office::start()?;
        self.worker.try_update_value(|known| *known = Some(worker.clone())).ok_or(Ended::Stopped)?;
        worker.hear().await?;
        let place = if page::query("demo").is_some() { "demo" } else { "yard" };
        worker.ask(&Ask::Open(place.to_owned()), &[]);
        match self.hear(&worker, &mut Vec::new()).await? {
            None => Ok(Ok(worker)),
            Some(why) => {
                // A damaged store has files to give.
                if !self.damaged.try_get_untracked().unwrap_or_default() {
                    self.worker.try_set_value(None);
                }
                Ok(Err(why))
            }
        }
    }

    /// Returns why one was not done, if one was not.
    async fn ask_all(self, words: &str, questions: Vec<Question>) -> Result<Option<String>, Ended> {
        let worker = match self.worker().await? {
            Ok(worker) => worker,
            Err(why) => return Ok(Some(why)),
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
            if let Some(why) = self.hear(&worker, &mut Vec::new()).await? {
                return Ok(Some(why));
            }
        }
        Ok(None)
    }

    /// Hears all that is answered to one question; returns why it was not done, if it was not.
    /// What papers are made of is put by, with what stands beside it.
    async fn hear(self, worker: &Office, put_by: &mut Vec<(Answer, Vec<u8>)>) -> Result<Option<String>, Ended> {
        let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
        loop {
            let (answer, beside) = worker.hear().await?;
            match answer {
                Answer::Ready => {}
                Answer::Holds { files, technicians, exports } => {
                    self.damaged.try_set(false);
                    self.holds.try_set(Some(Holds { files, technicians, exports }));
                }
                Answer::Remembered(Remembered::Prices) => {
                    self.prices.try_set(text(&beside));
                }
                Answer::Remembered(Remembered::Columns) => {
                    self.columns.try_set(text(&beside));
                }
                Answer::Remembered(Remembered::Parties) => {
                    self.parties.try_set(text(&beside));
                }
                Answer::Remembered(Remembered::Pay) => {
                    self.pay.try_set(PayRules::of_lines(&text(&beside)));
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
                Answer::Part => self.keep_part(&beside),
                Answer::Table { name, export } => {
                    self.keep_part(&beside);
                    let parts = self.parts.try_update_value(std::mem::take).unwrap_or_default();
                    match Ready::joined(&name, media_type(&name), &parts) {
                        Some(ready) => self.offer(ready, export),
                        None => return Ok(Some(NO_ROOM.to_owned())),
                    }
                }
                Answer::Damaged => {
                    self.damaged.try_set(true);
                }
                answer @ (Answer::Draft { .. }
                | Answer::Lines
                | Answer::Claim { .. }
                | Answer::Photo
                | Answer::NoPhoto) => put_by.push((answer, beside)),
                Answer::Page(title) => {
                    self.looked_at.try_set(Some((title, text(&beside))));
                }
                Answer::Done => return Ok(None),
                Answer::Failed(why) => return Ok(Some(why)),
            }
        }
    }

    /// Puts a part of a file by.
    fn keep_part(self, bytes: &[u8]) {
        self.parts.try_update_value(|parts| parts.extend(Ready::of("part", "", bytes)));
    }

    /// Offers a file to be saved.
    fn offer(self, ready: Ready, export: Option<u32>) {
        self.files.try_update(|files| files.push(Made { ready, saved: false, export }));
    }
}

/// What is said where a file cannot be made.
const NO_ROOM: &str = "this browser has no room for the file";
