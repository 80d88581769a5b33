//! Where steel turns to austenite on heating.
//!
//! Temperatures in C, elements in mass %.
//!
//! Ac1, the start:
//! - Andrews, JISI 203 (1965) 721: `723 - 10.7 Mn - 16.9 Ni + 29.1 Si + 16.9 Cr + 6.38 W`
//! - Hougardy 1984: `739 - 22 C - 7 Mn + 2 Si + 14 Cr + 13 Mo - 13 Ni` (from memory)
//! - Trzaska and Dobrzanski 2007: `739 - 22.8 C - 6.8 Mn + 18.2 Si + 11.7 Cr - 15 Ni - 6.4 Mo - 5 V
//!   - 28 Cu` (from memory)
//! - Grange 1961: `(1333 - 25 Mn + 40 Si - 26 Ni + 42 Cr)` F
//!
//! Ac3, the end for carbon under the eutectoid:
//! - Andrews: `910 - 203 sqrt(C) - 15.2 Ni + 44.7 Si + 104 V + 31.5 Mo + 13.1 W - 30 Mn - 11 Cr
//!   - 20 Cu + 700 P`
//! - Hougardy: `902 - 255 C - 11 Mn + 19 Si - 5 Cr + 13 Mo - 20 Ni + 55 V` (from memory)
//! - Trzaska: `937.3 - 224.5 sqrt(C) - 17 Mn + 34 Si - 14 Ni + 21.6 Mo + 41.8 V - 20 Cu` (from
//!   memory)
//!
//! Ac3 was fitted to 0.6 % C; it is never taken below Ac1. Acm, where the last carbide goes, by the
//! chord of the iron-carbon diagram, `727 + 314.2 (C - 0.77)` (Chipman, Metall. Trans. 3 (1972) 55,
//! from memory; the line itself bows 5 to 15 K higher). A3 of iron with carbon alone: Andrews
//! without the alloying terms. Steels outside [`super::low_alloy`] are an error. Real Ac points
//! rise further with fast heating.

use super::{Law, OutOfRange, Spread, low_alloy};
use crate::metal::{Composition, Mark};
use crate::units::Celsius;

/// The card of this law.
pub const LAW: Law = Law {
    key: "critical",
    title: "Ac1, Ac3 and Acm",
    source: "Andrews, JISI 203 (1965) 721; Hougardy 1984; Trzaska and Dobrzanski 2007; Grange 1961; \
             Chipman, Metall. Trans. 3 (1972) 55",
    mark: Mark::Seen,
    valid: "carbon and low-alloy steel; Ac3 to 0.6 % C, held at Ac1 beyond; else an error",
};

/// Carbon of the eutectoid, mass % (Chipman; other diagrams give 0.76 to 0.80).
pub const EUTECTOID: f64 = 0.77;

/// Start of austenite on heating, C: Andrews, with the band of the other three.
///
/// ```
/// # use anvilside::{metal::Catalogue, physics::critical::ac1};
/// let steel = Catalogue::builtin().find("1084").map(|s| s.nominal).unwrap_or_default();
/// assert!(ac1(&steel).is_ok_and(|t| (t.best - 720.8).abs() < 0.1));
/// ```
///
/// # Errors
/// An element outside the range of low-alloy steels.
pub fn ac1(m: &Composition) -> Result<Spread, OutOfRange> {
    low_alloy::check(m, "Ac1")?;
    let andrews = 723.0 - 10.7 * m.mn - 16.9 * m.ni + 29.1 * m.si + 16.9 * m.cr + 6.38 * m.w;
    let hougardy =
        739.0 - 22.0 * m.c - 7.0 * m.mn + 2.0 * m.si + 14.0 * m.cr + 13.0 * m.mo - 13.0 * m.ni;
    let trzaska = 739.0 - 22.8 * m.c - 6.8 * m.mn + 18.2 * m.si + 11.7 * m.cr
        - 15.0 * m.ni
        - 6.4 * m.mo
        - 5.0 * m.v
        - 28.0 * m.cu;
    let grange =
        Celsius::from_fahrenheit(1333.0 - 25.0 * m.mn + 40.0 * m.si - 26.0 * m.ni + 42.0 * m.cr);
    Ok(Spread::preferring(andrews, &[hougardy, trzaska, grange.0]))
}

/// End of austenite on heating for carbon under the eutectoid, C: Andrews, with the band of the
/// other two; never below [`ac1`].
///
/// # Errors
/// An element outside the range of low-alloy steels.
pub fn ac3(m: &Composition) -> Result<Spread, OutOfRange> {
    let start = ac1(m)?;
    let root = m.c.sqrt();
    let andrews =
        910.0 - 203.0 * root - 15.2 * m.ni + 44.7 * m.si + 104.0 * m.v + 31.5 * m.mo + 13.1 * m.w
            - 30.0 * m.mn
            - 11.0 * m.cr
            - 20.0 * m.cu
            + 700.0 * m.p;
    let hougardy = 902.0 - 255.0 * m.c - 11.0 * m.mn + 19.0 * m.si - 5.0 * m.cr + 13.0 * m.mo
        - 20.0 * m.ni
        + 55.0 * m.v;
    let trzaska =
        937.3 - 224.5 * root - 17.0 * m.mn + 34.0 * m.si - 14.0 * m.ni + 21.6 * m.mo + 41.8 * m.v
            - 20.0 * m.cu;
    let end = Spread::preferring(andrews, &[hougardy, trzaska]);
    Ok(Spread {
        low: end.low.max(start.low),
        best: end.best.max(start.best),
        high: end.high.max(start.high),
    })
}

/// A3 of iron with this much carbon and nothing else, C; never below 727. Carbon is held to 0 to
/// 0.77 %.
#[must_use]
pub fn a3_iron(carbon: f64) -> Celsius {
    let carbon = if carbon.is_nan() { 0.0 } else { carbon };
    Celsius((910.0 - 203.0 * carbon.clamp(0.0, EUTECTOID).sqrt()).max(727.0))
}

/// Where the last carbide dissolves, C, for carbon above the eutectoid; 727 below it.
#[must_use]
pub fn acm(carbon: f64) -> Celsius {
    Celsius(727.0 + 314.2 * (carbon - EUTECTOID).max(0.0))
}

/// Carbon that austenite can hold at a temperature, mass %: the chord of [`acm`] read backwards,
/// 0.77 to 2.11 %.
#[must_use]
pub fn carbon_held(at: Celsius) -> f64 {
    (EUTECTOID + (at.0 - 727.0) / 314.2).clamp(EUTECTOID, 2.11)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ac3_never_falls_below_ac1() {
        for step in 0_u32..=40 {
            let metal = Composition {
                c: 0.05 * f64::from(step),
                mn: 0.8,
                ..Composition::default()
            };
            let (start, end) = (ac1(&metal).unwrap(), ac3(&metal).unwrap());
            assert!(end.low >= start.low && end.best >= start.best && end.high >= start.high);
        }
    }

    #[test]
    fn acm_and_carbon_held_are_inverse() {
        for carbon in [0.8, 0.95, 1.25, 1.5] {
            assert!((carbon_held(acm(carbon)) - carbon).abs() < 1e-9);
        }
        assert!(acm(0.5).near(Celsius(727.0), 1e-9));
    }

    #[test]
    fn stainless_is_refused() {
        let metal = Composition {
            cr: 17.0,
            ni: 9.0,
            ..Composition::default()
        };
        assert!(ac1(&metal).is_err() && ac3(&metal).is_err());
    }
}
