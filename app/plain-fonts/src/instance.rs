//! A shape of a font: a plain font has one, drawn in the units of its design.

use std::marker::PhantomData;

use read_fonts::types::Tag;

/// How large letters are: in the units of the font's design only.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Size;

impl Size {
    /// Returns the units of the design.
    pub const fn unscaled() -> Self {
        Self
    }
}

/// Along what a font varies: nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct AxisCollection;

impl AxisCollection {
    /// Returns the one shape.
    pub fn location(self, _: impl IntoIterator<Item = (Tag, f32)>) -> Location {
        Location
    }
}

/// The one shape of a font.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub struct Location;

/// The one shape of a font, as it is passed on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct LocationRef<'a>(PhantomData<&'a Location>);

impl LocationRef<'_> {
    /// Returns true: there is no other.
    pub const fn is_default(self) -> bool {
        true
    }
}

impl<'a> From<&'a Location> for LocationRef<'a> {
    fn from(_: &'a Location) -> Self {
        Self(PhantomData)
    }
}
