//! Volume of a blade and of the parts that go with it.
//!
//! A solid whose section area is a polynomial of degree three or less along its length has exactly
//! `V = L/6 (A0 + 4 Am + A1)` (the prismatoid formula, that is Simpson's rule; any handbook).
//! Everything else is integrated by hand from the stated shape.

use super::{Law, OutOfRange, Range};
use crate::metal::Mark;
use crate::units::{Fraction, Mm, Mm2, Mm3};

/// The card of this law.
pub const LAW: Law = Law {
    key: "blade-volume",
    title: "blade volume",
    source: "prismatoid formula; integrals of the stated shapes",
    mark: Mark::Computed,
    valid: "sizes to 3000 mm",
};
/// Sizes, mm.
pub const SIZE: Range = Range {
    law: LAW.title,
    name: "size",
    unit: "mm",
    least: 0.0,
    greatest: 3000.0,
};
/// Share of the height that the bevels cover.
pub const BEVEL: Range = Range {
    law: LAW.title,
    name: "bevel share",
    unit: "",
    least: 0.0,
    greatest: 1.0,
};
/// Exponent of the edge curve: 2.5 to 4 for a belly, large for a square end.
pub const CURVE: Range = Range {
    law: LAW.title,
    name: "edge curve",
    unit: "",
    least: 0.5,
    greatest: 1000.0,
};

/// Volume between two end sections and the section half way.
///
/// ```
/// # use anvilside::physics::blade_volume::prismatoid;
/// # use anvilside::units::{Mm, Mm2};
/// let taper = prismatoid(Mm(60.0), Mm2(60.0), Mm2(36.0), Mm2(18.0))?;
/// assert!((taper.0 - 2220.0).abs() < 1e-9);
/// # Ok::<(), anvilside::physics::OutOfRange>(())
/// ```
///
/// # Errors
/// A length outside [`SIZE`] or an area that is no area.
pub fn prismatoid(length: Mm, start: Mm2, middle: Mm2, end: Mm2) -> Result<Mm3, OutOfRange> {
    const AREA: Range = Range {
        law: LAW.title,
        name: "section area",
        unit: "mm2",
        least: 0.0,
        greatest: 1e6,
    };
    SIZE.check(length.0)?;
    for area in [start, middle, end] {
        AREA.check(area.0)?;
    }
    Ok(Mm3(length.0 / 6.0 * (start.0 + 4.0 * middle.0 + end.0)))
}

/// A bar that tapers in both directions, straight, from one rectangle to another.
///
/// ```
/// # use anvilside::physics::blade_volume::taper;
/// # use anvilside::units::Mm;
/// let tang = taper(Mm(90.0), (Mm(16.0), Mm(6.0)), (Mm(8.0), Mm(3.5)))?;
/// assert!((tang.0 - 5280.0).abs() < 1e-9);
/// # Ok::<(), anvilside::physics::OutOfRange>(())
/// ```
///
/// # Errors
/// A size outside [`SIZE`].
pub fn taper(length: Mm, start: (Mm, Mm), end: (Mm, Mm)) -> Result<Mm3, OutOfRange> {
    for size in [start.0, start.1, end.0, end.1] {
        SIZE.check(size.0)?;
    }
    let middle = ((start.0 + end.0) / 2.0) * ((start.1 + end.1) / 2.0);
    prismatoid(length, start.0 * start.1, middle, end.0 * end.1)
}

/// How the sides of the bevel run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bevel {
    /// Straight from the shoulder to the edge.
    Flat,
    /// Bowed out: 4 to 8 % more area, 6 % taken (common practice, no source).
    Convex,
    /// Hollow ground: 5 to 10 % less, 7.5 % taken (common practice, no source).
    Hollow,
}

/// Section area over height times spine: `1 - beta (1 - e/s)/2`, beta the share of the height that the
/// bevels cover (1 is full flat), e the edge, s the spine; then the allowance for a bowed or
/// hollow side.
///
/// ```
/// # use anvilside::physics::blade_volume::{bevel_factor, Bevel};
/// # use anvilside::units::{Fraction, Mm};
/// let full = bevel_factor(Fraction(1.0), Mm(0.3), Mm(3.0), Bevel::Flat)?;
/// assert!((full - 0.55).abs() < 1e-12);
/// # Ok::<(), anvilside::physics::OutOfRange>(())
/// ```
///
/// # Errors
/// A share outside [`BEVEL`], sizes outside [`SIZE`], an edge thicker than the spine.
pub fn bevel_factor(share: Fraction, edge: Mm, spine: Mm, bevel: Bevel) -> Result<f64, OutOfRange> {
    let beta = BEVEL.check(share.0)?;
    SIZE.check(spine.0)?;
    let thinner = Range {
        name: "edge",
        greatest: spine.0,
        ..SIZE
    };
    thinner.check(edge.0)?;
    if !spine.is_positive() {
        return Err(OutOfRange {
            range: Range {
                name: "spine",
                least: 0.1,
                ..SIZE
            },
            value: spine.0,
        });
    }
    let side = match bevel {
        Bevel::Flat => 1.0,
        Bevel::Convex => 1.06,
        Bevel::Hollow => 0.925,
    };
    Ok(side * (1.0 - beta * (1.0 - edge / spine) / 2.0))
}

/// A blade: height falls from the heel as `h (1 - (x/L)^p)`, the spine thins straight to the tip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Blade {
    /// Heel to tip.
    pub length: Mm,
    /// Height at the heel.
    pub height: Mm,
    /// Spine at the heel.
    pub spine: Mm,
    /// Spine at the tip.
    pub tip_spine: Mm,
    /// p, the exponent of the edge curve.
    pub curve: f64,
    /// Section factor, from [`bevel_factor`].
    pub section: f64,
}

impl Blade {
    /// Its volume: `V = L h k [s0 p/(p+1) - (s0 - s1) p/(2 (p+2))]`.
    ///
    /// ```
    /// # use anvilside::physics::blade_volume::Blade;
    /// # use anvilside::units::Mm;
    /// let blade = Blade {
    ///     length: Mm(150.0), height: Mm(30.0), spine: Mm(3.0), tip_spine: Mm(1.2),
    ///     curve: 3.0, section: 0.55,
    /// };
    /// assert!((blade.volume()?.0 - 4232.25).abs() < 0.01);
    /// # Ok::<(), anvilside::physics::OutOfRange>(())
    /// ```
    ///
    /// # Errors
    /// Sizes outside [`SIZE`], a curve outside [`CURVE`], a section factor outside 0 to 1.2.
    pub fn volume(&self) -> Result<Mm3, OutOfRange> {
        for size in [self.length, self.height, self.spine, self.tip_spine] {
            SIZE.check(size.0)?;
        }
        let p = CURVE.check(self.curve)?;
        let section = Range {
            name: "section factor",
            greatest: 1.2,
            ..BEVEL
        }
        .check(self.section)?;
        let (s0, s1) = (self.spine.0, self.tip_spine.0);
        let mean = s0 * p / (p + 1.0) - (s0 - s1) * p / (2.0 * (p + 2.0));
        Ok(Mm3(self.length.0 * self.height.0 * section * mean))
    }
}

/// Volume of a blade whose edge keeps its thickness while the spine thins: heights fall from the heel as
/// `h (1 - (x/L)^3)`, the bevels cover the share `b` of the height, and every section has
/// `s (1 - b/2) + e b/2` of its height:
/// `V = L h [(3/4 s0 - 3/10 (s0 - s1)) (1 - b/2) + 3/8 e b]`. Any size from zero up.
///
/// ```
/// # use anvilside::physics::blade_volume::edged;
/// # use anvilside::units::Mm;
/// let volume = edged(Mm(211.0), Mm(47.0), (Mm(3.8), Mm(2.0)), Mm(1.5), 1.0);
/// assert!((volume.cubic_cm() - 17.03).abs() < 0.01);
/// ```
#[must_use]
pub fn edged(length: Mm, height: Mm, (spine, tip): (Mm, Mm), edge: Mm, bevel: f64) -> Mm3 {
    let half = bevel.clamp(0.0, 1.0) / 2.0;
    let mean = spine.0 * 0.75 - (spine.0 - tip.0) * 0.3;
    Mm3(length.0 * height.0 * (mean * (1.0 - half) + edge.0 * 0.75 * half))
}

/// How far back from its point such a blade holds a volume: `F(1) - F(u) = V / (L h)`, with
/// `F(u) = c u - d u^2/2 + u^4 (d u/5 - c/4)`, `c = s0 (1 - b/2) + e b/2`, `d = (s0 - s1)(1 - b/2)`; by
/// bisection. All of its length where the volume is more than it holds.
///
/// ```
/// # use anvilside::physics::blade_volume::{Edged, back_from_point};
/// # use anvilside::units::{Mm, Mm3};
/// let blade = Edged {
///     length: Mm(150.0), height: Mm(30.0), spine: (Mm(3.0), Mm(1.2)), edge: Mm(0.3), bevel: 1.0,
/// };
/// // By hand from 0.8 of the length on: 150 x 30 x (0.9675 - 0.92202) = 204.65 mm3 in 30 mm.
/// assert!((back_from_point(&blade, Mm3(204.65)).0 - 30.0).abs() < 0.01);
/// ```
#[must_use]
pub fn back_from_point(blade: &Edged, volume: Mm3) -> Mm {
    let half = blade.bevel.clamp(0.0, 1.0) / 2.0;
    let (s0, s1) = (blade.spine.0.0, blade.spine.1.0);
    let c = s0 * (1.0 - half) + blade.edge.0 * half;
    let d = (s0 - s1) * (1.0 - half);
    let part = |u: f64| c * u - d * u * u / 2.0 + u.powi(4) * (d * u / 5.0 - c / 4.0);
    let face = blade.length.0 * blade.height.0;
    let wanted = part(1.0) - volume.0 / face;
    if !face.is_finite() || face <= 0.0 || wanted <= 0.0 {
        return blade.length;
    }
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if part(middle) < wanted {
            low = middle;
        } else {
            high = middle;
        }
    }
    blade.length * (1.0 - low)
}

/// A blade whose edge keeps its thickness while the spine thins, as [`edged`] takes it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Edged {
    /// Heel to point.
    pub length: Mm,
    /// Height at the heel.
    pub height: Mm,
    /// Spine at the heel and at the point.
    pub spine: (Mm, Mm),
    /// Edge.
    pub edge: Mm,
    /// Share of the height that the bevels cover.
    pub bevel: f64,
}

/// Shape of a bolster seen from the end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bolster {
    /// Oval.
    Ellipse,
    /// Eight-sided: a regular octagon stretched to width and thickness.
    Octagon,
    /// Rectangle.
    Block,
}

impl Bolster {
    /// Area over width times thickness: pi/4, 2 (sqrt 2 - 1), 1.
    #[must_use]
    pub fn fill(self) -> f64 {
        match self {
            Self::Ellipse => std::f64::consts::FRAC_PI_4,
            Self::Octagon => 2.0 * (std::f64::consts::SQRT_2 - 1.0),
            Self::Block => 1.0,
        }
    }

    /// Its volume.
    ///
    /// ```
    /// # use anvilside::physics::blade_volume::Bolster;
    /// # use anvilside::units::Mm;
    /// let volume = Bolster::Ellipse.volume(Mm(26.0), Mm(18.0), Mm(14.0))?;
    /// assert!((volume.0 - 5146.0).abs() < 0.1);
    /// # Ok::<(), anvilside::physics::OutOfRange>(())
    /// ```
    ///
    /// # Errors
    /// A size outside [`SIZE`].
    pub fn volume(self, width: Mm, thickness: Mm, length: Mm) -> Result<Mm3, OutOfRange> {
        for size in [width, thickness, length] {
            SIZE.check(size.0)?;
        }
        Ok(width * thickness * length * self.fill())
    }
}

#[cfg(test)]
mod tests {
    use super::{Bevel, Blade, Bolster, Edged, back_from_point, bevel_factor, taper};
    use crate::units::{Density, Fraction, Mm, Mm3};

    #[test]
    fn the_closed_form_is_the_integral() {
        let blade = Blade {
            length: Mm(180.0),
            height: Mm(32.0),
            spine: Mm(4.0),
            tip_spine: Mm(1.0),
            curve: 2.5,
            section: 0.6,
        };
        let steps = 20_000_u32;
        let mut sum = 0.0;
        for i in 0..steps {
            let x = (f64::from(i) + 0.5) / f64::from(steps);
            sum += 32.0 * (1.0 - x.powf(2.5)) * (4.0 - 3.0 * x) * 0.6 * 180.0 / f64::from(steps);
        }
        assert!((blade.volume().unwrap().0 / sum - 1.0).abs() < 1e-6);
    }

    // Slices added up from the point until they hold the volume.
    #[test]
    fn metal_at_the_point_reaches_as_far_back_as_its_slices_say() {
        let blade = Edged {
            length: Mm(210.0),
            height: Mm(46.0),
            spine: (Mm(4.0), Mm(1.6)),
            edge: Mm(1.5),
            bevel: 0.8,
        };
        for volume in [50.0, 700.0, 4_000.0] {
            let slice = 210.0 / 100_000.0;
            let (mut sum, mut back) = (0.0, 0.0);
            while sum < volume {
                back += slice;
                let u: f64 = 1.0 - (back - 0.5 * slice) / 210.0;
                let spine = 4.0 - 2.4 * u;
                let high = 46.0 * (1.0 - u * u * u);
                sum += slice * high * (0.2 * spine + 0.8 * (spine + 1.5) / 2.0);
            }
            let found = back_from_point(&blade, Mm3(volume)).0;
            assert!((found - back).abs() < 0.02, "{volume}: {found} {back}");
        }
        assert_eq!(back_from_point(&blade, Mm3(1e9)), Mm(210.0));
    }

    #[test]
    fn a_whole_integral_knife() {
        let blade = Blade {
            length: Mm(150.0),
            height: Mm(30.0),
            spine: Mm(3.0),
            tip_spine: Mm(1.2),
            curve: 3.0,
            section: 0.55,
        };
        let bolster = Bolster::Ellipse.volume(Mm(26.0), Mm(18.0), Mm(14.0));
        let tang = taper(Mm(90.0), (Mm(16.0), Mm(6.0)), (Mm(8.0), Mm(3.5)));
        let all = blade.volume().unwrap() + bolster.unwrap() + tang.unwrap() + Mm3(2285.0);
        assert!((all.0 - 16_942.8).abs() < 1.0);
        assert!((all.mass(Density(7.85)).0 - 133.0).abs() < 0.1);
    }

    #[test]
    fn part_bevels_keep_more_metal() {
        let k = |beta| bevel_factor(Fraction(beta), Mm(0.3), Mm(3.0), Bevel::Flat).unwrap();
        assert!((k(0.6) - 0.73).abs() < 1e-12);
        assert!((k(0.0) - 1.0).abs() < 1e-12);
        let hollow = bevel_factor(Fraction(1.0), Mm(0.3), Mm(3.0), Bevel::Hollow).unwrap();
        let convex = bevel_factor(Fraction(1.0), Mm(0.3), Mm(3.0), Bevel::Convex).unwrap();
        assert!(hollow < k(1.0) && convex > k(1.0));
    }

    #[test]
    fn nonsense_is_refused() {
        assert!(bevel_factor(Fraction(1.0), Mm(4.0), Mm(3.0), Bevel::Flat).is_err());
        assert!(bevel_factor(Fraction(1.0), Mm(0.0), Mm(0.0), Bevel::Flat).is_err());
        assert!(bevel_factor(Fraction(1.5), Mm(0.3), Mm(3.0), Bevel::Flat).is_err());
        assert!(
            Bolster::Octagon
                .volume(Mm(f64::NAN), Mm(1.0), Mm(1.0))
                .is_err()
        );
    }
}
