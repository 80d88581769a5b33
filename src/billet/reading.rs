//! What the smith measured, converted to cold before it gets here.

use serde::{Deserialize, Serialize};

use crate::units::{Grams, Mm, NumberError, Units, parse};

/// What can be read off a bar.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    strum::IntoStaticStr,
)]
#[serde(rename_all = "lowercase")]
#[strum(serialize_all = "lowercase")]
pub enum Dimension {
    /// Through the bar.
    Thickness,
    /// Across the bar.
    Width,
    /// Along the bar.
    Length,
    /// On the scale, one piece.
    Mass,
    /// Bands counted on an etched end.
    Bands,
}

impl Dimension {
    /// All of them.
    pub const ALL: [Self; 5] = [
        Self::Thickness,
        Self::Width,
        Self::Length,
        Self::Mass,
        Self::Bands,
    ];

    /// True for what a hot bar shows longer than it is cold.
    #[must_use]
    pub fn is_length(self) -> bool {
        matches!(self, Self::Thickness | Self::Width | Self::Length)
    }

    /// The unit that its values are in; none of a count.
    #[must_use]
    pub fn unit(self) -> &'static str {
        match self {
            Self::Mass => "g",
            Self::Bands => "",
            Self::Thickness | Self::Width | Self::Length => "mm",
        }
    }

    /// A reading as it is typed, in mm, g or a count; of a count with a range the middle, and the range.
    ///
    /// # Errors
    /// [`NumberError`] for what is not above zero or is not such a quantity.
    pub fn read(self, text: &str, units: Units) -> Result<(f64, Option<[u64; 2]>), NumberError> {
        match self {
            Self::Mass => Ok((parse::above_zero::<Grams>(text, units)?.0, None)),
            #[expect(clippy::cast_precision_loss, reason = "a count by eye")]
            Self::Bands => {
                let (low, high) = parse::count_between(text)?;
                let range = (low < high).then_some([low, high]);
                Ok((middle(low, high) as f64, range))
            }
            _ => Ok((parse::above_zero::<Mm>(text, units)?.0, None)),
        }
    }

    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        self.into()
    }
}

/// Cold readings of one piece after a step; any subset.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Reading {
    /// Through.
    pub thickness: Option<Mm>,
    /// Across.
    pub width: Option<Mm>,
    /// Along.
    pub length: Option<Mm>,
    /// One piece on the scale.
    pub mass: Option<Grams>,
    /// Bands counted.
    pub bands: Option<u64>,
    /// Least and most that they may be, where the count has a range.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub between: Option<[u64; 2]>,
}

impl Reading {
    /// True when nothing was read.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// One of them, in mm, g or a count.
    #[must_use]
    pub fn get(&self, what: Dimension) -> Option<f64> {
        match what {
            Dimension::Thickness => self.thickness.map(|mm| mm.0),
            Dimension::Width => self.width.map(|mm| mm.0),
            Dimension::Length => self.length.map(|mm| mm.0),
            Dimension::Mass => self.mass.map(|grams| grams.0),
            #[expect(clippy::cast_precision_loss, reason = "a count by eye")]
            Dimension::Bands => self.bands.map(|count| count as f64),
        }
    }

    /// Puts one of them, or takes it away.
    pub fn set(&mut self, what: Dimension, value: Option<f64>) {
        match what {
            Dimension::Thickness => self.thickness = value.map(Mm),
            Dimension::Width => self.width = value.map(Mm),
            Dimension::Length => self.length = value.map(Mm),
            Dimension::Mass => self.mass = value.map(Grams),
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a count by eye; the cast saturates"
            )]
            Dimension::Bands => self.bands = value.map(|count| count.round() as u64),
        }
    }
}

/// The middle of a range of counts, as parts go: of 50 to 200 it is 100.
#[must_use]
pub fn middle(low: u64, high: u64) -> u64 {
    #[expect(
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a count by eye; the cast saturates"
    )]
    let found = (low.max(1) as f64 * high.max(1) as f64).sqrt().round() as u64;
    found.clamp(low, high.max(low))
}
