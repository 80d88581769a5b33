//! A bar that begins as found: bought, inherited, or begun before the plan.

use std::sync::Arc;

use crate::billet::{Billet, StackPiece, SteelId, Stock, middle};
use crate::units::{Grams, Mm};

/// Bands that a bar may have where nobody has counted: common practice, no source.
pub const UNCOUNTED: [u64; 2] = [10, 1000];
/// Most bands of a bar as found.
pub const MOST_FOUND: u64 = 10_000;

/// What is known of a bar as found, beside its width and length.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FoundBar {
    /// Through it, across the layers.
    pub thickness: Mm,
    /// On the scale, where it was weighed: it goes before the sizes.
    pub mass: Option<Grams>,
    /// Its steels by turns, from the face that is down; empty where they are not known.
    pub steels: Vec<SteelId>,
    /// Least and most bands that it may have; none where nobody has counted.
    pub bands: Option<[u64; 2]>,
}

impl FoundBar {
    /// Least and most bands, a guess where nobody has counted.
    #[must_use]
    pub fn between(&self) -> [u64; 2] {
        match self.steels.as_slice() {
            [_] => [1, 1],
            _ => self.bands.unwrap_or(UNCOUNTED),
        }
    }

    /// The metal as the plan begins with it: its layers are laid by turns and alike, which is a guess.
    #[must_use]
    pub fn metal(&self, width: Mm, length: Mm, steels: &Arc<[Stock]>) -> Billet {
        let [low, high] = self.between();
        let count = usize::try_from(middle(low, high)).unwrap_or(1).max(1);
        let turns: Vec<SteelId> = match self.steels.as_slice() {
            [] => (0..steels.len().min(2)).map(SteelId::from_index).collect(),
            known => known.to_vec(),
        };
        #[expect(clippy::cast_precision_loss, reason = "a count of bands")]
        let thickness = self.thickness / count as f64;
        let pieces: Vec<StackPiece> = turns
            .into_iter()
            .cycle()
            .take(count)
            .map(|steel| StackPiece { steel, thickness })
            .collect();
        Billet::new(&pieces, width, length, Arc::clone(steels)).as_found(self.mass, [low, high])
    }

    /// What is guessed of it, in words; empty where nothing is.
    #[must_use]
    pub fn guessed(&self) -> String {
        let mut what = Vec::new();
        let [low, high] = self.between();
        if self.bands.is_none() && low < high {
            what.push(format!("its count ({low} to {high})"));
        }
        if self.steels.is_empty() {
            what.push("its steels".to_owned());
        }
        if self.steels.len() != 1 {
            what.push("how thick each layer is".to_owned());
        }
        match what.split_last() {
            None => String::new(),
            Some((last, [])) => last.clone(),
            Some((last, rest)) => format!("{} and {last}", rest.join(", ")),
        }
    }
}
