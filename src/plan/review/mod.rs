//! The walked plan against its goal, its steels and its machine.

mod bars;
mod found;
mod goal;
mod heat;
mod machine;
mod quench;
mod spread;
mod window;

use std::borrow::Cow;

use super::walk::place_of;
use super::{Diagnostic, Level, Plan, Step, Walk};
use crate::billet::{Billet, Kind};

/// What is wrong or odd beside the moves themselves. Heats are judged step by step; goal and machine
/// only as far as the plan could be walked.
pub(super) fn review(plan: &Plan, walk: &Walk) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    heat::review(plan, walk, &mut found);
    window::review(plan, walk, &mut found);
    machine::review(plan, walk, &mut found);
    spread::review(plan, walk, &mut found);
    quench::review(plan, &mut found);
    found::review(plan, &mut found);
    if walk.rows.len() == plan.steps.len() {
        goal::review(plan, walk, &mut found);
        bars::review(plan, walk, &mut found);
    }
    found
}

/// A finding at a key of a step.
fn at_step(
    level: Level,
    step: &Step,
    key: &'static str,
    what: String,
    remedy: impl Into<String>,
) -> Diagnostic {
    Diagnostic {
        level,
        place: place_of(step, Some(key)),
        step: Some(step.id.0.clone()),
        key: Some(key.to_owned()),
        what,
        remedy: remedy.into(),
    }
}

/// A finding at a key of goal, shop or stack, as `goal.bands`.
fn at_plan(
    level: Level,
    plan: &Plan,
    path: &str,
    what: String,
    remedy: impl Into<String>,
) -> Diagnostic {
    let (table, key) = path.split_once('.').unwrap_or((path, ""));
    let place = plan.places.get(path).or_else(|| plan.places.get(table));
    Diagnostic {
        level,
        place: place.unwrap_or_default(),
        step: None,
        key: Some(if key.is_empty() { table } else { key }.to_owned()),
        what,
        remedy: remedy.into(),
    }
}

/// The billet before a step of the walk, that step's bar in hand.
fn before<'w>(
    plan: &Plan,
    walk: &'w Walk,
    first: &'w Billet,
    at: usize,
) -> Option<Cow<'w, Billet>> {
    let billet = match at.checked_sub(1) {
        None => first,
        Some(last) => walk.rows.get(last).map(|row| &row.billet)?,
    };
    Some(match plan.steps.get(at) {
        Some(step) => billet.in_hand(&step.bar),
        None => Cow::Borrowed(billet),
    })
}

/// True for the kinds that make a blade of a blank.
fn makes_blade(kind: Kind) -> bool {
    matches!(kind, Kind::Forge | Kind::RoughGrind | Kind::FinishGrind)
}
