//! The step in hand: card, fire, clocks, readings, done.

use super::super::effect::Effect;
use super::super::entry::{asked, current_field, echo};
use super::super::mode::{Mode, Page, Purpose, Then};
use super::super::model::{Model, Tone};
use super::super::msg::Key;
use super::{ahead, menu, open, plan_file, write};
use crate::billet::{Dimension, Kind, Move};
use crate::journal::{Event, Fire, Resolution};
use crate::plan::{Answer, Step};
use crate::session::CountdownKind;
use crate::units::{parse, show};

/// Space: the next thing.
pub(super) fn next(model: &mut Model) -> Vec<Effect> {
    match &model.mode {
        Mode::Legal => {
            if model.session.legal_read {
                return open(model, Mode::Step);
            }
            write(model, vec![Event::LegalRead], Then::ToStep)
        }
        Mode::Resume => open(model, Mode::Step),
        Mode::AskPlan { .. } => plan_file::take_asked(model),
        Mode::Review => finish(model),
        Mode::Step => next_in_step(model),
        _ => Vec::new(),
    }
}

fn next_in_step(model: &mut Model) -> Vec<Effect> {
    if let Some((kind, name)) = model.alarm() {
        return answer_alarm(model, kind, name);
    }
    let Some(step) = model.session.current().cloned() else {
        return Vec::new();
    };
    if model.card_asks() {
        return settle(model, &step);
    }
    if step.kind().is_hot() && step.heats > 0 {
        return fire(model, &step);
    }
    if let Some(timed) = cycles(&step) {
        return cycle(model, &step, timed);
    }
    match &step.made {
        Move::EndDay if model.session.watch.is_none() && !watch_kept(model) => {
            let span = model.settings.watch;
            write(model, vec![Event::WatchBegan { span }], Then::Show)
        }
        _ => review(model),
    }
}

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
        return Some(match model.session.piece(model.now) {
            Fire::Cold => "into the fire",
            Fire::In => "out of the fire",
            Fire::Out => "back into the fire",
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
        Move::EndDay if model.session.watch.is_none() && !watch_kept(model) => {
            Some("start the fire watch")
        }
        _ => Some("finish step"),
    }
}

/// A clock of this step was started and not answered.
fn clock_runs(model: &Model) -> bool {
    let timers = &model.session.step.timers;
    timers.iter().any(|(_, _, _, answered)| !answered)
}

/// The fire watch of this end of day has been kept to its end or answered for.
fn watch_kept(model: &Model) -> bool {
    model.session.log().iter().rev().take(400).any(|entry| {
        matches!(&entry.event, Event::TimerDone { name, step }
            if name == "fire watch" && model.session.current().is_some_and(|s| s.id == *step))
    })
}

fn answer_alarm(model: &mut Model, kind: CountdownKind, name: String) -> Vec<Effect> {
    let Some(step) = model.session.current().map(|step| step.id.clone()) else {
        // After the last step only the fire watch can still run.
        let last = model.session.done.last().map(|done| done.step.id.clone());
        return match last {
            Some(step) => write(model, vec![Event::TimerDone { step, name }], Then::Show),
            None => Vec::new(),
        };
    };
    let words = match kind {
        CountdownKind::FireWatch => "fire watch kept",
        _ => "clock answered",
    };
    model.say(Tone::Plain, words);
    write(model, vec![Event::TimerDone { step, name }], Then::Show)
}

/// Space on the card: settles an item that asks for nothing but a press.
fn settle(model: &mut Model, step: &Step) -> Vec<Effect> {
    let card = model.session.card();
    let Some(item) = model.item().and_then(|at| card.items.get(at)) else {
        return Vec::new();
    };
    match &item.caution.answer {
        Answer::Done => {
            let event = Event::Caution {
                step: step.id.clone(),
                item: item.caution.id.clone(),
                how: Resolution::Answered("done".to_owned()),
            };
            write(model, vec![event], Then::ClearEntry)
        }
        Answer::Number { ask, unit } => {
            model.say(
                Tone::Caution,
                format!("type the {}, then ENTER", asked(ask, unit)),
            );
            Vec::new()
        }
        Answer::Choice(words) => {
            let keys = match words.as_slice() {
                [only] => format!("press 1 for \"{only}\""),
                _ => format!("press a number from 1 to {}", words.len()),
            };
            let text = format!("SPACE does not settle this one: {keys}");
            model.say(Tone::Caution, text);
            Vec::new()
        }
    }
}

/// Why a count of pieces is not the plan's, or the billet's.
fn miscounted(model: &Model, step: &Step, item: &str, counted: f64) -> Option<String> {
    if item != "stack.count" {
        return None;
    }
    let billet = &model.session.billet;
    let there = match step.kind() {
        Kind::Stack => f64::from(u32::try_from(model.plan().stack.len()).unwrap_or(u32::MAX)),
        _ => f64::from(billet.pieces),
    };
    (counted - there).abs().gt(&0.5).then(|| {
        format!(
            "{} counted, {} expected: count again, or pass over the item with a reason",
            show::trimmed(counted, 0),
            show::trimmed(there, 0)
        )
    })
}

/// What the current item of the card wants for an answer.
fn wanted(model: &Model) -> Option<Answer> {
    let card = model.session.card();
    card.current().filter(|_| model.mode == Mode::Step)?;
    let item = card.items.get(model.item()?)?;
    Some(item.caution.answer.clone())
}

/// True when the card waits for a press and for no number.
pub(super) fn asks_no_number(model: &Model) -> bool {
    model.card_asks() && wanted(model) == Some(Answer::Done)
}

/// True when the card waits for a number.
pub(super) fn asks_number(model: &Model) -> bool {
    matches!(wanted(model), Some(Answer::Number { .. }))
}

/// True when a digit answers the current item at once.
pub(in crate::ui) fn chooses(model: &Model) -> bool {
    model.entry.is_empty()
        && matches!(wanted(model), Some(Answer::Choice(words)) if words.len() <= 9)
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

/// Space in hot work: into the fire, out of the fire, back into the fire.
fn fire(model: &mut Model, step: &Step) -> Vec<Effect> {
    if let Some(item) = model.session.card().blocker() {
        let text = format!("first: {}", item.caution.text);
        model.say(Tone::Stop, text);
        return Vec::new();
    }
    let now = match model.session.piece(model.now) {
        Fire::Cold | Fire::Out => Fire::In,
        Fire::In => Fire::Out,
    };
    write(
        model,
        vec![Event::Fire {
            step: step.id.clone(),
            now,
        }],
        Then::Show,
    )
}

/// Space in a step of timed cycles: starts the next one's clock, then the review.
fn cycle(model: &mut Model, step: &Step, (word, cycles): (&str, u32)) -> Vec<Effect> {
    if clock_runs(model) {
        model.say(
            Tone::Plain,
            "the clock runs; ENTER to end the step before it is over",
        );
        return Vec::new();
    }
    let run = model.session.step.timers.len();
    let Some(span) = model.session.soak().filter(|_| run < cycles as usize) else {
        return review(model);
    };
    let event = Event::Timer {
        step: step.id.clone(),
        name: format!("{word} {}", run + 1),
        span,
    };
    write(model, vec![event], Then::Show)
}

/// Dips of an etch that a clock is started for before space looks the step over. Common practice, no
/// source: four to six.
const DIPS: u32 = 5;

/// What the clocks of a step count, and how many there are.
fn cycles(step: &Step) -> Option<(&'static str, u32)> {
    match step.made {
        Move::Temper { cycles } => Some(("temper", cycles)),
        Move::Etch if step.soak.is_some() => Some(("dip", DIPS)),
        _ => None,
    }
}

/// Looks the step over before it is done.
fn review(model: &mut Model) -> Vec<Effect> {
    if let Some(item) = model.session.card().blocker() {
        let text = format!("first: {}", item.caution.text);
        model.say(Tone::Stop, text);
        return Vec::new();
    }
    open(model, Mode::Review)
}

/// The step is done.
fn finish(model: &mut Model) -> Vec<Effect> {
    let Some(step) = model.session.current().cloned() else {
        return open(model, Mode::Step);
    };
    if let Some(lacking) = model.session.lacking(model.now) {
        let purpose = Purpose::Early(lacking);
        return open(
            model,
            Mode::Reason {
                purpose,
                text: String::new(),
            },
        );
    }
    write(model, vec![Event::Done { step: step.id }], Then::ToStep)
}

/// Enter: takes what is typed; with nothing typed, looks the step over.
pub(super) fn accept(model: &mut Model) -> Vec<Effect> {
    match &model.mode {
        Mode::Leave => return super::leave(model),
        Mode::Reason { .. } | Mode::Line { .. } => return menu::keep_line(model),
        Mode::Number { .. } => return ahead::keep_number(model),
        _ => {}
    }
    let Some(step) = model.session.current().cloned() else {
        return Vec::new();
    };
    if model.card_asks() {
        return accept_answer(model, &step);
    }
    if model.entry.is_empty() {
        return review(model);
    }
    accept_size(model, &step)
}

fn accept_answer(model: &mut Model, step: &Step) -> Vec<Effect> {
    let card = model.session.card();
    let Some(item) = model.item().and_then(|at| card.items.get(at)) else {
        return Vec::new();
    };
    let typed = model.entry.trim().to_owned();
    if typed.is_empty() {
        return settle(model, step);
    }
    let value = match &item.caution.answer {
        Answer::Done => {
            model.say(
                Tone::Caution,
                "this item asks for no number: clear with *, then SPACE",
            );
            return Vec::new();
        }
        Answer::Number { unit, .. } => match parse::number(&typed) {
            Ok(number) => {
                if let Some(stop) = item.caution.stops(number.value) {
                    let text = format!("{} {unit}: {stop}", show::trimmed(number.value, 3));
                    model.say(Tone::Stop, text);
                    model.entry.clear();
                    return vec![Effect::Bell];
                }
                if let Some(wrong) = miscounted(model, step, &item.caution.id.0, number.value) {
                    model.say(Tone::Stop, wrong);
                    model.entry.clear();
                    return vec![Effect::Bell];
                }
                format!("{} {unit}", show::trimmed(number.value, 3))
            }
            Err(why) => {
                model.say(Tone::Caution, why.to_string());
                return Vec::new();
            }
        },
        Answer::Choice(words) => {
            let chosen = typed.parse::<usize>().ok().and_then(|n| n.checked_sub(1));
            match chosen.and_then(|n| words.get(n)) {
                Some(word) => word.clone(),
                None => {
                    model.say(
                        Tone::Caution,
                        format!("'{typed}' is not one of the {} answers", words.len()),
                    );
                    return Vec::new();
                }
            }
        }
    };
    let event = Event::Caution {
        step: step.id.clone(),
        item: item.caution.id.clone(),
        how: Resolution::Answered(value),
    };
    write(model, vec![event], Then::ClearEntry)
}

fn accept_size(model: &mut Model, step: &Step) -> Vec<Effect> {
    let Some(field) = current_field(model) else {
        return Vec::new();
    };
    let what = field.what;
    let echo = match echo(model, field) {
        Ok(echo) => echo,
        Err(why) => {
            model.say(Tone::Caution, why.to_string());
            return Vec::new();
        }
    };
    if let Some(doubt) = echo.doubt
        && model.insisted.as_deref() != Some(model.entry.as_str())
    {
        model.insisted = Some(model.entry.clone());
        model.say(
            Tone::Stop,
            format!("{}: {doubt} - ENTER again takes it as it is", echo.text),
        );
        return vec![Effect::Bell];
    }
    let event = Event::Measured {
        step: step.id.clone(),
        what,
        cold: echo.cold,
        typed: model.entry.clone(),
        hot: echo.hot,
    };
    write(model, vec![event], Then::ClearEntry)
}

/// Arrows: card items, fields, or lines of a page.
pub(super) fn move_cursor(model: &mut Model, down: bool) -> Vec<Effect> {
    let to = |at: usize, last: usize| {
        if down {
            (at + 1).min(last)
        } else {
            at.saturating_sub(1)
        }
    };
    if let Mode::Page { top, page } = &mut model.mode {
        let last = if let Page::Changes(lines) = page {
            lines.len()
        } else {
            400
        };
        *top = to(*top, last);
        return Vec::new();
    }
    if model.card_asks() {
        let last = model.session.card().items.len().saturating_sub(1);
        model.cursor = Some(to(model.item().unwrap_or(0), last));
        return Vec::new();
    }
    let all: Vec<Dimension> = model
        .situation
        .bar
        .sizes
        .iter()
        .map(|size| size.what)
        .collect();
    let at = current_field(model)
        .and_then(|field| all.iter().position(|what| *what == field.what))
        .unwrap_or(0);
    model.field = all.get(to(at, all.len().saturating_sub(1))).copied();
    Vec::new()
}
