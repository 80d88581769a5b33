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
    pub at: Stamp,
    /// When it was entered, where that was later.
    pub entered: Option<Stamp>,
    /// Place of its step in the plan.
    pub place: usize,
    pub step: &'a Step,
    /// The number of the piece, of several like ones; 0 where there is one.
    pub piece: u32,
    /// What was read.
    pub what: Dimension,
    /// Cold value: mm, g of one piece, or a count.
    pub cold: f64,
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
        let mut kept: Vec<(&Entry, &crate::plan::StepId, Dimension, u32)> = Vec::new();
        let mut hand = 1;
        for entry in self.in_force() {
            match entry.event.plain() {
                Event::Measured { step, what, .. } => {
                    kept.retain(|(_, of, which, on)| (*of, *which, *on) != (step, *what, hand));
                    kept.push((entry, step, *what, hand));
                }
                Event::Unmeasured { step, what } => {
                    kept.retain(|(_, of, which, on)| (*of, *which, *on) != (step, *what, hand));
                }
                Event::Piece { piece, .. } => hand = *piece,
                Event::Done { .. } => hand = 1,
                _ => {}
            }
        }
        let of_several =
            |id: &crate::plan::StepId| kept.iter().any(|(_, of, _, on)| *of == id && *on > 1);
        let several: Vec<bool> = kept.iter().map(|(_, id, ..)| of_several(id)).collect();
        kept.into_iter()
            .zip(several)
            .filter_map(|((entry, id, what, hand), several)| {
                let (place, step, expected) = self.step_of(id)?;
                let Event::Measured {
                    cold, typed, hot, ..
                } = entry.event.plain()
                else {
                    return None;
                };
                Some(ReadingTaken {
                    at: entry.happened().1,
                    entered: entry.entered(),
                    place,
                    step,
                    piece: if several { hand } else { 0 },
                    what,
                    cold: *cold,
                    typed,
                    hot: *hot,
                    wanted: wanted(step, expected, what),
                })
            })
            .collect()
    }

    /// What happened earlier than it was entered, as far as it counts: when, when entered, and in words.
    #[must_use]
    pub fn entered_later(&self) -> Vec<(Stamp, Stamp, String)> {
        let late = self.in_force().filter_map(|entry| {
            let entered = entry.entered()?;
            let (event, at) = entry.happened();
            let words = match event {
                Event::Measured {
                    step, what, typed, ..
                } => {
                    format!("{} {typed} at {step}", what.word())
                }
                Event::Done { step } => format!("{step} done"),
                Event::Note { step, .. } => format!("a note at {step}"),
                Event::Cautions { step, items } => {
                    let items = crate::units::show::counted(items.len(), "item");
                    format!("{items} of the card at {step}")
                }
                _ => return None,
            };
            Some((at, entered, words))
        });
        late.collect()
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
