//! A month of a made-up yard as the office gets it: three technicians' day files,
//! one of them altered on its way, two of them of days that were corrected later.
//!
//! Small enough that its bills are worked by hand: `tests/month/WORKING.md` has the
//! prices, the working and where each figure comes from. Whoever takes the files in,
//! in any order and as often as they like, gets `tests/month/lines.csv` to the byte.

use quaywright_core::book::Book;
use quaywright_core::event::{Activity, Billing, BoatFacts, Doing, Event, Mend, On, PartFacts, PayType, ShopRules};
use quaywright_core::exchange::line::seal;
use quaywright_core::exchange::{bundle, pieces};
use quaywright_core::hours::rounding::{Charge, LengthRule};
use quaywright_core::id::{BoatId, DeviceId, EventId, JobId, LineId};
use quaywright_core::log::Tip;
use quaywright_core::moment::{Day, Length, Moment};
use quaywright_core::quantity::Count;
use quaywright_core::sheet::{LogHead, day_sheet};
use quaywright_core::text::{Label, Prose};

use crate::Trouble;

/// A file as it comes in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct File {
    /// What it is called.
    pub name: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// Returns the month's files, in the order in which they were sent.
///
/// # Errors
/// When a time in the story is none.
pub fn files() -> Result<Vec<File>, Trouble> {
    Ok([sluice()?, thwart()?, reed()?].concat())
}

/// Three jobs in the first week; on the 8th it is said that half an hour of the 4th was paperwork.
fn sluice() -> Result<Vec<File>, Trouble> {
    let mut phone = Phone::of(1, "M. Sluice")?;
    let mut files = Vec::new();
    let (job, line) = phone.job("04 08:00", "Heron", "Towpath Trust", "Pump leaks", PayType::CustomerPay)?;
    phone.does("04 08:00", Activity::Travel, line)?;
    phone.does("04 08:20", Activity::Labour, line)?;
    phone.uses("04 10:00", job, "impeller", "IMP-6", 1)?;
    phone.ends("04 10:02", Some(job))?;
    files.push(phone.page("04")?);
    let (job, line) = phone.job("05 09:00", "Coot", "Ferry Board", "Gland weeps", PayType::CustomerPay)?;
    phone.does("05 09:00", Activity::Labour, line)?;
    phone.ends("05 11:30", None)?;
    files.push(phone.page("05")?);
    phone.does("06 08:00", Activity::Diagnosis, line)?;
    phone.does("06 08:45", Activity::Labour, line)?;
    phone.uses("06 10:00", job, "clip", "HC-32", 4)?;
    phone.ends("06 10:15", Some(job))?;
    files.push(phone.json("06")?);
    let (job, line) = phone.job("07 13:00", "Bittern", "Harbour School", "Will not charge", PayType::CustomerPay)?;
    phone.does("07 13:00", Activity::Labour, line)?;
    phone.ends("07 13:25", Some(job))?;
    files.push(phone.page("07")?);
    phone.mends("08 08:00", "04 09:30", "04 10:02", Doing::At { activity: Activity::Paperwork, on: On::NoJob })?;
    files.push(phone.page("04")?.named("corrected"));
    Ok(files)
}

/// Three jobs in the second week; on the 14th it is said that the way on the 12th took 12 minutes.
fn thwart() -> Result<Vec<File>, Trouble> {
    let mut phone = Phone::of(2, "R. Thwart")?;
    let mut files = Vec::new();
    let (job, line) = phone.job("11 10:00", "Teal", "Towpath Trust", "Recall of the valve", PayType::Warranty)?;
    phone.does("11 10:00", Activity::Labour, line)?;
    phone.say("11 11:10", Event::LineBilled { line, billing: Billing::Flat { minutes: 90 } })?;
    phone.ends("11 11:10", Some(job))?;
    files.push(phone.json("11")?);
    let (job, line) = phone.job("12 08:00", "Avocet", "A. Lockhart", "Oil and filters", PayType::CustomerPay)?;
    phone.does("12 08:00", Activity::Travel, line)?;
    phone.does("12 08:30", Activity::Labour, line)?;
    phone.uses("12 09:40", job, "filter", "OF-11", 2)?;
    phone.ends("12 09:45", Some(job))?;
    files.push(phone.page("12")?);
    let (job, line) = phone.job("13 14:00", "Moorhen", "The made-up yard", "Crane's engine", PayType::Internal)?;
    phone.does("13 14:00", Activity::Labour, line)?;
    phone.ends("13 15:00", Some(job))?;
    files.push(phone.page("13")?);
    phone.mends("14 08:00", "12 08:12", "12 08:30", Doing::Off)?;
    files.push(phone.page("12")?.named("corrected"));
    Ok(files)
}

/// A job of two lines, whose file was altered on its way, and one that stays open.
fn reed() -> Result<Vec<File>, Trouble> {
    let mut phone = Phone::of(3, "J. Reed")?;
    let (job, line) = phone.job("18 09:00", "Dabchick", "Ferry Board", "Propeller fouled", PayType::CustomerPay)?;
    phone.does("18 09:00", Activity::Labour, line)?;
    let complaint = Prose::new("Gland weeps again");
    let again = LineId(phone.say("18 10:30", Event::LineAdded { job, pay: PayType::CustomerPay, complaint })?);
    phone.say("18 10:30", Event::LineBilled { line: again, billing: Billing::NoCharge })?;
    phone.does("18 10:30", Activity::Labour, again)?;
    phone.ends("18 11:00", Some(job))?;
    let altered = phone.page("18")?.altered("T10:30:00", "T10:00:00");
    let (_, line) = phone.job("19 09:00", "Heron", "Towpath Trust", "Lift her out", PayType::CustomerPay)?;
    phone.does("19 09:00", Activity::Labour, line)?;
    phone.ends("19 10:00", None)?;
    Ok(vec![altered, phone.page("19")?])
}

impl File {
    fn named(self, word: &str) -> Self {
        Self { name: format!("{word} {}", self.name), ..self }
    }

    /// Puts other words in place of some wherever they stand.
    fn altered(self, from: &str, to: &str) -> Self {
        let text = String::from_utf8_lossy(&self.bytes).replace(from, to);
        Self { bytes: text.into_bytes(), ..self }.named("altered")
    }
}

/// A technician's phone, in the summer of London.
struct Phone {
    name: String,
    tip: Tip,
    book: Book,
    lines: Vec<Vec<u8>>,
}

impl Phone {
    fn of(device: u8, name: &str) -> Result<Self, Trouble> {
        let tip = Tip::fresh(DeviceId::new([device; 8]));
        let mut phone = Self { name: name.to_owned(), tip, book: Book::default(), lines: Vec::new() };
        let (name, shop) = (Label::new(name), Label::new("The made-up yard"));
        phone.say("04 07:00", Event::TechnicianNamed { name, shop })?;
        let bill = Charge { rule: LengthRule::NearestTenth, minimum: Length::from_ms(3_600_000) };
        phone.say("04 07:00", Event::ShopRulesSet(ShopRules { bill, ..ShopRules::default() }))?;
        Ok(phone)
    }

    /// Says an event at a day and time, `04 08:00`.
    fn say(&mut self, at: &str, event: Event) -> Result<EventId, Trouble> {
        let (line, sealed) = seal(self.tip.record(moment(at)?, event));
        self.tip.advance(&sealed);
        self.book.apply(&sealed.record);
        self.lines.push(line);
        Ok(sealed.record.id)
    }

    fn job(
        &mut self,
        at: &str,
        boat: &str,
        owner: &str,
        complaint: &str,
        pay: PayType,
    ) -> Result<(JobId, LineId), Trouble> {
        let facts = BoatFacts { name: Label::new(boat), owner: Label::new(owner), ..BoatFacts::default() };
        let boat = BoatId(self.say(at, Event::BoatAdded(facts))?);
        let job = JobId(self.say(at, Event::JobOpened { boat, engine: None, title: Label::new(complaint) })?);
        let line = self.say(at, Event::LineAdded { job, pay, complaint: Prose::new(complaint) })?;
        Ok((job, LineId(line)))
    }

    fn does(&mut self, at: &str, activity: Activity, line: LineId) -> Result<(), Trouble> {
        self.say(at, Event::ClockSwitched { to: Doing::At { activity, on: On::Line(line) } }).map(drop)
    }

    fn uses(&mut self, at: &str, job: JobId, what: &str, number: &str, count: u32) -> Result<(), Trouble> {
        let part = PartFacts { what: Label::new(what), number: Label::new(number), count: Count(count) };
        self.say(at, Event::PartUsed { job, part }).map(drop)
    }

    fn ends(&mut self, at: &str, finished: Option<JobId>) -> Result<(), Trouble> {
        self.say(at, Event::ClockSwitched { to: Doing::Off })?;
        finished.map_or(Ok(()), |job| self.say(at, Event::JobFinished { job }).map(drop))
    }

    fn mends(&mut self, at: &str, from: &str, to: &str, doing: Doing) -> Result<(), Trouble> {
        let (from, to) = (moment(from)?, moment(to)?);
        self.say(at, Event::Mended(Mend { from, to, doing, reason: Label::new("forgot") })).map(drop)
    }

    fn page(&self, day: &str) -> Result<File, Trouble> {
        self.file(day, "html", bundle::page)
    }

    fn json(&self, day: &str) -> Result<File, Trouble> {
        self.file(day, "json", bundle::json)
    }

    fn file<'a>(
        &'a self,
        day: &str,
        kind: &str,
        pieces_of: impl Fn(&quaywright_core::sheet::DaySheet, Box<dyn Iterator<Item = &'a [u8]> + 'a>) -> Vec<pieces::Piece>,
    ) -> Result<File, Trouble> {
        let day = format!("2026-05-{day}");
        let of = Day::parse(&day).ok_or_else(|| Trouble::Other(format!("{day} is no day")))?;
        let sheet = day_sheet(&self.book, of, moment("31 12:00")?, LogHead::from(&self.tip));
        let pieces = pieces_of(&sheet, Box::new(self.lines.iter().map(Vec::as_slice)));
        Ok(File { name: format!("{} {day}.{kind}", self.name), bytes: pieces::assemble(&pieces, |_| None) })
    }
}

fn moment(at: &str) -> Result<Moment, Trouble> {
    let text = format!("2026-05-{}:00+01:00", at.replace(' ', "T"));
    Moment::parse(&text).map_err(|_| Trouble::Other(format!("{at} is no time of the month")))
}

#[cfg(test)]
mod tests {
    use super::*;
    use quaywright_core::exchange::intake;

    #[test]
    fn all_is_read_and_makes_sense_but_what_was_altered() {
        let files = files().unwrap();
        assert_eq!(files.len(), 11);
        for File { name, bytes } in files {
            let intake = intake::take(&bytes).unwrap();
            assert_eq!(
                intake.faults.len(),
                if name.starts_with("altered") { 3 } else { 0 },
                "{name}: {:?}",
                intake.faults
            );
            let book = Book::replay(intake.records.iter().map(|(_, sealed)| &sealed.record));
            assert!(name.starts_with("altered") || book.faults.is_empty(), "{name}");
        }
    }
}
