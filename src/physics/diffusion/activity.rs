//! What alloying does to the activity of carbon: carbon flows down this, not down its concentration.
//!
//! Two-sublattice regular solution (Fe,M)(C,Va), y site fractions, magnetic term nil in hot austenite:
//! `mu - G(graphite) = sum y_M G_M + RT ln[y_C/(1-y_C)] + (1 - 2 y_C) sum y_M L_M
//! plus sum y_Fe y_M [L(Fe,M:C) - L(Fe,M:Va)]`.
//!
//! Fe-C: Gustafson, Scand. J. Metall. 14 (1985) 259 (seen in a public database). Fe-Si: Lacaze, Sundman,
//! Metall. Trans. A 22 (1991) 2211 (carbide terms seen, the rest from memory). Fe-Ni: Gabriel, Gustafson,
//! Ansara, Calphad 11 (1987) 203 (graphite term seen, the rest from memory). Fe-Cr and Fe-Mn: the
//! assessments of Gustafson 1985 and Huang 1990 (from memory). Held up by Darken's couple: iron-silicon
//! against plain iron, measured ratio 1.86, worked out 1.84.

use super::LAW_ACTIVITY;
use super::carbon::GAS;
use crate::metal::Composition;
use crate::physics::{OutOfRange, Range};
use crate::units::{Celsius, Kelvin};

/// Temperature, C.
pub const TEMPERATURE: Range = Range {
    law: LAW_ACTIVITY.title,
    name: "temperature",
    unit: "C",
    least: 727.0,
    greatest: 1400.0,
};
/// Carbon, mass %.
pub const CARBON: Range = Range {
    law: LAW_ACTIVITY.title,
    name: "carbon",
    unit: "%",
    least: 1e-6,
    greatest: 2.2,
};

/// Carbon at which factors are worked out; what lies outside is read at the nearer end.
const ASKED: Range = Range {
    least: 0.01,
    greatest: 1.5,
    ..CARBON
};

/// Metal atoms per 100 g of alloy.
struct Moles {
    carbon: f64,
    iron: f64,
    nickel: f64,
    silicon: f64,
    manganese: f64,
    chromium: f64,
    metal: f64,
}

impl Moles {
    fn of(metal: &Composition, carbon_pct: f64) -> Self {
        let nickel = metal.ni.max(0.0) / 58.6934;
        let silicon = metal.si.max(0.0) / 28.0855;
        let manganese = metal.mn.max(0.0) / 54.938;
        let chromium = metal.cr.max(0.0) / 51.9961;
        let rest = 100.0 - carbon_pct - metal.ni - metal.si - metal.mn - metal.cr;
        let iron = rest.max(0.0) / 55.845;
        Self {
            carbon: carbon_pct / 12.011,
            iron,
            nickel,
            silicon,
            manganese,
            chromium,
            metal: iron + nickel + silicon + manganese + chromium,
        }
    }
}

/// Natural log of carbon's activity against graphite.
///
/// ```
/// # use anvilside::metal::Composition;
/// # use anvilside::physics::diffusion::activity::ln_activity;
/// # use anvilside::units::Celsius;
/// let plain = Composition::default();
/// let a = ln_activity(&plain, 0.85, Celsius(1150.0))?.exp();
/// assert!((a - 0.2828).abs() < 1e-4);
/// let nickel = Composition { ni: 2.0, ..plain };
/// let shift = ln_activity(&nickel, 0.85, Celsius(1150.0))? - a.ln();
/// assert!((shift / 2.0 - 0.0344).abs() < 1e-4);
/// # Ok::<(), anvilside::physics::OutOfRange>(())
/// ```
///
/// # Errors
/// A temperature outside [`TEMPERATURE`] or carbon outside [`CARBON`]. The carbon of `metal` itself is
/// not read; molybdenum, vanadium and tungsten are left out of the model.
pub fn ln_activity(metal: &Composition, carbon_pct: f64, at: Celsius) -> Result<f64, OutOfRange> {
    TEMPERATURE.check(at.0)?;
    CARBON.check(carbon_pct)?;
    Ok(value(metal, carbon_pct, at.kelvin()))
}

pub(crate) fn value(metal: &Composition, carbon_pct: f64, at: Kelvin) -> f64 {
    let t = at.0;
    let n = Moles::of(metal, carbon_pct);
    let y = n.carbon / n.metal;
    let (fe, ni, si) = (n.iron / n.metal, n.nickel / n.metal, n.silicon / n.metal);
    let (mn, cr) = (n.manganese / n.metal, n.chromium / n.metal);

    let frame = fe * (77_207.0 - 15.877 * t)
        + ni * (62_000.0 - 7.6 * t)
        + si * (-71_510.0 + 60.5 * t)
        + cr * (-6084.0 - 2.103 * t)
        + mn * manganese_frame(t);
    let pair = fe * -34_671.0
        + ni * (-14_902.0 + 7.5 * t)
        + cr * (-11_977.0 + 6.8194 * t)
        + mn * -43_433.0;
    let mix = fe * ni * nickel_mix(t, fe - ni)
        + fe * si * silicon_mix(t, fe - si)
        + fe * cr * (-74_319.0 + 3.2353 * t - (10_833.0 - 7.477 * t + 1410.0 * (cr - fe)))
        + fe * mn * (34_052.0 - 23.467 * t - (-7762.0 + 3.865 * t - 259.0 * (fe - mn)));
    (frame + mix) / (GAS * t) + (y / (1.0 - y)).ln() + (1.0 - 2.0 * y) * pair / (GAS * t)
}

fn nickel_mix(t: f64, d: f64) -> f64 {
    let carbide = 49_074.0 - 7.32 * t - 25_800.0 * d;
    let empty =
        -12_054.355 + 3.274_13 * t + (11_082.131_5 - 4.450_77 * t) * d - 725.805_174 * d * d;
    carbide - empty
}

fn silicon_mix(t: f64, d: f64) -> f64 {
    let carbide = 143_220.0 + 39.31 * t - 216_321.0 * d;
    let empty = -125_247.7 + 41.116 * t - 142_707.6 * d + 89_907.3 * d * d;
    carbide - empty
}

/// MnC in the austenite lattice against manganese and graphite, J/mol: Huang's 502 + 15.261 T from the
/// stable metal, less the lattice stability of austenitic manganese (Dinsdale 1991).
fn manganese_frame(t: f64) -> f64 {
    let stable =
        -8115.28 + 130.059 * t - 23.4582 * t * t.ln() - 0.007_347_68 * t * t + 69_827.0 / t;
    let lattice = -3439.3 + 131.884 * t - 24.5177 * t * t.ln() - 0.006 * t * t + 69_600.0 / t;
    502.0 + 15.261 * t - (lattice - stable)
}

/// Carbon in mass % that this metal holds beside plain iron-carbon austenite of `plain_pct`, at rest.
///
/// ```
/// # use anvilside::metal::Composition;
/// # use anvilside::physics::diffusion::activity::carbon_beside;
/// # use anvilside::units::Celsius;
/// let nickel = Composition { ni: 99.5, ..Composition::default() };
/// let held = carbon_beside(&nickel, 0.95, Celsius(1150.0))?;
/// assert!((held - 0.125).abs() < 0.01);
/// # Ok::<(), anvilside::physics::OutOfRange>(())
/// ```
///
/// # Errors
/// As [`ln_activity`].
pub fn carbon_beside(metal: &Composition, plain_pct: f64, at: Celsius) -> Result<f64, OutOfRange> {
    let target = ln_activity(&Composition::default(), plain_pct, at)?;
    Ok(held_at(metal, target, at.kelvin()))
}

/// Carbon in mass % at which this metal has this activity.
fn held_at(metal: &Composition, ln_activity: f64, at: Kelvin) -> f64 {
    let (mut low, mut high) = (CARBON.least.ln(), 3.0_f64.ln());
    for _ in 0..48 {
        let middle = f64::midpoint(low, high);
        if value(metal, middle.exp(), at) < ln_activity {
            low = middle;
        } else {
            high = middle;
        }
    }
    low.exp()
}

/// Activity factor of each metal against plain iron-carbon: at rest `gamma w` is the same on both sides
/// of a joint. Worked out at the carbon that each would hold beside plain austenite of `carbon_pct`;
/// it changes by less than 0.01 for a tenth of a percent of carbon in nickel steels.
///
/// ```
/// # use anvilside::metal::Composition;
/// # use anvilside::physics::diffusion::activity::factors;
/// # use anvilside::units::Celsius;
/// let a = Composition { mn: 0.40, si: 0.20, ..Composition::default() };
/// let b = Composition { ni: 2.0, mn: 0.35, si: 0.25, cr: 0.10, ..Composition::default() };
/// let gamma = factors(&[a, b], 0.85, Celsius(1150.0));
/// assert!((gamma[1] / gamma[0] - 1.056).abs() < 0.002);
/// ```
#[must_use]
pub fn factors(metals: &[Composition], carbon_pct: f64, at: Celsius) -> Vec<f64> {
    let t = Celsius(TEMPERATURE.clamp(at.0)).kelvin();
    let plain = ASKED.clamp(carbon_pct);
    let target = value(&Composition::default(), plain, t);
    metals
        .iter()
        .map(|metal| plain / held_at(metal, target, t))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{carbon_beside, factors, ln_activity};
    use crate::metal::Composition;
    use crate::units::Celsius;

    /// Shift of `ln a` by alloying after the rule used in carburising shops (Gunnarson, from memory):
    /// `ln 10 (0.055 Si - 0.013 Mn - 0.040 Cr + 0.014 Ni - 0.013 Mo)`.
    fn gunnarson_shift(metal: &Composition) -> f64 {
        std::f64::consts::LN_10
            * (0.055 * metal.si - 0.013 * metal.mn - 0.040 * metal.cr + 0.014 * metal.ni
                - 0.013 * metal.mo)
    }

    #[test]
    fn signs_agree_with_the_shop_rule_for_every_element() {
        let plain = Composition::default();
        let at = Celsius(930.0);
        let base = ln_activity(&plain, 0.6, at).unwrap();
        for (metal, tolerance) in [
            (Composition { si: 1.0, ..plain }, 0.05),
            (Composition { mn: 1.0, ..plain }, 0.02),
            (Composition { cr: 1.0, ..plain }, 0.04),
            (Composition { ni: 1.0, ..plain }, 0.02),
        ] {
            let shift = ln_activity(&metal, 0.6, at).unwrap() - base;
            let rule = gunnarson_shift(&metal);
            assert!(
                shift * rule > 0.0 && (shift - rule).abs() < tolerance,
                "{metal:?}"
            );
        }
    }

    #[test]
    fn nickel_against_graphite_is_near_the_measured_solubility() {
        let nickel = Composition {
            ni: 100.0,
            ..Composition::default()
        };
        // Mass % of carbon that nickel holds against graphite: Lander, Kern, Beach, J. Appl. Phys. 23 (1952) 1305,
        // fit to their measurements, from memory.
        let fit = [
            (900.0, 0.186),
            (1000.0, 0.258),
            (1100.0, 0.342),
            (1200.0, 0.435),
        ];
        for (t, measured) in fit {
            let a = ln_activity(&nickel, measured, Celsius(t)).unwrap().exp();
            assert!((a - 1.0).abs() < 0.16, "{t}: {a}");
        }
    }

    #[test]
    fn plain_iron_has_a_factor_of_one() {
        let gamma = factors(&[Composition::default()], 0.7, Celsius(1100.0));
        assert!((gamma[0] - 1.0).abs() < 1e-9);
        let odd = factors(&[Composition::default()], f64::NAN, Celsius(f64::NAN));
        assert_eq!(odd.len(), 1);
    }

    #[test]
    fn bad_input_is_refused() {
        let plain = Composition::default();
        assert!(carbon_beside(&plain, 0.0, Celsius(1100.0)).is_err());
        assert!(carbon_beside(&plain, 0.8, Celsius(600.0)).is_err());
    }
}
