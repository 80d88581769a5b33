//! Closed forms of diffusion, for a D that does not follow carbon. `F = theta / l^2` throughout.
//!
//! J. Crank, The Mathematics of Diffusion, 2nd ed. 1975, chapters 2 to 4 (series from memory); Callister,
//! Materials Science and Engineering, non-steady-state diffusion (seen). The laminate with a jump in
//! activity is worked out here: its modes have a node at every joint, so the jump changes only where
//! they end.

use anvilside::physics::diffusion::series::laminate_mean;
use anvilside::physics::erf::{erf, erfc, inverse_erf};
use std::f64::consts::{FRAC_2_SQRT_PI, PI};

/// Terms after which every series here has died out or is a step.
const TERMS: u32 = 2000;
/// Concentration at depth x of a half space that started at `start` with its face held at `face`;
/// x and the root of `theta` in the same unit.
pub(crate) fn half_space(start: f64, face: f64, x: f64, theta: f64) -> f64 {
    if theta <= 0.0 {
        return start;
    }
    face + (start - face) * erf(x / (2.0 * theta.sqrt()))
}

/// What a half space has lost through its face: `2 (C0 - Cs) root(theta / pi)`.
pub(crate) fn half_space_loss(start: f64, face: f64, theta: f64) -> f64 {
    (start - face) * FRAC_2_SQRT_PI * theta.max(0.0).sqrt()
}

/// The theta after which depth x holds `wanted`; NaN when it never does.
pub(crate) fn theta_to_reach(start: f64, face: f64, wanted: f64, x: f64) -> f64 {
    let z = inverse_erf((wanted - face) / (start - face));
    (x / (2.0 * z)).powi(2)
}

/// The depth that holds `wanted` after theta; NaN when none does.
pub(crate) fn depth_of(start: f64, face: f64, wanted: f64, theta: f64) -> f64 {
    2.0 * theta.max(0.0).sqrt() * inverse_erf((wanted - face) / (start - face))
}

/// Concentration left at `place` of a sheet with both faces held at nothing, as a part of the start;
/// `place` from 0 in the middle to 1 at a face, `F = theta / (half thickness)^2`.
pub(crate) fn sheet(f: f64, place: f64) -> f64 {
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
pub(crate) fn sheet_mean(f: f64) -> f64 {
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
pub(crate) fn couple(filled: f64, place: f64, f: f64) -> f64 {
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
pub(crate) fn laminate(f: f64, place: f64) -> f64 {
    sheet(4.0 * f, place)
}

/// The theta after which the contrast between equal layers of this thickness has come down to `left`
/// of its start; unit of the thickness squared.
pub(crate) fn theta_to_level(layer: f64, left: f64) -> f64 {
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
pub(crate) fn at_rest(a: f64, b: f64, ratio: f64) -> (f64, f64) {
    let second = (a + b) / (1.0 + ratio);
    (ratio * second, second)
}

/// The two sides of a joint between two thick bars from the first instant on: `start` of each side, the
/// ratio of the second over the first there, and the diffusivities.
pub(crate) fn joint(start: (f64, f64), ratio: f64, diffusivity: (f64, f64)) -> (f64, f64) {
    let (a, b) = (diffusivity.0.sqrt(), diffusivity.1.sqrt());
    let first = (a * start.0 + b * start.1) / (a + b * ratio);
    (first, ratio * first)
}

/// Concentration at depth x beside such a joint, on a side that started at `start` and has `at_joint`
/// there.
pub(crate) fn beside_joint(start: f64, at_joint: f64, x: f64, theta: f64) -> f64 {
    if theta <= 0.0 {
        return start;
    }
    start + (at_joint - start) * erfc(x / (2.0 * theta.sqrt()))
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
    let thin = 1.0 - sheet_mean(1e-4);
    assert!((thin - half_space_loss(1.0, 0.0, 1e-4)).abs() < 1e-6);
    assert!((sheet(1e-5, 0.5) - 1.0).abs() < 1e-9);
    assert!((laminate(10.0, 0.0)).abs() < 1e-30);
}

// Callister's worked problems (seen) and Crank's tables (from memory).
#[test]
fn worked_points() {
    let c = half_space(0.95, 0.0, 0.5, 8.505_704_386e-5 * 3600.0);
    assert!((c - 0.453_271).abs() < 1e-6);
    let seconds = theta_to_reach(0.25, 1.20, 0.80, 0.5) / 1.6e-5;
    assert!((seconds - 25_370.25).abs() < 0.1);
    assert!((sheet(0.2, 0.0) - 0.772_311_6).abs() < 1e-7);
    assert!((sheet_mean(0.2) - 0.495_912_2).abs() < 1e-7);
    assert!((couple(0.5, 0.0, 0.05) - 0.886_155_8).abs() < 1e-7);
    assert!((theta_to_level(1.0, 0.05) - 0.282_251_8).abs() < 1e-6);
    let (silicon, plain) = joint((0.478, 0.441), 1.86, (3.3e-11, 3.3e-11));
    assert!((silicon - 0.321_329).abs() < 1e-6 && (plain - 0.597_671).abs() < 1e-6);
}
