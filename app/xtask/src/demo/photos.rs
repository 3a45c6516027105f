//! The demo's photos, drawn by the project itself.
//!
//! A photo in a workbook shows one thing plainly: what was found, what came off,
//! what was done. Each scene here does that with the shapes of a real workshop
//! and nothing of any maker. Scenes come in pairs where the story has a before
//! and an after.

mod bench;
mod cooler;
mod electrics;
mod lettering;
mod propeller;
mod shape;
mod sheet;
mod water;
mod waterside;

use sheet::Sheet;

/// Pixels across a photo.
pub(super) const WIDTH: u16 = sheet::WIDTH;
/// Pixels down a photo.
pub(super) const HEIGHT: u16 = sheet::HEIGHT;

/// What a photo shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Scene {
    /// A battery with a furred terminal and a meter that shows too little.
    BatteryFlat,
    /// The same battery, clean, with a meter that shows enough.
    BatteryGood,
    /// A stern gland with a drop under it.
    GlandWeeping,
    /// The same gland, dry.
    GlandDry,
    /// A belt with its dust.
    BeltWorn,
    /// The back of an alternator with a burnt plug.
    PlugBurnt,
    /// A propeller with a rope around it, in the lift.
    PropellerRoped,
    /// The same propeller, clear, with a new anode.
    PropellerClear,
    /// A launch's engine with its heat exchanger, before anything came off.
    ExchangerWhole,
    /// The tubes behind an end cap, choked.
    TubesChoked,
    /// The same tubes, clean.
    TubesClean,
    /// An eaten anode beside a new one.
    AnodeEaten,
    /// The end of a hose with its clip.
    HoseEnd,
    /// Bolts in a tray with labels.
    BoltTray,
    /// An impeller with torn vanes in its housing.
    ImpellerTorn,
    /// A new impeller in the same housing.
    ImpellerNew,
    /// A pontoon ferry at her landing.
    FerryLanding,
    /// A launch at a quay.
    LaunchQuay,
}

impl Scene {
    /// Returns the photo as a JPEG, or none when there is no memory to draw it.
    pub(super) fn jpeg(self) -> Option<Vec<u8>> {
        let mut sheet = Sheet::new(sheet::PAPER, self as u64)?;
        self.draw(&mut sheet);
        sheet.jpeg()
    }

    fn draw(self, sheet: &mut Sheet) {
        match self {
            Scene::BatteryFlat => electrics::battery(sheet, "11.42", true),
            Scene::BatteryGood => electrics::battery(sheet, "12.74", false),
            Scene::BeltWorn => electrics::belt(sheet),
            Scene::PlugBurnt => electrics::plug(sheet),
            Scene::GlandWeeping => water::gland(sheet, true),
            Scene::GlandDry => water::gland(sheet, false),
            Scene::ImpellerTorn => water::impeller(sheet, true),
            Scene::ImpellerNew => water::impeller(sheet, false),
            Scene::PropellerRoped => propeller::lifted(sheet, true),
            Scene::PropellerClear => propeller::lifted(sheet, false),
            Scene::ExchangerWhole => cooler::whole(sheet),
            Scene::TubesChoked => cooler::tubes(sheet, true),
            Scene::TubesClean => cooler::tubes(sheet, false),
            Scene::AnodeEaten => bench::anodes(sheet),
            Scene::HoseEnd => bench::hose_end(sheet),
            Scene::BoltTray => bench::bolt_tray(sheet),
            Scene::FerryLanding => waterside::ferry(sheet),
            Scene::LaunchQuay => waterside::launch(sheet),
        }
    }
}
