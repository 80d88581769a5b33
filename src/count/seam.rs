//! A faint step beyond the last sharp edge that runs through all lines, each line at most a row from the next.

use super::lines::{Lines, Side};
use super::list::{get, quantile, whole};
use super::stack::Stack;

/// Rows beyond an edge where a faint step is looked for.
pub(super) struct Reach {
    from: usize,
    to: usize,
    /// Rows either side that a step is measured over.
    span: usize,
}

impl Reach {
    pub(super) fn of(
        lines: &Lines,
        stack: &Stack,
        side: Side,
        edge: usize,
        mean_rows: f32,
    ) -> Self {
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
pub(super) struct Seam {
    pub(super) row: usize,
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

    pub(super) fn is_sure(&self, contrast: f32) -> bool {
        let least = 6.0f32.max(0.09 * contrast).max(2.0 * self.other);
        self.step > least && self.same > 0.93 && self.is_clear()
    }

    pub(super) fn is_hint(&self, contrast: f32) -> bool {
        let least = 3.0f32.max(0.04 * contrast).max(1.3 * self.other);
        self.step > least && self.same > 0.85 && self.beside < 0.7 * self.step
    }
}

/// The strongest step through all lines between two rows, each line at most a row from its neighbour.
pub(super) fn seam(lines: &Lines, reach: &Reach) -> Option<Seam> {
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
