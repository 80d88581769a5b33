//! Tiles in a row, end grain up: what ran along the old bar runs through the new one.
//!
//! Tile i of n, t long in the row, cut d thick with a kerf between: with `a` the place along from its middle,
//! `x0 = i (d + kerf) + d/2 + z, y0 = y, z0 = -a`; one turned over like a page has a and z negated, one
//! turned in its plane has (a, y) turned by quarters. Own derivation; determinant 1.

use super::turn;
use crate::billet::Tiling;
use crate::pattern::dual::{Num, floor, is_odd};

/// One row of tiles.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Tiles {
    /// Length of a tile in the row, mm: what was the thickness of the bar.
    pub(crate) long: f64,
    /// Its thickness, mm.
    pub(crate) thick: f64,
    /// Its thickness and one kerf, mm.
    pub(crate) step: f64,
    /// Tiles.
    pub(crate) count: f64,
    /// Tiles that one bar gave.
    pub(crate) per_bar: f64,
    /// How they lie.
    pub(crate) lay: Tiling,
}

impl Tiles {
    /// After -> before, and which tile.
    #[inline]
    pub(crate) fn back<T: Num>(&self, [x, y, z]: [T; 3]) -> ([T; 3], u32) {
        let which = floor(x.value() / self.long).clamp(0.0, (self.count - 1.0).max(0.0));
        let a = x - (which + 0.5) * self.long;
        let from = which - floor(which / self.per_bar) * self.per_bar;
        let start = from * self.step + 0.5 * self.thick;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a whole number; saturates"
        )]
        let number = which as u32;
        let [a, y, z] = match self.lay {
            Tiling::Mirrored if is_odd(which) => [-a, y, -z],
            Tiling::Turned => {
                // About the height of the tile, as a quarter-turn is about the length of a bar.
                let mut p = [z, a, y];
                for _ in 0..number % 4 {
                    p = turn::quarter(p);
                }
                [p[1], p[2], p[0]]
            }
            _ => [a, y, z],
        };
        ([z + start, y, -a], number)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(lay: Tiling) -> Tiles {
        Tiles {
            long: 20.0,
            thick: 6.0,
            step: 8.0,
            count: 5.0,
            per_bar: 5.0,
            lay,
        }
    }

    // By hand: the third tile is cut from 16 to 22 mm of the bar.
    #[test]
    fn worked_points_of_the_third_tile() {
        let (p, which) = row(Tiling::Alike).back([47.0, 3.0, 2.0]);
        let near = |p: [f64; 3], q: [f64; 3]| {
            let off = p.iter().zip(q).map(|(a, b)| (a - b).abs());
            assert!(off.fold(0.0, f64::max) < 1e-9, "{p:?} {q:?}");
        };
        near(p, [21.0, 3.0, 3.0]);
        assert_eq!(which, 2);
        // The second is turned over: cut from 8 to 14 mm, its other face up.
        let (p, _) = row(Tiling::Mirrored).back([27.0, 3.0, 2.0]);
        near(p, [9.0, 3.0, -3.0]);
    }

    #[test]
    fn mirrored_tiles_meet_in_like_faces_and_turned_ones_go_round() {
        let row_of = row(Tiling::Mirrored);
        for n in 1..5 {
            let seam = 20.0 * f64::from(n);
            let (left, _) = row_of.back([seam - 1e-9, 4.0, 0.0]);
            let (right, _) = row_of.back([seam + 1e-9, 4.0, 0.0]);
            assert!((left[2] - right[2]).abs() < 1e-6, "{left:?} {right:?}");
        }
        let turned = row(Tiling::Turned);
        // By hand, 2 along and 3 across: a quarter further each time, and after four the same.
        for (tile, wanted) in [(0.0, [3.0, -2.0]), (1.0, [-2.0, -3.0]), (4.0, [3.0, -2.0])] {
            let ([_, y, z], _) = turned.back([tile * 20.0 + 12.0, 3.0, 0.0]);
            let off = (y - wanted[0]).abs() + (z - wanted[1]).abs();
            assert!(off < 1e-9_f64, "{tile} {y} {z}");
        }
    }
}
