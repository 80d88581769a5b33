//! Chance that can be repeated: the same seed gives the same numbers on every machine.
//!
//! The generator is SplitMix64 (Steele, Lea and Flood, "Fast splittable pseudorandom number
//! generators", OOPSLA 2014): one 64-bit counter, each value a mix of it. The constants and the
//! first outputs for seed 1234567 are from memory and held in a test.

/// A stream of chance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chance {
    state: u64,
    /// The other normal of a pair that was drawn.
    spare: Option<f64>,
}

impl Chance {
    /// The stream of a seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self {
            state: seed,
            spare: None,
        }
    }

    /// A stream of its own for the `number`-th sample: samples do not depend on each other's length.
    #[must_use]
    pub fn of_sample(seed: u64, number: u64) -> Self {
        let mut stream = Self::new(seed ^ number.wrapping_mul(0xD1B5_4A32_D192_ED03));
        stream.next();
        stream
    }

    /// The next 64 bits.
    #[expect(clippy::should_implement_trait, reason = "a stream without an end")]
    pub fn next(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.state;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// Evenly from 0 up to but not 1.
    pub fn share(&mut self) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "53 bits fit")]
        let bits = (self.next() >> 11) as f64;
        bits / 9_007_199_254_740_992.0
    }

    /// Normal with mean 0 and deviation 1 (Box and Muller 1958).
    ///
    /// ```
    /// # use anvilside::planner::chance::Chance;
    /// let mut chance = Chance::new(7);
    /// let mean: f64 = (0..10_000).map(|_| chance.normal()).sum::<f64>() / 10_000.0;
    /// assert!(mean.abs() < 0.03);
    /// ```
    pub fn normal(&mut self) -> f64 {
        if let Some(spare) = self.spare.take() {
            return spare;
        }
        let radius = (-2.0 * (1.0 - self.share()).ln()).sqrt();
        let (sin, cos) = (std::f64::consts::TAU * self.share()).sin_cos();
        self.spare = Some(radius * sin);
        radius * cos
    }

    /// Normal with this mean and deviation.
    pub fn around(&mut self, mean: f64, sd: f64) -> f64 {
        if sd > 0.0 {
            mean + sd * self.normal()
        } else {
            mean
        }
    }
}

/// The value below which a share of the sorted values lies, straight between neighbours. NaN of none.
///
/// ```
/// # use anvilside::planner::chance::quantile;
/// assert!((quantile(&[1.0, 2.0, 3.0, 4.0, 5.0], 0.5) - 3.0).abs() < 1e-12);
/// assert!((quantile(&[1.0, 2.0], 0.25) - 1.25).abs() < 1e-12);
/// ```
#[must_use]
pub fn quantile(sorted: &[f64], share: f64) -> f64 {
    let Some(last) = sorted.len().checked_sub(1) else {
        return f64::NAN;
    };
    #[expect(clippy::cast_precision_loss, reason = "a few thousand samples")]
    let at = share.clamp(0.0, 1.0) * last as f64;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 0 and the length"
    )]
    let low = at.floor() as usize;
    let get = |i: usize| sorted.get(i.min(last)).copied().unwrap_or(f64::NAN);
    let part = at - at.floor();
    get(low) * (1.0 - part) + get(low + 1) * part
}

#[cfg(test)]
mod tests {
    use super::{Chance, quantile};

    #[test]
    fn the_published_stream() {
        // Reference outputs of SplitMix64 for seed 1234567, from memory.
        let mut stream = Chance::new(1_234_567);
        let first: Vec<u64> = (0..5).map(|_| stream.next()).collect();
        assert_eq!(
            first,
            [
                6_457_827_717_110_365_317,
                3_203_168_211_198_807_973,
                9_817_491_932_198_370_423,
                4_593_380_528_125_082_431,
                16_408_922_859_458_223_821,
            ]
        );
    }

    #[test]
    fn the_normal_has_its_quantiles() {
        // Standard normal table: 5 % lie below -1.6449, 95 % below 1.6449.
        let mut stream = Chance::new(99);
        let mut all: Vec<f64> = (0..40_000).map(|_| stream.normal()).collect();
        all.sort_by(f64::total_cmp);
        assert!((quantile(&all, 0.05) + 1.6449).abs() < 0.03);
        assert!((quantile(&all, 0.95) - 1.6449).abs() < 0.03);
        let square: f64 = all.iter().map(|x| x * x).sum::<f64>() / 40_000.0;
        assert!((square - 1.0).abs() < 0.02);
    }

    #[test]
    fn none_has_no_quantile() {
        assert!(quantile(&[], 0.5).is_nan());
    }
}
