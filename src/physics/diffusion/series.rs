//! Closed forms of diffusion, for a D that does not follow carbon. `F = theta / l^2` throughout.
//!
//! J. Crank, The Mathematics of Diffusion, 2nd ed. 1975, chapters 2 to 4 (series from memory); Callister,
//! Materials Science and Engineering, non-steady-state diffusion (seen). The laminate with a jump in
//! activity is worked out here: its modes have a node at every joint, so the jump changes only where
//! they end.

use std::f64::consts::PI;

/// Width of a blurred joint from 10 to 90 % of the step, over the root of theta: `4 inverse_erf(0.8)`.
pub const BLUR: f64 = 3.624_775_3;
/// Terms after which every series here has died out or is a step.
const TERMS: u32 = 2000;
/// The same for stacks whose layers are thick against the blur.
const MANY_TERMS: u32 = 200_000;

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

/// Part of the first difference left between the means of two layers of that stack: the contrast.
///
/// ```
/// # use anvilside::physics::diffusion::series::laminate_mean;
/// assert!((laminate_mean(0.2822518) - 0.05).abs() < 1e-7);
/// ```
#[must_use]
pub fn laminate_mean(f: f64) -> f64 {
    odd_squares(PI * PI * f.max(0.0))
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
    use super::{BLUR, layer_means};
    use crate::physics::erf::inverse_erf;

    #[test]
    fn the_blur_is_four_inverse_erf_of_eight_tenths() {
        assert!((BLUR - 4.0 * inverse_erf(0.8)).abs() < 1e-6);
    }

    #[test]
    fn layer_means_of_nothing_and_of_one() {
        assert!(layer_means(&[], 1.0).is_empty());
        assert!((layer_means(&[(2.0, 0.7)], 0.3)[0] - 0.7).abs() < 1e-12);
    }
}
