//! A job in a few words, for a list of many.

use serde::{Deserialize, Serialize};

use super::Session;
use crate::units::Stamp;

/// How far a job is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Standing {
    /// Begun and not finished.
    Unfinished,
    NotBegun,
    /// Every step is done.
    Done,
}

/// A job in a few words.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Brief {
    /// The plan's title.
    pub title: String,
    /// How far it is.
    pub standing: Standing,
    /// Where it stands: step, day.
    pub place: String,
    /// The piece in hand; nothing once the job is done.
    pub size: String,
    /// Blade and bands wanted.
    pub goal: String,
    /// The newest entry that the smith made.
    pub last: Option<Stamp>,
}

impl Session {
    /// True when a way out was taken in the step in hand.
    #[must_use]
    pub fn has_decided(&self) -> bool {
        let last = self.decisions.iter().last();
        self.current()
            .is_some_and(|step| last.is_some_and(|note| note.step == step.id))
    }

    /// This job in a few words.
    #[must_use]
    pub fn brief(&self) -> Brief {
        let units = self.plan.units;
        let goal = &self.plan.goal;
        let blade = units.size(goal.blade.width, goal.blade.spine, goal.blade.length);
        let (least, most) = (goal.bands_least, goal.bands_most);
        let bands = if least == most {
            format!("{least} bands")
        } else {
            format!("{least} to {most} bands")
        };
        let knives = match goal.knives {
            0 | 1 => String::new(),
            many => format!("{many} knives, "),
        };
        let standing = match (self.has_begun(), self.is_finished()) {
            (_, true) => Standing::Done,
            (true, false) => Standing::Unfinished,
            (false, false) => Standing::NotBegun,
        };
        let steps = self.plan.steps.len();
        let place = match (standing, self.current()) {
            (Standing::Unfinished, Some(step)) => {
                let (at, day, days) = (self.at + 1, self.day(), self.days());
                format!("step {at} of {steps}: {}, day {day} of {days}", step.name())
            }
            (Standing::NotBegun, _) => format!("not begun, {steps} steps, {} days", self.days()),
            _ => "done".to_owned(),
        };
        let size = match standing {
            Standing::Unfinished => self.billet.outside(units),
            Standing::NotBegun | Standing::Done => String::new(),
        };
        Brief {
            title: self.plan.title.clone(),
            standing,
            place,
            size,
            goal: format!("{knives}blade {blade}, {bands}"),
            last: self.last.filter(|_| self.has_begun()),
        }
    }
}
