//! What the fire eats off the outside of a bar while it is worked.

use crate::units::Mm;

/// What comes off each of two facing sides, in the bar's cold sizes before the work.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Skin {
    /// Off the edge, and as much off the spine.
    pub across: Mm,
    /// Off the top, and as much off the bottom.
    pub through: Mm,
}

impl Skin {
    /// A share of the metal lost while a bar of one width and thickness is brought to another.
    ///
    /// At every moment a skin of one depth leaves all four sides, so that a side gives metal by its
    /// area: a size `s` loses the part `2 u / s` to a depth `u`. With the size going evenly in the
    /// logarithm from `s0` to `s1`, the mean of `1/s` over the work is
    /// `m = (1/s1 - 1/s0) / ln(s0/s1)`, and what is kept of width and thickness is
    /// `exp(-k m)` each, their product being what is kept of the metal. Own derivation; steels of
    /// forging grades scale alike within what is known of them ([`crate::physics::scale`]), so no side
    /// goes faster than another. The two ends lose as deep, under a tenth of the whole: the trim takes
    /// them, and the share is all laid to the sides.
    ///
    /// ```
    /// # use anvilside::billet::Skin;
    /// # use anvilside::units::Mm;
    /// // Undeformed, the same depth all round: 1 - 0.98 x 0.96 = 5.92 % of 20 x 10 is 0.2 mm a side.
    /// let skin = Skin::over([Mm(20.0), Mm(10.0)], [Mm(20.0), Mm(10.0)], 0.0592);
    /// assert!(skin.across.near(Mm(0.2), 4e-3) && skin.through.near(Mm(0.2), 4e-3));
    /// ```
    #[must_use]
    pub fn over(from: [Mm; 2], to: [Mm; 2], share: f64) -> Self {
        if !(share > 0.0 && share < 1.0) {
            return Self::default();
        }
        let ([w0, t0], [w1, t1]) = (from, to);
        let (wide, thick) = (mean_inverse(w0.0, w1.0), mean_inverse(t0.0, t1.0));
        let off = |size: Mm, part: f64| {
            let kept = (1.0 - share).powf(part / (wide + thick));
            if kept.is_finite() {
                size * (0.5 * (1.0 - kept))
            } else {
                Mm::ZERO
            }
        };
        Self {
            across: off(w0, wide),
            through: off(t0, thick),
        }
    }

    /// A bar's `[width, thickness, length]` without the skin.
    #[must_use]
    pub fn inside(self, [width, thickness, length]: [Mm; 3]) -> [Mm; 3] {
        [
            width - self.across * 2.0,
            thickness - self.through * 2.0,
            length,
        ]
    }
}

/// Mean of one over a size that goes evenly in the logarithm from one to another.
fn mean_inverse(from: f64, to: f64) -> f64 {
    let log = (from / to).ln();
    if log.abs() < 1e-9 {
        1.0 / from
    } else {
        log.exp_m1() / (log * from)
    }
}
