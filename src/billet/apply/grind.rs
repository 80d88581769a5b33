//! The flat grind: what goes off the faces goes off the layers.

use super::section::{Outside, work_to};
use super::sizes::{Expect, any_size};
use super::work::{Work, amount, refuse};
use crate::billet::{Bar, Dimension, Faces, Figure, Loss, Refusal, Side, Stand};
use crate::units::Mm;

const OWN_TWO: &[Dimension] = &[Dimension::Thickness];
const OWN_FOUR: &[Dimension] = &[Dimension::Thickness, Dimension::Width];

/// Grinds two faces or all four.
pub(super) fn grind(work: &mut Work<'_>, per_face: Mm, faces: Faces) -> Result<(), Refusal> {
    let per_face = amount("per-face", per_face)?;
    let bar = &work.was.bar;
    let four = faces == Faces::Four;
    let both = per_face * 2.0;
    if both >= bar.thickness || (four && both >= bar.width) {
        return Err(refuse(
            "per-face",
            format!(
                "{} off each face leaves nothing of {} x {}",
                work.say(per_face),
                work.allow.units.length_bare(bar.width),
                work.say(bar.thickness)
            ),
            "grind less",
        ));
    }
    let outside = Outside {
        width: if four { bar.width - both } else { bar.width },
        thickness: bar.thickness - both,
        length: bar.length,
    };
    let found = Expect {
        outside,
        metal: outside.volume()
            - outside.width * outside.length * hollow_after(bar, outside.thickness),
        density: work.was.density(),
        hollow: |thickness| hollow_after(bar, thickness),
        own: if four { OWN_FOUR } else { OWN_TWO },
        follows: [Dimension::Width, Dimension::Length, Dimension::Thickness],
        follows_mass: [Dimension::Thickness, Dimension::Length, Dimension::Width],
    }
    .find(work.reading)?;

    let through = (bar.thickness - found.outside.thickness).max(Mm::ZERO) / 2.0;
    let across = if four {
        (bar.width - found.outside.width).max(Mm::ZERO) / 2.0
    } else {
        Mm::ZERO
    };
    for (side, off) in [
        (Side::Top, through),
        (Side::Bottom, through),
        (Side::Edge, across),
        (Side::Spine, across),
    ] {
        take(work, side, off)?;
    }
    if any_size(work.reading) {
        // What the grind does not explain was never as it was thought to be.
        work_to(&mut work.now, found.outside);
        work.disagree(&found);
    }
    let open = hollow_after(bar, found.outside.thickness);
    work.now.bar.void = found.outside.width * found.outside.length * open;
    work.now.bar.depth = (bar.depth - through).max(Mm::ZERO);
    work.lose_rest(Loss::Grind, found.measured);
    work.grown(Loss::Grind);
    Ok(())
}

/// Mean open height left: grooves get shallower with their face.
fn hollow_after(bar: &Bar, thickness: Mm) -> Mm {
    let open = bar.void / (bar.width * bar.length);
    if !bar.void.is_positive() || !bar.depth.is_positive() {
        return open.max(Mm::ZERO);
    }
    let off = (bar.thickness - thickness).max(Mm::ZERO) / 2.0;
    open * ((bar.depth - off).max(Mm::ZERO) / bar.depth)
}

/// Takes an amount off one side: plain bars first, the outermost first, then the core.
fn take(work: &mut Work<'_>, side: Side, off: Mm) -> Result<(), Refusal> {
    if !off.is_positive() {
        return Ok(());
    }
    let flat_face = matches!(side, Side::Top | Side::Bottom);
    let bar = &work.now.bar;
    let core = if flat_face {
        bar.core_thickness()
    } else {
        bar.core_width()
    };
    if off >= core + bar.frame_on(side) {
        return Err(refuse(
            "per-face",
            format!(
                "{} off the {} grinds through the whole core of {}",
                work.say(off),
                side.word(),
                work.say(core)
            ),
            "grind less",
        ));
    }
    let bar = &mut work.now.bar;
    if flat_face {
        bar.thickness = bar.thickness - off;
    } else {
        bar.width = bar.width - off;
    }
    let mut left = off;
    let framed = bar.frame.iter().any(|plain| plain.side == side);
    for plain in bar
        .frame
        .iter_mut()
        .rev()
        .filter(|plain| plain.side == side)
    {
        let gone = plain.thickness.min(left);
        plain.thickness = plain.thickness - gone;
        left = left - gone;
    }
    bar.frame.retain(|plain| plain.thickness.0 > 1e-9);
    let bare = framed && !bar.frame.iter().any(|plain| plain.side == side);
    let along = match bar.core.stand {
        Stand::Flat => flat_face,
        Stand::OnEdge => !flat_face,
    };
    if left.is_positive() && along && bar.core.figure == Figure::Flat {
        let (low, high) = match side {
            Side::Bottom | Side::Spine => (left, Mm::ZERO),
            Side::Top | Side::Edge => (Mm::ZERO, left),
        };
        bar.core.layers = bar.core.layers.trimmed(low, high)?;
    }
    if bare {
        let text = format!(
            "the plain bar on the {} is ground away: the layers are bare there",
            side.word()
        );
        work.warn_loss(Some("per-face"), Some(Loss::Grind), text);
    }
    Ok(())
}
