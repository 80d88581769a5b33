//! Diffusivity of carbon in austenite.
//!
//! - Ågren, Scripta Metall. 20 (1986) 1507: `D = 4.53e-7 [1 + y (1-y) 8339.9/T] exp{-(1/T - 2.221e-4)
//!   (17767 - 26436 y)}` m2/s, y carbon atoms per metal atom, T in K (formula seen in public code,
//!   citation from memory). The whole austenite field; the default.
//! - Callister, Materials Science and Engineering, table of diffusion data: `2.3e-5 exp(-148000/RT)`
//!   (seen), the limit of little carbon: half of the true value in a high-carbon steel.
//! - Tibbetts, J. Appl. Phys. 51 (1980) 4813: `4.7e-5 exp(-1.6 C) exp(-(37000 - 6600 C)/(1.987 T))`, C in
//!   mass % (from memory); a separate fit that agrees with the first within a few percent.
//!
//! Below A1 austenite is gone and ferrite holds next to no carbon: transport is taken as nil.

use super::LAW_CARBON;
use crate::physics::{OutOfRange, Range, Spread};
use crate::units::{Celsius, Kelvin};

/// Gas constant, J/mol/K (CODATA 2018, exact).
pub(crate) const GAS: f64 = 8.314_462_618;
/// Temperature below which no carbon moves, C.
pub const A1: Celsius = Celsius(727.0);
/// Temperature, C.
pub const TEMPERATURE: Range = Range {
    law: LAW_CARBON.title,
    name: "temperature",
    unit: "C",
    least: 727.0,
    greatest: 1400.0,
};
/// Carbon, mass %.
pub const CARBON: Range = Range {
    law: LAW_CARBON.title,
    name: "carbon",
    unit: "%",
    least: 0.0,
    greatest: 1.5,
};

/// Which measurement of carbon's diffusivity to use.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum CarbonLaw {
    /// Rises with carbon; the default.
    #[default]
    Agren,
    /// Little carbon; for textbook examples.
    Callister,
    /// Rises with carbon; a separate fit.
    Tibbetts,
}

impl CarbonLaw {
    /// Diffusivity in m2/s.
    ///
    /// ```
    /// # use anvilside::physics::diffusion::CarbonLaw;
    /// # use anvilside::units::Celsius;
    /// let d = CarbonLaw::Agren.diffusivity(Celsius(1150.0), 0.85)?;
    /// assert!((d / 1.802_15e-10 - 1.0).abs() < 1e-5);
    /// let dilute = CarbonLaw::Callister.diffusivity(Celsius(1150.0), 0.85)?;
    /// assert!((dilute / 8.505_704e-11 - 1.0).abs() < 1e-6);
    /// # Ok::<(), anvilside::physics::OutOfRange>(())
    /// ```
    ///
    /// # Errors
    /// A temperature outside [`TEMPERATURE`] or carbon outside [`CARBON`].
    pub fn diffusivity(self, at: Celsius, carbon_pct: f64) -> Result<f64, OutOfRange> {
        TEMPERATURE.check(at.0)?;
        CARBON.check(carbon_pct)?;
        Ok(self.value(at.kelvin(), carbon_pct))
    }

    /// The same without checks: carbon is clamped to [`CARBON`], and nothing moves below A1.
    pub(crate) fn value(self, at: Kelvin, carbon_pct: f64) -> f64 {
        let t = at.0;
        if t.is_nan() || t < A1.kelvin().0 {
            return 0.0;
        }
        let c = CARBON.clamp(carbon_pct);
        match self {
            Self::Agren => {
                let y = site_fraction(c);
                4.53e-7
                    * (1.0 + y * (1.0 - y) * 8339.9 / t)
                    * (-(1.0 / t - 2.221e-4) * (17_767.0 - 26_436.0 * y)).exp()
            }
            Self::Callister => 2.3e-5 * (-148_000.0 / (GAS * t)).exp(),
            Self::Tibbetts => {
                0.47e-4 * (-1.6 * c).exp() * (-(37_000.0 - 6600.0 * c) / (1.987 * t)).exp()
            }
        }
    }

    /// True when the value rises with carbon.
    #[must_use]
    pub const fn follows_carbon(self) -> bool {
        !matches!(self, Self::Callister)
    }
}

/// Diffusivity in m2/s with the band of the two laws that follow carbon, and 20 C of pyrometer
/// error either way.
///
/// # Errors
/// As [`CarbonLaw::diffusivity`].
pub fn carbon_diffusivity(at: Celsius, carbon_pct: f64) -> Result<Spread, OutOfRange> {
    let best = CarbonLaw::Agren.diffusivity(at, carbon_pct)?;
    let second = CarbonLaw::Tibbetts.diffusivity(at, carbon_pct)?;
    let shift = |by: f64| {
        let t = Celsius(TEMPERATURE.clamp(at.0 + by));
        CarbonLaw::Agren.value(t.kelvin(), carbon_pct)
    };
    Ok(Spread {
        low: shift(-20.0).min(second),
        best,
        high: shift(20.0).max(second),
    })
}

/// Carbon atoms per iron atom for a mass percent.
pub(crate) fn site_fraction(carbon_pct: f64) -> f64 {
    (carbon_pct / 12.011) / ((100.0 - carbon_pct) / 55.845)
}

#[cfg(test)]
mod tests {
    use super::{CarbonLaw, carbon_diffusivity};
    use crate::units::{Celsius, Kelvin};

    #[test]
    fn two_fits_that_follow_carbon_agree_within_a_sixth_where_steel_is_welded() {
        for t in [1050.0, 1100.0, 1150.0, 1200.0] {
            for c in [0.3, 0.6, 0.85, 1.0] {
                let a = CarbonLaw::Agren.diffusivity(Celsius(t), c).unwrap();
                let b = CarbonLaw::Tibbetts.diffusivity(Celsius(t), c).unwrap();
                assert!((a / b - 1.0).abs() < 1.0 / 6.0, "{t} {c}: {}", a / b);
            }
        }
    }

    #[test]
    fn more_carbon_and_more_heat_move_faster() {
        let d = |t, c| CarbonLaw::Agren.diffusivity(Celsius(t), c).unwrap();
        for c in [0.0, 0.4, 0.8] {
            assert!(d(1150.0, c + 0.2) > d(1150.0, c));
            assert!(d(1200.0, c) > d(1150.0, c));
        }
    }

    #[test]
    fn kernels_survive_any_input() {
        for law in [CarbonLaw::Agren, CarbonLaw::Callister, CarbonLaw::Tibbetts] {
            for t in [0.0, 300.0, 1400.0, 5000.0, f64::NAN] {
                for c in [-5.0, 0.0, 40.0, 1e9, f64::NAN] {
                    let d = law.value(Kelvin(t), c);
                    assert!(d.is_finite() && d >= 0.0);
                }
            }
        }
        assert!(carbon_diffusivity(Celsius(600.0), 0.8).is_err());
        assert!(carbon_diffusivity(Celsius(1100.0), 9.0).is_err());
    }

    #[test]
    fn twenty_degrees_is_a_fifth() {
        let d = carbon_diffusivity(Celsius(1150.0), 0.85).unwrap();
        assert!((d.high / d.best - 1.0 - 0.18).abs() < 0.03);
    }
}
