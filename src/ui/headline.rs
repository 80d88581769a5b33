//! The number that matters now.

use super::model::{Model, Tone};
use crate::billet::{Faces, Move};
use crate::journal::Fire;
use crate::plan::Step;
use crate::session::{CountdownKind, FireNumbers};
use crate::units::{Mm, Seconds, show};

/// A number for block digits, and what it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Headline {
    /// Digits and unit, as short as can be: `14 mm`, `0:42`, `4/9`.
    pub digits: String,
    /// What it is, in words.
    pub label: String,
    /// How loud.
    pub tone: Tone,
}

impl Headline {
    fn new(digits: impl Into<String>, label: impl Into<String>, tone: Tone) -> Self {
        Self {
            digits: digits.into(),
            label: label.into(),
            tone,
        }
    }
}

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
                format!("{} is over: SPACE", name.to_uppercase()),
                Tone::Stop,
            ),
            None,
        );
    }
    let timer = clock(model);
    let card = session.card();
    if let Some(at) = card.current() {
        let part = card.part(at);
        let count = format!("{}/{}", at + 1 - part.first, part.length);
        let list = if part.parts > 1 {
            format!(", list {} of {}", part.number, part.parts)
        } else {
            String::new()
        };
        let label = format!("CARD{list}: settle each item");
        return (Headline::new(count, label, Tone::Caution), timer);
    }
    (target(model, step), timer)
}

/// The time beside the target: soak, time out of the fire, oven, fire watch.
fn clock(model: &Model) -> Option<Headline> {
    let session = &model.session;
    let counts = session.countdowns(model.now);
    let soonest = |kind| counts.iter().find(|count| count.kind == kind);
    let left = |span: Seconds| show::clock(span.max(Seconds::ZERO));
    let fire = model.reckoned.as_ref().and_then(|found| found.fire);
    let spent = session.fire_for(model.now);
    match session.piece(model.now) {
        Fire::In => Some(inside(model, spent)),
        Fire::Out => Some(match fire {
            Some(fire) => outside(model, spent, &fire),
            None => Headline::new(show::clock(spent), "OUT OF THE FIRE so long", Tone::Caution),
        }),
        Fire::Cold => {
            let oven = soonest(CountdownKind::Oven);
            let watch = soonest(CountdownKind::FireWatch);
            oven.or(watch).map(|count| {
                Headline::new(
                    left(count.left),
                    format!("{} left", count.name.to_uppercase()),
                    Tone::Plain,
                )
            })
        }
    }
}

/// In the fire: what is left until it is hot through and has soaked.
fn inside(model: &Model, spent: Seconds) -> Headline {
    let Some(need) = model.soak() else {
        return Headline::new(show::clock(spent), "IN THE FIRE so long", Tone::Plain);
    };
    let left = Seconds(need.best) - spent;
    if left.0 > 0.0 {
        let label = format!(
            "SOAK ~left of {}-{} min",
            show::fixed(need.low / 60.0, 0),
            show::fixed(need.high / 60.0, 0)
        );
        return Headline::new(show::clock(left), label, Tone::Plain);
    }
    Headline::new(
        show::clock(spent),
        "SOAK DONE: in the fire so long",
        Tone::Caution,
    )
}

/// Out of the fire: what is left of the working window.
fn outside(model: &Model, spent: Seconds, fire: &FireNumbers) -> Headline {
    let left = Seconds(fire.left.best) - spent;
    let floor = model.units().temperature(fire.floor);
    let band = format!(
        "{}-{} s",
        show::fixed(fire.left.low, 0),
        show::fixed(fire.left.high, 0)
    );
    if left.0 <= 0.0 {
        let label = format!("BACK TO THE FIRE: ~{floor} by now");
        return Headline::new("0:00", label, Tone::Stop);
    }
    let [full, empty] = model.settings.glyphs.bar();
    let cells = 8.0;
    let on = (left.0 / fire.left.best.max(1.0) * cells).ceil();
    let bar: String = (0..8u8)
        .map(|n| if f64::from(n) < on { full } else { empty })
        .collect();
    let label = format!("OUT {bar} to {floor} ({band})");
    Headline::new(show::clock(left), label, Tone::Caution)
}

/// The target of the step.
fn target(model: &Model, step: &Step) -> Headline {
    let units = model.units();
    let size = |value: Mm, label: &str| {
        let text = format!("{} {}", units.length_bare(value), units.length_unit());
        Headline::new(text, label, Tone::Plain)
    };
    let expected = model.session.expected();
    let bar = expected.map(|billet| &billet.bar);
    let thickness = || {
        bar.map_or_else(
            || Headline::new("-", "no target", Tone::Plain),
            |bar| size(bar.thickness, "THICKNESS wanted"),
        )
    };
    let degrees = |label: &str| {
        step.window.map_or_else(thickness, |window| {
            let value = match units {
                crate::units::Units::Mm => window.high.0,
                crate::units::Units::Inch => window.high.fahrenheit(),
            };
            let unit = if units == crate::units::Units::Mm {
                "C"
            } else {
                "F"
            };
            Headline::new(
                format!("{} {unit}", show::trimmed(value, 0)),
                label,
                Tone::Plain,
            )
        })
    };
    match &step.made {
        Move::Prepare => {
            let count = model.plan().stack.len();
            Headline::new(count.to_string(), "PIECES to cut and clean", Tone::Plain)
        }
        Move::Stack => {
            let height: Mm = model.plan().stack.iter().map(|piece| piece.thickness).sum();
            size(height, "HEIGHT of the stack")
        }
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
            bar.map_or_else(thickness, |bar| size(bar.thickness, words))
        }
        Move::Cut { pieces, .. } => bar.map_or_else(thickness, |bar| {
            size(bar.length, &format!("LENGTH of each of {pieces} pieces"))
        }),
        Move::Restack { .. } | Move::Fold { .. } => bar.map_or_else(thickness, |bar| {
            size(bar.thickness, "HEIGHT of the new stack")
        }),
        Move::Frame { .. } => {
            bar.map_or_else(thickness, |bar| size(bar.width, "WIDTH with the frame on"))
        }
        Move::Groove { depth, .. } => size(*depth, "DEPTH of each groove, check three places"),
        Move::Dimple { depth, .. } => size(*depth, "DEPTH of each dimple"),
        Move::Twist { turns, .. } => Headline::new(
            show::trimmed(*turns, 1),
            "TURNS, even along the bar",
            Tone::Plain,
        ),
        Move::Inspect { bands } => {
            let modelled = u64::try_from(model.session.billet.bands()).unwrap_or(u64::MAX);
            let count = bands.unwrap_or(modelled);
            Headline::new(
                count.to_string(),
                "BANDS expected on the etched end",
                Tone::Plain,
            )
        }
        Move::Temper { .. } => degrees("TEMPER at"),
        Move::Harden => degrees("HARDEN at, not above"),
        Move::Normalise { .. } => degrees("NORMALISE, first heat at"),
        Move::Anneal { .. } => degrees("ANNEAL at"),
        Move::RoughGrind { edge, .. } => size(*edge, "EDGE to leave before hardening"),
        Move::FinishGrind { edge, .. } => size(*edge, "EDGE to leave before sharpening"),
        Move::Forge { to, .. } => {
            if let Some(length) = to.length {
                size(length, "LENGTH of the part")
            } else {
                thickness()
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
