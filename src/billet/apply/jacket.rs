//! A patterned jacket on a plain core, the edge of the core left bare.
//!
//! The weld and the draw after it bring the bare edge to the thickness of the whole: it keeps its area, so
//! that it stands lower there than it was left. A folded jacket is bent square: its corners take as much of
//! its width as they have area.

use std::sync::Arc;

use super::faces::strip;
use super::flush::{flush, lengths};
use super::forge::turned;
use super::lay::{set_apart, taken_all, weld_on};
use super::section::{Outside, stretch};
use super::stack::join;
use super::work::{Work, positive, refuse};
use crate::billet::{Billet, FrameBar, Loss, Refusal, Side, StackPiece, SteelId};
use crate::units::Mm;

pub(super) fn jacket(work: &mut Work<'_>, bare: Mm) -> Result<(), Refusal> {
    let bare = positive("bare", bare)?;
    let (put, fit) = work.made.laid();
    let core = &work.was.bar;
    let Some(steel) = core.plain().filter(|_| !core.void.is_positive()) else {
        return Err(refuse(
            "kind",
            format!(
                "a jacket goes on a plain core, and {} has {} bands",
                work.was.called(),
                core.core.most_bands()
            ),
            "make the core of one steel, or lay bars on it with frame",
        ));
    };
    if !(1..=2).contains(&put.len()) {
        return Err(refuse(
            "with",
            format!("a jacket of {} bars", put.len()),
            "name one to fold round the spine, or two for the two faces",
        ));
    }
    if bare >= core.width {
        return Err(refuse(
            "bare",
            format!(
                "{} bare of a core of {} leaves nothing to cover",
                work.say(bare),
                work.say(core.width)
            ),
            "leave less bare, or make the core wider",
        ));
    }
    set_apart(work, &put);
    let mut laid = taken_all(work, &put)?;
    lengths(work, &put, &mut laid, fit)?;
    let covered = work.now.bar.width - bare;
    let round = covered * 2.0 + work.now.bar.thickness;
    let sides = match (put.as_ref(), laid.as_mut_slice()) {
        ([one], [metal]) => folded(work, one, metal, [covered, round], fit)?,
        _ => {
            for (one, metal) in put.iter().zip(&mut laid) {
                flush(work, one, metal, covered, fit)?;
            }
            let lie = put.iter().map(|one| one.side).zip(laid.iter().cloned());
            lie.collect()
        }
    };
    let area = bare * work.now.bar.thickness;
    narrowed(work, steel, covered);
    for (side, metal) in sides.iter().rev() {
        weld_on(work, *side, metal);
    }
    if work.now.bar.core.layers.bands() == 1 {
        let nominal = sides.iter().map(|(_, metal)| metal.nominal).max();
        work.now.nominal = work.now.nominal.max(nominal.unwrap_or_default());
    }
    let mut edge = Billet::new(
        &[StackPiece {
            steel,
            thickness: area / work.now.bar.thickness,
        }],
        work.now.bar.thickness,
        work.now.bar.length,
        Arc::clone(&work.was.steels),
    );
    turned(&mut edge);
    weld_on(work, Side::Edge, &edge);
    work.joined = laid.into_iter().chain([edge]).map(Arc::new).collect();
    join(work, Loss::Rounding)
}

/// The core without its bare edge.
fn narrowed(work: &mut Work<'_>, steel: SteelId, width: Mm) {
    let bar = &work.now.bar;
    let piece = StackPiece {
        steel,
        thickness: bar.thickness,
    };
    let steels = Arc::clone(&work.was.steels);
    let core = Billet::new(&[piece], width, bar.length, steels);
    work.now.bar = core.bar;
}

/// A jacket round the spine as what lies on the two faces and on the spine.
fn folded(
    work: &mut Work<'_>,
    one: &FrameBar,
    metal: &mut Billet,
    [covered, round]: [Mm; 2],
    fit: bool,
) -> Result<Vec<(Side, Billet)>, Refusal> {
    let wanted = round + metal.bar.thickness * 2.0;
    flush(work, one, metal, wanted, fit)?;
    // Its area goes round: (round + 2 t) t.
    let (b, area) = (round.0, metal.bar.section().0);
    let thick = Mm(((b * b + 8.0 * area).sqrt() - b) / 4.0);
    let to = Outside {
        width: round + thick * 2.0,
        thickness: thick,
        length: metal.bar.length,
    };
    stretch(&mut metal.bar, to);
    let off = metal.bar.width - covered;
    let cut = |sides: &[(Side, Mm)], turns: u8| -> Result<Billet, Refusal> {
        let mut part = metal.clone();
        for (side, off) in sides {
            let done = strip(&mut part.bar, *side, *off);
            done.map_err(|_| {
                refuse(
                    "with",
                    "the jacket has a seam where it is folded",
                    "take a jacket of one bar, or one for each face",
                )
            })?;
        }
        for _ in 0..turns {
            turned(&mut part);
        }
        Ok(part)
    };
    Ok(vec![
        (
            Side::Spine,
            cut(&[(Side::Edge, covered), (Side::Spine, covered)], 3)?,
        ),
        (Side::Top, cut(&[(Side::Spine, off)], 0)?),
        (Side::Bottom, cut(&[(Side::Edge, off)], 2)?),
    ])
}
