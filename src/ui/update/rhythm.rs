//! What a key is used for, so that a rhythm of one key does not run from one use into another.

use super::super::keys::Action;
use super::super::model::mode::Mode;
use super::super::model::{Model, Use};
use super::super::msg::Key;

/// What a key is used for in a step; none elsewhere.
pub(super) fn used_for(model: &Model, act: Action, choosing: bool) -> Option<Use> {
    if model.mode != Mode::Step {
        return None;
    }
    match act {
        Action::Type if choosing => Some(Use::Choice),
        Action::Type => Some(Use::Value),
        Action::Next | Action::Accept if !model.entry.is_empty() => None,
        Action::Next | Action::Accept if model.card_asks() => Some(Use::Card),
        Action::Next | Action::Accept => Some(Use::Work),
        _ => None,
    }
}

/// True when the same key would go on from an answer into a value, or from the card into the work.
pub(super) fn runs_on(before: Option<(Key, Use)>, key: Key, now: Option<Use>) -> bool {
    let before = before
        .filter(|(held, _)| *held == key)
        .map(|(_, used)| used);
    matches!(
        (before, now),
        (Some(Use::Choice), Some(Use::Value))
            | (Some(Use::Value), Some(Use::Choice))
            | (Some(Use::Card), Some(Use::Work))
    )
}
