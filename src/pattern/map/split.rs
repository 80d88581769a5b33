//! Wedge split and close: the wedge drags the layers along with it, most at the split.
//!
//! `z0 = z + D1 exp(-|y|/l1) + D2 exp(-|y|/l2)`, a short reach and a long one, the wedge travelling
//! through the stack; then the block is laid on its side so that the wedge's way runs along the bar.
//! Shear, so determinant 1. Own derivation; sizes found by looking: common practice, no source.

use crate::pattern::dual::{Num, floor, is_odd};

/// One split.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Split {
    before: [f64; 3],
    after: [f64; 3],
    drag: [f64; 2],
    reach: [f64; 2],
}

impl Split {
    /// Wedge of full `angle` degrees, sizes `[width, thickness, length]` before and after, mm.
    pub(crate) fn new(before: [f64; 3], after: [f64; 3], angle: f64) -> Self {
        let [width, tall, _] = before;
        // A 35 degree wedge drags three tenths of the height at the split.
        let steep =
            (0.5 * angle.clamp(1.0, 120.0)).to_radians().tan() / 17.5_f64.to_radians().tan();
        let held = steep.clamp(0.3, 2.0);
        Self {
            before,
            after,
            drag: [0.30 * tall * held, 0.075 * tall * held],
            reach: [width / 8.0, 0.35 * width],
        }
    }

    /// After -> before. Where the drag reaches past the block's end the stack goes on mirrored: the
    /// run-out ends are cut off in the shop.
    pub(crate) fn back<T: Num>(&self, [x, y, z]: [T; 3]) -> [T; 3] {
        let [w0, t0, l0] = self.before;
        let [w1, t1, l1] = self.after;
        let y0 = y * (w0 / w1);
        let far = y0.abs();
        let up = x * (t0 / l1) - 0.5 * t0;
        let [short, long] = self.drag;
        let dragged = (far * (-1.0 / self.reach[0])).exp() * short
            + (far * (-1.0 / self.reach[1])).exp() * long;
        [z * (l0 / t1) + 0.5 * l0, y0, mirrored(up + dragged, t0)]
    }
}

/// Held to a height by mirrors at both faces.
fn mirrored<T: Num>(z: T, height: f64) -> T {
    let whole = floor((z.value() + 0.5 * height) / height);
    let z = z - whole * height;
    if is_odd(whole) { -z } else { z }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_split_leads_and_both_halves_are_mirror_images() {
        let split = Split::new([40.0, 80.0, 60.0], [40.0, 60.0, 80.0], 35.0);
        let middle = split.back([20.0, 0.0, 1.0]);
        let left = split.back([20.0, -9.0, 1.0]);
        let right = split.back([20.0, 9.0, 1.0]);
        assert!(middle[2] > left[2] + 10.0);
        assert!((left[2] - right[2]).abs() < 1e-12 && (left[1] + right[1]).abs() < 1e-12);
        assert!((middle[0] - 31.0).abs() < 1e-9);
    }
}
