//! A plan that was edited in the middle of the job.

use std::sync::Arc;

use super::Done;
use crate::plan::{Plan, Step};

/// The plan as it stands after an edit in the middle of the job: the steps done, as they were
/// worked, and then the new file's steps from the first that has not been done.
#[must_use]
pub(super) fn merge(done: &[Arc<Done>], new: &Plan) -> Plan {
    let from = resume_at(done, new);
    let mut plan = new.clone();
    plan.steps = done
        .iter()
        .map(|done| done.step.clone())
        .chain(new.steps.iter().skip(from).cloned())
        .collect();
    plan
}

/// Where the new file goes on: behind the last of its steps that has been done.
#[must_use]
pub fn resume_at(done: &[Arc<Done>], new: &Plan) -> usize {
    let is_done = |step: &Step| done.iter().any(|done| done.step.id == step.id);
    new.steps.iter().rposition(is_done).map_or(0, |at| at + 1)
}

/// Steps already done that the new file has differently; they are not rewritten.
#[must_use]
pub fn rewritten<'a>(done: &'a [Arc<Done>], new: &Plan) -> Vec<&'a Step> {
    done.iter()
        .map(|done| &done.step)
        .filter(|old| {
            let now = new.steps.iter().find(|step| step.id == old.id);
            now.is_none_or(|step| step.made != old.made)
        })
        .collect()
}
