//! Specific heat, conductivity and enthalpy of carbon steel.
//!
//! EN 1993-1-2:2005, 3.4.1.2 and 3.4.1.3, temperature `T` in C:
//!
//! - (3.2a) 20 to 600 C: `c = 425 + 0.773 T - 1.69e-3 T^2 + 2.22e-6 T^3` J/kg/K
//! - (3.2b) 600 to 735 C: `c = 666 + 13002/(738 - T)`
//! - (3.2c) 735 to 900 C: `c = 545 + 17820/(T - 731)`
//! - (3.2d) 900 to 1200 C: `c = 650`
//! - (3.3a) 20 to 800 C: `k = 54 - 3.33e-2 T` W/m/K; (3.3b) 800 to 1200 C: `k = 27.3`
//!
//! The peak at 735 C carries the heat of the change from pearlite to austenite. Valid from 20 to
//! 1200 C for structural steel; used for every forging steel, whose own figures differ by a few
//! percent. Above 1200 C the last value is carried on to 1400 C; outside 0 to 1400 C the
//! temperature is clamped.

use super::Law;
use crate::metal::Mark;
use crate::units::Celsius;

/// The card of this law.
pub const LAW: Law = Law {
    key: "properties",
    title: "specific heat, conductivity and enthalpy of steel",
    source: "EN 1993-1-2:2005 3.4.1.2 and 3.4.1.3",
    mark: Mark::Seen,
    valid: "20 to 1200 C; carried on to 1400 C, clamped outside 0 to 1400 C",
};

/// Density of steel in these laws, kg/m3 (EN 1993-1-2:2005, 3.2.2).
pub const DENSITY_KG_M3: f64 = 7850.0;

/// Specific heat, J/kg/K.
///
/// ```
/// # use anvilside::{physics::properties::specific_heat, units::Celsius};
/// assert!((specific_heat(Celsius(500.0)) - 666.5).abs() < 0.1);
/// assert!((specific_heat(Celsius(735.0)) - 5000.0).abs() < 0.1);
/// ```
#[must_use]
pub fn specific_heat(at: Celsius) -> f64 {
    let t = clamped(at);
    if t < 600.0 {
        425.0 + 0.773 * t - 1.69e-3 * t * t + 2.22e-6 * t.powi(3)
    } else if t < 735.0 {
        666.0 + 13_002.0 / (738.0 - t)
    } else if t < 900.0 {
        545.0 + 17_820.0 / (t - 731.0)
    } else {
        650.0
    }
}

/// Conductivity, W/m/K.
#[must_use]
pub fn conductivity(at: Celsius) -> f64 {
    let t = clamped(at);
    if t < 800.0 { 54.0 - 3.33e-2 * t } else { 27.3 }
}

/// Heat in the steel above 20 C, J/kg: the exact integral of [`specific_heat`].
///
/// ```
/// # use anvilside::{physics::properties::enthalpy, units::Celsius};
/// assert!((enthalpy(Celsius(1200.0)) / 1000.0 - 827.06).abs() < 0.05);
/// ```
#[must_use]
pub fn enthalpy(at: Celsius) -> f64 {
    let t = clamped(at);
    let low = |t: f64| {
        425.0 * t + 0.773 / 2.0 * t * t - 1.69e-3 / 3.0 * t.powi(3) + 2.22e-6 / 4.0 * t.powi(4)
    };
    let rising = |t: f64| 666.0 * t - 13_002.0 * (738.0 - t).ln();
    let falling = |t: f64| 545.0 * t + 17_820.0 * (t - 731.0).ln();
    let part = |integral: &dyn Fn(f64) -> f64, from: f64, to: f64| {
        if t > from {
            integral(t.min(to)) - integral(from)
        } else {
            0.0
        }
    };
    let first = low(t.min(600.0)) - low(20.0);
    first
        + part(&rising, 600.0, 735.0)
        + part(&falling, 735.0, 900.0)
        + part(&|t| 650.0 * t, 900.0, 1400.0)
}

/// Conductivity summed over temperature from 0 C, W/m: the exact integral of [`conductivity`].
#[must_use]
pub fn conducted(at: Celsius) -> f64 {
    let t = clamped(at);
    let low = t.min(800.0);
    54.0 * low - 3.33e-2 / 2.0 * low * low + 27.3 * (t - low)
}

fn clamped(at: Celsius) -> f64 {
    if at.0.is_nan() {
        20.0
    } else {
        at.0.clamp(0.0, 1400.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_integrals_are_the_integrals() {
        let steps = 140_000_u32;
        let width = 1400.0 / f64::from(steps);
        let (mut heat, mut flow) = (0.0, 0.0);
        for step in 0..steps {
            let mid = Celsius((f64::from(step) + 0.5) * width);
            heat += specific_heat(mid) * width;
            flow += conductivity(mid) * width;
        }
        let whole = enthalpy(Celsius(1400.0)) - enthalpy(Celsius(0.0));
        assert!((heat / whole - 1.0).abs() < 1e-6, "{heat} {whole}");
        assert!((flow / conducted(Celsius(1400.0)) - 1.0).abs() < 1e-4);
    }

    #[test]
    fn nothing_outside_the_range_is_wild() {
        for t in [-300.0, f64::NAN, f64::INFINITY, 738.0, 731.0] {
            assert!(specific_heat(Celsius(t)).is_finite() && enthalpy(Celsius(t)).is_finite());
        }
    }
}
