//! A small repeatable source of random numbers (SplitMix64; Steele, Lea & Flood,
//! "Fast splittable pseudorandom number generators", OOPSLA 2014).

/// A stream that depends only on its seed.
#[derive(Debug, Clone)]
pub(crate) struct Random(u64);

impl Random {
    /// The stream `lane` of a seed.
    pub(crate) fn new(seed: u64, lane: u64) -> Self {
        let mut start = Self(seed ^ lane.wrapping_mul(0xD1B5_4A32_D192_ED03));
        start.next();
        start
    }

    /// Sixty-four bits.
    pub(crate) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// From 0 up to 1, without 1.
    pub(crate) fn unit(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// From `low` to `high`.
    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// An index below `count`; 0 when there is none.
    pub(crate) fn below(&mut self, count: usize) -> usize {
        ((self.next() >> 32).wrapping_mul(count as u64) >> 32) as usize
    }

    /// Roughly normal, mean 0, deviation 1 (sum of uniforms).
    pub(crate) fn bell(&mut self) -> f64 {
        (self.unit() + self.unit() + self.unit() + self.unit() - 2.0) * 1.732
    }

    /// A random order.
    pub(crate) fn shuffle<T>(&mut self, all: &mut [T]) {
        for k in (1..all.len()).rev() {
            all.swap(k, self.below(k + 1));
        }
    }
}
