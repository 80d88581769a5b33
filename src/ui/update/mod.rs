//! `update(model, message)`: the only place where the screen changes.

mod ahead;
mod menu;
mod picture;
mod plan_file;
mod step;

use super::effect::Effect;
use super::keys::{Action, ModeKind, action};
use super::model::{Mode, Model, Page, Sheet, Then, Tone};
use super::msg::{Key, Msg, Press};
use crate::journal::{Entry, Event, Fire};
use crate::units::{Seconds, Stamp, show};

pub(super) use ahead::{NUMBERED, learnt, topic_lines};
pub(super) use menu::{items, reasons};
pub(super) use step::next_words;

/// A wall clock that differs from the steady one by more than this has jumped.
const JUMP: f64 = 90.0;
/// An alarm rings again after so long.
const RING_AGAIN: Seconds = Seconds(20.0);
/// While a heat runs its numbers are worked again after so long.
const REFRESH: Seconds = Seconds(15.0);
/// Longest line a smith may write.
const LINE: usize = 200;

/// Takes one message.
pub fn update(model: &mut Model, msg: Msg) -> Vec<Effect> {
    model.dirty = true;
    // A key is followed by what it wrote, which asks by itself.
    let ticked = !matches!(msg, Msg::Key(_) | Msg::Paste(_));
    let mut effects = take(model, msg);
    effects.extend(ask_numbers(model, ticked));
    let outlook = model.outlook();
    effects.extend(outlook.map(|asked| Effect::Foresee(Box::new(asked))));
    effects
}

/// Asks for the numbers of fire and metal when the job has moved on, and now and then while a heat
/// is running.
fn ask_numbers(model: &mut Model, ticked: bool) -> Option<Effect> {
    let seq = model.session.seq;
    let due = match model.asked {
        None => true,
        Some((asked, _)) if asked != seq => true,
        Some((_, at)) => {
            let runs = model.session.piece(model.now) != Fire::Cold;
            ticked && runs && model.now.since(at) >= REFRESH
        }
    };
    if !due || model.session.is_finished() {
        return None;
    }
    model.asked = Some((seq, model.now));
    Some(Effect::Reckon(Box::new(model.session.inputs(model.now))))
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
        Msg::PlanFile(found) => plan_file::changed(model, found),
        Msg::Reckoned(found) => {
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
        Msg::Redraw | Msg::Draft(_) => Vec::new(),
        Msg::Trouble(text) => {
            model.put_up("trouble", Tone::Caution, text);
            Vec::new()
        }
        Msg::Leave => leave(model),
    }
}

/// Keeps both clocks and says when they part.
fn time(model: &mut Model, at: Stamp, mono_ms: u64) {
    if let Some(before) = model.mono_ms {
        #[expect(
            clippy::cast_precision_loss,
            reason = "spans of days in ms are exact in f64"
        )]
        let steady = mono_ms.saturating_sub(before) as f64 / 1000.0;
        let wall = at.since(model.now).0;
        let jump = wall - steady;
        if jump.abs() > JUMP {
            let way = if jump > 0.0 {
                "forward (or the machine slept)"
            } else {
                "back"
            };
            model.put_up(
                "clock",
                Tone::Caution,
                format!(
                    "The clock went {way} by {}. Timers follow the wall clock: check them",
                    show::span(Seconds(jump))
                ),
            );
        }
    }
    model.now = at;
    model.mono_ms = Some(mono_ms);
}

/// Rings for countdowns that are over, again and again until answered.
fn ring(model: &mut Model) -> Vec<Effect> {
    let over: Vec<String> = model
        .session
        .countdowns(model.now)
        .into_iter()
        .filter(|count| count.left.0 <= 0.0)
        .map(|count| count.name)
        .collect();
    let mut over = over;
    let soaked = model
        .soak()
        .is_some_and(|need| model.session.fire_for(model.now).0 >= need.best);
    if soaked {
        over.push(format!("soak {}", model.session.heats.len()));
    }
    model.rung.retain(|name, _| over.contains(name));
    let mut bell = false;
    for name in over {
        // Soak and drink are told once; clocks begun by hand ring until answered.
        let again = !name.starts_with("soak") && name != "drink";
        let due = match model.rung.get(&name) {
            None => true,
            Some(last) => again && model.now.since(*last) >= RING_AGAIN,
        };
        if due {
            model.rung.insert(name, model.now);
            bell = true;
        }
    }
    if bell { vec![Effect::Bell] } else { Vec::new() }
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
        model.gate.take(press, false);
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
    let choosing = act == Action::Type && step::chooses(model);
    let typing = !choosing && matches!(act, Action::Type | Action::Rub | Action::Up | Action::Down)
        || matches!(act, Action::Earlier | Action::Later)
        || (act == Action::Choose && matches!(kind, ModeKind::Menu | ModeKind::Picture));
    if !model.gate.take(press, typing) {
        return Vec::new();
    }
    model.reply = None;
    dispatch(model, kind, act, press.key)
}

fn dispatch(model: &mut Model, kind: ModeKind, act: Action, key: Key) -> Vec<Effect> {
    match act {
        Action::Picture => picture::begin(model),
        Action::Later | Action::Earlier => picture::along(model, act == Action::Later),
        Action::Up | Action::Down if kind == ModeKind::Picture => picture::down(model, act, key),
        Action::Choose if kind == ModeKind::Picture => picture::choose(model, key),
        Action::Next => step::next(model),
        Action::Accept => step::accept(model),
        Action::Back => back(model),
        Action::Redo => redo(model),
        Action::Type if step::chooses(model) => step::choose_answer(model, key),
        Action::Type => type_in(model, key),
        Action::Rub => rub(model),
        Action::Clear => {
            model.entry.clear();
            model.insisted = None;
            Vec::new()
        }
        Action::Up => step::move_cursor(model, false),
        Action::Down => step::move_cursor(model, true),
        Action::HotCold => {
            model.hot = !model.hot;
            let words = if model.hot {
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
        Action::Drink => write(model, vec![Event::Drank], Then::Show),
        Action::Leave => open(model, Mode::Leave),
    }
}

/// Ends in good order: the journal says so where it can be written.
fn leave(model: &mut Model) -> Vec<Effect> {
    if model.read_only.is_some() || model.pending.is_some() {
        return vec![Effect::Quit];
    }
    let mut effects = write(model, vec![Event::Closed], Then::Show);
    effects.push(Effect::Quit);
    effects
}

fn open(model: &mut Model, mode: Mode) -> Vec<Effect> {
    model.mode = mode;
    Vec::new()
}

fn page(model: &mut Model, page: Page) -> Vec<Effect> {
    open(model, Mode::Page { page, top: 0 })
}

/// Asks the shell to write events; nothing changes until they are on disk.
fn write(model: &mut Model, events: Vec<Event>, then: Then) -> Vec<Effect> {
    if let Some(why) = &model.read_only {
        let text = format!("This copy only shows: {why}");
        model.put_up("copy", Tone::Stop, text);
        return vec![Effect::Bell];
    }
    let entries = model.entries(events);
    model.pending = Some((entries.clone(), then));
    vec![Effect::Append(entries)]
}

fn appended(model: &mut Model, entries: Vec<Entry>) {
    let then = model.pending.take().map_or(Then::Show, |(_, then)| then);
    model.take_down("disk");
    let before = model.session.at;
    let moved = entries.iter().any(|entry| ahead::moves_metal(&entry.event));
    if moved {
        model.keep_later();
    }
    for entry in entries {
        if let Err(why) = model.session.take(entry) {
            model.put_up("plan", Tone::Stop, why.to_string());
        }
    }
    if model.session.at != before {
        model.field = None;
        model.hot_at = None;
        model.entry.clear();
    }
    model.cursor = None;
    model.insisted = None;
    if moved {
        ahead::moved(model);
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
            model.say(Tone::Caution, "read it once, then SPACE");
            Vec::new()
        }
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

fn undo(model: &mut Model) -> Vec<Effect> {
    let entries = model.session.undo_targets();
    // A decision says more than the plan that came with it.
    let Some(last) = entries.last() else {
        model.say(Tone::Plain, "nothing to take back");
        return Vec::new();
    };
    let words = format!("took back: {}; r brings it back", said(&last.event));
    let undone = |entry: &&Entry| Event::Undone { seq: entry.seq };
    let events = entries.iter().map(undone).collect();
    model.say(Tone::Caution, words);
    write(model, events, Then::ToStep)
}

fn redo(model: &mut Model) -> Vec<Effect> {
    let entries = model.session.redo_targets();
    let Some(first) = entries.first() else {
        model.say(Tone::Plain, "nothing to bring back");
        return Vec::new();
    };
    let words = format!("brought back: {}", said(&first.event));
    let redone = |entry: &&Entry| Event::Redone { seq: entry.seq };
    let events = entries.iter().map(redone).collect();
    model.say(Tone::Plain, words);
    write(model, events, Then::ToStep)
}

/// An event in a few words.
#[must_use]
pub(super) fn said(event: &Event) -> String {
    match event {
        Event::Plan { .. } => "the plan edit".to_owned(),
        Event::Caution { how, .. } => format!("an answer on the card ({})", how.words()),
        Event::Fire { now, .. } => match now {
            Fire::In => "into the fire".to_owned(),
            Fire::Out => "out of the fire".to_owned(),
            Fire::Cold => "laid down".to_owned(),
        },
        Event::Timer { name, .. } => format!("clock started ({name})"),
        Event::TimerDone { name, .. } => format!("clock answered ({name})"),
        Event::Measured { what, typed, .. } => format!("{} {typed}", what.word()),
        Event::Unmeasured { what, .. } => format!("{} removed", what.word()),
        Event::Done { step } => format!("step {step} done"),
        Event::Note { .. } => "a note".to_owned(),
        Event::Drank => "a drink".to_owned(),
        Event::WatchBegan { .. } => "fire watch started".to_owned(),
        Event::Decided { what, .. } => what.clone(),
        Event::Opened { .. } => "opened".to_owned(),
        Event::Closed => "closed".to_owned(),
        Event::LegalRead => "words read".to_owned(),
        Event::Undone { .. } => "undo".to_owned(),
        Event::Redone { .. } => "redo".to_owned(),
    }
}

fn type_in(model: &mut Model, key: Key) -> Vec<Effect> {
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

fn rub(model: &mut Model) -> Vec<Effect> {
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
fn paste(model: &mut Model, text: &str) {
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
