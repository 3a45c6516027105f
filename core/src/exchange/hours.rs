//! Hours by customer, who pays and activity: as a store keeps them, and as a table.
//!
//! **Kept**, as bytes that are read without making anything of them: the number of
//! customers, each name as its length and its UTF-8, then a row of 20 bytes for each
//! day and kind: the day (year, month and day in 23, 4 and 5 bits), the customer's
//! place among the names, who pays and activity by their places in the order in which
//! they are offered (16 for each who pays, who pays from 1 on), milliseconds. All
//! whole numbers are little-endian, of four bytes and the last of eight. It is worked
//! out from record lines and can be thrown away: another form needs no reader of this one.
//!
//! **The table** has the form of [`super::table`]: `technician`, `customer`, `pay type`
//! (empty where no line is named), `activity`, `hours`, `decimal hours`, `milliseconds`;
//! the last are the ones to add up.

use std::collections::BTreeMap;

use super::table::{BYTE_ORDER_MARK, decimal_hours, harmless, put};
use crate::billing::hours::{DayHours, Of};
use crate::event::{Activity, PayType};
use crate::moment::{Day, Length};
use crate::text::Label;

/// The version of the kept form; with another what was kept counts for nothing.
pub const KEPT: u32 = 1;

/// How many kinds a customer can have at most, with room.
const KINDS: usize = 64;
const ROW: usize = 20;

/// Writes hours as they are kept.
pub fn kept(hours: &[DayHours]) -> Vec<u8> {
    let names: BTreeMap<&Label, u32> = hours.iter().map(|row| (&row.of.customer, 0)).collect();
    let names: BTreeMap<&Label, u32> = names.into_keys().zip(0..).collect();
    let mut bytes = count(names.len()).to_le_bytes().to_vec();
    for name in names.keys() {
        bytes.extend(count(name.as_str().len()).to_le_bytes());
        bytes.extend(name.as_str().as_bytes());
    }
    for DayHours { day, of, length } in hours {
        let customer = names.get(&of.customer).copied().unwrap_or_default();
        [packed(*day), customer, kind(of)].iter().for_each(|number| bytes.extend(number.to_le_bytes()));
        bytes.extend(length.ms().to_le_bytes());
    }
    bytes
}

/// Adds up kept hours of the days from one to another, both included.
///
/// Returns nothing for bytes that are not such hours.
pub fn sums(kept: &[u8], from: Option<Day>, to: Option<Day>) -> Option<Vec<(Of, Length)>> {
    let (customers, rows) = read(kept)?;
    let (first, last) = (from.map_or(0, packed), to.map_or(u32::MAX, packed));
    let mut sums = vec![0_u64; customers.len() * KINDS];
    for row in rows {
        let (day, place, ms) = cells(row)?;
        if (first..=last).contains(&day) {
            *sums.get_mut(place)? += ms;
        }
    }
    let found = sums.iter().enumerate().filter(|(_, ms)| **ms > 0);
    found.map(|(place, ms)| Some((of(&customers, place)?, Length::from_ms(*ms)))).collect()
}

/// Returns kept hours as they were, day by day.
///
/// Returns nothing for bytes that are not such hours.
pub fn days(kept: &[u8]) -> Option<Vec<DayHours>> {
    let (customers, rows) = read(kept)?;
    // Rows of a day stand together, so a day is seldom made anew.
    let mut last: Option<(u32, Day)> = None;
    let mut day_of = |number: u32| match last {
        Some((known, day)) if known == number => Some(day),
        _ => {
            let day = unpacked(number)?;
            last = Some((number, day));
            Some(day)
        }
    };
    let mut hours = Vec::with_capacity(rows.len());
    for row in rows {
        let (number, place, ms) = cells(row)?;
        hours.push(DayHours { day: day_of(number)?, of: of(&customers, place)?, length: Length::from_ms(ms) });
    }
    Some(hours)
}

/// Returns the customers and the rows.
fn read(kept: &[u8]) -> Option<(Vec<Label>, std::slice::ChunksExact<'_, u8>)> {
    let mut rest = kept;
    let names = take(&mut rest)?;
    let mut customers = Vec::new();
    for _ in 0..names {
        let length = usize::try_from(take(&mut rest)?).ok()?;
        let (name, after) = rest.split_at_checked(length)?;
        customers.push(Label::new(std::str::from_utf8(name).ok()?));
        rest = after;
    }
    let rows = rest.chunks_exact(ROW);
    rows.remainder().is_empty().then_some((customers, rows))
}

/// Returns a row's day, the place of its kind among all, and its milliseconds.
fn cells(row: &[u8]) -> Option<(u32, usize, u64)> {
    let number = |at: usize| row.get(at..at + 4)?.try_into().ok().map(u32::from_le_bytes);
    let (day, customer, kind) = (number(0)?, usize::try_from(number(4)?).ok()?, usize::try_from(number(8)?).ok()?);
    let ms = u64::from_le_bytes(row.get(12..)?.try_into().ok()?);
    Some((day, customer.checked_mul(KINDS)?.checked_add(kind)?, ms))
}

/// Returns what is at a place among all kinds.
fn of(customers: &[Label], place: usize) -> Option<Of> {
    let kind = place % KINDS;
    let pay = (kind / 16).checked_sub(1).and_then(|nth| PayType::ALL.get(nth)).copied();
    let activity = *Activity::ALL.get(kind % 16)?;
    Some(Of { customer: customers.get(place / KINDS)?.clone(), pay, activity })
}

/// Returns the table of each technician's hours.
pub fn table(of: &[(Label, Vec<(Of, Length)>)]) -> Vec<u8> {
    let mut rows = String::from(BYTE_ORDER_MARK);
    put(&mut rows, &["technician", "customer", "pay type", "activity", "hours", "decimal hours", "milliseconds"]);
    for (technician, sums) in of {
        for (of, length) in sums {
            let cells = [
                harmless(technician.as_str()),
                harmless(of.customer.as_str()),
                of.pay.map_or("", PayType::words).to_owned(),
                of.activity.words().to_owned(),
                length.clock_face(),
                decimal_hours(*length),
                length.ms().to_string(),
            ];
            put(&mut rows, &cells.iter().map(String::as_str).collect::<Vec<_>>());
        }
    }
    rows.into_bytes()
}

fn take(rest: &mut &[u8]) -> Option<u32> {
    let (number, after) = rest.split_first_chunk()?;
    *rest = after;
    Some(u32::from_le_bytes(*number))
}

fn count(count: usize) -> u32 {
    // A phone holds no four thousand million of anything.
    u32::try_from(count).unwrap_or(u32::MAX)
}

/// Returns a number by which days are in their order.
pub(super) fn packed(day: Day) -> u32 {
    let (year, month, day) = day.parts();
    year.max(0).cast_unsigned() << 9 | month << 5 | day
}

/// Returns the day of such a number.
pub(super) fn unpacked(number: u32) -> Option<Day> {
    Day::parse(&format!("{:04}-{:02}-{:02}", number >> 9, number >> 5 & 15, number & 31))
}

fn kind(of: &Of) -> u32 {
    let pay = of.pay.and_then(|pay| PayType::ALL.iter().position(|&known| known == pay)).map_or(0, |nth| nth + 1);
    let activity = Activity::ALL.iter().position(|&known| known == of.activity).unwrap_or_default();
    count(pay * 16 + activity)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use proptest::sample::select;

    fn any_hours() -> impl Strategy<Value = Vec<DayHours>> {
        let pay = prop::option::of(select(PayType::ALL.to_vec()));
        let of = (select(vec!["", "Towpath Trust", "=Ferry", "Łódź"]), pay, select(Activity::ALL.to_vec()));
        let row = (0..900_i64, of, 1..90_000_000_u64).prop_map(|(nth, (customer, pay, activity), ms)| DayHours {
            day: Day::parse("2024-12-30").unwrap().plus(nth).unwrap(),
            of: Of { customer: Label::new(customer), pay, activity },
            length: Length::from_ms(ms),
        });
        prop::collection::vec(row, 0..60)
    }

    proptest! {
        #[test]
        fn sums_of_what_was_kept_are_the_sums(hours in any_hours(), from in 0..900_i64, to in 0..900_i64) {
            let [from, to] = [from, to].map(|nth| Day::parse("2024-12-30").unwrap().plus(nth).unwrap());
            let mut expected: BTreeMap<Of, Length> = BTreeMap::new();
            for row in hours.iter().filter(|row| (from..=to).contains(&row.day)) {
                let sum = expected.entry(row.of.clone()).or_default();
                *sum = *sum + row.length;
            }
            prop_assert_eq!(days(&kept(&hours)), Some(hours.clone()));
            let found = sums(&kept(&hours), Some(from), Some(to)).unwrap();
            prop_assert_eq!(found.into_iter().collect::<BTreeMap<_, _>>(), expected);
        }

        #[test]
        fn any_bytes_end_in_an_answer(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
            let _ = (sums(&bytes, None, None), days(&bytes));
        }
    }

    #[test]
    fn the_table_is_written_like_this() {
        let of = Of { customer: Label::new("=Ferry"), pay: Some(PayType::Warranty), activity: Activity::PartsRun };
        let table = table(&[(Label::new("M. Sluice"), vec![(of, Length::from_ms(5_400_000))])]);
        let expected = "\u{feff}technician,customer,pay type,activity,hours,decimal hours,milliseconds\r\n\
            M. Sluice,'=Ferry,warranty,parts run,1:30,1.5000,5400000\r\n";
        assert_eq!(String::from_utf8(table).unwrap(), expected);
    }
}
