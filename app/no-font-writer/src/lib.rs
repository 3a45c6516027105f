//! A writer of fonts that writes none, in the place of the crate of this name.
//!
//! What cuts a font down to the letters of a document asks for it where a font can
//! vary, in weight or width, and its letters have to be drawn anew. The fonts here
//! have one shape each and their letters are copied, but that is seen only when the
//! program runs, so no linker leaves that writer out, and every phone had to keep
//! it. Here are the few names that are mentioned; a letter is refused.

/// Why a letter was not written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NotWritten;

/// Where a table's bytes would go.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct TableWriter;

/// What could be written.
pub trait FontWrite {
    /// Writes it.
    fn write_into(&self, writer: &mut TableWriter);
}

/// Returns a table's bytes.
///
/// # Errors
/// Always.
pub fn dump_table<T: FontWrite>(_: &T) -> Result<Vec<u8>, NotWritten> {
    Err(NotWritten)
}

/// The tables of a font.
pub mod tables {
    /// Letters as outlines.
    pub mod glyf {
        use crate::{FontWrite, NotWritten, TableWriter};

        /// Within what a letter lies.
        pub struct Bbox {
            /// Its left edge.
            pub x_min: i16,
        }

        /// A letter that was drawn anew.
        pub struct SimpleGlyph {
            /// Within what it lies.
            pub bbox: Bbox,
            /// Its lines, each a row of places.
            pub contours: Vec<Vec<(i16, i16)>>,
            never: Never,
        }

        enum Never {}

        impl SimpleGlyph {
            /// Refuses an outline.
            ///
            /// # Errors
            /// Always.
            pub fn from_bezpath<P>(_: &P) -> Result<Self, NotWritten> {
                Err(NotWritten)
            }
        }

        impl FontWrite for SimpleGlyph {
            fn write_into(&self, _: &mut TableWriter) {
                match self.never {}
            }
        }
    }
}
