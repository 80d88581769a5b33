//! Chance that can be repeated.
#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "small numbers of a test"
)]

/// Numbers by chance, the same each time (Lehmer 1951, the multiplier of Park and Miller 1988).
pub struct Dice(pub u64);

impl Dice {
    pub fn next(&mut self) -> f64 {
        self.0 = self.0 * 16_807 % 2_147_483_647;
        self.0 as f64 / 2_147_483_647.0
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.next()
    }

    pub fn up_to(&mut self, n: usize) -> usize {
        ((self.next() * n as f64) as usize).min(n - 1)
    }
}
