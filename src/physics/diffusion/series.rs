//! Closed forms of diffusion, for a D that does not follow carbon. `F = theta / l^2` throughout.
//!
//! J. Crank, The Mathematics of Diffusion, 2nd ed. 1975, chapters 2 to 4 (series from memory); Callister,
//! Materials Science and Engineering, non-steady-state diffusion (seen). The laminate with a jump in
//! activity is worked out here: its modes have a node at every joint, so the jump changes only where
//! they end.

use crate::physics::erf::{erf, erfc, inverse_erf};
use std::f64::consts::{FRAC_2_SQRT_PI, PI};

/// Width of a blurred joint from 10 to 90 % of the step, over the root of theta: `4 inverse_erf(0.8)`.
pub const BLUR: f64 = 3.624_775_3;
/// Terms after which every series here has died out or is a step.
const TERMS: u32 = 2000;
/// The same for stacks whose layers are thick against the blur.
const MANY_TERMS: u32 = 200_000;

/// Concentration at depth x of a half space that started at `start` with its face held at `face`;
/// x and the root of `theta` in the same unit.
///
/// ```
/// # use anvilside::physics::diffusion::series::half_space;
/// let c = half_space(0.95, 0.0, 0.5, 8.505_704_386e-5 * 3600.0);
/// assert!((c - 0.453_271).abs() < 1e-6);
/// ```
#[must_use]
pub fn half_space(start: f64, face: f64, x: f64, theta: f64) -> f64 {
    if theta <= 0.0 {
        return start;
    }
    face + (start - face) * erf(x / (2.0 * theta.sqrt()))
}

/// What a half space has lost through its face: `2 (C0 - Cs) root(theta / pi)`.
#[must_use]
pub fn half_space_loss(start: f64, face: f64, theta: f64) -> f64 {
    (start - face) * FRAC_2_SQRT_PI * theta.max(0.0).sqrt()
}

/// The theta after which depth x holds `wanted`; NaN when it never does.
///
/// ```
/// # use anvilside::physics::diffusion::series::theta_to_reach;
/// let seconds = theta_to_reach(0.25, 1.20, 0.80, 0.5) / 1.6e-5;
/// assert!((seconds - 25_370.25).abs() < 0.1);
/// ```
#[must_use]
pub fn theta_to_reach(start: f64, face: f64, wanted: f64, x: f64) -> f64 {
    let z = inverse_erf((wanted - face) / (start - face));
    (x / (2.0 * z)).powi(2)
}

/// The depth that holds `wanted` after theta; NaN when none does.
#[must_use]
pub fn depth_of(start: f64, face: f64, wanted: f64, theta: f64) -> f64 {
    2.0 * theta.max(0.0).sqrt() * inverse_erf((wanted - face) / (start - face))
}

/// Concentration left at `place` of a sheet with both faces held at nothing, as a part of the start;
/// `place` from 0 in the middle to 1 at a face, `F = theta / (half thickness)^2`.
#[must_use]
pub fn sheet(f: f64, place: f64) -> f64 {
    let mut sum = 0.0;
    let mut sign = 1.0;
    for n in 0..TERMS {
        let odd = f64::from(2 * n + 1);
        let decay = (-(odd * PI / 2.0).powi(2) * f).exp();
        sum += sign / odd * (odd * PI / 2.0 * place).cos() * decay;
        sign = -sign;
        if decay < 1e-17 {
            break;
        }
    }
    4.0 / PI * sum
}

/// Mean concentration left in that sheet.
///
/// ```
/// # use anvilside::physics::diffusion::series::{sheet, sheet_mean};
/// assert!((sheet(0.2, 0.0) - 0.772_311_6).abs() < 1e-7);
/// assert!((sheet_mean(0.2) - 0.495_912_2).abs() < 1e-7);
/// ```
#[must_use]
pub fn sheet_mean(f: f64) -> f64 {
    odd_squares((PI / 2.0).powi(2) * f)
}

/// `8/pi^2 sum of exp(-(2n+1)^2 k) / (2n+1)^2`.
fn odd_squares(k: f64) -> f64 {
    let mut sum = 0.0;
    for n in 0..TERMS {
        let odd = f64::from(2 * n + 1);
        let decay = (-odd * odd * k).exp();
        sum += decay / (odd * odd);
        if decay < 1e-17 {
            break;
        }
    }
    8.0 / (PI * PI) * sum
}

/// Concentration at `place` (0 to 1) of a sealed bar that held 1 from 0 to `filled` and nothing beyond;
/// `F = theta / length^2`.
///
/// ```
/// # use anvilside::physics::diffusion::series::couple;
/// assert!((couple(0.5, 0.0, 0.05) - 0.886_155_8).abs() < 1e-7);
/// ```
#[must_use]
pub fn couple(filled: f64, place: f64, f: f64) -> f64 {
    let mut sum = 0.0;
    for n in 1..TERMS {
        let k = f64::from(n) * PI;
        let decay = (-k * k * f).exp();
        sum += (k * filled).sin() * (k * place).cos() * decay / k;
        if decay < 1e-17 {
            break;
        }
    }
    filled + 2.0 * sum
}

/// Part of the first difference left at `place` (0 in the middle of a layer, 1 at its joint) of an
/// endless stack of equal layers; `F = theta / layer^2`.
#[must_use]
pub fn laminate(f: f64, place: f64) -> f64 {
    sheet(4.0 * f, place)
}

/// Part of the first difference left between the means of two layers of that stack: the contrast.
///
/// ```
/// # use anvilside::physics::diffusion::series::{laminate_mean, theta_to_level};
/// assert!((laminate_mean(0.2822518) - 0.05).abs() < 1e-7);
/// assert!((theta_to_level(1.0, 0.05) - 0.2822518).abs() < 1e-6);
/// ```
#[must_use]
pub fn laminate_mean(f: f64) -> f64 {
    odd_squares(PI * PI * f.max(0.0))
}

/// The theta after which the contrast between equal layers of this thickness has come down to `left`
/// of its start; unit of the thickness squared.
#[must_use]
pub fn theta_to_level(layer: f64, left: f64) -> f64 {
    let (mut low, mut high) = (0.0, 4.0);
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if laminate_mean(middle) > left {
            low = middle;
        } else {
            high = middle;
        }
    }
    high * layer * layer
}

/// What two steels hold at rest, equal layers that started at `a` and `b`, with `ratio` the first over
/// the second at the joint.
#[must_use]
pub fn at_rest(a: f64, b: f64, ratio: f64) -> (f64, f64) {
    let second = (a + b) / (1.0 + ratio);
    (ratio * second, second)
}

/// The two sides of a joint between two thick bars from the first instant on: `start` of each side, the
/// ratio of the second over the first there, and the diffusivities.
///
/// ```
/// # use anvilside::physics::diffusion::series::joint;
/// let (silicon, plain) = joint((0.478, 0.441), 1.86, (3.3e-11, 3.3e-11));
/// assert!((silicon - 0.321_329).abs() < 1e-6 && (plain - 0.597_671).abs() < 1e-6);
/// ```
#[must_use]
pub fn joint(start: (f64, f64), ratio: f64, diffusivity: (f64, f64)) -> (f64, f64) {
    let (a, b) = (diffusivity.0.sqrt(), diffusivity.1.sqrt());
    let first = (a * start.0 + b * start.1) / (a + b * ratio);
    (first, ratio * first)
}

/// Concentration at depth x beside such a joint, on a side that started at `start` and has `at_joint`
/// there.
#[must_use]
pub fn beside_joint(start: f64, at_joint: f64, x: f64, theta: f64) -> f64 {
    if theta <= 0.0 {
        return start;
    }
    start + (at_joint - start) * erfc(x / (2.0 * theta.sqrt()))
}

/// Means of the layers of a sealed stack after theta, exact for one diffusivity and no jump: the way to
/// work out nickel. `layers` are thickness and start; thickness squared and theta in the same unit.
///
/// ```
/// # use anvilside::physics::diffusion::series::layer_means;
/// let stack = [(5.0, 0.0), (5.0, 2.0), (5.0, 0.0), (5.0, 2.0), (5.0, 0.0)];
/// let nickel = layer_means(&stack, 1.303_379e-6 * 1e6);
/// assert!((nickel[0] - 0.25747).abs() < 1e-5);
/// assert!((nickel[1] - 1.48524).abs() < 1e-5);
/// ```
#[must_use]
pub fn layer_means(layers: &[(f64, f64)], theta: f64) -> Vec<f64> {
    let whole: f64 = layers.iter().map(|l| l.0).sum();
    let mean = layers.iter().map(|l| l.0 * l.1).sum::<f64>() / whole;
    let mut means: Vec<f64> = vec![mean; layers.len()];
    for n in 1..MANY_TERMS {
        let k = f64::from(n) * PI / whole;
        let decay = (-k * k * theta).exp();
        if decay < 1e-17 {
            break;
        }
        let mut at = 0.0;
        let waves: Vec<f64> = layers
            .iter()
            .map(|&(h, _)| {
                let wave = (k * (at + h)).sin() - (k * at).sin();
                at += h;
                wave / k
            })
            .collect();
        let strength: f64 = layers.iter().zip(&waves).map(|(l, w)| l.1 * w).sum();
        for ((mean, layer), wave) in means.iter_mut().zip(layers).zip(&waves) {
            *mean += 2.0 / whole * strength * decay * wave / layer.0;
        }
    }
    means
}

#[cfg(test)]
mod tests {
    use super::{
        BLUR, beside_joint, couple, depth_of, half_space_loss, joint, laminate, layer_means, sheet,
        theta_to_reach,
    };
    use crate::physics::erf::inverse_erf;

    #[test]
    fn the_blur_is_four_inverse_erf_of_eight_tenths() {
        assert!((BLUR - 4.0 * inverse_erf(0.8)).abs() < 1e-6);
    }

    #[test]
    fn depth_and_time_undo_each_other() {
        let theta = theta_to_reach(0.55, 0.0, 0.25, 1.0638);
        assert!((theta / (4.3e-5 * 36_000.0) - 1.0).abs() < 1e-4);
        assert!((depth_of(0.55, 0.0, 0.25, theta) - 1.0638).abs() < 1e-9);
        assert!(theta_to_reach(0.5, 0.0, 0.8, 1.0).is_nan());
    }

    #[test]
    fn a_couple_keeps_its_carbon() {
        let steps = 1000_u32;
        let mean: f64 = (0..steps)
            .map(|i| couple(0.25, (f64::from(i) + 0.5) / f64::from(steps), 0.05))
            .sum::<f64>()
            / f64::from(steps);
        assert!((mean - 0.25).abs() < 1e-6);
    }

    #[test]
    fn both_sides_of_a_joint_pass_the_same() {
        let (a, b) = joint((0.478, 0.441), 1.86, (3.3e-11, 6.6e-11));
        let out = 3.3e-11_f64.sqrt() * (0.478 - a);
        let into = 6.6e-11_f64.sqrt() * (b - 0.441);
        assert!((out / into - 1.0).abs() < 1e-12);
        let near = beside_joint(0.478, a, 0.0, 1.0);
        assert!((near - a).abs() < 1e-12);
    }

    #[test]
    fn early_series_agree_with_the_half_space() {
        let thin = 1.0 - super::sheet_mean(1e-4);
        assert!((thin - half_space_loss(1.0, 0.0, 1e-4)).abs() < 1e-6);
        assert!((sheet(1e-5, 0.5) - 1.0).abs() < 1e-9);
        assert!((laminate(10.0, 0.0)).abs() < 1e-30);
    }

    #[test]
    fn layer_means_of_nothing_and_of_one() {
        assert!(layer_means(&[], 1.0).is_empty());
        assert!((layer_means(&[(2.0, 0.7)], 0.3)[0] - 0.7).abs() < 1e-12);
    }
}
