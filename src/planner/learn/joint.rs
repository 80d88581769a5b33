//! Several numbers learnt together from sums of them: what a draw lost and what a trim took are only
//! seen as one change of mass, and a slow smith is slow at everything.
//!
//! `y_j ~ N(x_j . theta, s_j^2)` with independent normal priors: the precision is
//! `P = diag(1/v0) + sum x_j x_j^T/s_j^2`, the mean `P^-1 (m0/v0 + sum x_j y_j/s_j^2)` (Bayesian linear
//! regression, as in Gelman et al., Bayesian Data Analysis, chapter 14; from memory).
//!
//! One mistyped reading must not teach the shop a lesson: an observation further than three
//! deviations from what all the others say is left out, the furthest first. Leaving one out costs
//! no new fit: with `q = x^T P^-1 x` and `e` its residual, the others miss it by
//! `e / sqrt(s^2 - q)` deviations.

use super::normal::Normal;

/// Further off than so many deviations is left out.
const FAR: f64 = 3.0;
/// How many observations the scatter that is assumed weighs as much as.
const ASSUMED: f64 = 8.0;

/// One observation: a sum of the numbers, each times a factor, give or take `sd`.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Sum {
    /// Places of the numbers in it, and how many times each is.
    pub(super) parts: Vec<(usize, f64)>,
    /// What was seen.
    pub(super) value: f64,
    /// One deviation of what was seen.
    pub(super) sd: f64,
}

/// A square table of numbers.
#[derive(Debug, Clone, PartialEq)]
struct Square {
    side: usize,
    all: Vec<f64>,
}

impl Square {
    fn zero(side: usize) -> Self {
        Self {
            side,
            all: vec![0.0; side * side],
        }
    }

    fn at(&self, row: usize, column: usize) -> f64 {
        self.all
            .get(row * self.side + column)
            .copied()
            .unwrap_or(0.0)
    }

    fn set(&mut self, row: usize, column: usize, value: f64) {
        if let Some(cell) = self.all.get_mut(row * self.side + column) {
            *cell = value;
        }
    }

    /// The lower root `L` with `L L^T` the table; a pivot that is not above zero counts as none.
    fn root(&self) -> Self {
        let mut root = Self::zero(self.side);
        for row in 0..self.side {
            for column in 0..=row {
                let before: f64 = (0..column)
                    .map(|k| root.at(row, k) * root.at(column, k))
                    .sum();
                let left = self.at(row, column) - before;
                let value = if row == column {
                    left.max(0.0).sqrt()
                } else {
                    let pivot = root.at(column, column);
                    if pivot > 0.0 { left / pivot } else { 0.0 }
                };
                root.set(row, column, value);
            }
        }
        root
    }

    /// The inverse of a table whose lower root this is.
    fn inverse_by_root(&self) -> Self {
        let mut inverse = Self::zero(self.side);
        for column in 0..self.side {
            // L y = e, then L^T x = y.
            let mut y = vec![0.0; self.side];
            for row in 0..self.side {
                let before: f64 = (0..row)
                    .map(|k| self.at(row, k) * y.get(k).copied().unwrap_or(0.0))
                    .sum();
                let unit = f64::from(u8::from(row == column));
                put(&mut y, row, (unit - before) / self.at(row, row));
            }
            let mut x = vec![0.0; self.side];
            for row in (0..self.side).rev() {
                let after: f64 = (row + 1..self.side)
                    .map(|k| self.at(k, row) * x.get(k).copied().unwrap_or(0.0))
                    .sum();
                let y = y.get(row).copied().unwrap_or(0.0);
                put(&mut x, row, (y - after) / self.at(row, row));
            }
            for (row, value) in x.into_iter().enumerate() {
                inverse.set(row, column, value);
            }
        }
        inverse
    }
}

fn put(values: &mut [f64], at: usize, value: f64) {
    if let Some(cell) = values.get_mut(at) {
        *cell = value;
    }
}

/// What is believed of several numbers.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Joint {
    mean: Vec<f64>,
    spread: Square,
}

/// What the observations teach.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Taught {
    /// The belief after.
    pub(super) belief: Joint,
    /// Places of the observations that were left out.
    pub(super) left_out: Vec<usize>,
    /// How far each observation lies from the belief, in its own deviations; those left out are NaN.
    pub(super) off: Vec<f64>,
}

impl Joint {
    /// Learns from all observations but the far ones.
    pub(super) fn learn(prior: &[Normal], seen: &[Sum]) -> Taught {
        let mut kept = vec![true; seen.len()];
        let most = seen.len().div_ceil(3);
        let mut belief = fit(prior, seen, &kept);
        for _ in 0..=2 * most {
            let worst = furthest(&belief, seen, &kept);
            let room = kept.iter().filter(|kept| !**kept).count() < most;
            match worst {
                Some((at, true)) if room => set(&mut kept, at, false),
                Some((at, false)) => set(&mut kept, at, true),
                _ => break,
            }
            belief = fit(prior, seen, &kept);
        }
        let off = seen
            .iter()
            .zip(&kept)
            .map(|(one, kept)| {
                if *kept {
                    (one.value - belief.of(&one.parts).mean) / one.sd
                } else {
                    f64::NAN
                }
            })
            .collect();
        Taught {
            belief,
            left_out: (0..seen.len())
                .filter(|at| kept.get(*at) == Some(&false))
                .collect(),
            off,
        }
    }

    /// Mean and deviation of a sum of the numbers.
    pub(super) fn of(&self, parts: &[(usize, f64)]) -> Normal {
        let mean = parts
            .iter()
            .map(|(at, times)| times * self.mean.get(*at).copied().unwrap_or(0.0))
            .sum();
        let variance: f64 = parts
            .iter()
            .flat_map(|(row, a)| {
                parts
                    .iter()
                    .map(move |(column, b)| a * b * self.spread.at(*row, *column))
            })
            .sum();
        Normal {
            mean,
            sd: variance.max(0.0).sqrt(),
        }
    }

    /// Ready to be drawn from.
    pub(super) fn dice(&self) -> Dice {
        Dice {
            mean: self.mean.clone(),
            root: self.spread.root(),
        }
    }
}

/// A belief to draw from.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Dice {
    mean: Vec<f64>,
    root: Square,
}

impl Dice {
    /// All numbers at once, with what holds them together.
    pub(super) fn draw(&self, chance: &mut crate::planner::chance::Chance) -> Vec<f64> {
        let free: Vec<f64> = self.mean.iter().map(|_| chance.normal()).collect();
        self.mean
            .iter()
            .enumerate()
            .map(|(row, mean)| {
                let moved: f64 = free
                    .iter()
                    .take(row + 1)
                    .enumerate()
                    .map(|(column, z)| self.root.at(row, column) * z)
                    .sum();
                mean + moved
            })
            .collect()
    }
}

fn set(kept: &mut [bool], at: usize, value: bool) {
    if let Some(cell) = kept.get_mut(at) {
        *cell = value;
    }
}

fn fit(prior: &[Normal], seen: &[Sum], kept: &[bool]) -> Joint {
    let side = prior.len();
    let mut precision = Square::zero(side);
    let mut pushed = vec![0.0; side];
    for (at, one) in prior.iter().enumerate() {
        let weight = 1.0 / (one.sd * one.sd).max(1e-24);
        precision.set(at, at, weight);
        put(&mut pushed, at, one.mean * weight);
    }
    for (one, _) in seen.iter().zip(kept).filter(|(_, kept)| **kept) {
        let weight = 1.0 / (one.sd * one.sd).max(1e-24);
        for (row, a) in &one.parts {
            for (column, b) in &one.parts {
                let old = precision.at(*row, *column);
                precision.set(*row, *column, old + weight * a * b);
            }
            let old = pushed.get(*row).copied().unwrap_or(0.0);
            put(&mut pushed, *row, old + weight * a * one.value);
        }
    }
    let spread = precision.root().inverse_by_root();
    let mean = (0..side)
        .map(|row| {
            pushed
                .iter()
                .enumerate()
                .map(|(column, push)| spread.at(row, column) * push)
                .sum()
        })
        .collect();
    Joint { mean, spread }
}

/// The observation that is most out of its place: kept and too far off (true), or left out and near
/// after all (false).
fn furthest(belief: &Joint, seen: &[Sum], kept: &[bool]) -> Option<(usize, bool)> {
    let mut worst: Option<(usize, f64)> = None;
    let mut near: Option<usize> = None;
    for (at, (one, kept)) in seen.iter().zip(kept).enumerate() {
        let now = belief.of(&one.parts);
        let residual = one.value - now.mean;
        let (noise, known) = (one.sd * one.sd, now.sd * now.sd);
        let variance = if *kept {
            (noise - known).max(noise * 1e-6)
        } else {
            noise + known
        };
        let far = residual.abs() / variance.sqrt();
        let far = if far.is_nan() { f64::INFINITY } else { far };
        if *kept && far > FAR && worst.is_none_or(|(_, most)| far > most) {
            worst = Some((at, far));
        }
        if !*kept && far < FAR {
            near = Some(at);
        }
    }
    worst
        .map(|(at, _)| (at, true))
        .or(near.map(|at| (at, false)))
}

/// Scatter seen over scatter assumed, pulled towards 1 while observations are few.
pub(super) fn scatter(off: impl Iterator<Item = f64>) -> f64 {
    let (mut squares, mut count) = (0.0, 0.0);
    for one in off.filter(|one| one.is_finite()) {
        squares += one * one;
        count += 1.0;
    }
    ((ASSUMED + squares) / (ASSUMED + f64::max(count - 1.0, 0.0))).sqrt()
}

#[cfg(test)]
mod tests {
    use super::super::normal::{Normal, Observation};
    use super::{Joint, Sum, scatter};
    use crate::planner::chance::Chance;

    const PRIOR: Normal = Normal {
        mean: 0.04,
        sd: 0.0155,
    };

    fn seen(values: &[f64]) -> Vec<Sum> {
        values
            .iter()
            .map(|value| Sum {
                parts: vec![(0, 1.0)],
                value: *value,
                sd: 0.0128,
            })
            .collect()
    }

    fn learn(values: &[f64]) -> (Normal, Vec<usize>) {
        let taught = Joint::learn(&[PRIOR], &seen(values));
        (taught.belief.of(&[(0, 1.0)]), taught.left_out)
    }

    #[test]
    fn one_number_alone_is_the_normal_update() {
        let log = [(0.045, 5.0), (0.024, 4.0), (0.052, 6.0)];
        let prior = Normal {
            mean: 0.006,
            sd: 0.003,
        };
        let plain = prior.learn(&log.map(|(y, n)| Observation::sum(y, n, 0.002, 0.010)));
        let sums: Vec<Sum> = log
            .iter()
            .map(|(y, n)| Sum {
                parts: vec![(0, *n)],
                value: *y,
                sd: (n * 0.002_f64.powi(2) + 0.010_f64.powi(2)).sqrt(),
            })
            .collect();
        let joint = Joint::learn(&[prior], &sums).belief.of(&[(0, 1.0)]);
        assert!((joint.mean - plain.mean).abs() < 1e-12);
        assert!((joint.sd - plain.sd).abs() < 1e-12);
    }

    #[test]
    fn two_numbers_seen_only_together() {
        // y = a + b: the sum gets sure, the difference does not (2 x 2 by hand: prior 1 and 1,
        // one observation of sd 0.1: var(a + b) = 2 * 0.01/2.01, var(a - b) = 2).
        let one = Normal { mean: 0.0, sd: 1.0 };
        let sum = Sum {
            parts: vec![(0, 1.0), (1, 1.0)],
            value: 1.0,
            sd: 0.1,
        };
        let belief = Joint::learn(&[one, one], &[sum]).belief;
        let both = belief.of(&[(0, 1.0), (1, 1.0)]);
        assert!((both.sd * both.sd - 2.0 * 0.01 / 2.01).abs() < 1e-9);
        let apart = belief.of(&[(0, 1.0), (1, -1.0)]);
        assert!((apart.sd * apart.sd - 2.0).abs() < 1e-9);
        assert!((belief.of(&[(0, 1.0)]).mean - 1.0 / 2.01).abs() < 1e-9);
        let dice = belief.dice();
        let mut chance = Chance::new(4);
        let sums: Vec<f64> = (0..4000)
            .map(|_| dice.draw(&mut chance).iter().sum())
            .collect();
        let mean = sums.iter().sum::<f64>() / 4000.0;
        let variance = sums.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / 4000.0;
        assert!((variance.sqrt() - both.sd).abs() < 0.01);
    }

    #[test]
    fn one_mistyped_reading_changes_little() {
        let clean = [0.031, 0.036, 0.029, 0.041, 0.034, 0.038];
        let (plain, none) = learn(&clean);
        assert!(none.is_empty());
        // 14 typed as 41 or 4: log losses of -1 and more; then the next bar reads the other way.
        for wrong in [-1.07, 1.25, 0.3, -0.2] {
            let mut with = clean.to_vec();
            with.insert(2, wrong);
            let (robust, left_out) = learn(&with);
            assert_eq!(left_out, [2], "{wrong}");
            assert!((robust.mean - plain.mean).abs() < 1e-9);
        }
    }

    #[test]
    fn an_early_mistyped_reading_is_left_out_too() {
        let (robust, left_out) = learn(&[0.5]);
        assert_eq!(left_out, [0]);
        assert!((robust.mean - PRIOR.mean).abs() < 1e-12);
        assert_eq!(learn(&[0.5, 0.035, 0.033]).1, [0]);
    }

    #[test]
    fn a_shop_far_from_the_book_is_believed() {
        let (hot, left_out) = learn(&[0.085, 0.092, 0.088, 0.095, 0.09, 0.087]);
        assert!(left_out.is_empty());
        assert!(hot.mean > 0.075);
    }

    #[test]
    fn scatter_is_judged_slowly() {
        assert!((scatter(std::iter::empty()) - 1.0).abs() < 1e-12);
        assert!(scatter([2.0, -2.0, 2.5, -1.9, 2.2, -2.4].into_iter()) > 1.3);
        assert!(scatter([0.1, -0.1, 0.2, 0.0, 0.1, 0.1].into_iter()) < 1.0);
    }
}
