//! The fish-mouth in the ends of a bar, step by step since they were last cut: how much a trim has to take off.

use std::collections::BTreeMap;

use crate::billet::{Billet, Loses, Move};
use crate::physics::fish_mouth::measure;
use crate::units::Mm;

/// How far the stretch by section and by length may be apart, as a factor: a digit too many is further.
const SAME: f64 = 1.4;

/// The measure of the hollow of each bar, by name; none where the ends are freshly cut, no number where a
/// reading that cannot be has spoilt it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Ends(BTreeMap<String, Mm>);

impl Ends {
    /// The measure in the ends of a bar, mm: [`measure`].
    #[must_use]
    pub fn of(&self, bar: &str) -> Mm {
        self.0.get(bar).copied().unwrap_or(Mm::ZERO)
    }

    /// Follows one step that was made on the bar in hand.
    pub fn step(&mut self, bar: &str, made: &Move, before: &Billet, after: &Billet) {
        let was = self.of(bar);
        let now = match made.kind().row().loses {
            Loses::Draw | Loses::Crush | Loses::Weld => {
                let (from, to) = (&before.bar, &after.bar);
                let longer = (from.width * from.thickness) / (to.width * to.thickness);
                let apart = to.length / from.length / longer;
                if (1.0 / SAME..SAME).contains(&apart) {
                    // Outside the law nothing is known of the ends.
                    measure(was, from.thickness, to.thickness, longer).unwrap_or(Mm(f64::NAN))
                } else {
                    Mm(f64::NAN)
                }
            }
            Loses::Nothing | Loses::Grind | Loses::Treat | Loses::Untold => was,
            Loses::Trim
            | Loses::Kerf
            | Loses::Piles
            | Loses::Adds
            | Loses::Opening
            | Loses::Forge
            | Loses::Shaping => Mm::ZERO,
        };
        if now.is_positive() || now.0.is_nan() {
            self.0.insert(bar.to_owned(), now);
        } else {
            self.0.remove(bar);
        }
    }
}
