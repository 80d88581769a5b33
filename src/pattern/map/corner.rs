//! Corner crush: the bar stands on its corner and is squeezed to a new square; flat layers bend.
//!
//! Square to disc, an eighth of a turn, disc to square (see [`super::disc`]), then the stretch to
//! the new size. Own derivation.

use std::f64::consts::FRAC_1_SQRT_2;

use super::disc;
use crate::pattern::dual::Num;

/// One crush, corner to corner.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Corner {
    before: [f64; 3],
    after: [f64; 3],
}

impl Corner {
    /// From outside sizes `[width, thickness, length]` before and after, mm.
    pub(crate) fn new(before: [f64; 3], after: [f64; 3]) -> Self {
        Self { before, after }
    }

    /// After -> before.
    #[inline]
    pub(crate) fn back<T: Num>(&self, [x, y, z]: [T; 3]) -> [T; 3] {
        let [w0, t0, l0] = self.before;
        let [w1, t1, l1] = self.after;
        let [u, v] = disc::spun(y * (2.0 / w1), z * (2.0 / t1), |[a, b]| {
            [(a + b) * FRAC_1_SQRT_2, (b - a) * FRAC_1_SQRT_2]
        });
        [x * (l0 / l1), u * (0.5 * w0), v * (0.5 * t0)]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Computed, own derivation: square of half side 15 crushed to its own size.
    #[test]
    fn a_face_middle_becomes_a_corner() {
        let size = [30.0, 30.0, 100.0];
        let crush = Corner::new(size, size);
        let [_, y, z] = crush.back([0.0, 15.0, 0.0]);
        assert!(
            (y - 15.0).abs() < 1e-4 && (z + 15.0).abs() < 1e-4,
            "{y} {z}"
        );
        let [_, y, z] = crush.back([0.0, 10.0, 0.0]);
        assert!(
            (y - 7.5693).abs() < 1e-4 && (z + 7.5693).abs() < 1e-4,
            "{y} {z}"
        );
    }
}
