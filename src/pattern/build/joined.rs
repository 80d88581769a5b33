//! Bars laid on a bar, round it or in a row: frame, join, jacket, tiles.

use super::Builder;
use crate::billet::{Billet, Deformation, Side, Tiling};
use crate::pattern::chain::{Back, Chain};
use crate::pattern::map::frame::{Frame, On};
use crate::pattern::map::jacket::Jacket;
use crate::pattern::map::tiles::Tiles;

impl Builder<'_> {
    /// End grain to the face; of `[count, per bar, kerf]`.
    pub(super) fn tiles(
        &mut self,
        bar: [f64; 3],
        thick: f64,
        [count, per_bar, kerf]: [f64; 3],
        lay: Tiling,
    ) {
        self.across = true;
        self.on_edge = false;
        self.steps.push(Back::Tiles(Tiles {
            long: bar[1],
            thick,
            step: thick + kerf.max(0.0),
            count,
            per_bar,
            lay,
        }));
    }

    /// A jacket of two bars is a frame; one that is folded goes round the spine. The bare edge is the last of
    /// the bars laid.
    pub(super) fn jacket(&mut self, done: &Deformation, after: [f64; 3]) {
        let [laid @ .., edge] = done.joined.as_slice() else {
            return;
        };
        let (Some(steel), bare) = (edge.bar.plain(), edge.bar.width.0) else {
            return;
        };
        let on = |builder: &mut Self, metal: &Billet| {
            Chain::joined(metal, builder.hand, builder.members)
        };
        self.across = true;
        match laid {
            [one] => {
                let thick = one.bar.thickness.0;
                let core = after[1] - 2.0 * thick;
                let step = match on(self, one) {
                    On::Member(member) => Jacket {
                        width: after[0],
                        across: [bare, after[0] - bare - thick],
                        core,
                        thick,
                        steel,
                        member,
                    },
                    On::Plain(_) => return,
                };
                self.steps.push(Back::Jacket(Box::new(step)));
            }
            [upper, lower] => {
                let bars = [
                    vec![(bare, On::Plain(steel))],
                    Vec::new(),
                    vec![(lower.bar.thickness.0, on(self, lower))],
                    vec![(upper.bar.thickness.0, on(self, upper))],
                ];
                let size = [after[0], after[1]];
                self.steps.push(Back::Frame(Box::new(Frame { size, bars })));
            }
            _ => {}
        }
    }

    /// Bars in rows: those of the lowest row beside its first, and the other rows, each with its own way back,
    /// on it.
    pub(super) fn grid(&mut self, columns: u32, done: &Deformation, after: [f64; 3]) {
        let beside = (columns as usize).saturating_sub(1).min(done.joined.len());
        let (beside, rows) = done.joined.split_at(beside);
        let mut on = |metal: &Billet| Chain::joined(metal, self.hand, self.members);
        let spine: Vec<_> = beside
            .iter()
            .map(|metal| (metal.bar.width.0, on(metal)))
            .collect();
        let top: Vec<_> = rows
            .iter()
            .map(|row| (row.bar.thickness.0, on(row)))
            .collect();
        let high: f64 = top.iter().map(|(thickness, _)| thickness).sum();
        let lowest = Frame {
            size: [after[0], after[1] - high],
            bars: [Vec::new(), spine, Vec::new(), Vec::new()],
        };
        let whole = Frame {
            size: [after[0], after[1]],
            bars: [Vec::new(), Vec::new(), Vec::new(), top],
        };
        self.across = true;
        for frame in [lowest, whole] {
            self.steps.push(Back::Frame(Box::new(frame)));
        }
    }

    pub(super) fn frame(&mut self, done: &Deformation, after: [f64; 3]) {
        let mut frame = Frame {
            size: [after[0], after[1]],
            ..Frame::default()
        };
        let (put, _) = done.made.laid();
        for (at, put) in put.iter().enumerate() {
            let on = match (put.as_plain(), done.joined.get(at)) {
                (Some((steel, thickness)), _) => (thickness.0, On::Plain(steel)),
                (None, Some(metal)) => {
                    let thickness = match put.side {
                        Side::Edge | Side::Spine => metal.bar.width,
                        Side::Bottom | Side::Top => metal.bar.thickness,
                    };
                    (thickness.0, Chain::joined(metal, self.hand, self.members))
                }
                (None, None) => continue,
            };
            let [edge, spine, bottom, top] = &mut frame.bars;
            let side = match put.side {
                Side::Edge => edge,
                Side::Spine => spine,
                Side::Bottom => bottom,
                Side::Top => top,
            };
            if on.0.is_finite() && on.0 > 0.0 {
                side.push(on);
            }
        }
        self.across = true;
        self.steps.push(Back::Frame(Box::new(frame)));
    }
}
