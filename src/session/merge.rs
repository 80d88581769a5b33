//! A plan that was edited in the middle of the job.

use std::sync::Arc;

use super::Done;
use crate::billet::Billet;
use crate::plan::{Plan, Step};
use crate::units::Mm3;

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

/// The metal of an edited plan: bars that no step has touched yet begin as the new file has them, the rest
/// stay as they are.
pub(super) fn bars(done: &[Arc<Done>], plan: &Plan, metal: &mut Billet) {
    let touched = |name: &str| done.iter().any(|done| done.step.bar == name);
    let first = plan.first_billet();
    for fresh in first.bars().filter(|bar| !touched(&bar.name)) {
        let mut fresh = fresh.clone();
        fresh.others = Vec::new();
        if metal.name == fresh.name {
            let others = std::mem::take(&mut metal.others);
            *metal = Billet { others, ..fresh };
        } else if let Some(place) = metal.others.iter_mut().find(|bar| bar.name == fresh.name) {
            // One that was laid into another by a step of that other is past changing.
            if place.ledger.given == Mm3::ZERO {
                *place = Arc::new(fresh);
            }
        } else {
            metal.others.push(Arc::new(fresh));
        }
    }
    let known = |name: &str| plan.bars.iter().any(|bar| bar.name == name);
    metal
        .others
        .retain(|bar| known(&bar.name) || touched(&bar.name) || bar.ledger.given != Mm3::ZERO);
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
