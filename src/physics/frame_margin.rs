//! How much plain metal a frame leaves between the pattern and the edge.
//!
//! Worked out from areas, no published source. Plain bars above and below a core, stack direction
//! along the height of the blade; the edge-side share of the stack is `phi`. Forged bevels keep the
//! plain area, so the seam moves up from the edge to `m` with `te m + (ts - te) m^2 / 2h = phi h (ts + te)/2`;
//! bevels that are only ground leave it at `phi h`. Layers across the thickness: a layer at depth d
//! below the flat comes out on a bevel at `y = hb (ts - 2 d - te)/(ts - te)` from the edge.

use super::{Law, OutOfRange, Range};
use crate::metal::Mark;
use crate::units::{Fraction, Mm};

/// The card of this law.
pub const LAW: Law = Law {
    key: "frame-margin",
    title: "the frame's margin",
    source: "areas and straight lines, worked out here",
    mark: Mark::Computed,
    valid: "straight-sided sections",
};
/// Sizes, mm.
pub const SIZE: Range = Range {
    law: LAW.title,
    name: "size",
    unit: "mm",
    least: 0.0,
    greatest: 500.0,
};
/// Share of the stack.
pub const SHARE: Range = Range {
    law: LAW.title,
    name: "share of the stack",
    unit: "",
    least: 0.0,
    greatest: 1.0,
};

/// The section of a blade: straight sides from spine to edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wedge {
    /// Edge to spine.
    pub height: Mm,
    /// Thickness of the spine.
    pub spine: Mm,
    /// Thickness of the edge before sharpening.
    pub edge: Mm,
}

/// Plain metal at the edge, both ways of making the bevels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Margin {
    /// When the bevels are forged.
    pub forged: Mm,
    /// When they are only ground.
    pub ground: Mm,
}

impl Wedge {
    fn check(&self) -> Result<(), OutOfRange> {
        for size in [self.height, self.spine, self.edge] {
            SIZE.check(size.0)?;
        }
        let tapered = Range {
            name: "edge thickness",
            greatest: self.spine.0 - 1e-6,
            ..SIZE
        };
        tapered.check(self.edge.0)?;
        let tall = Range {
            name: "height",
            least: 0.1,
            ..SIZE
        };
        tall.check(self.height.0)?;
        Ok(())
    }

    /// Margin for an edge-side share of the stack.
    ///
    /// ```
    /// # use anvilside::physics::frame_margin::Wedge;
    /// # use anvilside::units::{Fraction, Mm};
    /// let blade = Wedge { height: Mm(30.0), spine: Mm(3.5), edge: Mm(0.4) };
    /// let margin = blade.margin(Fraction(0.12))?;
    /// assert!((margin.forged.0 - 8.41).abs() < 0.01);
    /// assert!((margin.ground.0 - 3.60).abs() < 0.01);
    /// # Ok::<(), anvilside::physics::OutOfRange>(())
    /// ```
    ///
    /// # Errors
    /// Sizes outside [`SIZE`], an edge not thinner than the spine, a share outside [`SHARE`].
    pub fn margin(&self, share: Fraction) -> Result<Margin, OutOfRange> {
        self.check()?;
        let phi = SHARE.check(share.0)?;
        let (h, ts, te) = (self.height.0, self.spine.0, self.edge.0);
        let area = phi * h * (ts + te) / 2.0;
        let root = (te * te + 2.0 * (ts - te) * area / h).sqrt();
        Ok(Margin {
            forged: Mm(h * (root - te) / (ts - te)),
            ground: Mm(phi * h),
        })
    }

    /// The two lines of a core of thickness `core` that sits `off` the middle: on the face it has
    /// moved towards and on the other, from the edge; `None` for the second when the edge has
    /// left the core.
    ///
    /// # Errors
    /// Sizes outside [`SIZE`], an edge not thinner than the spine.
    pub fn core_lines(&self, core: Mm, off: Mm) -> Result<CoreLines, OutOfRange> {
        self.check()?;
        let c = SIZE.check(core.0)?;
        let off = SIZE.check(off.0.abs())?;
        let (h, ts, te) = (self.height.0, self.spine.0, self.edge.0);
        let at = |inside: f64| Mm((h * (inside - te) / (ts - te)).clamp(0.0, h));
        Ok(CoreLines {
            near: at(c + 2.0 * off),
            far: at(c - 2.0 * off),
            greatest_off: Mm(((c - te) / 2.0).max(0.0)),
            edge_in_core: off < (c - te) / 2.0,
        })
    }

    /// The two lines of a core where the bevels are forged before `ground` is taken off each face: in the
    /// forging every layer keeps its share of the thickness. This wedge is the finished one; the core and how
    /// far it sits off the middle are shares of the bar's thickness. `greatest_off` is told at the forged
    /// edge.
    ///
    /// With `c` the core's share, `o` the share it is off and `k = (ts - te)/h`, the forged wedge is
    /// `te + 2 g + k y` thick where the finished one is `te + k y`, so the line stands at
    /// `y = ((c +- 2 o)(te + 2 g) - te) / (k (1 - (c +- 2 o)))`. Own derivation.
    ///
    /// ```
    /// # use anvilside::physics::frame_margin::Wedge;
    /// # use anvilside::units::{Fraction, Mm};
    /// // By hand: a core of 5/21 of the bar, spine 3.5, edge 0.3, forged 6 mm: 2.8 mm at the edge.
    /// let blade = Wedge { height: Mm(42.0), spine: Mm(3.5), edge: Mm(0.3) };
    /// let lines = blade.core_lines_forged(Mm(1.25), Fraction(5.0 / 21.0), Fraction(0.0))?;
    /// assert!(lines.near.near(Mm(6.316), 1e-3) && lines.far.near(lines.near, 1e-9));
    /// # Ok::<(), anvilside::physics::OutOfRange>(())
    /// ```
    ///
    /// # Errors
    /// Sizes outside [`SIZE`], an edge not thinner than the spine, shares outside [`SHARE`].
    pub fn core_lines_forged(
        &self,
        ground: Mm,
        core: Fraction,
        off: Fraction,
    ) -> Result<CoreLines, OutOfRange> {
        self.check()?;
        let c = SHARE.check(core.0)?;
        let off = SHARE.check(off.0.abs())?;
        let (h, ts, te) = (self.height.0, self.spine.0, self.edge.0);
        let forged = te + 2.0 * SIZE.check(ground.0)?;
        let k = (ts - te) / h;
        let at = |share: f64| {
            let rest = (1.0 - share).max(1e-9);
            Mm(((share * forged - te) / (k * rest)).clamp(0.0, h))
        };
        let greatest = 0.5 * (c * forged - te);
        Ok(CoreLines {
            near: at(c + 2.0 * off),
            far: at(c - 2.0 * off),
            greatest_off: Mm(greatest.max(0.0)),
            edge_in_core: off * forged < greatest,
        })
    }

    /// How far the core sits off the middle, from the heights of its two lines: positive towards
    /// the face whose line is `first`. To recentre, take metal from the face with the low line.
    ///
    /// # Errors
    /// Sizes outside [`SIZE`], an edge not thinner than the spine.
    pub fn off_centre(&self, first: Mm, second: Mm) -> Result<Mm, OutOfRange> {
        self.check()?;
        let (y1, y2) = (SIZE.check(first.0)?, SIZE.check(second.0)?);
        let (h, ts, te) = (self.height.0, self.spine.0, self.edge.0);
        Ok(Mm((y1 - y2) * (ts - te) / (4.0 * h)))
    }
}

/// Where a plain core comes out on the two bevels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoreLines {
    /// On the face that the core has moved towards.
    pub near: Mm,
    /// On the other face.
    pub far: Mm,
    /// How far the core may sit off the middle with the edge still in it.
    pub greatest_off: Mm,
    /// True while the edge is in the core.
    pub edge_in_core: bool,
}

/// What can eat into a margin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unsure {
    /// Off the edge by grinding and sharpening; about 1 mm (common practice, no source).
    pub ground_off: Mm,
    /// One standard deviation of the core's place along the height.
    pub off_centre: Mm,
    /// One standard deviation of the waviness of the seam on the face.
    pub wave: Mm,
}

/// Chance that the pattern comes nearer than `least` to the edge: the normal distribution of the
/// margin left.
///
/// ```
/// # use anvilside::physics::frame_margin::{chance_nearer, Unsure};
/// # use anvilside::units::Mm;
/// let unsure = Unsure { ground_off: Mm(1.0), off_centre: Mm(1.0), wave: Mm(0.4) };
/// assert!((chance_nearer(Mm(7.78), Mm(4.0), unsure).0 - 0.0049).abs() < 3e-4);
/// ```
#[must_use]
pub fn chance_nearer(margin: Mm, least: Mm, unsure: Unsure) -> Fraction {
    let left = margin - unsure.ground_off;
    let sd = unsure.off_centre.0.hypot(unsure.wave.0);
    if sd <= 0.0 {
        return Fraction(if least.0 > left.0 { 1.0 } else { 0.0 });
    }
    let z = (least.0 - left.0) / sd;
    Fraction(0.5 * super::erf::erfc(-z / std::f64::consts::SQRT_2))
}

#[cfg(test)]
mod tests {
    use super::{Unsure, Wedge, chance_nearer};
    use crate::units::{Fraction, Mm};

    const BLADE: Wedge = Wedge {
        height: Mm(32.0),
        spine: Mm(4.0),
        edge: Mm(0.6),
    };

    #[test]
    fn a_sharp_wedge_is_height_times_root_share() {
        let sharp = Wedge {
            height: Mm(30.0),
            spine: Mm(3.5),
            edge: Mm(0.0),
        };
        let margin = sharp.margin(Fraction(0.12)).unwrap();
        assert!((margin.forged.0 - 30.0 * 0.12_f64.sqrt()).abs() < 1e-9);
        assert!((margin.ground.0 - 3.6).abs() < 1e-9);
    }

    #[test]
    fn core_lines_measure_how_far_the_core_is_off() {
        let bevel = Wedge {
            height: Mm(28.0),
            spine: Mm(3.5),
            edge: Mm(0.3),
        };
        let centred = bevel.core_lines(Mm(1.0), Mm(0.0)).unwrap();
        assert!((centred.near.0 - 6.125).abs() < 1e-9 && (centred.far.0 - 6.125).abs() < 1e-9);
        let moved = bevel.core_lines(Mm(1.0), Mm(0.2)).unwrap();
        assert!((moved.near.0 - 9.625).abs() < 1e-9 && (moved.far.0 - 2.625).abs() < 1e-9);
        assert!(moved.edge_in_core && moved.greatest_off.near(Mm(0.35), 1e-9));
        let off = bevel.off_centre(moved.near, moved.far).unwrap();
        assert!((off.0 - 0.2).abs() < 1e-9);
        assert!(!bevel.core_lines(Mm(1.0), Mm(0.4)).unwrap().edge_in_core);
    }

    // With nothing ground off, layers keep their share to the edge: one line for the whole height, none
    // within; and near the bar's own thickness the forged law comes to the ground one.
    #[test]
    fn a_core_in_forged_bevels_lies_lower_than_in_ground_ones() {
        let blade = Wedge {
            height: Mm(42.0),
            spine: Mm(3.5),
            edge: Mm(0.3),
        };
        let of = |off: f64| {
            let (core, off) = (Fraction(5.0 / 21.0), Fraction(off / 7.0));
            blade.core_lines_forged(Mm(1.25), core, off).unwrap()
        };
        let ground = blade.core_lines(Mm(5.0 / 3.0), Mm(0.0)).unwrap();
        let centred = of(0.0);
        assert!(centred.near < ground.near * 0.5 && centred.edge_in_core);
        let moved = of(0.3);
        assert!(moved.near > centred.near && moved.far < centred.far && moved.edge_in_core);
        assert!(!of(0.5).edge_in_core);
        let flat = blade
            .core_lines_forged(Mm(0.0), Fraction(5.0 / 21.0), Fraction(0.0))
            .unwrap();
        assert!(flat.near.0 <= 0.0 && !flat.edge_in_core);
    }

    #[test]
    fn certainty_and_nonsense() {
        let sure = Unsure {
            ground_off: Mm(1.0),
            off_centre: Mm(0.0),
            wave: Mm(0.0),
        };
        assert!(chance_nearer(Mm(6.0), Mm(4.0), sure).0.abs() < 1e-12);
        assert!((chance_nearer(Mm(4.5), Mm(4.0), sure).0 - 1.0).abs() < 1e-12);
        let blunt = Wedge {
            edge: Mm(4.0),
            ..BLADE
        };
        assert!(blunt.margin(Fraction(0.1)).is_err());
        assert!(BLADE.margin(Fraction(1.2)).is_err());
    }
}
