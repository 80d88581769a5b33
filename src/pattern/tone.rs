//! How bright each steel comes out of the etch.
//!
//! Nickel keeps its shine, chromium some of it; carbon darkens (a hard, carbon-rich face takes the
//! black of the bath), manganese more so in a hard steel; nickel holds that off. Common practice, no
//! source; the scale is our own: the share of light sent back, 0 black to 1 white.

use crate::metal::Composition;
use crate::units::Mm;

/// The tone of one steel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tone {
    /// Light sent back, 0 to 1, with the carbon of the whole billet: what stays sharp, since nickel,
    /// chromium and manganese hardly move.
    pub kept: f64,
    /// What this steel's own carbon adds or takes: it blurs as carbon evens out.
    pub carbon: f64,
}

impl Tone {
    /// Of a steel, with the mean carbon of the billet, mass %.
    #[must_use]
    pub fn of(steel: &Composition, mean_carbon: f64) -> Self {
        let kept = etched_light(&steel.with_carbon(mean_carbon));
        Self {
            kept,
            carbon: etched_light(steel) - kept,
        }
    }

    /// Light sent back while its own carbon is still in place.
    #[must_use]
    pub fn whole(&self) -> f64 {
        self.kept + self.carbon
    }
}

/// Carbon at which a quenched face is half way from bright to dark, mass %: under it little turns to
/// martensite in a plain steel, over 0.6 nearly all does.
const HALF_HARD: f64 = 0.4;

/// Share of the darkening of a hard face that this much carbon gives, 0 to 1.
fn hardened(carbon: f64) -> f64 {
    let times = (carbon.max(0.0) / HALF_HARD).powi(4);
    times / (1.0 + times)
}

/// How soft the line between a hard and a soft steel looks, from how far carbon has spread across it
/// (standard deviations both).
///
/// The etch darkens between about 0.25 and 0.6 % of carbon, so that between 0.05 % and 0.95 % the eye
/// sees half of the spread: the middle two thirds of the change of tone lie on that much less of it.
///
/// ```
/// # use anvilside::{pattern::seen_softness, units::Mm};
/// assert!(seen_softness(Mm(0.6)).near(Mm(0.3), 1e-9));
/// ```
#[must_use]
pub fn seen_softness(carbon_spread: Mm) -> Mm {
    carbon_spread * 0.5
}

/// Light sent back by an etched face of this composition, 0 to 1.
///
/// ```
/// # use anvilside::{metal::Catalogue, pattern::etched_light};
/// let of = |name| Catalogue::builtin().find(name).map(|steel| etched_light(&steel.nominal));
/// let (dark, bright) = (of("SAE 1084")?, of("75Ni8")?);
/// assert!(dark < 0.08 && bright > 0.5);
/// # Ok::<(), anvilside::metal::UnknownSteel>(())
/// ```
#[must_use]
pub fn etched_light(steel: &Composition) -> f64 {
    let grows = |amount: f64, by: f64| 1.0 - (-amount.max(0.0) / by).exp();
    let hard = hardened(steel.c) * (0.6 + 0.4 * grows(steel.mn, 0.5));
    let shine = 0.33 * grows(steel.ni, 1.2) + 0.10 * grows(steel.cr, 1.5);
    let seen = 0.62 + shine - 0.50 * hard * (-steel.ni.max(0.0) / 0.7).exp();
    // The eye's step to light: a power of 2.2.
    seen.clamp(0.02, 1.0).powf(2.2)
}

/// A tone as one of 256 grey steps of a screen (sRGB, IEC 61966-2-1).
#[must_use]
pub(crate) fn screen(light: f64) -> u8 {
    static STEPS: std::sync::OnceLock<Vec<u8>> = std::sync::OnceLock::new();
    // Even in the square root: fine enough in the dark for every step.
    let steps = STEPS.get_or_init(|| {
        (0..=FINE)
            .map(|n| step((f64::from(n) / f64::from(FINE)).powi(2)))
            .collect()
    });
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "held to 0..1 first"
    )]
    let at = (light.clamp(0.0, 1.0).sqrt() * f64::from(FINE)).round() as usize;
    steps.get(at).copied().unwrap_or(0)
}

const FINE: u16 = 4096;

fn step(light: f64) -> u8 {
    let s = if light <= 0.003_130_8 {
        12.92 * light
    } else {
        1.055 * light.powf(1.0 / 2.4) - 0.055
    };
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "0..1 in, 0..255 out"
    )]
    let step = (255.0 * s).round() as u8;
    step
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nickel_is_bright_manganese_dark_and_low_carbon_between() {
        let dark = Composition {
            c: 0.84,
            mn: 0.75,
            ..Composition::default()
        };
        let bright = Composition {
            c: 0.75,
            mn: 0.4,
            ni: 2.0,
            ..Composition::default()
        };
        let plain = Composition {
            c: 0.05,
            mn: 0.3,
            ..Composition::default()
        };
        let nickel = Composition {
            ni: 99.0,
            ..Composition::default()
        };
        assert!(
            etched_light(&dark) < etched_light(&plain)
                && etched_light(&plain) < etched_light(&bright)
        );
        assert!(etched_light(&bright) < etched_light(&nickel));
        let less = Composition { mn: 0.4, ..dark };
        assert!(etched_light(&dark) < etched_light(&less));
    }

    // A step of carbon from 0.05 to 0.95 % that has spread by 1: where the tone has made a sixth and
    // five sixths of its change, against the same places of an even step (one on either side).
    #[test]
    fn the_eye_sees_half_of_the_spread_of_carbon() {
        let normal = |x: f64| 0.5 * (1.0 + libm::erf(x / std::f64::consts::SQRT_2));
        let tone = |x: f64| hardened(0.05 + 0.90 * normal(x));
        let (low, high) = (hardened(0.05), hardened(0.95));
        let place = |share: f64| {
            let (mut a, mut b) = (-6.0, 6.0);
            for _ in 0..60 {
                let mid = 0.5 * (a + b);
                if (tone(mid) - low) / (high - low) < share {
                    a = mid;
                } else {
                    b = mid;
                }
            }
            a
        };
        let one = normal(1.0);
        let half = 0.5 * (place(one) - place(1.0 - one));
        let ours = seen_softness(Mm(1.0)).0;
        assert!((half - ours).abs() < 0.06, "{half} {ours}");
    }

    #[test]
    fn even_carbon_leaves_only_what_does_not_move() {
        let a = Composition {
            c: 1.0,
            ..Composition::default()
        };
        let b = Composition::default();
        let (a, b) = (Tone::of(&a, 0.4), Tone::of(&b, 0.4));
        assert!((a.kept - b.kept).abs() < 1e-12);
        assert!(a.carbon < 0.0 && b.carbon > 0.0);
    }

    // IEC 61966-2-1: linear 0.214041 is the middle grey 127.5/255 (from memory).
    #[test]
    fn screen_steps() {
        assert_eq!(screen(0.0), 0);
        assert_eq!(screen(1.0), 255);
        assert!((i32::from(screen(0.214_041)) - 127).abs() <= 1);
        for n in 0..=1000 {
            let light = f64::from(n) / 1000.0;
            assert!(screen(light).abs_diff(step(light)) <= 1);
        }
    }
}
