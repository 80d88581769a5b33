//! Draw, weld, square up, flatten: an even stretch from one outside size to another.
//!
//! `x0 = x L0/L1, y0 = y w0/w1, z0 = z t0/t1`; x from the held end, y and z from the middle, mm.
//! Own derivation from constant volume; determinant 1 when no metal is lost.

use crate::pattern::dual::Num;

/// Before over after, along each axis.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Stretch {
    /// Length, width, thickness ratios.
    ratio: [f64; 3],
}

impl Stretch {
    /// From outside sizes `[width, thickness, length]` before and after, mm.
    pub(crate) fn new(before: [f64; 3], after: [f64; 3]) -> Self {
        let ratio = |a: f64, b: f64| if b > 0.0 && a > 0.0 { a / b } else { 1.0 };
        Self {
            ratio: [
                ratio(before[2], after[2]),
                ratio(before[0], after[0]),
                ratio(before[1], after[1]),
            ],
        }
    }

    /// After -> before.
    #[inline]
    pub(crate) fn back<T: Num>(&self, [x, y, z]: [T; 3]) -> [T; 3] {
        [x * self.ratio[0], y * self.ratio[1], z * self.ratio[2]]
    }
}
