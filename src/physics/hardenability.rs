//! Hardenability: the ideal diameter.
//!
//! `DI = f_C f_Mn f_Si f_Cr f_Ni f_Mo f_Cu f_V` in inches: the round bar whose centre turns half to
//! martensite in an ideal quench (ASTM A255-10, section 6, grain size 7, phosphorus and sulphur left
//! out).
//!
//! - `f_C`: to 0.39 % `0.54 C`; to 0.55 % `0.171 + 0.001 C + 0.265 C^2`; to 0.65 %
//!   `0.115 + 0.268 C - 0.038 C^2`; to 0.75 % `0.143 + 0.2 C`; to 0.90 % `0.062 + 0.409 C - 0.135 C^2`
//! - `f_Mn`: to 1.2 % `3.3333 Mn + 1`, above `5.1 Mn - 1.12`; `f_Si = 1 + 0.7 Si`;
//!   `f_Cr = 1 + 2.16 Cr`; `f_Mo = 1 + 3 Mo`; `f_Cu = 1 + 0.365 Cu`; `f_V = 1 + 1.73 V`
//! - `f_Ni`: to 1.5 % `1 + 0.363 Ni`, above `0.3211 + 1.4501 Ni - 0.6119 Ni^2 + 0.1253 Ni^3`
//!
//! Valid for 0.01 to 0.90 % C in solution, Mn 1.95, Si 2.0, Cr 2.5, Ni 3.5, Mo 0.55, V 0.2; beyond,
//! carbon is held at 0.90 %, what a short soak dissolves, and the other elements are an error.
//! Tungsten is not counted. The band: vanadium left in carbides below, one grain size coarser and
//! 5 % of analysis above, together 10 % either way (common practice, no source).

use super::{Law, OutOfRange, Range, Spread};
use crate::metal::{Composition, Mark};

/// The card of this law.
pub const LAW: Law = Law {
    key: "hardenability",
    title: "ideal diameter",
    source: "ASTM A255-10 section 6",
    mark: Mark::Seen,
    valid: "C to 0.90 % (held beyond), Mn 1.95, Si 2.0, Cr 2.5, Ni 3.5, Mo 0.55, V 0.2; else an error",
};

/// Ideal diameter in inches.
///
/// ```
/// # use anvilside::{metal::Composition, physics::hardenability::ideal_diameter_inch};
/// let steel = Composition { c: 0.84, mn: 0.75, si: 0.2, ..Composition::default() };
/// assert!(ideal_diameter_inch(&steel).is_ok_and(|di| (di.best - 1.238).abs() < 0.001));
/// ```
///
/// # Errors
/// An element outside the range of the standard.
pub fn ideal_diameter_inch(m: &Composition) -> Result<Spread, OutOfRange> {
    for (name, value, least, greatest) in [
        ("carbon", m.c, 0.01, 2.0),
        ("manganese", m.mn, 0.0, 1.95),
        ("silicon", m.si, 0.0, 2.0),
        ("chromium", m.cr, 0.0, 2.5),
        ("nickel", m.ni, 0.0, 3.5),
        ("molybdenum", m.mo, 0.0, 0.55),
        ("vanadium", m.v, 0.0, 0.25),
        ("copper", m.cu, 0.0, 0.55),
    ] {
        let range = Range {
            law: "hardenability",
            name,
            unit: "%",
            least,
            greatest,
        };
        range.check(value)?;
    }
    let without = carbon_factor(m.c.min(0.90))
        * manganese_factor(m.mn)
        * (1.0 + 0.7 * m.si)
        * (1.0 + 2.16 * m.cr)
        * nickel_factor(m.ni)
        * (1.0 + 3.0 * m.mo)
        * (1.0 + 0.365 * m.cu);
    let best = without * (1.0 + 1.73 * m.v);
    Ok(Spread {
        low: 0.9 * without,
        best,
        high: 1.1 * best,
    })
}

fn carbon_factor(c: f64) -> f64 {
    if c <= 0.39 {
        0.54 * c
    } else if c <= 0.55 {
        0.171 + 0.001 * c + 0.265 * c * c
    } else if c <= 0.65 {
        0.115 + 0.268 * c - 0.038 * c * c
    } else if c <= 0.75 {
        0.143 + 0.2 * c
    } else {
        0.062 + 0.409 * c - 0.135 * c * c
    }
}

fn manganese_factor(mn: f64) -> f64 {
    if mn <= 1.2 {
        3.3333 * mn + 1.0
    } else {
        5.1 * mn - 1.12
    }
}

fn nickel_factor(ni: f64) -> f64 {
    if ni <= 1.5 {
        1.0 + 0.363 * ni
    } else {
        0.3211 + 1.4501 * ni - 0.6119 * ni * ni + 0.1253 * ni.powi(3)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_pieces_meet() {
        for (at, slack) in [(0.39, 0.002), (0.55, 0.001), (0.65, 0.001), (0.75, 0.001)] {
            let step = carbon_factor(at + 1e-9) - carbon_factor(at - 1e-9);
            assert!(step.abs() < slack, "carbon at {at}: {step}");
        }
        assert!((manganese_factor(1.2 + 1e-9) - manganese_factor(1.2)).abs() < 0.001);
        assert!((nickel_factor(1.5 + 1e-9) - nickel_factor(1.5)).abs() < 0.003);
    }

    #[test]
    fn more_alloy_hardens_deeper() {
        let base = Composition {
            c: 0.75,
            mn: 0.4,
            si: 0.2,
            ..Composition::default()
        };
        let deeper = [
            Composition { mn: 0.7, ..base },
            Composition { cr: 0.3, ..base },
            Composition { ni: 2.0, ..base },
            Composition { c: 0.85, ..base },
        ];
        let of = |m: &Composition| ideal_diameter_inch(m).unwrap().best;
        for steel in &deeper {
            assert!(of(steel) > of(&base));
        }
        assert!(ideal_diameter_inch(&Composition { cr: 12.0, ..base }).is_err());
    }
}
