//! The vault of this phone: the core's rules over this browser's storages.

use quaywright_core::store::vault::Vault;

pub use super::drafts::Drafts;
use super::second::OpfsCopy;
use super::store::IdbStore;
use super::timer::PageTimer;
use super::witness::BrowserNotes;

/// The script that moves the second copy's bytes, beside the page.
const COPY_WORKER: &str = "copy-worker.js";

/// The vault over IndexedDB, the origin private file system, localStorage and Cache Storage.
pub type PhoneVault = Vault<IdbStore, OpfsCopy, BrowserNotes, PageTimer>;

/// Returns the vault of `place`; another name keeps apart, as the demo does.
pub fn vault(place: &str) -> PhoneVault {
    Vault::new(IdbStore::new(place), OpfsCopy::new(place, COPY_WORKER), BrowserNotes::new(place), PageTimer)
}
