//! Steel to buy for a plan.

use crate::billet::{Billet, Move};
use crate::plan::Plan;
use crate::units::{Grams, Mm};

/// Steel to buy: one line of the cut list.
#[derive(Debug, Clone, PartialEq)]
pub struct CutLine {
    /// The steel's name in the plan.
    pub key: String,
    /// Its grade.
    pub grade: String,
    /// How many pieces.
    pub pieces: u32,
    /// Width, thickness and length of each.
    pub size: (Mm, Mm, Mm),
    /// Length of bar that takes, saw cuts and all.
    pub bar: Mm,
    /// Its mass.
    pub mass: Grams,
}

/// The pieces of the first stack and of frames, alike ones together; `rows` are the billets after each step.
#[must_use]
pub fn steel_to_buy(plan: &Plan, rows: &[&Billet]) -> Vec<CutLine> {
    let kerf = plan.allowances().kerf;
    let mut lines: Vec<CutLine> = Vec::new();
    let mut add = |at: usize, size: (Mm, Mm, Mm)| {
        let Some(steel) = plan.steels.get(at) else {
            return;
        };
        let known = lines
            .iter_mut()
            .find(|line| line.key == steel.key && line.size == size);
        let bar = size.2 + kerf;
        let mass = (size.0 * size.1 * bar).mass(steel.steel.density);
        match known {
            Some(line) => {
                line.pieces += 1;
                line.bar += bar;
                line.mass += mass;
            }
            None => lines.push(CutLine {
                key: steel.key.clone(),
                grade: steel.steel.grade.clone(),
                pieces: 1,
                size,
                bar,
                mass,
            }),
        }
    };
    for piece in &plan.stack {
        add(
            piece.steel.index(),
            (plan.stack_width, piece.thickness, plan.stack_length),
        );
    }
    for (at, step) in plan.steps.iter().enumerate() {
        if let Move::Frame { bars } = &step.made
            && let Some(row) = rows.get(at)
        {
            for bar in bars {
                let size = (row.bar.thickness, bar.thickness, row.bar.length);
                add(bar.steel.index(), size);
            }
        }
    }
    lines
}
