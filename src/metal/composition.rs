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

    /// Nickel metal, as sheet: half of it or more.
    #[must_use]
    pub fn is_nickel(&self) -> bool {
        self.ni >= 50.0
    }

    /// Iron by difference, mass %.
    #[must_use]
    pub fn iron(&self) -> f64 {
        100.0 - self.elements().iter().sum::<f64>()
    }

    /// What several metals are together, each with its share. Shares by volume are close enough to
    /// those by mass for steels.
    #[must_use]
    pub fn mix(parts: impl IntoIterator<Item = (Self, f64)>) -> Self {
        let mut sum = Self::default();
        for (metal, share) in parts {
            for ((_, to), part) in sum.elements_mut().into_iter().zip(metal.elements()) {
                *to += share * part;
            }
        }
        sum
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
        let mut own = *self;
        own.elements_mut().map(|(_, share)| *share)
    }

    /// Every element by its symbol in small letters.
    pub fn elements_mut(&mut self) -> [(&'static str, &mut f64); 11] {
        [
            ("c", &mut self.c),
            ("mn", &mut self.mn),
            ("si", &mut self.si),
            ("cr", &mut self.cr),
            ("ni", &mut self.ni),
            ("mo", &mut self.mo),
            ("v", &mut self.v),
            ("w", &mut self.w),
            ("cu", &mut self.cu),
            ("p", &mut self.p),
            ("s", &mut self.s),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::Composition;

    // Arithmetic by hand: a quarter of one, three quarters of the other.
    #[test]
    fn a_mix_keeps_every_element() {
        let one = Composition {
            c: 0.8,
            mn: 0.4,
            si: 0.2,
            cr: 0.1,
            ni: 2.0,
            mo: 0.3,
            v: 0.5,
            w: 0.6,
            cu: 0.24,
            p: 0.02,
            s: 0.03,
        };
        let other = Composition {
            c: 0.4,
            cu: 0.04,
            p: 0.01,
            ..Composition::default()
        };
        let mix = Composition::mix([(one, 0.25), (other, 0.75)]);
        let by_hand = Composition {
            c: 0.5,
            mn: 0.1,
            si: 0.05,
            cr: 0.025,
            ni: 0.5,
            mo: 0.075,
            v: 0.125,
            w: 0.15,
            cu: 0.09,
            p: 0.0125,
            s: 0.0075,
        };
        let least = Composition::mix([(by_hand, 1.0 - 1e-9)]);
        let greatest = Composition::mix([(by_hand, 1.0 + 1e-9)]);
        assert!(mix.within(&least, &greatest), "{mix:?}");
    }
}
