//! Every bar of a plan of several comes into the knife, and none is forgotten.

use super::at_plan;
use crate::plan::{Diagnostic, Level, Plan, Walk};

pub(super) fn review(plan: &Plan, walk: &Walk, found: &mut Vec<Diagnostic>) {
    let Some(last) = walk.rows.last() else {
        return;
    };
    for bar in last.billet.bars().filter(|bar| bar.pieces > 0) {
        let worked = plan.steps.iter().any(|step| *step.bar == *bar.name);
        let given = bar.ledger.given.is_positive();
        let path = format!("bar {}", bar.name);
        let (level, what) = match (worked, given) {
            (false, false) => (Level::Error, format!("{} is never used", bar.called())),
            _ if bar.name == last.billet.name => continue,
            (_, false) => (
                Level::Error,
                format!("{} is made and goes into no other bar", bar.called()),
            ),
            (_, true) => (
                Level::Warning,
                format!("{} of {} left over", bar.pieces, bar.called()),
            ),
        };
        found.push(at_plan(
            level,
            plan,
            &path,
            what,
            "lay it in a frame or a join, or leave it out",
        ));
    }
}
