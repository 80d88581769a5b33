//! Keys on the photographs of an etched end, and what the shell tells of them.
//!
//! Long because each key means one thing in the list, another on the line and another on the count.

use super::super::effect::Effect;
use super::super::keys::Action;
use super::super::model::mode::{Mode, Numeral, Then};
use super::super::model::{Model, Tone};
use super::super::msg::Key;
use super::super::photo::{Moves, PhotoAsk, PhotoFound, PhotoTold, PhotoWish, Shown};
use super::{open, write};
use crate::billet::{Billet, Dimension, Figure, Move, Stand, middle};
use crate::count::{Line, Reading};
use crate::journal::{Counted, Event, Photograph};
use crate::units::{parse, show};

/// A step of the line as a part of the picture's longer side: usual, and fine.
const STEPS: [f32; 2] = [0.02, 0.004];
/// What a turn of the line moves its ends by, as a part of its length, and what it grows by.
const TURN: f32 = 0.03;

/// Opens the list of pictures, and asks what is in the folder.
pub(super) fn begin(model: &mut Model) -> Vec<Effect> {
    let held = model.photo.get_or_insert_with(Box::default);
    held.shown = None;
    open(model, Mode::Photo);
    vec![Effect::Photo(PhotoWish::Newest)]
}

/// What a key of theirs does.
pub(super) fn act(model: &mut Model, act: Action, key: Key) -> Vec<Effect> {
    match act {
        Action::Next => next(model),
        Action::Accept => correct(model),
        Action::Choose => choose(model, key),
        Action::Closer => closer(model),
        Action::Down => which(model),
        Action::Up => finer(model),
        _ => back(model),
    }
}

/// News of the folder, or a count.
pub(super) fn told(model: &mut Model, told: PhotoTold) -> Vec<Effect> {
    let Some(held) = model.photo.as_deref_mut() else {
        return Vec::new();
    };
    match told {
        PhotoTold::Newest(folder, files) => newest(model, folder, files),
        PhotoTold::Counted(found) => {
            let Some(shown) = &mut held.shown else {
                return Vec::new();
            };
            // an answer to a line that was moved on since only fills the gap
            if shown.file.name == found.ask.name {
                shown.counting = found.ask.line != shown.line;
                shown.close = shown.close.filter(|_| found.reading.is_ok());
                shown.found = Some(*found);
            }
            Vec::new()
        }
    }
}

fn newest(
    model: &mut Model,
    folder: String,
    files: Result<Vec<super::super::photo::PhotoFile>, String>,
) -> Vec<Effect> {
    let Some(held) = model.photo.as_deref_mut() else {
        return Vec::new();
    };
    held.folder = folder;
    let first = |files: &Option<Result<Vec<_>, String>>| match files {
        Some(Ok(list)) => list.first().cloned(),
        _ => None,
    };
    let before = held.files.is_some().then(|| first(&held.files));
    held.files = Some(files);
    let now = first(&held.files);
    // One that was not whole when it was read is read again once it has changed.
    let again = held.shown.as_mut().and_then(|shown| {
        let Some(Ok(list)) = &held.files else {
            return None;
        };
        let file = list.iter().find(|file| file.name == shown.file.name)?;
        let broken = shown.photo().is_none() && !shown.counting;
        (broken && file.changed != shown.file.changed).then(|| file.clone())
    });
    if let Some(file) = again {
        return show_one(model, Shown::new(file));
    }
    let fresh = now
        .filter(|_| before.is_some())
        .filter(|now| Some(Some(now)) != before.as_ref().map(Option::as_ref));
    if let Some(fresh) = fresh.filter(|_| model.mode == Mode::Step && counts_bands(model)) {
        model.say(
            Tone::Plain,
            format!(
                "a new picture: {}; i, or * 0 0 1, counts its bands",
                fresh.name
            ),
        );
    }
    Vec::new()
}

fn show_one(model: &mut Model, shown: Shown) -> Vec<Effect> {
    let expected = heights(&model.session.billet).into();
    let ask = PhotoAsk {
        name: shown.file.name.clone(),
        photo: shown.photo().cloned(),
        line: shown.line,
        expected,
    };
    let held = model.photo.get_or_insert_with(Box::default);
    held.shown = Some(Shown {
        counting: true,
        ..shown
    });
    vec![Effect::Photo(PhotoWish::Count(Box::new(ask)))]
}

/// A digit: which picture, or where the line goes.
fn choose(model: &mut Model, key: Key) -> Vec<Effect> {
    let Key::Char(c) = key else { return Vec::new() };
    let Some(digit) = c.to_digit(10) else {
        return Vec::new();
    };
    let Some(held) = model.photo.as_deref() else {
        return open(model, Mode::Step);
    };
    if let Some(shown) = held.shown.clone() {
        return moved(model, shown, digit);
    }
    if digit == 0 {
        return open(model, Mode::Step);
    }
    let at = (digit as usize).saturating_sub(1);
    match &held.files {
        Some(Ok(files)) => match files.get(at).cloned() {
            Some(file) => show_one(model, Shown::new(file)),
            None => Vec::new(),
        },
        _ => Vec::new(),
    }
}

/// The line moved as the digits lie on the pad, turned, made longer or found anew; then counted along it.
fn moved(model: &mut Model, shown: Shown, digit: u32) -> Vec<Effect> {
    let (Some(photo), Some(line)) = (shown.photo().cloned(), shown.line_now()) else {
        return Vec::new();
    };
    let size = [photo.grey.wide as f32, photo.grey.high as f32];
    let [usual, fine] = STEPS;
    let step = size[0].max(size[1]) * if shown.fine { fine } else { usual };
    let by = match digit {
        2 => [0.0, step],
        4 => [-step, 0.0],
        6 => [step, 0.0],
        8 => [0.0, -step],
        _ => [0.0, 0.0],
    };
    let (first, last) = match shown.moves {
        Moves::Whole => (1.0, 1.0),
        Moves::First => (1.0, 0.0),
        Moves::Last => (0.0, 1.0),
    };
    let part = if shown.fine { TURN / 5.0 } else { TURN };
    let along = [line.to[0] - line.from[0], line.to[1] - line.from[1]];
    let across = [-along[1] * part, along[0] * part];
    let grown = [along[0] * part, along[1] * part];
    let (from, to) = match digit {
        2 | 4 | 6 | 8 => (
            add(line.from, by, first, size),
            add(line.to, by, last, size),
        ),
        7 => (
            add(line.from, across, 1.0, size),
            add(line.to, across, -1.0, size),
        ),
        9 => (
            add(line.from, across, -1.0, size),
            add(line.to, across, 1.0, size),
        ),
        1 => (
            add(line.from, grown, 1.0, size),
            add(line.to, grown, -1.0, size),
        ),
        3 => (
            add(line.from, grown, -1.0, size),
            add(line.to, grown, 1.0, size),
        ),
        0 => {
            return show_one(
                model,
                Shown {
                    line: None,
                    close: None,
                    ..shown
                },
            );
        }
        _ => return which(model),
    };
    let line = Some(Line { from, to });
    show_one(
        model,
        Shown {
            line,
            close: None,
            ..shown
        },
    )
}

fn add(at: [f32; 2], by: [f32; 2], times: f32, [wide, high]: [f32; 2]) -> [f32; 2] {
    [
        (at[0] + by[0] * times).clamp(0.0, wide),
        (at[1] + by[1] * times).clamp(0.0, high),
    ]
}

fn shown(model: &mut Model) -> Option<&mut Shown> {
    model.photo.as_deref_mut()?.shown.as_mut()
}

/// What of the line moves: all of it, one end, the other.
fn which(model: &mut Model) -> Vec<Effect> {
    if let Some(shown) = shown(model) {
        shown.moves = match shown.moves {
            Moves::Whole => Moves::First,
            Moves::First => Moves::Last,
            Moves::Last => Moves::Whole,
        };
    }
    Vec::new()
}

/// Small steps or usual ones.
fn finer(model: &mut Model) -> Vec<Effect> {
    if let Some(shown) = shown(model) {
        shown.fine = !shown.fine;
    }
    Vec::new()
}

/// The next place that is worth a look, close; behind the last the whole picture again.
fn closer(model: &mut Model) -> Vec<Effect> {
    let Some(held) = shown(model).filter(|held| held.reading().is_some()) else {
        model.say(Tone::Plain, "there is nothing to look at closely yet");
        return Vec::new();
    };
    let places = held.places().len().max(1);
    held.close = match held.close {
        None => Some(0),
        Some(at) if at + 1 < places => Some(at + 1),
        Some(_) => None,
    };
    Vec::new()
}

/// Back: from the picture to the list, from the list to the step.
fn back(model: &mut Model) -> Vec<Effect> {
    let held = model.photo.as_deref_mut();
    match held.and_then(|held| held.shown.take()) {
        Some(_) => Vec::new(),
        None => open(model, Mode::Step),
    }
}

/// Space: the newest picture of the list, or the count taken.
fn next(model: &mut Model) -> Vec<Effect> {
    if shown(model).is_none() {
        return choose(model, Key::Char('1'));
    }
    let Some((found, reading)) = ready(model) else {
        return Vec::new();
    };
    let typed = count_text(
        reading.bands as u64,
        reading.low as u64,
        reading.high as u64,
    );
    let event = measured(
        model,
        &found,
        &reading,
        (
            reading.bands as u64,
            reading.low as u64,
            reading.high as u64,
        ),
        typed,
    );
    let words = format!("taken: {} from {}", reading.count_words(), found.ask.name);
    model.say(Tone::Plain, words);
    write(model, event.into_iter().collect(), Then::ToStep)
}

/// Enter: the smith's own count in place of what was read.
fn correct(model: &mut Model) -> Vec<Effect> {
    if shown(model).is_none() {
        return choose(model, Key::Char('1'));
    }
    if !takes(model) {
        return Vec::new();
    }
    open(
        model,
        Mode::Number {
            what: Numeral::Bands,
            text: String::new(),
        },
    )
}

/// The count that was typed in place of what was read.
pub(super) fn corrected(model: &mut Model, typed: &str) -> Vec<Effect> {
    let found = parse::count_between(typed);
    let (low, high) = match found {
        Ok(found) => found,
        Err(why) => {
            model.say(Tone::Caution, why.to_string());
            return Vec::new();
        }
    };
    let Some(step) = model.session.current().map(|step| step.id.clone()) else {
        return open(model, Mode::Step);
    };
    let held = shown(model).and_then(|held| held.found.clone());
    let read = held.as_ref().and_then(|found| found.reading.as_ref().ok());
    let bands = middle(low, high);
    let photo = held
        .as_ref()
        .and_then(|found| photograph(found, read.map(|reading| reading.line)));
    let event = Event::Measured {
        step: step.clone(),
        what: Dimension::Bands,
        cold: bands as f64,
        typed: count_text(bands, low, high),
        hot: None,
        counted: Some(Counted { low, high, photo }),
    };
    let mut events = vec![event];
    if let Some(found) = held {
        let was = match &found.reading {
            Ok(reading) => reading.count_words(),
            Err(why) => format!("no count ({why})"),
        };
        events.push(Event::Note {
            step,
            text: show::plain(
                &format!(
                    "bands of {} corrected by eye: the picture gave {was}",
                    found.ask.name
                ),
                200,
            ),
        });
    }
    model.say(
        Tone::Plain,
        format!("taken: {} bands, by eye", count_text(bands, low, high)),
    );
    write(model, events, Then::ToStep)
}

/// `121`, or `121 (119 to 123)`.
fn count_text(bands: u64, low: u64, high: u64) -> String {
    if low < high {
        format!("{bands} ({low} to {high})")
    } else {
        bands.to_string()
    }
}

/// True where the step in hand takes a count; otherwise it is said.
fn takes(model: &mut Model) -> bool {
    let counts = counts_bands(model);
    if !counts {
        model.say(
            Tone::Caution,
            "the step in hand counts no bands: a count is taken at an inspect step",
        );
    }
    counts
}

/// The count that may be taken.
fn ready(model: &mut Model) -> Option<(PhotoFound, Reading)> {
    if !takes(model) {
        return None;
    }
    let held = shown(model)?;
    if held.counting {
        model.say(Tone::Plain, "the count is being made: a moment");
        return None;
    }
    let found = held.found.clone()?;
    match found.reading.clone() {
        Ok(reading) => Some((found, reading)),
        Err(_) => {
            model.say(
                Tone::Caution,
                "nothing was counted that could be taken: move the line, or type one with ENTER",
            );
            None
        }
    }
}

fn measured(
    model: &Model,
    found: &PhotoFound,
    reading: &Reading,
    (bands, low, high): (u64, u64, u64),
    typed: String,
) -> Option<Event> {
    let step = model.session.current()?.id.clone();
    Some(Event::Measured {
        step,
        what: Dimension::Bands,
        cold: bands as f64,
        typed,
        hot: None,
        counted: Some(Counted {
            low,
            high,
            photo: photograph(found, Some(reading.line)),
        }),
    })
}

/// What the journal keeps of a picture.
fn photograph(found: &PhotoFound, line: Option<Line>) -> Option<Photograph> {
    let photo = found.ask.photo.as_ref()?;
    Some(Photograph::new(
        &found.ask.name,
        photo.checksum,
        line.or(found.ask.line).map(|line| [line.from, line.to]),
    ))
}

/// True where the step in hand counts bands.
fn counts_bands(model: &Model) -> bool {
    let step = model.session.current();
    step.is_some_and(|step| matches!(step.made, Move::Inspect { .. }))
}

/// Most bands that are laid beside a reading.
const MOST: u128 = 1500;

/// Heights of the bands that the model expects on an end; none where its layers are bent, or only guessed.
fn heights(billet: &Billet) -> Vec<f32> {
    let core = &billet.bar.core;
    let straight = core.figure == Figure::Flat && matches!(core.stand, Stand::Flat | Stand::OnEdge);
    if !straight || core.blocks != [1; 2] || core.layers.bands() > MOST || billet.count_doubt > 0.0
    {
        return Vec::new();
    }
    #[expect(clippy::cast_possible_truncation, reason = "a height in mm")]
    core.layers
        .bands_from(crate::units::Mm::ZERO)
        .map(|band| (band.to - band.from).0 as f32)
        .collect()
}
