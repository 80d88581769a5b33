//! The menu, reasons and notes.

use super::super::choices::{items, reasons};
use super::super::effect::Effect;
use super::super::keys::ModeKind;
use super::super::model::mode::{MenuItem, Mode, Numeral, Page, Purpose, Sheet, Then};
use super::super::model::{Model, Tone};
use super::super::msg::Key;
use super::{ahead, dispatch, open, page, write};
use crate::journal::{Event, Fire, Resolution};
use crate::plan::Answer;
use crate::units::{Celsius, show};

/// A digit in the menu or under a reason.
pub(super) fn choose(model: &mut Model, kind: ModeKind, key: Key) -> Vec<Effect> {
    let Key::Char(c) = key else { return Vec::new() };
    let Some(digit) = c.to_digit(10) else {
        return Vec::new();
    };
    // The line behind the ninth is chosen with 0.
    let at = (digit as usize).checked_sub(1).unwrap_or(9);
    if kind == ModeKind::Reason {
        let Mode::Reason { text, purpose } = &mut model.mode else {
            return Vec::new();
        };
        let reasons = reasons(purpose);
        if !text.is_empty() || reasons.is_empty() {
            text.push(c);
            return Vec::new();
        }
        let Some(reason) = reasons.get(at) else {
            return if digit == 0 {
                open(model, Mode::Step)
            } else {
                Vec::new()
            };
        };
        *text = (*reason).to_owned();
        return keep_line(model);
    }
    let Mode::Menu { sheet } = model.mode else {
        return Vec::new();
    };
    match items(sheet).get(at) {
        Some((item, _)) => act(model, *item),
        None if digit == 0 => open(model, Mode::Step),
        None => Vec::new(),
    }
}

fn act(model: &mut Model, item: MenuItem) -> Vec<Effect> {
    use super::super::keys::Action;
    let run = |model: &mut Model, action| {
        model.mode = Mode::Step;
        let kind = model.mode_kind();
        dispatch(model, kind, action, Key::Esc)
    };
    match item {
        MenuItem::Far => open(model, Mode::Far),
        MenuItem::Steps => page(model, Page::Steps),
        MenuItem::Losses => page(model, Page::Losses),
        MenuItem::Card => page(model, Page::Card),
        MenuItem::Keys => page(model, Page::Keys),
        MenuItem::Defer => ask_reason(model, false),
        MenuItem::Override => ask_reason(model, true),
        MenuItem::Note => open(
            model,
            Mode::Line {
                text: String::new(),
            },
        ),
        MenuItem::Drink => write(model, vec![Event::Drank], Then::ToStep),
        MenuItem::More => open(model, Mode::Menu { sheet: Sheet::More }),
        MenuItem::First => open(
            model,
            Mode::Menu {
                sheet: Sheet::First,
            },
        ),
        MenuItem::Ahead => open(
            model,
            Mode::Menu {
                sheet: Sheet::Ahead,
            },
        ),
        MenuItem::Count => open(
            model,
            Mode::Menu {
                sheet: Sheet::Count,
            },
        ),
        MenuItem::Doubt => super::doubt::begin(model),
        MenuItem::Photo => super::photo::begin(model),
        MenuItem::Forecast => page(model, Page::Forecast),
        MenuItem::Bars => page(model, Page::Bars),
        MenuItem::Shelf => page(model, Page::Shelf),
        MenuItem::Changed => page(model, Page::Changed),
        MenuItem::Shop => page(model, Page::Shop { from: 0 }),
        MenuItem::UseShop => ahead::use_shop(model),
        MenuItem::WaysOut => ahead::ways_out(model),
        MenuItem::WeldFailed => open(
            model,
            Mode::Number {
                what: Numeral::CutBack,
                text: String::new(),
            },
        ),
        MenuItem::HotAt => hotter(model),
        MenuItem::Redo => run(model, Action::Redo),
        MenuItem::LayDown => lay_down(model),
        MenuItem::NextPiece => run(model, Action::NextPiece),
        MenuItem::Pictures => super::picture::begin(model),
        MenuItem::Numbers => page(model, Page::Numbers),
        MenuItem::Legal => open(model, Mode::Legal),
        MenuItem::PutAway => {
            model.banners.clear();
            open(model, Mode::Step)
        }
        MenuItem::Leave => open(model, Mode::Leave),
    }
}

/// Goes round the temperatures that bars are measured at, 50 C at a time.
fn hotter(model: &mut Model) -> Vec<Effect> {
    let next = model.hot_temperature().0 / 50.0;
    let next = (next.floor() + 1.0) * 50.0;
    let next = if next > 1200.0 { 600.0 } else { next };
    model.hot_at = Some(Celsius(next));
    model.choose_hot(true);
    model.say(
        Tone::Plain,
        format!(
            "sizes are read HOT at {}",
            model.units().temperature(Celsius(next))
        ),
    );
    Vec::new()
}

fn lay_down(model: &mut Model) -> Vec<Effect> {
    let Some(step) = model.session.current().map(|step| step.id.clone()) else {
        return open(model, Mode::Step);
    };
    write(
        model,
        vec![Event::Fire {
            step,
            now: Fire::Cold,
        }],
        Then::ToStep,
    )
}

/// Asks why an item is put off or passed over.
pub(super) fn ask_reason(model: &mut Model, over: bool) -> Vec<Effect> {
    let card = model.session.card();
    let current = model.item().and_then(|at| card.items.get(at));
    let Some(item) = current.or_else(|| card.watch().filter(|item| item.blocks())) else {
        model.say(Tone::Plain, "the card has no item for that");
        return open(model, Mode::Step);
    };
    let id = item.caution.id.clone();
    if !over && item.caution.killer {
        model.say(
            Tone::Stop,
            "this item can hurt or ruin: it cannot be put off. Answer it, or pass over it with a reason",
        );
        return open(model, Mode::Step);
    }
    let purpose = if item.caution.answer == Answer::Watch {
        Purpose::SkipWatch(id)
    } else if over {
        Purpose::Override(id)
    } else {
        Purpose::Defer(id)
    };
    open(
        model,
        Mode::Reason {
            purpose,
            text: String::new(),
        },
    )
}

/// Enter on a reason or a note.
pub(super) fn keep_line(model: &mut Model) -> Vec<Effect> {
    let Some(step) = model
        .session
        .current()
        .or(model.session.plan.steps.last())
        .map(|step| step.id.clone())
    else {
        return open(model, Mode::Step);
    };
    let (purpose, text) = match &model.mode {
        Mode::Reason { purpose, text } => (Some(purpose.clone()), text.clone()),
        Mode::Line { text } => (None, text.clone()),
        _ => return Vec::new(),
    };
    let text = show::plain(text.trim(), 200);
    // A fire watch is passed over in words: a digit pressed on the way says nothing.
    let in_words = matches!(purpose, Some(Purpose::SkipWatch(_)));
    let said = text.chars().any(char::is_alphanumeric);
    if !said || (in_words && !text.chars().any(char::is_alphabetic)) {
        model.say(
            Tone::Caution,
            "write a few words, or go back with - or BACKSPACE on an empty line",
        );
        return Vec::new();
    }
    let events = match purpose {
        None => vec![Event::Note { step, text }],
        Some(Purpose::Defer(item)) => {
            vec![Event::Caution {
                step,
                item,
                how: Resolution::Deferred(text),
            }]
        }
        Some(Purpose::Override(item) | Purpose::SkipWatch(item)) => {
            vec![Event::Caution {
                step,
                item,
                how: Resolution::Overridden(text),
            }]
        }
        Some(Purpose::Early(what)) => {
            let note = Event::Note {
                step: step.clone(),
                text: format!("ended early ({what}): {text}"),
            };
            vec![note, Event::Done { step }]
        }
    };
    write(model, events, Then::ToStep)
}
