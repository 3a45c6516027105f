//! What is noted, outside the storages, of what was once kept.
//!
//! A storage can lose its tail, or everything, without a word, and no chain of
//! hashes can tell: what is left is whole in itself. So the numbers that were
//! kept are noted in places that do not fail together with it. A witness only
//! grows, so the union of what several places say is the truth; and numbers
//! that a person agreed to do without are noted beside, never taken back.
//!
//! As text, one line for each device, after a first line `quaywright-witness 1`:
//!
//! | line | means |
//! |------|-------|
//! | `0707070707070707 1-60 <hash>` | records 1 to 60 were kept, the last with this hash |
//! | `0707070707070707 without 51-60` | work goes on without these; the device is closed |
//! | `0707070707070707 told 41-41` | these tell only that a backup left, so no backup can hold them |

use std::collections::BTreeMap;
use std::fmt;

use crate::id::{DeviceId, EventId, Hash};
use crate::order;

const TITLE: &str = "quaywright-witness 1";

/// A set of running numbers, as ranges: `1-30,35-60`.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Numbers(Vec<(u64, u64)>);

impl Numbers {
    /// Returns the numbers from `first` to `last`, none when `last` is smaller.
    pub fn range(first: u64, last: u64) -> Self {
        Self(if first <= last { vec![(first, last)] } else { Vec::new() })
    }

    /// Takes in every number from `first` to `last`.
    pub fn insert(&mut self, first: u64, last: u64) {
        // The common case: one more at the end.
        if let Some(end) = self.0.last_mut()
            && end.1.checked_add(1) == Some(first)
        {
            end.1 = end.1.max(last);
            return;
        }
        self.0.push((first, last));
        let ranges = std::mem::take(&mut self.0);
        for (first, last) in order::by_key(ranges, |&range| range) {
            match self.0.last_mut() {
                Some(end) if first <= end.1.saturating_add(1) => end.1 = end.1.max(last),
                _ => self.0.push((first, last)),
            }
        }
    }

    /// Takes in every number of `other`.
    pub fn absorb(&mut self, other: &Numbers) {
        for &(first, last) in &other.0 {
            self.insert(first, last);
        }
    }

    /// Returns the numbers that are here and not in `other`.
    pub fn without(&self, other: &Numbers) -> Numbers {
        let mut left = Vec::new();
        for &(first, last) in &self.0 {
            let mut from = first;
            for &(cut_first, cut_last) in &other.0 {
                if cut_last < from || cut_first > last {
                    continue;
                }
                if cut_first > from {
                    left.push((from, cut_first - 1));
                }
                from = cut_last.saturating_add(1);
            }
            if from <= last {
                left.push((from, last));
            }
        }
        Numbers(left)
    }

    /// Tells whether `number` is here.
    pub fn contains(&self, number: u64) -> bool {
        self.0.iter().any(|&(first, last)| (first..=last).contains(&number))
    }

    /// Returns the greatest number, if any.
    pub fn last(&self) -> Option<u64> {
        self.0.last().map(|&(_, last)| last)
    }

    /// Returns the ranges, each as its first and last number.
    pub fn ranges(&self) -> &[(u64, u64)] {
        &self.0
    }

    /// Tells whether no number is here.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    fn parse(text: &str) -> Option<Self> {
        let mut numbers = Self::default();
        for range in text.split(',') {
            let (first, last) = range.split_once('-')?;
            let (first, last) = (first.parse().ok()?, last.parse().ok()?);
            (1 <= first && first <= last).then_some(())?;
            numbers.insert(first, last);
        }
        Some(numbers)
    }
}

impl fmt::Display for Numbers {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (at, (first, last)) in self.0.iter().enumerate() {
            let comma = if at == 0 { "" } else { "," };
            write!(f, "{comma}{first}-{last}")?;
        }
        Ok(())
    }
}

/// What was once kept of one device.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Seen {
    kept: Numbers,
    /// The hash of the record with the greatest number.
    hash: Hash,
    without: Numbers,
    /// What tells only that a backup left.
    told: Numbers,
}

/// What was once kept, of every device.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Witness(BTreeMap<DeviceId, Seen>);

impl Witness {
    /// Reads the text form; `None` for anything else.
    pub fn parse(text: &str) -> Option<Self> {
        let mut lines = text.lines();
        (lines.next()? == TITLE).then_some(())?;
        let mut witness = Self::default();
        for line in lines {
            let (device, rest) = line.split_once(' ')?;
            let (middle, end) = rest.split_once(' ')?;
            let device = DeviceId::parse(device)?;
            match middle {
                "without" => witness.do_without(device, &Numbers::parse(end)?),
                "told" => witness.seen(device).told.absorb(&Numbers::parse(end)?),
                _ => witness.note_all(device, &Numbers::parse(middle)?, Hash::parse(end)?),
            }
        }
        Some(witness)
    }

    /// Notes that the record `id` with this hash was kept.
    pub fn note(&mut self, id: EventId, hash: Hash) {
        self.note_all(id.device, &Numbers::range(id.seq, id.seq), hash);
    }

    /// Notes that these records of a device were kept, the last with this hash.
    pub fn note_all(&mut self, device: DeviceId, kept: &Numbers, hash: Hash) {
        let seen = self.seen(device);
        // At the same number the first word stands: a second one would be a conflict.
        if kept.last() > seen.kept.last() {
            seen.hash = hash;
        }
        seen.kept.absorb(kept);
    }

    /// Notes that work goes on without these records.
    pub fn do_without(&mut self, device: DeviceId, numbers: &Numbers) {
        self.seen(device).without.absorb(numbers);
    }

    /// Notes that the record `id` tells only that a backup left.
    pub fn note_told(&mut self, id: EventId) {
        self.seen(id.device).told.insert(id.seq, id.seq);
    }

    /// Takes in what another place says.
    pub fn absorb(&mut self, other: &Witness) {
        for (&device, seen) in &other.0 {
            self.note_all(device, &seen.kept, seen.hash);
            self.do_without(device, &seen.without);
            self.seen(device).told.absorb(&seen.told);
        }
    }

    /// Returns, for each device, what was kept and is not in `present`, apart
    /// from what work goes on without.
    pub fn missing(&self, present: &BTreeMap<DeviceId, Numbers>) -> Vec<(DeviceId, Numbers)> {
        let nothing = Numbers::default();
        let lost = self.0.iter().map(|(device, seen)| {
            let here = present.get(device).unwrap_or(&nothing);
            (*device, seen.kept.without(here).without(&seen.without))
        });
        lost.filter(|(_, numbers)| !numbers.is_empty()).collect()
    }

    /// Tells whether these records of a device tell only that backups left.
    pub fn only_tell(&self, device: DeviceId, numbers: &Numbers) -> bool {
        self.0.get(&device).is_some_and(|seen| numbers.without(&seen.told).is_empty())
    }

    /// Returns the last record of each device that was kept, and its hash.
    pub fn heads(&self) -> impl Iterator<Item = (EventId, Hash)> {
        let head = |(&device, seen): (&DeviceId, &Seen)| Some((EventId { device, seq: seen.kept.last()? }, seen.hash));
        self.0.iter().filter_map(head)
    }

    /// Tells whether the device may write no more, because numbers of it are lost.
    pub fn is_closed(&self, device: DeviceId) -> bool {
        self.0.get(&device).is_some_and(|seen| !seen.without.is_empty())
    }

    /// Tells whether work goes on without that record.
    pub fn goes_without(&self, id: EventId) -> bool {
        self.0.get(&id.device).is_some_and(|seen| seen.without.contains(id.seq))
    }

    /// Tells whether nothing was ever kept.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    fn seen(&mut self, device: DeviceId) -> &mut Seen {
        let none = Numbers::default;
        self.0.entry(device).or_insert_with(|| Seen { kept: none(), hash: Hash::NONE, without: none(), told: none() })
    }
}

impl fmt::Display for Witness {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "{TITLE}")?;
        for (device, seen) in &self.0 {
            if !seen.kept.is_empty() {
                writeln!(f, "{device} {} {}", seen.kept, seen.hash)?;
            }
            if !seen.without.is_empty() {
                writeln!(f, "{device} without {}", seen.without)?;
            }
            if !seen.told.is_empty() {
                writeln!(f, "{device} told {}", seen.told)?;
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::collections::BTreeSet;

    const DEVICE: DeviceId = DeviceId::new([7; 8]);

    fn id(seq: u64) -> EventId {
        EventId { device: DEVICE, seq }
    }

    #[test]
    fn reads_what_it_writes() {
        let mut witness = Witness::default();
        witness.note_all(DEVICE, &Numbers::range(1, 60), Hash::of(b"60"));
        witness.note_all(DeviceId::new([8; 8]), &Numbers::parse("1-3,7-9").unwrap(), Hash::of(b"9"));
        witness.do_without(DEVICE, &Numbers::range(51, 60));
        witness.note_told(id(41));
        let text = witness.to_string();
        assert!(text.contains("\n0707070707070707 told 41-41\n"), "{text}");
        assert_eq!(Witness::parse(&text), Some(witness));
        for wrong in
            ["", "quaywright-witness 2\n", "quaywright-witness 1\nx", &text.replace("51-60", "60-51"), &text[..90]]
        {
            assert_eq!(Witness::parse(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn names_what_is_missing() {
        let mut witness = Witness::default();
        witness.note_all(DEVICE, &Numbers::range(1, 60), Hash::of(b"60"));
        let present = BTreeMap::from([(DEVICE, Numbers::range(1, 50))]);
        assert_eq!(witness.missing(&present), [(DEVICE, Numbers::range(51, 60))]);
        assert_eq!(witness.missing(&BTreeMap::new()), [(DEVICE, Numbers::range(1, 60))]);
        assert!(!witness.is_closed(DEVICE));
        witness.do_without(DEVICE, &Numbers::range(51, 60));
        assert_eq!(witness.missing(&present), []);
        assert!(witness.is_closed(DEVICE) && witness.goes_without(id(51)) && !witness.goes_without(id(50)));
    }

    #[test]
    fn what_two_places_say_is_joined() {
        let (mut older, mut newer) = (Witness::default(), Witness::default());
        older.note_all(DEVICE, &Numbers::range(1, 4), Hash::of(b"4"));
        older.do_without(DeviceId::new([1; 8]), &Numbers::range(2, 2));
        newer.note_told(id(5));
        newer.note_all(DEVICE, &Numbers::range(1, 5), Hash::of(b"5"));
        let mut joined = older.clone();
        joined.absorb(&newer);
        newer.absorb(&older);
        assert_eq!(joined, newer);
        assert_eq!(joined.heads().collect::<Vec<_>>(), [(id(5), Hash::of(b"5"))]);
    }

    proptest! {
        #[test]
        fn numbers_are_a_set(left in ranges(), right in ranges()) {
            let (a, b) = (numbers(&left), numbers(&right));
            let (set_a, set_b) = (set(&left), set(&right));
            prop_assert_eq!(members(&a.without(&b)), set_a.difference(&set_b).copied().collect::<BTreeSet<_>>());
            let mut both = a.clone();
            both.absorb(&b);
            prop_assert_eq!(members(&both), set_a.union(&set_b).copied().collect::<BTreeSet<_>>());
            prop_assert!(both.ranges().windows(2).all(|pair| pair[0].1 + 1 < pair[1].0));
            prop_assert_eq!(both.last(), set_a.union(&set_b).max().copied());
            for number in 0..30 {
                prop_assert_eq!(a.contains(number), set_a.contains(&number));
            }
        }

        #[test]
        fn any_text_is_read_or_refused(text in ".*") {
            let _ = Witness::parse(&text);
            let _ = Witness::parse(&format!("{TITLE}\n{text}"));
        }
    }

    fn ranges() -> impl Strategy<Value = Vec<(u64, u64)>> {
        proptest::collection::vec((1..20_u64, 0..6_u64).prop_map(|(first, more)| (first, first + more)), 0..6)
    }

    fn numbers(ranges: &[(u64, u64)]) -> Numbers {
        let mut numbers = Numbers::default();
        ranges.iter().for_each(|&(first, last)| numbers.insert(first, last));
        numbers
    }

    fn set(ranges: &[(u64, u64)]) -> BTreeSet<u64> {
        ranges.iter().flat_map(|&(first, last)| first..=last).collect()
    }

    fn members(numbers: &Numbers) -> BTreeSet<u64> {
        set(numbers.ranges())
    }
}
