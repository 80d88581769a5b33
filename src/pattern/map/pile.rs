//! Cut and restack: one on the other, or as a block of columns and rows.
//!
//! Depth folds into one piece and the place along shifts to where that piece was cut from, so each
//! piece shows another stretch of the old bar: `i = clamp(floor(z/T + k/2), 0, k-1)`,
//! `z0 = z - (i - (k-1)/2) T`, `x0 = x + i (Lp + kerf)`; a piece turned over is turned end for end, so that its
//! edge stays at the edge: z is negated and x runs back from `Lp`. A piece a quarter-turn round goes `(z, -y)`. Own
//! derivation; determinant 1.

use super::turn;
use crate::pattern::dual::{Num, floor, is_odd};

/// How pieces lie.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Lie {
    /// All the same way up.
    Same,
    /// Every second one turned over.
    Over,
    /// Each a quarter-turn to its neighbours.
    Quarter,
}

/// Pieces of one bar put together.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Pile {
    /// Width and thickness of a piece, mm.
    pub(crate) piece: [f64; 2],
    /// Pieces side by side.
    pub(crate) columns: f64,
    /// Pieces high.
    pub(crate) rows: f64,
    /// Length of a piece, and that plus one kerf, mm.
    pub(crate) long: f64,
    pub(crate) step: f64,
    /// Pieces that one bar gave.
    pub(crate) per_bar: f64,
    /// How they lie.
    pub(crate) lie: Lie,
}

impl Pile {
    /// After -> before, which piece, and whether it is one of a block.
    #[inline]
    pub(crate) fn back<T: Num>(&self, [x, y, z]: [T; 3]) -> ([T; 3], u32, bool) {
        let [width, thickness] = self.piece;
        let (column, y) = folded(y, width, self.columns);
        let (row, z) = folded(z, thickness, self.rows);
        let which = row * self.columns + column;
        let from = which - floor(which / self.per_bar) * self.per_bar;
        let start = from * self.step;
        let odd = is_odd(row + column);
        let p = match (self.lie, odd) {
            (Lie::Over, true) => [-x + (start + self.long), y, -z],
            (Lie::Quarter, true) => turn::quarter([x + start, y, z]),
            _ => [x + start, y, z],
        };
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a whole number; saturates"
        )]
        let number = which as u32;
        (p, number, self.columns > 1.5 || self.lie == Lie::Quarter)
    }
}

/// Which of `count` equal parts, and the place from that part's middle.
#[inline]
fn folded<T: Num>(at: T, size: f64, count: f64) -> (f64, T) {
    let which = floor(at.value() / size + 0.5 * count).clamp(0.0, (count - 1.0).max(0.0));
    (which, at - (which - 0.5 * (count - 1.0)) * size)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pile(lie: Lie) -> Pile {
        Pile {
            piece: [30.0, 14.0],
            columns: 1.0,
            rows: 4.0,
            long: 70.0,
            step: 73.0,
            per_bar: 4.0,
            lie,
        }
    }

    // Computed, own derivation: 4 pieces 14 thick, 70 long, kerf 3.
    #[test]
    fn worked_point() {
        let ([x, y, z], which, block) = pile(Lie::Same).back([10.0, 5.0, 20.0]);
        assert!((x - 229.0_f64).abs() < 1e-9 && (y - 5.0_f64).abs() < 1e-9);
        assert!((z + 1.0_f64).abs() < 1e-9);
        assert_eq!((which, block), (3, false));
    }

    #[test]
    fn a_pile_repeats_and_a_flipped_pile_mirrors() {
        for z in [-27.0, -20.5, -3.3, 12.0, 27.9] {
            let ([x0, ..], ..) = pile(Lie::Same).back([0.0, 1.0, z]);
            let ([_, y, a], ..) = pile(Lie::Same).back([4.0, 1.0, z]);
            let ([xo, yo, b], ..) = pile(Lie::Over).back([4.0, 1.0, z]);
            let odd = (x0 / 73.0_f64).round().rem_euclid(2.0) > 0.5;
            let sign = if odd { -1.0 } else { 1.0 };
            // End for end: the edge stays at the edge, and 4 mm from one end are 66 mm from the other.
            let along = x0 + if odd { 66.0 } else { 4.0 };
            assert!((a - sign * b).abs() < 1e-12 && (y - yo).abs() < 1e-12);
            assert!((xo - along).abs() < 1e-12);
        }
    }
}
