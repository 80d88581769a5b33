//! Readings: hot or cold, and those that no bar can have.

use super::{Habit, Session};
use crate::billet::{Dimension, Kind, Reading, apply, readable};
use crate::journal::Fire;
use crate::plan::Step;
use crate::units::{Seconds, Stamp};

/// So soon after the fire a bar is too hot to be read as cold without a word: a thin one is hand-warm
/// later. Common practice, no source.
const JUST_OUT: Seconds = Seconds(600.0);

impl Session {
    fn habit(&self) -> Option<Habit> {
        let kind = self.current()?.kind();
        self.habits.get(&kind).copied()
    }

    /// How a size is read unless the smith says otherwise: as it was in the last step of this kind while
    /// the piece was hot; cold once it has cooled down.
    #[must_use]
    pub fn reads_hot(&self, now: Stamp) -> bool {
        self.piece(now) != Fire::Cold && self.habit().is_some_and(|habit| habit.hot)
    }

    /// Why a size read as cold is asked about: the piece is in the fire or just out of it, and no size was
    /// read as cold since.
    #[must_use]
    pub fn doubts_cold(&self, what: Dimension, now: Stamp) -> Option<String> {
        let told = self
            .habit()
            .is_some_and(|habit| !habit.hot && habit.at >= self.fire.1);
        if told || !what.is_length() {
            return None;
        }
        match self.piece(now) {
            Fire::In => Some("the piece is in the fire: hot?".to_owned()),
            Fire::Out if self.fire_for(now) < JUST_OUT => {
                Some("just out of the fire: hot?".to_owned())
            }
            _ => None,
        }
    }

    pub(super) fn keep_habit(&mut self, what: Dimension, hot: bool, at: Stamp) {
        let Some(kind) = self.current().map(Step::kind) else {
            return;
        };
        if what.is_length() && self.piece(at) != Fire::Cold {
            self.habits.insert(kind, Habit { hot, at });
        }
    }

    /// The readings of the step in hand with one more.
    #[must_use]
    pub fn reading_with(&self, what: Dimension, cold: f64) -> Reading {
        let mut reading = self.step.reading;
        reading.set(what, Some(cold));
        reading
    }

    /// Why no bar can have that size; none where one can.
    #[must_use]
    pub fn cannot_be(&self, what: Dimension, cold: f64) -> Option<String> {
        let reading = self.reading_with(what, cold);
        if let Err(why) = readable(&reading) {
            return Some(why.to_string());
        }
        let step = self.current()?;
        // What a part is forged to, and what a blank weighs, is no outside of a bar.
        if step.kind() == Kind::Forge {
            return None;
        }
        let allow = self.plan.allowances();
        let made = |reading| apply(&self.billet, &step.made, &allow, reading);
        let why = made(&reading).err()?;
        made(&self.step.reading).is_ok().then(|| why.to_string())
    }
}
