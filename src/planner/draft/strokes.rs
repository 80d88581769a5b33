//! Single steps that many drafts share: weld, draw, square, trim, grind.

use super::bench::{Bench, Say};
use super::sizes::LIGHT_SCALE;
use super::windows::weld_soak;
use crate::billet::{Faces, Move, Refusal, Sizes};
use crate::units::{Fraction, Mm};

/// Heats of a weld. Common practice, no source.
pub(super) const WELD_HEATS: u32 = 4;

/// Heats of a corner crush. Common practice, no source.
const CRUSH_HEATS: u32 = 4;

/// A section to work to; the length follows.
pub(super) fn to(width: Mm, thickness: Mm) -> Sizes {
    Sizes {
        width: Some(width),
        thickness: Some(thickness),
        length: None,
    }
}

/// Prepares a first stack and piles it.
pub(super) fn first(bench: &mut Bench<'_>, pieces: u32) -> Result<(), Refusal> {
    let say = Say {
        title: Some(format!("Cut and clean {pieces} pieces")),
        done: Some(format!(
            "bright on both faces, all of one length within {}",
            bench.wish.even()
        )),
        notes: vec!["Degrease last and keep bare hands off the faces.".to_owned()],
        ..Say::default()
    };
    bench.put(Move::Prepare, say)?;
    let height = bench.say(bench.billet.bar.thickness);
    let say = Say {
        done: Some(format!("{height} tall, counted aloud: {pieces}")),
        cautions: vec![format!(
            "Count the {pieces} pieces twice before the first tack."
        )],
        ..Say::default()
    };
    bench.put(Move::STACK, say)
}

/// Sets a weld on the pile that lies there.
pub(super) fn weld(bench: &mut Bench<'_>, title: &str) -> Result<(), Refusal> {
    weld_in(bench, title, WELD_HEATS)
}

/// The same in so many heats.
pub(super) fn weld_in(bench: &mut Bench<'_>, title: &str, heats: u32) -> Result<(), Refusal> {
    let height = bench.billet.bar.thickness;
    let say = Say {
        title: Some(title.to_owned()),
        heats,
        window: Some(bench.windows.weld),
        soak: Some(weld_soak(height)),
        done: Some("no dark line when it is heated again".to_owned()),
        ..Say::default()
    };
    let made = Move::Weld {
        to: Sizes::default(),
        scale: Fraction::ZERO,
    };
    bench.put(made, say)
}

/// Draws out to a section.
pub(super) fn draw(
    bench: &mut Bench<'_>,
    title: &str,
    width: Mm,
    thickness: Mm,
    scale: Fraction,
) -> Result<(), Refusal> {
    let units = bench.wish.units;
    let say = Say {
        title: Some(title.to_owned()),
        heats: bench.draw_heats(width, thickness),
        window: Some(bench.windows.draw),
        done: Some(format!(
            "{} x {}, even the whole length",
            units.length_bare(width),
            units.length(thickness)
        )),
        ..Say::default()
    };
    let made = Move::Draw {
        to: to(width, thickness),
        scale,
    };
    bench.put(made, say)
}

/// A square crushed on its corner to a smaller one.
pub(super) fn crush(bench: &mut Bench<'_>, crushed: Mm) -> Result<(), Refusal> {
    let say = Say {
        title: Some("Crush on the corner".to_owned()),
        heats: CRUSH_HEATS,
        window: Some(bench.windows.draw),
        done: Some("a new square; one W across the end".to_owned()),
        cautions: vec!["Keep it bright: a cold corner opens the seams.".to_owned()],
        ..Say::default()
    };
    let made = Move::CornerCrush {
        to: to(crushed, crushed),
        scale: LIGHT_SCALE,
    };
    bench.put(made, say)
}

pub(super) fn square(
    bench: &mut Bench<'_>,
    title: &str,
    (width, thickness): (Mm, Mm),
    scale: Fraction,
    heats: u32,
    done: String,
) -> Result<(), Refusal> {
    let say = Say {
        title: Some(title.to_owned()),
        heats,
        window: Some(bench.windows.draw),
        done: Some(done),
        ..Say::default()
    };
    let made = Move::Square {
        to: to(width, thickness),
        scale,
    };
    bench.put(made, say)
}

pub(super) fn trim(bench: &mut Bench<'_>) -> Result<(), Refusal> {
    let ends = [bench.allow.trim; 2];
    let say = Say {
        done: Some("both ends ring clear and show no open seam".to_owned()),
        ..Say::default()
    };
    bench.put(Move::Trim { ends }, say)
}

pub(super) fn grind(bench: &mut Bench<'_>, per_face: Mm, faces: Faces) -> Result<(), Refusal> {
    let say = Say {
        done: Some("bright, no pits, faces parallel".to_owned()),
        ..Say::default()
    };
    bench.put(Move::Grind { per_face, faces }, say)
}
