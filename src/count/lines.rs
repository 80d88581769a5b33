//! The lines that agree, and what they hold in common: the profile of the stack.

use super::grey::Grey;
use super::list::{
    column_mean, get, likeness, mean, middle_mean, quantile, whole, window_mean, without_slow,
};
use super::straight::{Frame, Straight};

/// Columns that do not agree are bridged up to this many; more is the side of the bar.
const GAP: usize = 4;
/// Columns beyond either side that the frame has room for.
pub(super) const ROOM: f32 = 13.5;
/// Rounds of taking the blur off.
const SHARPENED: usize = 4;

/// One end of the stack.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    First,
    Last,
}

/// Straightened lines that agree.
#[derive(Debug)]
pub(super) struct Lines {
    pub(super) straight: Straight,
    /// First and last column that agree.
    pub(super) span: (usize, usize),
    /// Those columns without slow changes of light.
    pub(super) columns: Vec<Vec<f32>>,
    /// What they hold in common, row by row; once [`Self::sharpened`], without the blur of the lens.
    pub(super) profile: Vec<f32>,
    /// The same as the lens shows it.
    pub(super) soft: Vec<f32>,
    /// Their mean likeness to it, 0 to 1.
    pub(super) fit: f32,
}

impl Lines {
    pub(super) fn of(levels: &[Grey], frame: Frame, window: usize) -> Self {
        let around = window * 4;
        let mut out = Self {
            straight: Straight::walk(levels, frame, window),
            span: (0, 0),
            columns: Vec::new(),
            profile: Vec::new(),
            soft: Vec::new(),
            fit: 0.0,
        };
        for pass in 0..3 {
            if pass > 0 {
                out.straight.refine(levels, &out.profile, window);
            }
            out.choose(around);
        }
        out.soft = out.profile.clone();
        out
    }

    /// The blur of the lens taken off the profile, a deviation of so many rows: the iteration of Van Cittert
    /// (1931), few rounds, so that noise stays small. Bands as thin as the blur regain their shade.
    pub(super) fn sharpen(&mut self, rows: f32, inside: std::ops::Range<usize>) {
        let kernel = bell(rows);
        let blurred = |line: &[f32]| -> Vec<f32> {
            (0..line.len())
                .map(|at| {
                    let parts = kernel.iter().enumerate().map(|(far, weight)| {
                        let (a, b) = (at.saturating_sub(far), (at + far).min(line.len() - 1));
                        (get(line, a) + get(line, b)) * weight
                    });
                    parts.sum()
                })
                .collect()
        };
        let mut sharp = self.soft.clone();
        for _ in 0..SHARPENED {
            let off = blurred(&sharp);
            for ((to, off), soft) in sharp.iter_mut().zip(off).zip(&self.soft) {
                let by = soft - off;
                *to += if by.is_finite() { by } else { 0.0 };
            }
        }
        // beyond the stack the step to the background would ring
        for (row, to) in self.profile.iter_mut().enumerate() {
            if inside.contains(&row) {
                *to = get(&sharp, row);
            }
        }
    }

    /// Chooses the columns that agree with the profile (at first with those of the middle).
    fn choose(&mut self, around: usize) {
        let raw = &self.straight.columns;
        let evened: Vec<Vec<f32>> = raw.iter().map(|c| without_slow(c, around)).collect();
        let centre = evened.len() / 2;
        let model = if self.profile.is_empty() {
            let near = evened.len() / 5;
            let some = centre.saturating_sub(near)..(centre + near + 1).min(evened.len());
            middle_mean(evened.get(some).unwrap_or(&evened))
        } else {
            without_slow(&self.profile, around)
        };
        let (from, to) = (model.len() / 8, model.len() - model.len() / 8);
        let agree: Vec<f32> = evened
            .iter()
            .map(|c| likeness(c, &model, from, to))
            .collect();
        let least = 0.6 * quantile(&agree, 0.78);
        let fits = |at: &usize| get(&agree, *at) > least;
        let first = outermost((0..centre).rev(), &fits).unwrap_or(centre);
        let last = outermost(centre..evened.len(), &fits).unwrap_or(centre);
        let chosen: Vec<usize> = (first..=last).filter(fits).collect();
        self.span = (first, last);
        self.fit = mean(chosen.iter().map(|at| get(&agree, *at)));
        self.columns = chosen
            .iter()
            .filter_map(|at| evened.get(*at))
            .cloned()
            .collect();
        let raw: Vec<Vec<f32>> = chosen
            .iter()
            .filter_map(|at| raw.get(*at))
            .cloned()
            .collect();
        let slow = window_mean(&column_mean(&raw), around);
        self.profile = middle_mean(&self.columns)
            .iter()
            .zip(slow)
            .map(|(fast, slow)| fast + slow)
            .collect();
    }

    /// Pixels along the lines that agree.
    pub(super) fn wide(&self) -> f32 {
        self.columns.len() as f32 * self.straight.frame.spacing
    }

    /// The place in the picture of a row, on the column in the middle of those that agree.
    pub(super) fn place(&self, row: usize) -> [f32; 2] {
        let column = usize::midpoint(self.span.0, self.span.1);
        let shift = self
            .straight
            .shifts
            .get(column)
            .map_or(0.0, |rows| get(rows, row));
        self.straight.frame.place(column as f32, row as f32 + shift)
    }

    /// Rows that the profile is known for.
    pub(super) fn known(&self) -> (usize, usize) {
        let most = self.columns.len() * 4 / 5;
        let seen = |row: &usize| {
            let here = |column: &&Vec<f32>| column.get(*row).is_some_and(|v| v.is_finite());
            self.columns.iter().filter(here).count() > most
        };
        let rows = self.profile.len();
        let first = (0..rows).find(seen).unwrap_or(0);
        (first, (first..rows).rev().find(seen).unwrap_or(rows))
    }

    /// A window of rows for bands of a mean height of so many rows.
    pub(super) fn window(rows: f32) -> usize {
        whole(rows * 1.6).clamp(10, 40)
    }
}

/// Half a bell of this deviation; both halves together are 1.
fn bell(rows: f32) -> Vec<f32> {
    let reach = whole(3.0 * rows).max(1);
    let half: Vec<f32> = (0..=reach)
        .map(|far| {
            let part = far as f32 / rows.max(0.1);
            (-0.5 * part * part).exp() * if far == 0 { 0.5 } else { 1.0 }
        })
        .collect();
    let sum: f32 = half.iter().sum();
    half.iter().map(|part| part / (2.0 * sum)).collect()
}

/// The last that fits, running outwards, before a gap too wide.
fn outermost(run: impl Iterator<Item = usize>, fits: &impl Fn(&usize) -> bool) -> Option<usize> {
    let mut gap = 0;
    let mut last = None;
    for at in run {
        if fits(&at) {
            last = Some(at);
            gap = 0;
        } else {
            gap += 1;
            if gap > GAP {
                break;
            }
        }
    }
    last
}
