//! Metal off the sides of a bar: ground away, or eaten by the fire.

use super::section::{Outside, hollow_at, work_to};
use super::work::{Work, refuse};
use crate::billet::{Figure, Loss, Refusal, Side, Skin, Stand};
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

/// Takes an amount off one side: plain bars first, the outermost first, then the core.
fn take(work: &mut Work<'_>, side: Side, off: Mm, loss: Loss) -> Result<(), Refusal> {
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
    let along = match bar.core.stand {
        Stand::Flat => flat_face,
        Stand::OnEdge => !flat_face,
    };
    let left = (off - bar.frame_on(side)).max(Mm::ZERO);
    let mut layers = None;
    if left.is_positive() && along && bar.core.figure == Figure::Flat {
        let (low, high) = match side {
            Side::Bottom | Side::Spine => (left, Mm::ZERO),
            Side::Top | Side::Edge => (Mm::ZERO, left),
        };
        layers = Some(bar.core.layers.trimmed(low, high).map_err(|_| through())?);
    }
    let bar = &mut work.now.bar;
    if let Some(layers) = layers {
        bar.core.layers = layers;
    }
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
    if framed && !bar.frame.iter().any(|plain| plain.side == side) {
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

/// The plan key that says how much goes.
fn key(loss: Loss) -> &'static str {
    if loss == Loss::Scale {
        "scale"
    } else {
        "per-face"
    }
}
