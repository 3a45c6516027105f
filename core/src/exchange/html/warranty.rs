//! The warranty pack as a page: for whoever decides on the claim.
//!
//! Order of the page: what is lacking first, so that it is seen before the pack goes
//! off; then machine, story, failed part, readings, work, time, proofs. Photos are
//! shown as on an owner's page, without what a camera writes beside them.

use super::pattern::Tightened;
use super::{Page, full_day};
use crate::event::Stage;
use crate::exchange::pieces::Piece;
use crate::moment::{Day, Length};
use crate::sheet::job::JobChange;
use crate::sheet::readings::ReadingSheet;
use crate::sheet::warranty::{WarrantySheet, failed_words};
use crate::sheet::{PhotoSheet, Share, part_words};

/// Returns the pack's page.
pub fn warranty_page(sheet: &WarrantySheet) -> Vec<Piece> {
    let mut page = Page::begin(&format!("Warranty pack {}: {}", sheet.boat.name, sheet.title));
    page.body();
    page.raw("<header>");
    page.class("p", "label", &["Warranty pack", sheet.shop.as_str()].join(" · "));
    page.tag("h1", sheet.boat.name.as_str());
    let line = sheet.number.map(|number| format!(", line {number}")).unwrap_or_default();
    page.class("p", "lead", &format!("{}{line}", sheet.title));
    page.raw("</header>");
    page.lacks(&sheet.lacks);
    page.machine(sheet);
    page.raw("<section>");
    page.story(&sheet.story);
    page.raw("</section>");
    page.list("Failed part", sheet.failed.iter().map(failed_words));
    let at = |stage: Option<Stage>| {
        sheet.readings.iter().filter(move |it| it.stage == stage).map(ReadingSheet::office_words)
    };
    page.list("Measured before", at(Some(Stage::Before)));
    page.list("Measured after", at(Some(Stage::After)));
    page.list("Also measured", at(None));
    let tight = sheet.torque.iter().filter_map(|group| Some(Tightened::told(group, vec![group.done_words()?])));
    page.tightened("Tightened", &tight.collect::<Vec<_>>());
    page.list("Replaced or left off", sheet.instead.iter().cloned());
    page.list(
        if sheet.number.is_some() { "Parts used on the whole job" } else { "Parts used" },
        sheet.parts.iter().map(part_words),
    );
    page.days(&sheet.time, sheet.clock());
    let proofs: Vec<PhotoSheet> = sheet.photos.iter().map(proof).collect();
    page.proofs(&proofs);
    let changes = sheet.revision.amends.iter().flat_map(|amended| &amended.changes);
    page.list("Time changed since it was handed over", changes.map(JobChange::words));
    let log = sheet.log;
    page.class("p", "quiet", &format!("Read from {} up to record {}, {}", log.device, log.seq, log.hash));
    page.end()
}

/// Returns a photo whose caption says what it proves.
fn proof(photo: &PhotoSheet) -> PhotoSheet {
    let Some(shows) = photo.shows else { return photo.clone() };
    let mut caption = shows.words().to_owned();
    caption[..1].make_ascii_uppercase();
    if !photo.caption.eq_ignore_ascii_case(&caption) {
        caption = format!("{caption}: {}", photo.caption);
    }
    PhotoSheet { caption, ..photo.clone() }
}

impl Page {
    fn lacks(&mut self, lacks: &[String]) {
        if lacks.is_empty() {
            return;
        }
        self.raw("<section>");
        self.tag("h2", "This pack is not whole yet");
        self.items(lacks);
        self.raw("</section>");
    }

    fn machine(&mut self, sheet: &WarrantySheet) {
        self.raw("<section><dl>");
        self.fact("Owner", sheet.boat.owner.as_str());
        self.fact("Berth", sheet.boat.berth.as_str());
        self.fact("HIN", sheet.boat.hin.as_str());
        self.fact("The HIN says", &sheet.hull.as_ref().and_then(|hull| hull.says()).unwrap_or_default());
        if let Some(engine) = &sheet.engine {
            let facts = &engine.facts;
            self.fact("Engine", facts.place.as_str());
            self.fact("Model", facts.model.as_str());
            self.fact("Serial number", facts.serial.as_str());
            self.fact("Engine year", &facts.year.map(|year| year.to_string()).unwrap_or_default());
            let read = sheet.hours_read.map(|day| format!(", read {day}")).unwrap_or_default();
            self.fact("Engine hours", &engine.hours.map(|hours| format!("{hours}{read}")).unwrap_or_default());
        }
        self.fact("Technician", sheet.technician.as_str());
        self.fact("Date", &full_day(sheet.day));
        self.fact("Clock hours", &sheet.clock().clock_face());
        self.fact("Revision", &sheet.revision.words().unwrap_or_else(|| sheet.revision.number.to_string()));
        self.raw("</dl></section>");
        let doubts = sheet.hull.iter().flat_map(|hull| &hull.doubts).map(ToString::to_string);
        self.list("The HIN, to be looked at again", doubts);
    }

    fn days(&mut self, days: &[(Day, Vec<Share>)], clock: Length) {
        if days.is_empty() {
            return;
        }
        self.raw("<section>");
        self.tag("h2", &format!("Time by the clock, {}", clock.clock_face()));
        self.raw("<table><tr><th>Day</th><th>Activity</th><th>Hours</th></tr>");
        for (day, share) in days.iter().flat_map(|(day, shares)| shares.iter().map(move |share| (day, share))) {
            self.raw("<tr>");
            self.tag("td", &day.to_string());
            self.tag("td", share.activity.words());
            self.tag("td", &share.length.clock_face());
            self.raw("</tr>");
        }
        self.raw("</table></section>");
    }
}
