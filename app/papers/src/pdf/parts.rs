//! One document as several PDFs, where its photos are too many for one.
//!
//! Rule: the photos stay in their order. A part ends before the photo with which
//! it would pass what a PDF takes; two photos that stand beside each other as a
//! pair stay together. The first part says everything that the document says,
//! and where photos stand in other parts, how many. Each further part has the
//! head of the document, and its photos below the headings that they belong to.

use std::collections::{BTreeMap, BTreeSet};

use quaywright_core::id::BlobId;
use quaywright_core::owner::words::{Hole, Word, Words};

use super::markup::{Block, Paper, Photo};

/// One of several PDFs that are one document together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Part {
    /// The how manieth it is, from 1.
    pub(crate) number: usize,
    /// How many there are.
    pub(crate) of: usize,
    /// The photos that stand in it.
    pub(crate) photos: BTreeSet<BlobId>,
}

/// How many bytes each photo has, by its name.
pub(crate) type Weights = BTreeMap<BlobId, u64>;

/// Returns the photos of each part, so that none has more than `most` bytes unless one photo alone has.
pub(super) fn shared_out(paper: &Paper, weights: &Weights, most: u64) -> Vec<BTreeSet<BlobId>> {
    let mut parts = vec![BTreeSet::new()];
    let (mut seen, mut weight) = (BTreeSet::<BlobId>::new(), 0);
    for together in paper.blocks.iter().flat_map(together) {
        let new: BTreeSet<BlobId> = together.iter().map(|it| it.blob).filter(|it| !seen.contains(it)).collect();
        let more: u64 = new.iter().filter_map(|blob| weights.get(blob)).sum();
        // What stands in an earlier part already makes none.
        if more > 0 && weight > 0 && weight + more > most {
            parts.push(BTreeSet::new());
            weight = 0;
        }
        weight += more;
        seen.extend(&new);
        parts.iter_mut().last().into_iter().for_each(|part| part.extend(&new));
    }
    parts
}

/// Returns the photos of a block that no two parts may have between them.
fn together(block: &Block) -> Vec<&[Photo]> {
    let Block::Photos(photos) = block else { return Vec::new() };
    photos.chunks(if photos.len() == 2 { 2 } else { 1 }).collect()
}

impl Part {
    /// Leaves of a document what stands in this part.
    pub(super) fn keep(&self, paper: &mut Paper, words: &Words) {
        let blocks = std::mem::take(&mut paper.blocks);
        paper.blocks = if self.number == 1 { self.first(blocks, words) } else { self.further(blocks) };
        let at = paper.blocks.iter().position(|block| matches!(block, Block::Rule { heavy: true }));
        let text = words.fill(if self.number == 1 { Word::FirstPart } else { Word::FurtherPart }, &self.holes());
        paper.blocks.insert(at.unwrap_or_default(), Block::Words { text, quiet: false });
        paper.title = [&paper.title, " · ", &words.fill(Word::PartOf, &self.holes())].concat();
    }

    fn holes(&self) -> [(&'static str, Hole<'static>); 2] {
        let whole = |number: usize| Hole::Count(u32::try_from(number).unwrap_or(u32::MAX));
        [("part", whole(self.number)), ("count", whole(self.of))]
    }

    /// Returns a block's photos that stand in this part.
    fn own(&self, photos: Vec<Photo>) -> Vec<Photo> {
        photos.into_iter().filter(|photo| self.photos.contains(&photo.blob)).collect()
    }

    fn first(&self, blocks: Vec<Block>, words: &Words) -> Vec<Block> {
        let mut kept = Vec::new();
        for block in blocks {
            let Block::Photos(photos) = block else {
                kept.push(block);
                continue;
            };
            let count = photos.len();
            let own = self.own(photos);
            let elsewhere = u32::try_from(count - own.len()).unwrap_or(u32::MAX);
            if !own.is_empty() {
                kept.push(Block::Photos(own));
            }
            if elsewhere > 0 {
                let text = words.fill(Word::PhotosElsewhere, &[("count", Hole::Count(elsewhere))]);
                kept.push(Block::Words { text, quiet: true });
            }
        }
        kept
    }

    fn further(&self, blocks: Vec<Block>) -> Vec<Block> {
        let mut blocks = blocks.into_iter();
        // The head of the document ends with the first heavy rule.
        let mut kept = Vec::new();
        for block in blocks.by_ref() {
            let is_end = matches!(block, Block::Rule { heavy: true });
            kept.push(block);
            if is_end {
                break;
            }
        }
        // What heads the photos that may follow, the outermost first.
        let mut heads: Vec<Block> = Vec::new();
        for block in blocks {
            match block {
                Block::Rule { .. } | Block::Head { .. } | Block::Small(_) => {
                    heads.retain(|head| depth(head) < depth(&block));
                    heads.push(block);
                }
                Block::Photos(photos) => {
                    let own = self.own(photos);
                    if !own.is_empty() {
                        kept.append(&mut heads);
                        kept.push(Block::Photos(own));
                    }
                }
                _ => {}
            }
        }
        kept
    }
}

/// Returns how deep within a document a heading stands.
fn depth(block: &Block) -> u8 {
    match block {
        Block::Rule { heavy: true } => 0,
        Block::Head { large: true, .. } => 1,
        Block::Rule { heavy: false } => 2,
        Block::Head { large: false, .. } => 3,
        _ => 4,
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use quaywright_core::event::Reader;
    use quaywright_core::exchange::html::Gone;
    use quaywright_core::id::BlobId;
    use quaywright_core::owner::words::Words;

    use super::super::markup::{Block, Paper, Photo};
    use super::{Part, shared_out};

    fn photo(name: u8) -> Photo {
        let caption = format!("photo {name}");
        let blob = BlobId::of(&[name]);
        Photo { blob, alt: caption.clone(), gone: Gone::default(), caption, marks: Default::default() }
    }

    fn head(text: &str, large: bool) -> Block {
        Block::Head { text: text.to_owned(), large }
    }

    /// A day of two jobs: five photos of one, a pair and a photo that is a day's own of the other.
    fn paper() -> Paper {
        let rule = |heavy| Block::Rule { heavy };
        let words = |text: &str| Block::Words { text: text.to_owned(), quiet: false };
        let photos = |names: &[u8]| Block::Photos(names.iter().map(|&name| photo(name)).collect());
        let blocks = vec![
            Block::Title("M. Sluice".to_owned()),
            Block::Lead("Monday".to_owned()),
            rule(true),
            words("Worked"),
            rule(true),
            head("Heron", true),
            rule(false),
            head("Story", false),
            words("Weeps"),
            rule(false),
            head("Photos", false),
            photos(&[1, 2, 3, 4, 5]),
            rule(true),
            head("Otter", true),
            rule(false),
            head("Before and after", false),
            Block::Small("Bracket".to_owned()),
            photos(&[6, 7]),
            rule(false),
            head("Photos", false),
            photos(&[1]),
        ];
        Paper { title: "Day".to_owned(), language: "en".to_owned(), blocks, unknown: Vec::new() }
    }

    fn names(part: &BTreeSet<BlobId>) -> Vec<u8> {
        (1..=9).filter(|&name| part.contains(&BlobId::of(&[name]))).collect()
    }

    fn parts(most: u64) -> Vec<Vec<u8>> {
        let weights = (1..=7).map(|name| (BlobId::of(&[name]), 10)).collect();
        shared_out(&paper(), &weights, most).iter().map(names).collect()
    }

    #[test]
    fn photos_stay_in_order_pairs_together_and_none_is_counted_twice() {
        assert_eq!(parts(70), [vec![1, 2, 3, 4, 5, 6, 7]]);
        assert_eq!(parts(69), [vec![1, 2, 3, 4, 5], vec![6, 7]]);
        assert_eq!(parts(30), [vec![1, 2, 3], vec![4, 5], vec![6, 7]]);
        // One alone that is too much stands alone.
        assert_eq!(parts(5), [vec![1], vec![2], vec![3], vec![4], vec![5], vec![6, 7]]);
    }

    fn part(number: usize) -> Paper {
        let weights = (1..=7).map(|name| (BlobId::of(&[name]), 10)).collect();
        let parts = shared_out(&paper(), &weights, 40);
        let mut paper = paper();
        let of = parts.len();
        Part { number, of, photos: parts[number - 1].clone() }.keep(&mut paper, &Words::of(Reader::default()));
        paper
    }

    #[test]
    fn the_first_part_says_all_and_where_the_other_photos_are() {
        let first = part(1);
        assert_eq!(first.title, "Day · part 1 of 2");
        let text: Vec<&str> = first
            .blocks
            .iter()
            .filter_map(|it| if let Block::Words { text, .. } = it { Some(text.as_str()) } else { None })
            .collect();
        assert_eq!(
            text,
            [
                "Part 1 of 2: everything but the photos that stand in the other parts.",
                "Worked",
                "Weeps",
                "1 photo stands in another part.",
                "2 photos stand in other parts."
            ]
        );
        let photos = first.blocks.iter().filter(|it| matches!(it, Block::Photos(_))).count();
        assert_eq!(photos, 2);
    }

    #[test]
    fn a_further_part_has_the_head_and_its_photos_below_their_headings() {
        let second = part(2);
        assert_eq!(second.title, "Day · part 2 of 2");
        let rule = |heavy| Block::Rule { heavy };
        let text = "Part 2 of 2: photos only. Everything else stands in part 1.".to_owned();
        assert_eq!(
            second.blocks,
            [
                Block::Title("M. Sluice".to_owned()),
                Block::Lead("Monday".to_owned()),
                Block::Words { text, quiet: false },
                rule(true),
                rule(true),
                head("Heron", true),
                rule(false),
                head("Photos", false),
                Block::Photos(vec![photo(5)]),
                rule(true),
                head("Otter", true),
                rule(false),
                head("Before and after", false),
                Block::Small("Bracket".to_owned()),
                Block::Photos(vec![photo(6), photo(7)]),
            ]
        );
    }
}
