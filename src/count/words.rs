//! A reading in words.

use super::{Doubt, Reading, Why};

/// How often the range holds, of 1, on photographs made with known counts; no less often than the count is exact.
const RANGE_HOLDS: f32 = 0.95;

impl Reading {
    /// The count with its range: `121 bands (119 to 123)`.
    #[must_use]
    pub fn count_words(&self) -> String {
        if self.low < self.high {
            format!("{} bands ({} to {})", self.bands, self.low, self.high)
        } else {
            format!("{} bands", self.bands)
        }
    }

    /// How sure it is.
    #[must_use]
    pub fn sure_words(&self) -> String {
        let exact = self.sure();
        format!(
            "{} lines agree; at {:.1} pixels a band exact in about {:.0} of 100, inside the range in {:.0}",
            self.lines,
            self.mean,
            100.0 * exact,
            100.0 * exact.max(RANGE_HOLDS),
        )
    }

    /// Heights of the bands in the order of the line, pixels.
    #[must_use]
    pub fn heights(&self) -> Vec<f32> {
        let places = self.borders.iter().map(|border| border.at);
        places
            .clone()
            .zip(places.skip(1))
            .map(|(a, b)| (b[0] - a[0]).hypot(b[1] - a[1]))
            .collect()
    }
}

impl Doubt {
    /// In words: `bands 40 to 43: doubled ...`.
    #[must_use]
    pub fn words(&self) -> String {
        if self.from == self.to {
            format!("band {}: {}", self.from, self.why.words())
        } else {
            format!("bands {} to {}: {}", self.from, self.to, self.why.words())
        }
    }
}

impl Why {
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::FaintLine => "a faint line in it, not counted: a weld line, or a thin band",
            Self::FaintBand => "stands out little, counted: a thin band, or a shade in one",
            Self::Doubled => "doubled: like faces met in a weld, or a band too thin to be seen",
            Self::Outermost => "the outermost, stands out little from the background",
            Self::MayHide => "the background beyond looks like the next band: one may hide there",
            Self::CutOff => "the picture or the line ends in it: there may be more beyond",
        }
    }
}
