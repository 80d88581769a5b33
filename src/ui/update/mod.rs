//! `update(model, message)`: the only place where the screen changes.

mod ahead;
mod card;
mod clocks;
mod doubt;
mod follow;
mod menu;
mod photo;
mod picture;
mod plan_file;
mod rhythm;
mod shelf;
mod step;
mod typing;
mod undo;

use super::choices::chooses;
use super::effect::Effect;
use super::keys::{Action, ModeKind, action};
use super::model::mode::{Mode, Page, Sheet, Then};
use super::model::{Model, Tone, Use};
use super::msg::{Key, Msg, Press};
use super::press::Pace;
use crate::journal::{Entry, Event, Fire};
use crate::ui::view::{leaves, page_rows};
use clocks::{ask_numbers, ring, time};
use rhythm::{runs_on, used_for};
use typing::{paste, reading, rub, type_in};
pub use undo::said;
use undo::{redo, undo};

/// Takes one message.
pub fn update(model: &mut Model, msg: Msg) -> Vec<Effect> {
    model.dirty = true;
    // A key is followed by what it wrote, which asks by itself.
    let ticked = !matches!(msg, Msg::Key(_) | Msg::Paste(_) | Msg::Reading(..));
    let mut effects = take(model, msg);
    model.stand();
    effects.extend(ask_numbers(model, ticked));
    effects.extend(shelf::tell(model));
    let outlook = model.outlook();
    effects.extend(outlook.map(|asked| Effect::Foresee(Box::new(asked))));
    effects
}

fn take(model: &mut Model, msg: Msg) -> Vec<Effect> {
    match msg {
        Msg::Key(press) => {
            time(model, press.at, press.mono_ms);
            key(model, &press)
        }
        Msg::Paste(text) => {
            paste(model, &text);
            Vec::new()
        }
        Msg::Reading(text, press) => {
            time(model, press.at, press.mono_ms);
            reading(model, text)
        }
        Msg::Resize(columns, rows) => {
            model.size = (columns, rows);
            Vec::new()
        }
        Msg::Tick { at, mono_ms } => {
            time(model, at, mono_ms);
            ring(model)
        }
        Msg::Appended(entries) => {
            appended(model, entries);
            Vec::new()
        }
        Msg::AppendFailed(why) => {
            model.pending = None;
            model.put_up("disk", Tone::Stop, format!("NOT SAVED: {why}"));
            vec![Effect::Bell]
        }
        Msg::PlanFile(found) if model.following.is_some() => follow::plan_file(model, found),
        Msg::PlanFile(found) => plan_file::changed(model, found),
        Msg::FireAndMetal(found) => {
            let older = model
                .reckoned
                .as_ref()
                .is_some_and(|held| held.seq > found.seq);
            if !older {
                model.reckoned = Some(*found);
            }
            Vec::new()
        }
        Msg::Foreseen(found) => {
            ahead::foreseen(model, *found);
            Vec::new()
        }
        Msg::Shop {
            others,
            book,
            trouble,
        } => {
            ahead::shop(model, others, book, &trouble);
            Vec::new()
        }
        Msg::ShopSaved(result) => {
            ahead::saved(model, result);
            Vec::new()
        }
        Msg::Shelved(found) => {
            shelf::told(model, found);
            Vec::new()
        }
        Msg::Followed(found) => follow::heard(model, found),
        Msg::Photo(found) => photo::told(model, found),
        Msg::Redraw | Msg::Draft(_) | Msg::List(_) => Vec::new(),
        Msg::Trouble(text) => {
            // It is newer than the answer to the last key, and must not stand behind it.
            model.reply = None;
            model.put_up("trouble", Tone::Caution, text);
            Vec::new()
        }
        Msg::Leave => leave(model),
    }
}

fn key(model: &mut Model, press: &Press) -> Vec<Effect> {
    if press.key == Key::Interrupt {
        return leave(model);
    }
    if model.pending.is_some() {
        return Vec::new();
    }
    let kind = model.mode_kind();
    let Some(act) = action(kind, press.key) else {
        model.gate.take(press, Pace::Act);
        let (tone, text) = match press.key {
            Key::PadUnlocked | Key::PageUp | Key::PageDown => (
                Tone::Caution,
                "no number came: press NUM LOCK, so that the number pad types numbers",
            ),
            _ => (
                Tone::Plain,
                "that key does nothing here; ? shows the keys, * the menu",
            ),
        };
        model.say(tone, text);
        return Vec::new();
    };
    let choosing = act == Action::Type && chooses(model);
    let typing = !choosing && matches!(act, Action::Type | Action::Rub | Action::Up | Action::Down)
        || matches!(act, Action::Earlier | Action::Later)
        || (act == Action::Choose
            && matches!(kind, ModeKind::Menu | ModeKind::Picture | ModeKind::Photo));
    let used = used_for(model, act, choosing);
    // A step that just came up is not worked, nor ended, by the presses that ended the one before.
    let since = model.came_up.map(|at| press.mono_ms.saturating_sub(at));
    let runs_over = used == Some(Use::Work) && model.gate.is_short(since);
    let rhythm = runs_over || model.gate.is_rhythm(press) && runs_on(model.used, press.key, used);
    let pace = match used {
        _ if typing => Pace::Typing,
        Some(Use::Choice | Use::Card) => Pace::Answer,
        _ => Pace::Act,
    };
    if !model.gate.take(press, pace) {
        if model.gate.was_quick(press) {
            model.say(
                Tone::Plain,
                "counted once: press the same key again after a second",
            );
        }
        return Vec::new();
    }
    let begins = used == Some(Use::Value) && model.entry.is_empty();
    let since = model.cut_short.map(|at| press.mono_ms.saturating_sub(at));
    if begins && model.gate.is_short(since) {
        model.say(
            Tone::Caution,
            "its first digit was not taken: wait two seconds, then type the whole number",
        );
        return Vec::new();
    }
    if rhythm {
        model.cut_short = begins.then_some(press.mono_ms);
        model.say(
            Tone::Caution,
            "the key now means something else: wait two seconds, then press it again",
        );
        return Vec::new();
    }
    model.used = used.map(|used| (press.key, used));
    model.reply = None;
    dispatch(model, kind, act, press.key)
}

fn dispatch(model: &mut Model, kind: ModeKind, act: Action, key: Key) -> Vec<Effect> {
    if matches!(kind, ModeKind::Photos | ModeKind::Photo) {
        return photo::act(model, act, key);
    }
    match act {
        Action::Picture => picture::begin(model),
        Action::Photo => photo::begin(model),
        Action::Later | Action::Earlier => picture::along(model, act == Action::Later),
        Action::Closer => picture::closer(model),
        Action::Up | Action::Down if kind == ModeKind::Picture => picture::down(model, act, key),
        Action::Choose if kind == ModeKind::Picture => picture::choose(model, key),
        Action::Next if model.mode == Mode::Offer => open(model, Mode::Far),
        Action::Next if model.mode == Mode::TakeOver => follow::take_over(model),
        Action::Accept if kind == ModeKind::Following => follow::ask_over(model),
        Action::Next => step::next(model),
        Action::Accept => step::accept(model),
        Action::Back => back(model),
        Action::Redo => redo(model),
        Action::Type if chooses(model) => card::choose_answer(model, key),
        Action::Type => type_in(model, key),
        Action::Rub => rub(model),
        Action::Clear => {
            typing::clear(model);
            Vec::new()
        }
        Action::Up => step::move_cursor(model, false),
        Action::Down => step::move_cursor(model, true),
        Action::PageOn | Action::PageBack => turn(model, act == Action::PageOn),
        Action::HotCold => {
            model.choose_hot(!model.reads_hot());
            model.insisted = None;
            let words = if model.reads_hot() {
                format!(
                    "sizes are read HOT at {}",
                    model.units().temperature(model.hot_temperature())
                )
            } else {
                "sizes are read COLD".to_owned()
            };
            model.say(Tone::Plain, words);
            Vec::new()
        }
        Action::Menu => open(
            model,
            Mode::Menu {
                sheet: Sheet::First,
            },
        ),
        Action::Choose if kind == ModeKind::Page => ahead::choose(model, key),
        Action::Choose => menu::choose(model, kind, key),
        Action::Help => page(model, Page::Keys),
        Action::Steps => page(model, Page::Steps),
        Action::Losses => page(model, Page::Losses),
        Action::Bars => page(model, Page::Bars),
        Action::Shelf => page(model, Page::Shelf),
        Action::Forecast => page(model, Page::Forecast),
        Action::Numbers => page(model, Page::Numbers),
        Action::WaysOut => ahead::ways_out(model),
        Action::Far => open(model, Mode::Far),
        Action::Defer => menu::ask_reason(model, false),
        Action::Override => menu::ask_reason(model, true),
        Action::Note => open(
            model,
            Mode::Line {
                text: String::new(),
            },
        ),
        Action::NextPiece => step::next_piece(model),
        Action::Drink => write(model, vec![Event::Drank], Then::Show),
        Action::Leave if model.following.is_some() => leave(model),
        Action::Leave => open(model, Mode::Leave),
    }
}

/// A screenful on or back, of a page or of what takes the whole window.
fn turn(model: &mut Model, on: bool) -> Vec<Effect> {
    let (columns, rows) = model.size;
    let Mode::Page { page, top } = &model.mode else {
        let last = leaves(model).saturating_sub(1);
        model.leaf = match on {
            true => (model.leaf + 1).min(last),
            false => model.leaf.saturating_sub(1),
        };
        return Vec::new();
    };
    let room = usize::from(rows.saturating_sub(3).max(1));
    let last = page_rows(model, page, columns).len().saturating_sub(room);
    let to = match on {
        true => (top + room).min(last),
        false => (*top).min(last).saturating_sub(room),
    };
    if let Mode::Page { top, .. } = &mut model.mode {
        *top = to;
    }
    Vec::new()
}

/// Ends in good order: the journal says so where it can be written.
fn leave(model: &mut Model) -> Vec<Effect> {
    if model.following.is_some() || model.pending.is_some() {
        return vec![Effect::Quit];
    }
    let mut effects = write(model, vec![Event::Closed], Then::Show);
    effects.push(Effect::Quit);
    effects
}

fn open(model: &mut Model, mode: Mode) -> Vec<Effect> {
    model.leaf = 0;
    model.mode = mode;
    Vec::new()
}

fn page(model: &mut Model, page: Page) -> Vec<Effect> {
    open(model, Mode::Page { page, top: 0 })
}

/// Asks the shell to write events; nothing changes until they are on disk.
fn write(model: &mut Model, events: Vec<Event>, then: Then) -> Vec<Effect> {
    if model.following.is_some() {
        return follow::refuse(model);
    }
    let entries = model.entries(events);
    model.pending = Some((entries.clone(), then));
    vec![Effect::Append(entries)]
}

fn appended(model: &mut Model, entries: Vec<Entry>) {
    let then = model.pending.take().map_or(Then::Show, |(_, then)| then);
    model.take_down("disk");
    let before = model.session.at;
    let ends = |entry: &Entry| matches!(entry.event.plain(), Event::Done { .. });
    let left = entries
        .iter()
        .any(ends)
        .then(|| model.session.left_over().len());
    let moved = entries.iter().any(|entry| entry.event.moves_metal());
    // A heat teaches, and is one less to come.
    let heated = entries
        .iter()
        .any(|entry| matches!(entry.event.plain(), Event::Fire { now: Fire::Out, .. }));
    if moved {
        model.keep_later();
    }
    for entry in entries {
        if let Err(why) = model.session.take(entry) {
            model.put_up("plan", Tone::Stop, why.to_string());
        }
    }
    if model.session.at != before {
        model.came_up = model.mono_ms;
        model.field = None;
        model.hot_at = None;
        model.entry.clear();
        if let Some(left) = left {
            shelf::left(model, left);
        }
    }
    model.cursor = None;
    model.insisted = None;
    if moved {
        ahead::moved(model);
    } else if heated {
        model.look_again();
    }
    match then {
        Then::Show => {}
        Then::ClearEntry => {
            model.entry.clear();
            model.field = None;
        }
        Then::ToStep => model.mode = Mode::Step,
        Then::Changes(lines) => {
            model.mode = Mode::Page {
                page: Page::Changes(lines),
                top: 0,
            };
        }
    }
}

/// Back: close what is open; in a step, undo.
fn back(model: &mut Model) -> Vec<Effect> {
    match &model.mode {
        Mode::Step => undo(model),
        Mode::Legal if !model.session.legal_read => {
            model.say(Tone::Caution, "read it to its end once, then +");
            Vec::new()
        }
        Mode::TakeOver => open(model, Mode::Far),
        Mode::AskPlan { .. } => {
            model.say(
                Tone::Caution,
                "the plan in force stays as it was; the file differs",
            );
            open(model, Mode::Step)
        }
        _ => open(model, Mode::Step),
    }
}
