//! Why there is no plan: the limits that stand against all of them, with numbers.
//!
//! The grid is gone through once more with every limit passed over and noted. A limit that is all
//! that some candidate breaks stood alone against it: each of those is named with the figures of the
//! candidate that oversteps it least, the smallest overstepping first. Where none stands alone, the
//! two that some candidate breaks together and oversteps least are named; and where no two will do,
//! all that the nearest candidate breaks.

use std::collections::BTreeMap;

use super::candidate::{Candidate, Restack};
use super::grid::{Grid, Outer};
use super::limit::Limit;
use super::limit::Over;
use super::model::RestackRun;
use super::search::{GROWING, broken};
use crate::units::Mm;

/// Every limit is passed over.
const ALL: u16 = u16::MAX;

/// Sentences that say why; never empty.
#[must_use]
pub fn explain(grid: &Grid) -> Vec<String> {
    explain_while(grid, &|| true).unwrap_or_default()
}

/// The same; none when `go_on` said no.
pub fn explain_while(grid: &Grid, go_on: &dyn Fn() -> bool) -> Option<Vec<String>> {
    explain_with(grid, &mut |mut misses| {
        for at in 0..grid.outer() {
            if !go_on() {
                return None;
            }
            misses.look(grid, at);
        }
        Some(misses)
    })
}

/// The same, with the going through the grid left to `all`: it gets what to begin each part with, and
/// gives what the parts gave, merged; none when it was stopped.
pub fn explain_with(
    grid: &Grid,
    all: &mut dyn FnMut(Misses) -> Option<Misses>,
) -> Option<Vec<String>> {
    let mut misses = all(Misses::default())?;
    if misses.best.is_empty() {
        misses = all(Misses {
            most: u32::MAX,
            ..Misses::default()
        })?;
    }
    Some(misses.sentences(grid))
}

/// The nearest candidate for each set of limits that one breaks.
#[derive(Debug, Clone, PartialEq)]
pub struct Misses {
    best: BTreeMap<u16, (f64, Candidate)>,
    /// Most limits that a candidate may break to be of use still.
    most: u32,
}

impl Default for Misses {
    fn default() -> Self {
        Self {
            best: BTreeMap::new(),
            most: 2,
        }
    }
}

impl Misses {
    /// What two parts of the grid gave, together.
    #[must_use]
    pub fn merge(mut self, other: &Self) -> Self {
        self.most = self.most.min(other.most);
        let most = self.most;
        self.best.retain(|bits, _| bits.count_ones() <= most);
        for (bits, (over, candidate)) in &other.best {
            self.note(*bits, *over, *candidate);
        }
        self
    }

    /// Goes through one outermost choice.
    pub fn look(&mut self, grid: &Grid, at: usize) {
        let (Some(outer), Ok(place)) = (grid.outer.get(at), u32::try_from(at)) else {
            return;
        };
        let mut look = Look {
            grid,
            outer,
            candidate: Candidate {
                outer: place,
                ..Candidate::default()
            },
            misses: self,
        };
        if let Ok(run) = grid.begin(outer, ALL) {
            look.down(&run, 0);
        }
    }

    /// In sentences, the nearest first; never empty.
    fn sentences(&self, grid: &Grid) -> Vec<String> {
        let alone = self.best.iter().filter(|(bits, _)| bits.count_ones() == 1);
        let mut told: Vec<&(f64, Candidate)> = alone.map(|(_, best)| best).collect();
        if told.is_empty() {
            let all = self.best.values();
            told.extend(all.min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1))));
        }
        told.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        if told.is_empty() {
            return vec!["no plan: no pile of this stock can be drawn, ground and cut at all; look at thicknesses, grind and trim".to_owned()];
        }
        let each = told.into_iter().flat_map(|(_, one)| broken(grid, one));
        each.map(|limit| format!("no plan: {}", limit.sentence(&grid.wish)))
            .collect()
    }

    /// True when nothing that breaks these limits by so much, and more perhaps, can be of use.
    fn beats(&self, over: Over) -> bool {
        let count = over.bits.count_ones();
        if count > self.most {
            return true;
        }
        let beaten = |(least, _): &(f64, Candidate)| over.sum > *least;
        match self.most {
            1 => self.best.get(&over.bits).is_some_and(beaten),
            // It may still be one that breaks a single limit, and those come first.
            2 if count < 2 => false,
            // More than one limit: only the nearest of all is told.
            _ => self.best.values().any(beaten),
        }
    }

    fn note(&mut self, bits: u16, sum: f64, candidate: Candidate) {
        let count = bits.count_ones();
        if count > self.most {
            return;
        }
        if count == 1 && self.most > 1 {
            self.most = 1;
            self.best.retain(|bits, _| bits.count_ones() == 1);
        }
        // Of those that are as near, the first of the grid.
        let nearer = |(least, held): &(f64, Candidate)| {
            sum.total_cmp(least).then(candidate.cmp(held)).is_lt()
        };
        if self.best.get(&bits).is_none_or(nearer) {
            self.best.insert(bits, (sum, candidate));
        }
    }
}

struct Look<'g, 'm> {
    grid: &'g Grid,
    outer: &'g Outer,
    candidate: Candidate,
    misses: &'m mut Misses,
}

impl Look<'_, '_> {
    fn down(&mut self, run: &RestackRun, depth: usize) {
        if self.misses.beats(self.sure(run.over, run.welds)) {
            return;
        }
        self.end(run, depth);
        let last = depth + 1 == self.grid.axes.most_restacks;
        if depth >= self.grid.axes.most_restacks {
            return;
        }
        for thickness in 0..self.grid.axes.thicknesses.len() {
            // The limits of the draw are looked at before its layers are worked out.
            let over = run.over + self.grid.draw_over(self.outer, run, thickness);
            if self.misses.beats(self.sure(over, run.welds + 1)) {
                continue;
            }
            if last && self.misses_bands(run, thickness, over) {
                continue;
            }
            let Ok(piece) = self.grid.drawn(self.outer, run, thickness, ALL) else {
                continue;
            };
            for pieces in 0..self.grid.axes.restacks.len() {
                let (Ok(thickness), Ok(pieces)) = (u8::try_from(thickness), u8::try_from(pieces))
                else {
                    continue;
                };
                let restack = Restack { thickness, pieces };
                if last {
                    let missed = self.grid.surely_misses(&piece.0, restack);
                    let over = missed.map_or(Over::default(), |bands| {
                        Limit::Bands { bands }.overstep(&self.grid.wish)
                    });
                    let over = run.over + piece.1 + over;
                    if self.misses.beats(self.sure(over, run.welds + 1)) {
                        continue;
                    }
                }
                let next = self.grid.restacked(self.outer, run, &piece, restack, ALL);
                let Ok(next) = next else { continue };
                if let Some(cell) = self.candidate.each.get_mut(depth) {
                    *cell = restack;
                }
                self.down(&next, depth + 1);
            }
        }
        if let Some(cell) = self.candidate.each.get_mut(depth) {
            *cell = Restack::default();
        }
    }

    /// True when no count of pieces of a draw can come near enough to the bands wanted to be of use.
    fn misses_bands(&self, run: &RestackRun, thickness: usize, over: Over) -> bool {
        let one = self.grid.rough(self.outer, run, thickness);
        (0..self.grid.axes.restacks.len()).all(|restack| {
            let missed = self.grid.missed(&one, restack);
            missed.is_some_and(|bands| {
                let over = over + Limit::Bands { bands }.overstep(&self.grid.wish);
                self.misses.beats(self.sure(over, run.welds + 1))
            })
        })
    }

    /// What is overstepped, with the welds, which are noted at the last pile only.
    fn sure(&self, over: Over, welds: u32) -> Over {
        let (welds, most) = (
            welds + self.grid.after_pile.welds,
            self.grid.wish.most_welds,
        );
        if welds > most {
            over + Limit::Welds { welds, most }.overstep(&self.grid.wish)
        } else {
            over
        }
    }

    fn end(&mut self, run: &RestackRun, depth: usize) {
        let Ok(over) = self.grid.last_pile(self.outer, run, ALL) else {
            return;
        };
        let over = run.over + over;
        if self.misses.beats(over) {
            return;
        }
        // The least length that has metal enough breaks no other limit, or only that of the forge or of the
        // steel at hand; then a shorter one may break another alone.
        let enough = |at: usize| {
            let metal = self.grid.metal(self.outer, run, self.length(at), GROWING);
            metal.is_ok()
        };
        let from = self.grid.least_length(enough);
        let fits = |at: &usize| {
            let metal = self.grid.metal(self.outer, run, self.length(*at), 0);
            metal.is_ok()
        };
        let range = match from.filter(fits) {
            Some(at) => at..at + 1,
            None => 0..self.grid.axes.lengths.len(),
        };
        for at in range {
            let metal = self.grid.metal(self.outer, run, self.length(at), ALL);
            let (Ok((_, more)), Ok(length), Ok(restacks)) =
                (metal, u16::try_from(at), u8::try_from(depth))
            else {
                continue;
            };
            let over = over + more;
            let candidate = Candidate {
                length,
                restacks,
                ..self.candidate
            };
            if over.bits != 0 {
                self.misses.note(over.bits, over.sum, candidate);
            }
        }
    }

    fn length(&self, at: usize) -> Mm {
        let length = self.grid.axes.lengths.get(at);
        length.copied().unwrap_or(Mm::ZERO)
    }
}
