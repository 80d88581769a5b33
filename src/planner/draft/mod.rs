//! From a wish to whole plans: start stack, restacks, sizes, frame, steel, heats and hours.
//!
//! The grid is in [`Axes`]. A shell may split [`search`] by outermost choices over threads and merge
//! the [`SearchResult`]; [`draft`] does it all in one.

mod after_pile;
mod bench;
mod candidate;
mod compose;
mod cover;
mod covered;
mod explain;
mod figure;
mod fires;
mod forged;
pub mod form;
mod front;
mod grid;
mod knife;
mod least_bite;
mod limit;
mod model;
mod offer;
mod outlook;
mod pace;
mod search;
mod several;
mod shape;
mod sizes;
mod strokes;
mod windows;
mod wish;
mod wish_words;
mod words;
mod worn;

#[cfg(test)]
mod random;
#[cfg(test)]
pub(crate) mod tests;

pub use candidate::{Candidate, Restack};
pub use explain::{Misses, explain, explain_while, explain_with};
pub use form::{Form, Wrong};
pub use front::{Front, Score};
pub use grid::{Axes, Grid, NoGrid};
pub use limit::Limit;

pub use super::steel::CutLine;
pub use offer::{Offer, short_list};
pub use outlook::{Outlook, outlook};
pub use search::{Progress, SearchResult, enumerate, search, search_one};
pub(crate) use shape::FORGING;
pub use wish::{AtHand, RackBar, ShelfBar, Wish, WishError};
pub use words::{Line, PROMISE};

use super::learn::Lessons;

/// Why there is nothing to offer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoPlan {
    /// The search was stopped.
    Stopped,
    /// Limits that rule out every plan, each a sentence.
    Limits(Vec<String>),
}

impl NoPlan {
    /// For one reason.
    #[must_use]
    pub fn because(why: &str) -> Self {
        Self::Limits(vec![format!("no plan: {why}")])
    }
}

/// A search that found plans.
#[derive(Debug, Clone)]
pub struct Drafted {
    /// What was wished.
    pub wish: Wish,
    /// The short list, each with what it is likely to take.
    pub offers: Vec<(Offer, Outlook)>,
    /// Candidates of the grid.
    pub candidates: u64,
    /// Journals that heats and hours were learnt from.
    pub journals: usize,
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
    let grid = Grid::of(wish, lessons).map_err(|why| NoPlan::because(&why.sentence(wish)))?;
    let found = search(&grid, 0..grid.outer(), go_on);
    conclude(&grid, &found, None)
}

/// The short list of a finished search, or why there is none.
///
/// # Errors
/// As [`draft`].
pub fn conclude(
    grid: &Grid,
    found: &SearchResult,
    rates: Option<[f64; 2]>,
) -> Result<Vec<Offer>, NoPlan> {
    if !found.finished {
        return Err(NoPlan::Stopped);
    }
    let offers = short_list(grid, found, rates);
    if offers.is_empty() {
        return Err(NoPlan::Limits(explain(grid)));
    }
    Ok(offers)
}
