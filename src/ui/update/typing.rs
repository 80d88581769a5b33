//! The line that is being typed: characters, rubbing out, pasted text.

use super::super::choices::{asks_no_number, asks_number};
use super::super::effect::Effect;
use super::super::entry::{current_field, echo};
use super::super::keys::ModeKind;
use super::super::model::mode::Mode;
use super::super::model::{Model, Tone};
use super::super::msg::Key;
use super::step;
use crate::units::{parse, show};

/// Longest line a smith may write.
const LINE: usize = 200;
/// Longest number.
const ENTRY: usize = 24;

pub(super) fn type_in(model: &mut Model, key: Key) -> Vec<Effect> {
    let Key::Char(c) = key else { return Vec::new() };
    let no_number = model.entry.is_empty() && asks_no_number(model);
    match &mut model.mode {
        // Back, as on every other page.
        Mode::Reason { text, .. } | Mode::Line { text } if text.is_empty() && c == '-' => {
            model.mode = Mode::Step;
        }
        Mode::Reason { text, .. } | Mode::Line { text } | Mode::Number { text, .. } => {
            // A line does not begin with a key that goes on: it must not hide the numbered answers.
            let leads = text.is_empty() && matches!(c, ' ' | '+' | '*');
            if text.chars().count() < LINE && !c.is_control() && !leads {
                text.push(c);
            }
        }
        _ if no_number => {
            model.say(Tone::Caution, "this asks for no number: + when done");
        }
        _ => {
            // A space belongs to `1 3/8`; where fractions are not usual it takes the value.
            let fraction_may_follow = model.units() == crate::units::Units::Inch
                && !model.entry.is_empty()
                && model.entry.chars().all(|c| c.is_ascii_digit());
            if c == ' ' && !fraction_may_follow {
                return step::accept(model);
            }
            type_anew(model);
            if model.entry.len() < ENTRY {
                model.entry.push(c);
            }
        }
    }
    Vec::new()
}

/// A number that was too far off to be taken by one more press gives way to the next one that is typed.
fn type_anew(model: &mut Model) {
    let Some((text, anew)) = &model.insisted else {
        return;
    };
    if *anew || *text != model.entry {
        return;
    }
    let far_off = current_field(model)
        .and_then(|field| echo(model, field).ok())
        .is_some_and(|echo| echo.twice);
    if far_off {
        model.insisted = Some((std::mem::take(&mut model.entry), true));
    }
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
            emptied(model);
        }
    }
    Vec::new()
}

/// All of the number was taken back by hand: what is typed now is typed anew.
fn emptied(model: &mut Model) {
    if model.entry.is_empty()
        && let Some((_, anew)) = &mut model.insisted
    {
        *anew = true;
    }
}

pub(super) fn clear(model: &mut Model) {
    model.entry.clear();
    emptied(model);
}

/// Pasted text goes only into a line that is being typed, or where a number waits; it never confirms
/// anything.
pub(super) fn paste(model: &mut Model, text: &str) {
    match model.mode_kind() {
        ModeKind::Reason | ModeKind::Line => {
            let mut left = text.chars().filter(|c| !c.is_control());
            for c in left.by_ref().take(LINE) {
                type_in(model, Key::Char(c));
            }
            if left.next().is_some() {
                let text = format!("the pasted text was cut at {LINE} characters");
                model.say(Tone::Caution, text);
            }
        }
        _ if waits_for_number(model) && parse::number(text).is_ok() => {
            model.insisted = None;
            model.entry.clear();
            model.entry.push_str(&show::plain(text, ENTRY));
        }
        _ => model.say(Tone::Caution, "pasted text is not taken here"),
    }
}

/// What a gauge gives fills the field that waits and is taken like a typed number. It settles nothing
/// that asks for another kind of answer.
pub(super) fn reading(model: &mut Model, text: Option<String>) -> Vec<Effect> {
    if model.pending.is_some() {
        return Vec::new();
    }
    let Some(text) = text else {
        model.entry.clear();
        let words = "the gauge's reading came in pieces and was not taken: send it again";
        model.say(Tone::Stop, words);
        return vec![Effect::Bell];
    };
    let text = show::plain(&text, ENTRY);
    model.reply = None;
    let waits = waits_for_number(model);
    match &mut model.mode {
        Mode::Number { text: typed, .. } => *typed = text,
        Mode::Line { .. } | Mode::Reason { .. } => {
            for c in text.chars() {
                type_in(model, Key::Char(c));
            }
            return Vec::new();
        }
        _ if waits => model.entry = text,
        _ => {
            let words = format!("the gauge sent {text}: nothing waits for a number here");
            model.say(Tone::Caution, words);
            return Vec::new();
        }
    }
    step::accept(model)
}

/// The step in hand, or the item of its card, takes a number.
fn waits_for_number(model: &Model) -> bool {
    let working = matches!(model.mode, Mode::Step) && !model.session.is_finished();
    working
        && if model.card_asks() {
            asks_number(model)
        } else {
            current_field(model).is_some()
        }
}
