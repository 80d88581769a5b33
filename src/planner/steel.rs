//! Steel to buy for a plan.

use crate::billet::{Billet, Move};
use crate::plan::Plan;
use crate::units::{Grams, Mm};

/// Steel to buy: one line of the cut list.
#[derive(Debug, Clone, PartialEq)]
pub struct CutLine {
    /// The steel's name in the plan.
    pub key: String,
    pub grade: String,
    /// How many pieces.
    pub pieces: u32,
    /// Width, thickness and length of each.
    pub size: (Mm, Mm, Mm),
    /// Length of bar that takes, saw cuts and all.
    pub bar: Mm,
    pub mass: Grams,
}

/// The pieces of the first stack, of frames and of backings, alike ones together; `rows` are the billets after each step.
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
    for (step, row) in plan.steps.iter().zip(rows) {
        for (steel, [width, thickness, length]) in step.made.plain_pieces(&row.bar) {
            add(steel.index(), (width, thickness, length));
        }
        // What is carried round an end is more length of the bar along the edge.
        let round = row
            .bar
            .cap
            .filter(|_| matches!(step.made, Move::Wrap { .. }));
        for cap in round.iter().cycle().take(row.pieces as usize) {
            add(
                cap.steel.index(),
                (row.bar.thickness, cap.length, row.bar.width),
            );
        }
    }
    lines
}
