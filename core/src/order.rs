//! Putting things in order.
//!
//! Everything is sorted here, by sorting where things stand and not the things
//! themselves. The library's sort is compiled anew for each type that it is
//! given, four thousand bytes each time, and a phone loads every one of them.

use std::cmp::Ordering;

/// Returns `things` from the least key to the greatest; those of equal keys stay as they were.
pub fn by_key<T, K: Ord>(things: Vec<T>, key: impl Fn(&T) -> K) -> Vec<T> {
    let places = places(things.len(), &|a, b| key(&things[a]).cmp(&key(&things[b])));
    let mut things: Vec<Option<T>> = things.into_iter().map(Some).collect();
    places.into_iter().filter_map(|place| things[place].take()).collect()
}

/// Returns `things` from the greatest key to the least; those of equal keys stay as they were.
pub fn last_first<T, K: Ord>(things: Vec<T>, key: impl Fn(&T) -> K) -> Vec<T> {
    by_key(things, |thing| std::cmp::Reverse(key(thing)))
}

/// Returns `things` from the least to the greatest, each once.
pub fn each_once<T: Ord + Copy>(things: Vec<T>) -> Vec<T> {
    let mut things = by_key(things, |&thing| thing);
    things.dedup();
    things
}

fn places(count: usize, compare: &dyn Fn(usize, usize) -> Ordering) -> Vec<usize> {
    let mut places: Vec<usize> = (0..count).collect();
    places.sort_by(|&a, &b| compare(a, b));
    places
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn things_stand_as_the_library_puts_them(things in prop::collection::vec((0..9_u8, any::<u16>()), 0..60)) {
            let mut expected = things.clone();
            expected.sort_by_key(|&(key, _)| key);
            prop_assert_eq!(by_key(things.clone(), |&(key, _)| key), expected.clone());
            expected.sort_by_key(|&(key, _)| std::cmp::Reverse(key));
            prop_assert_eq!(last_first(by_key(things.clone(), |&(key, _)| key), |&(key, _)| key), expected.clone());
            expected.sort_unstable();
            expected.dedup();
            prop_assert_eq!(each_once(things), expected);
        }
    }
}
