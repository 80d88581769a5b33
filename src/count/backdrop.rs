//! What lies behind the bar: its shade beside the end, row by row.

use super::lines::Lines;
use super::list::{get, mean, quantile, whole};
use super::stack::Stack;

/// Columns inside and outside a side that are set beside each other.
const BESIDE: usize = 3;
/// Columns that a side may lie farther out or in, and lean by from top to bottom.
const OUT: i32 = 6;
const LEAN: i32 = 12;
/// Bands that go on beyond a side by this part of what they show inside have no side there.
const SIDE: f32 = 0.5;
/// Columns whose mean is the shade beside the end.
const WIDE: usize = 6;

/// The shade behind the bar.
#[derive(Debug, Clone)]
pub(super) struct Backdrop {
    /// Row by row; none where neither side is in the picture.
    shades: Vec<f32>,
    /// How far the two sides are apart.
    pub(super) apart: f32,
}

impl Backdrop {
    pub(super) fn of(lines: &Lines, stack: &Stack) -> Option<Self> {
        // where the bands go on there is no side
        let ends = beyond(lines, stack).map(|part| part.is_some_and(|part| part < SIDE));
        let sides = [-1, 1]
            .into_iter()
            .zip(ends)
            .map(|(sign, ends)| beside(lines, stack, sign).filter(|_| ends));
        let rows = lines.profile.len();
        let window = whole(0.6 * stack.mean_rows()).max(2);
        let both: Vec<Vec<f32>> = sides.flatten().map(|side| middles(&side, window)).collect();
        if both.is_empty() {
            return None;
        }
        // how much lighter the second side is than the first, from the first row to the last
        let (slant, apart) = match both.as_slice() {
            [a, b] => {
                let off: Vec<f32> = a.iter().zip(b).map(|(a, b)| b - a).collect();
                let sizes: Vec<f32> = off.iter().map(|off| off.abs()).collect();
                (slant(&off), quantile(&sizes, 0.5))
            }
            _ => ([0.0; 2], 10.0),
        };
        let alone = both.len() < 2;
        let shades: Vec<f32> = (0..rows)
            .map(|row| {
                let halves = both.iter().zip([0.5, -0.5]);
                let off = slant[0] + slant[1] * row as f32;
                mean(
                    halves
                        .map(|(side, half)| get(side, row) + if alone { 0.0 } else { half * off }),
                )
            })
            .collect();
        let known = shades.iter().filter(|shade| shade.is_finite()).count();
        (known * 2 > rows).then_some(Self { shades, apart })
    }

    /// The shade at a row, or at the nearest that is known.
    pub(super) fn at(&self, row: usize) -> f32 {
        let known = |at: &usize| self.shades.get(*at).is_some_and(|shade| shade.is_finite());
        let near = (0..self.shades.len())
            .flat_map(|far| [row.saturating_sub(far), row + far])
            .find(known);
        near.map_or(0.0, |at| get(&self.shades, at))
    }
}

/// How far the bands go on beyond both sides, in parts of what they show inside: nought where they all end there.
pub(super) fn beyond(lines: &Lines, stack: &Stack) -> [Option<f32>; 2] {
    let rows: Vec<usize> = stack.turns.iter().map(|turn| turn.row).collect();
    let by_turns = |list: &[f32]| -> Option<f32> {
        let each: Vec<f32> = rows
            .iter()
            .zip(rows.iter().skip(1))
            .zip(rows.iter().skip(2))
            .enumerate()
            .map(|(at, ((a, b), c))| {
                let sign = if at % 2 == 0 { 1.0 } else { -1.0 };
                sign * (get(list, *b) - f32::midpoint(get(list, *a), get(list, *c)))
            })
            .filter(|step| step.is_finite())
            .collect();
        (each.len() * 3 > rows.len().saturating_sub(2) * 2).then(|| quantile(&each, 0.5).abs())
    };
    let inside = by_turns(&lines.profile);
    [-1, 1].map(|sign| {
        let outside = by_turns(&beside(lines, stack, sign)?)?;
        inside
            .filter(|inside| *inside > 0.0)
            .map(|inside| outside / inside)
    })
}

/// The shade outside one side (-1 before the first column, 1 after the last), row by row.
fn beside(lines: &Lines, stack: &Stack, sign: i32) -> Option<Vec<f32>> {
    let columns = &lines.straight.columns;
    let (first, last) = lines.span;
    let edge = if sign < 0 { first } else { last } as f32;
    let (top, bottom) = (stack.top(), stack.bottom());
    let tall = (bottom.saturating_sub(top)).max(1) as f32;
    let line = |row: usize, out: i32, lean: i32| -> f32 {
        let part = (row as f32 - top as f32) / tall - 0.5;
        edge + sign as f32 * (out as f32 + lean as f32 * part)
    };
    let shade = |row: usize, from: f32, count: usize, outward: bool| -> f32 {
        let way = if outward { sign } else { -sign } as f32;
        mean((1..=count).map(|far| {
            let at = from + way * far as f32;
            if at < 0.0 {
                return f32::NAN;
            }
            columns.get(whole(at)).map_or(f32::NAN, |column| {
                column.get(row).copied().unwrap_or(f32::NAN)
            })
        }))
    };
    // the middles of bands tell best
    let rows: Vec<usize> = stack.turns.iter().map(|turn| turn.row).collect();
    let mut best: Option<(f32, i32, i32)> = None;
    for out in -OUT..=OUT {
        for lean in -LEAN..=LEAN {
            let steps: Vec<f32> = rows
                .iter()
                .map(|row| {
                    let at = line(*row, out, lean);
                    (shade(*row, at, BESIDE, true) - shade(*row, at, BESIDE, false)).abs()
                })
                .filter(|step| step.is_finite())
                .collect();
            if steps.len() * 2 > rows.len() {
                let score = mean(steps.iter().copied()) - 0.1 * (out.abs() + lean.abs()) as f32;
                if best.is_none_or(|best| score > best.0) {
                    best = Some((score, out, lean));
                }
            }
        }
    }
    let (_, out, lean) = best?;
    Some(
        (0..lines.profile.len())
            .map(|row| shade(row, line(row, out, lean) + sign as f32 * 1.0, WIDE, true))
            .collect(),
    )
}

/// The middle one over a window of rows either side.
fn middles(list: &[f32], radius: usize) -> Vec<f32> {
    (0..list.len())
        .map(|at| {
            let some = list
                .get(at.saturating_sub(radius)..(at + radius + 1).min(list.len()))
                .unwrap_or(&[]);
            if some.iter().any(|v| v.is_finite()) {
                quantile(some, 0.5)
            } else {
                f32::NAN
            }
        })
        .collect()
}

/// The straight line through a list: its start and its slope.
fn slant(list: &[f32]) -> [f32; 2] {
    let (mut n, mut x, mut y, mut xx, mut xy) = (0.0f32, 0.0f32, 0.0f32, 0.0f32, 0.0f32);
    for (at, value) in list
        .iter()
        .enumerate()
        .filter(|(_, value)| value.is_finite())
    {
        let at = at as f32;
        n += 1.0;
        x += at;
        y += value;
        xx += at * at;
        xy += at * value;
    }
    let spread = n * xx - x * x;
    if n < 2.0 || spread <= 0.0 {
        return [if n > 0.0 { y / n } else { 0.0 }, 0.0];
    }
    let slope = (n * xy - x * y) / spread;
    [(y - slope * x) / n, slope]
}
