//! Heats against the steels of the job, and the order of hardening and tempering.

use super::at_step;
use crate::billet::Kind;
use crate::plan::{Diagnostic, Level, Plan, Step};

pub(super) fn review(plan: &Plan, found: &mut Vec<Diagnostic>) {
    for step in &plan.steps {
        too_hot(plan, step, found);
        if step.kind() == Kind::Harden {
            hardening(plan, step, found);
        }
    }
    left_hard(plan, found);
}

/// Above where a steel of the job burns, or above what the shop lets its fire get to.
fn too_hot(plan: &Plan, step: &Step, found: &mut Vec<Diagnostic>) {
    let Some(window) = step.window else {
        return;
    };
    let high = plan.units.temperature(window.high);
    let burns = plan
        .steels
        .iter()
        .filter_map(|steel| steel.steel.burning.map(|at| (at, steel)))
        .filter(|(at, _)| window.high.0 >= at.0)
        .min_by(|a, b| a.0.0.total_cmp(&b.0.0));
    if let Some((at, steel)) = burns {
        found.push(at_step(
            Level::Warning,
            step,
            "window",
            format!(
                "up to '{high}', and {} burns from about {}",
                steel.steel.grade,
                plan.units.temperature(at)
            ),
            "stay well under it",
        ));
    } else if step.kind().is_hot() && window.high.0 > plan.shop.fire.0 {
        found.push(at_step(
            Level::Warning,
            step,
            "window",
            format!(
                "up to '{high}', and the shop's fire stops at {}",
                plan.units.temperature(plan.shop.fire)
            ),
            "lower the window or raise fire in [shop]",
        ));
    }
}

/// A hardening window that no steel of the job has.
fn hardening(plan: &Plan, step: &Step, found: &mut Vec<Diagnostic>) {
    let Some(window) = step.window else {
        return;
    };
    let mut own = plan
        .steels
        .iter()
        .filter_map(|steel| steel.steel.austenitise.map(|at| (at, steel)))
        .peekable();
    let Some((first, steel)) = own.peek().copied() else {
        return;
    };
    let meets = own.any(|(at, _)| window.low.0 <= at.high.0 && window.high.0 >= at.low.0);
    if !meets {
        let text = |at| plan.units.temperature(at);
        found.push(at_step(
            Level::Warning,
            step,
            "window",
            format!(
                "'{} to {}' lies outside every hardening window; {} has {} to {}",
                text(window.low),
                text(window.high),
                steel.steel.grade,
                text(first.low),
                text(first.high)
            ),
            "take the mill's sheet of the steel that makes the edge",
        ));
    }
}

/// Hardened steel that waits: brittle, it cracks overnight.
fn left_hard(plan: &Plan, found: &mut Vec<Diagnostic>) {
    for (at, step) in plan.steps.iter().enumerate() {
        if step.kind() != Kind::Harden {
            continue;
        }
        let next = plan.steps.get(at + 1);
        if next.is_none_or(|next| next.kind() != Kind::Temper) {
            found.push(at_step(
                Level::Warning,
                step,
                "kind",
                "the steel is left hard and brittle".to_owned(),
                "put a step of kind temper right behind it",
            ));
        }
    }
}
