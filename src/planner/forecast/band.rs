//! Bands from samples, and how they are said.

use crate::physics::Spread;

/// The 90 % band: one in twenty lies below, one in twenty above, and the middle.
pub(super) fn band(values: &mut [f64]) -> Spread {
    let count = values.len();
    let mut at = |share: f64| -> f64 {
        if count == 0 {
            return f64::NAN;
        }
        #[expect(
            clippy::cast_precision_loss,
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a few thousand samples"
        )]
        let rank = (share * (count - 1) as f64).round() as usize;
        let (_, value, _) = values.select_nth_unstable_by(rank.min(count - 1), f64::total_cmp);
        *value
    };
    Spread {
        low: at(0.05),
        best: at(0.5),
        high: at(0.95),
    }
}

/// A chance in words: "93 %", "over 99 %", "under 1 %". Never all or none: it comes from some hundreds
/// of samples.
#[must_use]
pub fn percent(chance: f64) -> String {
    let whole = chance * 100.0;
    match whole {
        whole if whole < 1.0 => "under 1 %".to_owned(),
        whole if whole > 99.0 => "over 99 %".to_owned(),
        whole => format!("{whole:.0} %"),
    }
}

#[cfg(test)]
mod tests {
    use super::{band, percent};

    #[test]
    fn nine_in_ten_lie_in_the_band() {
        let mut values: Vec<f64> = (0..=100).rev().map(f64::from).collect();
        let band = band(&mut values);
        assert!((band.low - 5.0).abs() < 1e-9);
        assert!((band.best - 50.0).abs() < 1e-9);
        assert!((band.high - 95.0).abs() < 1e-9);
    }

    #[test]
    fn chances_read_as_words() {
        assert_eq!(percent(0.926), "93 %");
        assert_eq!(percent(0.998), "over 99 %");
        assert_eq!(percent(1.0), "over 99 %");
        assert_eq!(percent(0.0), "under 1 %");
        assert_eq!(percent(0.002), "under 1 %");
    }
}
