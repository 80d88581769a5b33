//! The stack in the profile: the chain of edges between bands, and what tells it from other stripes.

use super::lines::Lines;
use super::list::{change, get, mean, quantile, without_slow};
use super::turns::{Gone, Turn, thin, turns};

/// Least height of a band's edge, in parts of the usual.
const HEIGHT: f32 = 0.25;
/// Fewest edges of a chain.
const FEWEST: usize = 4;

/// The step from one band to the next.
#[derive(Debug, Clone, Copy)]
pub(super) struct Edge {
    pub(super) row: usize,
    pub(super) rise: f32,
    slope: f32,
    /// Part of the lines that show it.
    pub(super) support: f32,
    /// First and last row where it is steep: two steps the same way are one edge here.
    steep: (usize, usize),
}

impl Edge {
    pub(super) fn between(lines: &Lines, a: Turn, b: Turn) -> Self {
        let steepest = (a.row..b.row)
            .map(|row| (row, change(&lines.profile, row).abs()))
            .max_by(|a, b| a.1.total_cmp(&b.1));
        let (row, slope) = steepest.unwrap_or((a.row, 0.0));
        let is_steep = |row: &usize| change(&lines.profile, *row).abs() > 0.3 * slope;
        let first = (a.row..b.row).find(is_steep).unwrap_or(row);
        let last = (a.row..b.row).rev().find(is_steep).unwrap_or(row);
        let (from, to) = (a.row.max(row.saturating_sub(4)), b.row.min(row + 5));
        let whole = get(&lines.soft, to) - get(&lines.soft, from);
        let steps = lines.columns.iter().map(|c| get(c, to) - get(c, from));
        let steps: Vec<f32> = steps.filter(|step| step.is_finite()).collect();
        let shown = |step: &&f32| **step * whole.signum() > 0.3 * whole.abs();
        let yes = steps.iter().filter(shown).count();
        Self {
            row,
            rise: b.value - a.value,
            slope,
            support: yes as f32 / steps.len().max(1) as f32,
            steep: (first, last),
        }
    }
}

/// The edges of a stack, from one outermost to the other.
#[derive(Debug)]
pub(super) struct Stack {
    pub(super) edges: Vec<Edge>,
    /// One turn a band, between the edges.
    pub(super) turns: Vec<Turn>,
    /// The usual height of an edge.
    pub(super) contrast: f32,
    /// Wiggles too small to be bands.
    pub(super) gone: Vec<Gone>,
}

impl Stack {
    pub(super) fn of(lines: &Lines) -> Option<Self> {
        let mut turns = turns(&lines.profile);
        thin(&mut turns, 5.0);
        let heights: Vec<f32> = edges(lines, &turns)
            .filter(|edge| edge.support > 0.75)
            .map(|edge| edge.rise.abs())
            .collect();
        let contrast = quantile(&heights, 0.6);
        if contrast < 6.0 {
            return None;
        }
        let gone = thin(&mut turns, HEIGHT * contrast);
        let all: Vec<Edge> = edges(lines, &turns).collect();
        let slopes: Vec<f32> = all.iter().map(|edge| edge.slope).collect();
        let slope = quantile(&slopes, 0.6);
        let (first, last) = chain(&all, slope)?;
        Some(Self {
            edges: all.get(first..=last)?.to_vec(),
            turns: turns.get(first + 1..=last)?.to_vec(),
            contrast,
            gone,
        })
    }

    pub(super) fn top(&self) -> usize {
        self.edges.first().map_or(0, |edge| edge.row)
    }

    pub(super) fn bottom(&self) -> usize {
        self.edges.last().map_or(0, |edge| edge.row)
    }

    /// Rows of a mean band.
    pub(super) fn mean_rows(&self) -> f32 {
        self.bottom().saturating_sub(self.top()) as f32 / self.turns.len().max(1) as f32
    }

    /// Rows of each band.
    pub(super) fn heights(&self) -> Vec<f32> {
        let pairs = self.edges.iter().zip(self.edges.iter().skip(1));
        pairs.map(|(a, b)| (b.row - a.row) as f32).collect()
    }

    /// Rows that edges take from one shade to the other, this share of them less; of a pure wave 0.64 of a band.
    pub(super) fn edge_width(&self, lines: &Lines, share: f32) -> f32 {
        let widths: Vec<f32> = self
            .edges
            .iter()
            .map(|edge| {
                let slope = (edge.row.saturating_sub(1)..edge.row + 2)
                    .map(|row| change(&lines.profile, row).abs())
                    .fold(0.1, f32::max);
                edge.rise.abs() / slope
            })
            .collect();
        quantile(&widths, share)
    }

    /// Deviation of the blur, rows: an edge under a bell is as high as 2.5 deviations of its steepest slope.
    pub(super) fn blur(&self, lines: &Lines) -> f32 {
        0.9 * self.edge_width(lines, 0.35) / 2.507
    }

    pub(super) fn widest(&self) -> f32 {
        self.heights().into_iter().fold(1.0, f32::max)
    }
}

fn edges<'a>(lines: &'a Lines, turns: &'a [Turn]) -> impl Iterator<Item = Edge> + 'a {
    let pairs = turns.iter().zip(turns.iter().skip(1));
    pairs.map(|(a, b)| Edge::between(lines, *a, *b))
}

/// First and last of the longest chain of edges that run through and are sharp.
fn chain(edges: &[Edge], slope: f32) -> Option<(usize, usize)> {
    let row = |at: usize| edges.get(at).map_or(0, |edge| edge.row);
    let gap = |a: usize, b: usize| row(b).saturating_sub(row(a)) as f32;
    let gaps: Vec<f32> = (1..edges.len()).map(|at| gap(at - 1, at)).collect();
    let far = 7.0 * quantile(&gaps, 0.5).max(1.0);
    let good = |edge: &Edge| edge.support > 0.6 && edge.slope > 0.2 * slope;
    let (mut best, mut run) = (None::<(usize, usize, usize)>, None::<(usize, usize, usize)>);
    for (at, _) in edges.iter().enumerate().filter(|(_, edge)| good(edge)) {
        run = match run {
            Some((first, last, held)) if gap(last, at) <= far => Some((first, at, held + 1)),
            _ => Some((at, at, 1)),
        };
        if run.map(|run| run.2) > best.map(|best| best.2) {
            best = run;
        }
    }
    let (mut first, mut last, held) = best?;
    if held < FEWEST {
        return None;
    }
    // an outermost edge far out is no edge of the stack
    while last > first + FEWEST {
        let inner = (first + 1..last - 1)
            .map(|at| gap(at, at + 1))
            .fold(0.0, f32::max);
        let near = |at: usize| edges.get(at).map_or((0, 0), |edge| edge.steep);
        let after = near(last).0.saturating_sub(row(last - 1)) as f32;
        let before = row(first + 1).saturating_sub(near(first).1) as f32;
        if after > 1.8 * inner {
            last -= 1;
        } else if before > 1.8 * inner {
            first += 1;
        } else {
            break;
        }
    }
    Some((first, last))
}

/// What tells an etched end from other pictures with stripes.
#[derive(Debug, Clone, Copy)]
pub(super) struct Traits {
    /// Mean part of the lines that show an edge, and that of the worst tenth of the edges.
    pub(super) support: f32,
    pub(super) worst: f32,
    /// Part of the places on a band that have the other steel's shade.
    pub(super) flips: f32,
    /// What the profile leaves unsaid, beside what it says.
    pub(super) rest: f32,
    /// Spread of the heights of two bands together, in parts of their mean.
    pub(super) spread: f32,
    /// Part of the bands with a step across the lines in them, as bricks have.
    pub(super) crossed: f32,
    /// How far a band's shade is off those of its like, in parts of the contrast.
    pub(super) tones: f32,
}

impl Traits {
    pub(super) fn of(lines: &Lines, stack: &Stack) -> Self {
        let supports: Vec<f32> = stack.edges.iter().map(|edge| edge.support).collect();
        let rows: Vec<usize> = stack.edges.iter().map(|edge| edge.row).collect();
        let pairs: Vec<f32> = rows
            .iter()
            .zip(rows.iter().skip(2))
            .map(|(a, b)| (b - a) as f32)
            .collect();
        let usual = mean(pairs.iter().copied());
        let spread = mean(pairs.iter().map(|rows| (rows - usual) * (rows - usual))).sqrt() / usual;
        let crossed = rows
            .iter()
            .zip(rows.iter().skip(1))
            .filter(|(a, b)| has_step_across(lines, **a, **b, stack.contrast))
            .count() as f32
            / rows.len().saturating_sub(1).max(1) as f32;
        let (flips, rest) = apart(lines, stack);
        let shades: Vec<f32> = stack.turns.iter().map(|turn| turn.value).collect();
        let tones: Vec<f32> = shades
            .windows(5)
            .filter_map(|five| match five {
                [a, _, b, _, c] => Some((b - f32::midpoint(*a, *c)).abs() / stack.contrast),
                _ => None,
            })
            .collect();
        Self {
            support: mean(supports.iter().copied()),
            worst: quantile(&supports, 0.1),
            flips,
            rest,
            spread,
            crossed,
            tones: quantile(&tones, 0.7),
        }
    }
}

/// True when a band between two rows changes its shade along the lines.
fn has_step_across(lines: &Lines, a: usize, b: usize, contrast: f32) -> bool {
    let (from, to) = (a + 1 + (b - a) / 5, b - (b - a) / 5);
    let rows = from.min(to)..=from.max(to);
    let shades: Vec<f32> = lines
        .columns
        .iter()
        .map(|column| mean(rows.clone().map(|row| get(column, row))))
        .collect();
    let shades = super::list::window_mean(&shades, 1);
    (4..shades.len().saturating_sub(4))
        .any(|at| (get(&shades, at + 2) - get(&shades, at - 2)).abs() > 0.4 * contrast)
}

/// Part of the places with the wrong shade, and the variance that the profile leaves beside its own.
fn apart(lines: &Lines, stack: &Stack) -> (f32, f32) {
    let (top, bottom) = (stack.top(), stack.bottom());
    let mean_rows = (bottom - top) as f32 / stack.turns.len().max(1) as f32;
    let window = super::list::whole(mean_rows * 4.0).max(8);
    let profile = without_slow(&lines.profile, window);
    let (mut flips, mut places, mut rest, mut count) = (0.0, 0.0, 0.0, 0.0);
    for column in &lines.columns {
        let column = without_slow(column, window);
        for row in top..bottom {
            let off = get(&column, row) - get(&profile, row);
            if off.is_finite() {
                rest += off * off;
                count += 1.0;
            }
        }
        for turn in &stack.turns {
            let (value, expected) = (get(&column, turn.row), get(&profile, turn.row));
            if value.is_finite() && expected.abs() > 0.2 * stack.contrast {
                places += 1.0;
                flips += f32::from(u8::from(value * expected < 0.0));
            }
        }
    }
    let inside = lines.profile.get(top..bottom).unwrap_or(&[]);
    let level = mean(inside.iter().copied());
    let power = mean(inside.iter().map(|shade| (shade - level) * (shade - level)));
    (
        flips / f32::max(places, 1.0),
        rest / f32::max(count, 1.0) / power.max(1.0),
    )
}
