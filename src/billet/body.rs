//! The parts of a forged blank as bodies: what metal a part of given sizes holds, and what the metal left
//! for a part makes of the size that nobody gave.

use serde::{Deserialize, Serialize};

use super::{Part, Sizes};
use crate::physics::blade_volume::{edged, taper};
use crate::units::{Mm, Mm3};

/// Edge left by forging, before it is ground: 1.5 to 2 mm. Common practice, no source.
pub const FORGED_EDGE: Mm = Mm(1.5);

/// How the parts of the knife run out from their largest section, and what those that are not forged yet
/// will take.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Shape {
    /// Width and thickness of the tang at its end, as shares of those at the blade.
    pub tang_end: (f64, f64),
    /// Spine at the point, as a share of that at the heel.
    pub tip: f64,
    /// The edge that forging leaves.
    pub edge: Mm,
    /// Share of the height that the bevels cover.
    pub bevel: f64,
    /// Metal that the tang will take.
    pub tang: Mm3,
    /// Metal that the bolster will take.
    pub bolster: Mm3,
}

impl Default for Shape {
    fn default() -> Self {
        Self::PLAIN
    }
}

impl Shape {
    /// Parts that run on as they begin, of a knife of which nothing else is known.
    pub const PLAIN: Self = Self {
        tang_end: (1.0, 1.0),
        tip: 1.0,
        edge: FORGED_EDGE,
        bevel: 1.0,
        tang: Mm3::ZERO,
        bolster: Mm3::ZERO,
    };

    /// Metal in a part whose largest section is `width` by `thickness`.
    ///
    /// ```
    /// use anvilside::billet::{Part, Shape};
    /// use anvilside::units::Mm;
    /// let shape = Shape { tip: 0.5, ..Shape::default() };
    /// // 210 x 46 mm, spine 4 to 2, edge 1.5: (3 - 0.6) / 2 + 0.5625 = 1.7625 mm over the outline.
    /// let bevels = shape.volume(Part::Bevels, Mm(46.0), Mm(4.0), Mm(210.0));
    /// assert!((bevels.cubic_cm() - 17.03).abs() < 0.01);
    /// // Before its bevels: 2.4 mm over the outline.
    /// let blade = shape.volume(Part::Blade, Mm(46.0), Mm(4.0), Mm(210.0));
    /// assert!((blade.cubic_cm() - 23.18).abs() < 0.01);
    /// ```
    #[must_use]
    pub fn volume(&self, part: Part, width: Mm, thickness: Mm, length: Mm) -> Mm3 {
        let spine = (thickness, thickness * self.tip);
        match part {
            Part::Bolster => width * thickness * length,
            Part::Tang => {
                let (across, through) = self.tang_end;
                let end = (width * across, thickness * through);
                taper(length, (width, thickness), end).unwrap_or(Mm3::ZERO)
            }
            Part::Blade => edged(length, width, spine, Mm::ZERO, 0.0),
            Part::Bevels => edged(length, width, spine, self.edge.min(thickness), self.bevel),
        }
    }

    /// Metal in a part of which every size is known.
    #[must_use]
    pub fn held(&self, part: Part, sizes: &Sizes) -> Option<Mm3> {
        Some(self.volume(part, sizes.width?, sizes.thickness?, sizes.length?))
    }

    /// The sizes with the one that is missing as the metal gives it; as they were where more are missing, or
    /// the metal gives none.
    #[must_use]
    pub fn filled(&self, part: Part, sizes: &Sizes, metal: Mm3) -> Sizes {
        let one = Mm(1.0);
        // Every body grows evenly with its length and width, and with its thickness but for the edge.
        let follows = |at: &dyn Fn(Mm) -> Mm3| {
            let (one, two) = (at(one).0, at(Mm(2.0)).0);
            let each = two - one;
            let size = Mm((metal.0 - one) / each + 1.0);
            (each > 0.0 && size.is_positive() && size.0.is_finite()).then_some(size)
        };
        let mut out = *sizes;
        match (sizes.width, sizes.thickness, sizes.length) {
            (Some(width), Some(thickness), None) => {
                out.length = follows(&|length| self.volume(part, width, thickness, length));
            }
            (None, Some(thickness), Some(length)) => {
                out.width = follows(&|width| self.volume(part, width, thickness, length));
            }
            (Some(width), None, Some(length)) => {
                // Twice the edge and more: there the edge is the same for both.
                let far = self.edge * 2.0 + one;
                let at = |thickness: Mm| self.volume(part, width, thickness * far.0, length);
                out.thickness = follows(&at).map(|thickness| thickness * far.0);
            }
            _ => {}
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shape() -> Shape {
        Shape {
            tang_end: (0.6, 0.75),
            tip: 0.4,
            ..Shape::default()
        }
    }

    #[test]
    fn a_size_that_follows_holds_the_metal() {
        let given = [
            (None, Some(4.0), Some(210.0)),
            (Some(46.0), None, Some(210.0)),
            (Some(46.0), Some(4.0), None),
        ];
        for part in [Part::Bolster, Part::Tang, Part::Blade, Part::Bevels] {
            for (width, thickness, length) in given {
                let sizes = Sizes {
                    width: width.map(Mm),
                    thickness: thickness.map(Mm),
                    length: length.map(Mm),
                };
                let full = shape().filled(part, &sizes, Mm3(30_000.0));
                let held = shape().held(part, &full).unwrap();
                assert!(held.near(Mm3(30_000.0), 1e-9), "{part:?} {full:?}");
            }
        }
    }

    // Slices of a blade by hand: a thousand sections, each a rectangle over a trapezium.
    #[test]
    fn the_forged_blade_is_the_sum_of_its_sections() {
        let (length, height, spine) = (210.0, 46.0, 4.0);
        let slices = 2_000_u32;
        let sum: f64 = (0..slices)
            .map(|at| {
                let x = (f64::from(at) + 0.5) / f64::from(slices);
                let thick = spine * (1.0 - 0.6 * x);
                height * (1.0 - x * x * x) * (thick + FORGED_EDGE.0) / 2.0
            })
            .sum();
        let sum = sum * length / f64::from(slices);
        let held = shape().volume(Part::Bevels, Mm(height), Mm(spine), Mm(length));
        assert!((held.0 / sum - 1.0).abs() < 1e-5, "{held:?} {sum}");
    }

    #[test]
    fn two_sizes_that_are_missing_stay_so() {
        let sizes = Sizes {
            width: Some(Mm(20.0)),
            ..Sizes::default()
        };
        assert_eq!(shape().filled(Part::Tang, &sizes, Mm3(9_000.0)), sizes);
    }
}
