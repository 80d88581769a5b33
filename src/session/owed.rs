//! What of a card is owed.

use crate::plan::{CautionId, StepId};

/// A caution put off or passed over.
#[derive(Debug, Clone, PartialEq)]
pub struct Owed {
    /// The step it belongs to.
    pub step: StepId,
    /// Which caution.
    pub item: CautionId,
    pub text: String,
    pub reason: String,
    /// True when a killer item was passed over; false when it was put off.
    pub overridden: bool,
}

impl Owed {
    /// How it was left, in words.
    #[must_use]
    pub fn how(&self) -> &'static str {
        if self.overridden {
            "passed over"
        } else {
            "put off"
        }
    }

    /// One line of a record.
    #[must_use]
    pub fn text(&self) -> String {
        let how = self.how();
        format!("{}: {how}: {} ({})", self.step, self.text, self.reason)
    }
}
