//! How even a smith works.

use crate::units::Mm;

/// How the work is done: what no plan says and every picture shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hand {
    /// The same seed gives the same picture.
    pub seed: u64,
    /// Unevenness of the hammering: 0 as if ruled, 1 a steady hand, 2 a heavy one.
    pub rough: f64,
    /// Flat grind per face to expect where the history does not reach the next grind yet.
    pub grind: Mm,
}

impl Hand {
    /// Perfectly even work: layers stay where the layer tree says.
    #[must_use]
    pub fn ruled() -> Self {
        Self {
            rough: 0.0,
            ..Self::default()
        }
    }
}

impl Default for Hand {
    fn default() -> Self {
        Self {
            seed: 1,
            rough: 1.0,
            grind: Mm(0.5),
        }
    }
}
