//! Numbers that look like chance and are the same each time.
//!
//! The demo and the long log of the bench must come out byte for byte the same
//! on every machine, so nothing here draws real random numbers.
//! Rule: the 64-bit linear congruential generator with Knuth's multiplier
//! ("The Art of Computer Programming", volume 2, section 3.3.4, table 1, line
//! 26); only the high bits are used, the low ones repeat soon.

/// A sequence of made-up numbers that its seed decides.
#[derive(Clone, Debug)]
pub(crate) struct Chance(u64);

impl Chance {
    /// Returns the sequence of this seed.
    pub(crate) fn of(seed: u64) -> Self {
        let mut chance = Self(seed);
        // Neighbouring seeds part only after a few steps.
        for _ in 0..4 {
            chance.step();
        }
        chance
    }

    /// Returns a number from 0 to `end`, `end` not included; 0 when `end` is 0.
    pub(crate) fn below(&mut self, end: u32) -> u32 {
        ((u64::from(self.step()) * u64::from(end)) >> 32) as u32
    }

    /// Returns a number from -1 to 1.
    pub(crate) fn sway(&mut self) -> f32 {
        (self.step() >> 8) as f32 / (1 << 23) as f32 - 1.0
    }

    /// Returns one of these, or the type's default when there is none.
    pub(crate) fn one_of<T: Copy + Default>(&mut self, all: &[T]) -> T {
        let at = self.below(all.len() as u32) as usize;
        all.get(at).copied().unwrap_or_default()
    }

    fn step(&mut self) -> u32 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 32) as u32
    }
}

#[cfg(test)]
mod tests {
    use super::Chance;

    #[test]
    fn a_seed_decides_and_the_range_is_filled() {
        let draw = |seed| {
            let mut chance = Chance::of(seed);
            (0..1000).map(|_| chance.below(6)).collect::<Vec<_>>()
        };
        assert_eq!(draw(1), draw(1));
        assert_ne!(draw(1), draw(2));
        for side in 0..6 {
            let often = draw(3).iter().filter(|&&it| it == side).count();
            assert!((100..240).contains(&often), "{side} came {often} times of 1000");
        }
        let mut chance = Chance::of(4);
        assert!((0..1000).map(|_| chance.sway()).all(|it| (-1.0..=1.0).contains(&it)));
        assert_eq!((chance.below(0), chance.one_of::<u8>(&[])), (0, 0));
    }
}
