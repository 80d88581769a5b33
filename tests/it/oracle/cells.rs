//! A section as a grid of cells, worked move by move: it knows no tree, no members and no maps.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::cast_precision_loss,
    reason = "a test"
)]

use anvilside::billet::{Bar, Side, StackPiece, SteelId};

/// A section as cells: where its columns and rows begin and end, and the steel of each cell, row by row from
/// the bottom, each from the edge side.
#[derive(Debug, Clone)]
pub(crate) struct Grid {
    pub(crate) across: Vec<f64>,
    pub(crate) up: Vec<f64>,
    pub(crate) cells: Vec<Vec<SteelId>>,
}

impl Grid {
    pub(crate) fn stack(pieces: &[StackPiece], width: f64) -> Self {
        let mut up = vec![0.0];
        for piece in pieces {
            up.push(up.last().unwrap() + piece.thickness.0);
        }
        Self {
            across: vec![0.0, width],
            up,
            cells: pieces.iter().map(|piece| vec![piece.steel]).collect(),
        }
    }

    pub(crate) fn size(&self) -> [f64; 2] {
        [*self.across.last().unwrap(), *self.up.last().unwrap()]
    }

    pub(crate) fn to(&mut self, [width, thickness]: [f64; 2]) {
        let [w, t] = self.size();
        self.across.iter_mut().for_each(|x| *x *= width / w);
        self.up.iter_mut().for_each(|z| *z *= thickness / t);
    }

    /// Keeps what lies between two places of one axis, which then begins at zero.
    fn clip(bounds: &mut Vec<f64>, low: f64, high: f64) -> Vec<usize> {
        let kept: Vec<usize> = (0..bounds.len() - 1)
            .filter(|n| bounds[*n + 1] > low + 1e-12 && bounds[*n] < high - 1e-12)
            .collect();
        let mut ends: Vec<f64> = kept.iter().map(|n| bounds[*n].max(low) - low).collect();
        ends.push(high - low);
        *bounds = ends;
        kept
    }

    pub(crate) fn off(&mut self, across: f64, through: f64) {
        let [w, t] = self.size();
        let columns = Self::clip(&mut self.across, across, w - across);
        let rows = Self::clip(&mut self.up, through, t - through);
        let pick = |row: &usize| columns.iter().map(|c| self.cells[*row][*c]).collect();
        self.cells = rows.iter().map(pick).collect();
    }

    /// Worked to a section with a share of the metal lost to the fire: in many small heats, each of which takes a
    /// skin of one depth off all four sides before the bar is moved.
    pub(crate) fn work(&mut self, to: [f64; 2], share: f64) {
        const HEATS: u32 = 40;
        let from = self.size();
        let part = |heat: u32| {
            let at = (f64::from(heat) + 0.5) / f64::from(HEATS);
            [0, 1].map(|k: usize| from[k] * (to[k] / from[k]).powf(at))
        };
        let kept = |depth: f64| -> f64 {
            let each = (0..HEATS).map(part);
            each.map(|[w, t]| (1.0 - 2.0 * depth / w) * (1.0 - 2.0 * depth / t))
                .product()
        };
        let least = from.into_iter().chain(to).fold(f64::INFINITY, f64::min);
        let (mut low, mut high) = (0.0, 0.4 * least);
        for _ in 0..50 {
            let middle = 0.5 * (low + high);
            if kept(middle) > 1.0 - share {
                low = middle;
            } else {
                high = middle;
            }
        }
        if share > 0.0 {
            for heat in 0..HEATS {
                self.to(part(heat));
                self.off(low, low);
            }
        }
        self.to(to);
    }

    /// On its side: the face that was up goes to the edge.
    pub(crate) fn turned(&self) -> Self {
        let [_, t] = self.size();
        let across = self.up.iter().rev().map(|z| t - z).collect();
        let rows = self.up.len() - 1;
        let cells = (0..self.across.len() - 1)
            .map(|column| (0..rows).rev().map(|row| self.cells[row][column]).collect())
            .collect();
        Self {
            across,
            up: self.across.clone(),
            cells,
        }
    }

    /// One on the other; the upper is as wide as the lower.
    pub(crate) fn under(&self, upper: &Self) -> Self {
        let mut across = self.across.clone();
        across.extend(&upper.across);
        across.sort_by(f64::total_cmp);
        across.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
        let spread = |grid: &Self| -> Vec<Vec<SteelId>> {
            let row = |row: &Vec<SteelId>| {
                let column = |pair: &[f64]| {
                    let middle = 0.5 * (pair[0] + pair[1]);
                    let at = grid.across.partition_point(|x| *x <= middle) - 1;
                    row[at.min(row.len() - 1)]
                };
                across.windows(2).map(column).collect()
            };
            grid.cells.iter().map(row).collect()
        };
        let [_, t] = self.size();
        let mut cells = spread(self);
        cells.extend(spread(upper));
        let mut up = self.up.clone();
        up.extend(upper.up.iter().skip(1).map(|z| z + t));
        Self { across, up, cells }
    }

    /// One beside the other, this one to the edge.
    pub(crate) fn beside(&self, other: &Self) -> Self {
        // Turned, what was to the edge lies below.
        let back = |grid: Self| grid.turned().turned().turned();
        let low = self.turned();
        let high = other.turned();
        back(low.under(&high))
    }

    /// As long bars are laid: up to 5 % off, and where they are too small, the weld brings them flush with
    /// their area; what stands further over is ground off both sides.
    pub(crate) fn fitted(&self, covers: f64, flat: bool) -> Self {
        let mut own = self.clone();
        let [w, t] = own.size();
        let has = if flat { w } else { t };
        let over = has - covers;
        if over > 0.05 * covers {
            own.off(
                if flat { over / 2.0 } else { 0.0 },
                if flat { 0.0 } else { over / 2.0 },
            );
        }
        let [w, t] = own.size();
        own.to(if flat {
            [covers, w * t / covers]
        } else {
            [w * t / covers, covers]
        });
        own
    }

    pub(crate) fn lay(&self, side: Side, on: &Self) -> Self {
        match side {
            Side::Top => self.under(on),
            Side::Bottom => on.under(self),
            Side::Edge => on.beside(self),
            Side::Spine => self.beside(on),
        }
    }

    pub(crate) fn steel(&self, y: f64, z: f64) -> SteelId {
        let at = |bounds: &[f64], x: f64| bounds.partition_point(|b| *b <= x) - 1;
        self.cells[at(&self.up, z)][at(&self.across, y)]
    }

    /// True where a place is no nearer than this part of the section to a border of cells.
    pub(crate) fn clear(&self, y: f64, z: f64) -> bool {
        let [w, t] = self.size();
        let far = |bounds: &[f64], x: f64, by: f64| bounds.iter().all(|b| (b - x).abs() > by);
        far(&self.across, y, 2e-5 * w) && far(&self.up, z, 2e-5 * t)
    }

    pub(crate) fn bands(&self, y: f64) -> u128 {
        let column = self.across.partition_point(|b| *b <= y) - 1;
        let mut met: Vec<SteelId> = self.cells.iter().map(|row| row[column]).collect();
        met.dedup();
        met.len() as u128
    }

    /// Along both lines through a place.
    pub(crate) fn counts(&self, bar: &Bar, [y, z]: [f64; 2], what: &str) {
        let [_, t] = self.size();
        let seen = bar.counts();
        assert_eq!(seen.through, self.bands(y), "{what}: through");
        assert_eq!(seen.across, self.turned().bands(t - z), "{what}: across");
    }

    pub(crate) fn share(&self, steel: SteelId) -> f64 {
        let [w, t] = self.size();
        let mut sum = 0.0;
        for (row, up) in self.cells.iter().zip(self.up.windows(2)) {
            for (cell, across) in row.iter().zip(self.across.windows(2)) {
                if *cell == steel {
                    sum += (up[1] - up[0]) * (across[1] - across[0]);
                }
            }
        }
        sum / (w * t)
    }

    /// What a line straight through the thickness meets: the steel of each band and where it ends.
    pub(crate) fn line(&self, y: f64) -> Vec<(SteelId, f64)> {
        let column = self.across.partition_point(|b| *b <= y) - 1;
        let mut met: Vec<(SteelId, f64)> = Vec::new();
        for (row, top) in self.cells.iter().zip(self.up.iter().skip(1)) {
            match met.last_mut() {
                Some(last) if last.0 == row[column] => last.1 = *top,
                _ => met.push((row[column], *top)),
            }
        }
        met
    }

    /// True where all cells are of one steel.
    pub(crate) fn is_plain(&self) -> bool {
        let mut all = self.cells.iter().flatten();
        let first = all.next();
        all.all(|cell| Some(cell) == first)
    }

    /// Upside down, about the length of the bar.
    pub(crate) fn flipped(&self) -> Self {
        self.turned().turned()
    }

    /// Upside down, end for end: the edge stays where it was.
    pub(crate) fn over(&self) -> Self {
        let [_, t] = self.size();
        Self {
            across: self.across.clone(),
            up: self.up.iter().rev().map(|z| t - z).collect(),
            cells: self.cells.iter().rev().cloned().collect(),
        }
    }

    /// What lies between two places across the width.
    pub(crate) fn part(&self, from: f64, to: f64) -> Self {
        let mut part = self.clone();
        let columns = Self::clip(&mut part.across, from, to);
        part.cells = self
            .cells
            .iter()
            .map(|row| columns.iter().map(|c| row[*c]).collect())
            .collect();
        part
    }
}
