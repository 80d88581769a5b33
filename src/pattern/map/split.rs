//! Wedge split and close: the wedge drags the layers along with it, most at the split.
//!
//! `s0 = s + D1 exp(-|n|/l1) + D2 exp(-|n|/l2)`, s along the stack, which is the wedge's way, n from
//! the split, a short reach and a long one; then the block is laid so that the wedge's way runs along the bar and
//! the split down the middle of its face. Layers that lie flat are split across the width, layers on edge across the
//! thickness.
//! Shear, so determinant 1. Own derivation; sizes found by looking: common practice, no source.

use crate::pattern::dual::{Num, floor, is_odd};

#[derive(Debug, Clone, Copy)]
pub(crate) struct Split {
    before: [f64; 3],
    after: [f64; 3],
    drag: [f64; 2],
    reach: [f64; 2],
    on_edge: bool,
}

impl Split {
    /// Wedge of full `angle` degrees, sizes `[width, thickness, length]` before and after, mm.
    pub(crate) fn new(before: [f64; 3], after: [f64; 3], angle: f64, on_edge: bool) -> Self {
        let [width, tall] = if on_edge {
            [before[1], before[0]]
        } else {
            [before[0], before[1]]
        };
        // A 35 degree wedge drags three tenths of the height at the split.
        let steep =
            (0.5 * angle.clamp(1.0, 120.0)).to_radians().tan() / 17.5_f64.to_radians().tan();
        let held = steep.clamp(0.3, 2.0);
        Self {
            before,
            after,
            drag: [0.30 * tall * held, 0.075 * tall * held],
            reach: [width / 8.0, 0.35 * width],
            on_edge,
        }
    }

    /// After -> before. Where the drag reaches past the block's end the stack goes on mirrored: the
    /// run-out ends are cut off in the shop.
    pub(crate) fn back<T: Num>(&self, [x, y, z]: [T; 3]) -> [T; 3] {
        let [w0, t0, l0] = self.before;
        let [w1, t1, l1] = self.after;
        let (wide, tall) = if self.on_edge { (t0, w0) } else { (w0, t0) };
        let off = y * (wide / w1);
        let far = off.abs();
        let up = x * (tall / l1) - 0.5 * tall;
        let [short, long] = self.drag;
        let dragged = (far * (-1.0 / self.reach[0])).exp() * short
            + (far * (-1.0 / self.reach[1])).exp() * long;
        let along = z * (l0 / t1) + 0.5 * l0;
        let stack = mirrored(up + dragged, tall);
        if self.on_edge {
            [along, stack, off]
        } else {
            [along, off, stack]
        }
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
        let split = Split::new([40.0, 80.0, 60.0], [40.0, 60.0, 80.0], 35.0, false);
        let middle = split.back([20.0, 0.0, 1.0]);
        let left = split.back([20.0, -9.0, 1.0]);
        let right = split.back([20.0, 9.0, 1.0]);
        assert!(middle[2] > left[2] + 10.0);
        assert!((left[2] - right[2]).abs() < 1e-12 && (left[1] + right[1]).abs() < 1e-12);
        assert!((middle[0] - 31.0).abs() < 1e-9);
    }
}
