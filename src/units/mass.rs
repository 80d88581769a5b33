//! Mass and density.

use super::{Mm3, quantity};

quantity! {
    /// A mass in grams.
    Grams
}
quantity! {
    /// A density in grams per cubic centimetre.
    Density
}

/// Grams in one avoirdupois pound, exact by definition (1959).
pub(crate) const GRAMS_PER_POUND: f64 = 453.592_37;

impl Grams {
    #[must_use]
    pub fn from_pounds(pounds: f64) -> Self {
        Self(pounds * GRAMS_PER_POUND)
    }

    #[must_use]
    pub fn pounds(self) -> f64 {
        self.0 / GRAMS_PER_POUND
    }

    #[must_use]
    pub fn kilograms(self) -> f64 {
        self.0 / 1000.0
    }

    /// The cold volume of this mass.
    #[must_use]
    pub fn volume(self, density: Density) -> Mm3 {
        Mm3(self.0 / density.0 * 1000.0)
    }
}

impl Mm3 {
    /// The mass of this cold volume.
    ///
    /// ```
    /// # use anvilside::units::{Density, Mm3};
    /// assert!((Mm3(201_600.0).mass(Density(7.85)).0 - 1582.56).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn mass(self, density: Density) -> Grams {
        Grams(self.0 / 1000.0 * density.0)
    }
}
