//! The outermost bands, which meet the background: a stair of two steps the same way, or a faint step beyond
//! the last sharp edge.

use super::lines::Lines;
use super::list::{change, get, quantile, whole};
use super::stack::Stack;
use super::turns::Turn;

/// One end of the stack.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    First,
    Last,
}

/// What was found at one end.
#[derive(Debug, Clone, Copy)]
pub(super) struct Outer {
    /// Row where the stack ends.
    pub(super) row: usize,
    /// The last sharp edge, where it is another.
    pub(super) inner: usize,
    /// A band beyond the last sharp edge.
    pub(super) band: bool,
    /// That band runs out of the picture.
    pub(super) cut: bool,
    /// A band may be there that does not count, or one that counts may not be there.
    pub(super) may_hide: bool,
    pub(super) may_lack: bool,
}

/// Looks at one end of the stack.
pub(super) fn outer(lines: &Lines, stack: &Stack, side: Side) -> Outer {
    let edge = match side {
        Side::First => stack.edges.first(),
        Side::Last => stack.edges.last(),
    };
    let Some(edge) = edge else {
        return Outer {
            row: 0,
            inner: 0,
            band: false,
            cut: false,
            may_hide: false,
            may_lack: false,
        };
    };
    let found = |inner: usize, row: usize, cut: bool| Outer {
        row,
        inner,
        band: true,
        cut,
        may_hide: cut,
        may_lack: true,
    };
    let mean_rows = (stack.bottom() - stack.top()) as f32 / stack.turns.len().max(1) as f32;
    if let Some((inner, row)) = stairs(lines, stack, side)
        && has_shade(lines, stack, side, inner, row)
    {
        return found(inner, row, false);
    }
    let reach = Reach::of(lines, stack, side, edge.row, mean_rows);
    let seam = seam(lines, &reach);
    if let Some(seam) = seam
        && seam.is_sure(stack.contrast)
        && has_shade(lines, stack, side, edge.row, seam.row)
    {
        return found(edge.row, seam.row, false);
    }
    if let Some(row) = cut_off(lines, stack, side, edge.row, mean_rows) {
        return found(edge.row, row, true);
    }
    let (near, far) = (2, whole(mean_rows) + 2);
    let (near, far) = match side {
        Side::First => (edge.row.saturating_sub(near), edge.row.saturating_sub(far)),
        Side::Last => (edge.row + near, edge.row + far),
    };
    let hint = seam.is_some_and(|seam| seam.is_hint(stack.contrast));
    Outer {
        row: edge.row,
        inner: edge.row,
        band: false,
        cut: false,
        may_hide: hint || has_shade(lines, stack, side, near, far),
        may_lack: edge.rise.abs() < 0.35 * stack.contrast,
    }
}

/// A band outside must have the shade of its steel: that of the second band inwards, near this end.
fn has_shade(lines: &Lines, stack: &Stack, side: Side, a: usize, b: usize) -> bool {
    let near: Vec<Turn> = match side {
        Side::First => stack.turns.iter().take(7).copied().collect(),
        Side::Last => stack.turns.iter().rev().take(7).copied().collect(),
    };
    let Some(next) = near.first() else {
        return false;
    };
    let own: Vec<f32> = near
        .iter()
        .filter(|turn| turn.peak != next.peak)
        .map(|turn| turn.value)
        .collect();
    let (a, b) = (a.min(b), a.max(b));
    let middle: Vec<f32> = (a + (b - a) / 3..=b - (b - a) / 3)
        .map(|row| lines.shade(row))
        .collect();
    own.is_empty() || (quantile(&middle, 0.5) - quantile(&own, 0.5)).abs() < 0.35 * stack.contrast
}

/// The end runs out of the picture before the next band has an edge.
fn cut_off(lines: &Lines, stack: &Stack, side: Side, edge: usize, mean_rows: f32) -> Option<usize> {
    let (first, last) = lines.known();
    let border = if side == Side::First { first } else { last };
    let far = border.abs_diff(edge) as f32;
    let near = far > 2.0 && far < 0.9 * mean_rows;
    (near && has_shade(lines, stack, side, edge, border)).then_some(border)
}

/// Two steps the same way between the last band and the background: inner row, outer row.
fn stairs(lines: &Lines, stack: &Stack, side: Side) -> Option<(usize, usize)> {
    let (from, to) = match side {
        Side::First => (stack.outside.0.row, stack.turns.first()?.row),
        Side::Last => (stack.turns.last()?.row, stack.outside.1.row),
    };
    let slopes: Vec<f32> = (from..to)
        .map(|row| change(&lines.profile, row).abs())
        .collect();
    let top = slopes.iter().copied().fold(0.0, f32::max);
    let least = (0.12 * top).max(0.16 * stack.slope);
    let steep = |at: &usize| {
        let here = get(&slopes, *at);
        let before = at.checked_sub(1).map_or(0.0, |at| get(&slopes, at));
        here > least && before <= here && get(&slopes, at + 1) < here
    };
    let mut peaks: Vec<usize> = Vec::new();
    for at in (0..slopes.len()).filter(steep) {
        // two peaks with no valley between them are one
        let valley = peaks.last().map(|last| {
            let low = slopes
                .get(*last..=at)
                .unwrap_or(&[])
                .iter()
                .copied()
                .fold(f32::MAX, f32::min);
            low > 0.5 * get(&slopes, *last).min(get(&slopes, at))
        });
        match (valley, peaks.last_mut()) {
            (Some(true), Some(last)) => {
                if get(&slopes, at) > get(&slopes, *last) {
                    *last = at;
                }
            }
            _ => peaks.push(at),
        }
    }
    let bounds = |at: usize| {
        let peak = |at: usize| peaks.get(at).copied();
        let here = peak(at).unwrap_or(0);
        let low = at
            .checked_sub(1)
            .and_then(peak)
            .map_or(0, |before| usize::midpoint(before, here));
        let top = peak(at + 1).map_or(slopes.len(), |after| usize::midpoint(here, after));
        low..top
    };
    let tall = |at: &usize| {
        let height: f32 = slopes.get(bounds(*at)).unwrap_or(&[]).iter().sum();
        height > 0.15 * stack.contrast && height > 8.0
    };
    let mut steps: Vec<usize> = (0..peaks.len())
        .filter(tall)
        .filter_map(|at| peaks.get(at))
        .map(|at| from + at)
        .collect();
    if side == Side::First {
        steps.reverse();
    }
    match steps.as_slice() {
        [inner, outer, ..] if inner.abs_diff(*outer) as f32 <= 1.6 * stack.widest() => {
            Some((*inner, *outer))
        }
        _ => None,
    }
}

/// Rows beyond an edge where a faint step is looked for.
struct Reach {
    from: usize,
    to: usize,
    /// Rows either side that a step is measured over.
    span: usize,
}

impl Reach {
    fn of(lines: &Lines, stack: &Stack, side: Side, edge: usize, mean_rows: f32) -> Self {
        let near = whole(
            (0.35 * mean_rows)
                .max(2.0 / lines.straight.frame.step + 1.0)
                .floor(),
        );
        let far = whole((1.8 * stack.widest()).min(4.0 * mean_rows).floor());
        let (from, to) = match side {
            Side::First => (edge.saturating_sub(far), edge.saturating_sub(near)),
            Side::Last => (edge + near, (edge + far).min(lines.profile.len())),
        };
        Self {
            from,
            to,
            span: if mean_rows < 10.0 { 2 } else { 3 },
        }
    }
}

/// A step that runs through all lines, not wholly straight.
#[derive(Debug, Clone, Copy)]
struct Seam {
    row: usize,
    step: f32,
    /// Part of the lines where it goes the same way.
    same: f32,
    /// Step just beside it, and the strongest that goes the other way.
    beside: f32,
    other: f32,
}

impl Seam {
    fn is_clear(&self) -> bool {
        self.beside < 0.6 * self.step
    }

    fn is_sure(&self, contrast: f32) -> bool {
        let least = 6.0f32.max(0.09 * contrast).max(2.0 * self.other);
        self.step > least && self.same > 0.93 && self.is_clear()
    }

    fn is_hint(&self, contrast: f32) -> bool {
        let least = 3.0f32.max(0.04 * contrast).max(1.3 * self.other);
        self.step > least && self.same > 0.85 && self.beside < 0.7 * self.step
    }
}

/// The strongest step through all lines between two rows, each line at most a row from its neighbour.
fn seam(lines: &Lines, reach: &Reach) -> Option<Seam> {
    let columns = lines.inner(10);
    let rows = reach.to.checked_sub(reach.from).filter(|rows| *rows >= 3)?;
    if reach.from < reach.span || columns.len() < 6 {
        return None;
    }
    let steps: Vec<Vec<f32>> = (0..columns.len())
        .map(|at| {
            let near = at.saturating_sub(1)..(at + 2).min(columns.len());
            let some = columns.get(near).unwrap_or(&[]);
            (0..rows)
                .map(|row| step(some, reach.from + row, reach.span))
                .collect()
        })
        .collect();
    let sizes: Vec<f32> = steps.iter().flatten().map(|step| step.abs()).collect();
    let most = (quantile(&sizes, 0.9) * 1.5).max(1.0);
    let up = best_way(&steps, rows, most, 1.0, reach)?;
    let down = best_way(&steps, rows, most, -1.0, reach)?;
    let key = |seam: &Seam| (seam.is_clear(), seam.step);
    let (best, other) = if key(&down) > key(&up) {
        (down, up)
    } else {
        (up, down)
    };
    Some(Seam {
        other: if other.is_clear() { other.step } else { 0.0 },
        ..best
    })
}

/// The mean step of some columns at a row.
fn step(columns: &[Vec<f32>], row: usize, span: usize) -> f32 {
    let differences = columns.iter().flat_map(|column| {
        (0..span).map(move |far| get(column, row + 1 + far) - get(column, row - far))
    });
    let mean = super::list::mean(differences);
    if mean.is_finite() { mean } else { 0.0 }
}

/// The best way through from the first column to the last for steps up (1) or down (-1).
fn best_way(steps: &[Vec<f32>], rows: usize, most: f32, sign: f32, reach: &Reach) -> Option<Seam> {
    let value = |column: usize, row: usize| {
        steps
            .get(column)
            .map_or(0.0, |steps| (get(steps, row) * sign).clamp(-most, most))
    };
    let mut score: Vec<f32> = (0..rows).map(|row| value(0, row)).collect();
    let mut came: Vec<Vec<usize>> = vec![(0..rows).collect()];
    for column in 1..steps.len() {
        let from = |row: usize| {
            (row.saturating_sub(1)..(row + 2).min(rows))
                .map(|at| {
                    (
                        at,
                        get(&score, at) - if at == row { 0.0 } else { 0.3 * most },
                    )
                })
                .max_by(|a, b| a.1.total_cmp(&b.1))
                .unwrap_or((row, 0.0))
        };
        let next: Vec<(usize, f32)> = (0..rows).map(from).collect();
        came.push(next.iter().map(|(at, _)| *at).collect());
        score = next
            .iter()
            .enumerate()
            .map(|(row, (_, so_far))| so_far + value(column, row))
            .collect();
    }
    let best = score.iter().enumerate().max_by(|a, b| a.1.total_cmp(b.1));
    let mut row = best.map(|(row, _)| row)?;
    let (mut sum, mut same, mut place, mut before, mut after) = (0.0, 0.0, 0.0, 0.0f32, 0.0f32);
    for (column, came) in came.iter().enumerate().rev() {
        let here = value(column, row);
        sum += here;
        same += f32::from(u8::from(here > 0.0));
        place += row as f32;
        let beside = |at: Option<usize>| {
            at.filter(|at| *at < rows)
                .map_or(here, |at| value(column, at))
        };
        before += beside(row.checked_sub(reach.span + 1));
        after += beside(Some(row + reach.span + 1));
        row = came.get(row).copied().unwrap_or(row);
    }
    let count = steps.len() as f32;
    Some(Seam {
        row: reach.from + whole((place / count).floor()),
        step: sum / count,
        same: same / count,
        beside: before.max(after) / count,
        other: 0.0,
    })
}
