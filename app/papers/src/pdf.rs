//! A document as PDF: the page typeset on leaves of paper, its data inside.
//!
//! Made by krilla as PDF/A-3a (ISO 19005-3: for keeping, with files attached)
//! and PDF/UA-1 (ISO 14289-1: for everybody to read). Photos go in as the JPEGs
//! that they are. The letters are a subset of those in `fonts`. The same book at
//! the same instant gives the same bytes.
//!
//! - [`markup`]: the blocks of the document, read from its page.
//! - [`letters`], [`lines`]: what can be drawn, and where lines end.
//! - [`flow`], [`leaf`]: blocks on pages, and pages drawn.
//! - [`drawn`]: the marks on a photo.
//! - [`parts`]: one document as several PDFs.
//! - [`tree`]: what each part is, for whoever cannot see it.

mod drawn;
mod flow;
mod leaf;
mod letters;
mod lines;
mod markup;
mod parts;
mod tree;

use std::borrow::Cow;
use std::collections::BTreeSet;

use krilla::Document;
use krilla::SerializeSettings;
use krilla::configure::{Accessibility, Archival, Configuration, ConfigurationBuilder};
use krilla::destination::XyzDestination;
use krilla::embed::{AssociationKind, EmbeddedFile, MimeType};
use krilla::geom::Point;
use krilla::image::Image;
use krilla::metadata::{DateTime, Metadata};
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use quaywright_core::event::Sound;
use quaywright_core::exchange::part::{self, DayPart};
use quaywright_core::exchange::pieces::{PhotoForm, Piece};
use quaywright_core::id::{BlobId, Named};
use quaywright_core::moment::{Day, Moment};

use crate::making::Shot;
use crate::wire::{Leaf, PHOTO_BYTES};
use flow::{Flow, Pictures};
use letters::Letters;
use parts::{Part, shared_out};

pub(crate) use parts::Weights;

/// When a document was made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Made {
    /// To the minute, for the office.
    At(Moment),
    /// Only the day: an owner is told no times.
    On(Day),
}

/// A file that goes along in the document.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Attached {
    /// Its name.
    pub name: Cow<'static, str>,
    /// Its kind, as a media type.
    pub kind: &'static str,
    /// What it is, in words.
    pub what: &'static str,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// A document before it is typeset: its page, and the photos that have come in.
pub struct Draft {
    pieces: Vec<Piece>,
    pictures: Pictures,
    leaf: Leaf,
    made: Made,
    attached: Vec<Attached>,
    photo_bytes: u64,
    left_out: usize,
    /// How many stand there smaller than they are.
    smaller: usize,
    /// Which of several PDFs it is.
    part: Option<Part>,
}

/// A document that is typeset.
pub struct Typeset {
    /// The PDF.
    pub bytes: Vec<u8>,
    /// What a person must know of it, in words.
    pub faults: Vec<String>,
}

impl Draft {
    /// Begins a document with what stands on its page.
    pub fn new(pieces: Vec<Piece>, leaf: Leaf, made: Made, attached: Vec<Attached>) -> Self {
        let pictures = Pictures::new();
        Self { pieces, pictures, leaf, made, attached, photo_bytes: 0, left_out: 0, smaller: 0, part: None }
    }

    /// Begins a draft of an invoice with what stands on its page, and its XML inside.
    pub fn of_invoice(page: Vec<Piece>, xml: Vec<u8>, issued: Day) -> Self {
        let what = "The same for accounting programs: UBL 2.1, EN 16931-1";
        let attached = Attached { name: "invoice.xml".into(), kind: "text/xml", what, bytes: xml };
        Self::new(page, Leaf::default(), Made::On(issued), vec![attached])
    }

    /// Returns the photos and voice notes that it needs, in their order, each once.
    pub fn photos(&self) -> Vec<BlobId> {
        let mut named = BTreeSet::new();
        let all = self.pieces.iter().filter_map(Piece::blob).filter(|&blob| named.insert(blob));
        all.filter(|blob| self.part.as_ref().is_none_or(|part| part.photos.contains(blob))).collect()
    }

    /// Returns into how many PDFs it goes with its photos as they are.
    pub(crate) fn parts(&self, weights: &Weights) -> usize {
        self.shared_out(weights).len()
    }

    /// Leaves of it what stands in one of several PDFs, counted from 1; returns how many there
    /// are, or nothing where there is none of this number.
    pub(crate) fn keep_part(&mut self, number: usize, weights: &Weights) -> Option<usize> {
        let parts = self.shared_out(weights);
        let (of, photos) = (parts.len(), parts.into_iter().nth(number.checked_sub(1)?)?);
        // What carries a day's data is taken in; then each part says which it is.
        if !self.attached.is_empty() {
            if number > 1 {
                self.attached.clear();
            }
            let whole = |number: usize| u32::try_from(number).unwrap_or(u32::MAX);
            let says = DayPart { number: whole(number), of: whole(of), blobs: photos.iter().copied().collect() };
            let (kind, what) = ("application/json", "Which part of the day this is");
            self.attached.push(Attached { name: part::NAME.into(), kind, what, bytes: says.written() });
        }
        self.part = Some(Part { number, of, photos });
        Some(of)
    }

    /// Returns what each of several PDFs holds; the voice notes go with the first.
    fn shared_out(&self, weights: &Weights) -> Vec<BTreeSet<BlobId>> {
        let is_voice = |piece: &&Piece| matches!(piece, Piece::Photo { form: PhotoForm::Sound(_), .. });
        let voices: BTreeSet<BlobId> = self.pieces.iter().filter(is_voice).filter_map(Piece::blob).collect();
        let heard: u64 = voices.iter().filter_map(|blob| weights.get(blob)).sum();
        let most = PHOTO_BYTES.saturating_sub(heard);
        let mut parts = shared_out(&markup::read(&self.pieces), weights, most);
        parts.iter_mut().take(1).for_each(|first| first.extend(&voices));
        parts
    }

    /// Takes in a photo's or a voice note's own bytes.
    pub fn put(&mut self, blob: BlobId, bytes: &[u8]) {
        self.take(blob, Shot::Whole(Named::of(bytes)));
    }

    /// Takes a photo in; one that cannot be shown leaves a placeholder with its caption.
    pub(crate) fn take(&mut self, blob: BlobId, photo: Shot<'_>) {
        let Some(piece) = self.pieces.iter().find(|piece| piece.blob() == Some(blob)) else { return };
        if let Shot::Whole(bytes) = photo
            && let Some((sound, bytes)) = piece.sound(bytes)
        {
            return self.attach_voice(sound, bytes);
        }
        let picture = match photo {
            Shot::Whole(bytes) => piece.picture(bytes),
            Shot::Smaller(bytes) => piece.stand_in(bytes),
            Shot::None => return,
        };
        let Some(jpeg) = picture else {
            self.pictures.insert(blob, None);
            return;
        };
        let length = jpeg.len() as u64;
        if self.photo_bytes + length > PHOTO_BYTES {
            self.left_out += 1;
            return;
        }
        match Image::from_jpeg(jpeg.into_owned().into(), false) {
            Ok(image) => {
                self.photo_bytes += length;
                self.smaller += usize::from(matches!(photo, Shot::Smaller(_)));
                self.pictures.insert(blob, Some(image));
            }
            Err(_) => drop(self.pictures.insert(blob, None)),
        }
    }

    /// Lets a voice note go along as a file, since paper does not speak.
    fn attach_voice(&mut self, sound: Sound, bytes: &[u8]) {
        if self.photo_bytes + bytes.len() as u64 > PHOTO_BYTES {
            self.left_out += 1;
            return;
        }
        self.photo_bytes += bytes.len() as u64;
        let before = self.attached.iter().filter(|file| file.kind.starts_with("audio/")).count();
        let kind = sound.media_type();
        let end = kind.strip_prefix("audio/").unwrap_or_default();
        let name = format!("voice-note-{}.{end}", before + 1).into();
        self.attached.push(Attached { name, kind, what: "A voice note of the day", bytes: bytes.to_vec() });
    }

    /// Typesets it; nothing when the program's own letters cannot be read.
    pub fn typeset(&self) -> Option<Typeset> {
        let mut paper = markup::read(&self.pieces);
        let letters = Letters::new(&paper.language)?;
        if let Some(part) = &self.part {
            part.keep(&mut paper, letters.words());
        }
        let mut flow = Flow::new(&letters, &self.pictures, self.leaf);
        for (at, block) in paper.blocks.iter().enumerate() {
            flow.set(block, paper.blocks.get(at + 1..).unwrap_or_default());
        }
        flow.feet(&paper.title);
        let mut faults = Vec::new();
        if flow.lacking > 0 {
            let texts = if flow.lacking == 1 { "1 text has" } else { &format!("{} texts have", flow.lacking) };
            faults.push(format!("{texts} letters that a PDF cannot show: make it as a page to show all of it"));
        }
        if self.left_out > 0 {
            faults.push(format!(
                "{} photos or voice notes did not fit into one PDF and are named only: make it as a page to show all",
                self.left_out
            ));
        }
        let broken = self.pictures.values().filter(|picture| picture.is_none()).count();
        if broken > 0 {
            let photos = if broken == 1 { "1 photo" } else { &format!("{broken} photos") };
            faults.push(format!("{photos} cannot be shown and stand there by name"));
        }
        if self.smaller > 0 {
            faults.push(format!("{} photos are smaller here than on this phone", self.smaller));
        }
        // A document that misses a fine point of the standards is worth more than none.
        let bytes = standards().and_then(|standards| self.written(&paper, &letters, &flow, standards));
        let bytes = bytes.or_else(|| self.written(&paper, &letters, &flow, Configuration::default()))?;
        Some(Typeset { bytes, faults })
    }

    fn written(
        &self,
        paper: &markup::Paper,
        letters: &Letters,
        flow: &Flow<'_>,
        standards: Configuration,
    ) -> Option<Vec<u8>> {
        let mut document =
            Document::new_with(SerializeSettings { configuration: standards, ..SerializeSettings::default() });
        let (width, height) = leaf::size(self.leaf);
        let mut identifiers = Vec::new();
        for marks in &flow.pages {
            let mut page = document.start_page_with(PageSettings::from_wh(width, height)?);
            let mut surface = page.surface();
            identifiers.push(leaf::draw(&mut surface, letters, marks));
            surface.finish();
            page.finish();
        }
        document.set_tag_tree(flow.tree.written(&identifiers));
        document.set_outline(outline(&flow.headings));
        let date = self.made.date();
        let metadata = Metadata::new().title(paper.title.clone()).language(paper.language.clone());
        document.set_metadata(metadata.creator("Quaywright".to_owned()).creation_date(date));
        for file in &self.attached {
            document.embed_file(EmbeddedFile {
                path: file.name.to_string(),
                mime_type: MimeType::new(file.kind),
                description: Some(file.what.to_owned()),
                association_kind: AssociationKind::Data,
                data: file.bytes.clone().into(),
                modification_date: Some(date),
                compress: Some(true),
                location: None,
            })?;
        }
        document.finish().ok()
    }
}

fn standards() -> Option<Configuration> {
    let standards = ConfigurationBuilder::new().with_archival_validator(Archival::A3_A);
    standards.with_accessibility_validator(Accessibility::UA1).finish().ok()
}

fn outline(headings: &[(String, usize, f32)]) -> Outline {
    let mut outline = Outline::new();
    for (text, page, y) in headings {
        outline.push_child(OutlineNode::new(text.clone(), XyzDestination::new(*page, Point::from_xy(0.0, *y))));
    }
    outline
}

impl Made {
    fn date(self) -> DateTime {
        let day = match self {
            Self::At(moment) => moment.day(),
            Self::On(day) => day,
        };
        let (year, month, of_month) = day.parts();
        let small = |number: u32| u8::try_from(number).unwrap_or(1);
        let date = DateTime::new(u16::try_from(year).unwrap_or_default()).month(small(month)).day(small(of_month));
        match self {
            Self::On(_) => date,
            Self::At(moment) => {
                let (hour, minute) = moment.time_of_day();
                let (of_hours, minutes) = (moment.offset_min() / 60, moment.offset_min().unsigned_abs() % 60);
                let date = date.hour(hour).minute(minute).second(0);
                let date = date.utc_offset_hour(i8::try_from(of_hours).unwrap_or_default());
                date.utc_offset_minute(u8::try_from(minutes).unwrap_or_default())
            }
        }
    }
}
