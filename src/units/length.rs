//! Length, area and volume.

use super::quantity;

quantity! {
    /// A length in millimetres.
    Mm
}
quantity! {
    /// An area in square millimetres.
    Mm2
}
quantity! {
    /// A volume in cubic millimetres.
    Mm3
}

/// Millimetres in one inch, exact by definition (international inch, 1959).
pub(crate) const MM_PER_INCH: f64 = 25.4;

impl Mm {
    /// From inches.
    ///
    /// ```
    /// # use anvilside::units::Mm;
    /// assert_eq!(Mm::from_inch(2.0), Mm(50.8));
    /// ```
    #[must_use]
    pub fn from_inch(inch: f64) -> Self {
        Self(inch * MM_PER_INCH)
    }

    /// In inches.
    #[must_use]
    pub fn inch(self) -> f64 {
        self.0 / MM_PER_INCH
    }

    #[must_use]
    pub fn metres(self) -> f64 {
        self.0 / 1000.0
    }

    /// Down to the next whole multiple of `mark`; a hair under a multiple counts as that multiple,
    /// so that sizes which are exact in a table do not lose a whole mark to rounding of the machine.
    ///
    /// ```
    /// # use anvilside::units::Mm;
    /// assert_eq!(Mm(345.6).floor_to(Mm(0.5)), Mm(345.5));
    /// assert_eq!(Mm(7.0 * 0.1 * 10.0).floor_to(Mm(0.5)), Mm(7.0));
    /// ```
    #[must_use]
    pub fn floor_to(self, mark: Self) -> Self {
        if !mark.is_positive() {
            return self;
        }
        Self((self.0 / mark.0 + 1e-6).floor() * mark.0)
    }
}

impl Mm3 {
    /// In cubic inches.
    #[must_use]
    pub fn cubic_inch(self) -> f64 {
        self.0 / (MM_PER_INCH * MM_PER_INCH * MM_PER_INCH)
    }

    /// In cubic centimetres.
    #[must_use]
    pub fn cubic_cm(self) -> f64 {
        self.0 / 1000.0
    }
}

impl std::ops::Mul for Mm {
    type Output = Mm2;
    fn mul(self, other: Self) -> Mm2 {
        Mm2(self.0 * other.0)
    }
}

impl std::ops::Mul<Mm> for Mm2 {
    type Output = Mm3;
    fn mul(self, other: Mm) -> Mm3 {
        Mm3(self.0 * other.0)
    }
}

impl std::ops::Div<Mm> for Mm3 {
    type Output = Mm2;
    fn div(self, other: Mm) -> Mm2 {
        Mm2(self.0 / other.0)
    }
}

impl std::ops::Div<Mm2> for Mm3 {
    type Output = Mm;
    fn div(self, other: Mm2) -> Mm {
        Mm(self.0 / other.0)
    }
}

impl std::ops::Div<Mm> for Mm2 {
    type Output = Mm;
    fn div(self, other: Mm) -> Mm {
        Mm(self.0 / other.0)
    }
}
