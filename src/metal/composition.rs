//! What is in a steel.

use serde::{Deserialize, Serialize};

/// Mass percent of each element that the laws use; what is absent is zero.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Composition {
    /// Carbon, mass %.
    pub c: f64,
    /// Manganese, mass %.
    pub mn: f64,
    /// Silicon, mass %.
    pub si: f64,
    /// Chromium, mass %.
    pub cr: f64,
    /// Nickel, mass %.
    pub ni: f64,
    /// Molybdenum, mass %.
    pub mo: f64,
    /// Vanadium, mass %.
    pub v: f64,
    /// Tungsten, mass %.
    pub w: f64,
    /// Copper, mass %.
    pub cu: f64,
    /// Phosphorus, mass %.
    pub p: f64,
    /// Sulphur, mass %.
    pub s: f64,
}

impl Composition {
    /// The same metal with another carbon content, for example after carbon has evened out.
    #[must_use]
    pub fn with_carbon(mut self, c: f64) -> Self {
        self.c = c;
        self
    }

    /// Iron by difference, mass %.
    #[must_use]
    pub fn iron(&self) -> f64 {
        100.0
            - self.c
            - self.mn
            - self.si
            - self.cr
            - self.ni
            - self.mo
            - self.v
            - self.w
            - self.cu
            - self.p
            - self.s
    }

    /// True when every element lies between `least` and `greatest`, the ends included.
    #[must_use]
    pub fn within(&self, least: &Self, greatest: &Self) -> bool {
        let triples = self.elements().into_iter().zip(least.elements());
        triples
            .zip(greatest.elements())
            .all(|((own, low), high)| own >= low && own <= high)
    }

    /// True when every element is a finite share of the whole and iron is not overdrawn.
    #[must_use]
    pub fn is_sane(&self) -> bool {
        let all = self.elements();
        all.iter().all(|x| x.is_finite() && *x >= 0.0) && self.iron() >= -0.01
    }

    fn elements(&self) -> [f64; 11] {
        [
            self.c, self.mn, self.si, self.cr, self.ni, self.mo, self.v, self.w, self.cu, self.p,
            self.s,
        ]
    }
}
