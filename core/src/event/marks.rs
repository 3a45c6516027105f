//! What is drawn on a photo, and what is spoken instead of written.
//!
//! Marks are not pixels: they are kept beside the photo, so that it stays as the
//! camera took it and a mark can be taken away again. Places are in ten
//! thousandths of the photo's width and height, from its upper left corner, so
//! they fit whatever size it is shown at.

use crate::id::BlobId;

/// A place on a photo, in ten thousandths of its width and height.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Spot {
    x: u16,
    y: u16,
}

/// The whole of a photo's width or height.
pub const WHOLE: u16 = 10_000;

impl Spot {
    /// Returns a place on the photo; none that lies beside it.
    pub const fn new(x: u16, y: u16) -> Option<Self> {
        if x <= WHOLE && y <= WHOLE { Some(Self { x, y }) } else { None }
    }

    /// Returns how far it is from the left.
    pub const fn x(self) -> u16 {
        self.x
    }

    /// Returns how far it is from the top.
    pub const fn y(self) -> u16 {
        self.y
    }
}

/// Something drawn on a photo.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Mark {
    /// A line drawn by hand, from place to place.
    Stroke(Vec<Spot>),
    /// An arrow that points at the second place.
    Arrow(Spot, Spot),
    /// A ring around a place; the radius in ten thousandths of the width.
    Ring(Spot, u16),
}

/// What is known of a voice note.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct VoiceFacts {
    /// The name of its bytes.
    pub blob: BlobId,
    /// How many bytes.
    pub bytes: u32,
    /// How long it is, in milliseconds.
    pub ms: u32,
    /// In what it is written.
    pub sound: Sound,
}

/// A form of recorded sound that browsers write.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Sound {
    /// WebM.
    Webm,
    /// MPEG-4.
    Mp4,
    /// Ogg.
    Ogg,
}

impl Sound {
    /// All, in the order in which a recorder is asked for them.
    pub const ALL: [Sound; 3] = [Sound::Webm, Sound::Mp4, Sound::Ogg];

    /// Returns its media type.
    pub const fn media_type(self) -> &'static str {
        match self {
            Sound::Webm => "audio/webm",
            Sound::Mp4 => "audio/mp4",
            Sound::Ogg => "audio/ogg",
        }
    }
}
