//! The written shapes of visits that are planned, and of that one was made.
//!
//! Version 4 added them. A `visit` is `what`, perhaps a `day` or a time in `words`,
//! and by whom it is `asked-by`: `owner`, `shop`, or `other` with a `name`.

use super::{job, known, label};
use crate::event::{Asker, Event, NextVisit, VisitTime};
use crate::exchange::json::{Fields, Wrong};
use crate::id::{EventId, JobId, VisitId};
use crate::moment::Day;

/// Writes a visit that is planned.
pub(in crate::exchange) fn visit_form(visit: &NextVisit) -> Fields<'_> {
    let form = Fields::default().put("what", visit.what.as_str());
    let form = match &visit.when {
        VisitTime::Unsaid => form,
        VisitTime::Day(day) => form.put("day", day.to_string()),
        VisitTime::Words(words) => form.put("words", words.as_str()),
    };
    match &visit.asked_by {
        Asker::Owner => form.put("asked-by", "owner"),
        Asker::Shop => form.put("asked-by", "shop"),
        Asker::Other(name) => form.put("asked-by", "other").put("name", name.as_str()),
    }
}

fn visit(of: &mut Fields<'_>) -> Result<NextVisit, Wrong> {
    let what = of.parsed("what", label)?;
    let when = match (known(of, "day", Day::parse)?, known(of, "words", label)?) {
        (None, None) => VisitTime::Unsaid,
        (Some(day), None) => VisitTime::Day(day),
        (None, Some(words)) => VisitTime::Words(words),
        (Some(_), Some(_)) => return Err(Wrong::Unfit("words")),
    };
    let asked_by = match &*of.text("asked-by")? {
        "owner" => Asker::Owner,
        "shop" => Asker::Shop,
        "other" => Asker::Other(of.parsed("name", label)?),
        _ => return Err(Wrong::Unfit("asked-by")),
    };
    Ok(NextVisit { what, when, asked_by })
}

/// Writes that a job is a visit that was planned.
pub(super) fn made_form(visit: VisitId, job: JobId) -> Fields<'static> {
    Fields::default().put("visit", visit.to_string()).put("job", job.to_string())
}

/// Reads that a visit is planned.
pub(super) fn planned(of: &mut Fields<'_>) -> Result<Event, Wrong> {
    Ok(Event::NextVisitPlanned { job: of.parsed("job", job)?, visit: Box::new(of.nested("visit", visit)?) })
}

/// Reads that a job is a visit that was planned.
pub(super) fn made(of: &mut Fields<'_>) -> Result<Event, Wrong> {
    let visit = of.parsed("visit", |text| EventId::parse(text).map(VisitId))?;
    Ok(Event::NextVisitMade { visit, job: of.parsed("job", job)? })
}
