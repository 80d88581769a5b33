//! The line that is being typed: characters, rubbing out, pasted text.

use super::super::effect::Effect;
use super::super::keys::ModeKind;
use super::super::mode::Mode;
use super::super::model::{Model, Tone};
use super::super::msg::Key;
use super::step;

/// Longest line a smith may write.
const LINE: usize = 200;

pub(super) fn type_in(model: &mut Model, key: Key) -> Vec<Effect> {
    let Key::Char(c) = key else { return Vec::new() };
    let no_number = model.entry.is_empty() && step::asks_no_number(model);
    match &mut model.mode {
        Mode::Reason { text, .. } | Mode::Line { text } | Mode::Number { text, .. } => {
            // A line does not begin with room: SPACE pressed to go on must not hide the numbered answers.
            let leads = text.is_empty() && c == ' ';
            if text.chars().count() < LINE && !c.is_control() && !leads {
                text.push(c);
            }
        }
        _ if no_number => {
            model.say(
                Tone::Caution,
                "this item asks for no number: SPACE when it is so",
            );
        }
        _ => {
            // A space belongs to `1 3/8`; where fractions are not usual it takes the value.
            let fraction_may_follow = model.units() == crate::units::Units::Inch
                && !model.entry.is_empty()
                && model.entry.chars().all(|c| c.is_ascii_digit());
            if c == ' ' && !fraction_may_follow {
                return step::accept(model);
            }
            model.insisted = None;
            if model.entry.len() < 24 {
                model.entry.push(c);
            }
        }
    }
    Vec::new()
}

pub(super) fn rub(model: &mut Model) -> Vec<Effect> {
    match &mut model.mode {
        Mode::Reason { text, .. } | Mode::Line { text } | Mode::Number { text, .. } => {
            if text.pop().is_none() {
                model.mode = Mode::Step;
            }
        }
        _ => {
            model.entry.pop();
            model.insisted = None;
        }
    }
    Vec::new()
}

/// Pasted text goes only into a line that is being typed, and never confirms anything.
pub(super) fn paste(model: &mut Model, text: &str) {
    let kind = model.mode_kind();
    for c in text.chars().take(LINE) {
        match kind {
            ModeKind::Reason | ModeKind::Line if !c.is_control() => {
                type_in(model, Key::Char(c));
            }
            ModeKind::Entry if c.is_ascii_digit() || matches!(c, '.' | ',' | '/') => {
                type_in(model, Key::Char(c));
            }
            _ => {}
        }
    }
}
