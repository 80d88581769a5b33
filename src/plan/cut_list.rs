//! What is cut before the first stack.

use super::Plan;
use crate::billet::SteelId;
use crate::units::{Mm, Units};

/// Pieces of one steel and thickness.
#[derive(Debug, Clone, PartialEq)]
pub struct CutLine {
    /// How many.
    pub count: u32,
    /// Of which steel.
    pub steel: SteelId,
    /// Its letter and grade.
    pub name: String,
    /// Width, cleaned thickness, length.
    pub size: [Mm; 3],
}

impl CutLine {
    /// `5 of A SAE 1084: 40 x 6 x 120 mm`.
    #[must_use]
    pub fn text(&self, units: Units) -> String {
        let [width, thickness, length] = self.size;
        let size = units.size(width, thickness, length);
        format!("{} of {}: {size}", self.count, self.name)
    }
}

impl Plan {
    /// The pieces of the first stack, alike ones together, in the order in which they are first piled.
    #[must_use]
    pub fn cut_list(&self) -> Vec<CutLine> {
        let mut out: Vec<CutLine> = Vec::new();
        for piece in &self.stack {
            let size = [self.stack_width, piece.thickness, self.stack_length];
            let alike = out.iter_mut().find(|line| {
                line.steel == piece.steel && (line.size[1] - piece.thickness).abs().0 < 1e-6
            });
            if let Some(line) = alike {
                line.count += 1;
                continue;
            }
            let steel = self.steels.get(piece.steel.index());
            out.push(CutLine {
                count: 1,
                steel: piece.steel,
                name: steel.map_or(String::new(), |steel| {
                    format!("{} {}", steel.letter, steel.steel.grade)
                }),
                size,
            });
        }
        out
    }
}
