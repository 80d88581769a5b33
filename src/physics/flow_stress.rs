//! Hot flow stress of carbon steel.
//!
//! S. Shida, J. Japan Soc. Technol. Plasticity 10 (1969) 610 and Hitachi Review 18 (1969):
//! formula seen in two public implementations of rolling models. They disagree on one sign of the
//! rate exponent; the one kept here makes hot steel harder when it is struck faster, joins without
//! a jump at the transformation, and agrees within 4 % with Spittel's separate fit for C45
//! (Spittel, in the tests).
//!
//! Stated for carbon to 1.2 %, 700 to 1200 C, true strain to 0.7, 0.1 to 100 per second. Read on
//! to 1300 C and 300 per second with a wider band.

use super::{Law, OutOfRange, Range, Spread, low_alloy, reach};
use crate::metal::{Composition, Mark};
use crate::units::{Celsius, MegaPascals};

/// The card of this law.
pub const LAW: Law = Law {
    key: "flow-stress",
    title: "hot flow stress",
    source: "S. Shida, J. Japan Soc. Technol. Plasticity 10 (1969) 610, as two public \
             implementations give it, with the sign that both physics and a separate fit \
             bear out",
    mark: Mark::Seen,
    valid: "carbon to 1.2 %, 700 to 1200 C, strain to 0.7, 0.1 to 100 per second; to 1.3 \
            %, 1300 C and 300 per second with a wider range; low-alloy steel, with a range that \
            widens with its alloy; refused outside",
};
/// Carbon, mass %.
pub const CARBON: Range = Range {
    law: LAW.title,
    name: "carbon",
    unit: "%",
    least: 0.0,
    greatest: 1.3,
};
/// Temperature, C.
pub const TEMPERATURE: Range = Range {
    law: LAW.title,
    name: "temperature",
    unit: "C",
    least: 700.0,
    greatest: 1300.0,
};
/// True strain. Larger strains of one bite are read at 0.7: hot steel stops hardening there.
pub const STRAIN: Range = Range {
    law: LAW.title,
    name: "strain",
    unit: "",
    least: 0.001,
    greatest: 0.7,
};
/// Strain rate, 1/s.
pub const RATE: Range = Range {
    law: LAW.title,
    name: "strain rate",
    unit: "per second",
    least: 0.1,
    greatest: 300.0,
};

/// Part by which the law is trusted inside its stated range: the two separate fits differ by up to
/// 4 %, and real bars vary in analysis and temperature; 8 % is common practice, no source.
const TRUST: f64 = 0.08;
/// The same beyond the stated range.
const TRUST_BEYOND: f64 = 0.2;

/// How the metal is being worked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Working {
    /// Temperature of the metal.
    pub temperature: Celsius,
    /// True strain of this bite or blow.
    pub strain: f64,
    /// Strain rate, 1/s: speed of the tool over the height of the metal.
    pub rate: f64,
}

/// Shida's flow stress of plain carbon steel, and its rate exponent `m` (dimensionless).
///
/// ```
/// # use anvilside::physics::{shida, Working};
/// # use anvilside::units::Celsius;
/// let at = Working { temperature: Celsius(1000.0), strain: 0.3, rate: 10.0 };
/// let (stress, m) = shida(0.8, at)?;
/// assert!((stress.0 - 144.75).abs() < 0.05);
/// assert!((m - 0.15107).abs() < 1e-4);
/// # Ok::<(), anvilside::physics::OutOfRange>(())
/// ```
///
/// # Errors
/// An input outside [`CARBON`], [`TEMPERATURE`] or [`RATE`], or a strain that is not above zero.
/// Strain above 0.7 is read at 0.7.
pub fn shida(carbon_pct: f64, at: Working) -> Result<(MegaPascals, f64), OutOfRange> {
    let c = CARBON.check(carbon_pct)?;
    let t = (TEMPERATURE.check(at.temperature.0)? + 273.15) / 1000.0;
    let strain = STRAIN.check(at.strain.min(STRAIN.greatest))?;
    let rate = RATE.check(at.rate)?;

    let change = 0.95 * (c + 0.41) / (c + 0.32);
    let (sigma, m) = if t >= change {
        let sigma = 0.28 * (5.0 / t - 0.01 / (c + 0.05)).exp();
        (sigma, (-0.019 * c + 0.126) * t + 0.075 * c - 0.050)
    } else {
        let off = t - 0.95 * (c + 0.49) / (c + 0.42);
        let g = 30.0 * (c + 0.9) * off * off + (c + 0.06) / (c + 0.09);
        let sigma = 0.28 * g * ((c + 0.32) / (0.19 * (c + 0.41)) - 0.01 / (c + 0.05)).exp();
        let m = (0.081 * c - 0.154) * t - 0.019 * c + 0.207 + 0.027 / (c + 0.32);
        (sigma, m)
    };
    let hardening = 1.3 * (strain / 0.2).powf(0.41 - 0.07 * c) - 0.3 * (strain / 0.2);
    let stress = 9.806_65 * sigma * hardening * (rate / 10.0).powf(m);
    Ok((MegaPascals(stress), m))
}

/// Flow stress of a steel in MPa with its range, which alloy raises ([`reach::hot_strength`]).
///
/// ```
/// # use anvilside::metal::Composition;
/// # use anvilside::physics::{flow_stress, Working};
/// # use anvilside::units::Celsius;
/// let steel = Composition { c: 0.8, ..Composition::default() };
/// let press = Working { temperature: Celsius(1100.0), strain: 0.3, rate: 1.0 };
/// let stress = flow_stress(&steel, press)?;
/// assert!((stress.best - 74.86).abs() < 0.05);
/// assert!(stress.low < 69.0 && stress.high > 80.0);
/// # Ok::<(), anvilside::physics::OutOfRange>(())
/// ```
///
/// # Errors
/// As [`shida`]; an element outside the range of low-alloy steels, nickel between layers of steel excepted.
pub fn flow_stress(metal: &Composition, at: Working) -> Result<Spread, OutOfRange> {
    // A pile with sheets of nickel is no nickel steel: its range is wide, and it is not refused.
    let steel = Composition {
        ni: metal.ni.min(5.0),
        ..*metal
    };
    low_alloy::check(&steel, LAW.title)?;
    let (stress, _) = shida(metal.c, at)?;
    let beyond = at.temperature.0 > 1200.0 || at.rate > 100.0 || metal.c > 1.2;
    let trust = if beyond { TRUST_BEYOND } else { TRUST };
    let alloy = reach::hot_strength(metal);
    Ok(Spread {
        low: stress.0 * (1.0 - trust),
        best: stress.0 * alloy.best,
        high: stress.0 * alloy.high * (1.0 + trust),
    })
}

#[cfg(test)]
mod tests {
    use super::{Working, flow_stress, shida};
    use crate::metal::Composition;
    use crate::units::Celsius;

    fn at(c: f64, t: f64, strain: f64, rate: f64) -> f64 {
        let working = Working {
            temperature: Celsius(t),
            strain,
            rate,
        };
        shida(c, working).unwrap().0.0
    }

    #[test]
    fn struck_faster_is_harder_everywhere_above_the_change() {
        for c in [0.05, 0.2, 0.45, 0.8, 0.95, 1.2] {
            for t in [950.0, 1000.0, 1100.0, 1200.0] {
                assert!(at(c, t, 0.2, 50.0) > at(c, t, 0.2, 5.0), "{c} {t}");
            }
        }
    }

    #[test]
    fn colder_is_harder_above_the_change() {
        for c in [0.2, 0.45, 0.8, 1.0] {
            let mut last = f64::INFINITY;
            for step in 0..13_u32 {
                let stress = at(c, 900.0 + 25.0 * f64::from(step), 0.3, 10.0);
                assert!(stress < last);
                last = stress;
            }
        }
    }

    #[test]
    fn no_jump_in_the_rate_exponent_at_the_change() {
        let c = 0.8;
        let change = 950.0 * (c + 0.41) / (c + 0.32) - 273.15;
        let m = |t: f64| {
            let working = Working {
                temperature: Celsius(t),
                strain: 0.3,
                rate: 10.0,
            };
            shida(c, working).unwrap().1
        };
        assert!((m(change - 0.01) - m(change + 0.01)).abs() < 1e-3);
    }

    #[test]
    fn alloy_and_range_widen_the_band() {
        let hot = Working {
            temperature: Celsius(1250.0),
            strain: 0.2,
            rate: 1.0,
        };
        let plain = Composition {
            c: 0.8,
            ..Composition::default()
        };
        let nickel = Composition { ni: 2.0, ..plain };
        let a = flow_stress(&plain, hot).unwrap();
        let b = flow_stress(&nickel, hot).unwrap();
        assert!(b.high > a.high && b.best > a.best);
        assert!((a.high / a.best - 1.2).abs() < 1e-9);
    }

    #[test]
    fn bad_input_is_refused_in_words() {
        let cold = Working {
            temperature: Celsius(400.0),
            strain: 0.2,
            rate: 1.0,
        };
        let sentence = shida(0.8, cold).unwrap_err().to_string();
        assert_eq!(
            sentence,
            "temperature 400 C is outside 700 to 1300 C, where hot flow stress holds"
        );
        assert!(shida(f64::NAN, cold).is_err());
    }
}
