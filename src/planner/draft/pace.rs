//! Heats and minutes of a plan that is not worked yet.

use crate::billet::Kind;
use crate::plan::{Machine, Step};
use crate::planner::learn::{Lessons, Topic, times};

/// Log of area taken off in one heat: press or power hammer on 1 to 2 kg, and by hand. Common
/// practice, no source: 0.12 to 0.20, and 0.05 to 0.08.
const GAIN_MACHINE: f64 = 0.16;
const GAIN_HAND: f64 = 0.065;

/// How fast this shop is.
#[derive(Debug, Clone)]
pub(super) struct Pace {
    gain: f64,
    heats: Vec<f64>,
    minutes: Vec<f64>,
}

impl Pace {
    pub(super) fn of(machine: Machine, lessons: &Lessons) -> Self {
        Self {
            gain: match machine {
                Machine::Hand => GAIN_HAND,
                Machine::Press { .. } | Machine::Hammer { .. } => GAIN_MACHINE,
            },
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
        let heats = ((from / to).max(1.0).ln() / self.gain - 1e-9)
            .ceil()
            .max(1.0);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a few dozen heats"
        )]
        let heats = heats.min(500.0) as u32;
        heats
    }

    /// Minutes of so many heats of hot work.
    pub(super) fn hot(&self, kind: Kind, heats: u32) -> f64 {
        f64::from(heats) * self.factor(kind) * self.each(kind)
    }

    /// Minutes of cold work counted so many times.
    pub(super) fn cold(&self, kind: Kind, count: f64) -> f64 {
        count * self.each(kind)
    }

    /// Minutes of a step on so many pieces.
    pub(super) fn of_step(&self, step: &Step, pieces: u32) -> f64 {
        let kind = step.kind();
        if kind.is_hot() {
            return self.hot(kind, step.heats);
        }
        self.cold(kind, times(&step.made, 0.0, pieces))
    }

    fn factor(&self, kind: Kind) -> f64 {
        self.heats.get(kind as usize).copied().unwrap_or(1.0)
    }

    fn each(&self, kind: Kind) -> f64 {
        self.minutes.get(kind as usize).copied().unwrap_or(0.0)
    }
}
