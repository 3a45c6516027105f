//! A document that is being made, step by step.
//!
//! It is made of the log alone, by the same fold and the same sheets as
//! everywhere. When it comes to a photo it asks for that one and waits. The
//! photos of a page or a backup never lie in memory together; those of a PDF
//! do, because a PDF's index stands at its end, so there is a limit to them.

use std::collections::{BTreeMap, BTreeSet};
use std::vec::IntoIter;

use quaywright_core::book::Book;
use quaywright_core::event::{DayTable, Procedure, Reader};
use quaywright_core::exchange::pieces::Piece;
use quaywright_core::exchange::{
    agreement, backup, bundle, html, job_file, job_summary as job, line, procedure, table,
};
use quaywright_core::id::{BlobId, DeviceId, Hash, Hashing, JobId, LineId, Named, VersionId};
use quaywright_core::log::Log;
use quaywright_core::moment::{Day, Moment};
use quaywright_core::order;
use quaywright_core::owner::message::message;
use quaywright_core::sheet::job::{JobSummary, days_of, job_summary};
use quaywright_core::sheet::revised::{Left, revised_day_sheet};
use quaywright_core::sheet::times::owners_time;
use quaywright_core::sheet::warranty::warranty_sheet;
use quaywright_core::sheet::{self, DaySheet, LogHead, OwnerSheet};
use quaywright_core::text::Label;

use crate::pdf::{Attached, Draft, Made, Weights};
use crate::wire::{Answer, Leaf, PHOTO_BYTES, Paper, Photos, Times, TooMuch};
use crate::work::Outlet;

/// How many photos are told beforehand.
const AHEAD: usize = 8;

/// A photo as it comes in.
#[derive(Clone, Copy)]
pub(crate) enum Shot<'a> {
    /// Its own bytes, or others.
    Whole(Named<'a>),
    /// A smaller picture of it.
    Smaller(&'a [u8]),
    /// It could not be had.
    None,
}

/// Why a document is not made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum NotMade {
    /// What it would tell of is not in the book.
    NotThere,
    /// Its photos are more than one PDF takes.
    TooMuch(TooMuch),
}

/// A document that is being made.
pub(crate) struct Making {
    name: String,
    kind: &'static str,
    form: Form,
    photos: usize,
    /// How many photos were asked for.
    asked: usize,
    /// The photo that it waits for was asked for once more, since other bytes came.
    again: bool,
    hashing: Hashing,
}

/// How it is made.
enum Form {
    /// Piece after piece; one may wait for its photo.
    Pieces { rest: IntoIter<Piece>, waits: Option<Piece> },
    /// When all photos are there; one may be waited for.
    Pdf { draft: Box<Draft>, rest: IntoIter<BlobId>, waits: Option<BlobId> },
}

impl Making {
    fn of_pieces(name: String, kind: &'static str, pieces: Vec<Piece>) -> Self {
        let photos = pieces.iter().filter(|piece| piece.blob().is_some()).count();
        Self::new(name, kind, photos, Form::Pieces { rest: pieces.into_iter(), waits: None })
    }

    /// Begins one that is set as PDF, which is called so.
    pub(crate) fn of_pdf(name: String, draft: Draft) -> Self {
        let photos = draft.photos();
        let (count, rest) = (photos.len(), photos.into_iter());
        Self::new(name, "application/pdf", count, Form::Pdf { draft: Box::new(draft), rest, waits: None })
    }

    fn new(name: String, kind: &'static str, photos: usize, form: Form) -> Self {
        Self { name, kind, form, photos, asked: 0, again: false, hashing: Hashing::default() }
    }

    /// Sees that the photos of a PDF are not too much, or keeps those of one part.
    fn within(self, photos: Photos, book: &Book) -> Result<Self, NotMade> {
        let Form::Pdf { mut draft, .. } = self.form else { return Ok(self) };
        let weights = weights(book);
        let bytes = draft.photos().iter().filter_map(|blob| weights.get(blob)).sum();
        if photos == Photos::Whole && bytes > PHOTO_BYTES {
            return Err(NotMade::TooMuch(TooMuch { bytes, parts: draft.parts(&weights) }));
        }
        let mut name = self.name;
        if let Photos::Part(number) = photos {
            let of = draft.keep_part(number, &weights).ok_or(NotMade::NotThere)?;
            let stem = name.strip_suffix(".pdf").unwrap_or(&name);
            name = format!("{stem} part {number} of {of}.pdf");
        }
        Ok(Self::of_pdf(name, *draft))
    }

    /// Takes the photo that it waits for, or goes on without it; returns whether it goes on. The
    /// first time that other bytes come it asks for the photo once more and waits.
    pub(crate) fn take_photo(&mut self, photo: Shot<'_>, to: &mut dyn Outlet) -> bool {
        let Some(blob) = self.waits_for() else { return true };
        let is_another = matches!(photo, Shot::Whole(bytes) if bytes.under(blob).is_none());
        self.again = is_another && !self.again;
        if self.again {
            to.answer(Answer::Another(blob), &[]);
            return false;
        }
        match &mut self.form {
            Form::Pieces { waits, .. } => {
                if let Some(piece) = waits.take() {
                    let whole = if let Shot::Whole(bytes) = photo { Some(bytes) } else { None };
                    self.write(&piece.written(whole), to);
                }
            }
            Form::Pdf { draft, waits, .. } => {
                *waits = None;
                draft.take(blob, photo);
            }
        }
        true
    }

    fn waits_for(&self) -> Option<BlobId> {
        match &self.form {
            Form::Pieces { waits, .. } => waits.as_ref().and_then(Piece::blob),
            Form::Pdf { waits, .. } => *waits,
        }
    }

    /// Goes on up to the next photo or to the end; returns whether that was the end.
    pub(crate) fn go_on(&mut self, to: &mut dyn Outlet) -> bool {
        while let Form::Pieces { rest, waits } = &mut self.form {
            let Some(piece) = rest.next() else { return self.hand_out(to) };
            if let Some(blob) = piece.blob() {
                *waits = Some(piece);
                let then = rest.as_slice().iter().filter_map(Piece::blob).take(AHEAD).collect();
                return self.ask_for(blob, then, to);
            }
            self.write(&piece.written(None), to);
        }
        let Form::Pdf { draft, rest, waits } = &mut self.form else { return true };
        if let Some(blob) = rest.next() {
            *waits = Some(blob);
            let then = rest.as_slice().iter().copied().take(AHEAD).collect();
            return self.ask_for(blob, then, to);
        }
        let Some(typeset) = draft.typeset() else {
            to.answer(Answer::Failed("the PDF could not be made: make it as a page".to_owned()), &[]);
            return true;
        };
        typeset.faults.into_iter().for_each(|fault| to.answer(Answer::Fault(fault), &[]));
        to.hand_out_whole(&self.name, self.kind, &typeset.bytes);
        true
    }

    fn ask_for(&mut self, blob: BlobId, then: Vec<BlobId>, to: &mut dyn Outlet) -> bool {
        self.asked += 1;
        to.answer(Answer::Wanted { blob, number: self.asked, of: self.photos, then }, &[]);
        false
    }

    fn hand_out(&mut self, to: &mut dyn Outlet) -> bool {
        let hashing = std::mem::take(&mut self.hashing);
        to.hand_out(&self.name, self.kind, BlobId(hashing.finish()));
        true
    }

    fn write(&mut self, bytes: &[u8], to: &mut dyn Outlet) {
        self.hashing.take(bytes);
        to.write(bytes);
    }
}

/// Returns what is known of how many bytes each photo and each voice note has.
fn weights(book: &Book) -> Weights {
    let photos = book.evidence.photos().map(|it| (it.facts.blob, u64::from(it.facts.bytes)));
    let voices = book.evidence.voices().map(|it| (it.facts.blob, u64::from(it.facts.bytes)));
    photos.chain(voices).collect()
}

/// Begins a document.
///
/// # Errors
/// When what it would tell of is not in the book, or its photos are too much.
pub(crate) fn make(
    paper: Paper,
    now: Moment,
    device: Option<DeviceId>,
    photos: Photos,
    lines: Vec<Vec<u8>>,
) -> Result<Making, NotMade> {
    let (making, book) = begun(paper, now, device, lines);
    making.ok_or(NotMade::NotThere)?.within(photos, &book)
}

/// Begins a document of a log; there is none for a job or a procedure that is not in the book.
fn begun(paper: Paper, now: Moment, device: Option<DeviceId>, lines: Vec<Vec<u8>>) -> (Option<Making>, Book) {
    let mut log = Log::default();
    // The page's vault has verified every line; one that does not read is none of its.
    lines.iter().filter_map(|line| line::read_verified(line).ok()).for_each(|sealed| log.take(sealed));
    let book = Book::replay(log.in_order().into_iter().map(|sealed| &sealed.record));
    (making(paper, now, device, (&log, &book, &lines)), book)
}

fn making(
    paper: Paper,
    now: Moment,
    device: Option<DeviceId>,
    (log, book, lines): (&Log, &Book, &[Vec<u8>]),
) -> Option<Making> {
    let head = log_head(log, device);
    let day_sheet = |day| sheet::day_sheet(book, day, now, head);
    // A document that says which revision it is goes by all that was told before it.
    let revised = |day| revised_day_sheet(&log.in_order(), book, day, now, head);
    let today = now.day();
    let records = lines.iter().map(Vec::as_slice);
    let making = match paper {
        Paper::DayBundle(day) => {
            Making::of_pieces(day_name("day", day, "html"), "text/html", bundle::page(&revised(day), records))
        }
        Paper::DayPdf(day, leaf) => {
            let (sheet, jobs) = day_and_jobs(day_sheet(day), log, book, now);
            let attached = attached(&sheet, bundle::data(&sheet, records), job::summaries(&jobs));
            let draft = Draft::new(html::day_page(&sheet, Vec::new()), leaf, Made::At(now), attached);
            Making::of_pdf(day_name("day", day, "pdf"), draft)
        }
        Paper::DayJson(day) => {
            Making::of_pieces(day_name("day", day, "json"), "application/json", bundle::json(&revised(day), records))
        }
        Paper::DayTable(day) => csv("hours", day, table::table(&[day_sheet(day)])),
        Paper::Further(day, DayTable::Billing) => csv("billing", day, table::billing::table(&[day_sheet(day)])),
        Paper::Further(day, DayTable::Mends) => csv("mends", day, table::mends::table(&[day_sheet(day)])),
        Paper::OwnerSummary(job, reader, times) => {
            let (name, pieces) = owner_page(book, job, now, (reader, times))?;
            Making::of_pieces(day_name(&name, today, "html"), "text/html", pieces)
        }
        Paper::Agreement(job) => {
            let (name, pieces) = agreement_page(book, job, today)?;
            Making::of_pieces(day_name(&name, today, "html"), "text/html", pieces)
        }
        Paper::AgreementPdf(job, leaf) => {
            let (name, pieces) = agreement_page(book, job, today)?;
            Making::of_pdf(day_name(&name, today, "pdf"), Draft::new(pieces, leaf, Made::On(today), Vec::new()))
        }
        Paper::OwnerPdf(job, leaf, reader, times) => owner_pdf(book, job, now, leaf, (reader, times))?,
        Paper::OwnerMessage(job, reader) => {
            let text = message(&owner_sheet(book, job, now, (reader, Times::Kept))?).into_bytes();
            Making::of_pieces(day_name("message", today, "txt"), "text/plain", vec![Piece::Text(text)])
        }
        Paper::WarrantyPack(line) => {
            let (name, pieces) = warranty_page(book, line, now, head)?;
            Making::of_pieces(day_name(&name, today, "html"), "text/html", pieces)
        }
        Paper::WarrantyPdf(line, leaf) => {
            let (name, pieces) = warranty_page(book, line, now, head)?;
            Making::of_pdf(day_name(&name, today, "pdf"), Draft::new(pieces, leaf, Made::At(now), Vec::new()))
        }
        Paper::JobFile(job) => {
            let (boat, pieces) = job_file(log, book, job, lines)?;
            let name = day_name(&format!("job on {}", file_name(&boat)), today, "txt");
            Making::of_pieces(name, "text/plain", pieces)
        }
        Paper::Backup => {
            let photos = order::each_once(book.evidence.all_blobs().chain(book.procedures.pictures()).collect());
            let name = day_name("quaywright backup", today, "txt");
            Making::of_pieces(name, "text/plain", backup::pieces(records, &photos))
        }
        Paper::Procedure(version) => {
            let reads = &book.procedures.version(version)?.reads;
            // The other phone knows it by the name that it has here.
            let key = if reads.key.is_empty() { Label::new(&version_key(book, version)) } else { reads.key.clone() };
            let shared = Procedure { key, ..reads.clone() };
            let name = day_name(&format!("procedure {}", file_name(&shared.title)), today, "txt");
            Making::of_pieces(name, "text/plain", procedure::pieces(&[&shared]))
        }
    };
    Some(making)
}

fn csv(head: &str, day: Day, table: Vec<u8>) -> Making {
    Making::of_pieces(day_name(head, day, "csv"), "text/csv", vec![Piece::Text(table)])
}

/// Returns a day and its jobs over all their days: of each day which revision its own file would be.
fn day_and_jobs(sheet: DaySheet, log: &Log, book: &Book, now: Moment) -> (DaySheet, Vec<JobSummary>) {
    let whole = sheet.jobs.iter().filter_map(|job| job_summary(book, job.job, now, sheet.log));
    let mut jobs: Vec<JobSummary> = whole.collect();
    let mut days: BTreeSet<Day> = jobs.iter().flat_map(|of| days_of(book, of.job.job, now)).collect();
    days.insert(sheet.day);
    let left = Left::of(&log.in_order(), &days);
    let revision = left.revision(book, &sheet, now);
    days.remove(&sheet.day);
    let mut numbers = BTreeMap::from([(sheet.day, revision.number)]);
    numbers.extend(days.into_iter().map(|day| (day, left.number(book, day, now, sheet.log))));
    jobs.iter_mut().for_each(|of| of.revision = left.of_job(book, of.job.job, now, sheet.log));
    for of in jobs.iter_mut().flat_map(|job| &mut job.days) {
        of.revision = numbers.get(&of.day).copied().unwrap_or(of.revision);
    }
    (DaySheet { revision, ..sheet }, jobs)
}

/// What a day's PDF carries for programs.
fn attached(sheet: &DaySheet, data: Vec<u8>, jobs: Vec<u8>) -> Vec<Attached> {
    const JSON: &str = "application/json";
    const CSV: &str = "text/csv";
    let days = std::slice::from_ref(sheet);
    let data = (bundle::DATA_NAME, JSON, "The day and the records that it was made of", data);
    let jobs = (job::NAME, JSON, "The day's jobs over all their days", jobs);
    let hours = ("hours.csv", CSV, "The day's hours as a table", table::table(days));
    let billing = ("billing.csv", CSV, "Clock and billed hours as a table", table::billing::table(days));
    let mends = ("mends.csv", CSV, "What was put right as a table", table::mends::table(days));
    [data, jobs, hours, billing, mends]
        .map(|(name, kind, what, bytes)| Attached { name: name.into(), kind, what, bytes })
        .into()
}

fn owner_sheet(book: &Book, job: JobId, now: Moment, (reader, times): (Reader, Times)) -> Option<OwnerSheet> {
    let time = match times {
        Times::Kept => Vec::new(),
        Times::Told => owners_time(book, job, now),
    };
    Some(OwnerSheet { reader, time, ..sheet::owner_sheet(book, job, now.day())? })
}

fn owner_page(book: &Book, job: JobId, now: Moment, told: (Reader, Times)) -> Option<(String, Vec<Piece>)> {
    let sheet = owner_sheet(book, job, now, told)?;
    Some((format!("work on {}", file_name(&sheet.boat.name)), html::owner_page(&sheet)))
}

fn agreement_page(book: &Book, job: JobId, today: Day) -> Option<(String, Vec<Piece>)> {
    let reader = sheet::agreement::owners_reader(book, job);
    let sheet = sheet::agreement::agreement_sheet(book, job, today, reader)?;
    Some((format!("agreement on {}", file_name(&sheet.boat.name)), agreement::page(&sheet)))
}

fn warranty_page(book: &Book, line: LineId, now: Moment, log: LogHead) -> Option<(String, Vec<Piece>)> {
    let sheet = warranty_sheet(book, line, now, log)?;
    Some((format!("warranty {}", file_name(&sheet.boat.name)), html::warranty_page(&sheet)))
}

fn owner_pdf(book: &Book, job: JobId, now: Moment, leaf: Leaf, told: (Reader, Times)) -> Option<Making> {
    let (today, (name, pieces)) = (now.day(), owner_page(book, job, now, told)?);
    let draft = Draft::new(pieces, leaf, Made::On(today), Vec::new());
    Some(Making::of_pdf(day_name(&name, today, "pdf"), draft))
}

/// Returns the name in the log of a version's procedure.
fn version_key(book: &Book, version: VersionId) -> String {
    book.procedures.version(version).map(|it| it.procedure.to_string()).unwrap_or_default()
}

/// Returns a job's file: of all lines those that the job needs, and the photos that these name.
fn job_file(log: &Log, book: &Book, job: JobId, lines: &[Vec<u8>]) -> Option<(Label, Vec<Piece>)> {
    let boat = book.fleet.boat(book.jobs.job(job)?.boat)?.facts.name.clone();
    let held = job_file::records_of(log, job);
    let is_held = |line: &&Vec<u8>| line::check(line).is_ok_and(|it| held.contains(&it.id));
    let lines: Vec<&[u8]> = lines.iter().filter(is_held).map(Vec::as_slice).collect();
    let in_order = log.in_order().into_iter().map(|sealed| &sealed.record);
    let alone = Book::replay(in_order.filter(|record| held.contains(&record.id)));
    let blobs = order::each_once(alone.evidence.all_blobs().collect());
    Some((boat, backup::pieces(lines, &blobs)))
}

fn log_head(log: &Log, device: Option<DeviceId>) -> LogHead {
    match device {
        Some(device) => LogHead::from(&log.tip(device)),
        None => LogHead { device: DeviceId::new([0; 8]), seq: 0, hash: Hash::NONE },
    }
}

fn day_name(head: &str, day: Day, end: &str) -> String {
    format!("{head} {day}.{end}")
}

/// Returns a boat's name as a part of a file's name: no mark that a file system
/// reads, none that turns the direction of what follows.
pub(crate) fn file_name(boat: &Label) -> String {
    let plain = |c: char| c.is_ascii_alphanumeric() || c == ' ' || c == '-';
    let other_script = |c: char| !c.is_ascii() && !('\u{2000}'..='\u{206f}').contains(&c);
    let fit = |c: char| if plain(c) || other_script(c) { c } else { '_' };
    boat.as_str().chars().take(40).map(fit).collect()
}
