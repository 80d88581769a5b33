//! What one piece keeps of the first stack, and what lies past it.

use super::Builder;
use crate::pattern::chain::Back;
use crate::pattern::first_stack::{Beyond, FirstStack};
use crate::pattern::map::pile::Lie;

impl Builder<'_> {
    /// The depths of the first stack that one piece keeps, through even work up to the first restack;
    /// how it goes on in the next piece, and whether just so.
    pub(super) fn window(&self, first_stack: &FirstStack) -> ([f64; 2], Beyond, bool) {
        let height = first_stack.height();
        let pile = self
            .steps
            .iter()
            .position(|step| matches!(step, Back::Pile(_) | Back::Fold(_)));
        let Some(pile) = pile else {
            return ([0.0, height], Beyond::Hold, false);
        };
        let (thickness, beyond) = match self.steps.get(pile) {
            Some(Back::Pile(map)) if map.lie == Lie::Same => (map.piece[1], Beyond::Repeat),
            Some(Back::Pile(map)) => (map.piece[1], Beyond::Mirror),
            Some(Back::Fold(map)) => (map.thickness, Beyond::Mirror),
            _ => (height, Beyond::Hold),
        };
        let older = self.steps.iter().take(pile).rev();
        let mut ends = [-0.5 * thickness, 0.5 * thickness];
        for step in older {
            match step {
                Back::Stretch(map) => {
                    ends = ends.map(|z| map.back([0.0, 0.0, z])[2]);
                }
                Back::Along(_) | Back::Hammer(_) | Back::Barrel(_) => {}
                _ => return ([0.0, height], Beyond::Mirror, false),
            }
        }
        let [low, high] = ends.map(|z| (z + 0.5 * height).min(height).max(0.0));
        if high - low > 1e-6 * height {
            let one_column = match self.steps.get(pile) {
                Some(Back::Pile(map)) => map.columns < 1.5 && map.lie != Lie::Quarter,
                _ => true,
            };
            ([low, high], beyond, one_column)
        } else {
            ([0.0, height], beyond, false)
        }
    }
}
