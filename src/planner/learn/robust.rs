//! One mistyped reading must not teach the shop a lesson: an observation further than three
//! deviations from what all the others say is left out, and named.

use super::normal::{Normal, Observation};

/// Further off than so many deviations is left out.
const FAR: f64 = 3.0;
/// Rounds until what is left out no longer changes.
const ROUNDS: usize = 12;
/// How many observations the scatter that is assumed weighs as much as.
const ASSUMED: f64 = 8.0;

/// What the observations teach.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Taught {
    /// The belief after.
    pub(super) belief: Normal,
    /// Places of the observations that were left out.
    pub(super) left_out: Vec<usize>,
    /// Scatter seen over scatter assumed, pulled towards 1 while observations are few.
    pub(super) scatter: f64,
}

/// Learns from all observations but the far ones.
pub(super) fn learn(prior: Normal, seen: &[Observation]) -> Taught {
    let mut centre = Normal {
        mean: middle(prior, seen),
        sd: prior.sd,
    };
    let mut kept: Vec<bool> = seen.iter().map(|one| !is_far(centre, one)).collect();
    for _ in 0..ROUNDS {
        let next: Vec<bool> = (0..seen.len())
            .map(|at| {
                let others = others(seen, &kept, at);
                seen.get(at)
                    .is_some_and(|one| !is_far(prior.learn(&others), one))
            })
            .collect();
        let settled = next == kept;
        kept = next;
        if settled {
            break;
        }
    }
    let good = others(seen, &kept, usize::MAX);
    centre = prior.learn(&good);
    let scatter = scatter(centre, &good);
    let sd = (centre.sd * scatter.max(1.0)).min(prior.sd);
    Taught {
        belief: Normal { sd, ..centre },
        left_out: (0..seen.len())
            .filter(|at| kept.get(*at) == Some(&false))
            .collect(),
        scatter,
    }
}

fn others(seen: &[Observation], kept: &[bool], but: usize) -> Vec<Observation> {
    seen.iter()
        .zip(kept)
        .enumerate()
        .filter(|(at, (_, kept))| **kept && *at != but)
        .map(|(_, (one, _))| *one)
        .collect()
}

fn is_far(belief: Normal, one: &Observation) -> bool {
    let expected = one.times * belief.mean;
    let sd = one.sd.hypot(one.times * belief.sd);
    let far = (one.value - expected).abs() / sd;
    far.is_nan() || far > FAR
}

/// Weighted median of what each observation says alone, the prior among them.
fn middle(prior: Normal, seen: &[Observation]) -> f64 {
    let mut votes: Vec<(f64, f64)> = seen
        .iter()
        .filter(|one| one.times.abs() > 0.0 && one.sd > 0.0)
        .map(|one| (one.value / one.times, one.times.abs() / one.sd))
        .collect();
    if prior.sd > 0.0 {
        votes.push((prior.mean, 1.0 / prior.sd));
    }
    votes.sort_by(|a, b| a.0.total_cmp(&b.0));
    let half: f64 = votes.iter().map(|vote| vote.1).sum::<f64>() / 2.0;
    let mut sum = 0.0;
    for (value, weight) in votes {
        sum += weight;
        if sum >= half {
            return value;
        }
    }
    prior.mean
}

fn scatter(belief: Normal, good: &[Observation]) -> f64 {
    let squares: f64 = good
        .iter()
        .map(|one| ((one.value - one.times * belief.mean) / one.sd).powi(2))
        .filter(|square| square.is_finite())
        .sum();
    #[expect(clippy::cast_precision_loss, reason = "a few thousand at most")]
    let free = good.len().saturating_sub(1) as f64;
    ((ASSUMED + squares) / (ASSUMED + free)).sqrt()
}

#[cfg(test)]
mod tests {
    use super::super::normal::{Normal, Observation};
    use super::learn;

    const PRIOR: Normal = Normal {
        mean: 0.04,
        sd: 0.0155,
    };

    fn seen(values: &[f64]) -> Vec<Observation> {
        values
            .iter()
            .map(|value| Observation::sum(*value, 1.0, 0.008, 0.01))
            .collect()
    }

    #[test]
    fn one_mistyped_reading_changes_little() {
        let clean = [0.031, 0.036, 0.029, 0.041, 0.034, 0.038];
        let plain = learn(PRIOR, &seen(&clean));
        assert!(plain.left_out.is_empty());
        // 14 typed as 41 or 4: log losses of -1 and more; then the next bar reads the other way.
        for wrong in [-1.07, 1.25, 0.3, -0.2] {
            let mut with = clean.to_vec();
            with.insert(2, wrong);
            let robust = learn(PRIOR, &seen(&with));
            assert_eq!(robust.left_out, [2], "{wrong}");
            assert!((robust.belief.mean - plain.belief.mean).abs() < 0.2 * plain.belief.sd);
        }
    }

    #[test]
    fn an_early_mistyped_reading_is_left_out_too() {
        let robust = learn(PRIOR, &seen(&[0.5]));
        assert_eq!(robust.left_out, [0]);
        assert!((robust.belief.mean - PRIOR.mean).abs() < 1e-12);
        let robust = learn(PRIOR, &seen(&[0.5, 0.035, 0.033]));
        assert_eq!(robust.left_out, [0]);
    }

    #[test]
    fn a_shop_far_from_the_book_is_believed() {
        let hot = learn(PRIOR, &seen(&[0.085, 0.092, 0.088, 0.095, 0.09, 0.087]));
        assert!(hot.left_out.is_empty(), "{hot:?}");
        assert!(hot.belief.mean > 0.075);
    }

    #[test]
    fn more_scatter_than_assumed_widens_the_belief() {
        let calm = learn(PRIOR, &seen(&[0.035, 0.036, 0.034, 0.035, 0.036, 0.034]));
        let wild = learn(PRIOR, &seen(&[0.01, 0.065, 0.005, 0.07, 0.015, 0.06]));
        assert!(wild.left_out.is_empty());
        assert!(wild.belief.sd > 1.2 * calm.belief.sd && wild.scatter > 1.2);
        assert!(calm.scatter < 1.0);
    }

    #[test]
    fn nothing_seen_teaches_nothing() {
        let none = learn(PRIOR, &[]);
        assert!((none.belief.mean - PRIOR.mean).abs() < 1e-12);
        assert!((none.belief.sd - PRIOR.sd).abs() < 1e-12);
        assert!((none.scatter - 1.0).abs() < 1e-12);
    }
}
