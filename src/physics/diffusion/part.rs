//! How much of one steel, and of its carbon, a stretch of the stack holds.

/// One steel's part of a stretch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Part {
    /// Thickness of this steel, mm.
    pub(crate) mm: f64,
    /// Its carbon, mass % times mm.
    pub(crate) carbon: f64,
    /// Least carbon anywhere in it, mass %.
    pub(crate) least: f64,
    /// Greatest carbon anywhere in it, mass %.
    pub(crate) greatest: f64,
}

impl Part {
    pub(crate) const NONE: Self = Self {
        mm: 0.0,
        carbon: 0.0,
        least: f64::INFINITY,
        greatest: f64::NEG_INFINITY,
    };

    /// Both together.
    pub(crate) fn and(self, other: Self) -> Self {
        Self {
            mm: self.mm + other.mm,
            carbon: self.carbon + other.carbon,
            least: self.least.min(other.least),
            greatest: self.greatest.max(other.greatest),
        }
    }

    /// The same thing `times` over.
    pub(crate) fn times(self, times: f64) -> Self {
        Self {
            mm: self.mm * times,
            carbon: self.carbon * times,
            ..self
        }
    }
}
