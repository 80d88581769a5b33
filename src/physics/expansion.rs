//! Hot size against cold size.
//!
//! Strain `dl/l` relative to the length at 20 C, temperature `T` in C, carbon `C` in mass %.
//!
//! - Steel below A1, and low-carbon steel throughout: EN 1993-1-2:2005, 3.4.1.1, (3.1a) to (3.1c),
//!   20 to 1200 C; (3.1c) is carried on to 1400 C as an extrapolation.
//! - Steel of 0.6 % C and more above the eutectoid step: lattice of austenite (Onink, Brakman,
//!   Tichelaar, Mittemeijer, van der Zwaag, Root, Konyer, Scripta Metall. Mater. 29 (1993) 1011,
//!   from memory) against the cold volume of ferrite and cementite. Such steel shrinks as it turns
//!   to austenite at A1 and then grows by 23e-6 per kelvin; the standard's curve, made for
//!   structural steel, stands still from 750 to 860 C instead.
//! - Between, a smooth blend: by carbon from 0.3 to 0.6 %, by temperature from 727 to 760 C.
//! - Carbon that austenite cannot hold at `T` (the Acm chord) stays out of the lattice term.
//! - Nickel (50 % Ni and more): mean coefficients of the Nickel 200 data sheet, from memory,
//!   20 to 1000 C, carried on at the last coefficient's slope.
//!
//! On cooling, austenite lasts some 50 K below A1 before it turns and swells: a bar measured there
//! may read up to 1.2 mm in a metre short of this law.
//!
//! Temperatures outside -60 to 1400 C are clamped to that range.

use super::law::Law;
use crate::metal::{Composition, Mark};
use crate::units::{Celsius, Mm};

/// The card of this law.
pub const LAW: Law = Law {
    key: "expansion",
    title: "hot size against cold",
    source: "EN 1993-1-2:2005 3.4.1.1; Onink et al., Scripta Metall. Mater. 29 (1993) 1011; \
             Nickel 200 data sheet",
    mark: Mark::Seen,
    valid: "20 to 1200 C (nickel to 1000 C); clamped to -60 to 1400 C",
};

/// Mean coefficient of Nickel 200 from 20 C, 1e-6/K, at each hundred degrees from 100 C.
const NICKEL: [f64; 10] = [13.3, 13.9, 14.2, 14.8, 15.3, 15.5, 15.8, 16.2, 16.6, 16.9];

/// `dl/l` of this metal at this temperature, relative to 20 C.
///
/// ```
/// # use anvilside::{metal::Composition, physics::expansion::strain, units::Celsius};
/// let mild = Composition { c: 0.18, ..Composition::default() };
/// assert!((strain(Celsius(600.0), &mild) - 8.3984e-3).abs() < 1e-7);
/// ```
#[must_use]
pub fn strain(at: Celsius, metal: &Composition) -> f64 {
    let t = if at.0.is_nan() {
        20.0
    } else {
        at.0.clamp(-60.0, 1400.0)
    };
    if metal.ni >= 50.0 {
        return nickel(t);
    }
    let share = smooth(t, 727.0, 760.0) * smooth(metal.c, 0.3, 0.6);
    let plain = structural(t);
    if share <= 0.0 {
        return plain;
    }
    let held = metal.c.min(0.77 + (t - 727.0) / 314.2);
    plain + share * (austenite(t, held) - plain)
}

/// Cold length of what measures `hot` at this temperature.
///
/// ```
/// # use anvilside::{metal::Composition, physics::expansion::cold_from_hot, units::{Celsius, Mm}};
/// let steel = Composition { c: 0.80, ..Composition::default() };
/// let cold = cold_from_hot(Mm(100.0), Celsius(1000.0), &steel);
/// assert!(cold.near(Mm(98.45), 0.01));
/// ```
#[must_use]
pub fn cold_from_hot(hot: Mm, at: Celsius, metal: &Composition) -> Mm {
    hot / (1.0 + strain(at, metal))
}

/// EN 1993-1-2 (3.1a-c).
fn structural(t: f64) -> f64 {
    if t < 750.0 {
        1.2e-5 * t + 0.4e-8 * t * t - 2.416e-4
    } else if t <= 860.0 {
        1.1e-2
    } else {
        2e-5 * t - 6.2e-3
    }
}

/// Lattice of austenite with `c` mass % carbon against ferrite and cementite at 20 C.
fn austenite(t: f64, c: f64) -> f64 {
    let carbon_per_iron = (c / 12.011) / ((100.0 - c) / 55.845);
    let atom_percent = 100.0 * carbon_per_iron / (1.0 + carbon_per_iron);
    let kelvin = t + 273.15;
    let a_nm = (0.363_067 + 0.000_783 * atom_percent)
        * (1.0 + (24.92 - 0.61 * atom_percent) * 1e-6 * (kelvin - 1000.0));
    let hot = a_nm.powi(3) / 4.0;
    let bound = 3.0 * carbon_per_iron;
    let cold = (1.0 - bound) * 0.286_64_f64.powi(3) / 2.0 + bound * 0.154_93 / 12.0;
    (hot / cold).cbrt() - 1.0
}

fn nickel(t: f64) -> f64 {
    let mean = |index: usize| NICKEL.get(index).copied().unwrap_or(16.9) * 1e-6;
    let place = ((t - 100.0) / 100.0).clamp(0.0, 9.0);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to 0..=9"
    )]
    let low = place.floor() as usize;
    let within = place - place.floor();
    let coefficient = mean(low) + within * (mean(low + 1) - mean(low));
    coefficient * (t - 20.0)
}

/// 0 below `from`, 1 above `to`, with level ends.
fn smooth(x: f64, from: f64, to: f64) -> f64 {
    let u = ((x - from) / (to - from)).clamp(0.0, 1.0);
    u * u * (3.0 - 2.0 * u)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn carbon(c: f64) -> Composition {
        Composition {
            c,
            ..Composition::default()
        }
    }

    #[test]
    fn no_jump_anywhere_but_the_standards_own() {
        for c in [0.0, 0.3, 0.45, 0.6, 0.8, 1.25] {
            for step in 0..14_000_u32 {
                let t = f64::from(step) / 10.0;
                let jump = strain(Celsius(t + 0.1), &carbon(c)) - strain(Celsius(t), &carbon(c));
                assert!(jump.abs() < 1.2e-5, "{c} % C at {t} C jumps by {jump}");
            }
        }
    }

    #[test]
    fn not_a_number_gives_no_strain() {
        assert!(strain(Celsius(f64::NAN), &carbon(0.2)).abs() < 1e-9);
    }
}
