//! The widest bar that the shop's press still moves.

use super::windows::{Windows, middle};
use super::wish::Wish;
use crate::physics::{Pressing, widest_bar};
use crate::plan::{Machine, PlanSteel};
use crate::units::Mm;

/// Strain and rate of a good bite in a small press.
pub(super) const STRAIN: f64 = 0.2;
pub(super) const RATE: f64 = 1.0;
/// Shortest bite that the review of a plan lets pass, with a little over for its rounding.
const REVIEWED_BITE: Mm = Mm(10.5);

/// Widest bar of that height that a press still moves with the shortest bite, whichever steel of the
/// job it is; without a limit for hammers, and where the law does not reach.
pub(super) fn least_bite(wish: &Wish, windows: Windows, height: Mm) -> Mm {
    let Machine::Press { force } = wish.shop.machine else {
        return Mm(f64::INFINITY);
    };
    let widest = |steel: PlanSteel| {
        let at = Pressing {
            metal: steel.steel.nominal,
            temperature: middle(windows.draw),
            strain: STRAIN,
            rate: RATE,
        };
        widest_bar(force, REVIEWED_BITE, height.max(Mm(1.0)), &at)
            .map_or(Mm(f64::INFINITY), |width| Mm(width.best))
    };
    wish.steels()
        .into_iter()
        .map(widest)
        .fold(Mm(f64::INFINITY), Mm::min)
}
