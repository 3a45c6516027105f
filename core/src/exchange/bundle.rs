//! The day bundle: the one file that the office takes in.
//!
//! It is the day as a page for people ([`super::html::day_page`]) that carries
//! the same day as JSON for programs, in one block in its head:
//! `<script type="application/json" id="quaywright-day">…</script>`. Nothing in
//! it runs. The JSON alone, in a file of its own, is read as well.
//!
//! Version 1 of the JSON, an object with these fields in this order:
//!
//! | field        | value |
//! |--------------|-------|
//! | `quaywright` | `"day"` |
//! | `v`          | version of this form, `1` |
//! | `day`        | local day, `2026-05-04` |
//! | `technician` | name |
//! | `shop`       | name |
//! | `log`        | end of the log: `device`, `seq` (number of its last record), `hash` |
//! | `summary`    | the day sheet, below |
//! | `records`    | record lines, verbatim, each as a string: see [`super::line`] |
//! | `photos`     | `{"blob": <SHA-256>, "base64": <bytes or null>}`; without `base64` where the page shows the photo |
//!
//! The records are all that the sender holds, so that each bundle stands by
//! itself and heals a bundle that was lost; a receiver unites them by name. The
//! summary is for programs that do not read records; ours does not read it,
//! because only records vouch for themselves. Times in it are `ms`, whole
//! milliseconds; activities and pay types are written as in record lines.
//! Summary: `jobs`, `no-job`, `pauses` (`activity`, `ms`), `worked-ms`,
//! `total-ms`, `notes`, `photos` (`blob`, `caption`, `width`, `height`),
//! `carry-over`. Every `<` in the JSON is written `\u003c`, so that no text can
//! end the block.
//!
//! In the page a photo is `<img data-blob="<SHA-256>"
//! src="data:image/jpeg;base64,…">` with its bytes as they are.

use std::borrow::Cow;
use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::backup::{take_photo, take_record};
use super::html::{self, NAMED_IMAGE, NAMED_IMAGE_SOURCE};
use super::intake::{Fault, Intake, IntakeError, Place, is_page, trimmed};
use super::pieces::{PhotoForm, Piece};
use super::wire::{
    ActivityForm, BoatForm, EngineForm, EngineHoursForm, PartForm, PayTypeForm, Written, text, text_or_none,
};
use crate::closing::{CarryOver, OffItem};
use crate::event::{Activity, BoatFacts, EngineFacts, PartFacts, PayType};
use crate::id::{BlobId, DeviceId, Hash, JobId, LineId};
use crate::moment::{Day, Length, Moment};
use crate::quantity::EngineHours;
use crate::sheet::{DaySheet, EngineSheet, JobSheet, LineSheet, LogHead, NoteSheet, PhotoSheet, Share, StepSheet};
use crate::text::Label;

/// The version that this program writes, and the newest that it reads.
pub const VERSION: u32 = 1;

/// How the JSON begins; the version follows.
pub(super) const JSON_HEAD: &[u8] = br#"{"quaywright":"day","v":"#;
const BLOCK: &str = r#"<script type="application/json" id="quaywright-day">"#;
const BLOCK_END: &str = "</script>";

/// Returns the bundle as a page that carries its JSON.
pub fn page<'a>(sheet: &DaySheet, records: impl IntoIterator<Item = &'a [u8]>) -> Vec<Piece> {
    let mut json = json_pieces(sheet, &mut records.into_iter(), false);
    json.insert(0, Piece::Text(BLOCK.into()));
    json.push(Piece::Text(BLOCK_END.into()));
    html::day_page(sheet, json)
}

/// Returns the bundle as plain JSON.
pub fn json<'a>(sheet: &DaySheet, records: impl IntoIterator<Item = &'a [u8]>) -> Vec<Piece> {
    json_pieces(sheet, &mut records.into_iter(), true)
}

/// Returns days as a JSON array of bundles' first fields, summary included.
pub fn summaries(days: &[DaySheet]) -> Vec<u8> {
    let days: Vec<String> = days.iter().map(|sheet| format!("{}}}", head(sheet))).collect();
    format!("[{}]\n", days.join(",\n")).into_bytes()
}

fn json_pieces(sheet: &DaySheet, records: &mut dyn Iterator<Item = &[u8]>, with_photos: bool) -> Vec<Piece> {
    let mut pieces = Vec::new();
    let mut text = head(sheet);
    text.push_str(r#","records":["#);
    for (index, record) in records.enumerate() {
        text.push_str(if index == 0 { "\n" } else { ",\n" });
        text.push_str(&written(&String::from_utf8_lossy(record)));
    }
    text.push_str(r#"],"photos":["#);
    let photos = sheet.jobs.iter().flat_map(|job| &job.photos).chain(&sheet.photos);
    for (index, photo) in photos.enumerate() {
        text.push_str(if index == 0 { "\n{\"blob\":\"" } else { ",\n{\"blob\":\"" });
        text.push_str(&photo.blob.to_string());
        text.push('"');
        if with_photos {
            text.push_str(r#","base64":"#);
            pieces.push(Piece::Text(std::mem::take(&mut text).into_bytes()));
            pieces.push(Piece::Photo { blob: photo.blob, form: PhotoForm::Json });
        }
        text.push('}');
    }
    text.push_str("]}\n");
    pieces.push(Piece::Text(text.into_bytes()));
    pieces
}

/// Returns the JSON up to its summary, without the closing brace.
fn head(sheet: &DaySheet) -> String {
    let mut json = written(&HeadForm::of(sheet));
    json.pop();
    json
}

/// Writes plain values as JSON that no text in it can end early.
fn written<T: Serialize + ?Sized>(value: &T) -> String {
    // Writing plain values with text keys to memory cannot fail.
    serde_json::to_string(value).unwrap_or_default().replace('<', "\\u003c")
}

/// What was read from a bundle.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bundle {
    /// The day that it is of.
    pub day: Day,
    /// The technician's name.
    pub technician: Label,
    /// The shop's name.
    pub shop: Label,
    /// The end of the sender's log.
    pub log: LogHead,
    /// Records and photos, and what is wrong with some.
    pub intake: Intake,
}

impl Bundle {
    /// Returns the records, photos and faults.
    pub fn into_intake(self) -> Intake {
        self.intake
    }
}

#[derive(Deserialize)]
struct FileForm<'a> {
    v: u32,
    #[serde(with = "text")]
    day: Day,
    #[serde(with = "text")]
    technician: Label,
    #[serde(with = "text")]
    shop: Label,
    #[serde(with = "LogHeadForm")]
    log: LogHead,
    records: Vec<String>,
    #[serde(borrow)]
    photos: Vec<FilePhotoForm<'a>>,
}

#[derive(Deserialize)]
struct FilePhotoForm<'a> {
    #[serde(with = "text")]
    blob: BlobId,
    #[serde(borrow, default)]
    base64: Option<Cow<'a, str>>,
}

#[derive(Deserialize)]
struct VersionForm {
    v: u32,
}

/// Reads a bundle, as a page or as plain JSON.
///
/// # Errors
/// Returns [`IntakeError::Newer`] when a newer program wrote it,
/// [`IntakeError::Broken`] when it is cut off or its frame is damaged, and
/// [`IntakeError::Foreign`] for anything else. A record or photo that does not
/// vouch for itself becomes a fault beside what is good.
pub fn read_bundle(file: &[u8]) -> Result<Bundle, IntakeError> {
    let file = trimmed(file);
    let page = is_page(file);
    let json = if page { json_in_page(file) } else { file.starts_with(JSON_HEAD).then_some(file) };
    let json = json.ok_or(IntakeError::Foreign("this is no day file of Quaywright: ask for the day again"))?;
    let form: FileForm<'_> = serde_json::from_slice(json).map_err(|_| newer_or_broken(json))?;
    if form.v > VERSION {
        return Err(IntakeError::Newer { version: form.v });
    }
    let mut intake = Intake::default();
    for (number, record) in (1..).zip(&form.records) {
        take_record(&mut intake, Place::Record(number), record.as_bytes())?;
    }
    let images: BTreeMap<BlobId, &[u8]> = Images { rest: if page { file } else { &[] } }.collect();
    for (number, photo) in (1..).zip(&form.photos) {
        let image = images.get(&photo.blob).copied();
        match photo.base64.as_deref().map(str::as_bytes).or(image) {
            Some(base64) => take_photo(&mut intake, Place::Photo(number), photo.blob, base64),
            None => intake.faults.push(Fault::PhotoMissing(photo.blob)),
        }
    }
    if page && !file.trim_ascii_end().ends_with(b"</html>") {
        intake.faults.push(Fault::Cut);
    }
    Ok(Bundle { day: form.day, technician: form.technician, shop: form.shop, log: form.log, intake })
}

fn newer_or_broken(json: &[u8]) -> IntakeError {
    match serde_json::from_slice::<VersionForm>(json) {
        Ok(VersionForm { v }) if v > VERSION => IntakeError::Newer { version: v },
        _ => IntakeError::Broken,
    }
}

/// Returns the JSON block of a page; all that follows where the block does not end.
pub(super) fn json_in_page(page: &[u8]) -> Option<&[u8]> {
    let from = find(page, BLOCK.as_bytes())? + BLOCK.len();
    let rest = &page[from..];
    Some(find(rest, BLOCK_END.as_bytes()).map_or(rest, |end| &rest[..end]))
}

/// The photos that a page shows: their names and their base64.
struct Images<'a> {
    rest: &'a [u8],
}

impl<'a> Iterator for Images<'a> {
    type Item = (BlobId, &'a [u8]);

    fn next(&mut self) -> Option<Self::Item> {
        const NAME_DIGITS: usize = 64;
        loop {
            let from = find(self.rest, NAMED_IMAGE.as_bytes())? + NAMED_IMAGE.len();
            self.rest = &self.rest[from..];
            let (name, after) = self.rest.split_at_checked(NAME_DIGITS)?;
            let blob = std::str::from_utf8(name).ok().and_then(BlobId::parse);
            if let (Some(blob), Some(source)) = (blob, after.strip_prefix(NAMED_IMAGE_SOURCE.as_bytes())) {
                let end = source.iter().position(|&byte| byte == b'"').unwrap_or(source.len());
                let (base64, rest) = source.split_at(end);
                self.rest = rest;
                return Some((blob, base64));
            }
        }
    }
}

fn find(text: &[u8], what: &[u8]) -> Option<usize> {
    text.windows(what.len()).position(|window| window == what)
}

impl Written for DeviceId {
    const NAME: &'static str = "the name of a device";
    fn read(text: &str) -> Option<Self> {
        Self::parse(text)
    }
}

#[derive(Serialize)]
struct HeadForm<'a> {
    quaywright: &'static str,
    v: u32,
    #[serde(with = "text")]
    day: Day,
    technician: &'a str,
    shop: &'a str,
    #[serde(with = "LogHeadForm")]
    log: LogHead,
    summary: SummaryForm<'a>,
}

#[derive(Serialize, Deserialize)]
#[serde(remote = "LogHead")]
struct LogHeadForm {
    #[serde(with = "text")]
    device: DeviceId,
    seq: u64,
    #[serde(with = "text")]
    hash: Hash,
}

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
struct SummaryForm<'a> {
    jobs: Vec<JobForm<'a>>,
    no_job: Vec<ShareForm>,
    pauses: Vec<ShareForm>,
    worked_ms: u64,
    total_ms: u64,
    notes: Vec<NoteForm<'a>>,
    photos: Vec<PhotoSheetForm<'a>>,
    carry_over: Vec<CarryForm<'a>>,
}

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
struct JobForm<'a> {
    #[serde(with = "text")]
    job: JobId,
    #[serde(with = "BoatForm")]
    boat: &'a BoatFacts,
    engine: Option<EngineSheetForm<'a>>,
    title: &'a str,
    finished: bool,
    lines: Vec<LineForm<'a>>,
    no_line: Vec<ShareForm>,
    parts: Vec<PartSheetForm<'a>>,
    notes: Vec<NoteForm<'a>>,
    photos: Vec<PhotoSheetForm<'a>>,
    off: Vec<OffForm<'a>>,
    steps: Vec<StepForm<'a>>,
}

#[derive(Serialize)]
struct EngineSheetForm<'a> {
    #[serde(with = "EngineForm")]
    facts: &'a EngineFacts,
    hours: Option<HoursForm>,
}

#[derive(Serialize)]
struct HoursForm(#[serde(with = "EngineHoursForm")] EngineHours);

#[derive(Serialize)]
struct PartSheetForm<'a>(#[serde(with = "PartForm")] &'a PartFacts);

#[derive(Serialize)]
struct LineForm<'a> {
    #[serde(with = "text")]
    line: LineId,
    #[serde(with = "PayTypeForm")]
    pay: PayType,
    complaint: &'a str,
    cause: &'a str,
    correction: &'a str,
    time: Vec<ShareForm>,
}

#[derive(Serialize)]
struct ShareForm {
    #[serde(with = "ActivityForm")]
    activity: Activity,
    ms: u64,
}

#[derive(Serialize)]
struct NoteForm<'a> {
    #[serde(with = "text")]
    at: Moment,
    #[serde(with = "text_or_none")]
    about: Option<Label>,
    text: &'a str,
}

#[derive(Serialize)]
struct PhotoSheetForm<'a> {
    #[serde(with = "text")]
    blob: BlobId,
    caption: &'a str,
    width: u16,
    height: u16,
}

#[derive(Serialize)]
struct OffForm<'a> {
    what: &'a str,
    size: &'a str,
    side: &'a str,
    stowed: &'a str,
    off: u32,
    of: u32,
}

#[derive(Serialize)]
struct StepForm<'a> {
    text: &'a str,
    done: bool,
}

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
struct CarryForm<'a> {
    #[serde(with = "text")]
    job: JobId,
    boat: &'a str,
    berth: &'a str,
    title: &'a str,
    off: Vec<OffForm<'a>>,
    next_steps: &'a [String],
    last_note: Option<&'a str>,
}

impl<'a> HeadForm<'a> {
    fn of(sheet: &'a DaySheet) -> Self {
        let summary = SummaryForm {
            jobs: sheet.jobs.iter().map(JobForm::of).collect(),
            no_job: shares(&sheet.no_job),
            pauses: shares(&sheet.pauses),
            worked_ms: sheet.worked.ms(),
            total_ms: sheet.total.ms(),
            notes: sheet.notes.iter().map(NoteForm::of).collect(),
            photos: sheet.photos.iter().map(PhotoSheetForm::of).collect(),
            carry_over: sheet.carry_over.iter().map(CarryForm::of).collect(),
        };
        let DaySheet { day, technician, shop, log, .. } = sheet;
        let (technician, shop) = (technician.as_str(), shop.as_str());
        Self { quaywright: "day", v: VERSION, day: *day, technician, shop, log: *log, summary }
    }
}

fn shares(shares: &[Share]) -> Vec<ShareForm> {
    let form = |&Share { activity, length }: &Share| ShareForm { activity, ms: Length::ms(length) };
    shares.iter().map(form).collect()
}

impl<'a> JobForm<'a> {
    fn of(job: &'a JobSheet) -> Self {
        Self {
            job: job.job,
            boat: &job.boat,
            engine: job.engine.as_ref().map(EngineSheetForm::of),
            title: job.title.as_str(),
            finished: job.finished,
            lines: job.lines.iter().map(LineForm::of).collect(),
            no_line: shares(&job.no_line),
            parts: job.parts.iter().map(PartSheetForm).collect(),
            notes: job.notes.iter().map(NoteForm::of).collect(),
            photos: job.photos.iter().map(PhotoSheetForm::of).collect(),
            off: job.off.iter().map(OffForm::of).collect(),
            steps: job
                .steps
                .iter()
                .map(|StepSheet { text, done }| StepForm { text: text.as_str(), done: *done })
                .collect(),
        }
    }
}

impl<'a> EngineSheetForm<'a> {
    fn of(engine: &'a EngineSheet) -> Self {
        Self { facts: &engine.facts, hours: engine.hours.map(HoursForm) }
    }
}

impl<'a> LineForm<'a> {
    fn of(line: &'a LineSheet) -> Self {
        let story = &line.story;
        Self {
            line: line.line,
            pay: line.pay,
            complaint: story.complaint.as_str(),
            cause: story.cause.as_str(),
            correction: story.correction.as_str(),
            time: shares(&line.time),
        }
    }
}

impl<'a> NoteForm<'a> {
    fn of(note: &'a NoteSheet) -> Self {
        Self { at: note.at, about: note.about.clone(), text: note.text.as_str() }
    }
}

impl<'a> PhotoSheetForm<'a> {
    fn of(photo: &'a PhotoSheet) -> Self {
        Self { blob: photo.blob, caption: &photo.caption, width: photo.width, height: photo.height }
    }
}

impl<'a> OffForm<'a> {
    fn of(item: &'a OffItem) -> Self {
        Self {
            what: item.what.as_str(),
            size: item.size.as_str(),
            side: item.side.as_str(),
            stowed: item.stowed.as_str(),
            off: item.off.0,
            of: item.of.0,
        }
    }
}

impl<'a> CarryForm<'a> {
    fn of(one: &'a CarryOver) -> Self {
        Self {
            job: one.job,
            boat: &one.boat,
            berth: &one.berth,
            title: &one.title,
            off: one.off.iter().map(OffForm::of).collect(),
            next_steps: &one.next_steps,
            last_note: one.last_note.as_deref(),
        }
    }
}
