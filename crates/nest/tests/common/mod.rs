//! What several tests of the room use.

/// Numbers that depend on a seed alone (xorshift; Marsaglia 2003).
pub struct Chance(pub u64);

impl Chance {
    /// From 0 up to 1, without 1.
    pub fn unit(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// A whole number below `count`.
    pub fn below(&mut self, count: usize) -> usize {
        (self.unit() * count as f64) as usize
    }
}
