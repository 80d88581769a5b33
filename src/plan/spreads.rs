//! How wide a bar gets when it is drawn thinner: a draw cannot ask for more.

use super::{Machine, Shop};
use crate::physics::draw_out::widest;
use crate::units::Mm;

/// What a hammer leaves a bar wider than the law has it, without a word. Common practice, no source.
const WITHIN: f64 = 1.02;
/// Bite in widths of the bar under a peen laid along it, which spreads as much as any die.
const PEEN: f64 = 3.0;

/// The most that a bar of that width and thickness gets wide in that shop when it is drawn to another, by the high
/// end of the spread law; none where that is as wide as asked for, or nothing is drawn thinner.
#[must_use]
pub fn too_wide(shop: &Shop, from: (Mm, Mm), to: (Mm, Mm)) -> Option<Mm> {
    if to.0.0 <= from.0.0 * WITHIN || to.1 > from.1 {
        return None;
    }
    let bite = match shop.machine {
        Machine::Hand => from.0 * PEEN,
        Machine::Press { .. } | Machine::Hammer { .. } => shop.die,
    };
    let most = widest(from.0, from.1, to.1, bite).ok()?;
    (to.0.0 > most.0 * WITHIN).then_some(most)
}
