//! Where the metal went.

use serde::{Deserialize, Serialize};

use crate::units::Mm3;

/// A named loss.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    Hash,
    PartialOrd,
    Ord,
    Serialize,
    Deserialize,
    strum::IntoStaticStr,
    strum::VariantArray,
)]
#[serde(rename_all = "lowercase")]
#[strum(serialize_all = "lowercase")]
pub enum Loss {
    /// Oxidised in the fire and knocked off.
    Scale,
    /// Ends cut off.
    Trim,
    /// Ground away.
    Grind,
    /// Turned to dust by the saw.
    Kerf,
    /// Grooves and dimples cut out.
    Groove,
    /// Short ends left when lengths are rounded to a mark.
    Rounding,
}

impl Loss {
    /// Every loss, in the order they are listed.
    pub const ALL: [Self; 6] = [
        Self::Scale,
        Self::Trim,
        Self::Grind,
        Self::Kerf,
        Self::Groove,
        Self::Rounding,
    ];

    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        self.into()
    }
}

/// One loss in one step, over all pieces, cold. Negative when a reading found more metal than expected.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct LossEntry {
    /// What it went to.
    pub loss: Loss,
    /// How much, all pieces together.
    pub volume: Mm3,
    /// True when it follows from readings, false when it is an allowance.
    pub measured: bool,
}

/// Metal in and metal lost so far; metal out is what the billet and its stock hold.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Ledger {
    /// The first stack.
    pub start: Mm3,
    /// Bars added later (frames, joins).
    pub added: Mm3,
    /// Pieces that went into other bars.
    pub given: Mm3,
    /// Every loss, in order.
    pub losses: Vec<LossEntry>,
}

impl Ledger {
    /// All of one loss.
    #[must_use]
    pub fn total(&self, loss: Loss) -> Mm3 {
        self.losses
            .iter()
            .filter(|entry| entry.loss == loss)
            .map(|entry| entry.volume)
            .sum()
    }

    /// Everything lost.
    #[must_use]
    pub fn lost(&self) -> Mm3 {
        self.losses.iter().map(|entry| entry.volume).sum()
    }

    /// Start + added - given - lost: what must still be there.
    #[must_use]
    pub fn left(&self) -> Mm3 {
        self.start + self.added - self.given - self.lost()
    }
}
