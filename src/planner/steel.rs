//! Steel to buy for a plan.

use crate::billet::{Billet, FrameBar, Move};
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
    for line in plan.cut_list() {
        let [width, thickness, length] = line.size;
        for _ in 0..line.count {
            add(line.steel.index(), (width, thickness, length));
        }
    }
    for (at, step) in plan.steps.iter().enumerate() {
        if let Move::Frame { bars, .. } = &step.made
            && let Some(row) = rows.get(at)
        {
            for (steel, thickness) in bars.iter().filter_map(FrameBar::as_plain) {
                let size = (row.bar.thickness, thickness, row.bar.length);
                add(steel.index(), size);
            }
        }
    }
    lines
}
