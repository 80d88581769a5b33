//! A plan that was edited in the middle of the job.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::Done;
use crate::billet::Billet;
use crate::plan::{Plan, PlanBar, Step};
use crate::units::Mm3;

/// The plan as it stands after an edit in the middle of the job: the bars that were begun, as they began, the
/// steps done, as they were worked, and then the new file's steps from the first that has not been done.
#[must_use]
pub(super) fn merge(done: &[Arc<Done>], old: &Plan, new: &Plan) -> Plan {
    let mut plan = new.clone();
    for begun in old.bars.iter().filter(|bar| touched(done, &bar.name)) {
        match plan.bars.iter_mut().find(|bar| bar.name == begun.name) {
            Some(bar) => bar.clone_from(begun),
            None => plan.bars.push(begun.clone()),
        }
    }
    plan.steps = done
        .iter()
        .map(|done| done.step.clone())
        .chain(to_come(done, new).cloned())
        .collect();
    plan
}

/// True for a bar of which a step is done.
fn touched(done: &[Arc<Done>], name: &str) -> bool {
    done.iter().any(|done| done.step.bar == name)
}

/// The metal of an edited plan: bars that no step has touched yet begin as the new file has them, the rest
/// stay as they are.
pub(super) fn bars(done: &[Arc<Done>], plan: &Plan, metal: &mut Billet) {
    let first = plan.first_billet();
    for fresh in first.bars().filter(|bar| !touched(done, &bar.name)) {
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
    metal.others.retain(|bar| {
        known(&bar.name) || touched(done, &bar.name) || bar.ledger.given != Mm3::ZERO
    });
}

/// The steps of the new file that are still to be done: of each bar those behind the last of its steps that
/// has been done.
pub fn to_come<'p>(done: &[Arc<Done>], new: &'p Plan) -> impl Iterator<Item = &'p Step> {
    let is_done = |step: &Step| done.iter().any(|done| done.step.id == step.id);
    let mut behind: BTreeMap<&str, usize> = BTreeMap::new();
    for (at, step) in new
        .steps
        .iter()
        .enumerate()
        .filter(|(_, step)| is_done(step))
    {
        behind.insert(&step.bar, at + 1);
    }
    let steps = new.steps.iter().enumerate();
    let open = steps.filter(move |(at, step)| behind.get(&*step.bar).is_none_or(|from| at >= from));
    open.map(|(_, step)| step)
}

/// Bars that were begun and that the new file begins otherwise; they stay as they are.
pub fn begun_otherwise<'a>(
    done: &'a [Arc<Done>],
    old: &'a Plan,
    new: &'a Plan,
) -> impl Iterator<Item = &'a PlanBar> {
    let begun = old.bars.iter().filter(|bar| touched(done, &bar.name));
    begun.filter(|bar| {
        let now = new.bars.iter().find(|now| now.name == bar.name);
        now.is_some_and(|now| now != *bar)
    })
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
