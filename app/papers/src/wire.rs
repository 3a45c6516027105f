//! What the page asks of the papers' worker, and what it is answered.
//!
//! A message is a line of words, and beside it bytes or a file. The words are
//! those of [`Ask`] and [`Answer`], of which both ends are built from this one
//! text; so a line that does not read can only be of another version, and is
//! `None`. Names, moments and days are written as in a record's line.

use quaywright_core::event::{DayTable, Position, Reader};
use quaywright_core::id::{BlobId, DeviceId, EventId, JobId, LineId, VersionId};
use quaywright_core::moment::{Day, Moment};

/// A size of paper.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Leaf {
    /// ISO 216: 210 by 297 mm.
    #[default]
    A4,
    /// 8.5 by 11 inches.
    Letter,
}

impl Leaf {
    /// Returns its name.
    pub fn words(self) -> &'static str {
        match self {
            Self::A4 => "A4",
            Self::Letter => "Letter",
        }
    }

    /// Returns the size of this name.
    pub fn parse(name: &str) -> Option<Self> {
        [Self::A4, Self::Letter].into_iter().find(|leaf| leaf.words() == name)
    }
}

/// Whether an owner's document tells the time by activity.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Times {
    /// It tells none.
    #[default]
    Kept,
    /// It tells that of what the customer pays by the clock, as the shop wants it.
    Told,
}

impl Times {
    fn written(self) -> &'static str {
        match self {
            Self::Kept => "kept",
            Self::Told => "told",
        }
    }

    fn read(word: &str) -> Option<Self> {
        [Self::Kept, Self::Told].into_iter().find(|times| times.written() == word)
    }
}

/// What can be made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// The office's file of a day, as a page.
    DayBundle(Day),
    /// The same as PDF.
    DayPdf(Day, Leaf),
    /// The same as its data alone, for a program.
    DayJson(Day),
    /// A day's hours as a table.
    DayTable(Day),
    /// A further table of a day.
    Further(Day, DayTable),
    /// One job's summary for its owner, as a page, in a language and units.
    OwnerSummary(JobId, Reader, Times),
    /// The same as PDF.
    OwnerPdf(JobId, Leaf, Reader, Times),
    /// The same as a short message, for a person to send as text.
    OwnerMessage(JobId, Reader),
    /// What was agreed on a job, for its owner, as a page.
    Agreement(JobId),
    /// The same as PDF.
    AgreementPdf(JobId, Leaf),
    /// What a claim for warranty on a job's line needs, as a page.
    WarrantyPack(LineId),
    /// The same as PDF.
    WarrantyPdf(LineId, Leaf),
    /// One job, for another technician to go on with.
    JobFile(JobId),
    /// Everything.
    Backup,
    /// A version of a procedure, for another phone.
    Procedure(VersionId),
}

/// How the photos of a document come, where all of them may be too much for one PDF.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Photos {
    /// All, as they are; whether that is too much is asked first.
    #[default]
    Whole,
    /// All, smaller than they are.
    Smaller,
    /// As they are, in several PDFs: those of one part, counted from 1.
    Part(usize),
}

impl Photos {
    fn written(self) -> String {
        match self {
            Self::Whole => "whole".to_owned(),
            Self::Smaller => "smaller".to_owned(),
            Self::Part(part) => part.to_string(),
        }
    }

    fn read(word: &str) -> Option<Self> {
        match word {
            "whole" => Some(Self::Whole),
            "smaller" => Some(Self::Smaller),
            part => part.parse().ok().filter(|&part| part > 0).map(Self::Part),
        }
    }
}

/// What the page asks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Ask {
    /// To remember the record lines beside this, each ended by a line feed.
    Lines,
    /// To make a document of the lines that it was told.
    Make {
        /// Which.
        paper: Paper,
        /// The present.
        now: Moment,
        /// The device whose end of the log the document names.
        device: Option<DeviceId>,
        /// How photos come.
        photos: Photos,
    },
    /// To go on with the photo beside this, which it had asked for; nobody has verified its bytes.
    Photo,
    /// To go on with the picture beside this, a smaller one of the photo that it had asked for.
    Smaller,
    /// To go on without the photo that it had asked for.
    NoPhoto,
    /// To read the file beside this.
    TakeIn,
    /// To find the position in the beginning of a picture beside this.
    Position,
    /// To set a draft of an invoice as PDF: beside this is its page, of so many bytes, and then its XML.
    Invoice {
        /// The day that it bears.
        issued: Day,
        /// How many bytes are its page.
        page: usize,
        /// What the PDF is called.
        name: String,
    },
}

/// What the page is told.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Answer {
    /// One may ask.
    Ready,
    /// This photo is needed next.
    Wanted {
        /// Its name.
        blob: BlobId,
        /// The how manieth it is, from 1.
        number: usize,
        /// How many are needed in all.
        of: usize,
        /// Which ones are needed after it, the next first, a few at most: they can be fetched meanwhile.
        then: Vec<BlobId>,
    },
    /// What was given for this photo are other bytes: it is asked for once more, healed.
    Another(BlobId),
    /// The document stands beside this; the name is that of its bytes.
    Made(BlobId),
    /// Beside this are records that were in the file, as [`entry`] writes them.
    Records,
    /// Beside this is a photo that was in the file.
    Photo(BlobId),
    /// Beside this are procedures that were in the file, as `exchange::procedure` writes them
    /// without pictures.
    Procedures,
    /// The photos are more than one PDF takes: they may be smaller, or it may be several, or a page.
    TooMuch(TooMuch),
    /// Something was not taken of a file, or is not in the document; in words.
    Fault(String),
    /// That was all of the file.
    Taken,
    /// The position in the picture, if it has one.
    Position(Option<Position>),
    /// It could not be done; in words.
    Failed(String),
}

/// Photos that are more than one PDF takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TooMuch {
    /// How many bytes they have.
    pub bytes: u64,
    /// Into how many PDFs they go as they are.
    pub parts: usize,
}

impl Ask {
    /// Returns it as a line.
    pub fn written(&self) -> String {
        match self {
            Self::Lines => "lines".to_owned(),
            Self::Make { paper, now, device, photos } => {
                let device = device.map_or_else(|| "-".to_owned(), |device| device.to_string());
                ["make".to_owned(), photos.written(), now.to_string(), device, paper.written()].join(" ")
            }
            Self::Photo => "photo".to_owned(),
            Self::Smaller => "smaller".to_owned(),
            Self::NoPhoto => "no-photo".to_owned(),
            Self::TakeIn => "take-in".to_owned(),
            Self::Position => "position".to_owned(),
            Self::Invoice { issued, page, name } => format!("invoice {issued} {page} {name}"),
        }
    }

    /// Returns what a line asks.
    pub fn read(line: &str) -> Option<Self> {
        let (word, rest) = line.split_once(' ').unwrap_or((line, ""));
        match word {
            "lines" => Some(Self::Lines),
            "make" => {
                let (photos, rest) = rest.split_once(' ')?;
                let (now, rest) = rest.split_once(' ')?;
                let (device, paper) = rest.split_once(' ')?;
                let device = if device == "-" { None } else { Some(DeviceId::parse(device)?) };
                let (photos, now) = (Photos::read(photos)?, Moment::parse(now).ok()?);
                Some(Self::Make { paper: Paper::read(paper)?, now, device, photos })
            }
            "photo" => Some(Self::Photo),
            "smaller" => Some(Self::Smaller),
            "no-photo" => Some(Self::NoPhoto),
            "take-in" => Some(Self::TakeIn),
            "position" => Some(Self::Position),
            "invoice" => {
                let (issued, rest) = rest.split_once(' ')?;
                let (page, name) = rest.split_once(' ')?;
                Some(Self::Invoice { issued: Day::parse(issued)?, page: page.parse().ok()?, name: name.to_owned() })
            }
            _ => None,
        }
    }
}

impl Paper {
    /// Returns the same as a page, which has room for any number of photos.
    pub fn as_page(self) -> Self {
        match self {
            Self::DayPdf(day, _) | Self::DayJson(day) => Self::DayBundle(day),
            Self::OwnerPdf(job, _, reader, times) => Self::OwnerSummary(job, reader, times),
            Self::WarrantyPdf(line, _) => Self::WarrantyPack(line),
            Self::AgreementPdf(job, _) => Self::Agreement(job),
            other => other,
        }
    }

    /// Returns the same in the form that it is not in, page or PDF on this paper; nothing
    /// where there is one form only.
    pub fn in_other_form(self, leaf: Leaf) -> Option<Self> {
        match self {
            Self::DayBundle(day) => Some(Self::DayPdf(day, leaf)),
            Self::OwnerSummary(job, reader, times) => Some(Self::OwnerPdf(job, leaf, reader, times)),
            Self::WarrantyPack(line) => Some(Self::WarrantyPdf(line, leaf)),
            Self::Agreement(job) => Some(Self::AgreementPdf(job, leaf)),
            pdf => Some(pdf.as_page()).filter(|page| *page != pdf),
        }
    }

    /// Returns the kind of its file, as a media type.
    pub const fn media_type(self) -> &'static str {
        match self {
            Self::DayBundle(_) | Self::OwnerSummary(..) | Self::WarrantyPack(_) | Self::Agreement(_) => "text/html",
            Self::DayPdf(..) | Self::OwnerPdf(..) | Self::WarrantyPdf(..) | Self::AgreementPdf(..) => "application/pdf",
            Self::DayJson(_) => "application/json",
            Self::DayTable(_) | Self::Further(..) => "text/csv",
            Self::OwnerMessage(..) | Self::JobFile(_) | Self::Backup | Self::Procedure(_) => "text/plain",
        }
    }

    fn written(self) -> String {
        match self {
            Self::DayBundle(day) => ["day ", &day.to_string()].concat(),
            Self::DayPdf(day, leaf) => ["day-pdf ", leaf.words(), " ", &day.to_string()].concat(),
            Self::DayJson(day) => ["day-json ", &day.to_string()].concat(),
            Self::DayTable(day) => ["table ", &day.to_string()].concat(),
            Self::Further(day, DayTable::Billing) => ["billing ", &day.to_string()].concat(),
            Self::Further(day, DayTable::Mends) => ["mends ", &day.to_string()].concat(),
            Self::Agreement(job) => ["agreement ", &job.to_string()].concat(),
            Self::AgreementPdf(job, leaf) => ["agreement-pdf ", leaf.words(), " ", &job.to_string()].concat(),
            Self::OwnerSummary(job, reader, times) => {
                ["owner ", times.written(), " ", &reader.written(), " ", &job.to_string()].concat()
            }
            Self::OwnerPdf(job, leaf, reader, times) => {
                ["owner-pdf ", leaf.words(), " ", times.written(), " ", &reader.written(), " ", &job.to_string()]
                    .concat()
            }
            Self::OwnerMessage(job, reader) => ["owner-message ", &reader.written(), " ", &job.to_string()].concat(),
            Self::WarrantyPack(line) => ["warranty ", &line.to_string()].concat(),
            Self::WarrantyPdf(line, leaf) => ["warranty-pdf ", leaf.words(), " ", &line.to_string()].concat(),
            Self::JobFile(job) => ["job ", &job.to_string()].concat(),
            Self::Backup => "backup".to_owned(),
            Self::Procedure(version) => ["procedure ", &version.to_string()].concat(),
        }
    }

    fn read(words: &str) -> Option<Self> {
        let (word, of) = words.split_once(' ').unwrap_or((words, ""));
        match word {
            "day" => Day::parse(of).map(Self::DayBundle),
            "day-json" => Day::parse(of).map(Self::DayJson),
            "table" => Day::parse(of).map(Self::DayTable),
            "billing" => Day::parse(of).map(|day| Self::Further(day, DayTable::Billing)),
            "mends" => Day::parse(of).map(|day| Self::Further(day, DayTable::Mends)),
            "job" => EventId::parse(of).map(|id| Self::JobFile(JobId(id))),
            "owner" => with_times(of).map(|(times, job, reader)| Self::OwnerSummary(job, reader, times)),
            "owner-message" => for_reader(of).map(|(job, reader)| Self::OwnerMessage(job, reader)),
            "day-pdf" => {
                let (leaf, day) = of.split_once(' ')?;
                Some(Self::DayPdf(Day::parse(day)?, Leaf::parse(leaf)?))
            }
            "owner-pdf" => {
                let (leaf, of) = of.split_once(' ')?;
                let (times, job, reader) = with_times(of)?;
                Some(Self::OwnerPdf(job, Leaf::parse(leaf)?, reader, times))
            }
            "agreement" => EventId::parse(of).map(|id| Self::Agreement(JobId(id))),
            "agreement-pdf" => {
                let (leaf, job) = of.split_once(' ')?;
                Some(Self::AgreementPdf(JobId(EventId::parse(job)?), Leaf::parse(leaf)?))
            }
            "warranty" => EventId::parse(of).map(|id| Self::WarrantyPack(LineId(id))),
            "warranty-pdf" => {
                let (leaf, line) = of.split_once(' ')?;
                Some(Self::WarrantyPdf(LineId(EventId::parse(line)?), Leaf::parse(leaf)?))
            }
            "backup" => Some(Self::Backup),
            "procedure" => EventId::parse(of).map(|id| Self::Procedure(VersionId(id))),
            _ => None,
        }
    }
}

/// Returns what [`for_reader`] does, with whether times are told before it.
fn with_times(words: &str) -> Option<(Times, JobId, Reader)> {
    let (times, rest) = words.split_once(' ')?;
    let (job, reader) = for_reader(rest)?;
    Some((Times::read(times)?, job, reader))
}

/// Returns the job and for whom, `de/metric abababababababab-12`.
fn for_reader(words: &str) -> Option<(JobId, Reader)> {
    let (reader, job) = words.split_once(' ')?;
    Some((JobId(EventId::parse(job)?), Reader::parse(reader)?))
}

impl Answer {
    /// Returns it as a line.
    pub fn written(&self) -> String {
        match self {
            Self::Ready => "ready".to_owned(),
            Self::Wanted { blob, number, of, then } => {
                let then: String = then.iter().map(|then| format!(" {then}")).collect();
                format!("wanted {blob} {number} {of}{then}")
            }
            Self::Another(blob) => format!("another {blob}"),
            Self::Made(file) => format!("made {file}"),
            Self::Records => "records".to_owned(),
            Self::Photo(blob) => format!("photo {blob}"),
            Self::Procedures => "procedures".to_owned(),
            Self::TooMuch(TooMuch { bytes, parts }) => format!("too-much {bytes} {parts}"),
            Self::Fault(words) => format!("fault {words}"),
            Self::Taken => "taken".to_owned(),
            Self::Position(None) => "position".to_owned(),
            Self::Position(Some(at)) => format!("position {} {}", at.lat_e7, at.lon_e7),
            Self::Failed(words) => format!("failed {words}"),
        }
    }

    /// Returns what a line answers.
    pub fn read(line: &str) -> Option<Self> {
        let (word, rest) = line.split_once(' ').unwrap_or((line, ""));
        match word {
            "ready" => Some(Self::Ready),
            "wanted" => {
                let mut rest = rest.split(' ');
                let blob = BlobId::parse(rest.next()?)?;
                let (number, of) = (rest.next()?.parse().ok()?, rest.next()?.parse().ok()?);
                let then = rest.map(BlobId::parse).collect::<Option<_>>()?;
                Some(Self::Wanted { blob, number, of, then })
            }
            "another" => BlobId::parse(rest).map(Self::Another),
            "made" => BlobId::parse(rest).map(Self::Made),
            "records" => Some(Self::Records),
            "photo" => BlobId::parse(rest).map(Self::Photo),
            "procedures" => Some(Self::Procedures),
            "too-much" => {
                let (bytes, parts) = rest.split_once(' ')?;
                Some(Self::TooMuch(TooMuch { bytes: bytes.parse().ok()?, parts: parts.parse().ok()? }))
            }
            "fault" => Some(Self::Fault(rest.to_owned())),
            "taken" => Some(Self::Taken),
            "position" if rest.is_empty() => Some(Self::Position(None)),
            "position" => {
                let (north, east) = rest.split_once(' ')?;
                let at = Position { lat_e7: north.parse().ok()?, lon_e7: east.parse().ok()? };
                Some(Self::Position(Some(at)))
            }
            "failed" => Some(Self::Failed(rest.to_owned())),
            _ => None,
        }
    }
}

/// How many bytes of photos one PDF takes: all of them lie in memory while it is made.
pub const PHOTO_BYTES: u64 = 96 * 1024 * 1024;

/// How many bytes of photos a file may have that every share sheet takes: they take files of
/// 50 MB, of which some is kept in hand for the rest of the document.
pub const SHARED_BYTES: u64 = 45 * 1024 * 1024;

/// Returns how long the long side of each photo may be, in pixels, so that photos of
/// so many bytes come to `most`; of a side of `whole` as they are.
///
/// Rule: a JPEG's bytes go with its area, a little less than in proportion; so a tenth is kept in hand.
pub fn smaller_side(bytes: u64, most: u64, whole: u32) -> u32 {
    let area = u64::from(whole) * u64::from(whole) / 10 * 9;
    let fits = u128::from(area) * u128::from(most) / u128::from(bytes.max(1));
    let side = u64::try_from(fits).unwrap_or(u64::MAX).isqrt();
    u32::try_from(side).unwrap_or(whole).clamp(200, whole)
}

/// Adds a record to a run of entries: its name, a space, its line, a line feed.
pub fn entry(entries: &mut Vec<u8>, id: EventId, line: &[u8]) {
    entries.extend_from_slice(id.to_string().as_bytes());
    entries.push(b' ');
    entries.extend_from_slice(line);
    entries.push(b'\n');
}

/// Returns the records of a run of entries: their names and their lines.
pub fn entries(run: &[u8]) -> impl Iterator<Item = (EventId, &[u8])> {
    run.split(|&byte| byte == b'\n').filter_map(|entry| {
        let space = entry.iter().position(|&byte| byte == b' ')?;
        let (name, line) = entry.split_at(space);
        let id = EventId::parse(std::str::from_utf8(name).ok()?)?;
        Some((id, line.get(1..)?))
    })
}

#[cfg(test)]
mod tests {
    use super::{Answer, Ask, Leaf, PHOTO_BYTES, Paper, Photos, Times, TooMuch, entries, entry, smaller_side};
    use quaywright_core::event::{DayTable, Language, Measures, Position, Reader};
    use quaywright_core::id::{BlobId, DeviceId, EventId, JobId, LineId, VersionId};
    use quaywright_core::moment::{Day, Moment};

    #[test]
    fn every_question_arrives_as_it_was_asked() {
        let now = Moment::parse("2026-05-04T07:58:12.000+01:00").unwrap();
        let day = Day::parse("2026-05-04").unwrap();
        let job = JobId(EventId::parse("abababababababab-12").unwrap());
        let device = Some(DeviceId::new([0xab; 8]));
        let reader = Reader { language: Language::German, measures: Measures::Metric };
        let make = |paper, device: Option<DeviceId>| {
            let photos = if device.is_none() { Photos::Smaller } else { Photos::Part(12) };
            Ask::Make { paper, now, device, photos }
        };
        let whole = Ask::Make { paper: Paper::Backup, now, device, photos: Photos::Whole };
        let asks = [
            whole,
            Ask::Lines,
            make(Paper::DayBundle(day), device),
            make(Paper::DayJson(day), None),
            make(Paper::DayTable(day), None),
            make(Paper::Further(day, DayTable::Billing), None),
            make(Paper::Further(day, DayTable::Mends), None),
            make(Paper::OwnerSummary(job, reader, Times::Told), device),
            make(Paper::OwnerMessage(job, reader), device),
            make(Paper::DayPdf(day, Leaf::A4), device),
            make(Paper::Agreement(job), None),
            make(Paper::AgreementPdf(job, Leaf::A4), None),
            make(Paper::OwnerPdf(job, Leaf::Letter, Reader::default(), Times::Kept), None),
            make(Paper::JobFile(job), device),
            make(Paper::WarrantyPack(LineId(job.0)), device),
            make(Paper::WarrantyPdf(LineId(job.0), Leaf::A4), None),
            make(Paper::Backup, None),
            make(Paper::Procedure(VersionId(job.0)), device),
            Ask::Photo,
            Ask::Smaller,
            Ask::NoPhoto,
            Ask::TakeIn,
            Ask::Position,
            Ask::Invoice { issued: day, page: 2_048, name: "draft-3-1.pdf".to_owned() },
        ];
        for ask in asks {
            assert_eq!(Ask::read(&ask.written()), Some(ask));
        }
    }

    #[test]
    fn every_answer_arrives_as_it_was_given() {
        let blob = BlobId::of(b"photo");
        let place = Position { lat_e7: -506_000_000, lon_e7: 13_000_001 };
        let answers = [
            Answer::Ready,
            Answer::Wanted { blob, number: 3, of: 40, then: [b"next", b"then"].map(|it| BlobId::of(it)).to_vec() },
            Answer::Wanted { blob, number: 40, of: 40, then: Vec::new() },
            Answer::Another(blob),
            Answer::Made(blob),
            Answer::Records,
            Answer::Photo(blob),
            Answer::Procedures,
            Answer::Fault("line 3: neither a record nor a photo".to_owned()),
            Answer::TooMuch(TooMuch { bytes: PHOTO_BYTES + 1, parts: 2 }),
            Answer::Taken,
            Answer::Position(None),
            Answer::Position(Some(place)),
            Answer::Failed("this file is empty: ask for it again".to_owned()),
        ];
        for answer in answers {
            assert_eq!(Answer::read(&answer.written()), Some(answer));
        }
    }

    #[test]
    fn what_has_two_forms_goes_from_one_to_the_other_and_back() {
        let day = Day::parse("2026-05-04").unwrap();
        let id = EventId::parse("abababababababab-12").unwrap();
        let (job, line, reader) = (JobId(id), LineId(id), Reader::default());
        for page in [
            Paper::DayBundle(day),
            Paper::OwnerSummary(job, reader, Times::Told),
            Paper::WarrantyPack(line),
            Paper::Agreement(job),
        ] {
            let pdf = page.in_other_form(Leaf::Letter).unwrap();
            assert_eq!((page.media_type(), pdf.media_type()), ("text/html", "application/pdf"));
            assert_eq!((pdf.in_other_form(Leaf::A4), pdf.as_page()), (Some(page), page));
        }
        for one in [Paper::Backup, Paper::DayTable(day), Paper::JobFile(job), Paper::OwnerMessage(job, reader)] {
            assert_eq!((one.in_other_form(Leaf::A4), one.as_page()), (None, one));
        }
    }

    #[test]
    fn photos_that_are_too_much_become_as_small_as_they_must_and_no_smaller() {
        assert_eq!(smaller_side(1, PHOTO_BYTES, 1_600), 1_600);
        // Twice too much: a side of 1600 times the root of 0.9 / 2, worked out by hand.
        assert_eq!(smaller_side(2 * PHOTO_BYTES, PHOTO_BYTES, 1_600), 1_073);
        assert_eq!(smaller_side(u64::MAX, PHOTO_BYTES, 1_600), 200);
    }

    #[test]
    fn another_versions_words_are_not_taken_for_ours() {
        for line in [
            "",
            "make",
            "make whole now - backup",
            "make 0 2026-05-04T07:58:12.000+01:00 - backup",
            "print 3",
            "Lines",
            "make whole 2026-05-04T07:58:12.000+01:00 - day-pdf B5 2026-05-04",
        ] {
            assert_eq!(Ask::read(line), None, "{line}");
        }
        for line in ["", "wanted", "wanted 00 1 2", "position 1", "made x", "too-much 7"] {
            assert_eq!(Answer::read(line), None, "{line}");
        }
    }

    #[test]
    fn records_travel_under_their_names() {
        let ids = ["abababababababab-1", "abababababababab-2"].map(|id| EventId::parse(id).unwrap());
        let mut run = Vec::new();
        entry(&mut run, ids[0], br#"{"v":1, "a":"b c"}"#);
        entry(&mut run, ids[1], b"x");
        let read: Vec<_> = entries(&run).collect();
        assert_eq!(read, [(ids[0], br#"{"v":1, "a":"b c"}"#.as_slice()), (ids[1], b"x".as_slice())]);
    }
}
