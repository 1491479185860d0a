//! Random numbers that are the same on every machine.

/// A seeded generator (SplitMix64: Steele, Lea and Flood, 2014, from memory).
pub struct Dice(u64);

impl Dice {
    /// A generator of a seed.
    pub fn new(seed: u64) -> Self {
        Dice(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x5851_F42D_4C95_7F2D)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut bits = self.0;
        bits = (bits ^ (bits >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        bits = (bits ^ (bits >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        bits ^ (bits >> 31)
    }

    /// A whole number from 0 to below the limit.
    pub fn below(&mut self, limit: usize) -> usize {
        (self.next() % limit as u64) as usize
    }

    /// A number between two.
    pub fn between(&mut self, least: f64, most: f64) -> f64 {
        let share = (self.next() >> 11) as f64 / (1_u64 << 53) as f64;
        least + share * (most - least)
    }

    /// Multiplies a number in one case of three by something between two factors.
    pub fn scale(&mut self, value: &mut f64, least: f64, most: f64) {
        if self.below(3) == 0 {
            *value *= self.between(least, most);
        }
    }

    /// Puts things in another order.
    pub fn shuffle<T>(&mut self, things: &mut [T]) {
        for last in (1..things.len()).rev() {
            things.swap(last, self.below(last + 1));
        }
    }
}
