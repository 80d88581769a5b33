//! One number learnt from noisy sums of it: the normal-normal update, in closed form.
//!
//! `y_j ~ N(x_j mu, s_j^2)` with prior `mu ~ N(m0, v0)` gives
//! `P = 1/v0 + sum x_j^2/s_j^2`, `M = (m0/v0 + sum x_j y_j/s_j^2)/P`, variance `1/P`
//! (standard conjugate algebra, as in Gelman et al., Bayesian Data Analysis, chapter 2; from memory).

/// What is believed of one number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Normal {
    /// Its best value.
    pub mean: f64,
    /// One deviation.
    pub sd: f64,
}

/// One observation: `value` is `times` the number, give or take `sd`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Observation {
    /// How many times the number is in it (heats, or what the law multiplies it with).
    pub times: f64,
    /// What was seen.
    pub value: f64,
    /// One deviation of what was seen.
    pub sd: f64,
}

impl Observation {
    /// A sum over `heats`, each with its own scatter, read with an error.
    ///
    /// `sd^2 = heats scatter^2 + error^2`.
    #[must_use]
    pub fn sum(value: f64, heats: f64, scatter: f64, error: f64) -> Self {
        Self {
            times: heats,
            value,
            sd: (heats * scatter * scatter + error * error).sqrt(),
        }
    }

    fn weight(&self) -> f64 {
        let weight = self.times * self.times / (self.sd * self.sd);
        if weight.is_finite() { weight } else { 0.0 }
    }

    fn push(&self) -> f64 {
        let push = self.times * self.value / (self.sd * self.sd);
        if push.is_finite() { push } else { 0.0 }
    }
}

impl Normal {
    /// What is believed after the observations.
    ///
    /// ```
    /// # use anvilside::planner::learn::{Normal, Observation};
    /// // Log losses of three bars over 5, 4 and 6 heats; read to 0.010, 0.002 scatter a heat.
    /// let prior = Normal { mean: 0.006, sd: 0.003 };
    /// let log = [(0.045, 5.0), (0.024, 4.0), (0.052, 6.0)]
    ///     .map(|(loss, heats)| Observation::sum(loss, heats, 0.002, 0.010));
    /// let after = prior.learn(&log);
    /// assert!((after.mean - 0.00787).abs() < 1e-5 && (after.sd - 0.00116).abs() < 1e-5);
    /// ```
    #[must_use]
    pub fn learn(self, seen: &[Observation]) -> Self {
        let prior = 1.0 / (self.sd * self.sd);
        if !prior.is_finite() {
            return self;
        }
        let precision = prior + seen.iter().map(Observation::weight).sum::<f64>();
        let pushed = self.mean * prior + seen.iter().map(Observation::push).sum::<f64>();
        Self {
            mean: pushed / precision,
            sd: precision.recip().sqrt(),
        }
    }

    /// The sum over `heats` more heats and its deviation: `heats` times the mean, and
    /// `sqrt(known^2 + heats scatter^2 + heats^2 sd^2)`, `known` being the deviation of the start.
    /// Not knowing one's own mean is the larger part.
    #[must_use]
    pub fn ahead(self, heats: f64, scatter: f64, known: f64) -> Self {
        let variance = known * known + heats * scatter * scatter + (heats * self.sd).powi(2);
        Self {
            mean: heats * self.mean,
            sd: variance.sqrt(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Normal, Observation};

    const PRIOR: Normal = Normal {
        mean: 0.006,
        sd: 0.003,
    };

    #[test]
    fn one_entry_at_a_time_is_all_at_once() {
        // Worked by the closed form on paper: 0.00796, 0.00737, 0.00787 +/- 0.00116 a heat.
        let log = [
            (0.045, 5.0, 0.00796),
            (0.024, 4.0, 0.00737),
            (0.052, 6.0, 0.00787),
        ];
        let mut now = PRIOR;
        let mut all = Vec::new();
        for (loss, heats, mean) in log {
            let seen = Observation::sum(loss, heats, 0.002, 0.010);
            now = now.learn(&[seen]);
            all.push(seen);
            assert!((now.mean - mean).abs() < 1e-5, "{now:?}");
        }
        let at_once = PRIOR.learn(&all);
        assert!((at_once.mean - now.mean).abs() < 1e-12 && (at_once.sd - now.sd).abs() < 1e-12);
    }

    #[test]
    fn twelve_heats_ahead() {
        let believed = Normal {
            mean: 0.007_866,
            sd: 0.001_16,
        };
        let ahead = believed.ahead(12.0, 0.002, 0.0);
        assert!(((-ahead.mean).exp() - 0.9099).abs() < 1e-4);
        assert!((ahead.sd - 0.0155).abs() < 1e-4);
    }

    #[test]
    fn another_form_of_the_same_log_agrees() {
        // Losses as a gamma sum, shape 4 a heat, rate ~ gamma(4, 0.0045): p += 4 n, q += D.
        let (mut p, mut q) = (4.0, 0.0045);
        for (loss, heats) in [(0.045, 5.0), (0.024, 4.0), (0.052, 6.0)] {
            p += 4.0 * heats;
            q += loss;
        }
        let gamma: f64 = 4.0 * q / (p - 1.0);
        assert!((p - 64.0_f64).abs() < 1e-9 && (q - 0.1255_f64).abs() < 1e-9);
        assert!((gamma - 0.00797).abs() < 1e-5);
        let log = [(0.045, 5.0), (0.024, 4.0), (0.052, 6.0)]
            .map(|(loss, heats)| Observation::sum(loss, heats, 0.002, 0.010));
        assert!((PRIOR.learn(&log).mean - gamma).abs() < 2e-4);
    }

    #[test]
    fn a_spread_log() {
        // Heights and widths before and after with a 25 mm bite; spread law of Tomlinson and
        // Stringer (1959): kappa 0.943, 1.103, 1.132 +/- 0.126, worked on paper.
        let mut now = Normal {
            mean: 1.0,
            sd: 0.25,
        };
        let log = [
            (50.0, 40.0, 50.0, 53.0, 0.943),
            (53.0, 43.0, 40.0, 44.6, 1.103),
            (40.0, 28.0, 45.0, 51.5, 1.132),
        ];
        for (h0, h1, w0, w1, mean) in log {
            let law =
                crate::physics::spread_coefficient(crate::units::Mm(25.0), crate::units::Mm(w0))
                    .unwrap();
            let squeezed: f64 = h0 / h1;
            now = now.learn(&[crate::planner::learn::spread_seen(
                law.best, squeezed, w0, w1,
            )]);
            assert!((now.mean - mean).abs() < 1e-3, "{now:?} for {mean}");
        }
        assert!((now.sd - 0.126).abs() < 1e-3);
    }

    #[test]
    fn a_pinned_number_does_not_move() {
        let pinned = Normal {
            mean: 0.03,
            sd: 0.0,
        };
        let seen = Observation::sum(0.09, 1.0, 0.002, 0.01);
        assert_eq!(pinned.learn(&[seen]), pinned);
    }
}
