//! The number that matters now.

pub use super::big_number::Headline;
use super::choices::watch_due;
use super::clock;
use super::model::{Model, Tone};
use crate::billet::{Dimension, Faces, Matters, Move};
use crate::plan::Step;
use crate::units::{Mm, Seconds, show};

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
    match (step.kind().row().matters, &step.made) {
        (Matters::Pieces, _) => {
            let count = model.plan().first_pieces(step);
            Headline::new(count.to_string(), "PIECES to cut and clean", Tone::Plain)
        }
        (Matters::Size(what, label), _) => wanted(what, label),
        (Matters::TrimOff, Move::Trim { ends: [held, far] }) => {
            if held.near(*far, 1e-6) {
                size(*held, "TRIM off each end")
            } else {
                let far = units.length(*far);
                size(
                    *held,
                    &format!("TRIM off the held end; {far} off the far end"),
                )
            }
        }
        (Matters::FlatGround, Move::Grind { faces, .. }) => {
            let words = match faces {
                Faces::Two => "THICKNESS wanted, both faces ground",
                Faces::Four => "THICKNESS wanted, all four flats ground",
            };
            wanted(Dimension::Thickness, words)
        }
        (Matters::PieceLength, Move::Cut { pieces, .. }) => wanted(
            Dimension::Length,
            &format!("LENGTH of each of {pieces} pieces"),
        ),
        (
            Matters::TileThickness,
            Move::Slice {
                tiles, thickness, ..
            },
        ) => {
            let all = tiles.saturating_mul(model.session.billet.pieces.max(1));
            size(*thickness, &format!("THICKNESS of each of {all} tiles"))
        }
        (Matters::Given(key, label), made) => match crate::plan::given_size(made, key) {
            Some(value) => size(value, label),
            None => thickness(),
        },
        (
            Matters::Turns,
            Move::Twist {
                turns,
                over,
                from,
                hand,
            },
        ) => {
            let start = from.unwrap_or(Mm::ZERO);
            let over = over.unwrap_or(model.session.billet.bar.length - start);
            let (hand, pitch) = (<&str>::from(*hand), units.length(over / *turns));
            let part = from.map_or_else(String::new, |_| {
                format!(
                    ", over {} from {} on",
                    units.length_bare(over),
                    units.length(start)
                )
            });
            let turns = show::trimmed(*turns, 1);
            let words = format!("TURNS to the {hand}, one in {pitch}{part}");
            Headline::new(turns, words, Tone::Plain)
        }
        (Matters::Bands, _) => {
            let billet = &model.session.billet;
            let place = if billet.banded_face() {
                "along an etched face"
            } else {
                "on the etched end"
            };
            let row = model.situation.size(Dimension::Bands);
            let count = show::count(billet.bands());
            // What the metal has now; a plan that meant another number is named beside it.
            let meant = row
                .filter(|row| row.named)
                .map(|row| row.show(units, row.wanted));
            let meant = meant.filter(|meant| *meant != count);
            let meant = meant.map_or_else(String::new, |meant| format!("; the plan has {meant}"));
            let label = format!("BANDS expected {place}{meant}");
            Headline::new(count, label, Tone::Plain)
        }
        (Matters::Heat(label), _) => degrees(label),
        (Matters::NextHeat, _) => {
            let heat = model.session.normalising();
            heat.map_or_else(thickness, |(number, of, at)| {
                let label = format!("NORMALISE, heat {number} of {of} at");
                Headline::heat(units, at, label, Tone::Plain)
            })
        }
        (Matters::Part, Move::Forge { part, to, .. }) => {
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
        (Matters::Dip, _) => step.soak.map_or_else(
            || Headline::new("-", "etch by eye", Tone::Plain),
            |soak| Headline::new(show::clock(soak), "EACH DIP", Tone::Plain),
        ),
        (Matters::FireWatch, _) => {
            let due = watch_due(model);
            let left = if due {
                model.settings.watch
            } else {
                Seconds::ZERO
            };
            Headline::new(show::clock(left), "FIRE WATCH to keep", Tone::Plain)
        }
        (Matters::Sign(sign, words), _) => Headline::new(sign, words, Tone::Plain),
        // A row that asks for what its move has not got.
        (
            Matters::TrimOff
            | Matters::FlatGround
            | Matters::PieceLength
            | Matters::TileThickness
            | Matters::Turns
            | Matters::Part,
            _,
        ) => thickness(),
    }
}
