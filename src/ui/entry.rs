//! The entry line: what is typed, what it is read as, and what was expected.

use super::model::{Model, Tone};
use crate::billet::{Billet, Dimension, Kind, Move, Sizes, Stage};
use crate::plan::Answer;
use crate::session::make;
use crate::units::parse::{self, NumberError};
use crate::units::{Celsius, Grams, Mm, show};

/// A size that can be read in this step.
#[derive(Debug, Clone, PartialEq)]
pub struct Field {
    /// Which.
    pub what: Dimension,
    /// The step's target or what follows from volume, cold mm, g or count.
    pub expected: Option<f64>,
    /// What was read, cold.
    pub read: Option<f64>,
    /// True when the plan names the target; false when it follows from volume.
    pub named: bool,
}

/// What a typed number is taken as.
#[derive(Debug, Clone, PartialEq)]
pub struct Echo {
    /// Cold value in mm, g or a count.
    pub cold: f64,
    /// Temperature it was read at, when hot.
    pub hot: Option<Celsius>,
    /// The reading in both units, the cold value, and what was expected.
    pub text: String,
    /// Why it should be looked at again before it is taken.
    pub doubt: Option<String>,
}

/// A value out of a billet.
fn value(billet: &Billet, what: Dimension) -> f64 {
    match what {
        Dimension::Thickness => billet.bar.thickness.0,
        Dimension::Width => billet.bar.width.0,
        Dimension::Length => billet.bar.length.0,
        Dimension::Mass => billet.piece_mass().0,
        #[expect(
            clippy::cast_precision_loss,
            reason = "only compared with a count by eye"
        )]
        Dimension::Bands => billet.bands() as f64,
    }
}

/// The sizes to read in this step, in the order they are asked.
#[must_use]
pub fn fields(model: &Model) -> Vec<Field> {
    let session = &model.session;
    let Some(step) = session.current() else {
        return Vec::new();
    };
    if let Move::Forge { to, .. } = &step.made {
        return parts(model, *to);
    }
    let order: &[Dimension] = match step.kind() {
        Kind::Inspect => &[Dimension::Bands],
        // A blank that was forged or ground has no outside any more that a caliper could read.
        Kind::RoughGrind | Kind::FinishGrind => &[Dimension::Mass],
        _ if session.billet.stage >= Stage::Forged => &[Dimension::Mass],
        kind if !kind.is_measured() => &[Dimension::Mass],
        _ => &[
            Dimension::Thickness,
            Dimension::Width,
            Dimension::Length,
            Dimension::Mass,
        ],
    };
    // What is expected follows from what has been read so far; a field's own reading is left out,
    // so that the difference beside it stays a difference.
    let reading = session.step.reading;
    let target = step.made.target().unwrap_or_default();
    order
        .iter()
        .map(|what| {
            let mut others = reading;
            let read = match what {
                Dimension::Thickness => others.thickness.take().map(|v| v.0),
                Dimension::Width => others.width.take().map(|v| v.0),
                Dimension::Length => others.length.take().map(|v| v.0),
                Dimension::Mass => others.mass.take().map(|v| v.0),
                #[expect(clippy::cast_precision_loss, reason = "a count by eye")]
                Dimension::Bands => others.bands.take().map(|v| v as f64),
            };
            let named = match what {
                Dimension::Thickness => target.thickness.is_some(),
                Dimension::Width => target.width.is_some(),
                Dimension::Length => target.length.is_some(),
                _ => false,
            };
            let made = make(&session.plan, step, &session.billet, &others);
            Field {
                what: *what,
                expected: Some(value(&made.billet, *what)),
                read,
                named,
            }
        })
        .collect()
}

/// The sizes of a part that is forged, those that the plan gives, and the mass of the piece.
fn parts(model: &Model, to: Sizes) -> Vec<Field> {
    let session = &model.session;
    let reading = &session.step.reading;
    let sizes = [
        (Dimension::Thickness, to.thickness, reading.thickness),
        (Dimension::Width, to.width, reading.width),
        (Dimension::Length, to.length, reading.length),
    ];
    let mut all: Vec<Field> = sizes
        .into_iter()
        .filter_map(|(what, wanted, read)| {
            Some(Field {
                what,
                expected: Some(wanted?.0),
                read: read.map(|v| v.0),
                named: true,
            })
        })
        .collect();
    all.push(Field {
        what: Dimension::Mass,
        expected: session.expected().map(|billet| billet.piece_mass().0),
        read: reading.mass.map(|v| v.0),
        named: false,
    });
    all
}

/// The field that a typed number goes to: chosen by hand, or the first not read yet.
#[must_use]
pub(super) fn current_field(model: &Model) -> Option<Field> {
    let all = fields(model);
    let chosen = model
        .field
        .and_then(|what| all.iter().find(|field| field.what == what));
    chosen
        .or(all.iter().find(|field| field.read.is_none()))
        .or(all.first())
        .cloned()
}

/// Reads the entry line as a size of the current field.
///
/// # Errors
/// Why it is not a size.
pub fn echo(model: &Model, field: &Field) -> Result<Echo, NumberError> {
    let units = model.units();
    let text = model.entry.as_str();
    let default = units.default_length();
    let raw = match field.what {
        Dimension::Mass => parse::mass(text, default)?.0,
        #[expect(clippy::cast_precision_loss, reason = "a count by eye")]
        Dimension::Bands => parse::count(text)? as f64,
        _ => parse::length(text, default)?.0,
    };
    if raw <= 0.0 {
        return Err(NumberError::Malformed(show::plain(text, 24)));
    }
    let is_length = !matches!(field.what, Dimension::Mass | Dimension::Bands);
    let hot = (model.hot && is_length).then(|| model.hot_temperature());
    let cold = hot.map_or(raw, |at| {
        crate::physics::expansion::cold_from_hot(Mm(raw), at, &model.session.mean_analysis()).0
    });
    let show_one = |v: f64| match field.what {
        Dimension::Mass => {
            format!(
                "{} = {}",
                units.mass(Grams(v)),
                units.other().mass(Grams(v))
            )
        }
        Dimension::Bands => show::counted(show::trimmed(v, 0), "band"),
        _ => format!("{} = {}", units.length(Mm(v)), units.other().length(Mm(v))),
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
    let mut doubt = None;
    if let Some(expected) = field.expected.filter(|e| *e > 0.0) {
        let shown = match field.what {
            Dimension::Mass => units.mass(Grams(expected)),
            Dimension::Bands => show::counted(show::trimmed(expected, 0), "band"),
            _ => units.length(Mm(expected)),
        };
        words.push_str(&format!("; expected {shown}"));
        doubt = doubtful(cold / expected);
    }
    Ok(Echo {
        cold,
        hot,
        text: words,
        doubt,
    })
}

/// Why a value is worth a second look: out by ten, or far from what volume allows.
fn doubtful(ratio: f64) -> Option<String> {
    if (7.0..=14.0).contains(&ratio) || (1.0 / 14.0..=1.0 / 7.0).contains(&ratio) {
        return Some("out by ten, slipped point?".to_owned());
    }
    if (0.0005..=0.002).contains(&ratio) {
        return Some("out by a thousand: in kilograms? Add the unit, as 1.6kg".to_owned());
    }
    let off = (ratio - 1.0).abs() * 100.0;
    (off > 20.0).then(|| format!("{} % off, read it again", show::trimmed(off, 0)))
}

/// What a card asks for, with its unit where the words do not hold it.
#[must_use]
pub(super) fn asked(ask: &str, unit: &str) -> String {
    if ask.contains(unit) {
        ask.to_owned()
    } else {
        format!("{ask}, in {unit}")
    }
}

/// What the line is for, in words, with the answer so far or why it is not one.
#[must_use]
pub(super) fn prompt(model: &Model) -> (Tone, String) {
    if let Some(at) = model.item().filter(|_| model.card_asks()) {
        let card = model.session.card();
        let answer = card.items.get(at).map(|item| item.caution.answer.clone());
        return match answer {
            Some(Answer::Number { ask, unit }) => (
                Tone::Plain,
                format!("{}: {}", asked(&ask, &unit), model.entry),
            ),
            Some(Answer::Choice(words)) => {
                // What was typed stays in view when it could not be taken, as on a full disk.
                let typed = match model.entry.as_str() {
                    "" => String::new(),
                    entry => format!("  > {entry}"),
                };
                let list: Vec<String> = words
                    .iter()
                    .enumerate()
                    .map(|(n, word)| format!("{}: {word}", n + 1))
                    .collect();
                (Tone::Plain, format!("press {}{typed}", list.join(" · ")))
            }
            _ if model.entry.is_empty() => (Tone::Plain, "SPACE when it is so".to_owned()),
            _ => (
                Tone::Caution,
                "this item asks for no number: clear with *, then SPACE".to_owned(),
            ),
        };
    }
    let Some(field) = current_field(model) else {
        return (Tone::Plain, String::new());
    };
    if model.entry.is_empty() {
        let state = if model.hot && !matches!(field.what, Dimension::Mass | Dimension::Bands) {
            format!(
                "read HOT at {}",
                model.units().temperature(model.hot_temperature())
            )
        } else {
            "read COLD".to_owned()
        };
        return (Tone::Plain, format!("type {} ({state})", field.what.word()));
    }
    match echo(model, &field) {
        Ok(echo) => match echo.doubt {
            Some(doubt) => (Tone::Caution, format!("{}: {doubt}", echo.text)),
            None => (Tone::Plain, echo.text),
        },
        Err(why) => (Tone::Caution, why.to_string()),
    }
}
