//! Fold: the bar over itself, every second ply turned over end for end.
//!
//! Ply i of k, each Lp long with the fold's loss between: even `x0 = x + i (Lp + loss), z0 = z'`; odd
//! `x0 = (i+1) Lp + i loss - x, z0 = -z'`. Own derivation; determinant 1.

use crate::pattern::dual::{Num, floor, is_odd};

/// A fold in plies.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Fold {
    /// Thickness of a ply, mm.
    pub(crate) thickness: f64,
    pub(crate) plies: f64,
    /// Length of a ply, mm.
    pub(crate) length: f64,
    /// Lost at each fold line, mm.
    pub(crate) loss: f64,
}

impl Fold {
    /// After -> before, and which ply.
    #[inline]
    pub(crate) fn back<T: Num>(&self, [x, y, z]: [T; 3]) -> ([T; 3], u32) {
        let ply = floor(z.value() / self.thickness + 0.5 * self.plies)
            .clamp(0.0, (self.plies - 1.0).max(0.0));
        let z = z - (ply - 0.5 * (self.plies - 1.0)) * self.thickness;
        let start = ply * (self.length + self.loss);
        let p = if !is_odd(ply) {
            [x + start, y, z]
        } else {
            [-x + (start + self.length), y, -z]
        };
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a small whole number"
        )]
        let which = ply as u32;
        (p, which)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn at_a_fold_line_both_plies_come_from_the_same_face_of_the_bar() {
        let fold = Fold {
            thickness: 10.0,
            plies: 3.0,
            length: 50.0,
            loss: 0.0,
        };
        // Just under and just over the first seam: both are the old top face.
        let (under, _) = fold.back([20.0, 0.0, -5.0 - 1e-9]);
        let (over, _) = fold.back([20.0, 0.0, -5.0 + 1e-9]);
        assert!((under[2] - 5.0).abs() < 1e-6 && (over[2] - 5.0).abs() < 1e-6);
        assert!((under[0] - 20.0).abs() < 1e-9 && (over[0] - 80.0).abs() < 1e-9);
    }
}
