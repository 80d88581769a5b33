//! Which candidates no other beats: fewer welds, less steel, less time.

use super::candidate::Candidate;

/// What a candidate costs; each less is better.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Score {
    pub welds: u32,
    /// Steel to buy, tenths of a gram.
    pub steel: u64,
    /// Minutes of work, tenths.
    pub minutes: u64,
    /// Tallest pile over its width, thousandths: decides between equals only.
    pub lean: u64,
}

impl Score {
    /// True when this one is as good in everything that counts and better in something.
    #[must_use]
    pub fn beats(&self, other: &Self) -> bool {
        self.covers(other)
            && (self.welds < other.welds
                || self.steel < other.steel
                || self.minutes < other.minutes)
    }

    /// True when this one is as good in everything that counts.
    fn covers(&self, other: &Self) -> bool {
        self.welds <= other.welds && self.steel <= other.steel && self.minutes <= other.minutes
    }
}

/// The candidates that none beats, each with its score.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Front {
    all: Vec<(Score, Candidate)>,
}

impl Front {
    /// Takes a candidate in, unless another beats it; of equals the one that leans less stays, then
    /// the one that comes first in the grid.
    pub fn add(&mut self, score: Score, candidate: Candidate) {
        let better = |(held, known): &(Score, Candidate)| {
            held.beats(&score)
                || (held.covers(&score) && (held.lean, *known) <= (score.lean, candidate))
        };
        if self.all.iter().any(better) {
            return;
        }
        self.all.retain(|(held, _)| !score.covers(held));
        self.all.push((score, candidate));
    }

    /// True when every candidate that costs at least this much is beaten already.
    #[must_use]
    pub fn rules_out(&self, least: &Score) -> bool {
        self.all.iter().any(|(held, _)| held.beats(least))
    }

    /// Both together.
    pub fn merge(&mut self, other: &Self) {
        for (score, candidate) in &other.all {
            self.add(*score, *candidate);
        }
    }

    /// The candidates, fewest welds first, then least steel.
    #[must_use]
    pub fn sorted(&self) -> Vec<(Score, Candidate)> {
        let mut all = self.all.clone();
        all.sort();
        all
    }

    /// How many.
    #[must_use]
    pub fn len(&self) -> usize {
        self.all.len()
    }

    /// True when there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.all.is_empty()
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::{Front, Score};
    use crate::planner::draft::candidate::Candidate;

    fn score(welds: u32, steel: u64, minutes: u64, lean: u64) -> Score {
        Score {
            welds,
            steel,
            minutes,
            lean,
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn the_front_is_what_nothing_beats(
            all in prop::collection::vec((1_u32..4, 1_u64..9, 1_u64..9, 1_u64..3), 1..60)
        ) {
            let scored: Vec<(Score, Candidate)> = all
                .iter()
                .enumerate()
                .map(|(at, (w, s, m, l))| (score(*w, *s, *m, *l), Candidate::numbered(at)))
                .collect();
            let mut front = Front::default();
            for (score, candidate) in scored.iter().rev() {
                front.add(*score, *candidate);
            }
            let mut kept: Vec<Score> = front.sorted().into_iter().map(|one| one.0).collect();
            kept.dedup_by_key(|one| (one.welds, one.steel, one.minutes));
            prop_assert_eq!(kept.len(), front.len());
            for (one, _) in &scored {
                let beaten = scored.iter().any(|(other, _)| other.beats(one));
                let there = kept.iter().any(|held| (held.welds, held.steel, held.minutes) == (one.welds, one.steel, one.minutes));
                prop_assert_eq!(there, !beaten);
            }
            // Any order gives the same front.
            let mut again = Front::default();
            for (score, candidate) in &scored {
                again.add(*score, *candidate);
            }
            prop_assert_eq!(front.sorted(), again.sorted());
        }
    }
}
