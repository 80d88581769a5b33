//! Forecasts, what the shop teaches, ways out: pages whose lines are chosen by number.

use std::sync::Arc;

use super::super::choices::{NUMBERED, learnt};
use super::super::effect::Effect;
use super::super::model::mode::{Mode, Numeral, Page, Then};
use super::super::model::{Model, Tone};
use super::super::msg::Key;
use super::{open, page, write};
use crate::journal::Event;
use crate::planner::foresight::Foresight;
use crate::planner::learn::{BookEdit, ShopBook, Topic, accept};
use crate::planner::write::write as plan_text;
use crate::session::Session;
use crate::units::parse;

/// Opens the ways out, without a cut that was asked about before.
pub(super) fn ways_out(model: &mut Model) -> Vec<Effect> {
    if model.ahead.cut.take().is_some() {
        model.look_again();
    }
    page(model, Page::WaysOut)
}

/// The metal is another: later sizes are held against those before.
pub(super) fn moved(model: &mut Model) {
    model.ahead.cut = None;
    model.look_again();
    let changed = model.later_changes();
    if changed.is_empty() {
        return;
    }
    if model.reply.is_none() {
        let text = format!(
            "later targets changed: {} (menu * 0 2 lists them)",
            changed.len()
        );
        model.say(Tone::Plain, text);
    }
    model.ahead.changed = changed;
}

/// An answer from beside the screen; an older one never takes the place of a newer.
pub(super) fn foreseen(model: &mut Model, found: Foresight) {
    let held = model.ahead.known.as_ref();
    if held.is_none_or(|held| held.version <= found.version) {
        model.ahead.known = Some(Arc::new(found));
    }
}

/// The folder was read.
pub(super) fn shop(
    model: &mut Model,
    others: Vec<Session>,
    book: Result<ShopBook, String>,
    trouble: &[String],
) {
    model.ahead.others = Arc::new(others);
    match book {
        Ok(book) => model.ahead.book = book,
        Err(why) => {
            let text = format!("{why}. What is pinned there does not count until it is mended");
            model.put_up("shop", Tone::Caution, text);
        }
    }
    if let Some(first) = trouble.first() {
        let more = match trouble.len() {
            1 => String::new(),
            many => format!(" (and {} more)", many - 1),
        };
        let text = format!("Not learnt from: {first}{more}");
        model.put_up("journals", Tone::Caution, text);
    }
    model.look_again();
}

/// The shop file was changed, or not.
pub(super) fn saved(model: &mut Model, result: Result<ShopBook, String>) {
    match result {
        Ok(book) => {
            model.take_down("shop");
            model.ahead.book = book;
            model.look_again();
            model.say(Tone::Plain, "kept in the shop file");
        }
        Err(why) => model.put_up("shop", Tone::Stop, format!("NOT SAVED: {why}")),
    }
}

/// A digit on a page.
pub(super) fn choose(model: &mut Model, key: Key) -> Vec<Effect> {
    let Key::Char(c) = key else { return Vec::new() };
    let Some(digit) = c.to_digit(10).map(|digit| digit as usize) else {
        return Vec::new();
    };
    let Mode::Page { page: shown, top } = &mut model.mode else {
        return Vec::new();
    };
    match shown.clone() {
        Page::Shop { from } => {
            let all = learnt(model);
            let Some(at) = digit.checked_sub(1) else {
                let next = from + NUMBERED;
                let from = if next < all.len() { next } else { 0 };
                return page(model, Page::Shop { from });
            };
            match all.get(from + at) {
                Some(one) => page(model, Page::Topic(one.topic)),
                None => Vec::new(),
            }
        }
        Page::Shelf if digit > 0 => super::shelf::keep(model, digit - 1),
        Page::WaysOut if digit > 0 => take(model, digit - 1),
        Page::Bars if digit > 0 => {
            let step = model.session.may_turn_to().nth(digit - 1);
            match step.map(|step| step.id.clone()) {
                Some(step) => write(model, vec![Event::TakenUp { step }], Then::ToStep),
                None => Vec::new(),
            }
        }
        Page::Topic(topic) => with_topic(model, topic, digit),
        Page::Doubt if digit > 0 => super::doubt::choose(model, digit - 1),
        _ if digit == 0 => {
            *top = (*top + usize::from(model.size.1.saturating_sub(4)).max(1)).min(400);
            Vec::new()
        }
        _ => {
            model.say(Tone::Plain, "nothing to choose here; + closes the page");
            Vec::new()
        }
    }
}

/// Takes one way out: the smith's decision and the plan it brings, in the journal together.
fn take(model: &mut Model, at: usize) -> Vec<Effect> {
    if model.is_foreseeing() {
        model.say(Tone::Plain, "being worked out anew; look again");
        return Vec::new();
    }
    let known = model.ahead.known.clone();
    let Some(way) = known.as_ref().and_then(|known| known.ways.get(at)) else {
        model.say(Tone::Plain, "no way has that number");
        return Vec::new();
    };
    let mut lines = vec![format!("decided: {}", way.decision())];
    lines.extend(way.changes.iter().cloned());
    lines.push("- in the step takes it back".to_owned());
    decide(model, way.decision(), way.text.clone(), lines)
}

fn with_topic(model: &mut Model, topic: Topic, digit: usize) -> Vec<Effect> {
    let learned = learnt(model).into_iter().find(|one| one.topic == topic);
    match digit {
        1 => match learned {
            Some(one) => edit(model, BookEdit::Pin(topic, one.in_force())),
            None => Vec::new(),
        },
        2 => open(
            model,
            Mode::Number {
                what: Numeral::Pin(topic),
                text: String::new(),
            },
        ),
        3 => edit(model, BookEdit::LetGo(topic)),
        4 => edit(model, BookEdit::Afresh(topic, model.now)),
        5 => page(model, Page::Shop { from: 0 }),
        _ => Vec::new(),
    }
}

/// Asks the shell to change the shop file; nothing changes here until it is on the disk.
fn edit(model: &mut Model, edit: BookEdit) -> Vec<Effect> {
    if model.following.is_some() {
        return super::follow::refuse(model);
    }
    vec![Effect::EditShop(edit)]
}

/// Enter on a number that is asked.
pub(super) fn keep_number(model: &mut Model) -> Vec<Effect> {
    let Mode::Number { what, text } = model.mode.clone() else {
        return Vec::new();
    };
    let typed = text.trim();
    if typed.is_empty() {
        return open(model, Mode::Step);
    }
    match what {
        Numeral::Bands => super::photo::corrected(model, typed),
        Numeral::CutBack => {
            let by = parse::quantity::<crate::units::Mm>(&parse::spelt(typed), model.units());
            match by {
                Ok(by) if by.is_positive() && by < model.session.billet.bar.length => {
                    model.ahead.cut = Some(by);
                    model.look_again();
                    page(model, Page::WaysOut)
                }
                Ok(_) => {
                    let bar = model.units().length(model.session.billet.bar.length);
                    model.say(Tone::Caution, format!("the piece is {bar}; type less"));
                    Vec::new()
                }
                Err(why) => {
                    model.say(Tone::Caution, why.to_string());
                    Vec::new()
                }
            }
        }
        Numeral::Pin(topic) => {
            let value = match topic.read(typed, model.units()) {
                Ok(value) => value,
                Err(why) => {
                    model.say(Tone::Caution, why.to_string());
                    return Vec::new();
                }
            };
            model.mode = Mode::Page {
                page: Page::Topic(topic),
                top: 0,
            };
            edit(model, BookEdit::Pin(topic, value))
        }
    }
}

/// Puts the shop's own figures into the plan, as the smith's decision.
pub(super) fn use_shop(model: &mut Model) -> Vec<Effect> {
    let Some(known) = model.ahead.known.clone() else {
        model.say(Tone::Plain, "the journals are still being read");
        return open(model, Mode::Step);
    };
    let (plan, said) = accept(&model.session.plan, &known.lessons);
    if said.is_empty() {
        model.say(
            Tone::Plain,
            "the plan has your shop's figures already, or nothing was measured yet",
        );
        return open(model, Mode::Step);
    }
    let what = format!("use my shop's figures: {}", said.join("; "));
    decide(model, what, plan_text(&plan, &[]), said)
}

/// Writes a decision and the plan it brings, together.
pub(super) fn decide(
    model: &mut Model,
    what: String,
    text: String,
    changes: Vec<String>,
) -> Vec<Effect> {
    let Some(step) = model.session.current().map(|step| step.id.clone()) else {
        return open(model, Mode::Step);
    };
    if let Err(found) = crate::plan::read(&text) {
        let why = found.first().map(ToString::to_string).unwrap_or_default();
        model.say(Tone::Caution, format!("that plan cannot be read: {why}"));
        return open(model, Mode::Step);
    }
    let hash = crc32fast::hash(text.as_bytes());
    let events = vec![Event::Decided { step, what }, Event::Plan { hash, text }];
    write(model, events, Then::Changes(changes))
}
