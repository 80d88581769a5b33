//! Twist, then square again.
//!
//! Square to disc, back by `th = -(2 pi n (x - a)/l + j N(x))`, disc to square, with n turns over the
//! length l that was hot; N is the uneven pitch of a real twist. Own derivation; determinant that of
//! the square-disc map, near 1.

use std::f64::consts::TAU;

use super::disc;
use crate::pattern::dual::Num;
use crate::pattern::noise::{Noise, single};

#[derive(Debug, Clone)]
pub(crate) struct Twist {
    before: [f64; 3],
    after: [f64; 3],
    turns: f64,
    zone: [f64; 2],
    uneven: f32,
    noise: Noise,
}

impl Twist {
    /// `turns` over the `zone` (start and end along the bar, mm), sizes `[width, thickness, length]`;
    /// `uneven` radians RMS.
    pub(crate) fn new(
        seed: u64,
        before: [f64; 3],
        after: [f64; 3],
        turns: f64,
        zone: [f64; 2],
        uneven: f64,
    ) -> Self {
        Self {
            before,
            after,
            turns,
            zone,
            uneven: single(uneven),
            noise: Noise::new(seed, [0.0, after[2]], [-1.0, 1.0], 60.0, 2),
        }
    }

    /// After -> before.
    #[inline]
    pub(crate) fn back<T: Num>(&self, [x, y, z]: [T; 3]) -> [T; 3] {
        let [w0, t0, l0] = self.before;
        let [w1, t1, l1] = self.after;
        let [from, to] = self.zone;
        let along = (x.held(from, to) - from) * (TAU * self.turns / (to - from).max(1e-9));
        let wander = [self.uneven, 0.0, 0.0, 0.0];
        let angle = -along.woven(&self.noise, x, T::of(0.0), wander, [0.0; 4]);
        let [u, v] = disc::spun(y * (2.0 / w1), z * (2.0 / t1), |round| {
            disc::turned(round, angle)
        });
        [x * (l0 / l1), u * (0.5 * w0), v * (0.5 * t0)]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Computed, own derivation: one turn in 24 mm; a quarter-turn along.
    #[test]
    fn worked_point_of_the_round_bar() {
        let angle = -TAU / 24.0 * 6.0;
        let [y, z] = disc::turned([5.0, 0.0], angle);
        assert!(y.abs() < 1e-9 && (z + 5.0).abs() < 1e-9);
    }

    #[test]
    fn a_whole_turn_brings_the_same_section() {
        let size = [12.0, 12.0, 240.0];
        let twist = Twist::new(1, size, size, 10.0, [0.0, 240.0], 0.0);
        let a = twist.back([30.0, 3.0, -2.0]);
        let b = twist.back([54.0, 3.0, -2.0]);
        assert!((a[1] - b[1]).abs() < 1e-9 && (a[2] - b[2]).abs() < 1e-9);
        // At the axis nothing turns.
        let c = twist.back([37.0, 0.0, 0.0]);
        assert!(c[1].abs() < 1e-12 && c[2].abs() < 1e-12);
    }
}
