//! Pages that people open: the owner's summary and the office's day.
//!
//! A page is one HTML file that needs nothing else: its style is inside, its
//! photos are `data:` JPEGs with marks drawn over them, its voice notes `data:` too, and it has no script and no link. It forbids
//! itself everything else by its own content security policy. It reads on a
//! phone 390 px wide and prints on A4, light and dark.
//!
//! Rule: whatever a person wrote is escaped, in its own `dir="auto"` element,
//! so that it can neither become markup nor turn the writing direction of its
//! neighbours. In the owner's page a photo is the picture and nothing else:
//! what a camera writes beside it (place, time, device: Exif, XMP, IPTC,
//! comments) is left out, and a file in which that cannot be told apart is not
//! shown. For what an owner is told and is not, see [`crate::sheet`].

pub mod looking;
mod owner;
mod pattern;
pub mod proforma;
mod warranty;

pub use warranty::warranty_page;

use base64ct::{Base64, Encoding};

use super::agreement::{points, view_box};
use super::pieces::{PhotoForm, Piece};
use super::plain::{engine_words, joined};
use crate::agreement::consent::Strokes;
use crate::closing::CarryOver;
use crate::event::{BoatFacts, Language, PartFacts, Reader, Sound};
use crate::id::BlobId;
use crate::moment::{Day, Length};
use crate::reassembly::caution::{Caution, told_together};
use crate::sheet::amended::Amended;
use crate::sheet::billed::LineHours;
use crate::sheet::readings::ReadingSheet;
use crate::sheet::trail::MendSheet;
use crate::sheet::visits::VisitSheet;
use crate::sheet::voices::VoiceSheet;
use crate::sheet::warranty::{ClaimSheet, failed_words};
use crate::sheet::{DaySheet, EngineSheet, JobSheet, LineSheet, NoteSheet, PhotoSheet, Share, Story, part_words};
use crate::text::Prose;
use crate::view::{Overlay, Written, day_words, hour_minute, overlay, photo_words};
use crate::words::Words;

pub use owner::owner_page;
use pattern::Tightened;

/// How a photo stands on a page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Image {
    /// What it shows.
    alt: String,
    width: u16,
    height: u16,
    /// Its bytes go in as they are, with their name, to be taken out again.
    whole: bool,
    /// What is drawn on it.
    marks: Overlay,
    /// What stands there when it is not shown.
    gone: Gone,
}

/// How a voice note stands on a page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Player(Sound);

/// What stands before the name of bytes in a page that can be taken out of it again: no text
/// of a person has it, since its quotes are escaped.
pub(super) const NAMED: &str = " data-blob=\"";
/// What stands between that name and the kind of the bytes.
pub(super) const NAMED_SOURCE: &str = "\" src=\"data:";
/// What stands between that kind and the base64, which a quote ends.
pub(super) const NAMED_BASE64: &str = ";base64,";

impl Image {
    /// Returns the image, or a placeholder when there are no bytes to show.
    pub(super) fn written(&self, blob: BlobId, photo: Option<&[u8]>) -> String {
        let mut html = String::new();
        let shown = photo.and_then(|bytes| self.shown(bytes));
        let is_shown = shown.is_some();
        if !is_shown {
            html.push_str("<p class=\"gone\">");
            escape(&mut html, &self.gone.words(blob, photo.is_some()));
            html.push_str("</p>");
        }
        // What cannot be shown is still carried to the office, out of sight.
        let Some(bytes) = shown.or_else(|| photo.filter(|_| self.whole).map(Into::into)) else { return html };
        let is_marked = is_shown && !self.marks.is_empty();
        html.push_str(if is_marked { "<div class=\"marked\"><img" } else { "<img" });
        if self.whole {
            html.push_str(NAMED);
            html.push_str(&blob.to_string());
        } else {
            html.push_str(" class=\"photo");
        }
        html.push_str(&[NAMED_SOURCE, "image/jpeg", NAMED_BASE64].concat());
        html.push_str(&Base64::encode_string(&bytes));
        let hidden = if is_shown { "" } else { " hidden" };
        html.push_str(&format!("\"{hidden} width=\"{}\" height=\"{}\" alt=\"", self.width, self.height));
        escape(&mut html, &self.alt);
        html.push_str("\">");
        if !self.marks.is_empty() {
            html.push_str(&drawn(&self.marks));
            html.push_str("</div>");
        }
        html
    }

    /// Returns what is drawn on the photo.
    pub fn marks(&self) -> &Overlay {
        &self.marks
    }

    /// Returns the bytes to show: as they are, or the picture and nothing beside
    /// it; nothing when they are no whole JPEG.
    pub(super) fn shown<'a>(&self, bytes: &'a [u8]) -> Option<std::borrow::Cow<'a, [u8]>> {
        let bare = bare(bytes)?;
        Some(if self.whole { bytes.into() } else { bare.into() })
    }

    /// Returns what the photo shows, in words.
    pub fn alt(&self) -> &str {
        &self.alt
    }

    /// Returns what stands there when it is not shown.
    pub fn gone(&self) -> &Gone {
        &self.gone
    }
}

impl Player {
    /// Returns the player, or a placeholder when the bytes are not there.
    pub(super) fn written(self, blob: BlobId, sound: Option<&[u8]>) -> String {
        let Some(bytes) = sound else { return "<p class=\"gone\">This voice note is not in this file.</p>".to_owned() };
        let (blob, base64) = (blob.to_string(), Base64::encode_string(bytes));
        let kind = self.0.media_type();
        ["<audio controls", NAMED, &blob, NAMED_SOURCE, kind, NAMED_BASE64, &base64, "\"></audio>"].concat()
    }

    /// Returns in what the voice note is written.
    pub const fn sound(self) -> Sound {
        self.0
    }
}

/// Returns marks as a drawing that lies on its photo; the photo's words say what it shows.
fn drawn(marks: &Overlay) -> String {
    let ((width, height), path, line) = (marks.size, marks.path(), marks.line);
    let mut svg = format!(
        "<svg viewBox=\"0 0 {width} {height}\" preserveAspectRatio=\"xMinYMin\" aria-hidden=\"true\">\
         <path class=\"pale\" stroke-width=\"{}\" d=\"{path}\"/><path stroke-width=\"{line}\" d=\"{path}\"/>",
        3 * line
    );
    for Written { middle: (x, y), size, text } in &marks.written {
        svg.push_str(&format!("<text x=\"{x}\" y=\"{y}\" font-size=\"{size}\">"));
        escape(&mut svg, text);
        svg.push_str("</text>");
    }
    svg.push_str("</svg>");
    svg
}

/// What stands in the place of a photo that is not shown, as sentences.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Gone {
    /// There are no bytes of it.
    absent: String,
    /// There are, and they are no picture.
    broken: String,
    /// What stands before the photo's name, as the language sets a colon.
    colon: String,
}

impl Gone {
    /// Returns the sentence with the beginning of the photo's name.
    pub fn words(&self, blob: BlobId, is_there: bool) -> String {
        let name = blob.to_string();
        let why = if is_there { &self.broken } else { &self.absent };
        [why.trim_end_matches('.'), &self.colon, name.get(..8).unwrap_or(&name), "."].concat()
    }

    /// Returns the sentences of the office.
    fn for_office() -> Self {
        let [absent, broken] = ["This photo is not in this file.", "This photo cannot be shown."].map(str::to_owned);
        Self { absent, broken, colon: ": ".to_owned() }
    }
}

/// Returns a JPEG without what a camera writes beside the picture; nothing when
/// the bytes are no whole JPEG.
///
/// Rule: ITU-T T.81, annex B: a file is a row of marker segments; only a scan's
/// coded data follows its segment, and in it `FF` is followed by `00` or a
/// restart marker. Kept are the segments that make the picture, JFIF (APP0),
/// colour profiles (APP2 "ICC_PROFILE") and the colour transform (APP14).
fn bare(jpeg: &[u8]) -> Option<Vec<u8>> {
    let mut rest = jpeg.strip_prefix(b"\xff\xd8")?;
    // Room for all at once: a PDF holds these as they are, and what grows takes up to twice as much.
    let mut kept = Vec::with_capacity(jpeg.len());
    kept.extend_from_slice(b"\xff\xd8");
    loop {
        let (&[0xff, marker], after) = rest.split_first_chunk()? else { return None };
        if marker == 0xd9 {
            kept.extend_from_slice(b"\xff\xd9");
            return Some(kept);
        }
        let length = usize::from(u16::from_be_bytes(*after.first_chunk()?));
        let content = after.get(2..length)?;
        let scan = if marker == 0xda { coded_length(&after[length..]) } else { 0 };
        let (segment, following) = rest.split_at_checked(2 + length + scan)?;
        let made_beside = match marker {
            0xe2 => !content.starts_with(b"ICC_PROFILE\0"),
            0xe1 | 0xe3..=0xed | 0xef | 0xfe => true,
            _ => false,
        };
        if !made_beside {
            kept.extend_from_slice(segment);
        }
        rest = following;
    }
}

/// Returns how far a scan's coded data reaches.
///
/// Nearly all of a photo is coded data, so it is looked at eight bytes at a time.
fn coded_length(data: &[u8]) -> usize {
    let ends = |&at: &usize| matches!(data.get(at..at + 2), Some(&[0xff, next]) if !matches!(next, 0x00 | 0xd0..=0xd7));
    let (runs, rest) = data.as_chunks::<8>();
    let marked = runs.iter().enumerate().filter(|(_, run)| has_ff(u64::from_ne_bytes(**run)));
    let within = marked.flat_map(|(nth, _)| 8 * nth..8 * nth + 8);
    within.chain(data.len() - rest.len()..data.len()).find(ends).unwrap_or(data.len())
}

/// Tells whether one of eight bytes is 0xff: of those turned over it is the one that is zero, and
/// only below a zero byte does taking away 1 from each carry into an upper bit that was not set.
const fn has_ff(eight: u64) -> bool {
    let (ones, upper) = (0x0101_0101_0101_0101, 0x8080_8080_8080_8080);
    let turned = !eight;
    turned.wrapping_sub(ones) & !turned & upper != 0
}

/// Appends `text` so that HTML shows it as it is, between tags or in a quoted attribute.
pub(super) fn escape(html: &mut String, text: &str) {
    for c in text.chars() {
        match c {
            '&' => html.push_str("&amp;"),
            '<' => html.push_str("&lt;"),
            '>' => html.push_str("&gt;"),
            '"' => html.push_str("&quot;"),
            '\'' => html.push_str("&#39;"),
            c => html.push(c),
        }
    }
}

/// Returns the office's page of a day; `carried` are pieces that go into its
/// head unseen.
pub fn day_page(sheet: &DaySheet, carried: Vec<Piece>) -> Vec<Piece> {
    let mut page = Page::begin(&format!("{} {}", sheet.day, sheet.technician));
    page.carry(carried);
    page.body();
    page.raw("<header>");
    page.class("p", "label", sheet.shop.or("Day sheet"));
    page.tag("h1", sheet.technician.or("Technician without a name"));
    page.class("p", "lead", &full_day(sheet.day));
    page.raw("</header><dl class=\"sums\">");
    page.fact("Worked", &sheet.worked.clock_face());
    page.fact("Pauses", &sum(&sheet.pauses).clock_face());
    page.fact("In all", &sheet.total.clock_face());
    page.fact("Revision", &sheet.revision.words().unwrap_or_default());
    page.raw("</dl>");
    page.list("Changed since", sheet.revision.amends.iter().flat_map(Amended::words));
    if sheet.as_of != sheet.day {
        let as_of = full_day(sheet.as_of);
        let words = format!(
            "Time, parts, notes and readings are of this day. What is off, steps, tightening and agreements are as they stood on {as_of}."
        );
        page.class("p", "quiet", &words);
    }
    for job in &sheet.jobs {
        page.job(job);
    }
    page.times("On no job", &sheet.no_job);
    page.times("Pauses", &sheet.pauses);
    page.notes(&sheet.notes);
    page.voices(&sheet.voices);
    page.photos(&sheet.photos);
    page.list("Mended", sheet.mends.iter().map(MendSheet::words));
    page.carry_over(&sheet.carry_over);
    let cautions: Vec<Caution> = sheet.jobs.iter().flat_map(|job| job.heed.cautions.clone()).collect();
    let each_once: Vec<Caution> = Caution::ALL.into_iter().filter(|it| cautions.contains(it)).collect();
    page.list("Cautions", told_together(&each_once).into_iter());
    let log = sheet.log;
    page.class("p", "quiet", &format!("Read from {} up to record {}, {}", log.device, log.seq, log.hash));
    page.end()
}

/// Returns a day in words, always with its year.
fn full_day(day: Day) -> String {
    let year_before = day.plus(-366).unwrap_or(day);
    day_words(day, year_before)
}

fn sum(shares: &[Share]) -> Length {
    shares.iter().map(|share| share.length).sum()
}

const BEGIN: &str = "<!doctype html>\n<html lang=\"";

const HEAD: &str = "\"><head><meta charset=\"utf-8\">\
<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; img-src data:; media-src data:; style-src 'unsafe-inline'\">\
<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\
<meta name=\"referrer\" content=\"no-referrer\"><meta name=\"format-detection\" content=\"telephone=no\">";

const STYLE: &str = "\
:root{color-scheme:light dark;--paper:#f7f4ec;--ink:#16191a;--quiet:#565b5d;--rule:#c4bfb0;--stop:#8c2f0b}
@media(prefers-color-scheme:dark){:root{--paper:#101312;--ink:#e9e6dc;--quiet:#a3a69f;--rule:#3b403e;--stop:#f0a381}}
@page{size:A4;margin:18mm}
*{box-sizing:border-box}
body{margin:0 auto;max-width:44rem;padding:1.5rem 1.25rem 3rem;background:var(--paper);color:var(--ink);\
font:1rem/1.5 system-ui,sans-serif;font-variant-numeric:tabular-nums;overflow-wrap:anywhere}
header{border-bottom:2px solid;margin-bottom:1rem;padding-bottom:.75rem}
h1{font-size:2rem;line-height:1.15;margin:.25rem 0}
h2{font-size:1.25rem;line-height:1.25;margin:0 0 .5rem}
h3,dt,.label,th{font-size:.8125rem;font-weight:600;color:var(--quiet);margin:.75rem 0 0;text-align:start}
p,dd,ul,figure{margin:0}
.lead{font-size:1.25rem}
.quiet,.gone,figcaption{color:var(--quiet)}
.prose{white-space:pre-line}
.stop{color:var(--stop);font-weight:600;margin-top:.75rem}
section{border-top:1px solid var(--rule);margin-top:1.25rem;padding-top:1rem}
dl{display:grid;grid-template-columns:repeat(auto-fit,minmax(9rem,1fr));gap:0 1.25rem;margin:0}
.sums dd{font-size:1.75rem;line-height:1.2}
ul{list-style:none;padding:0}
li{padding:.375rem 0}
li+li{border-top:1px solid var(--rule)}
.job{border-top:2px solid;margin-top:2.5rem}
.job h2{font-size:1.5rem}
table{border-collapse:collapse;margin-top:.75rem;width:100%}
td{border-top:1px solid var(--rule);padding:.25rem 0}
td+td,th+th{text-align:end;padding-inline-start:1rem}
figure{margin-top:1rem}
.pattern svg{display:block;max-width:100%;height:auto}
.pattern circle{fill:none;stroke:currentColor;stroke-width:6}
.pattern .done{stroke-width:18}
.pattern text{fill:currentColor;text-anchor:middle;dominant-baseline:central}
audio{display:block;width:100%}
.marked{position:relative}
.marked svg{position:absolute;inset:0;width:100%;height:100%}
.marked path{fill:none;stroke:#16191a;stroke-linecap:round;stroke-linejoin:round}
.marked .pale{stroke:#fff}
.marked text{fill:#16191a;font-weight:700;text-anchor:middle;dominant-baseline:central;stroke:#fff;stroke-width:.25em;\
stroke-linejoin:round;paint-order:stroke}
img{display:block;width:100%;height:auto;max-height:34rem;object-fit:contain;object-position:0 0}
.gone{border:1px dashed;padding:2rem 1rem;text-align:center}
@media print{:root{--paper:#fff;--ink:#000;--quiet:#444;--rule:#999;--stop:#000}\
body{padding:0;max-width:none;font-size:10.5pt}figure,li,tr{break-inside:avoid}h2,h3,dt{break-after:avoid}img{max-height:110mm}}
";

/// A page that is being written.
pub(super) struct Page {
    pieces: Vec<Piece>,
    text: String,
    /// In which language it is; what a person typed is of none that is known, unless it is the program's own.
    language: Language,
}

impl Page {
    /// Begins a page in the program's own language.
    pub(super) fn begin(title: &str) -> Self {
        Self::begin_in(Language::English, title)
    }

    /// Begins a page in a language.
    fn begin_in(language: Language, title: &str) -> Self {
        let mut page = Self { pieces: Vec::new(), text: String::new(), language };
        page.raw(BEGIN);
        page.raw(language.tag());
        page.raw(HEAD);
        page.raw("<title>");
        escape(&mut page.text, title);
        page.raw("</title><style>");
        page.raw(STYLE);
        page.raw("</style>");
        page
    }

    pub(super) fn body(&mut self) {
        self.raw("</head>\n<body>");
    }

    pub(super) fn end(mut self) -> Vec<Piece> {
        self.raw("</body></html>\n");
        self.cut();
        self.pieces
    }

    fn carry(&mut self, pieces: Vec<Piece>) {
        self.cut();
        self.pieces.extend(pieces);
    }

    /// Ends the piece of text that is being written.
    fn cut(&mut self) {
        let text = std::mem::take(&mut self.text);
        self.pieces.push(Piece::Text(text.into_bytes()));
    }

    pub(super) fn raw(&mut self, html: &str) {
        self.text.push_str(html);
    }

    pub(super) fn tag(&mut self, name: &str, text: &str) {
        self.class(name, "", text);
    }

    /// Writes an element with what a person wrote; nothing when nothing was written.
    pub(super) fn class(&mut self, name: &str, class: &str, text: &str) {
        self.element(name, class, "", text);
    }

    /// Writes an element with further attributes.
    fn element(&mut self, name: &str, class: &str, attributes: &str, text: &str) {
        if text.is_empty() {
            return;
        }
        self.raw("<");
        self.raw(name);
        if !class.is_empty() {
            self.raw(" class=\"");
            self.raw(class);
            self.raw("\"");
        }
        self.raw(attributes);
        self.raw(" dir=\"auto\">");
        escape(&mut self.text, text);
        self.raw("</");
        self.raw(name);
        self.raw(">");
    }

    pub(super) fn fact(&mut self, label: &str, text: &str) {
        if !text.is_empty() {
            self.raw("<div>");
            self.tag("dt", label);
            self.tag("dd", text);
            self.raw("</div>");
        }
    }

    pub(super) fn boat(&mut self, boat: &BoatFacts) {
        self.fact("Owner", boat.owner.as_str());
        self.fact("Berth", boat.berth.as_str());
        self.fact("HIN", boat.hin.as_str());
    }

    fn engine(&mut self, engine: Option<&EngineSheet>) {
        if let Some(engine) = engine {
            self.fact("Engine", &engine_words(engine));
        }
    }

    /// Writes a story; what is not written is said.
    fn story(&mut self, story: &Story) {
        let parts: [&Prose; 3] = [&story.complaint, &story.cause, &story.correction];
        for (word, text) in ["Complaint", "Cause", "Correction"].into_iter().zip(parts) {
            self.tag("h3", word);
            match text.is_empty() {
                true => self.class("p", "quiet", "not written"),
                false => self.class("p", "prose", text.as_str()),
            }
        }
    }

    pub(super) fn list(&mut self, head: &str, lines: impl Iterator<Item = String>) {
        let lines: Vec<String> = lines.collect();
        if lines.is_empty() {
            return;
        }
        self.raw("<section>");
        self.tag("h2", head);
        self.items(&lines);
        self.raw("</section>");
    }

    fn items(&mut self, lines: &[String]) {
        self.raw("<ul>");
        lines.iter().for_each(|line| self.tag("li", line));
        self.raw("</ul>");
    }

    fn parts(&mut self, parts: &[PartFacts]) {
        self.list("Parts", parts.iter().map(part_words));
    }

    fn photos(&mut self, photos: &[PhotoSheet]) {
        if photos.is_empty() {
            return;
        }
        self.raw("<section>");
        self.tag("h2", "Photos");
        photos.iter().for_each(|photo| self.photo(photo, photo.caption.clone(), true));
        self.raw("</section>");
    }

    /// Writes photos of which nothing but the picture goes along.
    fn proofs(&mut self, photos: &[PhotoSheet]) {
        if photos.is_empty() {
            return;
        }
        self.raw("<section>");
        self.tag("h2", "Photos");
        photos.iter().for_each(|photo| self.photo(photo, photo.caption.clone(), false));
        self.raw("</section>");
    }

    /// Writes a photo whose bytes are to be taken out again, or the picture alone.
    fn photo(&mut self, photo: &PhotoSheet, caption: String, whole: bool) {
        let alt = photo_words(&caption, &photo.marks);
        self.figure(photo, &caption, |marks| Image {
            alt,
            width: photo.width,
            height: photo.height,
            whole,
            gone: Gone::for_office(),
            marks,
        });
    }

    fn figure(&mut self, photo: &PhotoSheet, caption: &str, image: impl FnOnce(Overlay) -> Image) {
        self.raw("<figure>");
        self.cut();
        let image = image(overlay(&photo.marks, (photo.width, photo.height)));
        self.pieces.push(Piece::Photo { blob: photo.blob, form: PhotoForm::Image(image) });
        match photo.captioned && photo.of_reading.is_none() {
            true => self.typed("figcaption", "", caption),
            false => self.tag("figcaption", caption),
        }
        self.raw("</figure>");
    }

    fn voices(&mut self, voices: &[VoiceSheet]) {
        if voices.is_empty() {
            return;
        }
        self.raw("<section>");
        self.tag("h2", "Voice notes");
        for voice in voices {
            self.tag("p", &voice.words());
            self.cut();
            let form = PhotoForm::Sound(Player(voice.facts.sound));
            self.pieces.push(Piece::Photo { blob: voice.facts.blob, form });
        }
        self.raw("</section>");
    }

    fn job(&mut self, job: &JobSheet) {
        self.raw("<section class=\"job\">");
        self.tag("h2", &format!("{}: {}", job.boat.name, job.title));
        self.raw("<dl>");
        self.fact("Today", &job.time().clock_face());
        self.fact("State", if job.finished { "finished" } else { "open" });
        self.boat(&job.boat);
        if job.reader != Reader::default() {
            let reader = job.reader;
            self.fact("Owner reads", &[reader.language.words(), ", units ", reader.measures.words()].concat());
        }
        self.engine(job.engine.as_ref());
        self.raw("</dl>");
        job.heed.do_not_run.iter().for_each(|words| self.class("p", "stop", words));
        self.raw("</section>");
        for (number, line) in (1..).zip(&job.lines) {
            let hours = job.hours.lines.iter().find(|hours| hours.line == line.line);
            self.line(number, line, hours.and_then(LineHours::words));
        }
        job.hours.minimum_words().iter().for_each(|words| self.class("p", "quiet", words));
        self.times("No line named", &job.no_line);
        self.parts(&job.parts);
        self.list("Still off", job.off.iter().map(ToString::to_string));
        self.list("Replaced or left off", job.instead.iter().cloned());
        let mark = |done| if done { "done" } else { "to do" };
        self.list("Steps", job.steps.iter().map(|step| format!("{}: {}", mark(step.done), step.text)));
        let groups: Vec<_> = job.torque.iter().map(|group| Tightened::told(group, group.words())).collect();
        self.tightened("Tightening", &groups);
        self.list("Measured", job.readings.iter().map(ReadingSheet::office_words));
        self.list("Agreed with the owner", job.agreements.words().into_iter());
        self.list("Planned at an earlier visit", job.visits.before.iter().map(VisitSheet::words));
        self.list("Next visit", job.visits.planned.iter().map(VisitSheet::words));
        self.notes(&job.notes);
        self.voices(&job.voices);
        self.pairs(&job.pairs, &Words::own(), |page, photo, caption| page.photo(photo, caption, true));
        self.photos(&job.single);
    }

    fn line(&mut self, number: usize, line: &LineSheet, billed: Option<String>) {
        self.raw("<section>");
        let time = sum(&line.time).clock_face();
        self.tag("h2", &format!("Line {number}, {}, {time}", line.pay.words()));
        billed.iter().for_each(|words| self.class("p", "quiet", &["Whole job so far: ", words].concat()));
        self.story(&line.story);
        self.claim(line.claim.as_ref());
        self.table(&line.time);
        self.raw("</section>");
    }

    fn claim(&mut self, claim: Option<&ClaimSheet>) {
        let Some(claim) = claim else { return };
        if !claim.failed.is_empty() {
            self.tag("h3", "Failed part");
            let failed: Vec<String> = claim.failed.iter().map(failed_words).collect();
            self.items(&failed);
        }
        if !claim.lacks.is_empty() {
            self.tag("h3", "The warranty pack is not whole");
            self.class("p", "prose", &claim.lacks.join("\n"));
        }
    }

    fn times(&mut self, head: &str, shares: &[Share]) {
        if !shares.is_empty() {
            self.raw("<section>");
            self.tag("h2", &format!("{head}, {}", sum(shares).clock_face()));
            self.table(shares);
            self.raw("</section>");
        }
    }

    fn table(&mut self, shares: &[Share]) {
        if shares.is_empty() {
            return;
        }
        self.raw("<table><tr><th>Activity</th><th>Hours</th></tr>");
        for share in shares {
            self.raw("<tr>");
            self.tag("td", share.activity.words());
            self.tag("td", &share.length.clock_face());
            self.raw("</tr>");
        }
        self.raw("</table>");
    }

    /// Writes rows of what there is and how much it costs.
    pub(super) fn rows(&mut self, what: &str, amount: &str, rows: &[(String, String)]) {
        if rows.is_empty() {
            return;
        }
        self.raw("<table><tr>");
        self.tag("th", what);
        self.tag("th", amount);
        self.raw("</tr>");
        for (what, amount) in rows {
            self.raw("<tr>");
            self.tag("td", what);
            self.tag("td", amount);
            self.raw("</tr>");
        }
        self.raw("</table>");
    }

    /// Writes a drawing of a signature, with whose it is for those who cannot see it.
    pub(super) fn drawing(&mut self, drawn: &Strokes, whose: &str) {
        self.raw(&format!("<svg viewBox=\"{}\" role=\"img\" aria-label=\"", view_box()));
        escape(&mut self.text, whose);
        self.raw("\">");
        for points in points(drawn) {
            self.raw(&format!("<polyline points=\"{points}\"/>"));
        }
        self.raw("</svg>");
    }

    fn notes(&mut self, notes: &[NoteSheet]) {
        if notes.is_empty() {
            return;
        }
        self.raw("<section>");
        self.tag("h2", "Notes");
        for note in notes {
            let about = note.about.as_ref().map(|about| format!(", {about}")).unwrap_or_default();
            self.tag("h3", &format!("{}{about}", hour_minute(note.at)));
            self.class("p", "prose", note.text.as_str());
        }
        self.raw("</section>");
    }

    fn carry_over(&mut self, carried: &[CarryOver]) {
        if carried.is_empty() {
            return;
        }
        self.raw("<section>");
        self.tag("h2", "Tomorrow starts from");
        for one in carried {
            self.tag("h3", &joined(&[&one.boat, &one.title, &one.berth], ", "));
            let steps = one.next_steps.iter().map(|step| format!("to do: {step}"));
            let steps = steps.chain(one.tightening.iter().cloned());
            let off = one.off.iter().map(ToString::to_string);
            let lines: Vec<String> = off.chain(one.stands.iter().cloned()).chain(steps).collect();
            self.items(&lines);
            self.class("p", "prose", one.last_note.as_deref().unwrap_or_default());
        }
        self.raw("</section>");
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn segment(marker: u8, content: &[u8]) -> Vec<u8> {
        let length = u16::try_from(content.len() + 2).unwrap().to_be_bytes();
        [&[0xff, marker], &length[..], content].concat()
    }

    #[test]
    fn an_owner_sees_the_picture_and_nothing_beside_it() {
        let picture = [
            segment(0xe0, b"JFIF\0"),
            segment(0xe2, b"ICC_PROFILE\0colours"),
            segment(0xdb, b"table"),
            segment(0xda, b"scan"),
            b"coded\xff\x00\xff\xd0more".to_vec(),
            segment(0xc4, b"a table between scans, \xff\xd9 in it"),
            segment(0xda, b"scan"),
            b"coded".to_vec(),
        ];
        let beside =
            [segment(0xe1, b"Exif\0\0here"), segment(0xed, b"when"), segment(0xfe, b"who"), segment(0xe2, b"MPF\0")];
        let with = [b"\xff\xd8".to_vec(), beside.concat(), picture.concat(), b"\xff\xd9 and after".to_vec()].concat();
        let without = [b"\xff\xd8".to_vec(), picture.concat(), b"\xff\xd9".to_vec()].concat();
        assert_eq!(bare(&with), Some(without.clone()));
        assert_eq!(bare(&without), Some(without.clone()));
        for length in 0..without.len() {
            assert_eq!(bare(&without[..length]), None, "cut after {length} bytes");
        }
    }

    proptest::proptest! {
        #[test]
        fn a_scan_ends_at_its_first_marker(
            mut data in proptest::collection::vec(proptest::prelude::any::<u8>(), 0..80),
            marks in proptest::collection::vec((0_usize..80, proptest::sample::select(vec![0x00, 0xd0, 0xd7, 0xd9, 0xff])), 0..6),
        ) {
            for (at, next) in marks {
                data.splice(at.min(data.len())..at.min(data.len()), [0xff, next]);
            }
            let ends = |pair: &[u8]| pair[0] == 0xff && !matches!(pair[1], 0x00 | 0xd0..=0xd7);
            let expected = data.windows(2).position(ends).unwrap_or(data.len());
            proptest::prop_assert_eq!(coded_length(&data), expected);
        }
    }

    #[test]
    fn escapes_whatever_ends_text_or_attributes() {
        let mut html = String::new();
        escape(&mut html, "</script><img src=x onerror='a'>\"&amp;");
        assert_eq!(html, "&lt;/script&gt;&lt;img src=x onerror=&#39;a&#39;&gt;&quot;&amp;amp;");
    }
}
