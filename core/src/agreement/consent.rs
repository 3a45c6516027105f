//! Who agreed to what, when, and by which way; and what exactly was signed.
//!
//! Rule: what is signed is a text, and the signature goes with that text and its
//! SHA-256 (FIPS 180-4). So it can be told for ever what was signed, whatever the
//! program would write today, and a sheet that says something else says so.
//! A signature is drawn, or the name is typed and stands for it; whether either
//! is enough is for local law to say.

use crate::event::Reader;
use crate::id::{EstimateId, Hash};
use crate::moment::Moment;
use crate::money::minor::Minor;
use crate::text::{Label, Prose};

/// That somebody agreed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Consent {
    /// To what.
    pub to: Agreed,
    /// Who.
    pub by: Label,
    /// When it was said, which may be before it was entered.
    pub at: Moment,
    /// By which way.
    pub way: Way,
    /// What was signed, where something was.
    pub signed: Option<Signed>,
}

/// What was agreed to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Agreed {
    /// An estimate.
    Estimate(EstimateId),
    /// More than an estimate said.
    More {
        /// Which estimate.
        estimate: EstimateId,
        /// Which parts and which labour.
        what: Prose,
        /// What it adds to the cost, in the estimate's currency.
        added: Minor,
        /// What it adds to the time of work, in minutes.
        minutes: u32,
    },
    /// The work, as it was done.
    Work,
}

impl Agreed {
    /// Returns the estimate that it is about.
    pub fn estimate(&self) -> Option<EstimateId> {
        match self {
            Agreed::Estimate(estimate) | Agreed::More { estimate, .. } => Some(*estimate),
            Agreed::Work => None,
        }
    }
}

/// How somebody agreed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Way {
    /// Being there.
    InPerson,
    /// By telephone.
    Telephone {
        /// The number that was called; empty where the owner called.
        number: Label,
    },
    /// By letter or message.
    Writing,
}

impl Way {
    /// Returns it in words.
    pub const fn words(&self) -> &'static str {
        match self {
            Way::InPerson => "in person",
            Way::Telephone { .. } => "by telephone",
            Way::Writing => "in writing",
        }
    }
}

/// What was signed, and the signature.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Signed {
    /// The text that was shown.
    pub text: Prose,
    /// The SHA-256 of its bytes.
    pub hash: Hash,
    /// The signature as it was drawn; empty where a name was typed instead.
    pub drawn: Strokes,
    /// For whom the text was written: in which language, in which units.
    pub reader: Reader,
}

impl Signed {
    /// Returns this text, written for this reader, as signed.
    pub fn new(text: Prose, drawn: Strokes, reader: Reader) -> Self {
        Self { hash: Hash::of(text.as_str().as_bytes()), text, drawn, reader }
    }

    /// Tells whether the hash is that of the text.
    pub fn is_whole(&self) -> bool {
        self.hash == Hash::of(self.text.as_str().as_bytes())
    }
}

/// A drawn line's places, on a field [`WIDE`] by [`HIGH`] from its upper left corner.
pub type Stroke = Vec<(u16, u16)>;

/// How wide the field of a signature is.
pub const WIDE: u16 = 3_000;
/// How high it is.
pub const HIGH: u16 = 1_000;
/// How many places a signature has at most.
pub const MOST_PLACES: usize = 2_000;
/// How many lines it has at most.
pub const MOST_STROKES: usize = 100;

/// A drawing of at most [`MOST_STROKES`] lines and [`MOST_PLACES`] places within its field.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub struct Strokes(Vec<Stroke>);

impl Strokes {
    /// Returns these lines as a drawing; none where they are too many or lie beside the field.
    pub fn new(strokes: Vec<Stroke>) -> Option<Self> {
        let places = || strokes.iter().flatten();
        let fits = strokes.len() <= MOST_STROKES && places().count() <= MOST_PLACES;
        let within = places().all(|&(x, y)| x <= WIDE && y <= HIGH) && strokes.iter().all(|stroke| !stroke.is_empty());
        (fits && within).then_some(Self(strokes))
    }

    /// Returns the lines.
    pub fn strokes(&self) -> &[Stroke] {
        &self.0
    }

    /// Tells whether nothing is drawn.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_changed_byte_of_what_was_signed_is_told() {
        let signed = Signed::new(Prose::new("Total: 284.75 USD"), Strokes::default(), Reader::default());
        assert!(signed.is_whole());
        let changed = Signed { text: Prose::new("Total: 234.75 USD"), ..signed };
        assert!(!changed.is_whole());
    }

    #[test]
    fn a_signature_is_bounded_and_lies_in_its_field() {
        assert!(Strokes::new(vec![vec![(0, 0), (WIDE, HIGH)]]).is_some());
        for wrong in [
            vec![vec![(WIDE + 1, 0)]],
            vec![vec![(0, HIGH + 1)]],
            vec![Vec::new()],
            vec![vec![(1, 1)]; MOST_STROKES + 1],
            vec![vec![(1, 1); MOST_PLACES + 1]],
        ] {
            assert_eq!(Strokes::new(wrong), None);
        }
    }
}
