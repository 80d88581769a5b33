//! Diffusivity of the metals in austenite: what blurs the pattern.
//!
//! `D = D0 exp(-Q/RT)`, dilute tracers in iron:
//! - nickel: MacEwan, MacEwan, Yaffe, Can. J. Chem. 37 (1959) 1629 (from memory), 7.7e-5 m2/s and
//!   280.5 kJ/mol; low end from an assessed mobility database (2022, seen), high end a textbook
//!   exercise (seen). The three spread by 4.4 in D, 2.1 in width: nickel widths are a range.
//! - manganese, chromium, silicon, iron: assessed mobility databases (2009 to 2022, seen).

use super::LAW_TRACER;
use super::carbon::GAS;
use crate::physics::{OutOfRange, Range, Spread};
use crate::units::{Celsius, Kelvin};

/// Temperature, C.
pub const TEMPERATURE: Range = Range {
    law: LAW_TRACER.title,
    name: "temperature",
    unit: "C",
    least: 727.0,
    greatest: 1400.0,
};

/// A metal dissolved in austenite.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tracer {
    /// Nickel: the bright lines.
    Nickel,
    /// Manganese.
    Manganese,
    /// Chromium.
    Chromium,
    /// Silicon.
    Silicon,
    /// Iron itself.
    Iron,
}

/// Prefactor in m2/s and activation energy in J/mol.
#[derive(Debug, Clone, Copy)]
struct Arrhenius {
    d0: f64,
    q: f64,
}

impl Arrhenius {
    fn at(self, t: Kelvin) -> f64 {
        self.d0 * (-self.q / (GAS * t.0)).exp()
    }
}

const NICKEL_LOW: Arrhenius = Arrhenius {
    d0: 3.01e-5,
    q: 279_670.0,
};
const NICKEL: Arrhenius = Arrhenius {
    d0: 7.7e-5,
    q: 280_500.0,
};
const NICKEL_HIGH: Arrhenius = Arrhenius {
    d0: 1.9e-4,
    q: 284_000.0,
};
const MANGANESE: Arrhenius = Arrhenius {
    d0: 3.46e-6,
    q: 246_510.0,
};
const CHROMIUM: Arrhenius = Arrhenius {
    d0: 1.12e-4,
    q: 284_230.0,
};
const SILICON: Arrhenius = Arrhenius {
    d0: 1.80e-6,
    q: 228_000.0,
};
const IRON: Arrhenius = Arrhenius {
    d0: 2.25e-5,
    q: 272_760.0,
};

impl Tracer {
    /// Diffusivity in m2/s. The band of nickel is that of its three sources; of the others it is
    /// a factor of two either way, as between sources for nickel.
    ///
    /// ```
    /// # use anvilside::physics::diffusion::Tracer;
    /// # use anvilside::units::Celsius;
    /// let nickel = Tracer::Nickel.diffusivity(Celsius(1150.0))?;
    /// assert!((nickel.best / 3.903e-15 - 1.0).abs() < 1e-3);
    /// assert!(nickel.low < 1.7e-15 && nickel.high > 7.0e-15);
    /// # Ok::<(), anvilside::physics::OutOfRange>(())
    /// ```
    ///
    /// # Errors
    /// A temperature outside [`TEMPERATURE`].
    pub fn diffusivity(self, at: Celsius) -> Result<Spread, OutOfRange> {
        TEMPERATURE.check(at.0)?;
        Ok(self.value(at.kelvin()))
    }

    /// The same without checks; nothing moves below A1.
    pub(crate) fn value(self, t: Kelvin) -> Spread {
        if t.0.is_nan() || t.0 < super::carbon::A1.kelvin().0 {
            return Spread::exact(0.0);
        }
        let single = match self {
            Self::Nickel => {
                return Spread {
                    low: NICKEL_LOW.at(t),
                    best: NICKEL.at(t),
                    high: NICKEL_HIGH.at(t),
                };
            }
            Self::Manganese => MANGANESE,
            Self::Chromium => CHROMIUM,
            Self::Silicon => SILICON,
            Self::Iron => IRON,
        };
        Spread::factors(single.at(t), 0.5, 2.0)
    }
}

#[cfg(test)]
mod tests {
    use super::Tracer;
    use crate::units::Celsius;

    #[test]
    fn metals_are_four_orders_slower_than_carbon() {
        let carbon = super::super::CarbonLaw::Callister
            .diffusivity(Celsius(1150.0), 0.0)
            .unwrap();
        for tracer in [
            Tracer::Nickel,
            Tracer::Manganese,
            Tracer::Chromium,
            Tracer::Silicon,
            Tracer::Iron,
        ] {
            let d = tracer.diffusivity(Celsius(1150.0)).unwrap();
            assert!(d.low < d.best && d.best < d.high);
            assert!(carbon / d.best > 1e4 && carbon / d.best < 1e5);
        }
    }

    #[test]
    fn cold_is_refused() {
        assert!(Tracer::Nickel.diffusivity(Celsius(20.0)).is_err());
        assert!(Tracer::Nickel.diffusivity(Celsius(f64::NAN)).is_err());
    }
}
