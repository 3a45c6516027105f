//! A technician's account of jobs ([`crate::billing::account`]), as a store keeps it.
//!
//! The length of a JSON object as four bytes, the object, then a row of 36 bytes for each
//! settled job: its place among the object's `devices`, whether it was open, its number
//! (whole numbers of four, four and eight bytes, little-endian) and the first 20 bytes of the hash of its
//! work. The object: `devices`, `prices`, `export`, `rules`, `faults`, `customers`,
//! `technicians`, `rest`; a job of the rest has its `work`, the days that are `crossed`, and
//! what is `gone` out of it, where that is known. It is worked out from record lines and
//! exports and can be thrown away: another form needs no reader of this one.

use std::collections::BTreeMap;

use super::json::{Fields, Json, Wrong};
use super::outgoing;
use super::wire::shop::{charge, charge_form, rules, rules_form};
use super::wire::{activity, activity_word, billing, billing_form, label, part_facts, part_form, pay, pay_word, prose};
use crate::billing::account::{Account, Settled, Unsettled};
use crate::billing::outgoing::Gone;
use crate::billing::work::{JobWork, LineWork, PartWork, Piece};
use crate::id::{DeviceId, EventId, Hash, JobId, LineId, PartId};
use crate::moment::{Day, Length};
use crate::text::Label;

/// The version of the kept form; with another what was kept counts for nothing.
pub const KEPT: u32 = 2;

const ROW: usize = 36;
/// Of a hash that finds an alteration nobody planned, so much is enough.
const PRINT: usize = 20;

/// Returns the hash of a job's work, as far as it is kept.
pub fn print(job: &Unsettled) -> Hash {
    let form = Fields::default().put("work", work_form(&job.work)).put("crossed", days(&job.crossed));
    let mut bytes = Hash::of(Json::from(form).written().as_bytes()).bytes();
    bytes[PRINT..].fill(0);
    Hash::from_bytes(bytes)
}

/// Writes an account as it is kept.
pub fn written(account: &Account) -> Vec<u8> {
    let form = Fields::default()
        .put("devices", texts(&account.devices))
        .put("prices", account.prices.to_string())
        .put("export", account.export)
        .put("rules", rules_form(&account.rules))
        .put("faults", texts(&account.faults))
        .put("customers", texts(&account.customers))
        .put("technicians", texts(&account.technicians))
        .put("rest", account.rest.iter().map(unsettled_form).collect::<Vec<_>>());
    let json = Json::from(form).written();
    let mut bytes = u32::try_from(json.len()).unwrap_or(u32::MAX).to_le_bytes().to_vec();
    bytes.extend_from_slice(json.as_bytes());
    let places: BTreeMap<DeviceId, u32> = account.devices.iter().copied().zip(0..).collect();
    for (job, settled) in &account.settled {
        // Of another device's job nothing is said: it is asked for again.
        let Some(place) = places.get(&job.0.device) else { continue };
        bytes.extend_from_slice(&place.to_le_bytes());
        bytes.extend_from_slice(&u32::from(settled.is_open).to_le_bytes());
        bytes.extend_from_slice(&job.0.seq.to_le_bytes());
        bytes.extend_from_slice(&settled.work.bytes()[..PRINT]);
    }
    bytes
}

/// Reads a kept account; nothing for bytes that are not one.
pub fn read(kept: &[u8]) -> Option<Account> {
    let (length, rest) = kept.split_first_chunk()?;
    let (json, rows) = rest.split_at_checked(usize::try_from(u32::from_le_bytes(*length)).ok()?)?;
    let mut account = Json::read(json).ok()?.fields("account").ok()?.whole(account).ok()?;
    let devices: Vec<DeviceId> = account.devices.iter().copied().collect();
    let rows = rows.chunks_exact(ROW);
    if !rows.remainder().is_empty() {
        return None;
    }
    for row in rows {
        let (place, row) = row.split_first_chunk()?;
        let (is_open, row) = row.split_first_chunk()?;
        let (seq, print) = row.split_first_chunk()?;
        let device = *devices.get(usize::try_from(u32::from_le_bytes(*place)).ok()?)?;
        let mut work = [0; 32];
        work.get_mut(..print.len())?.copy_from_slice(print);
        let settled = Settled { work: Hash::from_bytes(work), is_open: u32::from_le_bytes(*is_open) != 0 };
        account.settled.insert(JobId(EventId { device, seq: u64::from_le_bytes(*seq) }), settled);
    }
    Some(account)
}

/// Writes a technician's shares in jobs of others as they are kept: an object with the list.
pub fn shares_written(shares: &[Unsettled]) -> Vec<u8> {
    let form = Fields::default().put("shares", shares.iter().map(unsettled_form).collect::<Vec<_>>());
    Json::from(form).written().into_bytes()
}

/// Reads kept shares; nothing for bytes that are none.
pub fn shares_read(kept: &[u8]) -> Option<Vec<Unsettled>> {
    Json::read(kept).ok()?.fields("shares").ok()?.whole(|of| all(of.list("shares")?, unsettled)).ok()
}

fn account(of: &mut Fields<'_>) -> Result<Account, Wrong> {
    Ok(Account {
        devices: list(of, "devices", DeviceId::parse)?,
        prices: of.parsed("prices", Hash::parse)?,
        export: of.number("export")?,
        rules: of.nested("rules", rules)?,
        faults: list(of, "faults", |text| Some(text.to_owned()))?,
        customers: list(of, "customers", label)?,
        technicians: list(of, "technicians", label)?,
        settled: BTreeMap::new(),
        rest: all(of.list("rest")?, unsettled)?,
    })
}

fn unsettled_form(job: &Unsettled) -> Json<'_> {
    let form = Fields::default().put("work", work_form(&job.work)).put("crossed", days(&job.crossed));
    let gone = |gone: &Vec<Gone>| gone.iter().map(gone_form).collect::<Vec<_>>();
    form.put_known("gone", job.gone.as_ref().map(gone)).into()
}

fn unsettled(of: &mut Fields<'_>) -> Result<Unsettled, Wrong> {
    let gone = of.known("gone")?.map(|gone| all(gone.list_of("gone")?, gone_line)).transpose()?;
    Ok(Unsettled { work: of.nested("work", work)?, crossed: list(of, "crossed", Day::parse)?, gone })
}

fn gone_form(gone: &Gone) -> Json<'static> {
    Fields::default().put("export", gone.export).put("line", outgoing::written(&gone.line)).into()
}

fn gone_line(of: &mut Fields<'_>) -> Result<Gone, Wrong> {
    let line = outgoing::read(&of.text("line")?).map_err(|_| Wrong::Unfit("line"))?;
    Ok(Gone { export: of.number("export")?, line })
}

fn work_form(work: &JobWork) -> Fields<'_> {
    Fields::default()
        .put("job", work.job.to_string())
        .put("title", work.title.as_str())
        .put("boat", work.boat.as_str())
        .put("customer", work.customer.as_str())
        .put("berth", work.berth.as_str())
        .put("technician", work.technician.as_str())
        .put_known("finished", work.finished.map(|day| day.to_string()))
        .put("charge", charge_form(work.charge))
        .put("lines", work.lines.iter().map(line_form).collect::<Vec<_>>())
        .put("no-line", work.no_line.iter().map(piece_form).collect::<Vec<_>>())
        .put("parts", work.parts.iter().map(part_work_form).collect::<Vec<_>>())
}

fn work(of: &mut Fields<'_>) -> Result<JobWork, Wrong> {
    let finished = of.has("finished").then(|| of.parsed("finished", Day::parse)).transpose()?;
    Ok(JobWork {
        job: of.parsed("job", |text| EventId::parse(text).map(JobId))?,
        title: of.parsed("title", label)?,
        boat: of.parsed("boat", label)?,
        customer: of.parsed("customer", label)?,
        berth: of.parsed("berth", label)?,
        technician: of.parsed("technician", label)?,
        finished,
        charge: of.nested("charge", charge)?,
        lines: all(of.list("lines")?, line)?,
        no_line: all(of.list("no-line")?, piece)?,
        parts: all(of.list("parts")?, part)?,
    })
}

fn line_form(line: &LineWork) -> Json<'_> {
    let form = Fields::default().put("line", line.line.to_string()).put("pay", pay_word(line.pay));
    let form = form.put("billing", billing_form(line.billing)).put("complaint", line.complaint.as_str());
    form.put("pieces", line.pieces.iter().map(piece_form).collect::<Vec<_>>()).into()
}

fn line(of: &mut Fields<'_>) -> Result<LineWork, Wrong> {
    Ok(LineWork {
        line: of.parsed("line", |text| EventId::parse(text).map(LineId))?,
        pay: of.parsed("pay", pay)?,
        billing: billing(of.take("billing")?)?,
        complaint: of.parsed("complaint", prose)?,
        pieces: all(of.list("pieces")?, piece)?,
    })
}

fn piece_form(piece: &Piece) -> Json<'_> {
    let form = Fields::default().put("activity", activity_word(piece.activity)).put("day", piece.day.to_string());
    let form = form.put("ms", piece.length.ms()).put("from", texts(&piece.from));
    form.put_known("by", piece.by.as_ref().map(Label::as_str)).into()
}

fn piece(of: &mut Fields<'_>) -> Result<Piece, Wrong> {
    Ok(Piece {
        activity: of.parsed("activity", activity)?,
        day: of.parsed("day", Day::parse)?,
        length: Length::from_ms(of.number("ms")?),
        from: list(of, "from", EventId::parse)?,
        by: by(of)?,
    })
}

fn part_work_form(part: &PartWork) -> Json<'_> {
    let form = Fields::default().put("part", part.part.to_string()).put("facts", part_form(&part.facts));
    form.put("day", part.day.to_string()).put_known("by", part.by.as_ref().map(Label::as_str)).into()
}

fn part(of: &mut Fields<'_>) -> Result<PartWork, Wrong> {
    Ok(PartWork {
        part: of.parsed("part", |text| EventId::parse(text).map(PartId))?,
        facts: of.nested("facts", part_facts)?,
        day: of.parsed("day", Day::parse)?,
        by: by(of)?,
    })
}

fn by(of: &mut Fields<'_>) -> Result<Option<Label>, Wrong> {
    of.has("by").then(|| of.parsed("by", label)).transpose()
}

fn days(days: &[Day]) -> Vec<Json<'static>> {
    texts(days)
}

fn texts<T: ToString>(all: impl IntoIterator<Item = T>) -> Vec<Json<'static>> {
    all.into_iter().map(|it| it.to_string().into()).collect()
}

/// Reads a list of objects.
fn all<'a, T>(list: Vec<Json<'a>>, read: fn(&mut Fields<'a>) -> Result<T, Wrong>) -> Result<Vec<T>, Wrong> {
    list.into_iter().map(|form| form.fields("list")?.whole(read)).collect()
}

/// Takes out a field that is a list of texts which stand for something.
fn list<T, All: FromIterator<T>>(
    of: &mut Fields<'_>,
    name: &'static str,
    parse: fn(&str) -> Option<T>,
) -> Result<All, Wrong> {
    let one = |form: Json<'_>| match form {
        Json::Text(text) => parse(&text).ok_or(Wrong::Unfit(name)),
        _ => Err(Wrong::Unfit(name)),
    };
    of.list(name)?.into_iter().map(one).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::book::Book;
    use crate::event::{Activity, BoatFacts, Doing, Event, On, PartFacts, PayType};
    use crate::id::BoatId;
    use crate::log::Tip;
    use crate::moment::Moment;
    use crate::quantity::Count;
    use crate::text::Prose;
    use std::collections::BTreeSet;

    const DEVICE: DeviceId = DeviceId::new([7; 8]);

    /// Returns the account of so many jobs of an hour and a part; the last one's part is of another number.
    fn account(jobs: u64, number: &str) -> Account {
        let (mut book, mut tip) = (Book::default(), Tip::fresh(DEVICE));
        let mut minute = 0;
        let mut say = |minutes: i64, event: Event| {
            minute += minutes;
            let record = tip.record(Moment::parse("2026-05-04T08:00:00+01:00").unwrap().moved(minute), event);
            let id = record.id;
            book.apply(&record);
            tip.seq += 1;
            id
        };
        for nth in 1..=jobs {
            let facts = BoatFacts { name: Label::new("Heron"), owner: Label::new("=Trust"), ..BoatFacts::default() };
            let boat = BoatId(say(1, Event::BoatAdded(facts)));
            let job = JobId(say(1, Event::JobOpened { boat, engine: None, title: Label::new("Stern \"gland\"") }));
            let complaint = Prose::new("leaks\nand drips");
            let line = LineId(say(1, Event::LineAdded { job, pay: PayType::CustomerPay, complaint }));
            let at = Doing::At { activity: Activity::Labour, on: On::Line(line) };
            say(1, Event::ClockSwitched { to: at });
            let number = Label::new(if nth == jobs { number } else { "OF-11" });
            let part = PartFacts { what: Label::new("filter"), number, count: Count(2) };
            say(60, Event::PartUsed { job, part });
            say(1, Event::ClockSwitched { to: Doing::Off });
            say(1, Event::JobFinished { job });
        }
        let now = Moment::parse("2026-06-01T08:00:00+01:00").unwrap();
        let faults = book.faults.iter().map(ToString::to_string).collect();
        Account::of(BTreeSet::from([DEVICE]), &book, now, faults)
    }

    /// Returns an account of which all but one job are settled.
    fn all_but_one_settled(mut account: Account) -> Account {
        account.export = 3;
        for job in account.rest.drain(1..) {
            account.settled.insert(job.work.job, Settled { work: print(&job), is_open: false });
        }
        account.rest.iter_mut().for_each(|job| job.gone = Some(Vec::new()));
        account
    }

    #[test]
    fn what_is_kept_reads_back() {
        let fresh = account(4, "HC-32");
        assert_eq!((fresh.faults.len(), fresh.rest.len()), (0, 4));
        assert_eq!(fresh.rest[0].work.lines[0].pieces[0].length, Length::from_ms(61 * 60_000));
        for account in [fresh.clone(), all_but_one_settled(fresh)] {
            assert_eq!(read(&written(&account)), Some(account.clone()));
            let bytes = written(&account);
            for length in 0..bytes.len() {
                assert_ne!(read(&bytes[..length]), Some(account.clone()), "cut after {length} bytes");
            }
        }
    }

    #[test]
    fn only_a_job_whose_work_is_the_same_stays_settled() {
        let earlier = all_but_one_settled(account(4, "HC-32"));
        // The last job is another now, and a fifth came.
        let mut later = account(5, "HC-32");
        later.carry(read(&written(&earlier)).unwrap(), print);
        assert_eq!((later.export, later.settled.len(), later.rest.len()), (3, 2, 3));
        let gone: Vec<Option<usize>> = later.rest.iter().map(|job| job.gone.as_ref().map(Vec::len)).collect();
        // Of the job that is no longer what it was it has to be asked what went out; of the new one nothing did.
        assert_eq!(gone, [Some(0), None, Some(0)]);
        let mut same = account(4, "HC-32");
        same.carry(earlier.clone(), print);
        assert_eq!(same, earlier);
    }

    #[test]
    fn an_export_of_a_settled_job_leaves_nothing_settled() {
        let mut account = all_but_one_settled(account(3, "HC-32"));
        let (one, other) = (account.rest[0].work.job, *account.settled.keys().next().unwrap());
        assert!(account.hear(&BTreeMap::from([(one, Vec::new())]), 4));
        assert_eq!(account.export, 4);
        assert!(!account.hear(&BTreeMap::from([(other, Vec::new())]), 5));
    }
}
