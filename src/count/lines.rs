//! The lines that agree, and what they hold in common: the profile of the stack.

use super::grey::Grey;
use super::list::{
    column_mean, get, likeness, mean, middle_mean, quantile, whole, window_mean, without_slow,
};
use super::straight::{Frame, Straight};

/// Columns that do not agree are bridged up to this many; more is the side of the bar.
const GAP: usize = 4;

/// Straightened lines that agree.
#[derive(Debug)]
pub(super) struct Lines {
    pub(super) straight: Straight,
    /// First and last column that agree.
    pub(super) span: (usize, usize),
    /// Those columns without slow changes of light.
    pub(super) columns: Vec<Vec<f32>>,
    /// What they hold in common, row by row.
    pub(super) profile: Vec<f32>,
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
            fit: 0.0,
        };
        for pass in 0..3 {
            if pass > 0 {
                out.straight.refine(levels, &out.profile, window);
            }
            out.choose(around);
        }
        out
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
        let least = 0.6 * quantile(&agree, 0.7);
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

    pub(super) fn shade(&self, row: usize) -> f32 {
        get(&self.profile, row)
    }

    /// The columns without the outermost at either side.
    pub(super) fn inner(&self, share: usize) -> &[Vec<f32>] {
        let cut = self.columns.len() / share;
        self.columns
            .get(cut..self.columns.len() - cut)
            .unwrap_or(&self.columns)
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
        let half = self.columns.len() / 2;
        let seen = |row: &usize| {
            let here = |column: &&Vec<f32>| column.get(*row).is_some_and(|v| v.is_finite());
            self.columns.iter().filter(here).count() > half
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
