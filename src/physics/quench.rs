//! How thick a piece hardens to the middle in a real quench.
//!
//! Grossmann's severity `H` in 1/inch is the film over twice the conductivity. Two pieces harden
//! alike when their centres take the same time to lose half of the first temperature difference;
//! with `Fo` of that half ([`super::conduction`]), ideal diameter `DI` of a round bar and plate `s`:
//!
//! `Fo_plate(Bi = H s) (s/2)^2 = 0.20052 (DI/2)^2`
//!
//! (Grossmann's criterion, Trans. AIME 150 (1942) 227, from memory; the severities too.) "Hardened"
//! is half martensite at the centre: a blade wants more, so take the low end. Valid for `DI` of 0.1
//! to 10 in and `H` of 0.01 to 20; else an error.

use std::sync::LazyLock;

use super::conduction::{Shape, centre, fourier_at_centre};
use super::{Law, OutOfRange, Range, Spread};
use crate::metal::Mark;
use crate::units::Mm;

/// The card of this law.
pub const LAW: Law = Law {
    key: "quench",
    title: "thickness that hardens in a quench",
    source: "Grossmann's half-temperature criterion and severities (handbooks)",
    mark: Mark::FromMemory,
    valid: "DI 0.1 to 10 in, H 0.01 to 20 per inch; else an error",
};

const IDEAL: Range = Range {
    law: "quench severity",
    name: "ideal diameter",
    unit: "in",
    least: 0.1,
    greatest: 10.0,
};
const SEVERITY: Range = Range {
    law: "quench severity",
    name: "severity",
    unit: "per inch",
    least: 0.01,
    greatest: 20.0,
};

/// Quenches by kind; [`Quench::severity`] gives the usual band.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quench {
    /// Still air.
    Air,
    /// Plain or medium oil, hardly moved.
    SlowOil,
    /// Medium oil, the blade moved in it.
    Oil,
    /// Fast quenching oil, the blade moved in it.
    FastOil,
    /// Water, the blade moved in it.
    Water,
    /// Brine, the blade moved in it.
    Brine,
}

impl Quench {
    /// Every kind, mildest first.
    pub const ALL: [Self; 6] = [
        Self::Air,
        Self::SlowOil,
        Self::Oil,
        Self::FastOil,
        Self::Water,
        Self::Brine,
    ];

    /// The name as it reads in a sentence.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Air => "still air",
            Self::SlowOil => "slow oil",
            Self::Oil => "oil",
            Self::FastOil => "fast oil",
            Self::Water => "water",
            Self::Brine => "brine",
        }
    }

    /// Severity `H`, 1/inch.
    #[must_use]
    pub const fn severity(self) -> Spread {
        let (low, best, high) = match self {
            Self::Air => (0.015, 0.02, 0.025),
            Self::SlowOil => (0.25, 0.28, 0.35),
            Self::Oil => (0.35, 0.40, 0.50),
            Self::FastOil => (0.45, 0.50, 0.70),
            Self::Water => (1.0, 1.2, 1.6),
            Self::Brine => (2.0, 2.1, 5.0),
        };
        Spread { low, best, high }
    }
}

/// The thickest plate whose centre hardens.
///
/// ```
/// # use anvilside::{physics::quench::plate, units::Mm};
/// assert!(plate(1.427, 0.25).is_ok_and(|s| s.near(Mm(3.66), 0.01)));
/// ```
///
/// # Errors
/// An ideal diameter (in) or a severity (1/in) outside the range.
pub fn plate(ideal_inch: f64, severity: f64) -> Result<Mm, OutOfRange> {
    let ideal = IDEAL.check(ideal_inch)?;
    let h = SEVERITY.check(severity)?;
    let target = *IDEAL_HALF * (ideal / 2.0).powi(2);
    // What the centre keeps over a half when the ideal bar's centre keeps a half: rises with size.
    let over = |size: f64| centre(Shape::Plate, h * size, target / (size / 2.0).powi(2)) - 0.5;
    let (mut low, mut high) = (ideal * 1e-3, ideal);
    let (mut under, mut above) = (over(low), over(high));
    if above <= 0.0 {
        return Ok(Mm::from_inch(ideal));
    }
    // The false position; the weight of an end that stays twice is halved (Illinois).
    let mut last = 0.0;
    for _ in 0..60 {
        let size = (low * above - high * under) / (above - under);
        let found = over(size);
        if found < 0.0 {
            (low, under) = (size, found);
            above /= if last < 0.0 { 2.0 } else { 1.0 };
        } else {
            (high, above) = (size, found);
            under /= if last > 0.0 { 2.0 } else { 1.0 };
        }
        last = found;
        if found.abs() < 1e-9 {
            return Ok(Mm::from_inch(size));
        }
    }
    Ok(Mm::from_inch(f64::midpoint(low, high)))
}

/// The thickest plate that hardens, mm, with the bands of steel and quench together.
///
/// # Errors
/// As [`plate`].
pub fn plate_mm(ideal_inch: Spread, quench: Quench) -> Result<Spread, OutOfRange> {
    let severity = quench.severity();
    Ok(Spread {
        low: plate(ideal_inch.low, severity.low)?.0,
        best: plate(ideal_inch.best, severity.best)?.0,
        high: plate(ideal_inch.high, severity.high)?.0,
    })
}

/// `Fo` at which the centre of a round bar in a perfect quench has lost half of its heat.
static IDEAL_HALF: LazyLock<f64> =
    LazyLock::new(|| fourier_at_centre(Shape::Round, f64::INFINITY, 0.5));

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_harder_quench_hardens_thicker() {
        let ideal = Spread {
            low: 1.1,
            best: 1.238,
            high: 1.36,
        };
        let mut before = 0.0;
        for quench in Quench::ALL {
            let plate = plate_mm(ideal, quench).unwrap();
            assert!(plate.best > before && plate.low < plate.best && plate.best < plate.high);
            before = plate.best;
        }
        assert!(plate(0.0, 1.0).is_err() && plate(1.0, f64::NAN).is_err());
    }
}
