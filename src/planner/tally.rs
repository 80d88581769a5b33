//! What a shop has done, over all its jobs.

use std::collections::BTreeMap;

use super::steel::steel_to_buy;
use crate::billet::Billet;
use crate::session::Session;
use crate::units::{Grams, Units};

/// Sums over jobs.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Tally {
    /// Jobs that were begun.
    pub jobs: u32,
    /// Jobs that are done.
    pub finished: u32,
    /// Blades of the jobs that are done.
    pub blades: u32,
    /// Steel bought for the jobs begun, by grade, saw cuts and all.
    pub bought: BTreeMap<String, Grams>,
    /// Metal that went into stacks and frames.
    pub used: Grams,
    /// Metal in the blades of the jobs that are done.
    pub blades_mass: Grams,
    /// Minutes of work, and those of them with the fire on.
    pub minutes: f64,
    /// Minutes with the fire on.
    pub fire: f64,
    /// Trips to the fire.
    pub heats: usize,
}

impl Tally {
    /// Counts a job; one that is not begun counts for nothing.
    pub fn add(&mut self, session: &Session) {
        if !session.has_begun() {
            return;
        }
        self.jobs += 1;
        self.heats += session.heats.len();
        self.minutes += session.worked.minutes;
        self.fire += session.worked.fire;
        let rows: Vec<&Billet> = session.planned.rows.iter().map(|row| &row.billet).collect();
        for cut in steel_to_buy(&session.plan, &rows) {
            *self.bought.entry(cut.grade).or_default() += cut.mass;
        }
        let metal = session.metal();
        let balance = metal.balance();
        let into = balance.start + balance.added;
        self.used += into.mass(metal.density());
        if session.is_finished() {
            self.finished += 1;
            self.blades += session.plan.goal.knives.max(1);
            self.blades_mass += metal.mass();
        }
    }
}

/// What a shop speaks: the units of most of its jobs, the oldest first; of the newest where as many have either,
/// and millimetres where there is none.
///
/// ```
/// use anvilside::planner::tally::units_of_most;
/// use anvilside::units::Units::{Inch, Mm};
/// assert_eq!(units_of_most([Mm, Mm, Inch]), Mm);
/// assert_eq!(units_of_most([Mm, Inch]), Inch);
/// assert_eq!(units_of_most([]), Mm);
/// ```
#[must_use]
pub fn units_of_most(jobs: impl IntoIterator<Item = Units>) -> Units {
    let (mut inch, mut all, mut newest) = (0_usize, 0_usize, Units::Mm);
    for units in jobs {
        inch += usize::from(units == Units::Inch);
        all += 1;
        newest = units;
    }
    match (2 * inch).cmp(&all) {
        std::cmp::Ordering::Less => Units::Mm,
        std::cmp::Ordering::Equal => newest,
        std::cmp::Ordering::Greater => Units::Inch,
    }
}
