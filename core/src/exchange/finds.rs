//! All that may be found in a technician's book, as a store keeps it.
//!
//! It is worked out from record lines and can be thrown away: another form needs no reader
//! of this one. Whole numbers are little-endian, of four bytes; a number in a device's log of
//! eight; text is its length and its UTF-8; a day is year, month and day in 23, 4 and 5 bits,
//! 0 for none. First the number of boats, then each: device, number, name, owner, last day,
//! how many words, the words. Then the number of jobs, each: device, number, place of the
//! boat, title, last day, how many pieces, and of each piece its place in
//! [`Place::ALL`], its day and its text.

use super::hours::{packed, unpacked};
use crate::id::{BoatId, DeviceId, EventId, JobId};
use crate::looking::finds::{FindableBoat, FindableJob, Index, Piece, Place};
use crate::moment::Day;
use crate::text::Label;

/// The form that is written; what was kept in another counts for nothing.
pub const KEPT: u32 = 1;

/// Writes an index as it is kept.
pub fn kept(index: &Index) -> Vec<u8> {
    let mut bytes = Vec::new();
    put_count(&mut bytes, index.boats.len());
    for boat in &index.boats {
        put_event(&mut bytes, boat.boat.0);
        put_text(&mut bytes, boat.name.as_str());
        put_text(&mut bytes, boat.customer.as_str());
        put_day(&mut bytes, boat.last);
        put_count(&mut bytes, boat.words.len());
        boat.words.iter().for_each(|word| put_text(&mut bytes, word));
    }
    put_count(&mut bytes, index.jobs.len());
    for job in &index.jobs {
        put_event(&mut bytes, job.job.0);
        put_count(&mut bytes, job.boat);
        put_text(&mut bytes, job.title.as_str());
        put_day(&mut bytes, job.last);
        put_count(&mut bytes, job.pieces.len());
        for Piece { place, day, text } in &job.pieces {
            let place = Place::ALL.iter().position(|known| known == place).unwrap_or_default();
            put_count(&mut bytes, place);
            put_day(&mut bytes, *day);
            put_text(&mut bytes, text);
        }
    }
    bytes
}

/// Reads an index; nothing for bytes that are none.
pub fn read(bytes: &[u8]) -> Option<Index> {
    let mut rest = Rest(bytes);
    let mut index = Index::default();
    for _ in 0..rest.count()? {
        let boat = BoatId(rest.event()?);
        let (name, customer, last) = (Label::new(rest.text()?), Label::new(rest.text()?), rest.day()?);
        let mut words = Vec::new();
        for _ in 0..rest.count()? {
            words.push(rest.text()?.to_owned());
        }
        index.boats.push(FindableBoat { boat, name, customer, last, words });
    }
    for _ in 0..rest.count()? {
        let job = JobId(rest.event()?);
        let (boat, title, last) = (rest.count()?, Label::new(rest.text()?), rest.day()?);
        let mut pieces = Vec::new();
        for _ in 0..rest.count()? {
            let place = *Place::ALL.get(rest.count()?)?;
            pieces.push(Piece { place, day: rest.day()?, text: rest.text()?.to_owned() });
        }
        index.jobs.push(FindableJob { job, boat, title, last, pieces });
    }
    rest.0.is_empty().then_some(index)
}

fn put_count(bytes: &mut Vec<u8>, count: usize) {
    // A phone holds no four thousand million of anything.
    bytes.extend(u32::try_from(count).unwrap_or(u32::MAX).to_le_bytes());
}

fn put_text(bytes: &mut Vec<u8>, text: &str) {
    put_count(bytes, text.len());
    bytes.extend(text.as_bytes());
}

fn put_day(bytes: &mut Vec<u8>, day: Option<Day>) {
    bytes.extend(day.map_or(0, packed).to_le_bytes());
}

fn put_event(bytes: &mut Vec<u8>, event: EventId) {
    bytes.extend(event.device.bytes());
    bytes.extend(event.seq.to_le_bytes());
}

/// Bytes that are read from the front.
struct Rest<'a>(&'a [u8]);

impl<'a> Rest<'a> {
    fn array<const N: usize>(&mut self) -> Option<[u8; N]> {
        let (array, rest) = self.0.split_first_chunk()?;
        self.0 = rest;
        Some(*array)
    }

    fn count(&mut self) -> Option<usize> {
        usize::try_from(u32::from_le_bytes(self.array()?)).ok()
    }

    fn text(&mut self) -> Option<&'a str> {
        let length = self.count()?;
        let (text, rest) = self.0.split_at_checked(length)?;
        self.0 = rest;
        std::str::from_utf8(text).ok()
    }

    /// Reads a day or none; nothing where there is neither.
    fn day(&mut self) -> Option<Option<Day>> {
        match u32::from_le_bytes(self.array()?) {
            0 => Some(None),
            number => unpacked(number).map(Some),
        }
    }

    fn event(&mut self) -> Option<EventId> {
        let device = DeviceId::new(self.array()?);
        Some(EventId { device, seq: u64::from_le_bytes(self.array()?) })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use proptest::sample::select;

    fn any_event() -> impl Strategy<Value = EventId> {
        (any::<[u8; 8]>(), any::<u64>()).prop_map(|(device, seq)| EventId { device: DeviceId::new(device), seq })
    }

    fn any_label() -> impl Strategy<Value = Label> {
        "\\PC{0,12}".prop_map(|text| Label::new(&text))
    }

    fn any_day() -> impl Strategy<Value = Option<Day>> {
        prop::option::of((0..20_000_i64).prop_map(|days| Day::parse("2000-01-01").unwrap().plus(days).unwrap()))
    }

    fn any_index() -> impl Strategy<Value = Index> {
        let words = prop::collection::vec("\\PC{0,20}", 0..4);
        let boat = (any_event(), any_label(), any_label(), any_day(), words).prop_map(
            |(boat, name, customer, last, words)| FindableBoat { boat: BoatId(boat), name, customer, last, words },
        );
        let piece = (select(Place::ALL.to_vec()), any_day(), "\\PC{0,30}").prop_map(|(place, day, text)| Piece {
            place,
            day,
            text,
        });
        let pieces = prop::collection::vec(piece, 0..4);
        let job = (any_event(), 0..9_usize, any_label(), any_day(), pieces)
            .prop_map(|(job, boat, title, last, pieces)| FindableJob { job: JobId(job), boat, title, last, pieces });
        (prop::collection::vec(boat, 0..4), prop::collection::vec(job, 0..4))
            .prop_map(|(boats, jobs)| Index { boats, jobs })
    }

    proptest! {
        #[test]
        fn what_is_kept_reads_back(index in any_index()) {
            let bytes = kept(&index);
            for cut in 0..bytes.len() {
                prop_assert_eq!(read(&bytes[..cut]), None);
            }
            prop_assert_eq!(read(&bytes), Some(index));
        }

        #[test]
        fn any_bytes_end_in_an_answer(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
            let _ = read(&bytes);
        }
    }
}
