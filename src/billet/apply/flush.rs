//! Bars brought flush where they are laid on each other.

use super::cut::shorten;
use super::faces::strip;
use super::section::{Outside, stretch};
use super::work::{Work, refuse};
use crate::billet::{Billet, Dimension, Faces, Fit, FrameBar, Loss, Move, Piece, Refusal, Side};
use crate::units::Mm;

/// Sections and lengths nearer than this part of each other are brought flush by the weld and the trim
/// after it. Common practice, no source.
const NEAR_SIDE: f64 = 0.05;
const NEAR_LENGTH: f64 = 0.02;

/// All as long as the shortest.
pub(super) fn lengths(
    work: &mut Work<'_>,
    put: &[FrameBar],
    laid: &mut [Billet],
    fit: bool,
) -> Result<(), Refusal> {
    let own = work.now.bar.length;
    let mut least = own;
    for (one, metal) in put.iter().zip(laid.iter()) {
        let has = metal.bar.length;
        let off = has - own;
        let held = Fit {
            bar: metal.name.clone(),
            what: Dimension::Length,
            turned: false,
            has,
            wants: own,
            near: NEAR_LENGTH,
        };
        let near = held.is_near();
        if one.as_plain().is_none() {
            work.fits.push(held);
        }
        if !fit && !near {
            let (long, short) = if off.is_positive() {
                (metal.called(), work.was.called())
            } else {
                (work.was.called(), metal.called())
            };
            return Err(refuse(
                key_of(work, one.side),
                format!(
                    "{} is {} long and {} {}: {} is {} longer",
                    metal.called(),
                    work.say(has),
                    work.was.called(),
                    work.say(own),
                    long,
                    work.say(off.abs())
                ),
                format!(
                    "trim {long} to {}, or draw {short} longer",
                    work.say(own.min(has))
                ),
            ));
        }
        least = least.min(has);
    }
    let was = work.now.bar.volume();
    shorten(&mut work.now.bar, least);
    let mut gone = was - work.now.bar.volume();
    for (one, metal) in put.iter().zip(laid) {
        let was = metal.bar.volume();
        shorten(&mut metal.bar, least);
        if one.as_plain().is_none() {
            gone += was - metal.bar.volume();
        }
    }
    work.lose(Loss::Trim, gone, false);
    Ok(())
}

/// Brings a bar to the face that it lies on: a little by the weld, which keeps its area; what stands far
/// over is ground off where the plan says so.
pub(super) fn flush(
    work: &mut Work<'_>,
    one: &FrameBar,
    metal: &mut Billet,
    covers: Mm,
    fit: bool,
) -> Result<(), Refusal> {
    let flat = matches!(one.side, Side::Top | Side::Bottom);
    if one.as_plain().is_some() {
        if flat {
            metal.bar.width = covers;
        } else {
            metal.bar.thickness = covers;
        }
        work.now.ledger.added += metal.bar.volume();
        return Ok(());
    }
    let has = if flat {
        metal.bar.width
    } else {
        metal.bar.thickness
    };
    let held = Fit {
        bar: metal.name.clone(),
        what: if flat {
            Dimension::Width
        } else {
            Dimension::Thickness
        },
        turned: matches!(&one.piece, Piece::Of { turns, .. } if turns % 2 == 1),
        has,
        wants: covers,
        near: NEAR_SIDE,
    };
    let (over, near) = (held.over(), held.is_near());
    work.fits.push(held);
    if !near {
        let what = if flat { "wide" } else { "thick" };
        if !fit {
            let remedy = if over.is_positive() {
                format!(
                    "draw {} to {}, or grind {} off it",
                    metal.called(),
                    work.say(covers),
                    work.say(over)
                )
            } else {
                format!(
                    "draw {} to {}, or make the bar under it smaller",
                    metal.called(),
                    work.say(covers)
                )
            };
            return Err(refuse(
                key_of(work, one.side),
                format!(
                    "{} is {} {what} where it covers {}: {} too {}",
                    metal.called(),
                    work.say(has),
                    work.say(covers),
                    work.say(over.abs()),
                    if over.is_positive() { "much" } else { "little" }
                ),
                remedy,
            ));
        }
        if over.is_positive() {
            let was = metal.bar.volume();
            let before = metal.outside_sizes();
            let sides = if flat {
                [Side::Edge, Side::Spine]
            } else {
                [Side::Top, Side::Bottom]
            };
            for side in sides {
                let done = strip(&mut metal.bar, side, over / 2.0);
                done.map_err(|_| {
                    refuse(
                        "fit",
                        "the bar would be ground away",
                        "make it smaller first",
                    )
                })?;
            }
            work.lose(Loss::Grind, was - metal.bar.volume(), false);
            let made = Move::Grind {
                per_face: over / 2.0,
                faces: Faces::Two,
            };
            metal.note(made, before);
        }
    }
    let bar = &metal.bar;
    let area = bar.section();
    let to = if flat {
        Outside {
            width: covers,
            thickness: area / covers,
            length: bar.length,
        }
    } else {
        Outside {
            width: area / covers,
            thickness: covers,
            length: bar.length,
        }
    };
    stretch(&mut metal.bar, to);
    Ok(())
}

/// The plan key that a bar is named by.
pub(super) fn key_of(work: &Work<'_>, side: Side) -> &'static str {
    match work.made {
        Move::Join { .. } | Move::Jacket { .. } => "with",
        Move::Slice { .. } => "backing",
        Move::Stack { .. } => "kind",
        _ => side.word(),
    }
}
