//! What a node remembers of its sequence: enough to join two without looking inside either.

use super::{Layers, SteelId};
use crate::units::Mm;

/// Height, bands, the two outer bands, the extremes of the bands between them, thickness by steel.
///
/// Summaries of two neighbours join to the summary of both: the outer bands may grow together in the
/// seam, so the extremes kept here are of the inner bands only. The empty sequence is the default.
#[derive(Debug, Clone, PartialEq)]
pub struct Summary {
    pub(super) height: f64,
    pub(super) bands: u128,
    pub(super) first: (SteelId, f64),
    pub(super) last: (SteelId, f64),
    /// Thinnest inner band; infinite when there is none.
    pub(super) min_in: f64,
    /// Thickest inner band; zero when there is none.
    pub(super) max_in: f64,
    /// By steel, in the order of [`SteelId`].
    pub(super) by: Vec<(SteelId, f64)>,
}

impl Default for Summary {
    fn default() -> Self {
        Self {
            height: 0.0,
            bands: 0,
            first: (SteelId(0), 0.0),
            last: (SteelId(0), 0.0),
            min_in: f64::INFINITY,
            max_in: 0.0,
            by: Vec::new(),
        }
    }
}

impl Summary {
    pub(super) fn layer(steel: SteelId, thickness: f64) -> Self {
        Self {
            height: thickness,
            bands: 1,
            first: (steel, thickness),
            last: (steel, thickness),
            by: vec![(steel, thickness)],
            ..Self::default()
        }
    }

    /// Puts `above` on top.
    pub(super) fn append(&mut self, above: &Self) {
        if above.bands == 0 {
            return;
        }
        if self.bands == 0 {
            *self = above.clone();
            return;
        }
        let meet = self.last.0 == above.first.0;
        let joined = self.last.1 + above.first.1;
        let (one, other) = (self.bands == 1, above.bands == 1);
        self.min_in = self.min_in.min(above.min_in);
        self.max_in = self.max_in.max(above.max_in);
        match (meet, one, other) {
            (true, true, true) => {
                self.first.1 = joined;
                self.last.1 = joined;
            }
            (true, true, false) => {
                self.first.1 = joined;
                self.last = above.last;
            }
            (true, false, true) => self.last.1 = joined,
            (true, false, false) => {
                self.inner(joined);
                self.last = above.last;
            }
            (false, ..) => {
                if !one {
                    self.inner(self.last.1);
                }
                if !other {
                    self.inner(above.first.1);
                }
                self.last = above.last;
            }
        }
        self.height += above.height;
        self.bands = self.bands.saturating_add(above.bands - u128::from(meet));
        for (steel, thickness) in &above.by {
            match self.by.binary_search_by_key(steel, |(known, _)| *known) {
                Ok(at) => {
                    if let Some(entry) = self.by.get_mut(at) {
                        entry.1 += thickness;
                    }
                }
                Err(at) => self.by.insert(at, (*steel, *thickness)),
            }
        }
    }

    fn inner(&mut self, thickness: f64) {
        self.min_in = self.min_in.min(thickness);
        self.max_in = self.max_in.max(thickness);
    }

    /// The same again and again. `times` is at least 1.
    pub(super) fn repeated(&self, times: u64) -> Self {
        let mut all = self.clone();
        if times < 2 || self.bands == 0 {
            return all;
        }
        #[expect(
            clippy::cast_precision_loss,
            reason = "more copies than a double counts are far below the thickness of an atom"
        )]
        let copies = times as f64;
        all.height *= copies;
        for (_, thickness) in &mut all.by {
            *thickness *= copies;
        }
        if self.bands == 1 {
            all.first.1 *= copies;
            all.last.1 *= copies;
            return all;
        }
        if self.first.0 == self.last.0 {
            all.inner(self.last.1 + self.first.1);
            all.bands = (self.bands - 1)
                .saturating_mul(u128::from(times))
                .saturating_add(1);
        } else {
            all.inner(self.first.1);
            all.inner(self.last.1);
            all.bands = self.bands.saturating_mul(u128::from(times));
        }
        all
    }

    pub(super) fn mirrored(&self) -> Self {
        let mut turned = self.clone();
        std::mem::swap(&mut turned.first, &mut turned.last);
        turned
    }

    pub(super) fn scaled(&self, factor: f64) -> Self {
        let mut other = self.clone();
        for length in [
            &mut other.height,
            &mut other.first.1,
            &mut other.last.1,
            &mut other.min_in,
            &mut other.max_in,
        ] {
            *length *= factor;
        }
        for (_, thickness) in &mut other.by {
            *thickness *= factor;
        }
        other
    }

    /// Thickness of one steel, mm.
    pub(super) fn of(&self, steel: SteelId) -> f64 {
        self.by
            .iter()
            .find(|(known, _)| *known == steel)
            .map_or(0.0, |(_, thickness)| *thickness)
    }

    pub(super) fn thin(&self) -> f64 {
        self.min_in.min(self.first.1).min(self.last.1)
    }

    /// Whole thickness.
    #[must_use]
    pub fn height(&self) -> Mm {
        Mm(self.height)
    }

    /// Bands that can be seen: like neighbours are one. Saturates at `u128::MAX`.
    #[must_use]
    pub fn bands(&self) -> u128 {
        self.bands
    }

    /// The lowest band; none in an empty sequence.
    #[must_use]
    pub fn first(&self) -> Option<(SteelId, Mm)> {
        (self.bands > 0).then_some((self.first.0, Mm(self.first.1)))
    }

    /// The topmost band; none in an empty sequence.
    #[must_use]
    pub fn last(&self) -> Option<(SteelId, Mm)> {
        (self.bands > 0).then_some((self.last.0, Mm(self.last.1)))
    }

    /// The thinnest band; zero in an empty sequence.
    #[must_use]
    pub fn thinnest(&self) -> Mm {
        Mm(if self.bands == 0 { 0.0 } else { self.thin() })
    }

    /// The thickest band; zero in an empty sequence.
    #[must_use]
    pub fn thickest(&self) -> Mm {
        Mm(self.max_in.max(self.first.1).max(self.last.1))
    }

    /// Thickness of one steel, all its bands together.
    #[must_use]
    pub fn thickness_of(&self, steel: SteelId) -> Mm {
        Mm(self.of(steel))
    }

    /// Thickness by steel, in the order of [`SteelId`].
    pub fn by_steel(&self) -> impl Iterator<Item = (SteelId, Mm)> + '_ {
        self.by.iter().map(|(steel, of)| (*steel, Mm(*of)))
    }
}

impl Layers {
    /// What the whole sequence comes to.
    #[must_use]
    pub fn summary(&self) -> &Summary {
        &self.0.sum
    }

    /// Whole thickness.
    #[must_use]
    pub fn height(&self) -> Mm {
        self.0.sum.height()
    }

    /// Bands that can be seen: like neighbours are one. Saturates at `u128::MAX`.
    #[must_use]
    pub fn bands(&self) -> u128 {
        self.0.sum.bands
    }

    /// Share of one steel in the thickness.
    #[must_use]
    pub fn share(&self, steel: SteelId) -> f64 {
        if self.0.sum.height > 0.0 {
            self.0.sum.of(steel) / self.0.sum.height
        } else {
            0.0
        }
    }

    /// The thinnest band; zero in an empty sequence.
    #[must_use]
    pub fn thinnest(&self) -> Mm {
        self.0.sum.thinnest()
    }

    /// The thickest band; zero in an empty sequence.
    #[must_use]
    pub fn thickest(&self) -> Mm {
        self.0.sum.thickest()
    }
}
