//! Why there is no plan: the limits that stand against all of them, with numbers.
//!
//! Each limit is waived alone; every one that then lets a plan through stood against all of them, and
//! is named with the nearest candidate's own figure, the smallest overstepping first. Where none does,
//! two are waived together. When no two will do, the candidate that breaks the fewest limits is
//! taken, and all that it breaks are named.

use super::grid::{Grid, Outer};
use super::limit::Limit;
use super::model::{Candidate, Restack, Run, Waived};
use super::search::{LONGEST, broken};
use crate::units::Mm;

/// Sentences that say why; never empty.
#[must_use]
pub fn explain(grid: &Grid) -> Vec<String> {
    explain_while(grid, &|| true).unwrap_or_default()
}

/// The same; none when `go_on` said no.
pub fn explain_while(grid: &Grid, go_on: &dyn Fn() -> bool) -> Option<Vec<String>> {
    let all = limits(grid, go_on);
    go_on().then_some(all)
}

fn limits(grid: &Grid, go_on: &dyn Fn() -> bool) -> Vec<String> {
    // Only a limit that stopped some candidate first can be the one that stands alone against it.
    let (_, met) = nearest(grid, 0, go_on);
    let bits = |met: u16| Limit::BITS.into_iter().filter(move |bit| met & bit != 0);
    let mut alone: Vec<(f64, Candidate)> = Vec::new();
    let mut pairs: Vec<u16> = Vec::new();
    for bit in bits(met) {
        let (best, met) = nearest(grid, bit, go_on);
        alone.extend(best);
        pairs.extend(bits(met & !bit).map(|other| bit | other));
    }
    if !alone.is_empty() {
        alone.sort_by(|a, b| a.0.total_cmp(&b.0));
        let each = alone.iter().flat_map(|(_, one)| sentences(grid, one));
        return each.collect();
    }
    // No single limit: two of them, the pair that is overstepped least; or all that stand.
    pairs.sort_unstable();
    pairs.dedup();
    let best = pairs
        .into_iter()
        .filter_map(|pair| nearest(grid, pair, go_on).0)
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .or_else(|| nearest(grid, u16::MAX, go_on).0);
    match best {
        Some((_, candidate)) => sentences(grid, &candidate),
        None => vec![
            "no plan: no pile of this rack can be drawn, ground and cut at all; look at thicknesses, grind and trim".to_owned(),
        ],
    }
}

fn sentences(grid: &Grid, candidate: &Candidate) -> Vec<String> {
    let all = broken(grid, candidate).into_iter();
    all.map(|limit| format!("no plan: {}", limit.sentence(&grid.wish)))
        .collect()
}

/// The candidate that comes through with these limits waived and oversteps them least; and the
/// limits that stopped others.
fn nearest(
    grid: &Grid,
    waived: Waived,
    go_on: &dyn Fn() -> bool,
) -> (Option<(f64, Candidate)>, u16) {
    let mut best: Option<(f64, Candidate)> = None;
    let mut met = 0;
    for (at, outer) in grid.outer.iter().enumerate() {
        if !go_on() {
            break;
        }
        let Ok(place) = u32::try_from(at) else {
            continue;
        };
        let mut look = Look {
            grid,
            outer,
            waived,
            candidate: Candidate {
                outer: place,
                ..Candidate::default()
            },
            best: &mut best,
            met: &mut met,
        };
        if let Some(run) = look.note(grid.begin(outer, waived)) {
            look.down(&run, 0);
        }
    }
    (best, met)
}

struct Look<'g, 'b> {
    grid: &'g Grid,
    outer: &'g Outer,
    waived: Waived,
    candidate: Candidate,
    best: &'b mut Option<(f64, Candidate)>,
    met: &'b mut u16,
}

impl Look<'_, '_> {
    /// What came of it; a limit is noted.
    fn note<T>(&mut self, made: Result<T, Limit>) -> Option<T> {
        made.map_err(|limit| *self.met |= limit.bit()).ok()
    }

    /// True when nothing from here on can be nearer than what is there already.
    fn is_beaten(&self, over: f64) -> bool {
        self.best.as_ref().is_some_and(|(least, _)| over >= *least)
    }

    fn down(&mut self, run: &Run, depth: usize) {
        if self.is_beaten(run.over) || !self.has_metal(run) {
            return;
        }
        self.end(run, depth);
        if depth >= self.grid.axes.most_restacks {
            return;
        }
        for thickness in 0..self.grid.axes.thicknesses.len() {
            let drawn = self.grid.drawn(self.outer, run, thickness, self.waived);
            let Some(piece) = self.note(drawn) else {
                continue;
            };
            for pieces in 0..self.grid.axes.restacks.len() {
                let (Ok(thickness), Ok(pieces)) = (u8::try_from(thickness), u8::try_from(pieces))
                else {
                    continue;
                };
                let restack = Restack { thickness, pieces };
                let last = depth + 1 == self.grid.axes.most_restacks;
                if last && self.grid.misses_bands(&piece.0, restack, self.waived) {
                    *self.met |= (Limit::Bands { bands: 0 }).bit();
                    continue;
                }
                let next = self
                    .grid
                    .restacked(self.outer, run, &piece, restack, self.waived);
                let Some(next) = self.note(next) else {
                    continue;
                };
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

    /// The longest stack has the most metal; what it lacks is not found further on.
    fn has_metal(&mut self, run: &Run) -> bool {
        let longest = self.grid.axes.lengths.last().copied().unwrap_or(Mm::ZERO);
        let waived = self.waived | LONGEST;
        let metal = self.grid.metal(self.outer, run, longest, waived);
        self.note(metal).is_some()
    }

    fn end(&mut self, run: &Run, depth: usize) {
        let grid = self.grid;
        let last = grid.last_pile(self.outer, run, self.waived);
        let Some(over) = self.note(last) else { return };
        if self.is_beaten(run.over + over) {
            return;
        }
        for at in self.lengths(run) {
            let length = grid.axes.lengths.get(at).copied().unwrap_or(Mm::ZERO);
            let metal = grid.metal(self.outer, run, length, self.waived);
            let Some((_, more)) = self.note(metal) else {
                continue;
            };
            let over = run.over + over + more;
            let (Ok(place), Ok(restacks)) = (u16::try_from(at), u8::try_from(depth)) else {
                continue;
            };
            if !self.is_beaten(over) {
                let candidate = Candidate {
                    length: place,
                    restacks,
                    ..self.candidate
                };
                *self.best = Some((over, candidate));
            }
        }
    }

    /// Lengths worth asking: all when metal or piece length may be short, for then more is better up
    /// to the forge's limit; else the least that has enough, for longer ones only overstep more.
    fn lengths(&self, run: &Run) -> std::ops::Range<usize> {
        let grid = self.grid;
        if self.waived & FEWER != 0 {
            return 0..grid.axes.lengths.len();
        }
        let enough = |at: usize| {
            let length = grid.axes.lengths.get(at).copied().unwrap_or(Mm::ZERO);
            let waived = self.waived | LONGEST;
            grid.metal(self.outer, run, length, waived).is_ok()
        };
        grid.least_length(enough).map_or(0..0, |at| at..at + 1)
    }
}

/// The bits of too short pieces and too little metal.
const FEWER: u16 = 1 << 5 | 1 << 6;
