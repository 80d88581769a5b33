//! One `[[step]]`. What a reader would fill in by itself from the shop is left out.

use super::{keys, number};
use crate::plan::keys::{COMMON, HEAD, form};
use crate::plan::{Plan, Step};

/// The lines of a step. `usual_id` and `usual_day` are what a reader gives by itself.
pub(super) fn lines(plan: &Plan, step: &Step, usual_id: &str, usual_day: u32) -> Vec<String> {
    let mut out = vec![format!("kind = {}", number::text(step.kind().word()))];
    if step.id.0 != usual_id {
        out.push(format!("id = {}", number::text(&step.id.0)));
    }
    let mut own = step.clone();
    let mut usual = Step {
        day: usual_day,
        // Heats of hot work are always good to see.
        heats: if step.kind().is_hot() { u32::MAX } else { 0 },
        ..Step::blank(step.made.clone())
    };
    let (head, rest) = COMMON.split_at(HEAD);
    out.extend(keys::lines(plan, head, &mut own, &mut usual));
    let mut form = form(step.kind(), &plan.shop, Some(plan.goal.blade.edge));
    out.extend(keys::lines(
        plan,
        form.fields,
        &mut own.made,
        &mut form.blank,
    ));
    out.extend(keys::lines(plan, rest, &mut own, &mut usual));
    out
}
