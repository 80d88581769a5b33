//! How well the bands are known, and what a count with a range makes of that.

use super::stage::Stage;
use super::state::Billet;
use crate::units::{Grams, show};

/// Deviations either side that hold 95 of 100 of a normal spread.
const SIDES: f64 = 1.96;
/// What the model's own count is off by where nothing was counted, as a part of it: scale and grinds take whole
/// bands, a few more or fewer than planned. Common practice, no source.
const MODELLED: f64 = 0.03;

/// The deviation, as a part of the count, of a range that holds the truth for 95 of 100.
#[must_use]
pub fn deviation(low: u64, high: u64) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "a count by eye")]
    let ratio = high.max(1) as f64 / low.max(1) as f64;
    ratio.max(1.0).ln() / (2.0 * SIDES)
}

impl Billet {
    /// The same pieces as a sound bar that was found: of this mass where it was weighed, which then gives the
    /// length, and with its bands as well known as this range says.
    #[must_use]
    pub fn as_found(mut self, mass: Option<Grams>, [low, high]: [u64; 2]) -> Self {
        let own = self.piece_mass();
        if let Some(mass) = mass.filter(|mass| mass.is_positive() && own.is_positive()) {
            self.bar.length = self.bar.length * (mass / own);
        }
        self.ledger.start = self.bar.volume();
        self.stage = Stage::Bar;
        self.count_doubt = deviation(low, high);
        self
    }

    /// Least and most that the bands may be, for 95 of 100; none where the model alone speaks.
    #[must_use]
    pub fn bands_between(&self) -> Option<[u128; 2]> {
        if self.count_doubt <= 0.0 {
            return None;
        }
        #[expect(
            clippy::cast_precision_loss,
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a count by eye; casts saturate"
        )]
        let times = |factor: f64| ((self.bands() as f64) * factor).round().max(1.0) as u128;
        let part = (SIDES * self.count_doubt).exp();
        let [low, high] = [times(1.0 / part), times(part)];
        (low < high).then_some([low, high])
    }

    /// Least and most of a range about the bands, as wide as how well they are known makes it.
    #[must_use]
    pub fn as_doubtful(&self, [least, most]: [u128; 2]) -> [u128; 2] {
        if self.count_doubt <= 0.0 {
            return [least, most];
        }
        #[expect(
            clippy::cast_precision_loss,
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a count by eye; casts saturate"
        )]
        let wide = |end: u128, sign: f64| {
            let best = self.bands().max(1) as f64;
            let own = (end.max(1) as f64 / best).ln();
            (best * (sign * own.hypot(SIDES * self.count_doubt)).exp()).round() as u128
        };
        [wide(least, -1.0), wide(most, 1.0)]
    }

    /// Both counts: `144 nominal / 121 bands`, with the range where a count or a bar as found has one.
    #[must_use]
    pub fn counts_text(&self) -> String {
        let text = show::layers(self.nominal, self.bands());
        match self.bands_between() {
            Some([low, high]) => format!("{text} ({low} to {high})"),
            None => text,
        }
    }

    /// The bands after a count, and how well they are then known: a count without a range is taken as it is;
    /// one with a range is weighed against what the model has, where the two can both be, and stays inside its
    /// range.
    pub(super) fn counted(&self, count: u64, between: Option<[u64; 2]>) -> (f64, f64) {
        #[expect(clippy::cast_precision_loss, reason = "a count by eye")]
        let [count, had] = [count.max(1) as f64, self.bands().max(1) as f64];
        let range = between.filter(|[low, high]| 0 < *low && low < high);
        let Some([low, high]) = range else {
            return (count, 0.0);
        };
        let read = deviation(low, high);
        let held = self.count_doubt.hypot(MODELLED);
        #[expect(clippy::cast_precision_loss, reason = "a count by eye")]
        let [low, high] = [low as f64, high as f64];
        let part = (SIDES * held).exp();
        if had * part < low || had / part > high {
            return (count, read);
        }
        let weight = held.powi(2) / (held.powi(2) + read.powi(2));
        let bands = had * (count / had).powf(weight);
        (bands.round().clamp(low, high), read * weight.sqrt())
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::deviation;
    use crate::billet::{Billet, StackPiece, SteelId, Stock, middle};
    use crate::units::{Density, Mm};

    /// A bar as found of so many bands, known as well as that range.
    fn bar(bands: u8, between: [u64; 2]) -> Billet {
        let pieces: Vec<StackPiece> = (0..bands)
            .map(|at| StackPiece {
                steel: SteelId(at % 2),
                thickness: Mm(0.2),
            })
            .collect();
        let stock = |letter| Stock {
            letter,
            name: letter.to_string(),
            density: Density(7.85),
        };
        let steels: Arc<[Stock]> = [stock('A'), stock('B')].into();
        Billet::new(&pieces, Mm(40.0), Mm(200.0), steels).as_found(None, between)
    }

    #[test]
    fn a_range_is_as_wide_as_its_deviation_says() {
        // 1.96 deviations either side of the middle of 50 to 200, as parts: 50 and 200 again
        assert_eq!(middle(50, 200), 100);
        let part = (1.96 * deviation(50, 200)).exp();
        assert!((100.0 / part - 50.0).abs() < 1e-9 && (100.0 * part - 200.0).abs() < 1e-9);
        assert_eq!(bar(100, [50, 200]).bands_between(), Some([50, 200]));
        assert_eq!(bar(121, [121, 121]).bands_between(), None);
        assert_eq!(
            bar(121, [119, 123]).counts_text(),
            "121 nominal / 121 bands (119 to 123)"
        );
    }

    #[test]
    fn a_sharp_count_moves_the_model_more_than_a_wide_one_and_none_leaves_its_range() {
        let held = bar(121, [111, 132]);
        let after = |between| held.counted(115, between);
        assert_eq!(after(None), (115.0, 0.0));
        let sharp = after(Some([114, 116]));
        let wide = after(Some([105, 126]));
        assert!((sharp.0 - 115.0).abs() < 1e-9);
        // half the weight each, as both know it alike: the middle of 115 and 121
        assert!((117.0..=119.0).contains(&wide.0), "{wide:?}");
        assert!(sharp.1 < wide.1 && wide.1 < held.count_doubt.hypot(0.03));
        for count in 100..140 {
            for reach in 1..15 {
                let (low, high) = (count - reach, count + reach);
                let (bands, doubt) = held.counted(count, Some([low, high]));
                assert!((low as f64..=high as f64).contains(&bands));
                assert!(doubt > 0.0 && doubt <= deviation(low, high) + 1e-12);
            }
        }
    }

    #[test]
    fn a_count_that_the_model_cannot_have_is_taken_as_it_is() {
        let held = bar(61, [59, 63]);
        assert!((held.counted(41, Some([41, 43])).0 - 41.0).abs() < 1e-9);
    }
}
