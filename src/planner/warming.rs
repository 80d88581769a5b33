//! The least minutes that hot work can take: what the fire needs to bring the bar to heat, trip by trip.

use crate::billet::Billet;
use crate::physics::section::{Section, least_heating};
use crate::plan::{Plan, Step, dry_run};
use crate::units::{Celsius, Seconds};

const SHOP: Celsius = Celsius(20.0);

/// What one step takes in the fire at the least, minutes.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Warming {
    /// The first trip, soak and all.
    first: f64,
    /// Each further one.
    again: f64,
}

impl Warming {
    /// Of a step on that metal. A piece that comes from another hot step is not cold.
    #[must_use]
    pub(super) fn of(plan: &Plan, at: usize, before: &Billet) -> Self {
        let Some(step) = plan.steps.get(at).filter(|step| step.kind().is_hot()) else {
            return Self::default();
        };
        let hold = step.hold().map_or(0.0, Seconds::minutes);
        let Some(window) = plan.window(step) else {
            return Self {
                first: hold,
                again: 0.0,
            };
        };
        let section = Section {
            width: before.bar.width,
            thickness: before.bar.thickness,
        };
        let minutes = |from: Celsius, to: Celsius| {
            let time = least_heating(section, from, to, plan.shop.fire);
            time.map_or(0.0, Seconds::minutes)
        };
        // Worked down to the low end, a piece goes back for at least half of its window.
        let half = Celsius(f64::midpoint(window.low.0, window.high.0));
        let again = minutes(window.low, half);
        let warm = at.checked_sub(1).and_then(|at| plan.steps.get(at));
        let warm = warm.is_some_and(|last| follows_hot(last, step));
        let first = if warm {
            again
        } else {
            minutes(SHOP, window.low)
        };
        Self {
            first: first + hold,
            again,
        }
    }

    /// Each step of a plan from a place on, on the metal as it is planned to be there.
    #[must_use]
    pub(super) fn all(plan: &Plan, from: usize, start: &Billet) -> Vec<Self> {
        let walk = dry_run(plan, from, start);
        let mut before = start;
        let steps = plan.steps.iter().enumerate().skip(from);
        steps
            .enumerate()
            .map(|(place, (at, step))| {
                let own = before.in_hand(&step.bar);
                let warming = Self::of(plan, at, &own);
                before = walk.rows.get(place).map_or(before, |row| &row.billet);
                warming
            })
            .collect()
    }

    /// Minutes of so many trips.
    #[must_use]
    pub(super) fn minutes(&self, heats: f64) -> f64 {
        self.first + self.again * (heats - 1.0).max(0.0)
    }
}

/// True when the piece comes out of another fire of the same day.
fn follows_hot(last: &Step, step: &Step) -> bool {
    last.kind().is_hot() && last.day == step.day && last.bar == step.bar
}
