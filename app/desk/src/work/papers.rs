//! What papers are made of for the office page: drafts of invoices, and the pack of a claim.
//!
//! PDFs are set in another room, the papers' worker, which has the letters and no store;
//! the page carries to it what is told here. The XML of drafts is put by for packing at
//! once, the PDFs are put beside it when they come back.

use quaywright_core::exchange::{parties, pieces};
use quaywright_core::id::EventId;
use quaywright_core::moment::Day;

use super::{NotDone, Outlet, PARTIES, Work, tell};
use crate::drafts::{Made, With, of_export};
use crate::looking::{MadeOf, pack_made_of};
use crate::packing::Packing;
use crate::store::journal::Medium;
use crate::told::Told;
use crate::wire::Answer;

/// How many bytes of record lines are told at once.
const RUN: usize = 256 * 1024;

impl<M: Medium> Work<M> {
    /// Makes drafts of an export, and begins to pack them.
    pub(super) fn drafts(&mut self, number: u32, issued: Day, out: &mut impl Outlet) -> Result<(), NotDone> {
        let prices = self.prices()?;
        let file = self.store.text(PARTIES.0).ok_or(NotDone::NoParties)?;
        let parties = parties::read(file.as_bytes()).map_err(NotDone::words)?;
        let with = With { prices: &prices.list, parties: &parties, issued };
        let drafts = of_export(&mut self.store, number, with).map_err(NotDone::words)?;
        let mut told = Told::default();
        drafts.faults.iter().for_each(|why| told.blame(why));
        drafts.others_words().iter().for_each(|it| told.say(it));
        tell(out, &told);
        self.packing = Packing::default();
        for Made { name, xml, page } in drafts.made {
            self.packing.put(&format!("{name}.xml"), &xml).map_err(NotDone::Words)?;
            let page = pieces::assemble(&page, |_| None);
            out.answer(Answer::Draft { page: page.len(), name }, &[page, xml].concat());
        }
        Ok(())
    }

    /// Tells what the pack of a claim is made of.
    pub(super) fn claim(&mut self, of: EventId, out: &mut impl Outlet) -> Result<(), NotDone> {
        let MadeOf { line, device, now, lines } = pack_made_of(&mut self.store, of).map_err(NotDone::words)?;
        let mut run = Vec::new();
        for line in lines.split_inclusive(|&byte| byte == b'\n') {
            run.extend_from_slice(line);
            if run.len() >= RUN {
                out.answer(Answer::Lines, &std::mem::take(&mut run));
            }
        }
        out.answer(Answer::Lines, &run);
        out.answer(Answer::Claim { line, device, now }, &[]);
        Ok(())
    }
}
