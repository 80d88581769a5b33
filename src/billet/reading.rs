//! What the smith measured, converted to cold before it gets here.

use serde::{Deserialize, Serialize};

use crate::units::{Grams, Mm};

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
