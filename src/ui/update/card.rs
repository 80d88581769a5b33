//! Answers on the card: a press, a number, a choice, the rest of it together.

use super::super::choices::item;
use super::super::effect::Effect;
use super::super::entry::asked;
use super::super::model::mode::{Mode, Purpose, Then};
use super::super::model::{Model, Tone};
use super::super::msg::Key;
use super::{open, write};
use crate::journal::{Event, Resolution};
use crate::plan::{Answer, Step};
use crate::session::{ItemView, Refused};
use crate::ui::rest;

/// Space on the card: settles what asks for nothing but a press.
pub(super) fn settle(model: &mut Model, step: &Step) -> Vec<Effect> {
    if model.asks_rest() {
        return settle_rest(model, step);
    }
    let Some(item) = item(model) else {
        return Vec::new();
    };
    match &item.caution.answer {
        Answer::Done => answer(model, step, &item, "done".to_owned()),
        Answer::Number { ask, of } => {
            let asked = asked(ask, of.unit(model.units()));
            model.say(Tone::Caution, format!("type the {asked}, then ENTER"));
            Vec::new()
        }
        Answer::Choice(words) => {
            let keys = match words.as_slice() {
                [only] => format!("press 1 for \"{only}\""),
                _ => format!("press a number from 1 to {}", words.len()),
            };
            let text = format!("+ does not settle this one: {keys}");
            model.say(Tone::Caution, text);
            Vec::new()
        }
        Answer::Watch => Vec::new(),
    }
}

/// Everything of the rest that stands whole on the screen.
fn settle_rest(model: &mut Model, step: &Step) -> Vec<Effect> {
    let card = &model.situation.card;
    let items = rest::shown(model, model.size)
        .into_iter()
        .filter_map(|at| card.items.get(at))
        .map(|item| {
            let how = Resolution::Answered(item.joint_answer());
            (item.caution.id.clone(), how)
        })
        .collect();
    let step = step.id.clone();
    write(
        model,
        vec![Event::Cautions { step, items }],
        Then::ClearEntry,
    )
}

fn answer(model: &mut Model, step: &Step, item: &ItemView, value: String) -> Vec<Effect> {
    let out = item.caution.out.contains(&value);
    let mut events = vec![Event::Caution {
        step: step.id.clone(),
        item: item.caution.id.clone(),
        how: Resolution::Answered(value),
    }];
    let watch_due = model.situation.card.watch().is_some_and(ItemView::blocks);
    if out && watch_due && model.session.watch.is_none() {
        let span = model.settings.watch;
        events.push(Event::WatchBegan { span });
    }
    write(model, events, Then::ClearEntry)
}

/// A digit on an item with a few answers.
pub(super) fn choose_answer(model: &mut Model, key: Key) -> Vec<Effect> {
    let Some(step) = model.session.current().cloned() else {
        return Vec::new();
    };
    if let Key::Char(c) = key {
        model.entry = c.to_string();
    }
    let effects = accept_answer(model, &step);
    if effects.is_empty() {
        model.entry.clear();
    }
    effects
}

/// Takes what was typed for the current item.
pub(super) fn accept_answer(model: &mut Model, step: &Step) -> Vec<Effect> {
    let typed = model.entry.trim().to_owned();
    if typed.is_empty() {
        return settle(model, step);
    }
    let Some(item) = item(model) else {
        return Vec::new();
    };
    let value = match &item.caution.answer {
        Answer::Done | Answer::Watch => {
            model.say(
                Tone::Caution,
                "this item asks for no number: clear with *, then +",
            );
            return Vec::new();
        }
        Answer::Number { .. } => match model.session.read_answer(&item.caution, &typed) {
            Ok(value) => value,
            Err(Refused::Unread(why)) => {
                model.say(Tone::Caution, why.to_string());
                return Vec::new();
            }
            Err(why) => {
                model.say(Tone::Stop, why.to_string());
                model.entry.clear();
                if !matches!(why, Refused::Stop(..)) {
                    return vec![Effect::Bell];
                }
                // What was read stays on record, the next reading beside it.
                let event = Event::Note {
                    step: step.id.clone(),
                    text: format!("refused by the card: {why}"),
                };
                let mut effects = write(model, vec![event], Then::Show);
                effects.push(Effect::Bell);
                return effects;
            }
        },
        Answer::Choice(words) => {
            let chosen = typed.parse::<usize>().ok().and_then(|n| n.checked_sub(1));
            match chosen.and_then(|n| words.get(n)) {
                Some(word) => word.clone(),
                None => {
                    model.say(
                        Tone::Caution,
                        match words.len() {
                            1 => format!("'{typed}' is no answer here: press 1"),
                            many => format!("'{typed}' is no answer here: press 1 to {many}"),
                        },
                    );
                    return Vec::new();
                }
            }
        }
    };
    answer(model, step, &item, value)
}

/// Says what stops the step. The fire watch can be passed over at once, with a typed reason.
pub(super) fn blocked(model: &mut Model) -> Option<Vec<Effect>> {
    let card = model.session.card();
    let item = card.blocker()?;
    if item.caution.answer != Answer::Watch {
        model.say(Tone::Stop, format!("first: {}", item.caution.text));
        return Some(Vec::new());
    }
    let purpose = Purpose::SkipWatch(item.caution.id.clone());
    Some(open(
        model,
        Mode::Reason {
            purpose,
            text: String::new(),
        },
    ))
}
