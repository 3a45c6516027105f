//! What may be asked for pairs of photos: two photos of one job, said once.

use super::{Refusal, known};
use crate::book::Book;
use crate::book::evidence::Photo;
use crate::id::{JobId, PhotoId};

/// Lets pass two photos of one job that are not a pair yet.
pub(super) fn fits(book: &Book, before: PhotoId, after: PhotoId) -> Result<(), Refusal> {
    let job = |photo| -> Result<Option<JobId>, Refusal> {
        let there = |photo: &&Photo| !photo.withdrawn;
        Ok(book.job_about(known(book.evidence.photo_of(photo).filter(there), "photo")?.about))
    };
    let (first, second) = (job(before)?, job(after)?);
    if before == after {
        return Err(Refusal::OnePhoto);
    }
    if first.is_none() || first != second {
        return Err(Refusal::PhotosOfTwoJobs);
    }
    let is_said = book.evidence.pairs().any(|pair| (pair.before, pair.after) == (before, after));
    if is_said { Err(Refusal::PairedAlready) } else { Ok(()) }
}
