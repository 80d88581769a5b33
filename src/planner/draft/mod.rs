//! From a wish to whole plans: start stack, restacks, sizes, frame, steel, heats and hours.
//!
//! The grid is in [`Axes`]. A shell may split [`search`] by outermost choices over threads and merge
//! what they [`Found`]; [`draft`] does it all in one.

mod bench;
mod compose;
mod explain;
mod front;
mod grid;
mod limit;
mod model;
mod offer;
mod pace;
mod search;
mod shape;
mod tail;
mod windows;
mod wish;

#[cfg(test)]
mod random;
#[cfg(test)]
mod tests;

pub use explain::explain;
pub use front::{Front, Score};
pub use grid::{Axes, Grid};
pub use limit::Limit;
pub use model::{Candidate, Restack};
pub use offer::{CutLine, Offer, short_list};
pub use search::{Found, Progress, enumerate, search};
pub use wish::{RackBar, Wish, WishError};

use super::learn::Lessons;

/// Why there is nothing to offer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoPlan {
    /// The search was stopped.
    Stopped,
    /// Limits that rule out every plan, each a sentence.
    Limits(Vec<String>),
}

/// Searches the whole grid of a wish and gives the short list.
///
/// # Errors
/// [`NoPlan`] with the limits that rule out every plan, or when `go_on` said no.
pub fn draft(
    wish: &Wish,
    lessons: &Lessons,
    go_on: &dyn Fn(Progress) -> bool,
) -> Result<Vec<Offer>, NoPlan> {
    let grid =
        Grid::of(wish, lessons).map_err(|why| NoPlan::Limits(vec![format!("no plan: {why}")]))?;
    let found = search(&grid, 0..grid.outer(), go_on);
    conclude(&grid, &found)
}

/// The short list of a finished search, or why there is none.
///
/// # Errors
/// As [`draft`].
pub fn conclude(grid: &Grid, found: &Found) -> Result<Vec<Offer>, NoPlan> {
    if !found.finished {
        return Err(NoPlan::Stopped);
    }
    let offers = short_list(grid, found);
    if offers.is_empty() {
        return Err(NoPlan::Limits(explain(grid)));
    }
    Ok(offers)
}
