//! What more can be known of something that came off: what kind of thing it is,
//! which way up it goes, what has to be new, what keeps it waiting.
//!
//! All of it may be left out; an item of which nothing of it is known is written
//! as it ever was.
//!
//! Rule: a part for which a way up is written is a one-way part. It, and
//! whatever has to be new, is made sure of once when the item goes back on
//! ([`Check`]); until then the item is told as not sure.

use crate::order;
use crate::reassembly::gate::Need;
use crate::text::Label;

/// What is known of an item beyond its name, count, size and places.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub struct Details {
    /// What kind of thing it is.
    pub kind: Option<ItemKind>,
    /// Which way up it goes back on: "lip down", "arrow to bow".
    pub way_up: Label,
    /// What has to be new when it goes back on.
    pub renew: Renew,
    /// What its open end was closed with.
    pub end: Option<OpenEnd>,
    /// Whether it is tied back in place instead of laid away.
    pub tied_back: bool,
    /// The part that has to come before it can go on.
    pub awaits: Label,
    /// What of the engine it is needed for before that may run.
    pub needed: Option<Need>,
}

impl Details {
    /// Returns what has to be made sure of when it goes back on.
    pub fn checks(&self) -> impl Iterator<Item = Check> {
        let way_up = (!self.way_up.is_empty()).then_some(Check::WayUp);
        way_up.into_iter().chain(self.renew.0.iter().map(|&it| Check::New(it)))
    }
}

/// A kind of thing that comes off.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ItemKind {
    /// A bolt, nut, screw, washer, clip.
    Fastener,
    /// A hose.
    Hose,
    /// An electric connector.
    Connector,
    /// A cable, electric or of a control.
    Cable,
    /// A bracket.
    Bracket,
    /// A cover or guard.
    Cover,
    /// A seal or gasket.
    Seal,
    /// A fluid that was drained.
    Fluid,
    /// Anything else.
    Part,
}

impl ItemKind {
    /// All, in the order in which they are offered.
    pub const ALL: [ItemKind; 9] = [
        ItemKind::Fastener,
        ItemKind::Hose,
        ItemKind::Connector,
        ItemKind::Cable,
        ItemKind::Bracket,
        ItemKind::Cover,
        ItemKind::Seal,
        ItemKind::Fluid,
        ItemKind::Part,
    ];

    /// Returns the trade's word.
    pub const fn words(self) -> &'static str {
        match self {
            ItemKind::Fastener => "fastener",
            ItemKind::Hose => "hose",
            ItemKind::Connector => "connector",
            ItemKind::Cable => "cable",
            ItemKind::Bracket => "bracket",
            ItemKind::Cover => "cover",
            ItemKind::Seal => "seal",
            ItemKind::Fluid => "fluid",
            ItemKind::Part => "part",
        }
    }
}

/// Something that is used once and has to be new.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Consumable {
    /// A gasket.
    Gasket,
    /// A seal.
    Seal,
    /// An O-ring.
    ORing,
    /// Thread locker.
    ThreadLocker,
    /// Sealant.
    Sealant,
    /// A cotter pin.
    CotterPin,
}

impl Consumable {
    /// All, in the order in which they are offered.
    pub const ALL: [Consumable; 6] = [
        Consumable::Gasket,
        Consumable::Seal,
        Consumable::ORing,
        Consumable::ThreadLocker,
        Consumable::Sealant,
        Consumable::CotterPin,
    ];

    /// Returns the trade's word.
    pub const fn words(self) -> &'static str {
        match self {
            Consumable::Gasket => "gasket",
            Consumable::Seal => "seal",
            Consumable::ORing => "O-ring",
            Consumable::ThreadLocker => "thread locker",
            Consumable::Sealant => "sealant",
            Consumable::CotterPin => "cotter pin",
        }
    }
}

/// What has to be new: in order, each once.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub struct Renew(Vec<Consumable>);

impl Renew {
    /// Returns these as what has to be new.
    pub fn new(consumables: Vec<Consumable>) -> Self {
        Self(order::each_once(consumables))
    }

    /// Returns them.
    pub fn all(&self) -> &[Consumable] {
        &self.0
    }
}

/// What an open end was closed with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum OpenEnd {
    /// Tape.
    Taped,
    /// A cap or plug.
    Capped,
}

impl OpenEnd {
    /// Both, in the order in which they are offered.
    pub const ALL: [OpenEnd; 2] = [OpenEnd::Taped, OpenEnd::Capped];

    /// Returns it in words.
    pub const fn words(self) -> &'static str {
        match self {
            OpenEnd::Taped => "end taped",
            OpenEnd::Capped => "end capped",
        }
    }
}

/// What is made sure of when an item goes back on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Check {
    /// It is the right way up.
    WayUp,
    /// This of it is new.
    New(Consumable),
}
