//! One step of the plan.

use serde::{Deserialize, Serialize};

use super::{Machine, Places};
use crate::billet::{Kind, Move, Part};
use crate::metal::Steel;
/// The window to work in: stop and re-heat below it, never go above it.
pub use crate::metal::Window as HeatWindow;
use crate::units::Seconds;

/// A step's name, stable while the file is edited: the plan's own `id`, or the kind with a number
/// (`draw-2` is the second draw).
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(transparent)]
pub struct StepId(pub String);

impl std::fmt::Display for StepId {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str(&self.0)
    }
}

/// A steel of the job.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanSteel {
    /// The name used in this plan.
    pub key: String,
    /// One capital letter for pictures.
    pub letter: char,
    /// The grade, or the plan's own steel.
    pub steel: Steel,
    /// The heat lot, as stamped on the bar or on its sheet; empty where none is noted.
    pub lot: String,
}

impl PlanSteel {
    /// The grade, with its heat lot where one is noted.
    #[must_use]
    pub fn with_lot(&self) -> String {
        let grade = &self.steel.grade;
        if self.lot.is_empty() {
            grade.clone()
        } else {
            format!("{grade}, lot {}", self.lot)
        }
    }
}

/// The letter that a steel gets where none is asked for: the first free one of its name, then any.
#[must_use]
pub fn free_letter(key: &str, taken: &[char]) -> Option<char> {
    let own = key.chars().map(|c| c.to_ascii_uppercase());
    own.chain('A'..='Z')
        .find(|c| c.is_ascii_uppercase() && !taken.contains(c))
}

/// The day of the step after one of a kind on `day`.
#[must_use]
pub fn day_after(kind: Kind, day: u32) -> u32 {
    day.saturating_add(u32::from(kind == Kind::EndDay))
}

#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// Stable name.
    pub id: StepId,
    /// The bar that it works on; empty where the plan has one.
    pub bar: String,
    /// What the screen calls it where that is more than its title: with the bar, in a plan of several.
    pub called: String,
    /// What is done to the metal.
    pub made: Move,
    /// The smith's own title, where given.
    pub title: Option<String>,
    /// Which day of the plan, counting from 1.
    pub day: u32,
    /// Trips to the fire expected.
    pub heats: u32,
    /// Where to work.
    pub window: Option<HeatWindow>,
    /// Time to hold at heat (or, for temper, one cycle).
    pub soak: Option<Seconds>,
    /// What moves the steel.
    pub machine: Machine,
    /// When the step is done, in the smith's words.
    pub done_when: Option<String>,
    /// Cautions of this step beside the card of its kind.
    pub cautions: Vec<String>,
    /// Free notes.
    pub notes: Vec<String>,
    /// Line of the file that the step begins on.
    pub line: usize,
    /// Where its keys are written.
    pub places: Places,
}

impl Step {
    /// A step of which the plan says no more than its move.
    #[must_use]
    pub fn blank(made: Move) -> Self {
        Self {
            id: StepId(String::new()),
            bar: String::new(),
            called: String::new(),
            made,
            title: None,
            day: 1,
            heats: 0,
            window: None,
            soak: None,
            machine: Machine::Hand,
            done_when: None,
            cautions: Vec::new(),
            notes: Vec::new(),
            line: 1,
            places: Places::default(),
        }
    }

    #[must_use]
    pub fn kind(&self) -> Kind {
        self.made.kind()
    }

    /// What the screen calls it.
    #[must_use]
    pub fn name(&self) -> &str {
        if !self.called.is_empty() {
            return &self.called;
        }
        let own = self.title.as_deref();
        own.unwrap_or_else(|| match self.made {
            Move::Forge { part, .. } => match part {
                Part::Bolster => "Forge the bolster",
                Part::Tang => "Forge the tang",
                Part::Blade => "Forge the blade",
                Part::Bevels => "Forge the bevels",
            },
            _ => self.kind().title(),
        })
    }
}
