//! Conduction with a film on the faces: series solutions for the plate and the round bar.
//!
//! Half thickness or radius `L`, film `h`, conductivity `k`, diffusivity `a`, time `t`:
//! `Bi = h L/k`, `Fo = a t/L^2`, and `theta` the part of the first temperature difference that is
//! left at the centre.
//!
//! - Plate: `z tan z = Bi`, `C = 4 sin z/(2 z + sin 2 z)`, `theta = sum C exp(-z^2 Fo)`.
//! - Round bar: `z J1(z)/J0(z) = Bi`, `C = 2/z J1/(J0^2 + J1^2)`.
//! - Rectangular bar: the product of two plates.
//!
//! Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, 5.5 to 5.8 and table 5.1 (from
//! memory). Valid for every `Bi` above 0 (an infinite one is a fixed face temperature) and every
//! `Fo` of 0.05 and more; smaller `Fo` is held at 0.05. Constant properties.

use super::Law;
use crate::metal::Mark;

/// The card of this law.
pub const LAW: Law = Law {
    key: "conduction",
    title: "plate and round bar cooled through a film (series)",
    source: "Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, 5.5 to 5.8",
    mark: Mark::FromMemory,
    valid: "Bi above 0, Fo 0.05 and more, constant properties; smaller Fo is held at 0.05",
};

const TERMS: u32 = 8;

/// First zeros of `J0` and `J1` (Abramowitz and Stegun, table 9.5, from memory; a test holds them).
const ZEROS: [(f64, f64); 8] = [
    (0.0, 2.404_825_557_695_773),
    (3.831_705_970_207_512, 5.520_078_110_286_311),
    (7.015_586_669_815_619, 8.653_727_912_911_013),
    (10.173_468_135_062_722, 11.791_534_439_014_281),
    (13.323_691_936_314_223, 14.930_917_708_487_787),
    (16.470_630_050_877_634, 18.071_063_967_910_924),
    (19.615_858_510_468_243, 21.211_636_629_879_26),
    (22.760_084_380_592_772, 24.352_471_530_749_302),
];

/// Two shapes with a series solution.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// A wide plate; length is half its thickness.
    Plate,
    /// A long round bar; length is its radius.
    Round,
}

/// One term of a series: `weight x exp(-root^2 Fo)`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Term {
    /// `z`, rad.
    pub root: f64,
    /// `C`.
    pub weight: f64,
}

/// The terms of a shape's series, from the slowest on.
///
/// ```
/// # use anvilside::physics::conduction::{Shape, terms};
/// let first = terms(Shape::Plate, 1.0).next().map(|t| (t.root, t.weight));
/// assert!(first.is_some_and(|(z, c)| (z - 0.8603).abs() < 1e-4 && (c - 1.1191).abs() < 1e-4));
/// ```
pub fn terms(shape: Shape, biot: f64) -> impl Iterator<Item = Term> {
    use std::f64::consts::{FRAC_PI_2, PI};
    let plate = (0..TERMS)
        .filter(move |_| shape == Shape::Plate)
        .map(move |index| {
            let low = f64::from(index) * PI;
            let root = root(low, low + FRAC_PI_2, |z| z * z.sin() - film(biot, z.cos()));
            let weight = 4.0 * root.sin() / (2.0 * root + (2.0 * root).sin());
            Term { root, weight }
        });
    let round = ZEROS
        .iter()
        .filter(move |_| shape == Shape::Round)
        .map(move |(low, high)| {
            let root = root(*low, *high, |z| z * bessel(1, z) - film(biot, bessel(0, z)));
            let (j0, j1) = (bessel(0, root), bessel(1, root));
            let weight = 2.0 / root * j1 / (j0 * j0 + j1 * j1);
            Term { root, weight }
        });
    plate.chain(round)
}

/// What is left at the centre of the first temperature difference.
#[must_use]
pub fn centre(shape: Shape, biot: f64, fourier: f64) -> f64 {
    let fourier = fourier.max(0.05);
    terms(shape, biot)
        .map(|term| term.weight * (-term.root * term.root * fourier).exp())
        .sum()
}

/// `Fo` at which the centre keeps this part of the first difference, held to 0.01 to 0.8.
///
/// ```
/// # use anvilside::physics::conduction::{Shape, fourier_at_centre};
/// let half = fourier_at_centre(Shape::Round, f64::INFINITY, 0.5);
/// assert!((half - 0.20052).abs() < 1e-4);
/// ```
#[must_use]
pub fn fourier_at_centre(shape: Shape, biot: f64, left: f64) -> f64 {
    let series: Vec<Term> = terms(shape, biot).collect();
    let left = left.clamp(0.01, 0.8);
    let first = series.first().map_or(1.0, |term| term.root);
    let (mut low, mut high) = (0.05, 0.05 + 6.0 / (first * first).max(1e-12));
    for _ in 0..60 {
        let mid = f64::midpoint(low, high);
        let value: f64 = series
            .iter()
            .map(|term| term.weight * (-term.root * term.root * mid).exp())
            .sum();
        if value > left {
            low = mid;
        } else {
            high = mid;
        }
    }
    f64::midpoint(low, high)
}

/// `Bi x value`, with the face term alone deciding when the film is perfect.
fn film(biot: f64, value: f64) -> f64 {
    biot.clamp(1e-9, 1e12) * value
}

fn root(low: f64, high: f64, of: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (low, high);
    let rising = of(high) > of(low);
    for _ in 0..54 {
        let mid = f64::midpoint(low, high);
        if (of(mid) < 0.0) == rising {
            low = mid;
        } else {
            high = mid;
        }
    }
    f64::midpoint(low, high)
}

/// `J0` or `J1` by the trapezoid rule on Bessel's integral over half a turn, exact to rounding for
/// `x` under 40.
fn bessel(order: u32, x: f64) -> f64 {
    let parts = 36_u32;
    let inside: f64 = (1..parts)
        .map(|k| {
            let angle = std::f64::consts::PI * f64::from(k) / f64::from(parts);
            (f64::from(order) * angle - x * angle.sin()).cos()
        })
        .sum();
    let ends = if order == 0 { 1.0 } else { 0.0 };
    (inside + ends) / f64::from(parts)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bessel_is_bessel() {
        // Abramowitz and Stegun, table 9.1 (from memory).
        assert!((bessel(0, 1.0) - 0.765_197_686_6).abs() < 1e-10);
        assert!((bessel(1, 1.0) - 0.440_050_585_7).abs() < 1e-10);
        for (of_j1, of_j0) in ZEROS {
            assert!(bessel(0, of_j0).abs() < 1e-12, "{of_j0}");
            assert!(bessel(1, of_j1).abs() < 1e-12, "{of_j1}");
        }
    }

    #[test]
    fn nothing_is_lost_at_the_start() {
        for shape in [Shape::Plate, Shape::Round] {
            for biot in [0.01, 0.3, 3.0, 300.0, f64::INFINITY] {
                assert!(
                    (centre(shape, biot, 0.05) - 1.0).abs() < 0.04,
                    "{shape:?} {biot}"
                );
                assert!(centre(shape, biot, 0.3) < 1.0);
            }
        }
    }
}
