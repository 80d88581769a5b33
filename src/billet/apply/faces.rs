//! Metal off the sides of a bar: ground away, or eaten by the fire.

use super::section::{Outside, hollow_at, work_to};
use super::work::{Work, refuse};
use crate::billet::{Bar, Figure, Loss, Refusal, Side, Skin, Stand};
use crate::units::Mm;

/// Hot work to an outside with a share of the metal lost to the fire: first the skin off the sides,
/// then what is left brought evenly to the outside.
pub(super) fn work_hot(work: &mut Work<'_>, to: Outside, lost: f64) -> Result<(), Refusal> {
    let bar = &work.now.bar;
    let skin = Skin::over([bar.width, bar.thickness], [to.width, to.thickness], lost);
    // The floors of grooves lose as much as the lands: they stay as deep.
    let (open, depth) = hollow_at(bar, to.thickness);
    take_all(work, skin, Loss::Scale)?;
    work_to(&mut work.now, to);
    let bar = &mut work.now.bar;
    bar.void = to.width * to.length * open;
    bar.depth = depth;
    work.skin = skin;
    Ok(())
}

/// Takes a skin off all four sides.
pub(super) fn take_all(work: &mut Work<'_>, skin: Skin, loss: Loss) -> Result<(), Refusal> {
    for (side, off) in [
        (Side::Top, skin.through),
        (Side::Bottom, skin.through),
        (Side::Edge, skin.across),
        (Side::Spine, skin.across),
    ] {
        take(work, side, off, loss)?;
    }
    Ok(())
}

/// Takes an amount off one side: bars on it first, the outermost first, then the core.
fn take(work: &mut Work<'_>, side: Side, off: Mm, loss: Loss) -> Result<(), Refusal> {
    if !off.is_positive() {
        return Ok(());
    }
    let bar = &work.now.bar;
    let core = if matches!(side, Side::Top | Side::Bottom) {
        bar.core_thickness()
    } else {
        bar.core_width()
    };
    let through = || {
        let (off, side) = (work.say(off), side.word());
        let what = if loss == Loss::Scale {
            format!("{off} lost to scale off the {side} takes the whole core")
        } else {
            format!("{off} off the {side} grinds through the whole core")
        };
        let less = if loss == Loss::Scale {
            "write a smaller share"
        } else {
            "grind less"
        };
        refuse(key(loss), format!("{what} of {}", work.say(core)), less)
    };
    if off >= core + bar.frame_on(side) {
        return Err(through());
    }
    let framed = bar.on(side).count();
    let mut stripped = bar.clone();
    strip(&mut stripped, side, off).map_err(|_| through())?;
    work.now.bar = stripped;
    if framed > 0 && work.now.bar.on(side).count() == 0 {
        let how = if loss == Loss::Scale {
            "is lost to scale"
        } else {
            "is ground away"
        };
        let text = format!(
            "the plain bar on the {} {how}: the layers are bare there",
            side.word()
        );
        work.warn_loss(Some(key(loss)), Some(loss), text);
    }
    Ok(())
}

/// Metal off one side of a bar and of every bar of its section that reaches that side.
pub(super) fn strip(bar: &mut Bar, side: Side, off: Mm) -> Result<(), ThroughAll> {
    let flat_face = matches!(side, Side::Top | Side::Bottom);
    if flat_face {
        bar.thickness = bar.thickness - off;
    } else {
        bar.width = bar.width - off;
    }
    let mut left = off;
    for ring in (1..=bar.rings()).rev() {
        let at_ring = left;
        for on in bar.frame.iter_mut().rev().filter(|on| on.ring == ring) {
            if on.side == side {
                let gone = on.thickness().min(left);
                left = left - gone;
                if (on.thickness() - gone).0 > 1e-9 {
                    strip(&mut on.bar, side, gone)?;
                } else {
                    on.bar.width = Mm::ZERO;
                    on.bar.thickness = Mm::ZERO;
                }
            }
        }
        for on in bar.frame.iter_mut().filter(|on| on.ring == ring) {
            let off = if on.long { at_ring } else { left };
            let crosses = matches!(on.side, Side::Edge | Side::Spine) == flat_face;
            if crosses && off.is_positive() && on.bar.width.is_positive() {
                strip(&mut on.bar, side, off)?;
            }
        }
    }
    bar.frame.retain(|on| on.bar.width.is_positive());
    let core = if flat_face {
        bar.core_thickness()
    } else {
        bar.core_width()
    };
    if left.is_positive() && core.0 <= 1e-9 {
        return Err(ThroughAll);
    }
    let along = match bar.core.stand {
        Stand::Flat => flat_face,
        Stand::OnEdge => !flat_face,
    };
    if left.is_positive() && along && bar.core.figure == Figure::Flat {
        let (low, high) = match side {
            Side::Bottom | Side::Spine => (left, Mm::ZERO),
            Side::Top | Side::Edge => (Mm::ZERO, left),
        };
        let layers = bar.core.layers.trimmed(low, high);
        bar.core.layers = layers.map_err(|_| ThroughAll)?;
    }
    Ok(())
}

/// Nothing of a bar would be left.
pub(super) struct ThroughAll;

/// The plan key that says how much goes.
fn key(loss: Loss) -> &'static str {
    if loss == Loss::Scale {
        "scale"
    } else {
        "per-face"
    }
}
