//! One thing that a journal says, as a sum of the numbers that are learnt.

use super::topic::Topic;
use crate::plan::StepId;
use crate::units::Stamp;

/// One thing seen in a journal: topics with how many times each is in it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Equation {
    /// What is in it.
    pub(super) parts: Vec<(Topic, f64)>,
    /// What was seen.
    pub(super) value: f64,
    /// What the reading leaves open, without the work's own scatter.
    pub(super) error: f64,
    /// How often the scatter of each topic is in it, squared and added.
    pub(super) scatter: Vec<(Topic, f64)>,
    /// What the outside would have lost over the plan's share, as a logarithm; of scale whose trips were logged.
    pub(super) over: Option<f64>,
    /// When.
    pub(super) at: Stamp,
    /// At which step.
    pub(super) step: StepId,
}

impl Equation {
    /// The measure of the fish-mouth at a trim that was read; none of anything else.
    pub(super) fn fish_mouth(&self) -> Option<f64> {
        match self.parts.as_slice() {
            [(Topic::Trim, _), (Topic::FishMouth, measure)] if measure.is_finite() => {
                Some(*measure)
            }
            _ => None,
        }
    }

    /// The same as long as trims are a fixed length.
    pub(super) fn without_fish_mouth(&mut self) {
        self.parts.retain(|(topic, _)| *topic != Topic::FishMouth);
    }
}
