//! A jacket folded round the spine of a plain core, the edge left bare.
//!
//! On the two faces the jacket lies as it was; round the spine its depth `d` from the core is how far a
//! place is off the core, square: `d = max(u, v)`, u behind the spine, v off the face. Its width s runs along:
//! on the faces with y, behind the spine with z, and each corner, j by j, takes j of it: by `v/2u` from the
//! spine's side and by `1 - u/2v` from the face's. Own derivation; determinant 1 but in the corners, whose
//! area is kept.

use super::frame::On;
use crate::billet::SteelId;
use crate::pattern::dual::Num;

/// One folded jacket.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Jacket {
    /// Outside width, mm.
    pub(crate) width: f64,
    /// Bare edge, and the covered core behind it, mm.
    pub(crate) across: [f64; 2],
    /// Thickness of the core, mm.
    pub(crate) core: f64,
    /// Thickness of the jacket, mm.
    pub(crate) thick: f64,
    /// Steel of the core.
    pub(crate) steel: SteelId,
    /// The jacket's number among the members.
    pub(crate) member: u16,
}

impl Jacket {
    /// After -> before, in the core or in the jacket.
    #[inline]
    pub(crate) fn back<T: Num>(&self, [x, y, z]: [T; 3]) -> ([T; 3], Option<On>) {
        let [edge, covered] = self.across;
        let bare = edge - 0.5 * self.width;
        if y.value() < bare {
            return ([x, y, z], Some(On::Plain(self.steel)));
        }
        let half = 0.5 * self.core;
        let behind = y - (bare + covered);
        let off = z.abs() - half;
        let (u, v) = (behind.value(), off.value());
        if u < 0.0 && v < 0.0 {
            return ([x, behind + 0.5 * covered, z], None);
        }
        let j = self.thick;
        let (along, depth) = if u < 0.0 {
            (-behind + (half + j), off)
        } else if v < 0.0 {
            (z.abs(), behind)
        } else if u > v {
            (off * behind.recip() * (0.5 * j) + half, behind)
        } else if v > 0.0 {
            (-(behind * off.recip() * (0.5 * j)) + (half + j), off)
        } else {
            (z.abs(), behind)
        };
        let along = if z.value() < 0.0 { along } else { -along };
        ([x, along, depth - 0.5 * j], Some(On::Member(self.member)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FOLD: Jacket = Jacket {
        width: 40.0,
        across: [6.0, 30.0],
        core: 8.0,
        thick: 4.0,
        steel: SteelId(1),
        member: 1,
    };

    fn at(y: f64, z: f64) -> ([f64; 2], Option<On>) {
        let ([_, s, d], on) = FOLD.back([0.0, y, z]);
        ([s, d], on)
    }

    // By hand: 40 wide is 6 bare, 30 covered and 4 behind the spine; the jacket is 2 x 30 + 8 + 2 x 4 = 76 wide.
    #[test]
    fn the_jacket_lies_on_both_faces_and_round_the_spine() {
        assert_eq!(at(-15.0, 7.0).1, Some(On::Plain(SteelId(1))));
        assert_eq!(at(0.0, 3.9).1, None);
        // Its edges at the bare seam, outer face up: half of 76 from the middle of the spine.
        let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-9, "{a} {b}");
        let ([s, d], _) = at(-14.0, 7.9);
        near(s, -38.0);
        near(d, 1.9);
        near(at(-14.0, -7.9).0[0], 38.0);
        // Behind the spine its middle, its depth counted from the core.
        let ([s, d], on) = at(17.0, 0.0);
        near(s, 0.0);
        near(d, -1.0);
        assert_eq!(on, Some(On::Member(1)));
    }

    #[test]
    fn layers_run_on_round_the_corner_and_keep_its_area() {
        for d in [0.5, 2.0, 3.7] {
            for (from, to) in [
                ([16.0 - 1e-9, 4.0 + d], [16.0 + 1e-9, 4.0 + d]),
                ([16.0 + d, 4.0 - 1e-9], [16.0 + d, 4.0 + 1e-9]),
                ([16.0 + d, 4.0 + d - 1e-9], [16.0 + d - 1e-9, 4.0 + d]),
            ] {
                let (a, b) = (at(from[0], from[1]).0, at(to[0], to[1]).0);
                assert!(
                    a.iter().zip(b).all(|(a, b)| (a - b).abs() < 1e-6),
                    "{a:?} {b:?}"
                );
            }
        }
    }
}
