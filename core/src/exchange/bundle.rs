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
//! | `photos`     | `{"blob": <SHA-256>, "base64": <bytes or null>}`, voice notes too; without `base64` where the document holds the bytes |
//!
//! The records are all that the sender holds, so that each bundle stands by
//! itself and heals a bundle that was lost; a receiver unites them by name. The
//! summary is for programs that do not read records; ours does not read it,
//! because only records vouch for themselves. Times in it are `ms`, whole
//! milliseconds; activities and pay types are written as in record lines.
//! Summary: `revision` and, from 2 on, `amends` (`handed-over`, `changes` with
//! `before-ms` and `after-ms`, and `also`, if there is any: what else is different, in words;
//! there may be no `changes` then), `jobs`, `no-job`, `pauses` (`activity`, `ms`),
//! `worked-ms`, `total-ms`, `notes`, `photos` (`blob`, `caption`, `width`,
//! `height`, `marks` in words), `voices` if there are any, `carry-over`, `mends` (what was
//! said of which time, and what that replaced). A job's `reader` (`language`, `units`) is
//! what its boat's owner reads, where that was chosen. Its `tightening`, if it has any,
//! holds each group of fasteners with the
//! passes on which anything was done (`done` and `of` count fasteners in passes). Its
//! `readings`, if it has any, are those of the day, with their amounts in millionths of an
//! SI unit or of one that is used with it. A line that is claimed has a `claim`:
//! the parts that `failed` and what the claim `lacks`, in words; a photo says what it `shows`, a reading its
//! `stage`, where somebody said so. A job's `hours` are those of the clock and those that
//! are billed, over all its days, the latter rounded by the shop's `charge` (`rule`, `minimum-ms`)
//! where it chose one; `minimum-ms` of a job is what the least charge adds. Its `agreements`, if it has
//! any, are all its `estimates`, `consents` and what was `recommended`: see [`super::agreement`]. Its
//! `next-visits`, if it plans any, and what was `planned-before` it on the boat name each `visit` as in a record
//! and the job that it became, if it was `made`. Its `heed`, where there is anything to heed, says what is missing
//! before the engine runs and which cautions what remains brings up. Fields may be added to the summary without a new version,
//! none is changed or taken away (`schema/day.json` is its description, JSON
//! Schema draft 2020-12): skip those that you do not know. Every `<` in the JSON is written `\u003c`, so that no text can
//! end the block.
//!
//! As a PDF it carries the same JSON as an attached file: see [`super::pdf`]; where its photos are too
//! many for one, it is several: see [`super::part`].
//! In the page a photo is `<img data-blob="<SHA-256>"
//! src="data:image/jpeg;base64,…">` with its bytes as they are, and a voice note an `<audio>` likewise.

pub mod runs;

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

use super::agreement;
use super::backup::{take_bytes, take_photo, take_record};
use super::html::{self, NAMED, NAMED_BASE64, NAMED_SOURCE};
use super::intake::{Fault, Intake, IntakeError, Known, Nothing, Place, is_page, trimmed};
use super::json::{Fields, Json, Wrong};
use super::part::DayPart;
use super::pdf;
use super::pieces::{PhotoForm, Piece, assemble};
use super::wire::procedure::caution_word;
use super::wire::shop::charge_form;
use super::wire::visit::visit_form;
use super::wire::warranty::{failed_form, shows_word};
use super::wire::{
    activity_word, billing_form, boat_form, doing_form, engine_form, hours_form, label, on_form, part_form, pay_word,
    reading_form,
};
use crate::closing::{CarryOver, OffItem};
use crate::event::{Reader, Stage};
use crate::id::{BlobId, DeviceId, Hash};
use crate::moment::Day;
use crate::reading::finding::{Point, Reason};
use crate::sheet::amended::{Amended, Change};
use crate::sheet::billed::{Both, JobHours, LineHours};
use crate::sheet::differs::Difference;
use crate::sheet::heed::Heed;
use crate::sheet::readings::ReadingSheet;
use crate::sheet::tightening::{PassSheet, TorqueSheet};
use crate::sheet::trail::{MendSheet, Replaced};
use crate::sheet::visits::VisitSheet;
use crate::sheet::voices::VoiceSheet;
use crate::sheet::warranty::ClaimSheet;
use crate::sheet::{DaySheet, EngineSheet, JobSheet, LineSheet, LogHead, NoteSheet, PhotoSheet, Share, StepSheet};
use crate::text::Label;
use crate::view::marks_words;

/// The version that this program writes, and the newest that it reads.
pub const VERSION: u32 = 1;

/// The name of the JSON in a document that carries it as a file.
pub const DATA_NAME: &str = "day.json";

/// The description of the JSON, whole or up to its summary, as JSON Schema.
pub const SCHEMA: &str = include_str!("schema/day.json");

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

/// Returns the JSON that a document carries which holds the photos itself.
pub fn data<'a>(sheet: &DaySheet, records: impl IntoIterator<Item = &'a [u8]>) -> Vec<u8> {
    assemble(&json_pieces(sheet, &mut records.into_iter(), false), |_| None)
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
        text.push_str(&written(String::from_utf8_lossy(record).into_owned()));
    }
    text.push_str(r#"],"photos":["#);
    let photos = sheet.jobs.iter().flat_map(|job| &job.photos).chain(&sheet.photos).map(|photo| photo.blob);
    let voices = sheet.jobs.iter().flat_map(|job| &job.voices).chain(&sheet.voices).map(|voice| voice.facts.blob);
    let mut named = BTreeSet::new();
    for (index, blob) in photos.chain(voices).filter(|&blob| named.insert(blob)).enumerate() {
        text.push_str(if index == 0 { "\n{\"blob\":\"" } else { ",\n{\"blob\":\"" });
        text.push_str(&blob.to_string());
        text.push('"');
        if with_photos {
            text.push_str(r#","base64":"#);
            pieces.push(Piece::Text(std::mem::take(&mut text).into_bytes()));
            pieces.push(Piece::Photo { blob, form: PhotoForm::Json });
        }
        text.push('}');
    }
    text.push_str("]}\n");
    pieces.push(Piece::Text(text.into_bytes()));
    pieces
}

/// Returns the JSON up to its summary, without the closing brace.
fn head(sheet: &DaySheet) -> String {
    let mut json = written(head_form(sheet));
    json.pop();
    json
}

/// Writes plain values as JSON that no text in it can end early.
pub(super) fn written<'a>(value: impl Into<Json<'a>>) -> String {
    value.into().written().replace('<', "\\u003c")
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

/// The fields of a bundle that its reader looks at.
struct FileForm<'a> {
    version: u32,
    day: Day,
    technician: Label,
    shop: Label,
    log: LogHead,
    records: Vec<Json<'a>>,
    photos: Vec<Json<'a>>,
}

fn file_form(json: &[u8]) -> Result<FileForm<'_>, Wrong> {
    let mut of = Json::read(json)?.fields("bundle")?;
    Ok(FileForm {
        version: of.number("v")?,
        day: of.parsed("day", Day::parse)?,
        technician: of.parsed("technician", label)?,
        shop: of.parsed("shop", label)?,
        log: log_head(of.take("log")?)?,
        records: of.list("records")?,
        photos: of.list("photos")?,
    })
}

fn log_head(form: Json<'_>) -> Result<LogHead, Wrong> {
    let mut of = form.fields("log")?;
    Ok(LogHead {
        device: of.parsed("device", DeviceId::parse)?,
        seq: of.number("seq")?,
        hash: of.parsed("hash", Hash::parse)?,
    })
}

/// Reads a bundle, as a page, as a PDF or as plain JSON.
///
/// # Errors
/// Returns [`IntakeError::Newer`] when a newer program wrote it,
/// [`IntakeError::Broken`] when it is cut off or its frame is damaged, and
/// [`IntakeError::Foreign`] for anything else. A record or photo that does not
/// vouch for itself becomes a fault beside what is good.
pub fn read_bundle(file: &[u8]) -> Result<Bundle, IntakeError> {
    read_knowing(file, &Nothing)
}

/// Reads a bundle; of records that are known it is only told whose they are.
///
/// # Errors
/// As [`read_bundle`].
pub fn read_knowing(file: &[u8], known: &dyn Known) -> Result<Bundle, IntakeError> {
    let file = trimmed(file);
    if pdf::is_pdf(file) {
        let inside = pdf::inside(file)?;
        // The first of several PDFs names the photos of all.
        let elsewhere = |blob| inside.part.as_ref().is_some_and(|part| !part.blobs.contains(&blob));
        let mut bundle = read_json(&inside.data, known, |intake, place, blob| match inside.bytes(blob) {
            Some(bytes) => take_bytes(intake, place, blob, Some(bytes)),
            None if elsewhere(blob) => {}
            None => intake.faults.push(Fault::PhotoMissing(blob)),
        })?;
        bundle.intake.faults.extend(inside.part.as_ref().map(other_parts));
        return Ok(bundle);
    }
    let page = is_page(file);
    let json = if page { json_in_page(file) } else { file.starts_with(JSON_HEAD).then_some(file) };
    let json = json.ok_or(IntakeError::Foreign("this is no day file of Quaywright: ask for the day again"))?;
    let mut images = BTreeMap::new();
    images.extend(Images { rest: if page { file } else { &[] } });
    let mut bundle = read_json(json, known, |intake, place, blob| match images.get(&blob) {
        Some(base64) => take_photo(intake, place, blob, base64),
        None => intake.faults.push(Fault::PhotoMissing(blob)),
    })?;
    if page && !file.trim_ascii_end().ends_with(b"</html>") {
        bundle.intake.faults.push(Fault::Cut);
    }
    Ok(bundle)
}

/// Reads what a PDF carries: a day, or the photos of a further part of one.
///
/// # Errors
/// As [`read_bundle`].
pub(super) fn read_pdf(file: &[u8], known: &dyn Known) -> Result<Intake, IntakeError> {
    let inside = pdf::inside(trimmed(file))?;
    let (true, Some(part)) = (inside.data.is_empty(), &inside.part) else {
        return Ok(read_knowing(file, known)?.into_intake());
    };
    let mut intake = Intake::default();
    for (number, &blob) in (1..).zip(&part.blobs) {
        match inside.bytes(blob) {
            Some(bytes) => take_bytes(&mut intake, Place::Photo(number), blob, Some(bytes)),
            None => intake.faults.push(Fault::PhotoMissing(blob)),
        }
    }
    intake.faults.push(other_parts(part));
    Ok(intake)
}

fn other_parts(part: &DayPart) -> Fault {
    Fault::OtherParts { number: part.number, of: part.of }
}

/// Reads a bundle's JSON; `elsewhere` takes a photo whose bytes do not stand in it.
fn read_json(
    json: &[u8],
    known: &dyn Known,
    mut elsewhere: impl FnMut(&mut Intake, Place, BlobId),
) -> Result<Bundle, IntakeError> {
    let (cut, taken) = known.cut(json).unzip();
    let frame = cut.as_ref().and_then(|cut| file_form(&cut.frame).ok().filter(|form| cut.is_in(&form.records)));
    let taken = frame.as_ref().and(taken);
    let form = frame.map_or_else(|| file_form(json).map_err(|_| newer_or_broken(json)), Ok)?;
    if form.version > VERSION {
        return Err(IntakeError::Newer { version: form.version });
    }
    // What was cut out was read already, and only its mark is left.
    let left = if taken.is_some() { Vec::new() } else { form.records };
    let mut intake = taken.unwrap_or_default();
    for (number, record) in (1..).zip(left) {
        let Json::Text(record) = record else { return Err(IntakeError::Broken) };
        take_record(&mut intake, Place::Record(number), record.as_bytes(), known)?;
    }
    for (number, photo) in (1..).zip(form.photos) {
        let (blob, own) = photo_bytes(photo).map_err(|_| IntakeError::Broken)?;
        match own {
            Some(base64) => take_photo(&mut intake, Place::Photo(number), blob, base64.as_bytes()),
            None => elsewhere(&mut intake, Place::Photo(number), blob),
        }
    }
    Ok(Bundle { day: form.day, technician: form.technician, shop: form.shop, log: form.log, intake })
}

fn newer_or_broken(json: &[u8]) -> IntakeError {
    let version = || Json::read(json)?.fields("bundle")?.number("v");
    match version() {
        Ok(version) if version > VERSION => IntakeError::Newer { version },
        _ => IntakeError::Broken,
    }
}

/// Returns a photo's name, and its base64 where it stands beside it.
fn photo_bytes(form: Json<'_>) -> Result<(BlobId, Option<Cow<'_, str>>), Wrong> {
    let mut of = form.fields("photo")?;
    let blob = of.parsed("blob", BlobId::parse)?;
    match of.known("base64")? {
        Some(Json::Text(base64)) => Ok((blob, Some(base64))),
        Some(_) => Err(Wrong::Unfit("base64")),
        None => Ok((blob, None)),
    }
}

/// Returns the JSON block of a page; all that follows where the block does not end.
pub(super) fn json_in_page(page: &[u8]) -> Option<&[u8]> {
    let from = find(page, BLOCK.as_bytes())? + BLOCK.len();
    let rest = &page[from..];
    Some(find(rest, BLOCK_END.as_bytes()).map_or(rest, |end| &rest[..end]))
}

/// The photos that a page shows and the voice notes that it plays: their names and their base64.
struct Images<'a> {
    rest: &'a [u8],
}

impl<'a> Iterator for Images<'a> {
    type Item = (BlobId, &'a [u8]);

    fn next(&mut self) -> Option<Self::Item> {
        const NAME_DIGITS: usize = 64;
        loop {
            let from = find(self.rest, NAMED.as_bytes())? + NAMED.len();
            self.rest = &self.rest[from..];
            let (name, after) = self.rest.split_at_checked(NAME_DIGITS)?;
            let blob = std::str::from_utf8(name).ok().and_then(BlobId::parse);
            let source = after.strip_prefix(NAMED_SOURCE.as_bytes());
            let source =
                source.and_then(|kind| Some(&kind[find(kind, NAMED_BASE64.as_bytes())? + NAMED_BASE64.len()..]));
            if let (Some(blob), Some(source)) = (blob, source) {
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

fn head_form(sheet: &DaySheet) -> Fields<'_> {
    let DaySheet { day, technician, shop, log, .. } = sheet;
    let form = Fields::default().put("quaywright", "day").put("v", VERSION).put("day", day.to_string());
    let form = form.put("technician", technician.as_str()).put("shop", shop.as_str());
    form.put("log", log_form(log)).put("summary", summary_form(sheet))
}

pub(super) fn log_form(log: &LogHead) -> Fields<'_> {
    let form = Fields::default().put("device", log.device.to_string()).put("seq", log.seq);
    form.put("hash", log.hash.to_string())
}

fn summary_form(sheet: &DaySheet) -> Fields<'_> {
    Fields::default()
        .put("revision", sheet.revision.number as u64)
        .put_known("amends", sheet.revision.amends.as_ref().map(amended_form))
        .put("jobs", list(&sheet.jobs, job_form))
        .put("no-job", list(&sheet.no_job, share_form))
        .put("pauses", list(&sheet.pauses, share_form))
        .put("worked-ms", sheet.worked.ms())
        .put("total-ms", sheet.total.ms())
        .put("notes", list(&sheet.notes, note_form))
        .put("photos", list(&sheet.photos, photo_form))
        .put_known("voices", some(list(&sheet.voices, voice_form)))
        .put("carry-over", list(&sheet.carry_over, carry_form))
        .put("mends", list(&sheet.mends, mend_form))
        .put_known("charge", sheet.charge.map(charge_form))
}

fn amended_form(amended: &Amended) -> Fields<'_> {
    let form = Fields::default().put("handed-over", amended.handed_over.to_string());
    let form = form.put("changes", list(&amended.changes, change_form));
    let also: Vec<Json<'_>> = amended.also.iter().map(|it: &Difference| it.words().into()).collect();
    form.put_known("also", some(also))
}

pub(super) fn change_form(change: &Change) -> Fields<'_> {
    let form = Fields::default().put_known("job", change.job.map(|job| job.to_string()));
    let form = form.put("on", on_form(change.on)).put("activity", activity_word(change.activity));
    form.put("before-ms", change.before.ms()).put("after-ms", change.after.ms())
}

fn mend_form(mend: &MendSheet) -> Fields<'_> {
    let form = Fields::default().put("mend", mend.mend.to_string()).put("said", mend.said.to_string());
    let form = form.put("from", mend.from.to_string()).put("to", mend.to.to_string());
    let form = form.put("doing", doing_form(mend.doing)).put("reason", mend.reason.as_str());
    let form = form.put_known("taken-back", mend.taken_back.map(|at| at.to_string()));
    form.put("replaced", list(&mend.replaced, replaced_form))
}

fn replaced_form(replaced: &Replaced) -> Fields<'_> {
    let form = Fields::default().put("from", replaced.from.to_string()).put("to", replaced.to.to_string());
    form.put("doing", doing_form(replaced.doing)).put("said-by", replaced.said_by.to_string())
}

pub(super) fn list<'a, T>(of: &'a [T], form: fn(&'a T) -> Fields<'a>) -> Vec<Json<'a>> {
    of.iter().map(|one| form(one).into()).collect()
}

pub(super) fn job_form(job: &JobSheet) -> Fields<'_> {
    Fields::default()
        .put("job", job.job.to_string())
        .put("boat", boat_form(&job.boat))
        .put_known("reader", Some(job.reader).filter(|&it| it != Reader::default()).map(reader_form))
        .put("engine", job.engine.as_ref().map(engine_sheet_form))
        .put("title", job.title.as_str())
        .put("tags", job.tags.words().iter().map(|word| word.as_str().into()).collect::<Vec<Json<'_>>>())
        .put("finished", job.finished)
        .put("lines", list(&job.lines, line_form))
        .put("no-line", list(&job.no_line, share_form))
        .put("parts", list(&job.parts, part_form))
        .put("notes", list(&job.notes, note_form))
        .put("photos", list(&job.photos, photo_form))
        .put_known("voices", some(list(&job.voices, voice_form)))
        .put("off", list(&job.off, off_form))
        .put_known("instead", some(texts(&job.instead)))
        .put("steps", list(&job.steps, step_form))
        .put_known("tightening", some(list(&job.torque, torque_form)))
        .put_known("readings", some(list(&job.readings, reading_sheet_form)))
        .put("hours", job_hours_form(&job.hours))
        .put_known("agreements", agreement::agreements_form(&job.agreements))
        .put_known("planned-before", some(list(&job.visits.before, visit_sheet_form)))
        .put_known("next-visits", some(list(&job.visits.planned, visit_sheet_form)))
        .put_known("heed", Some(&job.heed).filter(|heed| !heed.is_empty()).map(heed_form))
}

fn heed_form(heed: &Heed) -> Fields<'_> {
    let cautions: Vec<Json<'_>> = heed.cautions.iter().map(|&it| caution_word(it).into()).collect();
    Fields::default()
        .put_known("do-not-run", heed.do_not_run.as_deref())
        .put("not-there", texts(&heed.not_there))
        .put("not-tight", texts(&heed.not_tight))
        .put("cautions", cautions)
}

fn visit_sheet_form(sheet: &VisitSheet) -> Fields<'_> {
    let form = Fields::default().put("id", sheet.id.to_string()).put("at", sheet.at.to_string());
    form.put("visit", visit_form(&sheet.visit)).put_known("made", sheet.made.map(|(job, _)| job.to_string()))
}

fn reader_form(reader: Reader) -> Fields<'static> {
    Fields::default().put("language", reader.language.tag()).put("units", reader.measures.slug())
}

fn job_hours_form(hours: &JobHours) -> Fields<'_> {
    let by_pay = hours.by_pay.iter().map(|&(pay, both)| both_form(both).put("pay", pay_word(pay)).into());
    let days = hours
        .days
        .iter()
        .map(|&(day, length)| Fields::default().put("day", day.to_string()).put("clock-ms", length.ms()).into());
    both_form(hours.all)
        .put("lines", list(&hours.lines, line_hours_form))
        .put("no-line-ms", hours.no_line.ms())
        .put_known("minimum-ms", Some(hours.minimum.ms()).filter(|&ms| ms > 0))
        .put("by-pay", by_pay.collect::<Vec<Json<'_>>>())
        .put("days", days.collect::<Vec<Json<'_>>>())
}

fn line_hours_form(line: &LineHours) -> Fields<'_> {
    let form = both_form(line.hours).put("line", line.line.to_string()).put("pay", pay_word(line.pay));
    form.put("billing", billing_form(line.billing))
}

fn both_form<'a>(both: Both) -> Fields<'a> {
    Fields::default().put("clock-ms", both.clock.ms()).put("billed-ms", both.billed.ms())
}

fn engine_sheet_form(engine: &EngineSheet) -> Fields<'_> {
    Fields::default().put("facts", engine_form(&engine.facts)).put("hours", engine.hours.map(hours_form))
}

fn line_form(line: &LineSheet) -> Fields<'_> {
    Fields::default()
        .put("line", line.line.to_string())
        .put("pay", pay_word(line.pay))
        .put("complaint", line.story.complaint.as_str())
        .put("cause", line.story.cause.as_str())
        .put("correction", line.story.correction.as_str())
        .put("time", list(&line.time, share_form))
        .put_known("claim", line.claim.as_ref().map(claim_form))
}

fn claim_form(claim: &ClaimSheet) -> Fields<'_> {
    let form = Fields::default().put("failed", list(&claim.failed, failed_form));
    form.put("lacks", texts(&claim.lacks))
}

fn share_form(share: &Share) -> Fields<'_> {
    Fields::default().put("activity", activity_word(share.activity)).put("ms", share.length.ms())
}

fn note_form(note: &NoteSheet) -> Fields<'_> {
    let form = Fields::default().put("at", note.at.to_string()).put("about", note.about.as_ref().map(Label::as_str));
    form.put("text", note.text.as_str())
}

fn photo_form(photo: &PhotoSheet) -> Fields<'_> {
    let form = Fields::default().put("blob", photo.blob.to_string()).put("caption", photo.caption.as_str());
    let marks = marks_words(&photo.marks).into_iter().map(Json::from).collect();
    form.put("width", photo.width)
        .put("height", photo.height)
        .put_known("marks", some(marks))
        .put_known("shows", photo.shows.map(shows_word))
}

fn voice_form(voice: &VoiceSheet) -> Fields<'_> {
    let form = Fields::default().put("at", voice.at.to_string()).put("about", voice.about.as_ref().map(Label::as_str));
    let form = form.put("blob", voice.facts.blob.to_string()).put("ms", voice.facts.ms);
    form.put("type", voice.facts.sound.media_type())
}

/// Beside what was typed, the amounts in millionths of the SI's unit or of one used with it.
fn reading_sheet_form(reading: &ReadingSheet) -> Fields<'_> {
    let amount = |point: &Point| {
        let form = Fields::default().put("of", point.name.slug()).put("nth", u16::from(point.nth));
        form.put("millionths", point.amount.to_string()).put("told", point.told()).into()
    };
    let reason = |reason: &'_ Reason| {
        Fields::default().put("words", reason.words.clone()).put("rule", reason.rule.clone()).into()
    };
    let finding = &reading.finding;
    let form = Fields::default().put("id", reading.id.to_string()).put("at", reading.at.to_string());
    let form = form.put("reading", reading_form(&reading.facts)).put_known("stage", reading.stage.map(Stage::words));
    let form = form.put("verdict", finding.verdict().words());
    let form = form.put("amounts", finding.points.iter().map(amount).collect::<Vec<Json<'_>>>());
    form.put("reasons", finding.reasons.iter().map(reason).collect::<Vec<Json<'_>>>())
}

fn off_form(item: &OffItem) -> Fields<'_> {
    let form = Fields::default().put("what", item.what.as_str()).put("size", item.size.as_str());
    let form = form.put("side", item.side.as_str()).put("stowed", item.stowed.as_str());
    form.put("off", item.off.0).put("of", item.of.0)
}

fn step_form(step: &StepSheet) -> Fields<'_> {
    Fields::default().put("text", step.text.as_str()).put("done", step.done)
}

fn torque_form(sheet: &TorqueSheet) -> Fields<'_> {
    let (done, of) = sheet.progress;
    let form = Fields::default().put("group", sheet.group.to_string()).put("name", sheet.name.as_str());
    let form = form.put("fasteners", sheet.fasteners.as_str()).put("value", sheet.value.as_str());
    let form = form.put("done", done as u64).put("of", of as u64).put("remarks", texts(&sheet.remarks));
    form.put("passes", list(&sheet.passes, pass_form))
}

fn pass_form(pass: &PassSheet) -> Fields<'_> {
    let ((done, of), (first, last)) = (pass.progress, pass.first_last);
    let form = Fields::default().put("pass", pass.number).put("what", pass.what.as_str());
    let form = form.put("done", done as u64).put("of", of as u64);
    let form = form.put("first", first.to_string()).put("last", last.to_string());
    form.put("wrenches", texts(&pass.wrenches))
}

/// Leaves out a list of what most jobs have nothing of.
fn some(list: Vec<Json<'_>>) -> Option<Vec<Json<'_>>> {
    (!list.is_empty()).then_some(list)
}

fn texts(of: &[String]) -> Vec<Json<'_>> {
    of.iter().map(|text| text.as_str().into()).collect()
}

fn carry_form(one: &CarryOver) -> Fields<'_> {
    Fields::default()
        .put("job", one.job.to_string())
        .put("boat", one.boat.as_str())
        .put("berth", one.berth.as_str())
        .put("title", one.title.as_str())
        .put("off", list(&one.off, off_form))
        .put_known("stands", some(texts(&one.stands)))
        .put("next-steps", texts(&one.next_steps))
        .put_known("tightening", some(texts(&one.tightening)))
        .put("last-note", one.last_note.as_deref())
}
