//! Drafts of invoices of an export, each as XML and as PDF with that XML inside.
//!
//! They are made from the lines that went out, so they can be written as often as
//! anybody likes and say the same each time. What cannot be said is named and
//! stops no other draft.

use std::fs;
use std::path::{Path, PathBuf};

use clap::Args;
use quaywright_core::billing::invoice::{Invoice, can_be_said, drafts};
use quaywright_core::billing::outgoing::Outgoing;
use quaywright_core::event::PayType;
use quaywright_core::exchange::html::proforma;
use quaywright_core::exchange::{outgoing, parties, ubl};
use quaywright_core::moment::Day;
use quaywright_papers::pdf::{Attached, Draft, Made};
use quaywright_papers::wire::Leaf;

use quaywright_desk::told::Told;

use crate::store::{self, Make};
use crate::tasks::{NotDone, price_list, write_whole};

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
    let words = |why: &dyn std::fmt::Display| NotDone::Words(why.to_string());
    can_be_said(&price_list(&of.prices)?).map_err(|why| words(&why))?;
    let unusable = |why: String| NotDone::Unusable { file: of.parties.clone(), why };
    let file = fs::read(&of.parties).map_err(|why| unusable(format!("cannot be read: {why}")))?;
    let parties = parties::read(&file).map_err(|why| unusable(why.to_string()))?;
    let mut kept = store::open(store, Make::Never).map_err(NotDone::in_store(store))?;
    let sent = kept.sent().map_err(NotDone::in_store(store))?;
    let lines = sent.iter().filter(|sent| sent.export == number).map(|sent| outgoing::read(&sent.form));
    let lines: Vec<Outgoing> = lines.collect::<Result<_, _>>().map_err(|why| words(&why))?;
    if lines.is_empty() {
        return Err(NotDone::Words(format!("there is no export {number} in this store")));
    }
    fs::create_dir_all(folder).map_err(|why| NotDone::Unwritten { file: folder.to_owned(), why })?;
    for draft in drafts(number, &lines, &parties, of.issued) {
        match draft.map_err(|why| why.to_string()).and_then(|invoice| files(&invoice)) {
            Ok(files) => {
                for (name, bytes) in files {
                    write_whole(&folder.join(&name), &bytes)?;
                    told.said.push_str(&format!("{name}\n"));
                }
            }
            Err(why) => told.wrong.push_str(&format!("{why}\n")),
        }
    }
    let others = lines.iter().filter(|line| line.pay != PayType::CustomerPay).count();
    if others > 0 {
        told.said.push_str(&format!("{others} lines of warranty and internal work are on no invoice\n"));
    }
    Ok(())
}

/// Returns the names and bytes of a draft's files.
fn files(invoice: &Invoice<'_>) -> Result<[(String, Vec<u8>); 2], String> {
    let (export, nth) = invoice.number;
    let xml = ubl::written(invoice).map_err(|why| why.to_string())?;
    let attached = Attached {
        name: "invoice.xml".into(),
        kind: "text/xml",
        what: "The same for accounting programs: UBL 2.1, EN 16931-1",
        bytes: xml.clone(),
    };
    let draft = Draft::new(proforma::page(invoice), Leaf::default(), Made::On(invoice.issued), vec![attached]);
    let pdf = draft.typeset().ok_or("this program's letters cannot be read: put it in place anew")?;
    Ok([(format!("draft-{export}-{nth}.xml"), xml), (format!("draft-{export}-{nth}.pdf"), pdf.bytes)])
}
