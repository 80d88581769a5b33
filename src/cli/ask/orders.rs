//! Orders of piece counts for `ask restacks`, by the count alone.

use crate::units::show;

/// What is wanted of the counts alone.
#[derive(Debug, Clone)]
pub(super) struct Wanted {
    pub(super) bands: u64,
    pub(super) least: u64,
    pub(super) most: u64,
    pub(super) pieces: Vec<u32>,
    pub(super) restacks: usize,
    pub(super) merge: bool,
}

/// One order of piece counts, and the bands at its end.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Way {
    pub(super) pieces: Vec<u32>,
    pub(super) bands: u64,
}

impl Wanted {
    pub(super) fn after(&self, bands: u64, pieces: u32) -> u64 {
        let k = u64::from(pieces);
        if self.merge {
            bands.saturating_sub(1).saturating_mul(k).saturating_add(1)
        } else {
            bands.saturating_mul(k)
        }
    }

    /// Every order of piece counts that ends in the range: fewest restacks first, then fewest pieces
    /// in all, then the lowest pile.
    pub(super) fn ways(&self) -> Vec<Way> {
        let mut found = Vec::new();
        let keep = |way: Way| {
            if way.bands >= self.least && way.bands <= self.most {
                found.push(way);
            }
        };
        self.each(keep);
        let rank = |way: &Way| {
            let sum: u32 = way.pieces.iter().sum();
            let tallest = way.pieces.iter().max().copied();
            (way.pieces.len(), sum, tallest, way.bands)
        };
        found.sort_by_key(rank);
        found
    }

    /// The orders that come nearest to the range from under and from over it.
    pub(super) fn nearest(&self) -> (Option<Way>, Option<Way>) {
        let (mut under, mut over): (Option<Way>, Option<Way>) = (None, None);
        self.each(|way| {
            if way.bands < self.least && under.as_ref().is_none_or(|held| held.bands < way.bands) {
                under = Some(way);
            } else if way.bands > self.most
                && over.as_ref().is_none_or(|held| held.bands > way.bands)
            {
                over = Some(way);
            }
        });
        (under, over)
    }

    /// Gives every order of one restack and more, up to the first that goes over the range.
    fn each(&self, mut give: impl FnMut(Way)) {
        let mut open = vec![Way {
            pieces: Vec::new(),
            bands: self.bands,
        }];
        while let Some(way) = open.pop() {
            for pieces in &self.pieces {
                let bands = self.after(way.bands, *pieces);
                let next = Way {
                    pieces: [way.pieces.as_slice(), &[*pieces]].concat(),
                    bands,
                };
                if bands <= self.most && next.pieces.len() < self.restacks && bands > way.bands {
                    open.push(next.clone());
                }
                give(next);
            }
        }
    }
}

impl Way {
    /// `4 x 4`.
    pub(super) fn words(&self) -> String {
        let counts: Vec<String> = self.pieces.iter().map(u32::to_string).collect();
        counts.join(" x ")
    }

    pub(super) fn with_bands(&self) -> String {
        format!(
            "{} ({} bands)",
            self.words(),
            show::count(u128::from(self.bands))
        )
    }
}
