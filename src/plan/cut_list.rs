//! What is cut before a stack, and of plain steel for what is laid on a bar later.

use super::{Plan, PlanBar, Step};
use crate::billet::{Bar, SteelId};
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
    /// The pieces of every first stack, alike ones together, in the order in which they are first piled.
    #[must_use]
    pub fn cut_list(&self) -> Vec<CutLine> {
        self.cuts(|bar| bar.shelf.is_none())
    }

    /// The pieces of the first stack of one bar.
    #[must_use]
    pub fn cut_list_of_bar(&self, name: &str) -> Vec<CutLine> {
        self.cuts(|bar| bar.name == name)
    }

    /// The pieces of the first stack that a step prepares.
    #[must_use]
    pub fn cut_list_of(&self, step: &Step) -> Vec<CutLine> {
        self.cut_list_of_bar(&step.bar)
    }

    /// The plain pieces that a step lays on its bar, which lies as it does then.
    #[must_use]
    pub fn laid_list(&self, step: &Step, after: &Bar) -> Vec<CutLine> {
        self.lines(step.made.plain_pieces(after).into_iter())
    }

    fn cuts(&self, of: impl Fn(&PlanBar) -> bool) -> Vec<CutLine> {
        let pieces = |bar: &'_ PlanBar| {
            let (width, length) = (bar.width, bar.length);
            let each = bar.pieces.clone().into_iter();
            each.map(move |piece| (piece.steel, [width, piece.thickness, length]))
        };
        self.lines(self.bars.iter().filter(|bar| of(bar)).flat_map(pieces))
    }

    /// Pieces alike together.
    fn lines(&self, pieces: impl Iterator<Item = (SteelId, [Mm; 3])>) -> Vec<CutLine> {
        let mut out: Vec<CutLine> = Vec::new();
        for (steel, size) in pieces {
            let alike = out.iter_mut().find(|line| {
                let off = line.size.iter().zip(size).map(|(a, b)| (*a - b).abs().0);
                line.steel == steel && off.fold(0.0, f64::max) < 1e-6
            });
            if let Some(line) = alike {
                line.count += 1;
                continue;
            }
            let named = self.steels.get(steel.index());
            out.push(CutLine {
                count: 1,
                steel,
                name: named.map_or(String::new(), |steel| {
                    format!("{} {}", steel.letter, steel.steel.grade)
                }),
                size,
            });
        }
        out
    }
}
