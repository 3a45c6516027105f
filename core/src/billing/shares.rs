//! What others did on a job than the technician who has it: their shares.
//!
//! A job that was handed on by its file is one job: one bill, one least charge, one minimum.
//! Rule: it stands in the account of whoever's device opened it. What somebody else says of
//! his own time and of parts that he used on it is a share, which joins it before it is
//! billed; each piece keeps who did it, for rates go by technician. Everything else of the
//! job (its lines, stories, that it is finished) whoever has it knows already
//! ([`crate::log::beside`]).

use std::collections::{BTreeMap, BTreeSet};

use super::account::Unsettled;
use super::work::{JobWork, PartWork, Piece};
use crate::id::{DeviceId, JobId};
use crate::order;
use crate::text::Label;

/// The shares in jobs of others, by job.
pub type Shares = BTreeMap<JobId, Vec<Unsettled>>;

/// Returns the jobs of a technician's own devices, and shares in jobs of others.
pub fn apart(all: Vec<Unsettled>, own: &BTreeSet<DeviceId>) -> (Vec<Unsettled>, Vec<Unsettled>) {
    let is_own = |part: &PartWork| own.contains(&part.part.0.device);
    let mut all = all;
    all.iter_mut().for_each(|job| job.work.parts.retain(is_own));
    let (jobs, others): (Vec<_>, Vec<_>) = all.into_iter().partition(|job| own.contains(&job.work.job.0.device));
    (jobs, others.into_iter().filter(|share| !is_empty(share)).collect())
}

fn is_empty(share: &Unsettled) -> bool {
    let JobWork { lines, no_line, parts, .. } = &share.work;
    let is_idle = lines.iter().all(|line| line.pieces.is_empty()) && no_line.is_empty();
    is_idle && parts.is_empty() && share.crossed.is_empty()
}

/// Puts shares to the jobs that they are of.
pub fn join(jobs: &mut [Unsettled], shares: &Shares) {
    for job in jobs {
        for share in shares.get(&job.work.job).into_iter().flatten() {
            job.work.join(&share.work);
            job.crossed = order::each_once([job.crossed.as_slice(), &share.crossed].concat());
        }
    }
}

impl JobWork {
    /// Takes in what somebody else did on this job.
    fn join(&mut self, share: &JobWork) {
        let by = Some(share.technician.clone()).filter(|who| *who != self.technician);
        for line in &share.lines {
            // A line that nobody else knows of is none that could be billed.
            let place = self.lines.iter_mut().find(|own| own.line == line.line);
            place
                .map_or(&mut self.no_line, |own| &mut own.pieces)
                .extend(line.pieces.iter().map(|it| done_by(it, &by)));
        }
        self.no_line.extend(share.no_line.iter().map(|it| done_by(it, &by)));
        self.parts.extend(share.parts.iter().map(|part| PartWork { by: by.clone(), ..part.clone() }));
    }

    /// Returns everybody who worked on it, whoever has it first.
    pub fn everybody(&self) -> Vec<&Label> {
        let pieces = self.lines.iter().flat_map(|line| &line.pieces).chain(&self.no_line);
        let others: BTreeSet<&Label> =
            pieces.filter_map(|it| it.by.as_ref()).chain(self.parts.iter().filter_map(|it| it.by.as_ref())).collect();
        [&self.technician].into_iter().chain(others).collect()
    }
}

fn done_by(piece: &Piece, by: &Option<Label>) -> Piece {
    Piece { by: by.clone(), ..piece.clone() }
}
