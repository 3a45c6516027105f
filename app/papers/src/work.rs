//! What is done for the page: documents made (`making`), files taken in.
//!
//! One thing at a time, each answered in words with bytes beside them.

use std::mem;

use quaywright_core::event::Procedure;
use quaywright_core::exchange::pieces::Piece;
use quaywright_core::exchange::{exif, intake, procedure};
use quaywright_core::id::{BlobId, Named};

use crate::making::{Making, NotMade, Shot, make};
use crate::pdf::Draft;
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
    /// Makes a file of these bytes, to which nothing was written before, names it and gives it to the page.
    fn hand_out_whole(&mut self, name: &str, kind: &str, file: &[u8]);
    /// Answers the page, with these bytes beside the words.
    fn answer(&mut self, answer: Answer, beside: &[u8]);
}

/// The work for one page.
#[derive(Default)]
pub struct Work {
    lines: Vec<Vec<u8>>,
    making: Option<Making>,
}

impl Work {
    /// Does what is asked, with what stands beside it.
    pub fn hear(&mut self, ask: &Ask, beside: &[u8], to: &mut dyn Outlet) {
        match ask {
            Ask::Lines => self.lines.extend(lines(beside)),
            Ask::Make { paper, now, device, photos } => {
                match make(*paper, *now, *device, *photos, mem::take(&mut self.lines)) {
                    Ok(making) => {
                        self.making = Some(making);
                        self.go_on(to);
                    }
                    Err(NotMade::TooMuch(much)) => to.answer(Answer::TooMuch(much), &[]),
                    Err(NotMade::NotThere) => to.answer(Answer::Failed(not_in_the_book(*paper).to_owned()), &[]),
                }
            }
            Ask::Photo => self.take_whole(Named::of(beside), to),
            Ask::Smaller => self.take_photo(Shot::Smaller(beside), to),
            Ask::NoPhoto => self.take_photo(Shot::None, to),
            Ask::TakeIn => take_in(beside, to),
            Ask::Position => to.answer(Answer::Position(exif::position(beside)), &[]),
            Ask::Invoice { issued, page, name } => {
                let (page, xml) = beside.split_at_checked(*page).unwrap_or((beside, &[]));
                let draft = Draft::of_invoice(vec![Piece::Text(page.to_vec())], xml.to_vec(), *issued);
                self.making = Some(Making::of_pdf(name.clone(), draft));
                self.go_on(to);
            }
        }
    }

    /// Goes on with a photo that was asked for.
    pub fn take_whole(&mut self, photo: Named<'_>, to: &mut dyn Outlet) {
        self.take_photo(Shot::Whole(photo), to);
    }

    fn take_photo(&mut self, photo: Shot<'_>, to: &mut dyn Outlet) {
        if self.making.as_mut().is_some_and(|making| making.take_photo(photo, to)) {
            self.go_on(to);
        }
    }

    fn go_on(&mut self, to: &mut dyn Outlet) {
        if self.making.as_mut().is_some_and(|making| making.go_on(to)) {
            self.making = None;
        }
    }
}

fn lines(run: &[u8]) -> impl Iterator<Item = Vec<u8>> {
    run.split(|&byte| byte == b'\n').filter(|line| !line.is_empty()).map(<[u8]>::to_vec)
}

const fn not_in_the_book(paper: Paper) -> &'static str {
    match paper {
        Paper::Procedure(_) => "this procedure is not in the book",
        Paper::WarrantyPack(_) | Paper::WarrantyPdf(..) => "this line is not in the book, or not paid under warranty",
        _ => "this job is not in the book",
    }
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
    use crate::wire::{Answer, Ask, Paper, Photos, Times, entries};
    use quaywright_core::book::Book;
    use quaywright_core::event::{Position, Reader};
    use quaywright_core::exchange::{intake, line, procedure};
    use quaywright_core::id::{BlobId, DeviceId, EventId, JobId};
    use quaywright_core::moment::{Day, Moment};
    use quaywright_core::text::Label;
    use std::cell::Cell;
    use std::collections::BTreeMap;

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

        fn hand_out_whole(&mut self, name: &str, kind: &str, file: &[u8]) {
            assert!(self.written.is_empty(), "{name}");
            self.files.push((name.to_owned(), kind.to_owned(), file.to_vec()));
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
        work.hear(&Ask::Make { paper, now: moment(), device, photos: Photos::Whole }, &[], &mut page);
        let mut answered = 0;
        while let Some((answer, _)) = page.answers.get(answered).cloned() {
            answered += 1;
            let (Answer::Wanted { blob, .. } | Answer::Another(blob)) = answer else { break };
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
    fn the_page_is_told_which_photos_it_may_fetch_meanwhile() {
        let page = made(Paper::Backup, |_| None);
        let wanted = page.answers.iter().filter_map(|it| match &it.0 {
            Answer::Wanted { blob, then, .. } => Some((*blob, then)),
            _ => None,
        });
        let (blobs, then): (Vec<_>, Vec<_>) = wanted.unzip();
        assert!(blobs.len() > 1);
        for (nth, then) in then.into_iter().enumerate() {
            let rest = &blobs[nth + 1..];
            assert_eq!(then, &rest[..rest.len().min(8)]);
        }
    }

    #[test]
    fn other_bytes_than_the_photos_are_asked_for_once_more() {
        let photos = intake::take(BACKUP).unwrap().blobs;
        let (first, times) = (photos[0].0, Cell::new(0));
        let page = made(Paper::Backup, |id| {
            times.set(times.get() + usize::from(id == first));
            let damaged = id == first && times.get() == 1;
            if damaged { Some(b"torn".to_vec()) } else { photos.iter().find(|it| it.0 == id).map(|it| it.1.clone()) }
        });
        assert_eq!(page.answers.iter().filter(|it| it.0 == Answer::Another(first)).count(), 1);
        let kept: BTreeMap<_, _> = intake::take(&page.files[0].2).unwrap().blobs.into_iter().collect();
        assert_eq!((times.get(), kept), (2, photos.into_iter().collect()));
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
        let page = made(Paper::OwnerSummary(job, Reader::default(), Times::Kept), |_| None);
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
        work.hear(&Ask::Make { paper, now: moment(), device: None, photos: Photos::Whole }, &[], &mut page);
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
        assert_eq!(procedure::read(bare).unwrap().procedures, std::slice::from_ref(&version.reads));
    }

    #[test]
    fn a_boats_name_makes_no_path_of_a_files_name() {
        assert_eq!(crate::making::file_name(&Label::new("../Sea: Fox")), "___Sea_ Fox");
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
    fn a_draft_of_an_invoice_is_set_with_its_xml_inside() {
        let page =
            b"<!DOCTYPE html><html lang=\"en\"><head><title>Draft 1-1</title></head><body><h1>Yard</h1></body></html>";
        let (xml, day) = (b"<Invoice/>", Day::parse("2026-05-31").unwrap());
        let mut heard = Page::default();
        let ask = Ask::Invoice { issued: day, page: page.len(), name: "draft-1-1.pdf".to_owned() };
        Work::default().hear(&ask, &[&page[..], xml].concat(), &mut heard);
        let (name, kind, file) = &heard.files[0];
        assert_eq!((name.as_str(), kind.as_str()), ("draft-1-1.pdf", "application/pdf"));
        let direct = super::Draft::of_invoice(vec![super::Piece::Text(page.to_vec())], xml.to_vec(), day).typeset();
        assert!(*file == direct.unwrap().bytes);
        let names = |bytes: &[u8]| file.windows(bytes.len()).any(|run| run == bytes);
        assert!(names(b"invoice.xml") && heard.answers.is_empty(), "{:?}", heard.answers);
    }

    #[test]
    fn a_picture_without_a_position_has_none() {
        let mut page = Page::default();
        Work::default().hear(&Ask::Position, b"\xff\xd8\xff\xe0 no attributes", &mut page);
        assert_eq!(page.answers, [(Answer::Position(None::<Position>), Vec::new())]);
    }
}
