//! The flat grind: what goes off the faces goes off the layers.

use super::faces::take_all;
use super::section::{Outside, work_to};
use super::sizes::{Expect, any_size};
use super::work::{Work, amount, refuse};
use crate::billet::{Bar, Dimension, Faces, Loss, Refusal, Skin};
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
    take_all(work, Skin { across, through }, Loss::Grind)?;
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
