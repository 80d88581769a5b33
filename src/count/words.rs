//! A reading in words.

use super::{Doubt, Reading, Why};

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
        format!(
            "{} lines agree; exact in about {:.0} of 100 at {:.1} pixels a band, the range holds in 95 of 100",
            self.lines,
            100.0 * self.sure(),
            self.mean
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
