//! The entry line: what is typed, what it is read as, and what was expected.

use super::choices::{clock_runs, cycles, next_words};
use super::model::{Model, Tone};
use crate::billet::{Dimension, Kind};
use crate::journal::{Fire, read_local};
use crate::plan::Answer;
use crate::planner::doubt::{doubt, off_by};
use crate::session::Size;
use crate::units::{Celsius, Fault, Mm, NumberError, Stamp, parse, show};

/// Below so many rows an item of the card takes the place of the number.
pub(super) const SMALL: u16 = 20;

/// What a typed number is taken as.
#[derive(Debug, Clone, PartialEq)]
pub struct Echo {
    /// Cold value in mm, g or a count.
    pub cold: f64,
    /// Temperature it was read at, when hot.
    pub hot: Option<Celsius>,
    /// The reading in both units, the cold value, and what was expected.
    pub text: String,
    /// When it was read, where that was earlier: `40@14:20`.
    pub earlier: Option<Stamp>,
    /// Least and most that a count may be, where a range was typed.
    pub between: Option<[u64; 2]>,
    /// Why it should be looked at again before it is taken.
    pub doubt: Option<String>,
    /// It is so far off that it is taken only where it is read and typed twice.
    pub twice: bool,
    /// Why no bar can have it: it is not taken.
    pub refused: Option<String>,
}

/// The field that a typed number goes to: chosen by hand, or the first not read yet.
#[must_use]
pub(super) fn current_field(model: &Model) -> Option<&Size> {
    let all = &model.situation.bar.sizes;
    let chosen = model.field.and_then(|what| model.situation.size(what));
    chosen
        .or(all.iter().find(|size| size.read.is_none()))
        .or(all.first())
}

/// Reads the entry line as a size of the current field.
///
/// # Errors
/// Why it is not a size.
pub fn echo(model: &Model, field: &Size) -> Result<Echo, NumberError> {
    let units = model.units();
    let (text, earlier) = match model.entry.split_once('@') {
        Some((text, clock)) => {
            let at = read_local(clock, model.now, model.session.offset);
            (
                text,
                Some(at.ok_or_else(|| Fault::Malformed.of(&model.entry))?),
            )
        }
        None => (model.entry.as_str(), None),
    };
    let is_length = field.what.is_length();
    let (raw, between) = if is_length {
        field.what.read(&parse::spelt(text), units)?
    } else {
        field.what.read(text, units)?
    };
    // What was read hours ago says nothing of how hot the piece is now.
    let hot =
        (model.reads_hot() && is_length && earlier.is_none()).then(|| model.hot_temperature());
    let cold = hot.map_or(raw, |at| {
        crate::physics::expansion::cold_from_hot(Mm(raw), at, &model.session.mean_analysis()).0
    });
    let named = |v: f64| match field.what {
        Dimension::Bands => show::counted(field.show(units, v), "band"),
        _ => field.show(units, v),
    };
    let show_one = |v: f64| match field.what {
        Dimension::Bands => named(v),
        _ => format!("{} = {}", named(v), field.show(units.other(), v)),
    };
    let mut words = match hot {
        Some(at) => format!(
            "{} {} at {} -> cold {}",
            field.what.word(),
            units.length(Mm(raw)),
            units.temperature(at),
            show_one(cold)
        ),
        None => format!("{} {}", field.what.word(), show_one(cold)),
    };
    if field.wanted > 0.0 {
        words.push_str(&format!("; wanted {}", named(field.wanted)));
    }
    if let Some([low, high]) = between {
        words.push_str(&format!("; {low} to {high}"));
    }
    if let Some(at) = earlier {
        words.push_str(&format!(
            "; read at {}",
            show::wall(at, model.session.offset)
        ));
    }
    let session = &model.session;
    let cold_hot = || {
        let why = session.doubts_cold(field.what, model.now)?;
        Some(format!("{why} h, or * and /, reads it hot"))
    };
    let off = off_by(session, field, cold);
    let doubt = off
        .why
        .or_else(|| doubt(session, field.what, cold, hot))
        .or_else(|| cold_hot().filter(|_| hot.is_none() && earlier.is_none()));
    Ok(Echo {
        cold,
        hot,
        text: words,
        earlier,
        between,
        doubt,
        twice: off.far,
        refused: session.cannot_be(field.what, cold),
    })
}

/// True while a step waits for its first heat, its quench or its clocks: nothing can be read before.
fn comes_first(model: &Model) -> bool {
    let session = &model.session;
    let Some(step) = session.current() else {
        return false;
    };
    let lies = session.piece(model.now);
    let untouched = session.step.heats == 0 && session.reading().is_empty();
    let unheated = step.kind().is_hot() && step.heats > 0 && untouched;
    match cycles(step) {
        Some((_, wanted)) => clock_runs(model) || session.step.timers.len() < wanted as usize,
        None => unheated || (step.kind() == Kind::Harden && lies != Fire::Cold),
    }
}

/// Answers with their numbers, in one line.
fn one_line(words: &[String]) -> String {
    let all = words.iter().enumerate();
    let list: Vec<String> = all.map(|(n, word)| format!("{}: {word}", n + 1)).collect();
    list.join(" · ")
}

/// True where the line for typing has room for all answers; the card lists them otherwise.
pub(super) fn answers_on_line(model: &Model, words: &[String]) -> bool {
    let (columns, rows) = model.size;
    rows >= SMALL && one_line(words).chars().count() + 14 <= usize::from(columns)
}

/// What a card asks for, with its unit where the words do not begin with it.
#[must_use]
pub(super) fn asked(ask: &str, unit: &str) -> String {
    if ask.starts_with(unit) {
        ask.to_owned()
    } else {
        format!("{ask} ({unit})")
    }
}

/// What the line is for, in words, with the answer so far or why it is not one.
#[must_use]
pub(super) fn prompt(model: &Model) -> (Tone, String) {
    if let Some(at) = model.item().filter(|_| model.card_asks()) {
        let card = &model.situation.card;
        let answer = card.items.get(at).map(|item| item.caution.answer.clone());
        return match answer {
            Some(Answer::Number { ask, of }) => {
                let unit = of.unit(model.units());
                (
                    Tone::Plain,
                    format!("{}: {}", asked(&ask, unit), model.entry),
                )
            }
            Some(Answer::Choice(words)) => {
                // What was typed stays in view when it could not be taken, as on a full disk.
                let typed = match model.entry.as_str() {
                    "" => String::new(),
                    entry => format!("  > {entry}"),
                };
                let words = if answers_on_line(model, &words) {
                    format!("press {}{typed}", one_line(&words))
                } else {
                    format!("press 1 to {}{typed}", words.len())
                };
                (Tone::Plain, words)
            }
            _ if model.entry.is_empty() => (Tone::Plain, "+ when done".to_owned()),
            _ => (
                Tone::Caution,
                "this item asks for no number: clear with *, then +".to_owned(),
            ),
        };
    }
    let Some(field) = current_field(model) else {
        return (Tone::Plain, String::new());
    };
    if model.entry.is_empty() {
        let state = if model.reads_hot() && field.what.is_length() {
            format!(
                "read HOT at {}",
                model.units().temperature(model.hot_temperature())
            )
        } else {
            "read COLD".to_owned()
        };
        let word = field.what.word();
        let ends = model
            .session
            .current()
            .is_some_and(|step| step.kind() == Kind::EndDay);
        let words = match (&field.read, next_words(model)) {
            // What is due comes before a size that only the finished step has.
            (None, Some(next)) if model.field.is_none() && comes_first(model) => {
                format!("+: {next}")
            }
            // A count on an etched piece has no temperature.
            (None, _) if field.what == Dimension::Bands => format!("type {word}, as counted"),
            // the day is ended by its watch; sizes are seldom read then
            (_, Some(next)) if ends && model.field.is_none() => format!("+: {next}"),
            (Some(_), Some(next)) if model.field.is_none() => {
                format!("sizes read: + {next}, or type {word} again")
            }
            (Some(_), _) => format!("type {word} again ({state})"),
            (None, _) => format!("type {word} ({state})"),
        };
        return (Tone::Plain, words);
    }
    match echo(model, field) {
        Ok(Echo {
            refused: Some(why), ..
        }) => (Tone::Caution, why),
        Ok(echo) => match echo.doubt {
            Some(doubt) => (Tone::Caution, format!("{}: {doubt}", echo.text)),
            None => (Tone::Plain, echo.text),
        },
        Err(why) => (Tone::Caution, why.to_string()),
    }
}
