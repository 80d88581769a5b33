//! A number with the band that the laws or the shop leave open.

use serde::{Deserialize, Serialize};

use crate::units::show;

/// Lowest, best and highest value of one estimate, in the unit that the law states.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Spread {
    /// Lowest likely value.
    pub low: f64,
    /// Best value.
    pub best: f64,
    /// Highest likely value.
    pub high: f64,
}

impl Spread {
    /// The first of several answers with the range of all; none without any.
    pub fn over(all: impl IntoIterator<Item = f64>) -> Option<Self> {
        let mut all = all.into_iter();
        let first = Self::exact(all.next()?);
        Some(all.fold(first, |so_far, value| Self {
            low: so_far.low.min(value),
            best: so_far.best,
            high: so_far.high.max(value),
        }))
    }

    /// `4.1 (3.2 to 5.0)`; the value alone where the band does not show.
    ///
    /// ```
    /// # use anvilside::physics::Spread;
    /// assert_eq!(Spread { low: 3.21, best: 4.1, high: 5.0 }.words(1), "4.1 (3.2 to 5.0)");
    /// assert_eq!(Spread::around(4.1, 0.001).words(1), "4.1");
    /// ```
    #[must_use]
    pub fn words(&self, decimals: usize) -> String {
        let [low, best, high] =
            [self.low, self.best, self.high].map(|value| show::fixed(value, decimals));
        if low == high {
            best
        } else {
            format!("{best} ({low} to {high})")
        }
    }

    /// A value without a band, as one that follows by arithmetic alone.
    #[must_use]
    pub const fn exact(value: f64) -> Self {
        Self {
            low: value,
            best: value,
            high: value,
        }
    }

    /// `best` with the same relative band on both sides: 0.1 is ten percent either way.
    ///
    /// ```
    /// # use anvilside::physics::Spread;
    /// let force = Spread::around(200.0, 0.1);
    /// assert!((force.low - 180.0).abs() < 1e-9 && (force.high - 220.0).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn around(best: f64, rel: f64) -> Self {
        Self::factors(best, 1.0 - rel, 1.0 + rel)
    }

    /// `best` with a lower and an upper factor, in either order.
    #[must_use]
    pub fn factors(best: f64, low: f64, high: f64) -> Self {
        Self::ordered(best * low, best, best * high)
    }

    /// What several formulas give for the same thing: least, middle (mean of the two middle ones
    /// when their number is even) and greatest. Values that are not finite are left out; of none,
    /// all three are NaN.
    ///
    /// ```
    /// # use anvilside::physics::Spread;
    /// let start = Spread::of(&[211.0, 180.0, 195.0]);
    /// assert!((start.low - 180.0).abs() < 1e-9);
    /// assert!((start.best - 195.0).abs() < 1e-9);
    /// assert!((start.high - 211.0).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn of(values: &[f64]) -> Self {
        let mut sorted: Vec<f64> = values.iter().copied().filter(|v| v.is_finite()).collect();
        sorted.sort_by(f64::total_cmp);
        let at = |i: usize| sorted.get(i).copied().unwrap_or(f64::NAN);
        let last = sorted.len().saturating_sub(1);
        Self {
            low: at(0),
            best: f64::midpoint(at(last / 2), at(last - last / 2)),
            high: at(last),
        }
    }

    /// The preferred formula's value with the least and greatest of its rivals. Rivals that are not
    /// finite are left out.
    ///
    /// ```
    /// # use anvilside::physics::Spread;
    /// let start = Spread::preferring(207.0, &[160.9, 138.1, f64::NAN, 200.0]);
    /// assert!((start.low - 138.1).abs() < 1e-9);
    /// assert!((start.high - 207.0).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn preferring(best: f64, rivals: &[f64]) -> Self {
        let finite = || rivals.iter().copied().filter(|v| v.is_finite());
        Self {
            low: finite().fold(best, f64::min),
            best,
            high: finite().fold(best, f64::max),
        }
    }

    /// Both bands at once: each end multiplied by the like end of the other. For positive values.
    #[must_use]
    pub fn times(self, other: Self) -> Self {
        Self::ordered(
            self.low * other.low,
            self.best * other.best,
            self.high * other.high,
        )
    }

    /// Every value multiplied by a plain number.
    #[must_use]
    pub fn scaled(self, by: f64) -> Self {
        Self::ordered(self.low * by, self.best * by, self.high * by)
    }

    /// Every value put through a rising or falling function.
    #[must_use]
    pub fn map(self, f: impl Fn(f64) -> f64) -> Self {
        Self::ordered(f(self.low), f(self.best), f(self.high))
    }

    /// True when `value` lies inside the band or on its edge.
    #[must_use]
    pub fn holds(self, value: f64) -> bool {
        value >= self.low && value <= self.high
    }

    /// True when all three are finite.
    #[must_use]
    pub fn is_finite(self) -> bool {
        self.low.is_finite() && self.best.is_finite() && self.high.is_finite()
    }

    fn ordered(a: f64, best: f64, b: f64) -> Self {
        Self {
            low: a.min(b),
            best,
            high: a.max(b),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Spread;

    #[test]
    fn of_an_even_number_takes_the_mean_of_the_middle_two() {
        let spread = Spread::of(&[4.0, 1.0, f64::NAN, 2.0, 3.0]);
        assert!((spread.best - 2.5).abs() < 1e-12);
        assert!(spread.holds(1.0) && spread.holds(4.0) && !spread.holds(4.1));
    }

    #[test]
    fn of_nothing_is_not_a_number() {
        assert!(!Spread::of(&[]).is_finite());
        assert!(!Spread::of(&[f64::INFINITY]).is_finite());
    }

    #[test]
    fn a_falling_function_swaps_the_ends() {
        let inverse = Spread::around(2.0, 0.5).map(|v| 1.0 / v);
        assert!((inverse.low - 1.0 / 3.0).abs() < 1e-12);
        assert!((inverse.high - 1.0).abs() < 1e-12);
    }
}
