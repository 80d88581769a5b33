//! Every reading of a job with its time, for tables.

use super::Session;
use super::sizes::wanted;
use crate::billet::{Billet, Dimension};
use crate::journal::{Entry, Event};
use crate::plan::Step;
use crate::units::{Celsius, Stamp};

/// One value read off the metal.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadingTaken<'a> {
    /// When.
    pub at: Stamp,
    /// Place of its step in the plan.
    pub place: usize,
    /// Its step.
    pub step: &'a Step,
    /// What was read.
    pub what: Dimension,
    /// Cold value: mm, g of one piece, or a count.
    pub cold: f64,
    /// As typed.
    pub typed: &'a str,
    /// The metal's temperature, when it was read hot.
    pub hot: Option<Celsius>,
    /// What the plan wanted there; none for a part that has no size of that kind.
    pub wanted: Option<f64>,
}

impl Session {
    /// The readings that count, in the order they were typed. What was undone, taken back or typed anew is
    /// left out.
    #[must_use]
    pub fn readings(&self) -> Vec<ReadingTaken<'_>> {
        let mut kept: Vec<(&Entry, &crate::plan::StepId, Dimension)> = Vec::new();
        for entry in self.in_force() {
            match &entry.event {
                Event::Measured { step, what, .. } => {
                    kept.retain(|(_, of, which)| (*of, *which) != (step, *what));
                    kept.push((entry, step, *what));
                }
                Event::Unmeasured { step, what } => {
                    kept.retain(|(_, of, which)| (*of, *which) != (step, *what));
                }
                _ => {}
            }
        }
        kept.into_iter()
            .filter_map(|(entry, id, what)| {
                let (place, step, expected) = self.step_of(id)?;
                let Event::Measured {
                    cold, typed, hot, ..
                } = &entry.event
                else {
                    return None;
                };
                Some(ReadingTaken {
                    at: entry.at,
                    place,
                    step,
                    what,
                    cold: *cold,
                    typed,
                    hot: *hot,
                    wanted: wanted(step, expected, what),
                })
            })
            .collect()
    }

    /// A step that is done or in hand, and the metal that the plan expected after it.
    fn step_of(&self, id: &crate::plan::StepId) -> Option<(usize, &Step, &Billet)> {
        let done = self.done.iter().enumerate();
        let mut done = done.filter(|(_, done)| done.step.id == *id);
        if let Some((at, done)) = done.next() {
            return Some((at, &done.step, &done.expected));
        }
        let step = self.current().filter(|step| step.id == *id)?;
        Some((self.at, step, &self.meant.billet))
    }
}
