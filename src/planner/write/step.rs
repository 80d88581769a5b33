//! One `[[step]]`. What a reader would fill in by itself from the shop is left out.

use super::number;
use crate::billet::{Arrange, Faces, Groove, Kind, Move, Sizes};
use crate::plan::{Plan, Step};
use crate::units::{Fraction, Mm};

/// Shares and edges that a reader fills in where a step names none; they are the plan format's
/// defaults, and a test reads every written plan back.
const FORGE_SCALE: Fraction = Fraction(0.01);
const HEAT_TREAT_SCALE: Fraction = Fraction(0.005);
const ROUGH_EDGE: Mm = Mm(1.0);

/// The lines of a step. `usual_id` and `usual_day` are what a reader gives by itself.
pub(super) fn lines(plan: &Plan, step: &Step, usual_id: &str, usual_day: u32) -> Vec<String> {
    let mut out = vec![format!("kind = {}", number::text(step.kind().word()))];
    let mut put = |key: &str, value: String| out.push(format!("{key} = {value}"));
    if step.id.0 != usual_id {
        put("id", number::text(&step.id.0));
    }
    if let Some(title) = &step.title {
        put("title", number::text(title));
    }
    if step.day != usual_day {
        put("day", step.day.to_string());
    }
    for (key, value) in of_move(plan, &step.made) {
        put(key, value);
    }
    if step.kind().is_hot() || step.heats > 0 {
        put("heats", step.heats.to_string());
    }
    if let Some(window) = step.window {
        let low = number::temperature(plan.units, window.low);
        let high = number::temperature(plan.units, window.high);
        put("window", format!("[{low}, {high}]"));
    }
    if let Some(soak) = step.soak {
        put("soak", number::duration(soak));
    }
    if let Some(done) = &step.done_when {
        put("done", number::text(done));
    }
    for (key, texts) in [("cautions", &step.cautions), ("notes", &step.notes)] {
        if !texts.is_empty() {
            put(key, super::list(texts));
        }
    }
    out
}

type Pairs = Vec<(&'static str, String)>;

#[expect(clippy::too_many_lines, reason = "one arm a kind")]
fn of_move(plan: &Plan, made: &Move) -> Pairs {
    let allow = &plan.shop.allowances;
    let mut out: Pairs = Vec::new();
    let size = |value: Mm| number::length(plan.units, value);
    match made {
        Move::Prepare
        | Move::Stack
        | Move::QuarterTurn
        | Move::Harden
        | Move::Etch
        | Move::EndDay => {}
        Move::Weld { to, scale } | Move::Square { to, scale } => {
            sizes(plan, to, &mut out);
            part_lost(*scale, Fraction::ZERO, &mut out);
        }
        Move::Draw { to, scale } | Move::CornerCrush { to, scale } => {
            sizes(plan, to, &mut out);
            part_lost(*scale, allow.scale, &mut out);
        }
        Move::Trim { ends: [held, far] } => {
            let usual = [*held, *far] == [allow.trim; 2];
            if !usual {
                out.push(("ends", format!("[{}, {}]", size(*held), size(*far))));
            }
        }
        Move::Grind { per_face, faces } => {
            if *per_face != allow.grind {
                out.push(("per-face", size(*per_face)));
            }
            if *faces == Faces::Four {
                out.push(("faces", number::text("four")));
            }
        }
        Move::Cut {
            pieces,
            length,
            kerf,
            keep_rest,
        } => {
            out.push(("pieces", pieces.to_string()));
            out.extend(length.map(|length| ("length", size(length))));
            if *kerf != allow.kerf {
                out.push(("kerf", size(*kerf)));
            }
            if *keep_rest {
                out.push(("keep", "true".to_owned()));
            }
        }
        Move::Restack { arrange } => arranged(*arrange, &mut out),
        Move::Fold { plies, kerf } => {
            out.push(("plies", plies.to_string()));
            if *kerf != allow.kerf {
                out.push(("kerf", size(*kerf)));
            }
        }
        Move::Frame { bars } => {
            for bar in bars {
                if let Some(steel) = plan.steels.get(bar.steel.index()) {
                    let thick = number::length_in_text(plan.units, bar.thickness);
                    let piece = number::text(&format!("{} {thick}", steel.key));
                    out.push((bar.side.word(), piece));
                }
            }
        }
        Move::Groove {
            count,
            width,
            depth,
            pitch,
            shape,
        } => {
            out.push(("count", count.to_string()));
            out.push(("width", size(*width)));
            out.push(("depth", size(*depth)));
            out.push(("pitch", size(*pitch)));
            if *shape == Groove::Vee {
                out.push(("shape", number::text("vee")));
            }
        }
        Move::Dimple {
            count,
            diameter,
            depth,
            pressed,
        } => {
            out.push(("count", count.to_string()));
            out.push(("diameter", size(*diameter)));
            out.push(("depth", size(*depth)));
            if *pressed {
                out.push(("pressed", "true".to_owned()));
            }
        }
        Move::Twist { turns, over } => {
            out.push(("turns", number::plain(*turns)));
            out.extend(over.map(|over| ("over", size(over))));
        }
        Move::Split { angle } => out.push(("angle", number::plain(*angle))),
        Move::Inspect { bands } => out.extend(bands.map(|count| ("bands", count.to_string()))),
        Move::Forge { part, to, scale } => {
            out.push(("part", number::text(part.word())));
            sizes(plan, to, &mut out);
            part_lost(*scale, FORGE_SCALE, &mut out);
        }
        Move::Normalise { cycles, scale } => {
            out.push(("cycles", cycles.to_string()));
            part_lost(*scale, HEAT_TREAT_SCALE, &mut out);
        }
        Move::Anneal { scale } => part_lost(*scale, HEAT_TREAT_SCALE, &mut out),
        Move::RoughGrind { edge, share } => {
            if *edge != ROUGH_EDGE {
                out.push(("edge", size(*edge)));
            }
            out.extend(share.map(|share| ("share", number::share(share))));
        }
        Move::Temper { cycles } => out.push(("cycles", cycles.to_string())),
        Move::FinishGrind { edge, share } => {
            if *edge != plan.goal.blade.edge {
                out.push(("edge", size(*edge)));
            }
            out.extend(share.map(|share| ("share", number::share(share))));
        }
    }
    out
}

fn sizes(plan: &Plan, to: &Sizes, out: &mut Pairs) {
    for (key, value) in [
        ("width", to.width),
        ("thickness", to.thickness),
        ("length", to.length),
    ] {
        out.extend(value.map(|value| (key, number::length(plan.units, value))));
    }
}

fn part_lost(scale: Fraction, usual: Fraction, out: &mut Pairs) {
    if scale != usual {
        out.push(("scale", number::share(scale)));
    }
}

fn arranged(arrange: Arrange, out: &mut Pairs) {
    match arrange {
        Arrange::Pile => {}
        Arrange::Flipped => out.push(("arrange", number::text("flipped"))),
        Arrange::Block {
            columns,
            rows,
            turned,
        } => {
            out.push(("arrange", number::text("block")));
            out.push(("columns", columns.to_string()));
            out.push(("rows", rows.to_string()));
            if turned {
                out.push(("turned", "true".to_owned()));
            }
        }
    }
}

/// The day of the step after one on `day`.
pub(super) fn day_after(kind: Kind, day: u32) -> u32 {
    if kind == Kind::EndDay {
        day.saturating_add(1)
    } else {
        day
    }
}
