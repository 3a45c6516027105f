//! What is done for the office page: pure, and tested natively.
//!
//! The same functions as the command's, in the same order, so figures and words are
//! equal. A run of taking in is asked file by file; whoever breaks it off loses no more
//! than the files of one batch, which are taken in again with the rest.

mod papers;
mod rescue;

use std::io::{Read, Seek};
use std::sync::Arc;

use quaywright_core::exchange::billed::Columns;
use quaywright_core::exchange::hours::table as hours_table;
use quaywright_core::exchange::html::looking::within_app;
use quaywright_core::exchange::{parties, payroll, pieces, prices};
use quaywright_core::hours::LOCAL_LAW;
use quaywright_core::id::Hash;
use quaywright_core::looking::Asked;

pub use rescue::rescue;

use crate::accounts::{self, Prices};
use crate::billing::{self, AllBilled, Exported};
use crate::checking::Kept;
use crate::crew::Alone;
use crate::hours;
use crate::looking;
use crate::packing::Packing;
use crate::pay::{self, Days, PayRules};
use crate::people::people_of;
use crate::store::journal::{Journal, Medium};
use crate::store::{Store, StoreError};
use crate::taking::Taking;
use crate::told::Told;
use crate::unpack::{self, BOUNDS};
use crate::wire::{Answer, Ask, Remembered};

/// Where answers go.
pub trait Outlet {
    /// Gives an answer, with bytes beside it.
    fn answer(&mut self, answer: Answer, beside: &[u8]);
}

/// The office at work on its store.
pub struct Work<M> {
    store: Journal<M>,
    run: Option<Run>,
    /// Files that were made and are packed into one.
    packing: Packing,
}

/// A run of taking in.
struct Run {
    taking: Taking,
    kept: Arc<Kept>,
    looked: usize,
}

/// Why something was not done.
#[derive(Debug, thiserror::Error)]
enum NotDone {
    #[error("the store cannot do it: {0}")]
    Store(#[from] StoreError),
    #[error("Nothing was taken in: there is no day to say.")]
    Nothing,
    #[error("choose a price list first")]
    NoPrices,
    #[error("choose the list of who sells and who buys first")]
    NoParties,
    #[error("no files are being taken in: pick them again")]
    NoRun,
    #[error("there is no export {0}")]
    NoExport(u32),
    #[error("{0}")]
    Words(String),
}

impl NotDone {
    fn words(why: impl std::fmt::Display) -> Self {
        Self::Words(why.to_string())
    }
}

/// Under which name the price list is kept, and under which what it is called.
const PRICES: (&str, &str) = ("prices", "prices are called");
/// The same of the list of who sells and who buys.
const PARTIES: (&str, &str) = ("parties", "parties are called");
/// Under which name the columns are kept.
const COLUMNS: &str = "columns";
/// Under which name the rules of pay are kept that were typed.
const PAY: &str = "rules of pay";

impl<M: Medium> Work<M> {
    /// Begins work on an open store, and says what it holds.
    pub fn begin(store: Journal<M>, out: &mut impl Outlet) -> Self {
        let mut work = Self { store, run: None, packing: Packing::default() };
        let done = work.tell_what_is_there(out);
        finish(done, out);
        work
    }

    /// Does what is asked; the bytes are those beside it.
    pub fn hear(&mut self, ask: Ask, beside: &[u8], out: &mut impl Outlet) {
        let done = self.done(ask, beside, out);
        finish(done, out);
    }

    /// Takes in a file of so many bytes, or what is packed in it.
    pub fn hear_file(&mut self, name: &str, file: impl Read + Seek, length: u64, out: &mut impl Outlet) {
        let done = self.take(name, file, length, out);
        finish(done, out);
    }

    fn done(&mut self, ask: Ask, beside: &[u8], out: &mut impl Outlet) -> Result<(), NotDone> {
        match ask {
            Ask::Open(_) => self.tell_what_is_there(out),
            Ask::TakeIn => {
                let taking = Taking::begin(&mut self.store)?;
                self.run = Some(Run { kept: taking.kept(), taking, looked: 0 });
                Ok(())
            }
            Ask::File(name) => self.take(&name, std::io::Cursor::new(beside), beside.len() as u64, out),
            Ask::End => self.end(out),
            Ask::Prices(name) => {
                prices::read(beside).map_err(|why| unusable(&name, &why))?;
                self.keep_file((PRICES, Remembered::Prices), &name, beside, out)
            }
            Ask::Parties(name) => {
                parties::read(beside).map_err(|why| unusable(&name, &why))?;
                self.keep_file((PARTIES, Remembered::Parties), &name, beside, out)
            }
            Ask::Columns => self.keep_columns(beside),
            Ask::Form(form) => {
                tell(out, &Told { said: form.words(), ..Told::default() });
                if let Some((name, example)) = form.example() {
                    table(out, name, None, example.as_bytes());
                }
                Ok(())
            }
            Ask::Bill { open, all } => self.bill(open, all, out),
            Ask::Export { open } => self.export(open, out),
            Ask::Again(number) => {
                let export = self.store.exported(Some(number))?.ok_or(NotDone::NoExport(number))?;
                table(out, &export_name(number), Some(number), &export.file);
                Ok(())
            }
            Ask::Written(number) => Ok(self.store.written(number)?),
            Ask::Hours { from, to } => {
                let hours = hours::hours(&mut self.store, &Alone, hours::Asked { from, to, anew: false })?;
                if hours.is_empty() {
                    return Err(NotDone::Nothing);
                }
                table(out, "hours.csv", None, &hours_table(&hours));
                Ok(())
            }
            Ask::Pay { from, to } => self.pay(&String::from_utf8_lossy(beside), Days { from, to }, out),
            Ask::Look(address) => self.look(&address, out),
            Ask::Drafts { number, issued } => self.drafts(number, issued, out),
            Ask::PutIn(name) => self.packing.put(&name, beside).map_err(NotDone::Words),
            Ask::PackUp(name) => {
                let packed = std::mem::take(&mut self.packing).end().map_err(NotDone::Words)?;
                table(out, &name, None, &packed);
                Ok(())
            }
            Ask::Claim(of) => self.claim(of, out),
            Ask::Photo(blob) => {
                match self.store.photo(blob)? {
                    Some(photo) => out.answer(Answer::Photo, &photo),
                    None => out.answer(Answer::NoPhoto, &[]),
                }
                Ok(())
            }
            Ask::Rescue | Ask::BeginAnew => Err(NotDone::words("the store is open: nothing of it has to be saved")),
        }
    }

    fn tell_what_is_there(&mut self, out: &mut impl Outlet) -> Result<(), NotDone> {
        let files = self.store.files()?.len();
        let technicians = people_of(&mut self.store)?.len();
        let exports = self.store.exported(None)?.map_or(0, |last| last.number);
        out.answer(Answer::Holds { files, technicians, exports }, &[]);
        let remembered = [
            (Remembered::Prices, PRICES.1),
            (Remembered::Columns, COLUMNS),
            (Remembered::Parties, PARTIES.1),
            (Remembered::Pay, PAY),
        ];
        for (which, name) in remembered {
            if let Some(text) = self.store.text(name) {
                out.answer(Answer::Remembered(which), text.as_bytes());
            }
        }
        Ok(())
    }

    fn take(&mut self, name: &str, file: impl Read + Seek, length: u64, out: &mut impl Outlet) -> Result<(), NotDone> {
        let Self { store, run, .. } = self;
        let Run { taking, kept, looked } = run.as_mut().ok_or(NotDone::NoRun)?;
        let mut done = Ok(());
        unpack::read(&unpack::shown(name), file, length, BOUNDS, &mut |found| {
            if done.is_ok() {
                done = taking.keep(store, kept.look_at(found));
                *looked += 1;
                out.answer(Answer::Looked(*looked), &[]);
            }
        });
        if done.is_err() {
            *run = None;
        }
        Ok(done?)
    }

    fn end(&mut self, out: &mut impl Outlet) -> Result<(), NotDone> {
        let run = self.run.take().ok_or(NotDone::NoRun)?;
        let report = run.taking.end(&mut self.store)?;
        let mut told = Told::default();
        report.tell(&mut told);
        tell(out, &told);
        self.tell_what_is_there(out)?;
        if report.is_nothing() { Err(NotDone::Nothing) } else { Ok(()) }
    }

    /// Keeps a file that was found usable, and what it is called.
    fn keep_file(
        &mut self,
        ((under, called), which): ((&str, &str), Remembered),
        name: &str,
        file: &[u8],
        out: &mut impl Outlet,
    ) -> Result<(), NotDone> {
        let text = std::str::from_utf8(file).map_err(|why| unusable(name, &why))?;
        self.store.keep_text(under, text)?;
        self.store.keep_text(called, name)?;
        out.answer(Answer::Remembered(which), name.as_bytes());
        Ok(())
    }

    fn keep_columns(&mut self, text: &[u8]) -> Result<(), NotDone> {
        let text = String::from_utf8_lossy(text).trim().to_owned();
        if !text.is_empty() {
            Columns::parse(&text).map_err(NotDone::words)?;
        }
        Ok(self.store.keep_text(COLUMNS, &text)?)
    }

    fn prices(&self) -> Result<Prices, NotDone> {
        let text = self.store.text(PRICES.0).ok_or(NotDone::NoPrices)?;
        let list = prices::read(text.as_bytes()).map_err(NotDone::words)?;
        Ok(Prices { list, print: Hash::of(text.as_bytes()) })
    }

    /// Returns what is to be billed now; what is open and what is wrong is told.
    fn due_now(&mut self, prices: &Prices, open: bool, told: &mut Told) -> Result<AllBilled, NotDone> {
        let asked = accounts::Asked { open, anew: false };
        let all = accounts::to_bill(&mut self.store, &Alone, prices, asked).map_err(NotDone::words)?;
        all.tell(&prices.list, told);
        Ok(all)
    }

    /// Says the bills: of all jobs, or of those only of which something is to be billed.
    fn bill(&mut self, open: bool, of_all: bool, out: &mut impl Outlet) -> Result<(), NotDone> {
        let prices = self.prices()?;
        let mut told = Told::default();
        let all = if of_all {
            let all = billing::billed(&mut self.store, &Alone, &prices.list, open)?;
            all.tell(&prices.list, &mut told);
            all
        } else {
            self.due_now(&prices, open, &mut told)?
        };
        all.tell_bills(&prices.list, &mut told).map_err(NotDone::words)?;
        tell(out, &told);
        Ok(())
    }

    fn export(&mut self, open: bool, out: &mut impl Outlet) -> Result<(), NotDone> {
        let prices = self.prices()?;
        let columns = match self.store.text(COLUMNS).filter(|text| !text.is_empty()) {
            Some(text) => Columns::parse(text).map_err(NotDone::words)?,
            None => Columns::all(),
        };
        let mut told = Told::default();
        let all = self.due_now(&prices, open, &mut told)?;
        let exported = billing::export(&mut self.store, &all, &columns).map_err(NotDone::words)?;
        told.say(exported.words());
        tell(out, &told);
        if let Exported::Earlier(export) | Exported::New(export, _) = exported {
            table(out, &export_name(export.number), Some(export.number), &export.file);
        }
        self.tell_what_is_there(out)
    }

    /// Keeps rules of pay that can be read, for the next table and the next opening.
    fn keep_rules(&mut self, typed: &PayRules, out: &mut impl Outlet) -> Result<(), NotDone> {
        if self.store.text(PAY).is_some() || *typed != PayRules::default() {
            self.store.keep_text(PAY, &typed.lines())?;
            out.answer(Answer::Remembered(Remembered::Pay), typed.lines().as_bytes());
        }
        Ok(())
    }

    fn pay(&mut self, typed: &str, days: Days, out: &mut impl Outlet) -> Result<(), NotDone> {
        let typed = PayRules::of_lines(typed);
        let rules = typed.read().map_err(NotDone::Words)?;
        self.keep_rules(&typed, out)?;
        let all = pay::weeks_of(&mut self.store, &Alone, &rules, days)?;
        if all.technicians.is_empty() {
            return Err(all.nobody().map_or(NotDone::Nothing, NotDone::Words));
        }
        let mut told = Told::default();
        all.tell(&mut told);
        told.say(payroll::RECORDS);
        told.say(LOCAL_LAW);
        tell(out, &told);
        table(out, "payroll.csv", None, &payroll::table(&all.technicians));
        Ok(())
    }
}

impl<M: Medium> Work<M> {
    fn look(&mut self, address: &str, out: &mut impl Outlet) -> Result<(), NotDone> {
        let asked = Asked::parse(address).ok_or_else(|| NotDone::words("there is nothing to see at this address"))?;
        // What needs a price list says so itself.
        let prices = self.prices().ok().map(|prices| prices.list);
        let seen = looking::look(&mut self.store, &Alone, asked, prices.as_ref()).map_err(NotDone::words)?;
        let told = Told { said: String::new(), wrong: seen.faults.iter().map(|fault| format!("{fault}\n")).collect() };
        tell(out, &told);
        let page = pieces::assemble(&within_app(&seen.answer), |blob| self.store.photo(blob).ok().flatten());
        out.answer(Answer::Page(seen.answer.title), &page);
        Ok(())
    }
}

fn unusable(name: &str, why: &dyn std::fmt::Display) -> NotDone {
    NotDone::words(format_args!("{name}: {why}"))
}

fn export_name(number: u32) -> String {
    format!("export-{number}.csv")
}

fn table(out: &mut impl Outlet, name: &str, export: Option<u32>, bytes: &[u8]) {
    out.answer(Answer::Table { name: name.to_owned(), export }, bytes);
}

fn tell(out: &mut impl Outlet, told: &Told) {
    for (answer, words) in [(Answer::Wrong, &told.wrong), (Answer::Said, &told.said)] {
        if !words.is_empty() {
            out.answer(answer, words.as_bytes());
        }
    }
}

fn finish(done: Result<(), NotDone>, out: &mut impl Outlet) {
    match done {
        Ok(()) => out.answer(Answer::Done, &[]),
        Err(why) => out.answer(Answer::Failed(why.to_string()), &[]),
    }
}
