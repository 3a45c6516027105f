//! Drafts of invoices of an export, each as XML and as PDF with that XML inside.
//!
//! What they say is made where the office page has it from too
//! ([`quaywright_desk::drafts`]); here the files are read and written, and the PDFs set.

use std::fs;
use std::path::{Path, PathBuf};

use clap::Args;
use quaywright_core::exchange::parties;
use quaywright_core::moment::Day;
use quaywright_desk::drafts::{Made, NoDrafts, With, of_export};
use quaywright_desk::told::Told;
use quaywright_papers::pdf::Draft;

use crate::store::{self, Make};
use crate::tasks::{NotDone, price_list};
use crate::writing::Target;

/// What drafts are made with.
#[derive(Args)]
pub(crate) struct DraftsOf {
    /// The shop's price list.
    #[arg(long, value_name = "FILE")]
    prices: PathBuf,
    /// Who sells and who buys, with addresses and tax numbers.
    #[arg(long, value_name = "FILE")]
    parties: PathBuf,
    /// The day that they bear: 2026-05-31.
    #[arg(long, value_name = "DAY", value_parser = day)]
    issued: Day,
}

fn day(text: &str) -> Result<Day, String> {
    Day::parse(text).ok_or_else(|| "write a day as 2026-05-31".to_owned())
}

/// Writes the drafts of an export into a folder.
pub(crate) fn write(store: &str, number: u32, folder: &Path, of: &DraftsOf, told: &mut Told) -> Result<(), NotDone> {
    let prices = price_list(&of.prices)?;
    let unusable = |why: String| NotDone::Unusable { file: of.parties.clone(), why };
    let file = fs::read(&of.parties).map_err(|why| unusable(format!("cannot be read: {why}")))?;
    let parties = parties::read(&file).map_err(|why| unusable(why.to_string()))?;
    let mut kept = store::open(store, Make::Never).map_err(NotDone::in_store(store))?;
    let with = With { prices: &prices, parties: &parties, issued: of.issued };
    let drafts = of_export(kept.as_mut(), number, with).map_err(|why| match why {
        NoDrafts::Store(why) => NotDone::in_store(store)(why),
        why => NotDone::Words(why.to_string()),
    })?;
    let others = drafts.others_words();
    fs::create_dir_all(folder).map_err(|why| NotDone::Unwritten { file: folder.to_owned(), why })?;
    for made in drafts.made {
        for (name, bytes) in files(made, of.issued)? {
            Target::beside(store, &folder.join(&name))?.write(&bytes)?;
            told.say(name);
        }
    }
    drafts.faults.iter().for_each(|why| told.blame(why));
    others.iter().for_each(|it| told.say(it));
    Ok(())
}

/// Returns the names and bytes of a draft's files.
fn files(Made { name, xml, page }: Made, issued: Day) -> Result<[(String, Vec<u8>); 2], NotDone> {
    let letters = "this program's letters cannot be read: put it in place anew";
    let pdf = Draft::of_invoice(page, xml.clone(), issued).typeset();
    let pdf = pdf.ok_or_else(|| NotDone::Words(letters.to_owned()))?;
    Ok([(format!("{name}.xml"), xml), (format!("{name}.pdf"), pdf.bytes)])
}
