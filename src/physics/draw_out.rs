//! Spread against elongation when a bar is drawn out between flat dies.
//!
//! A. Tomlinson, J. D. Stringer, J. Iron Steel Inst. 193 (1959) 157, confirmed in form by
//! J. G. Wistreich, A. Shutt, the same volume, 163 (both from memory):
//! `s = ln(w1/w0) / ln(h0/h1) = 0.14 + 0.36 (b/w0) - 0.054 (b/w0)^2`,
//! with b the bite along the bar, w the width and h the height. `w1 = w0 q^s`, `L1 = L0 q^(1-s)` for
//! a squeeze `q = h0/h1`, so the volume is kept whatever s is. A narrow die gives length, a wide
//! one width.

use super::{Law, OutOfRange, Range, Spread};
use crate::metal::Mark;
use crate::units::{Mm, Mm3};

/// The card of this law.
pub const LAW: Law = Law {
    key: "draw-out",
    title: "drawing out",
    source: "A. Tomlinson, J. D. Stringer, J. Iron Steel Inst. 193 (1959) 157",
    mark: Mark::FromMemory,
    valid: "hot steel bars between flat dies; held beyond a bite of three widths",
};
/// A side, bite or length of the bar, mm.
pub const SIZE: Range = Range {
    law: LAW.title,
    name: "size",
    unit: "mm",
    least: 0.5,
    greatest: 20_000.0,
};
/// Squeeze of one pass, before over after.
pub const SQUEEZE: Range = Range {
    law: LAW.title,
    name: "squeeze",
    unit: "",
    least: 1.0,
    greatest: 4.0,
};
/// The parabola turns over just beyond; the coefficient is held from here on.
const WIDEST_BITE: f64 = 3.0;
/// Part by which a shop's own coefficient differs from the book's until it is learnt: one quarter,
/// common practice, no source.
const TRUST: f64 = 0.25;

/// A bar of rectangular section, cold or hot as long as all sizes are the same.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bar {
    /// Between the dies.
    pub height: Mm,
    /// Across the dies.
    pub width: Mm,
    /// Along the bar.
    pub length: Mm,
}

impl Bar {
    /// Height, width and length in millimetres.
    #[must_use]
    pub const fn new(height: f64, width: f64, length: f64) -> Self {
        Self {
            height: Mm(height),
            width: Mm(width),
            length: Mm(length),
        }
    }

    /// Volume.
    #[must_use]
    pub fn volume(&self) -> Mm3 {
        self.height * self.width * self.length
    }

    /// The same bar turned a quarter on its length.
    #[must_use]
    pub fn turned(self) -> Self {
        Self {
            height: self.width,
            width: self.height,
            ..self
        }
    }

    fn check(&self) -> Result<(), OutOfRange> {
        for size in [self.height, self.width, self.length] {
            SIZE.check(size.0)?;
        }
        Ok(())
    }
}

/// Spread coefficient s, dimensionless, from 0 (all length) to 1 (all width), with a band of a
/// quarter either way for a shop that has not yet measured its own.
///
/// ```
/// # use anvilside::physics::spread_coefficient;
/// # use anvilside::units::Mm;
/// let s = spread_coefficient(Mm(25.0), Mm(50.0))?;
/// assert!((s.best - 0.3065).abs() < 1e-4);
/// # Ok::<(), anvilside::physics::OutOfRange>(())
/// ```
///
/// # Errors
/// A size outside [`SIZE`].
pub fn spread_coefficient(bite: Mm, width: Mm) -> Result<Spread, OutOfRange> {
    SIZE.check(bite.0)?;
    SIZE.check(width.0)?;
    Ok(Spread::around(coefficient(bite.0 / width.0), TRUST).map(|s| s.min(1.0)))
}

/// The fitted parabola, held beyond a bite of three widths.
pub(crate) fn coefficient(bite_over_width: f64) -> f64 {
    let r = bite_over_width.min(WIDEST_BITE);
    0.14 + 0.36 * r - 0.054 * r * r
}

/// One pass on the flat along the whole bar down to `height`.
///
/// ```
/// # use anvilside::physics::{flat_pass, Bar};
/// # use anvilside::units::Mm;
/// let after = flat_pass(Bar::new(50.0, 50.0, 200.0), Mm(40.0), Mm(25.0))?;
/// assert!((after.width.0 - 53.539).abs() < 0.01);
/// assert!((after.length.0 - 233.473).abs() < 0.01);
/// # Ok::<(), anvilside::physics::OutOfRange>(())
/// ```
///
/// # Errors
/// A size outside [`SIZE`], or a squeeze outside [`SQUEEZE`].
pub fn flat_pass(bar: Bar, height: Mm, bite: Mm) -> Result<Bar, OutOfRange> {
    bar.check()?;
    SIZE.check(height.0)?;
    let q = SQUEEZE.check(bar.height / height)?;
    let s = spread_coefficient(bite, bar.width)?.best;
    Ok(Bar {
        height,
        width: bar.width * q.powf(s),
        length: bar.length * q.powf(1.0 - s),
    })
}

/// The most that a bar gets wide when it is drawn from one height to another, however many passes that takes: by the
/// high end of the coefficient, and of the width it begins with, for wider it spreads less.
///
/// ```
/// # use anvilside::physics::draw_out::widest;
/// # use anvilside::units::Mm;
/// let most = widest(Mm(14.0), Mm(14.0), Mm(5.5), Mm(25.0))?;
/// assert!((most.0 - 28.57).abs() < 0.01);
/// # Ok::<(), anvilside::physics::OutOfRange>(())
/// ```
///
/// # Errors
/// A size outside [`SIZE`].
pub fn widest(width: Mm, from: Mm, to: Mm, bite: Mm) -> Result<Mm, OutOfRange> {
    SIZE.check(from.0)?;
    SIZE.check(to.0)?;
    let s = spread_coefficient(bite, width)?.high;
    Ok(width * (from / to).max(1.0).powf(s))
}

/// Bites of one pass along a length, the last one short.
#[must_use]
pub fn bites(length: Mm, bite: Mm) -> f64 {
    if bite.is_positive() && length.is_positive() {
        (length / bite - 1e-9).ceil()
    } else {
        0.0
    }
}

#[cfg(test)]
mod tests {
    use super::{Bar, flat_pass, spread_coefficient};
    use crate::units::Mm;

    #[test]
    fn volume_is_kept_by_every_pass() {
        let mut bar = Bar::new(50.0, 50.0, 200.0);
        for _ in 0..5 {
            bar = flat_pass(bar, bar.height / 1.25, Mm(25.0)).unwrap();
            assert!((bar.volume().0 - 500_000.0).abs() < 1e-6);
        }
    }

    #[test]
    fn a_wider_die_spreads_more_and_never_past_one() {
        let mut last = 0.0;
        for bite in [5.0, 10.0, 25.0, 40.0, 80.0, 120.0] {
            let s = spread_coefficient(Mm(bite), Mm(40.0)).unwrap();
            assert!(s.best > last && s.high <= 1.0);
            last = s.best;
        }
        let held = spread_coefficient(Mm(400.0), Mm(40.0)).unwrap();
        assert!((held.best - 0.734).abs() < 1e-9);
    }

    #[test]
    fn a_pass_that_thickens_is_refused() {
        let error = flat_pass(Bar::new(40.0, 40.0, 100.0), Mm(50.0), Mm(25.0)).unwrap_err();
        assert_eq!(
            error.to_string(),
            "squeeze 0.8 is outside 1 to 4, where drawing out holds"
        );
        assert!(flat_pass(Bar::new(40.0, 40.0, 0.0), Mm(30.0), Mm(25.0)).is_err());
    }
}
