//! One heat on one stack: find what repeats, lay out cells, solve, put the stack together again.

use super::care::Care;
use super::clock::Clock;
use super::fineness::Fineness;
use super::flatten::flatten;
use super::refine::{Open, refine};
use super::sequence::{Kind, Sequence};
use super::solver::{self, Medium, Setting};
use super::surface::{Faces, Surface};
use super::symmetry::is_symmetric;
use crate::physics::Range;

/// Cells beyond which a heat is worked out more coarsely.
const MOST_CELLS: f64 = 16_000.0;
/// Steps that a heat may be cut into.
const STEPS: Range = Range {
    law: "diffusion",
    name: "steps",
    unit: "",
    least: 2.0,
    greatest: 10_000.0,
};
/// Thickness of a copy, in cells, up to which a repeat counts as even.
const BLEND: f64 = 1.5;
/// Reaches from a joint or open face over which cells stay fine.
const NEAR: f64 = 1.5;
/// Growth of cells beyond, per distance and cell of a reach.
const GROWTH: f64 = 1.5;

/// One heat on one stack.
pub(crate) struct Job<'a> {
    pub(crate) factors: &'a [f64],
    pub(crate) media: &'a [Medium],
    pub(crate) clock: &'a Clock,
    pub(crate) age: f64,
    pub(crate) care: Care,
}

impl Job<'_> {
    /// The stack after the heat, in the thickness at its start.
    pub(crate) fn heat(&self, stack: &Sequence, scale: f64, faces: Faces) -> Sequence {
        let (mut stack, mut scale, mut faces) = (stack, scale, faces);
        // What is to be done to the stretch that is worked out, innermost last: repeats, and turns as none.
        let mut around = Vec::new();
        loop {
            match &stack.node.kind {
                Kind::Scale(inner, factor) => (stack, scale) = (inner, scale * factor),
                Kind::Mirror(inner) => {
                    around.push(None);
                    (stack, faces) = (inner, faces.swapped());
                }
                Kind::Repeat(inner, times) if faces.sealed() && is_symmetric(inner) => {
                    around.push(Some(*times));
                    stack = inner;
                }
                _ => break,
            }
        }
        let made = self.whole(stack, scale, faces);
        around.iter().rfold(made, |made, times| match times {
            Some(times) => made.repeated(*times),
            None => made.mirrored(),
        })
    }

    /// One stretch as a whole, or by its half.
    fn whole(&self, stack: &Sequence, scale: f64, faces: Faces) -> Sequence {
        if !(faces.first.same(faces.last) && is_symmetric(stack)) {
            return self.solve(&stack.scaled(scale), faces);
        }
        let half = stack.cut(0.0, stack.node.mm / 2.0).scaled(scale);
        let inner = Faces {
            first: faces.first,
            last: Surface::Sealed,
        };
        let half = self.solve(&half, inner);
        Sequence::join([half.clone(), half.mirrored()])
    }

    fn solve(&self, stack: &Sequence, faces: Faces) -> Sequence {
        let fine = self.fineness(stack.node.mm);
        let open = Open {
            first: faces.first.is_open(),
            last: faces.last.is_open(),
        };
        let raw = flatten(stack, self.factors, fine);
        let cells = refine(&raw, open, fine);
        let setting = Setting {
            media: self.media,
            faces,
            age: self.age,
            steps: STEPS.clamp(self.care.steps),
            passes: self.care.passes.clamp(1, 4),
        };
        Sequence::cells(solver::run(cells, self.clock, setting))
    }

    fn fineness(&self, mm: f64) -> Fineness {
        let reach = (self.age + self.clock.total()).sqrt();
        let least = mm / MOST_CELLS;
        let cell = (reach / self.care.cells.max(1.0)).max(least);
        Fineness {
            cell,
            face: (reach / self.care.face_cells.max(1.0)).max(least),
            blend: BLEND * cell,
            near: NEAR * reach,
            growth: GROWTH / self.care.cells.max(1.0),
            level: 1e-3 / self.care.cells.max(1.0),
        }
    }
}
