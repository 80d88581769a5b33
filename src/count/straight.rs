//! Many lines across the layers, each laid over its neighbour: a bent stack made straight.
//!
//! From the middle of the end, column by column, each column is shifted row by row so that it agrees with the
//! columns before it: the least squares of Lucas and Kanade (1981), with the light's strength and level left
//! free, over a window of some bands. The window is a triangle: a box answers some waves with the wrong sign,
//! and the shifts then run away.

use super::grey::Grey;
use super::list::{get, whole, window_mean, without_slow};

/// Most rows that a shift may change by in one go.
const MOST: f32 = 0.8;
/// Columns over the width of the end.
const COLUMNS: f32 = 120.0;

/// Where rows and columns lie in the picture.
#[derive(Debug, Clone, Copy)]
pub(super) struct Frame {
    middle: [f32; 2],
    across: [f32; 2],
    /// Pixels from row to row, and from column to column.
    pub(super) step: f32,
    pub(super) spacing: f32,
    /// Place of the first row from the middle, pixels.
    first: f32,
    pub(super) rows: usize,
    pub(super) columns: usize,
}

/// What part of the picture is to be made straight: where it begins and ends, pixels from the middle.
#[derive(Debug, Clone, Copy)]
pub(super) struct Part {
    pub(super) middle: [f32; 2],
    pub(super) direction: [f32; 2],
    pub(super) across: [f32; 2],
    pub(super) along: [f32; 2],
}

impl Frame {
    pub(super) fn over(part: Part, step: f32) -> Self {
        let ([from, to], [left, right]) = (part.across, part.along);
        let [dx, dy] = part.direction;
        let wide = (right - left).max(8.0);
        let shift = f32::midpoint(right, left);
        let spacing = (wide / COLUMNS).max(step * 1.5);
        Self {
            middle: [part.middle[0] - dy * shift, part.middle[1] + dx * shift],
            across: part.direction,
            step,
            spacing,
            first: from,
            rows: whole(((to - from) / step).clamp(8.0, 6000.0)) + 1,
            columns: whole(wide / spacing).max(5) | 1,
        }
    }

    /// The middle of the columns, in the picture.
    pub(super) fn middle(&self) -> [f32; 2] {
        self.middle
    }

    /// Place of a row from the middle, pixels.
    #[inline]
    pub(super) fn across_at(&self, row: f32) -> f32 {
        self.first + row * self.step
    }

    /// Place of a column from the middle, pixels.
    #[inline]
    pub(super) fn along_at(&self, column: f32) -> f32 {
        (column - (self.columns / 2) as f32) * self.spacing
    }

    /// The place in the picture of a row in a column.
    #[inline]
    pub(super) fn place(&self, column: f32, row: f32) -> [f32; 2] {
        let (v, u) = (self.across_at(row), self.along_at(column));
        let ([x, y], [ax, ay]) = (self.middle, self.across);
        [x + ax * v - ay * u, y + ay * v + ax * u]
    }
}

/// The lines across, made straight.
#[derive(Debug, Clone)]
pub(super) struct Straight {
    pub(super) frame: Frame,
    /// Shades by column, then row; not a number outside the picture.
    pub(super) columns: Vec<Vec<f32>>,
    /// Rows that each row of each column is moved by.
    pub(super) shifts: Vec<Vec<f32>>,
}

impl Straight {
    /// Walks both ways from the middle column.
    pub(super) fn walk(levels: &[Grey], frame: Frame, window: usize) -> Self {
        let mut out = Self {
            frame,
            columns: vec![Vec::new(); frame.columns],
            shifts: vec![Vec::new(); frame.columns],
        };
        let still = vec![0.0; frame.rows];
        let centre = frame.columns / 2;
        let beside = (centre - 1..centre + 2).map(|at| column(levels, &frame, at, &still, &still));
        let first = super::list::column_mean(&beside.collect::<Vec<_>>());
        for (sign, reach) in [(1.0, frame.columns - centre), (-1.0, centre + 1)] {
            let (mut model, mut shift, mut slope) = (first.clone(), still.clone(), still.clone());
            for far in 0..reach {
                let at = if sign > 0.0 {
                    centre + far
                } else {
                    centre - far
                };
                if far > 0 {
                    add(&mut shift, &slope, 1.0);
                }
                slope = window_mean(&window_mean(&slope, window / 2), window / 2);
                let lean: Vec<f32> = slope.iter().map(|rows| rows * sign).collect();
                let target = without_slow(&model, window * 4);
                let mut values = Vec::new();
                let mut moved = still.clone();
                for _ in 0..2 {
                    values = column(levels, &frame, at, &shift, &lean);
                    let step = settle(&target, &without_slow(&values, window * 4), window);
                    add(&mut shift, &step, 1.0);
                    add(&mut moved, &step, 1.0);
                }
                if far > 0 {
                    let most = 1.5 * frame.spacing / frame.step;
                    for (rows, by) in slope.iter_mut().zip(&moved) {
                        *rows = (*rows * 0.98 + 0.3 * by).clamp(-most, most);
                    }
                }
                for (old, new) in model
                    .iter_mut()
                    .zip(&values)
                    .filter(|(_, new)| new.is_finite())
                {
                    *old = if old.is_finite() {
                        *old * 0.85 + new * 0.15
                    } else {
                        *new
                    };
                }
                if let (Some(c), Some(s)) = (out.columns.get_mut(at), out.shifts.get_mut(at)) {
                    *c = values;
                    s.clone_from(&shift);
                }
            }
        }
        out
    }

    /// Lays each column once more, over the mean of all that agree.
    pub(super) fn refine(&mut self, levels: &[Grey], model: &[f32], window: usize) {
        let target = without_slow(model, window * 4);
        for at in 0..self.columns.len() {
            let before = self
                .shifts
                .get(at.saturating_sub(1))
                .cloned()
                .unwrap_or_default();
            let after = self.shifts.get(at + 1).unwrap_or(&before);
            let lean: Vec<f32> = before
                .iter()
                .zip(after)
                .map(|(b, a)| (a - b) / 2.0)
                .collect();
            let (Some(values), Some(shift)) = (self.columns.get_mut(at), self.shifts.get_mut(at))
            else {
                continue;
            };
            let step = settle(&target, &without_slow(values, window * 4), window);
            add(shift, &step, 1.0);
            *values = column(levels, &self.frame, at, shift, &lean);
        }
    }
}

fn add(to: &mut [f32], what: &[f32], times: f32) {
    for (a, b) in to.iter_mut().zip(what) {
        *a += b * times;
    }
}

/// One column: some samples beside each other along the layers, their mean.
fn column(levels: &[Grey], frame: &Frame, at: usize, shift: &[f32], lean: &[f32]) -> Vec<f32> {
    let level = whole(frame.step.max(1.0).log2().floor()).min(levels.len().saturating_sub(1));
    let Some(grey) = levels.get(level) else {
        return vec![f32::NAN; frame.rows];
    };
    let size = (1usize << level) as f32;
    // of a power of two: the same as to divide
    let part_of = 1.0 / size;
    let taps = whole(frame.spacing / size).clamp(2, 4);
    let parts: Vec<f32> = (0..taps)
        .map(|tap| (tap as f32 + 0.5) / taps as f32 - 0.5)
        .collect();
    let mut shades = Vec::with_capacity(frame.rows);
    for row in 0..frame.rows {
        let (by, lean) = (get(shift, row), get(lean, row));
        let (mut sum, mut count) = (0.0, 0.0);
        for part in &parts {
            let [x, y] = frame.place(at as f32 + part, row as f32 + by + lean * part);
            if let Some(shade) = grey.sample(x * part_of, y * part_of) {
                sum += shade;
                count += 1.0;
            }
        }
        shades.push(if count > 0.0 { sum / count } else { f32::NAN });
    }
    shades
}

/// Sums over rows: count, model, values, slope of the values, and their products.
#[derive(Debug, Clone, Copy, Default)]
struct Sums([f32; 9]);

impl Sums {
    #[inline]
    fn of(model: f32, value: f32, slope: f32) -> Self {
        if !(model + value + slope).is_finite() {
            return Self::default();
        }
        let (m, v, s) = (model, value, slope);
        Self([1.0, m, v, s, v * v, s * s, v * s, m * v, m * s])
    }

    #[inline]
    fn add(&mut self, other: &Self, times: f32) {
        for (a, b) in self.0.iter_mut().zip(&other.0) {
            *a += b * times;
        }
    }

    /// The shift, and how much there is to tell it by.
    #[inline]
    fn shift(self) -> (f32, f32) {
        let Self([n, m, v, s, vv, ss, vs, mv, ms]) = self;
        if n < 4.0 {
            return (0.0, 0.0);
        }
        let (vv, ss, vs) = (vv - v * v / n, ss - s * s / n, vs - v * s / n);
        let (mv, ms) = (mv - m * v / n, ms - m * s / n);
        let det = vv * ss - vs * vs;
        if det <= 0.02 * vv * ss || vv <= 0.0 {
            return (0.0, 0.0);
        }
        let gain = (mv * ss - ms * vs) / det;
        let moved = (ms * vv - mv * vs) / det;
        (moved / gain.max(0.35), ss / n)
    }
}

fn window_sums(list: &[Sums], radius: usize) -> Vec<Sums> {
    let mut sum = Sums::default();
    for row in list.iter().take(radius) {
        sum.add(row, 1.0);
    }
    let mut sums = Vec::with_capacity(list.len());
    for at in 0..list.len() {
        if let Some(row) = list.get(at + radius) {
            sum.add(row, 1.0);
        }
        if let Some(row) = at.checked_sub(radius + 1).and_then(|at| list.get(at)) {
            sum.add(row, -1.0);
        }
        sums.push(sum);
    }
    sums
}

/// The shift, row by row, that lays `values` over `model`, both without slow changes.
fn settle(model: &[f32], values: &[f32], window: usize) -> Vec<f32> {
    let last = model.len().saturating_sub(1);
    let mut each = Vec::with_capacity(model.len());
    for row in 0..model.len() {
        let [before, after] = [row.saturating_sub(1), (row + 1).min(last)];
        let slope = (get(values, after) - get(values, before)) / 2.0;
        each.push(Sums::of(get(model, row), get(values, row), slope));
    }
    let mut all = Sums::default();
    for row in &each {
        all.add(row, 1.0);
    }
    let (together, usual) = all.shift();
    let windows = window_sums(&window_sums(&each, window), window);
    let (mut pulls, mut weights) = (Vec::with_capacity(last + 1), Vec::with_capacity(last + 1));
    for sums in windows {
        let (by, weight) = sums.shift();
        pulls.push(by.clamp(-MOST, MOST) * weight);
        weights.push(weight);
    }
    let smooth = |list: &[f32]| window_mean(&window_mean(list, window / 2), window / 2);
    // where little tells, rows go with all the others
    let held = 0.3 * usual + 0.05;
    smooth(&pulls)
        .into_iter()
        .zip(smooth(&weights))
        .map(|(pull, weight)| ((pull + together * held) / (weight + held)).clamp(-MOST, MOST))
        .collect()
}
