//! The least minutes that a step can take, the one floor that every forecast, way out and draft reads: what the
//! fire needs to bring the bar to heat, trip by trip, and what a clock holds the step to.

use super::learn::clocked_minutes;
use crate::billet::Billet;
use crate::physics::section::{SHOP_AIR, Section, least_heating};
use crate::plan::{HeatWindow, Plan, Step, WalkedStep, dry_run};
use crate::units::{Celsius, Seconds};

/// What one step takes at the least, minutes.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Warming {
    /// The first trip, soak and all.
    first: f64,
    /// Each further one.
    again: f64,
    /// What a clock holds it to, however it is heated.
    clock: f64,
}

impl Warming {
    /// A bar brought into a window by a fire, and held there; `warm` when it comes out of another fire.
    #[must_use]
    pub(super) fn into(
        window: HeatWindow,
        fire: Celsius,
        section: Section,
        hold: Seconds,
        warm: bool,
    ) -> Self {
        let minutes = |from: Celsius, to: Celsius| {
            let time = least_heating(section, from, to, fire);
            time.map_or(0.0, Seconds::minutes)
        };
        // Worked down to the low end, a piece goes back for at least half of its window.
        let half = Celsius(f64::midpoint(window.low.0, window.high.0));
        let again = minutes(window.low, half);
        let first = if warm {
            again
        } else {
            minutes(SHOP_AIR, window.low)
        };
        Self {
            first: first + hold.minutes(),
            again,
            clock: hold.minutes(),
        }
    }

    /// Of a step on that metal, behind the steps `earlier`. A piece that comes from another hot step is not cold.
    #[must_use]
    pub(super) fn of_step(
        step: &Step,
        earlier: &[Step],
        window: Option<HeatWindow>,
        fire: Celsius,
        before: &Billet,
    ) -> Self {
        let clock = clocked_minutes(earlier, step);
        if !step.kind().is_hot() {
            return Self {
                clock,
                ..Self::default()
            };
        }
        let hold = step.hold().unwrap_or(Seconds::ZERO);
        let Some(window) = window else {
            return Self {
                first: hold.minutes(),
                again: 0.0,
                clock,
            };
        };
        let section = Section {
            width: before.bar.width,
            thickness: before.bar.thickness,
        };
        let warm = earlier.last().is_some_and(|last| follows_hot(last, step));
        Self {
            clock,
            ..Self::into(window, fire, section, hold, warm)
        }
    }

    /// Of a step of a plan.
    #[must_use]
    pub(super) fn of(plan: &Plan, at: usize, before: &Billet) -> Self {
        let Some(step) = plan.steps.get(at) else {
            return Self::default();
        };
        let earlier = plan.steps.get(..at).unwrap_or_default();
        Self::of_step(step, earlier, plan.window(step), plan.shop.fire, before)
    }

    /// Each step of a plan from a place on, on the metal as it is planned to be there.
    #[must_use]
    pub(super) fn all(plan: &Plan, from: usize, start: &Billet) -> Vec<Self> {
        Self::along(plan, from, start, &dry_run(plan, from, start).rows)
    }

    /// The same where what each step leaves is known.
    #[must_use]
    pub(super) fn along(
        plan: &Plan,
        from: usize,
        start: &Billet,
        rows: &[WalkedStep],
    ) -> Vec<Self> {
        let mut before = start;
        let steps = plan.steps.iter().enumerate().skip(from);
        steps
            .enumerate()
            .map(|(place, (at, step))| {
                let own = before.in_hand(&step.bar);
                let warming = Self::of(plan, at, &own);
                before = rows.get(place).map_or(before, |row| &row.billet);
                warming
            })
            .collect()
    }

    /// Minutes of so many trips.
    #[must_use]
    pub(super) fn minutes(&self, heats: f64) -> f64 {
        (self.first + self.again * (heats - 1.0).max(0.0)).max(self.clock)
    }
}

/// True when the piece comes out of another fire of the same day.
fn follows_hot(last: &Step, step: &Step) -> bool {
    last.kind().is_hot() && last.day == step.day && last.bar == step.bar
}
