//! What is drawn on a photo, and what is spoken instead of written.
//!
//! Marks are not pixels: they are kept beside the photo, so that it stays as the
//! camera took it and a mark can be taken away again. Places are in ten
//! thousandths of the photo's width and height, from its upper left corner, so
//! they fit whatever size it is shown at.

use crate::id::BlobId;
use crate::text::Label;

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

    /// Returns how far another place is from it, in whole ten thousandths.
    pub fn apart(self, other: Self) -> u32 {
        let across = u32::from(self.x.abs_diff(other.x));
        let down = u32::from(self.y.abs_diff(other.y));
        (across * across + down * down).isqrt()
    }

    /// Returns the place so far to the right and down, at most at the edge.
    #[must_use]
    pub fn shifted(self, right: i16, down: i16) -> Self {
        let within = |at: u16, by: i16| at.saturating_add_signed(by).min(WHOLE);
        Self { x: within(self.x, right), y: within(self.y, down) }
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
    /// A few words at a place.
    Words(Spot, Label),
}

impl Mark {
    /// Returns the same mark so far to the right and down.
    #[must_use]
    pub fn shifted(&self, right: i16, down: i16) -> Self {
        let shifted = |spot: &Spot| spot.shifted(right, down);
        match self {
            Self::Stroke(spots) => Self::Stroke(spots.iter().map(shifted).collect()),
            Self::Arrow(from, to) => Self::Arrow(shifted(from), shifted(to)),
            Self::Ring(middle, radius) => Self::Ring(shifted(middle), *radius),
            Self::Words(at, words) => Self::Words(shifted(at), words.clone()),
        }
    }
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

/// A form of recorded sound: what browsers' recorders write, and what other recorders' files are.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Sound {
    /// WebM.
    Webm,
    /// MPEG-4.
    Mp4,
    /// Ogg.
    Ogg,
    /// WAVE.
    Wav,
    /// MPEG-1 layer 3.
    Mp3,
}

impl Sound {
    /// All; a recorder is asked for the first three in this order.
    pub const ALL: [Sound; 5] = [Sound::Webm, Sound::Mp4, Sound::Ogg, Sound::Wav, Sound::Mp3];

    /// Returns its media type.
    pub const fn media_type(self) -> &'static str {
        match self {
            Sound::Webm => "audio/webm",
            Sound::Mp4 => "audio/mp4",
            Sound::Ogg => "audio/ogg",
            Sound::Wav => "audio/wav",
            Sound::Mp3 => "audio/mpeg",
        }
    }

    /// Returns the form of a file that says this media type of itself, if it is one of these.
    pub fn of_type(media_type: &str) -> Option<Self> {
        match media_type.split(';').next().unwrap_or_default().trim() {
            "audio/x-m4a" | "audio/m4a" | "video/mp4" => Some(Sound::Mp4),
            "audio/x-wav" | "audio/wave" => Some(Sound::Wav),
            "video/webm" => Some(Sound::Webm),
            other => Self::ALL.into_iter().find(|sound| sound.media_type() == other),
        }
    }
}
