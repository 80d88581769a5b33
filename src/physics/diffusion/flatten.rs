//! From a stack of any length to a list of cells.
//!
//! What is thinner than the reach of the heat has levelled out by its end: such layers share a cell,
//! and copies of such a stretch are one even blend, however many. So the number of cells follows from
//! thickness over reach, not from the number of layers.

use super::cells::Cells;
use super::fineness::Fineness;
use super::part::Part;
use super::sequence::{Kind, Sequence};

/// A stack as coarse cells, before it is known where carbon moves.
pub(crate) struct Raw {
    pub(crate) cells: Cells,
    /// How activity runs through each cell: difference of its ends over its mean.
    pub(crate) tilts: Vec<f64>,
}

/// The stack as cells; a stretch thinner than the finest cell becomes one.
pub(crate) fn flatten(stack: &Sequence, factors: &[f64], fine: Fineness) -> Raw {
    let mut run = Flattener {
        raw: Raw {
            cells: Cells::none(factors),
            tilts: Vec::new(),
        },
        limit: fine.cell.min(fine.face),
        blend: fine.blend,
        last: f64::INFINITY,
    };
    run.add(stack, 1.0, false);
    run.raw
}

struct Flattener {
    raw: Raw,
    /// Thickness up to which stretches share a cell.
    limit: f64,
    /// Thickness of a copy up to which a repeat is a blend.
    blend: f64,
    /// Thickness of the last cell.
    last: f64,
}

impl Flattener {
    fn push(&mut self, parts: &[Part], share: f64, mm: f64, tilt: f64) {
        if self.last + mm <= self.limit {
            // So thin a cell is never split: how activity runs through it does not matter.
            self.raw.cells.grow_parts(parts, share);
            self.last += mm;
        } else {
            self.raw.cells.push_parts(parts, share);
            self.raw.tilts.push(tilt);
            self.last = mm;
        }
    }

    fn add(&mut self, stretch: &Sequence, scale: f64, turned: bool) {
        let node = &stretch.node;
        let mm = node.mm * scale;
        if mm <= 0.0 {
            return;
        }
        if mm <= self.limit {
            self.push(&node.parts, scale, mm, 0.0);
            return;
        }
        match &node.kind {
            Kind::Even => self.push(&node.parts, scale, mm, 0.0),
            Kind::Cells(cells) => self.add_cells(cells, scale, turned),
            Kind::Join(all) if turned => all.iter().rev().for_each(|s| self.add(s, scale, turned)),
            Kind::Join(all) => all.iter().for_each(|s| self.add(s, scale, turned)),
            Kind::Repeat(inner, times) => self.add_repeat(inner, *times, scale, turned),
            Kind::Mirror(inner) => self.add(inner, scale, !turned),
            Kind::Scale(inner, factor) => self.add(inner, scale * factor, turned),
        }
    }

    fn add_repeat(&mut self, inner: &Sequence, times: u64, scale: f64, turned: bool) {
        let one = inner.node.mm * scale;
        if one > self.blend {
            for _ in 0..times {
                self.add(inner, scale, turned);
            }
            return;
        }
        // Copies this thin level out long before the end of the heat: they are one even blend.
        #[expect(
            clippy::cast_precision_loss,
            reason = "counts beyond 2^53 are not exact"
        )]
        let copies = times as f64;
        self.push(&inner.node.parts, scale * copies, one * copies, 0.0);
    }

    fn add_cells(&mut self, cells: &Cells, scale: f64, turned: bool) {
        let count = cells.len();
        let thickness = cells.thickness();
        let tilts = cells.tilts();
        let mut parts = vec![Part::NONE; cells.steels.len()];
        for k in 0..count {
            let i = if turned { count - 1 - k } else { k };
            for (part, steel) in parts.iter_mut().zip(&cells.steels) {
                part.mm = steel.get(i).copied().unwrap_or(0.0);
                part.carbon = 0.0;
            }
            if let (Some(first), Some(carbon)) = (parts.first_mut(), cells.carbon.get(i)) {
                first.carbon = *carbon;
            }
            let mm = thickness.get(i).copied().unwrap_or(0.0) * scale;
            let tilt = tilts.get(i).copied().unwrap_or(0.0);
            self.push(&parts, scale, mm, if turned { -tilt } else { tilt });
        }
    }
}
