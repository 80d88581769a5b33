//! The whole grid searched, with what cannot win cut off early.
//!
//! For a run of restacks the least length of the first stack that leaves enough metal is found by
//! halving: metal and piece lengths only grow with it, and so do steel and the limits on bars, so no
//! other length of that run can be better. A run is given up when even the least that could come of
//! it (its welds, its minutes, the steel that it takes if nothing more were lost) is beaten by a plan
//! that is already there. Both cuts are exact; tests hold the answer against plain enumeration.

use std::ops::Range;

use super::candidate::{Candidate, Restack};
use super::front::{Front, Score};
use super::grid::{Grid, Outer};
use super::limit::Limit;
use super::model::RestackRun;
use super::strokes::WELD_HEATS;
use crate::billet::Kind;

/// How far a search has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress {
    /// Outermost choices done.
    pub done: usize,
    /// Of so many.
    pub of: usize,
    /// Plans on the list so far.
    pub plans: usize,
}

/// What a search found.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SearchResult {
    /// Plans that none beats.
    pub front: Front,
    /// Runs of restacks looked at.
    pub runs: u64,
    /// False when it was stopped.
    pub finished: bool,
}

impl SearchResult {
    /// Two parts of the same grid together.
    #[must_use]
    pub fn merge(mut self, other: &Self) -> Self {
        self.front.merge(&other.front);
        self.runs += other.runs;
        self.finished &= other.finished;
        self
    }
}

/// Searches a part of the grid: outermost choices `range`. `go_on` is asked after each and may stop
/// the search by saying false.
pub fn search(grid: &Grid, range: Range<usize>, go_on: &dyn Fn(Progress) -> bool) -> SearchResult {
    let mut found = SearchResult {
        finished: true,
        ..SearchResult::default()
    };
    let of = range.len();
    for (done, at) in range.enumerate() {
        let progress = Progress {
            done,
            of,
            plans: found.front.len(),
        };
        if !go_on(progress) {
            found.finished = false;
            break;
        }
        search_one(grid, at, &mut found);
    }
    found
}

/// Goes through one outermost choice with what was found before: its plans help to cut this one short.
pub fn search_one(grid: &Grid, at: usize, found: &mut SearchResult) {
    let (Some(outer), Ok(place)) = (grid.outer.get(at), u32::try_from(at)) else {
        return;
    };
    let mut hunt = Hunt {
        grid,
        outer,
        candidate: Candidate {
            outer: place,
            ..Candidate::default()
        },
        found,
        least_last: grid.least_last(),
    };
    if let Ok(run) = grid.begin(outer, 0) {
        hunt.down(&run, 0);
    }
}

impl Grid {
    /// Least minutes of what follows any pile: the steps behind it with their weld and one heat of drawing.
    fn least_last(&self) -> f64 {
        self.after_pile.minutes
            + self.pace.hot(Kind::Weld, WELD_HEATS)
            + self.pace.hot(Kind::Draw, 1)
    }

    /// Place of the least length for which `enough` holds, when it holds for the greatest.
    pub(super) fn least_length(&self, enough: impl Fn(usize) -> bool) -> Option<usize> {
        let count = self.axes.lengths.len();
        if count == 0 || !enough(count - 1) {
            return None;
        }
        let (mut low, mut high) = (0, count - 1);
        while low < high {
            let middle = usize::midpoint(low, high);
            if enough(middle) {
                high = middle;
            } else {
                low = middle + 1;
            }
        }
        Some(low)
    }
}

struct Hunt<'g, 'f> {
    grid: &'g Grid,
    outer: &'g Outer,
    candidate: Candidate,
    found: &'f mut SearchResult,
    least_last: f64,
}

impl Hunt<'_, '_> {
    fn down(&mut self, run: &RestackRun, depth: usize) {
        self.found.runs += 1;
        let Some(least) = self.bound(run) else { return };
        if self.found.front.rules_out(&least) {
            return;
        }
        self.end(run, depth);
        if depth >= self.grid.axes.most_restacks {
            return;
        }
        for thickness in 0..self.grid.axes.thicknesses.len() {
            let Ok(piece) = self.grid.drawn(self.outer, run, thickness, 0) else {
                continue;
            };
            for pieces in 0..self.grid.axes.restacks.len() {
                let (Ok(thick), Ok(count)) = (u8::try_from(thickness), u8::try_from(pieces)) else {
                    continue;
                };
                let restack = Restack {
                    thickness: thick,
                    pieces: count,
                };
                let last = depth + 1 == self.grid.axes.most_restacks;
                if last && self.grid.surely_misses(&piece.0, restack).is_some() {
                    self.found.runs += 1;
                    continue;
                }
                let next = self.grid.restacked(self.outer, run, &piece, restack, 0);
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

    /// The least that anything from this run on can cost; none when no length has the metal.
    fn bound(&self, run: &RestackRun) -> Option<Score> {
        let grid = self.grid;
        // A length that is too long for the forge now may not be after fewer pieces: only metal and
        // piece lengths are asked here.
        let enough = |at: usize| {
            let length = grid.axes.lengths.get(at).copied().unwrap_or_default();
            grid.metal(self.outer, run, length, GROWING).is_ok()
        };
        let length = grid.least_length(enough)?;
        let length = grid.axes.lengths.get(length).copied().unwrap_or_default();
        Some(Score {
            welds: run.welds + grid.after_pile.welds,
            steel: grid.steel(self.outer, length),
            minutes: least_tenths(run.minutes + self.least_last),
            lean: 0,
        })
    }

    /// The run as a whole plan.
    fn end(&mut self, run: &RestackRun, depth: usize) {
        let grid = self.grid;
        if grid.last_pile(self.outer, run, 0).is_err() {
            return;
        }
        let enough = |at: usize| {
            let length = grid.axes.lengths.get(at).copied().unwrap_or_default();
            grid.metal(self.outer, run, length, GROWING).is_ok()
        };
        let Some(at) = grid.least_length(enough) else {
            return;
        };
        let length = grid.axes.lengths.get(at).copied().unwrap_or_default();
        // The least length makes the shortest bars and takes the least steel: when those are too much, all are.
        if grid.metal(self.outer, run, length, 0).is_err() {
            return;
        }
        let (Ok(place), Ok(restacks)) = (u16::try_from(at), u8::try_from(depth)) else {
            return;
        };
        let candidate = Candidate {
            length: place,
            restacks,
            ..self.candidate
        };
        let score = grid.score(self.outer, run, length);
        self.found.front.add(score, candidate);
    }
}

/// The bits of the forge's length and of the steel at hand: the limits that a longer stack may break.
pub(super) const GROWING: u16 = 1 << 4 | 1 << 14;

/// Minutes as a bound: never above what the same sum rounds to.
fn least_tenths(minutes: f64) -> u64 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "costs are above zero and small"
    )]
    let tenths = (minutes * 10.0 - 0.5).floor().max(0.0) as u64;
    tenths
}

/// Plain enumeration of a part of the grid: every candidate from nothing. What [`search`] is held
/// against, and what its speed is compared with.
#[must_use]
pub fn enumerate(grid: &Grid, range: Range<usize>) -> Front {
    let mut front = Front::default();
    for outer in range {
        let Ok(place) = u32::try_from(outer) else {
            continue;
        };
        every(grid, place, &mut |candidate| {
            if let Ok(score) = grid.evaluate(&candidate) {
                front.add(score, candidate);
            }
        });
    }
    front
}

/// Every candidate of an outermost choice.
pub(super) fn every(grid: &Grid, outer: u32, each: &mut dyn FnMut(Candidate)) {
    let mut candidate = Candidate {
        outer,
        ..Candidate::default()
    };
    fill(grid, &mut candidate, 0, each);
}

fn fill(grid: &Grid, candidate: &mut Candidate, depth: usize, each: &mut dyn FnMut(Candidate)) {
    candidate.restacks = u8::try_from(depth).unwrap_or(u8::MAX);
    for at in 0..grid.axes.lengths.len() {
        let length = u16::try_from(at).unwrap_or(u16::MAX);
        each(Candidate {
            length,
            ..*candidate
        });
    }
    if depth >= grid.axes.most_restacks {
        return;
    }
    for thickness in 0..grid.axes.thicknesses.len() {
        for pieces in 0..grid.axes.restacks.len() {
            if let (Some(cell), Ok(thickness), Ok(pieces)) = (
                candidate.each.get_mut(depth),
                u8::try_from(thickness),
                u8::try_from(pieces),
            ) {
                *cell = Restack { thickness, pieces };
            }
            fill(grid, candidate, depth + 1, each);
        }
    }
    if let Some(cell) = candidate.each.get_mut(depth) {
        *cell = Restack::default();
    }
    candidate.restacks = u8::try_from(depth).unwrap_or(u8::MAX);
}

/// What stands against a candidate with some limits waived, and the limits that it breaks.
pub(super) fn broken(grid: &Grid, candidate: &Candidate) -> Vec<Limit> {
    let mut waived = 0_u16;
    let mut all = Vec::new();
    for _ in 0..16 {
        let met = grid.follow(candidate, waived).and_then(|(outer, run)| {
            grid.last_pile(outer, &run, waived)?;
            grid.metal(outer, &run, grid.length(candidate), waived)
        });
        match met {
            Ok(_) => return all,
            Err(limit) if limit.bit() & waived != 0 => {
                // It cannot be waived: the candidate is no plan at all.
                all.push(limit);
                return all;
            }
            Err(limit) => {
                waived |= limit.bit();
                all.push(limit);
            }
        }
    }
    all
}
