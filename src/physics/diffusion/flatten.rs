//! From a stack of any length to a list of cells.
//!
//! What is thinner than the reach of the heat has levelled out by its end: such layers share a cell,
//! and copies of such a stretch are one even blend, however many. So the number of cells follows from
//! thickness over reach, not from the number of layers.

use super::cells::Cells;
use super::fineness::Fineness;
use super::part::Part;
use super::sequence::{InOrder, Kind, Sequence};

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
    run.add(stack);
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

    fn add(&mut self, stack: &Sequence) {
        let mut all = InOrder::of(stack);
        while let Some(at) = all.next() {
            let node = &at.stretch.node;
            let mm = node.mm * at.scale;
            match &node.kind {
                _ if mm <= 0.0 => {}
                Kind::Even => self.push(&node.parts, at.scale, mm, 0.0),
                _ if mm <= self.limit => self.push(&node.parts, at.scale, mm, 0.0),
                Kind::Cells(cells) => self.add_cells(cells, at.scale, at.turned),
                Kind::Repeat(inner, times) if inner.node.mm * at.scale <= self.blend => {
                    self.blend(inner, *times, at.scale);
                }
                _ => all.below(at),
            }
        }
    }

    /// Copies so thin level out long before the end of the heat: they are one even blend.
    fn blend(&mut self, inner: &Sequence, times: u64, scale: f64) {
        #[expect(
            clippy::cast_precision_loss,
            reason = "counts beyond 2^53 are not exact"
        )]
        let copies = times as f64;
        let mm = inner.node.mm * scale * copies;
        self.push(&inner.node.parts, scale * copies, mm, 0.0);
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
