//! Fractions of a whole.

use super::quantity;

quantity! {
    /// A part of a whole: 0.04 is four percent.
    Fraction
}

impl Fraction {
    /// The whole.
    pub const ONE: Self = Self(1.0);

    #[must_use]
    pub fn from_percent(percent: f64) -> Self {
        Self(percent / 100.0)
    }

    #[must_use]
    pub fn percent(self) -> f64 {
        self.0 * 100.0
    }
}
