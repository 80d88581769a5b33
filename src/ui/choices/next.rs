//! What can be done next in the step in hand.

use super::super::model::Model;
use super::super::model::mode::Mode;
use crate::billet::Move;
use crate::journal::Fire;
use crate::plan::Step;
use crate::session::{ItemView, make};

/// Dips of an etch that a clock is started for before space looks the step over. Common practice, no
/// source: four to six.
const DIPS: u32 = 5;

/// What space does in the step in hand, in a few words; none where the table's words say it.
#[must_use]
pub(in crate::ui) fn next_words(model: &Model) -> Option<&'static str> {
    if model.mode != Mode::Step {
        return None;
    }
    if model.alarm().is_some() {
        return Some("answer the alarm");
    }
    let step = model.session.current()?;
    if model.card_asks() {
        return None;
    }
    if step.kind().is_hot() && step.heats > 0 {
        let other = model.session.comes_out(model.now);
        return Some(match (model.session.piece(model.now), other) {
            (Fire::In, _) => "out of the fire",
            (Fire::Cold | Fire::Out, Some(_)) => "in, and the other out",
            (Fire::Cold, None) => "into the fire",
            (Fire::Out, None) => "back into the fire",
        });
    }
    if let Some((_, cycles)) = cycles(step) {
        return Some(if clock_runs(model) {
            "the clock runs"
        } else if model.session.step.timers.len() < cycles as usize {
            "start the clock"
        } else {
            "finish step"
        });
    }
    match &step.made {
        Move::EndDay if watch_due(model) => Some(match model.session.watch {
            None => "start the fire watch",
            Some(_) => "the fire watch runs",
        }),
        _ if looks_over(model) => Some("look it over"),
        _ => Some("finish step"),
    }
}

/// A clock of this step was started and not answered.
pub(in crate::ui) fn clock_runs(model: &Model) -> bool {
    let timers = &model.session.step.timers;
    timers.iter().any(|(_, _, _, answered)| !answered)
}

/// The card asks for a fire watch that is neither kept nor passed over.
pub(in crate::ui) fn watch_due(model: &Model) -> bool {
    let watch = model.situation.card.watch();
    watch.is_some_and(ItemView::blocks)
}

/// What the clocks of a step count, and how many there are.
pub(in crate::ui) fn cycles(step: &Step) -> Option<(&'static str, u32)> {
    match step.made {
        Move::Temper { cycles } => Some(("temper", cycles)),
        Move::Etch if step.soak.is_some() => Some(("dip", DIPS)),
        _ => None,
    }
}

/// True when there is something to look at before the step is done: a size that the plan names and
/// nobody read, fewer heats than planned, metal that does not go as planned, something put off.
pub(in crate::ui) fn looks_over(model: &Model) -> bool {
    let session = &model.session;
    let Some(step) = session.current() else {
        return false;
    };
    let reading = &session.step.reading;
    let made = make(&session.plan, step, &session.billet, reading);
    let sizes = &model.situation.bar.sizes;
    sizes
        .iter()
        .any(|field| field.named && field.read.is_none())
        || session.step.heats < step.heats
        || session.without_heat().is_some()
        || made.drift.is_some()
        || !made.warnings.is_empty()
        || model.situation.card.deferred() > 0
}
