//! Force, stress and work.

use super::quantity;

quantity! {
    /// A force in kilonewtons.
    Kilonewtons
}
quantity! {
    /// A stress in megapascals (newtons per square millimetre).
    MegaPascals
}
quantity! {
    /// Work or energy in joules.
    Joules
}

/// Newtons in one US (short) ton-force: 2000 lb at standard gravity, exact.
pub(crate) const KN_PER_US_TON: f64 = 8.896_443_230_521;

impl Kilonewtons {
    /// From US (short) tons-force, as small forging presses are rated.
    ///
    /// ```
    /// # use anvilside::units::Kilonewtons;
    /// assert!((Kilonewtons::from_us_tons(25.0).0 - 222.41).abs() < 0.01);
    /// ```
    #[must_use]
    pub fn from_us_tons(tons: f64) -> Self {
        Self(tons * KN_PER_US_TON)
    }

    /// In US (short) tons-force.
    #[must_use]
    pub fn us_tons(self) -> f64 {
        self.0 / KN_PER_US_TON
    }
}
