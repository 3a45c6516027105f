//! How heavy and how wide a font is, as its table OS/2 says (usWeightClass, usWidthClass).

use read_fonts::{FontRef, TableProvider};

/// How heavy and how wide a font is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Attributes {
    /// How wide.
    pub stretch: Stretch,
    /// How heavy.
    pub weight: Weight,
}

impl Attributes {
    pub(crate) fn of(font: &FontRef<'_>) -> Self {
        let (width, weight) = font.os2().map_or((5, 400), |os2| (os2.us_width_class(), os2.us_weight_class()));
        Self { stretch: Stretch::of_class(width), weight: Weight(f32::from(weight)) }
    }
}

/// How heavy a font is; 400 is regular.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Weight(f32);

impl Weight {
    /// Returns the number.
    pub const fn value(self) -> f32 {
        self.0
    }
}

/// How wide a font is, beside one of normal width.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch(f32);

impl Stretch {
    /// Class 1.
    pub const ULTRA_CONDENSED: Self = Self(0.5);
    /// Class 2.
    pub const EXTRA_CONDENSED: Self = Self(0.625);
    /// Class 3.
    pub const CONDENSED: Self = Self(0.75);
    /// Class 4.
    pub const SEMI_CONDENSED: Self = Self(0.875);
    /// Class 5.
    pub const NORMAL: Self = Self(1.0);
    /// Class 6.
    pub const SEMI_EXPANDED: Self = Self(1.125);
    /// Class 7.
    pub const EXPANDED: Self = Self(1.25);
    /// Class 8.
    pub const EXTRA_EXPANDED: Self = Self(1.5);
    /// Class 9.
    pub const ULTRA_EXPANDED: Self = Self(2.0);

    /// Returns this width.
    pub const fn new(ratio: f32) -> Self {
        Self(ratio)
    }

    /// Returns the share of normal width.
    pub const fn ratio(self) -> f32 {
        self.0
    }

    fn of_class(class: u16) -> Self {
        match class {
            0 | 1 => Self::ULTRA_CONDENSED,
            2 => Self::EXTRA_CONDENSED,
            3 => Self::CONDENSED,
            4 => Self::SEMI_CONDENSED,
            5 => Self::NORMAL,
            6 => Self::SEMI_EXPANDED,
            7 => Self::EXPANDED,
            8 => Self::EXTRA_EXPANDED,
            _ => Self::ULTRA_EXPANDED,
        }
    }
}
