//! What is done for the page: documents made piece by piece, files taken in.
//!
//! A document is made of the log alone, by the same fold and the same sheets as
//! everywhere. When it comes to a photo it asks for that one and waits, so that
//! a report's photos never lie in memory together.

use std::mem;
use std::vec::IntoIter;

use quaywright_core::book::Book;
use quaywright_core::event::DayTable;
use quaywright_core::event::Procedure;
use quaywright_core::exchange::pieces::Piece;
use quaywright_core::exchange::{backup, bundle, exif, html, intake, job_file, line, procedure, table};
use quaywright_core::id::{BlobId, DeviceId, Hash, Hashing, JobId, VersionId};
use quaywright_core::log::Log;
use quaywright_core::moment::{Day, Moment};
use quaywright_core::order;
use quaywright_core::sheet::{self, LogHead};
use quaywright_core::text::Label;

use crate::wire::{Answer, Ask, Paper, entry};

/// How many bytes of records are sent at a time.
const SENT_AT_ONCE: usize = 256 * 1024;
/// How many faults of a file are told one by one.
const FAULTS_TOLD: usize = 12;

/// Where answers and a document's bytes go.
pub trait Outlet {
    /// Adds to the document that is being made.
    fn write(&mut self, bytes: &[u8]);
    /// Makes a file of what was written, and gives it to the page.
    fn hand_out(&mut self, name: &str, kind: &str, bytes: BlobId);
    /// Answers the page, with these bytes beside the words.
    fn answer(&mut self, answer: Answer, beside: &[u8]);
}

/// The work for one page.
#[derive(Default)]
pub struct Work {
    lines: Vec<Vec<u8>>,
    making: Option<Making>,
}

/// A document that is being made.
struct Making {
    name: String,
    kind: &'static str,
    rest: IntoIter<Piece>,
    photos: usize,
    /// How many photos were asked for.
    asked: usize,
    /// The piece that waits for its photo.
    waits: Option<Piece>,
    hashing: Hashing,
}

impl Work {
    /// Does what is asked, with what stands beside it.
    pub fn hear(&mut self, ask: &Ask, beside: &[u8], to: &mut dyn Outlet) {
        match ask {
            Ask::Lines => self.lines.extend(lines(beside)),
            Ask::Make { paper, now, device } => match make(*paper, *now, *device, mem::take(&mut self.lines)) {
                Some(making) => {
                    self.making = Some(making);
                    self.go_on(to);
                }
                None => to.answer(Answer::Failed(not_in_the_book(*paper).to_owned()), &[]),
            },
            Ask::Photo => self.take_photo(Some(beside), to),
            Ask::NoPhoto => self.take_photo(None, to),
            Ask::TakeIn => take_in(beside, to),
            Ask::Position => to.answer(Answer::Position(exif::position(beside)), &[]),
        }
    }

    fn take_photo(&mut self, photo: Option<&[u8]>, to: &mut dyn Outlet) {
        if let Some(making) = &mut self.making {
            if let Some(piece) = making.waits.take() {
                making.write(&piece, photo, to);
            }
            self.go_on(to);
        }
    }

    /// Writes up to the next photo or to the end.
    fn go_on(&mut self, to: &mut dyn Outlet) {
        let Some(making) = &mut self.making else { return };
        while let Some(piece) = making.rest.next() {
            if let Some(blob) = piece.blob() {
                making.asked += 1;
                making.waits = Some(piece);
                return to.answer(Answer::Wanted { blob, number: making.asked, of: making.photos }, &[]);
            }
            making.write(&piece, None, to);
        }
        if let Some(making) = self.making.take() {
            to.hand_out(&making.name, making.kind, BlobId(making.hashing.finish()));
        }
    }
}

impl Making {
    fn write(&mut self, piece: &Piece, photo: Option<&[u8]>, to: &mut dyn Outlet) {
        let bytes = piece.written(photo);
        self.hashing.take(&bytes);
        to.write(&bytes);
    }
}

fn lines(run: &[u8]) -> impl Iterator<Item = Vec<u8>> {
    run.split(|&byte| byte == b'\n').filter(|line| !line.is_empty()).map(<[u8]>::to_vec)
}

const fn not_in_the_book(paper: Paper) -> &'static str {
    match paper {
        Paper::Procedure(_) => "this procedure is not in the book",
        _ => "this job is not in the book",
    }
}

/// Begins a document; there is none for a job or a procedure that is not in the book.
fn make(paper: Paper, now: Moment, device: Option<DeviceId>, lines: Vec<Vec<u8>>) -> Option<Making> {
    let mut log = Log::default();
    // The page's vault has verified every line; one that does not read is none of its.
    lines.iter().filter_map(|line| line::read_verified(line).ok()).for_each(|sealed| log.take(sealed));
    let book = Book::replay(log.in_order().into_iter().map(|sealed| &sealed.record));
    let day_sheet = |day| sheet::day_sheet(&book, day, now, log_head(&log, device));
    let today = now.day();
    let records = lines.iter().map(Vec::as_slice);
    let (name, kind, pieces) = match paper {
        Paper::DayBundle(day) => (day_name("day", day, "html"), "text/html", bundle::page(&day_sheet(day), records)),
        Paper::DayTable(day) => csv("hours", day, table::table(&[day_sheet(day)])),
        Paper::Further(day, DayTable::Billing) => csv("billing", day, table::billing::table(&[day_sheet(day)])),
        Paper::Further(day, DayTable::Mends) => csv("mends", day, table::mends::table(&[day_sheet(day)])),
        Paper::OwnerSummary(job) => {
            let (boat, pieces) = owner_page(&book, job, today)?;
            (day_name(&format!("work on {}", file_name(&boat)), today, "html"), "text/html", pieces)
        }
        Paper::JobFile(job) => {
            let (boat, pieces) = job_file(&log, &book, job, &lines)?;
            (day_name(&format!("job on {}", file_name(&boat)), today, "txt"), "text/plain", pieces)
        }
        Paper::Backup => {
            let photos = order::each_once(book.evidence.all_blobs().chain(book.procedures.pictures()).collect());
            (day_name("quaywright backup", today, "txt"), "text/plain", backup::pieces(records, &photos))
        }
        Paper::Procedure(version) => {
            let reads = &book.procedures.version(version)?.reads;
            // The other phone knows it by the name that it has here.
            let key = if reads.key.is_empty() { Label::new(&version_key(&book, version)) } else { reads.key.clone() };
            let shared = Procedure { key, ..reads.clone() };
            let head = format!("procedure {}", file_name(&shared.title));
            (day_name(&head, today, "txt"), "text/plain", procedure::pieces(&[&shared]))
        }
    };
    let photos = pieces.iter().filter(|piece| piece.blob().is_some()).count();
    let rest = pieces.into_iter();
    Some(Making { name, kind, rest, photos, asked: 0, waits: None, hashing: Hashing::default() })
}

fn csv(head: &str, day: Day, table: Vec<u8>) -> (String, &'static str, Vec<Piece>) {
    (day_name(head, day, "csv"), "text/csv", vec![Piece::Text(table)])
}

fn owner_page(book: &Book, job: JobId, today: Day) -> Option<(Label, Vec<Piece>)> {
    let sheet = sheet::owner_sheet(book, job, today)?;
    let pieces = html::owner_page(&sheet);
    Some((sheet.boat.name, pieces))
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
fn file_name(boat: &Label) -> String {
    let plain = |c: char| c.is_ascii_alphanumeric() || c == ' ' || c == '-';
    let other_script = |c: char| !c.is_ascii() && !('\u{2000}'..='\u{206f}').contains(&c);
    let fit = |c: char| if plain(c) || other_script(c) { c } else { '_' };
    boat.as_str().chars().take(40).map(fit).collect()
}

fn take_in(file: &[u8], to: &mut dyn Outlet) {
    if procedure::is_one(file) {
        return take_in_procedures(file, to);
    }
    let taken = match intake::take(file) {
        Ok(taken) => taken,
        Err(why) => return to.answer(Answer::Failed(format!("nothing was taken in: {why}")), &[]),
    };
    for fault in taken.faults.iter().take(FAULTS_TOLD) {
        to.answer(Answer::Fault(fault.to_string()), &[]);
    }
    if let Some(more) = taken.faults.len().checked_sub(FAULTS_TOLD).filter(|&more| more > 0) {
        to.answer(Answer::Fault(format!("{more} more entries of the file were not taken")), &[]);
    }
    let mut run = Vec::new();
    for (line, sealed) in taken.records {
        entry(&mut run, sealed.record.id, &line);
        if run.len() >= SENT_AT_ONCE {
            to.answer(Answer::Records, &mem::take(&mut run));
        }
    }
    to.answer(Answer::Records, &run);
    for (blob, bytes) in taken.blobs {
        to.answer(Answer::Photo(blob), &bytes);
    }
    to.answer(Answer::Taken, &[]);
}

/// Gives the page a file's pictures, then its procedures.
fn take_in_procedures(file: &[u8], to: &mut dyn Outlet) {
    let mut taken = match procedure::read(file) {
        Ok(taken) => taken,
        Err(why) => return to.answer(Answer::Failed(format!("nothing was taken in: {why}")), &[]),
    };
    let (pictures, gone) = taken.take_pictures();
    if gone > 0 {
        to.answer(Answer::Fault(format!("{gone} pictures of the procedures are not in the file")), &[]);
    }
    for (blob, bytes) in pictures {
        to.answer(Answer::Photo(blob), &bytes);
    }
    let procedures: Vec<&Procedure> = taken.procedures.iter().collect();
    to.answer(Answer::Procedures, &procedure::without_pictures(&procedures));
    to.answer(Answer::Taken, &[]);
}

#[cfg(test)]
mod tests {
    use super::{Outlet, Work};
    use crate::wire::{Answer, Ask, Paper, entries};
    use quaywright_core::book::Book;
    use quaywright_core::event::Position;
    use quaywright_core::exchange::{intake, line, procedure};
    use quaywright_core::id::{BlobId, DeviceId, EventId, JobId};
    use quaywright_core::moment::{Day, Moment};
    use quaywright_core::text::Label;

    const BACKUP: &[u8] = include_bytes!("../../../tests/formats/v1/backup.jsonl");
    const LOG: &[u8] = include_bytes!("../../../tests/formats/v1/every-kind.jsonl");

    /// Keeps what it is given.
    #[derive(Default)]
    struct Page {
        written: Vec<u8>,
        files: Vec<(String, String, Vec<u8>)>,
        answers: Vec<(Answer, Vec<u8>)>,
    }

    impl Outlet for Page {
        fn write(&mut self, bytes: &[u8]) {
            self.written.extend_from_slice(bytes);
        }

        fn hand_out(&mut self, name: &str, kind: &str, bytes: BlobId) {
            let file = std::mem::take(&mut self.written);
            assert_eq!(bytes, BlobId::of(&file), "{name}");
            self.files.push((name.to_owned(), kind.to_owned(), file));
        }

        fn answer(&mut self, answer: Answer, beside: &[u8]) {
            self.answers.push((answer, beside.to_vec()));
        }
    }

    fn moment() -> Moment {
        Moment::parse("2026-05-04T18:00:00.000+01:00").unwrap()
    }

    /// Makes a document of the log in two parts and gives it each photo that it asks for.
    fn made(paper: Paper, photo: impl Fn(BlobId) -> Option<Vec<u8>>) -> Page {
        let (mut work, mut page) = (Work::default(), Page::default());
        let half = LOG.iter().take(LOG.len() / 2).rposition(|&byte| byte == b'\n').unwrap() + 1;
        work.hear(&Ask::Lines, &LOG[..half], &mut page);
        work.hear(&Ask::Lines, &LOG[half..], &mut page);
        let device = Some(DeviceId::new([0xa1; 8]));
        work.hear(&Ask::Make { paper, now: moment(), device }, &[], &mut page);
        let mut answered = 0;
        while let Some((Answer::Wanted { blob, .. }, _)) = page.answers.get(answered).cloned() {
            answered += 1;
            match photo(blob) {
                Some(bytes) => work.hear(&Ask::Photo, &bytes, &mut page),
                None => work.hear(&Ask::NoPhoto, &[], &mut page),
            }
        }
        page
    }

    #[test]
    fn a_backup_holds_every_line_and_the_photos_that_were_there() {
        let photos = intake::take(BACKUP).unwrap().blobs;
        let page = made(Paper::Backup, |id| photos.iter().find(|photo| photo.0 == id).map(|photo| photo.1.clone()));
        let (name, kind, file) = &page.files[0];
        assert_eq!((name.as_str(), kind.as_str()), ("quaywright backup 2026-05-04.txt", "text/plain"));
        let taken = intake::take(file).unwrap();
        let lines: Vec<&[u8]> = LOG.split(|&byte| byte == b'\n').filter(|line| !line.is_empty()).collect();
        assert_eq!(taken.records.iter().map(|record| record.0.as_slice()).collect::<Vec<_>>(), lines);
        assert_eq!(taken.blobs.len(), photos.len());
        assert!(!photos.is_empty());
        let asked: Vec<_> = page.answers.iter().map(|answer| &answer.0).collect();
        let count = asked.len();
        for (at, answer) in asked.into_iter().enumerate() {
            assert!(
                matches!(answer, Answer::Wanted { number, of, .. } if (*number, *of) == (at + 1, count)),
                "{answer:?}"
            );
        }
    }

    #[test]
    fn a_photo_that_is_not_there_or_is_another_does_not_stop_a_document() {
        let day = Day::parse("2026-05-04").unwrap();
        for photo in [None, Some(b"another".to_vec())] {
            let page = made(Paper::DayBundle(day), |_| photo.clone());
            assert_eq!(page.files[0].0, "day 2026-05-04.html");
            assert!(page.files[0].2.ends_with(b"</html>\n"));
            assert!(!page.answers.is_empty());
        }
    }

    #[test]
    fn the_day_names_the_end_of_the_devices_log() {
        let day = Day::parse("2026-05-04").unwrap();
        let last = LOG.split(|&byte| byte == b'\n').rfind(|line| !line.is_empty()).unwrap();
        let last = line::read(last).unwrap();
        let page = made(Paper::DayBundle(day), |_| None);
        let bundle = quaywright_core::exchange::bundle::read_bundle(&page.files[0].2).unwrap();
        assert_eq!((bundle.log.seq, bundle.log.hash), (last.record.id.seq, last.hash));
    }

    #[test]
    fn a_job_that_is_not_in_the_book_has_no_page() {
        let job = JobId(EventId { device: DeviceId::new([9; 8]), seq: 9 });
        let page = made(Paper::OwnerSummary(job), |_| None);
        assert_eq!(page.answers, [(Answer::Failed("this job is not in the book".to_owned()), Vec::new())]);
        assert!(page.files.is_empty());
    }

    #[test]
    fn a_procedure_goes_from_phone_to_phone_with_its_pictures() {
        const LOG: &[u8] = include_bytes!("../../../tests/formats/v3/every-kind.jsonl");
        const BACKUP: &[u8] = include_bytes!("../../../tests/formats/v3/backup.jsonl");
        let photos = intake::take(BACKUP).unwrap().blobs;
        let (mut work, mut page) = (Work::default(), Page::default());
        work.hear(&Ask::Lines, LOG, &mut page);
        let book = Book::replay(intake::take(LOG).unwrap().records.iter().map(|it| &it.1.record));
        let kept = book.procedures.procedures().last().unwrap();
        let version = book.procedures.current(kept.id).unwrap();
        let paper = Paper::Procedure(version.id);
        work.hear(&Ask::Make { paper, now: moment(), device: None }, &[], &mut page);
        while let Some((Answer::Wanted { blob, .. }, _)) = page.answers.pop() {
            let photo = photos.iter().find(|it| it.0 == blob).unwrap();
            work.hear(&Ask::Photo, &photo.1, &mut page);
        }
        assert_eq!(page.files[0].0, "procedure Raw-water impeller 2026-05-04.txt");

        let mut other = Page::default();
        Work::default().hear(&Ask::TakeIn, &page.files[0].2, &mut other);
        let [(Answer::Photo(_), _), (Answer::Procedures, bare), (Answer::Taken, _)] = other.answers.as_slice() else {
            panic!("{:?}", other.answers)
        };
        assert_eq!(procedure::read(bare).unwrap().procedures, [version.reads.clone()]);
    }

    #[test]
    fn a_boats_name_makes_no_path_of_a_files_name() {
        assert_eq!(super::file_name(&Label::new("../Sea: Fox")), "___Sea_ Fox");
    }

    #[test]
    fn what_was_in_a_file_comes_under_its_names() {
        let mut page = Page::default();
        Work::default().hear(&Ask::TakeIn, BACKUP, &mut page);
        let whole = intake::take(BACKUP).unwrap();
        let mut records = Vec::new();
        let mut photos = Vec::new();
        for (answer, beside) in &page.answers {
            match answer {
                Answer::Records => records.extend(entries(beside).map(|(id, line)| (id, line.to_vec()))),
                Answer::Photo(blob) => photos.push((*blob, beside.clone())),
                other => assert_eq!((other, photos.len()), (&Answer::Taken, whole.blobs.len())),
            }
        }
        let sent: Vec<_> = whole.records.into_iter().map(|(line, sealed)| (sealed.record.id, line)).collect();
        assert_eq!((records, photos), (sent, whole.blobs));
    }

    #[test]
    fn a_file_of_another_kind_is_refused_in_words_and_faults_are_counted() {
        let mut page = Page::default();
        Work::default().hear(&Ask::TakeIn, b"", &mut page);
        let words = "nothing was taken in: this file is empty: ask for it again";
        assert_eq!(page.answers, [(Answer::Failed(words.to_owned()), Vec::new())]);

        let mut page = Page::default();
        let torn = "{\"v\":1,\"id\":\"torn\"}\n".repeat(20);
        Work::default().hear(&Ask::TakeIn, torn.as_bytes(), &mut page);
        let faults = page.answers.iter().filter(|answer| matches!(answer.0, Answer::Fault(_))).count();
        assert_eq!(faults, super::FAULTS_TOLD + 1);
        assert!(
            page.answers.iter().any(|it| it.0 == Answer::Fault("8 more entries of the file were not taken".into()))
        );
    }

    #[test]
    fn a_picture_without_a_position_has_none() {
        let mut page = Page::default();
        Work::default().hear(&Ask::Position, b"\xff\xd8\xff\xe0 no attributes", &mut page);
        assert_eq!(page.answers, [(Answer::Position(None::<Position>), Vec::new())]);
    }
}
