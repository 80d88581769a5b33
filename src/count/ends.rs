//! The outermost bands, which meet the background: a stair of two steps the same way, or a faint step beyond
//! the last sharp edge.

use super::lines::{Lines, Side};
use super::list::{change, get, quantile, whole};
use super::seam::{Reach, seam};
use super::stack::Stack;
use super::steps::{Fit, fit};
use super::turns::Turn;

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
    let mean_rows = (stack.bottom() - stack.top()) as f32 / stack.turns.len().max(1) as f32;
    // less than most of a band is not enough to see what lies beyond
    let at_border = |row: usize| {
        let (first, last) = lines.known();
        let pixels = 7.0 / lines.straight.frame.step;
        let room = whole((0.6 * mean_rows).min(pixels).max(2.0));
        match side {
            Side::First => row < first + room,
            Side::Last => row + room > last,
        }
    };
    let found = |inner: usize, row: usize, cut: bool| Outer {
        row,
        inner,
        band: true,
        cut: cut || at_border(row),
        may_hide: cut,
        may_lack: true,
    };
    if let Some((inner, row)) = stairs(lines, stack, side)
        && has_shade(lines, stack, side, inner, row)
        && !lines.is_behind((inner, row), &stack.like_beyond(side))
    {
        return found(inner, row, false);
    }
    if let Some((inner, row)) = two_steps(lines, stack, side, edge.row, mean_rows)
        && !lines.is_behind((inner, row), &stack.like_beyond(side))
    {
        return found(inner, row, false);
    }
    let reach = Reach::of(lines, stack, side, edge.row, mean_rows);
    let seam = seam(lines, &reach);
    if let Some(seam) = seam
        && seam.is_sure(stack.contrast)
        && has_shade(lines, stack, side, edge.row, seam.row)
        && !lines.is_behind((edge.row, seam.row), &stack.like_beyond(side))
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
        cut: at_border(edge.row),
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
    (near
        && has_shade(lines, stack, side, edge, border)
        && !lines.is_behind((edge, border), &stack.like_beyond(side)))
    .then_some(border)
}

/// Two steps the same way between the last band and the background: inner row, outer row.
fn stairs(lines: &Lines, stack: &Stack, side: Side) -> Option<(usize, usize)> {
    let (from, to) = match side {
        Side::First => (stack.outside.0.row, stack.turns.first()?.row),
        Side::Last => (stack.turns.last()?.row, stack.outside.1.row),
    };
    let way = (lines.shade(to) - lines.shade(from)).signum();
    let slopes: Vec<f32> = (from..to)
        .map(|row| (way * change(&lines.profile, row)).max(0.0))
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

/// Two steps where a softer one would say less: the last band and the background, in the shape of the blur.
fn two_steps(
    lines: &Lines,
    stack: &Stack,
    side: Side,
    edge: usize,
    mean_rows: f32,
) -> Option<(usize, usize)> {
    // outwards from the middle of the last band that is sure
    let rows = lines.soft.len();
    let outward = |row: usize| match side {
        Side::First => rows.saturating_sub(row + 1),
        Side::Last => row,
    };
    let line: Vec<f32> = match side {
        Side::First => lines.soft.iter().rev().copied().collect(),
        Side::Last => lines.soft.clone(),
    };
    let next = match side {
        Side::First => stack.edges.get(1)?.row,
        Side::Last => stack.edges.iter().rev().nth(1)?.row,
    };
    let (edge, next) = (outward(edge), outward(next));
    let from = usize::midpoint(edge, next);
    let blur = stack.blur(lines) / 0.9;
    let expected = own_shade(stack, side)?;
    let widest = stack.widest();
    let mut best: Option<(f32, Fit, [f32; 2], usize)> = None;
    let mut outer = edge as f32 + 0.35 * mean_rows;
    while outer < edge as f32 + 1.5 * widest {
        let to = whole(outer + 2.0 * blur + 0.5 * mean_rows).min(rows);
        let mut inner = edge as f32 - 0.5 * mean_rows;
        while inner < outer - 0.35 * mean_rows {
            for soft in [1.0, 1.35] {
                if let Some(two) = fit(&line, from..to, &[inner, outer], soft * blur)
                    && best.as_ref().is_none_or(|best| two.rest < best.0)
                {
                    best = Some((two.rest, two, [inner, outer], to));
                }
            }
            inner += 0.5;
        }
        outer += 0.5;
    }
    let (rest, two, [inner, outer], to) = best?;
    let mut one = f32::MAX;
    let mut place = from as f32;
    while place < to as f32 {
        for soft in [1.0, 1.4, 2.0, 2.8] {
            if let Some(found) = fit(&line, from..to, &[place], soft * blur) {
                one = one.min(found.rest);
            }
        }
        place += 0.5;
    }
    let [level, first, second, _] = two.parts;
    let shade = level + first;
    let clear = one > 4.0 * rest + 0.5;
    // beside a light band a light background rings, as a lens that sharpens does
    let least = if first * second < 0.0 { 0.5 } else { 0.35 };
    let fits = outer - inner > least * mean_rows
        && (shade - expected).abs() < 0.3 * stack.contrast
        && first.abs() > 0.4 * stack.contrast
        && second.abs() > f32::max(6.0, 0.1 * stack.contrast);
    (clear && fits).then(|| (outward(whole(inner)), outward(whole(outer))))
}

/// The shade that a band beyond the last edge would have: that of its steel, near this end.
fn own_shade(stack: &Stack, side: Side) -> Option<f32> {
    let near: Vec<Turn> = match side {
        Side::First => stack.turns.iter().take(7).copied().collect(),
        Side::Last => stack.turns.iter().rev().take(7).copied().collect(),
    };
    let next = near.first()?;
    let own: Vec<f32> = near
        .iter()
        .filter(|turn| turn.peak != next.peak)
        .map(|turn| turn.value)
        .collect();
    (!own.is_empty()).then(|| quantile(&own, 0.5))
}
