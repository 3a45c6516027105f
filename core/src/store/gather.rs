//! The verified union of the records that several places hold.
//!
//! A record counts when its line's own hash fits its bytes and its name is the
//! one it lies under. Of two different records of one name the first one taken
//! is used, the other is kept aside and the name is a conflict. What results
//! is a [`Shelf`]: the records by name, where each device's chain ends, what
//! numbers are there, and every link that does not hold.

use std::collections::{BTreeMap, BTreeSet};

use super::Kept;
use super::frames::Tally;
use super::packs::Pack;
use super::witness::{Numbers, Witness};
use crate::exchange::line::{self, ReadError};
use crate::id::{DeviceId, EventId, Hash};
use crate::order;

/// A verified record's own hash and that of the record before it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Link {
    /// The hash of the device's record before it.
    pub prev: Hash,
    /// Its own hash.
    pub hash: Hash,
}

/// Why some bytes are not taken for the record that they lie under.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Flaw {
    /// They are not what was written.
    Damaged,
    /// A newer program wrote them, in this version of the form.
    Newer(u32),
}

impl Link {
    /// Verifies a record and returns its link.
    ///
    /// # Errors
    /// As [`Flaw`] says.
    pub fn check(record: &Kept) -> Result<Self, Flaw> {
        match line::check(&record.bytes) {
            Ok(checked) if checked.id == record.id => Ok(Self { prev: checked.prev, hash: checked.hash }),
            Err(ReadError::Newer { version }) => Err(Flaw::Newer(version)),
            _ => Err(Flaw::Damaged),
        }
    }

    /// Returns the link of a record that verifies.
    pub fn of(record: &Kept) -> Option<Self> {
        Self::check(record).ok()
    }
}

/// The last record of a device.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct End {
    /// Its number.
    pub seq: u64,
    /// Its hash.
    pub hash: Hash,
}

impl Default for End {
    /// Returns the end of a device that has said nothing yet.
    fn default() -> Self {
        Self { seq: 0, hash: Hash::NONE }
    }
}

/// A link that does not hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Break {
    /// These numbers of the device are not there.
    Gap {
        /// The device.
        device: DeviceId,
        /// The first number that is not there.
        from: u64,
        /// The last number that is not there.
        to: u64,
    },
    /// The record does not follow from the one before it.
    Unchained(EventId),
    /// Another record of that name was kept once.
    Conflict(EventId),
}

/// Verified records, and what they make together.
#[derive(Clone, Debug, Default)]
pub struct Shelf {
    /// The records; by name once [`Shelf::sorted`].
    pub records: Vec<Kept>,
    /// Where each device's chain ends.
    pub ends: BTreeMap<DeviceId, End>,
    /// Which numbers of each device are there.
    pub numbers: BTreeMap<DeviceId, Numbers>,
    /// Where the packed records of each device end.
    pub packed: BTreeMap<DeviceId, End>,
    /// The tally of all records.
    pub tally: Tally,
    /// Every link that does not hold.
    pub breaks: Vec<Break>,
    /// The hashes of the records that were taken one by one, in order.
    single: BTreeMap<DeviceId, Vec<(u64, Hash)>>,
    witnessed: BTreeMap<EventId, Hash>,
}

impl Shelf {
    /// Returns an empty shelf that compares what it takes with the witness.
    pub fn against(witness: &Witness) -> Self {
        let mut shelf = Self::default();
        shelf.witnessed.extend(witness.heads());
        shelf
    }

    /// Takes the next record of its device.
    pub fn take(&mut self, record: Kept, link: Link) {
        self.follow(record.id, link);
        self.single.entry(record.id.device).or_default().push((record.id.seq, link.hash));
        self.records.push(record);
    }

    /// Counts the next record of its device without holding it.
    pub fn follow(&mut self, id: EventId, link: Link) {
        self.join(id, link.prev);
        self.arrive(id, id, link.hash);
        self.tally.add(link.hash);
    }

    /// Takes a pack that begins where its device's records end so far; gives
    /// back one that does not.
    #[must_use]
    pub fn take_pack(&mut self, pack: Pack) -> Option<Pack> {
        let end = self.end(pack.first.device);
        if (end.seq + 1, end.hash) != (pack.first.seq, pack.prev) {
            return Some(pack);
        }
        self.arrive(pack.first, pack.last, pack.hash);
        self.packed.insert(pack.last.device, End { seq: pack.last.seq, hash: pack.hash });
        self.tally.absorb(pack.tally);
        self.records.extend(pack.records);
        None
    }

    /// Returns where a device's chain ends; before the first record that is number 0.
    pub fn end(&self, device: DeviceId) -> End {
        self.ends.get(&device).copied().unwrap_or_default()
    }

    /// Puts the records in the order of their names.
    pub fn sorted(mut self) -> Self {
        self.records = order::by_key(self.records, |record| record.id);
        self
    }

    /// Returns the name of the last record of each device.
    pub fn last_names(&self) -> Vec<EventId> {
        names(&self.ends)
    }

    /// Returns the name of the last packed record of each device.
    pub fn last_packed(&self) -> Vec<EventId> {
        names(&self.packed)
    }

    /// Returns the last few records of one device, at most `most`, that `tally`
    /// lacks to count the same as this shelf.
    pub fn lately(&self, tally: Tally, most: usize) -> Option<Vec<(EventId, Hash)>> {
        self.single.iter().find_map(|(&device, hashes)| {
            let mut with_them = tally;
            let mut lately = Vec::new();
            for &(seq, hash) in hashes.iter().rev().take(most) {
                with_them.add(hash);
                lately.push((EventId { device, seq }, hash));
                if with_them == self.tally {
                    lately.reverse();
                    return Some(lately);
                }
            }
            None
        })
    }

    /// Returns the record of that name; the shelf must be sorted.
    pub fn get(&self, id: EventId) -> Option<&Kept> {
        let at = self.records.binary_search_by_key(&id, |record| record.id).ok()?;
        self.records.get(at)
    }

    fn join(&mut self, id: EventId, prev: Hash) {
        let end = self.end(id.device);
        if end.seq + 1 < id.seq {
            self.breaks.push(Break::Gap { device: id.device, from: end.seq + 1, to: id.seq - 1 });
        } else if end.hash != prev {
            self.breaks.push(Break::Unchained(id));
        }
    }

    fn arrive(&mut self, first: EventId, last: EventId, hash: Hash) {
        if self.witnessed.get(&last).is_some_and(|&witnessed| witnessed != hash) {
            self.breaks.push(Break::Conflict(last));
        }
        self.numbers.entry(last.device).or_default().insert(first.seq, last.seq);
        self.ends.insert(last.device, End { seq: last.seq, hash });
    }
}

fn names(ends: &BTreeMap<DeviceId, End>) -> Vec<EventId> {
    ends.iter().map(|(&device, end)| EventId { device, seq: end.seq }).collect()
}

/// The union of what several places hold.
#[derive(Clone, Debug, Default)]
pub struct Gather {
    records: BTreeMap<EventId, (Vec<u8>, Link)>,
    /// Verified records whose name was taken by another one.
    pub rivals: Vec<(Kept, Hash)>,
    /// Records of a newer form, which are left as they are.
    pub newer: BTreeMap<EventId, u32>,
}

impl Gather {
    /// Takes what one place holds; returns the names that it holds rightly.
    pub fn take(&mut self, records: Vec<Kept>) -> BTreeSet<EventId> {
        let mut right = BTreeSet::new();
        for record in records {
            let id = record.id;
            match Link::check(&record) {
                Ok(link) => self.add(record, link, &mut right),
                Err(Flaw::Newer(version)) => {
                    self.newer.insert(id, version);
                }
                Err(Flaw::Damaged) => {}
            }
        }
        right
    }

    fn add(&mut self, record: Kept, link: Link, right: &mut BTreeSet<EventId>) {
        let id = record.id;
        match self.records.get(&id) {
            None => {
                self.records.insert(id, (record.bytes, link));
                right.insert(id);
            }
            Some((_, known)) if known.hash == link.hash => {
                right.insert(id);
            }
            Some(_) if self.rivals.iter().any(|(_, hash)| *hash == link.hash) => {}
            Some(_) => self.rivals.push((record, link.hash)),
        }
    }

    /// Returns every record with its hash: the union first, then the rivals.
    pub fn all(&self) -> impl Iterator<Item = (Kept, Hash)> {
        let union = self.records.iter().map(|(&id, (bytes, link))| (Kept { id, bytes: bytes.clone() }, link.hash));
        union.chain(self.rivals.iter().cloned())
    }

    /// Returns the hash of every record that [`Gather::all`] returns.
    pub fn hashes(&self) -> impl Iterator<Item = Hash> {
        self.records.values().map(|(_, link)| link.hash).chain(self.rivals.iter().map(|(_, hash)| *hash))
    }

    /// Returns the hash of each of these records of the union.
    pub fn hashes_of(&self, names: &BTreeSet<EventId>) -> impl Iterator<Item = Hash> {
        names.iter().filter_map(|id| self.records.get(id)).map(|(_, link)| link.hash)
    }

    /// Returns the records of the union that are not in `held`.
    pub fn lacking(&self, held: &BTreeSet<EventId>) -> Vec<Kept> {
        let lacking = self.records.iter().filter(|(id, _)| !held.contains(id) && !self.newer.contains_key(id));
        lacking.map(|(&id, (bytes, _))| Kept { id, bytes: bytes.clone() }).collect()
    }

    /// Returns the union as a shelf, compared with the witness.
    pub fn shelve(self, witness: &Witness) -> Shelf {
        let mut shelf = Shelf::against(witness);
        for (id, (bytes, link)) in self.records {
            shelf.take(Kept { id, bytes }, link);
        }
        let conflicts = self.rivals.iter().map(|(rival, _)| Break::Conflict(rival.id));
        shelf.breaks.extend(conflicts);
        shelf.breaks = order::each_once(shelf.breaks);
        shelf
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::contract::Writer;
    use crate::store::packs;

    fn linked(records: &[Kept]) -> Vec<(&Kept, Link)> {
        records.iter().map(|record| (record, Link::of(record).unwrap())).collect()
    }

    fn shelf(records: &[Kept], witness: &Witness) -> Shelf {
        let mut gather = Gather::default();
        gather.take(records.to_vec());
        gather.shelve(witness)
    }

    #[test]
    fn a_whole_chain_has_no_breaks() {
        let records = [Writer::new(1).records(5), Writer::new(2).records(3)].concat();
        let shelf = shelf(&records, &Witness::default());
        assert_eq!(shelf.breaks, []);
        assert_eq!(shelf.records, records);
        assert_eq!(shelf.tally.count, 8);
        assert_eq!(shelf.last_names(), [records[4].id, records[7].id]);
        assert_eq!(shelf.get(records[6].id), Some(&records[6]));
    }

    #[test]
    fn what_is_damaged_or_misnamed_is_not_taken() {
        let mut records = Writer::new(1).records(4);
        records[1].bytes[30] ^= 1;
        records[3].id.seq = 9;
        let mut gather = Gather::default();
        assert_eq!(gather.take(records.clone()), BTreeSet::from([records[0].id, records[2].id]));
        let gap = Break::Gap { device: records[0].id.device, from: 2, to: 2 };
        assert_eq!(gather.shelve(&Witness::default()).breaks, [gap]);
    }

    #[test]
    fn a_newer_record_is_left_as_it_is() {
        let mut records = Writer::new(1).records(2);
        records[1].bytes = br#"{"v":9,"id":"what is this"}"#.to_vec();
        let mut gather = Gather::default();
        assert_eq!(gather.take(records.clone()).len(), 1);
        assert_eq!(gather.newer, BTreeMap::from([(records[1].id, 9)]));
        assert_eq!(gather.lacking(&BTreeSet::from([records[0].id])), []);
    }

    #[test]
    fn the_union_heals_each_from_the_other() {
        let records = Writer::new(1).records(6);
        let mut gather = Gather::default();
        let held = gather.take(records[..4].to_vec());
        gather.take(records[2..].to_vec());
        assert_eq!(gather.lacking(&held), records[4..]);
        assert_eq!(gather.all().count(), 6);
        assert_eq!(gather.shelve(&Witness::default()).breaks, []);
    }

    #[test]
    fn two_records_of_one_name_are_a_conflict() {
        let mut writer = Writer::new(1);
        let mut records = writer.records(2);
        let mut other = writer.clone();
        records.push(writer.record("one"));
        let rival = other.record("another");
        let mut gather = Gather::default();
        gather.take(records.clone());
        gather.take(vec![rival.clone(), rival.clone()]);
        assert_eq!(gather.all().count(), 4);
        let shelf = gather.shelve(&Witness::default());
        assert_eq!(shelf.breaks, [Break::Conflict(rival.id)]);
        assert_eq!(shelf.records, records);
    }

    #[test]
    fn a_record_that_the_witness_does_not_know_is_a_conflict() {
        let records = Writer::new(1).records(3);
        let mut witness = Witness::default();
        witness.note(records[1].id, Hash::of(b"another"));
        assert_eq!(shelf(&records, &witness).breaks, [Break::Conflict(records[1].id)]);
    }

    #[test]
    fn an_altered_history_does_not_chain() {
        let mut records = Writer::new(1).records(3);
        records[1] = Writer::new(1).records_saying(2, "other")[1].clone();
        let broken = shelf(&records, &Witness::default()).breaks;
        assert_eq!(broken, [Break::Unchained(records[1].id), Break::Unchained(records[2].id)]);
    }

    #[test]
    fn packs_join_or_are_left_aside() {
        let records = Writer::new(1).records(6);
        let pack = |from: usize, to: usize| packs::read(&packs::write(&linked(&records[from..to])).unwrap()).unwrap();
        let mut shelf = Shelf::default();
        assert!(shelf.take_pack(pack(2, 4)).is_some(), "does not begin at 1");
        assert!(shelf.take_pack(pack(0, 2)).is_none());
        assert!(shelf.take_pack(pack(0, 2)).is_some(), "already there");
        assert!(shelf.take_pack(pack(2, 4)).is_none());
        for record in &records[4..] {
            shelf.take(record.clone(), Link::of(record).unwrap());
        }
        assert_eq!((shelf.records.as_slice(), shelf.breaks.len()), (records.as_slice(), 0));
        let singly = self::shelf(&records, &Witness::default());
        assert_eq!((shelf.tally, &shelf.ends, &shelf.numbers), (singly.tally, &singly.ends, &singly.numbers));
    }

    #[test]
    fn finds_what_another_tally_lacks_of_late() {
        let records = Writer::new(1).records(6);
        let whole = shelf(&records, &Witness::default());
        let behind = shelf(&records[..4], &Witness::default()).tally;
        let lately = whole.lately(behind, 10).unwrap();
        assert_eq!(lately.iter().map(|(id, _)| *id).collect::<Vec<_>>(), [records[4].id, records[5].id]);
        assert_eq!(whole.lately(behind, 1), None);
        assert_eq!(whole.lately(shelf(&records[1..], &Witness::default()).tally, 10), None);
    }
}
