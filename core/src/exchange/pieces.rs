//! A file as a row of pieces, so that its photos never lie in memory together.
//!
//! Text comes as it is; a photo comes as its name, and whoever writes the file
//! fetches its bytes when its turn comes. Bytes that are missing, or are not
//! those that the name stands for, are never written: a page shows a
//! placeholder with the caption, a JSON form says `null`.

use std::borrow::Cow;

use base64ct::{Base64, Encoding};

use super::html;
use crate::event::Sound;
use crate::id::{BlobId, Named};

/// A piece of a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Piece {
    /// These bytes as they are.
    Text(Vec<u8>),
    /// A photo or a voice note.
    Photo {
        /// The name of its bytes.
        blob: BlobId,
        /// How it is written.
        form: PhotoForm,
    },
}

/// How a photo is written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PhotoForm {
    /// As a JSON string of base64 (RFC 4648, section 4), or `null`.
    Json,
    /// As an image of a page, or a placeholder.
    Image(html::Image),
    /// A voice note, with a player on a page, or a placeholder.
    Sound(html::Player),
}

impl Piece {
    /// Returns the name of the photo whose bytes this piece needs.
    pub fn blob(&self) -> Option<BlobId> {
        match self {
            Self::Text(_) => None,
            Self::Photo { blob, .. } => Some(*blob),
        }
    }

    /// Returns the picture of a page's photo as JPEG, given its bytes; nothing
    /// where a placeholder stands, or when this is no photo of a page.
    pub fn picture<'a>(&self, photo: Named<'a>) -> Option<Cow<'a, [u8]>> {
        let Self::Photo { blob, form: PhotoForm::Image(image) } = self else { return None };
        image.shown(photo.under(*blob)?)
    }

    /// Returns a page's voice note as it was recorded, given its bytes, and in what it is written;
    /// nothing where a placeholder stands, or when this is none.
    pub fn sound<'a>(&self, bytes: Named<'a>) -> Option<(Sound, &'a [u8])> {
        let Self::Photo { blob, form: PhotoForm::Sound(player) } = self else { return None };
        Some((player.sound(), bytes.under(*blob)?))
    }

    /// Returns a smaller picture that stands in for a page's photo; nothing when this is
    /// no photo of a page, or the picture is no whole JPEG.
    pub fn stand_in<'a>(&self, smaller: &'a [u8]) -> Option<Cow<'a, [u8]>> {
        let Self::Photo { form: PhotoForm::Image(image), .. } = self else { return None };
        image.shown(smaller)
    }

    /// Returns the bytes to write, given those of its photo if it has one.
    pub fn written(&self, photo: Option<Named<'_>>) -> Cow<'_, [u8]> {
        let (blob, form) = match self {
            Self::Text(text) => return Cow::Borrowed(text),
            Self::Photo { blob, form } => (*blob, form),
        };
        let whole = photo.and_then(|bytes| bytes.under(blob));
        let written = match form {
            PhotoForm::Json => json(whole),
            PhotoForm::Image(image) => image.written(blob, whole),
            PhotoForm::Sound(player) => player.written(blob, whole),
        };
        Cow::Owned(written.into_bytes())
    }
}

fn json(photo: Option<&[u8]>) -> String {
    let Some(bytes) = photo else { return "null".to_owned() };
    ["\"", &Base64::encode_string(bytes), "\""].concat()
}

/// Returns the whole file; `photo` gives a photo's bytes where they are there.
pub fn assemble(pieces: &[Piece], mut photo: impl FnMut(BlobId) -> Option<Vec<u8>>) -> Vec<u8> {
    let mut file = Vec::new();
    for piece in pieces {
        let bytes = piece.blob().and_then(&mut photo);
        file.extend_from_slice(&piece.written(bytes.as_deref().map(Named::of)));
    }
    file
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_photo_is_written_only_with_its_own_bytes() {
        let piece = Piece::Photo { blob: BlobId::of(b"foobar"), form: PhotoForm::Json };
        // RFC 4648, section 10: BASE64("foobar") = "Zm9vYmFy".
        assert_eq!(&*piece.written(Some(Named::of(b"foobar"))), b"\"Zm9vYmFy\"");
        assert_eq!(&*piece.written(Some(Named::of(b"foobaz"))), b"null");
        assert_eq!(&*piece.written(None), b"null");
    }
}
