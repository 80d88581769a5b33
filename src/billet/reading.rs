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
}

impl Reading {
    /// True when nothing was read.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}
