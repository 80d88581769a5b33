//! The bar of the edge carried round the far end of a blank, so that the point is plain steel too.
//!
//! What is carried round lies across the whole section, as thick as the bar of the edge: its corner is plain
//! steel on plain steel, so the seam there shows no layers.

use std::sync::Arc;

use super::stack::join;
use super::work::{Work, positive, refuse};
use crate::billet::{Billet, Cap, Loss, Move, Refusal, Side, StackPiece};
use crate::units::Mm;

/// Carries the edge round the end.
pub(super) fn wrap(work: &mut Work<'_>, thickness: Option<Mm>) -> Result<(), Refusal> {
    let bar = &work.was.bar;
    let edge = bar.on(Side::Edge).last();
    let Some((edge, steel)) = edge.and_then(|edge| Some((edge.thickness(), edge.plain()?))) else {
        return Err(refuse(
            "kind",
            format!("{} has no plain bar along its edge", work.was.called()),
            "put one on with a frame before, as edge = \"A 10 mm\"",
        ));
    };
    if bar.void.is_positive() {
        return Err(refuse(
            "kind",
            format!("{} has open grooves or dimples", work.was.called()),
            "forge it flat before its end is wrapped",
        ));
    }
    let length = match thickness {
        Some(thickness) => positive("thickness", thickness)?,
        None => edge,
    };
    if length > edge {
        let text = format!(
            "{} round the end from a bar of {} along the edge: upset its end first, or take less",
            work.say(length),
            work.say(edge)
        );
        work.warn(Some("thickness"), text);
    }
    let bar = &mut work.now.bar;
    let before = bar.volume();
    bar.length += length;
    for on in &mut bar.frame {
        on.bar.length = bar.length;
    }
    bar.cap = Some(Cap { steel, length });
    let steels = Arc::clone(&work.was.steels);
    let piece = StackPiece {
        steel,
        thickness: length,
    };
    let round = Billet::new(&[piece], bar.width, bar.thickness, steels);
    work.joined = vec![Arc::new(round)];
    let added = (bar.volume() - before) * f64::from(work.was.pieces);
    work.now.ledger.added += added;
    join(work, Loss::Scale)
}

/// Refuses work that the plain end of a blank cannot go through.
pub(super) fn keeps(billet: &Billet, made: &Move) -> Result<(), Refusal> {
    if billet.bar.cap.is_none() || made.kind().row().once_wrapped {
        return Ok(());
    }
    Err(refuse(
        "kind",
        format!(
            "the far end of {} is wrapped with plain steel: it is a blank for one knife",
            billet.called()
        ),
        "move this step before the wrap",
    ))
}
