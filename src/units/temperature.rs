//! Temperature.

use super::quantity;

quantity! {
    /// A temperature (or, where the text says so, a difference) in degrees Celsius.
    Celsius
}
quantity! {
    /// An absolute temperature in kelvin.
    Kelvin
}

impl Celsius {
    /// From degrees Fahrenheit.
    ///
    /// ```
    /// # use anvilside::units::Celsius;
    /// assert!((Celsius::from_fahrenheit(1500.0).0 - 815.56).abs() < 0.01);
    /// ```
    #[must_use]
    pub fn from_fahrenheit(degrees: f64) -> Self {
        Self((degrees - 32.0) / 1.8)
    }

    /// In degrees Fahrenheit.
    #[must_use]
    pub fn fahrenheit(self) -> f64 {
        self.0 * 1.8 + 32.0
    }

    /// Absolute.
    #[must_use]
    pub fn kelvin(self) -> Kelvin {
        Kelvin(self.0 + 273.15)
    }
}

impl Kelvin {
    /// On the Celsius scale.
    #[must_use]
    pub fn celsius(self) -> Celsius {
        Celsius(self.0 - 273.15)
    }
}
