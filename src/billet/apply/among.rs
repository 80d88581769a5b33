//! Bars of the plan in the first stack of another, between its plain pieces.

use std::sync::Arc;

use super::flush::{flush, lengths};
use super::lay::{taken_all, weld_on};
use super::stack::{first_read, stack};
use super::work::Work;
use crate::billet::{Among, Billet, Deformation, FrameBar, Move, Refusal, Side, Skin, StackPiece};

/// Piles the first stack with bars of the plan between its plain pieces.
///
/// The longest run of plain pieces is the core of the section; what lies over and under it is laid on its top
/// and its bottom, from the inside out.
pub(super) fn with_bars(work: &mut Work<'_>, among: &[Among], fit: bool) -> Result<(), Refusal> {
    if among.is_empty() {
        return stack(work);
    }
    let put: Vec<FrameBar> = among
        .iter()
        .map(|one| FrameBar {
            side: Side::Top,
            piece: one.piece.clone(),
        })
        .collect();
    let mut laid = taken_all(work, &put)?;
    lengths(work, &put, &mut laid, fit)?;
    let bar = &work.now.bar;
    let (width, length) = (bar.width, bar.length);
    for (one, metal) in put.iter().zip(&mut laid) {
        flush(work, one, metal, width, fit)?;
    }
    // Plain pieces and bars in order, and the run that is the core.
    let pieces = Arc::clone(&work.was.first);
    let mut bounds = vec![0];
    bounds.extend(
        among
            .iter()
            .map(|one| (one.under as usize).min(pieces.len())),
    );
    bounds.push(pieces.len());
    let run = |at: usize| match bounds.get(at..at + 2) {
        Some([from, to]) => pieces.get(*from..*to).unwrap_or_default(),
        _ => &[],
    };
    let core = (0..=among.len()).rev().max_by_key(|at| run(*at).len());
    let core = core.unwrap_or_default();
    let steels = Arc::clone(&work.was.steels);
    let plain = |pieces: &[StackPiece]| Billet::new(pieces, width, length, Arc::clone(&steels));
    let mut lies = Vec::new();
    let each = |side: Side, piece: &StackPiece| {
        let put = FrameBar::plain(side, piece.steel, piece.thickness);
        (put, plain(std::slice::from_ref(piece)))
    };
    let bar_at = |side: Side, at: usize| {
        let (put, metal) = (put.get(at)?, laid.get(at)?);
        let piece = put.piece.clone();
        Some((FrameBar { side, piece }, metal.clone()))
    };
    for at in (0..core).rev() {
        lies.extend(bar_at(Side::Bottom, at));
        lies.extend(run(at).iter().rev().map(|piece| each(Side::Bottom, piece)));
    }
    for at in core..among.len() {
        lies.extend(bar_at(Side::Top, at));
        lies.extend(run(at + 1).iter().map(|piece| each(Side::Top, piece)));
    }
    let first = plain(run(core));
    let before = first.outside_sizes();
    work.now.bar = first.bar;
    work.now.first = first.first;
    work.now.waits = false;
    for (put, metal) in &lies {
        weld_on(work, put.side, metal);
    }
    let (bars, joined) = lies.into_iter().unzip::<_, _, Vec<_>, Vec<_>>();
    let after = work.now.outside_sizes();
    work.now.history.push(Deformation {
        made: Move::Frame { bars, fit },
        before,
        after,
        pieces: 1,
        skin: Skin::default(),
        joined: joined.into_iter().map(Arc::new).collect(),
    });
    first_read(work)
}
