//! Heats and minutes of a plan that is not worked yet.

use crate::billet::Kind;
use crate::plan::{Machine, Step, draw_heats, least_watch};
use crate::planner::learn::{Lessons, Topic, times};
use crate::planner::warming::Warming;

/// How fast this shop is.
#[derive(Debug, Clone)]
pub(super) struct Pace {
    machine: Machine,
    heats: Vec<f64>,
    minutes: Vec<f64>,
}

impl Pace {
    pub(super) fn of(machine: Machine, lessons: &Lessons) -> Self {
        Self {
            machine,
            heats: Kind::ALL
                .map(|kind| lessons.get(Topic::Heats(kind)).in_force())
                .to_vec(),
            minutes: Kind::ALL
                .map(|kind| lessons.get(Topic::Minutes(kind)).in_force())
                .to_vec(),
        }
    }

    /// Heats to draw a section of one area to another, at least one.
    pub(super) fn draw_heats(&self, from: f64, to: f64) -> u32 {
        draw_heats(self.machine, from, to)
    }

    /// Minutes of so many heats of hot work, however small the bar.
    pub(super) fn hot(&self, kind: Kind, heats: u32) -> f64 {
        f64::from(heats) * self.factor(kind) * self.each(kind)
    }

    /// The same of a bar that the fire must heat.
    pub(super) fn heated(&self, kind: Kind, heats: u32, floor: &Warming) -> f64 {
        let trips = f64::from(heats) * self.factor(kind);
        self.hot(kind, heats).max(floor.minutes(trips))
    }

    /// Minutes of cold work counted so many times.
    pub(super) fn cold(&self, kind: Kind, count: f64) -> f64 {
        count * self.each(kind)
    }

    /// Minutes of the end of a day with fire: its watch at the least.
    pub(super) fn end_of_hot_day(&self) -> f64 {
        self.cold(Kind::EndDay, 1.0).max(least_watch().minutes())
    }

    /// Minutes of a step on so many pieces.
    pub(super) fn of_step(&self, step: &Step, floor: &Warming, pieces: u32) -> f64 {
        let kind = step.kind();
        if kind.is_hot() {
            return self.heated(kind, step.heats, floor);
        }
        let minutes = self.cold(kind, times(&step.made, 0.0, pieces));
        minutes.max(floor.minutes(0.0))
    }

    fn factor(&self, kind: Kind) -> f64 {
        self.heats.get(kind as usize).copied().unwrap_or(1.0)
    }

    fn each(&self, kind: Kind) -> f64 {
        self.minutes.get(kind as usize).copied().unwrap_or(0.0)
    }
}
