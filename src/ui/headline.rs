//! The number that matters now.

pub use super::big_number::Headline;
use super::clock;
use super::model::{Model, Tone};
use crate::billet::{Dimension, Faces, Move};
use crate::plan::Step;
use crate::units::{Mm, show};

/// The number, and a second one beside it where two are wanted (a size and a time).
#[must_use]
pub fn headline(model: &Model) -> (Headline, Option<Headline>) {
    let session = &model.session;
    let Some(step) = session.current() else {
        return (
            Headline::new(
                format!("{}/{}", session.at, session.at),
                "all steps done",
                Tone::Plain,
            ),
            None,
        );
    };
    if let Some((_, name)) = model.alarm() {
        return (
            Headline::new(
                "0:00",
                format!("{} is over: +", name.to_uppercase()),
                Tone::Stop,
            ),
            None,
        );
    }
    let timer = clock::clock(model);
    let card = &model.situation.card;
    if let Some(at) = card.current() {
        let (n, of) = card.count_of(at);
        let label = "CARD: settle each item";
        return (
            Headline::new(format!("{n}/{of}"), label, Tone::Caution),
            timer,
        );
    }
    (target(model, step), timer)
}

/// The target of the step.
fn target(model: &Model, step: &Step) -> Headline {
    let units = model.units();
    let size = |value: Mm, label: &str| {
        let text = format!("{} {}", units.length_bare(value), units.length_unit());
        Headline::new(text, label, Tone::Plain)
    };
    let wanted = |what: Dimension, label: &str| {
        model.situation.size(what).map_or_else(
            || Headline::new("-", "no target", Tone::Plain),
            |row| size(Mm(row.wanted), label),
        )
    };
    let thickness = || wanted(Dimension::Thickness, "THICKNESS wanted");
    let degrees = |label: &str| {
        let window = model.session.window();
        window.map_or_else(thickness, |window| {
            Headline::heat(units, window.high, label, Tone::Plain)
        })
    };
    match &step.made {
        Move::Prepare => {
            let count = model.plan().stack.len();
            Headline::new(count.to_string(), "PIECES to cut and clean", Tone::Plain)
        }
        Move::Stack => wanted(Dimension::Thickness, "HEIGHT of the stack"),
        Move::Trim { ends: [held, far] } => {
            if held.near(*far, 1e-6) {
                size(*held, "TRIM off each end")
            } else {
                size(
                    *held,
                    &format!(
                        "TRIM off the held end; {} off the far end",
                        units.length(*far)
                    ),
                )
            }
        }
        Move::Grind { faces, .. } => {
            let words = match faces {
                Faces::Two => "THICKNESS wanted, both faces ground",
                Faces::Four => "THICKNESS wanted, all four flats ground",
            };
            wanted(Dimension::Thickness, words)
        }
        Move::Cut { pieces, .. } => wanted(
            Dimension::Length,
            &format!("LENGTH of each of {pieces} pieces"),
        ),
        Move::Restack { .. } | Move::Fold { .. } => {
            wanted(Dimension::Thickness, "HEIGHT of the new stack")
        }
        Move::Frame { .. } => wanted(Dimension::Width, "WIDTH with the frame on"),
        Move::Groove { depth, .. } => size(*depth, "DEPTH of each groove, check three places"),
        Move::Dimple { depth, .. } => size(*depth, "DEPTH of each dimple"),
        Move::Twist { turns, .. } => Headline::new(
            show::trimmed(*turns, 1),
            "TURNS, even along the bar",
            Tone::Plain,
        ),
        Move::Inspect { .. } => {
            let row = model.situation.size(Dimension::Bands);
            let count = row.map_or_else(|| "-".to_owned(), |row| row.show(units, row.wanted));
            Headline::new(count, "BANDS expected on the etched end", Tone::Plain)
        }
        Move::Temper { .. } => degrees("TEMPER at"),
        Move::Harden => degrees("HARDEN at, not above"),
        Move::Normalise { .. } => {
            let heat = model.session.normalising();
            heat.map_or_else(thickness, |(number, of, at)| {
                let label = format!("NORMALISE, heat {number} of {of} at");
                Headline::heat(units, at, label, Tone::Plain)
            })
        }
        Move::Anneal { .. } => degrees("ANNEAL at"),
        Move::RoughGrind { edge, .. } => size(*edge, "EDGE to leave before hardening"),
        Move::FinishGrind { edge, .. } => size(*edge, "EDGE to leave before sharpening"),
        Move::Forge { part, to, .. } => {
            let part = part.word();
            match (to.length, to.thickness, to.width) {
                (Some(_), ..) => wanted(Dimension::Length, &format!("LENGTH of the {part}")),
                (_, Some(_), _) => {
                    wanted(Dimension::Thickness, &format!("THICKNESS of the {part}"))
                }
                (_, _, Some(_)) => wanted(Dimension::Width, &format!("WIDTH of the {part}")),
                _ => thickness(),
            }
        }
        Move::Etch => step.soak.map_or_else(
            || Headline::new("-", "etch by eye", Tone::Plain),
            |soak| Headline::new(show::clock(soak), "EACH DIP", Tone::Plain),
        ),
        Move::EndDay => {
            let watch = model.settings.watch;
            Headline::new(show::clock(watch), "FIRE WATCH to keep", Tone::Plain)
        }
        Move::QuarterTurn => Headline::new("1/4", "TURN: mark which face is up", Tone::Plain),
        Move::Weld { .. }
        | Move::Draw { .. }
        | Move::Square { .. }
        | Move::CornerCrush { .. }
        | Move::Split { .. } => thickness(),
    }
}
