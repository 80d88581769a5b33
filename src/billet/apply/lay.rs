//! Putting bars on a bar: frame and join.
//!
//! The bar in hand is the core; what is laid on it lies on its sides, in order from the inside out. Top and
//! bottom bars cover the core, edge and spine bars the whole thickness. Flat layers on flat layers become
//! one sequence, so that counts run through the seam.

use std::sync::Arc;

use super::flush::{flush, key_of, lengths};
use super::forge::turned;
use super::stack::join;
use super::work::{Work, positive, refuse};
use crate::billet::{
    Bar, Billet, Figure, FrameBar, Layers, Loss, Member, Offcut, Piece, Refusal, Side, StackPiece,
    Stage, Stand,
};
use crate::units::Mm;

/// Lays the bars of a move on the bar in hand.
pub(super) fn lay(work: &mut Work<'_>) -> Result<(), Refusal> {
    let (put, fit) = work.made.laid();
    if put.is_empty() {
        return Err(refuse(
            "kind",
            "a frame without bars",
            "name a side and its bar, as edge",
        ));
    }
    set_apart(work, &put);
    on_sides(work, &put, fit)?;
    join(work, Loss::Rounding)
}

/// Lays bars on the sides of the bar in hand, as it is now.
pub(super) fn on_sides(work: &mut Work<'_>, put: &[FrameBar], fit: bool) -> Result<(), Refusal> {
    let mut laid = taken_all(work, put)?;
    lengths(work, put, &mut laid, fit)?;
    let own = work.now.bar.width;
    for side in [Side::Bottom, Side::Top, Side::Edge, Side::Spine] {
        let flat = matches!(side, Side::Top | Side::Bottom);
        let covers = if flat { own } else { work.now.bar.thickness };
        for (one, metal) in put
            .iter()
            .zip(&mut laid)
            .filter(|(one, _)| one.side == side)
        {
            flush(work, one, metal, covers, fit)?;
            weld_on(work, side, metal);
        }
    }
    work.joined = laid.into_iter().map(Arc::new).collect();
    Ok(())
}

/// The bars of a move as they are laid, plain ones cut to the side that they cover.
pub(super) fn taken_all(work: &mut Work<'_>, put: &[FrameBar]) -> Result<Vec<Billet>, Refusal> {
    let mut laid = Vec::with_capacity(put.len());
    for one in put.iter() {
        laid.push(match &one.piece {
            Piece::Plain { steel, thickness } => {
                let thickness = positive(one.side.word(), *thickness)?;
                let piece = StackPiece {
                    steel: *steel,
                    thickness,
                };
                plain(work, one.side, piece)
            }
            Piece::Of { bar, turns } => taken(work, one.side, bar, *turns)?,
        });
    }
    Ok(laid)
}

/// Pieces of the bar in hand that are not laid on it are kept.
pub(super) fn set_apart(work: &mut Work<'_>, put: &[FrameBar]) {
    let own = &work.was.name;
    let of_own = |one: &&FrameBar| matches!(&one.piece, Piece::Of { bar, .. } if **bar == **own);
    let used = put.iter().filter(of_own).count();
    let used = u32::try_from(used).unwrap_or(u32::MAX).saturating_add(1);
    let over = work.was.pieces.saturating_sub(used);
    if over > 0 {
        work.now.stock.push(Offcut {
            bar: work.was.bar.clone(),
            pieces: over,
        });
        let text = format!("{over} of {} left over: kept as stock", work.was.called());
        work.warn(None, text);
    }
    work.now.pieces = 1;
}

/// A plain bar as long as the bar in hand.
fn plain(work: &mut Work<'_>, side: Side, piece: StackPiece) -> Billet {
    let bar = &work.now.bar;
    let mut metal = Billet::new(
        &[piece],
        bar.width,
        bar.length,
        Arc::clone(&work.was.steels),
    );
    if matches!(side, Side::Edge | Side::Spine) {
        // Its thickness lies across; how high it must be is known when top and bottom are on.
        metal.bar.width = piece.thickness;
        metal.bar.thickness = Mm::ZERO;
        metal.bar.core.stand = Stand::OnEdge;
    }
    metal
}

/// One piece of another bar, turned as it is laid.
fn taken(work: &mut Work<'_>, side: Side, name: &str, turns: u8) -> Result<Billet, Refusal> {
    let into = work.was.name.clone();
    let key = key_of(work, side);
    let mut metal = if name == &*into {
        let used = work.joined_own;
        work.joined_own += 1;
        if used + 1 >= work.was.pieces {
            return Err(twice(key, name, work.was.pieces, &into));
        }
        let mut metal = work.was.clone();
        metal.others = Vec::new();
        metal
    } else {
        let other = work
            .now
            .others
            .iter_mut()
            .find(|other| *other.name == *name);
        let Some(other) = other else {
            return Err(refuse(
                key,
                format!("there is no bar '{name}'"),
                "name one of the bars of the plan",
            ));
        };
        if !(other.is_one_piece()
            || matches!(other.stage, Stage::Pile | Stage::Bar | Stage::Pieces))
        {
            return Err(refuse(
                key,
                format!("bar '{name}' is not welded yet"),
                format!("make bar '{name}' in the steps before this one"),
            ));
        }
        if other.pieces == 0 {
            let into = other.within.clone().unwrap_or_default();
            return Err(twice(key, name, 0, &into));
        }
        let metal = (**other).clone();
        let other = Arc::make_mut(other);
        other.pieces -= 1;
        other.ledger.given += metal.bar.volume();
        if other.pieces == 0 {
            other.within = Some(into);
        }
        work.now.ledger.added += metal.bar.volume();
        metal
    };
    if metal.bar.cap.is_some() {
        return Err(refuse(
            key,
            format!("the far end of bar '{name}' is wrapped with plain steel"),
            "lay it before its end is wrapped",
        ));
    }
    if metal.bar.void.is_positive() {
        return Err(refuse(
            key,
            format!("bar '{name}' has open grooves or dimples"),
            "forge it flat before it is laid",
        ));
    }
    for _ in 0..turns % 4 {
        turned(&mut metal);
    }
    metal.pieces = 1;
    Ok(metal)
}

fn twice(key: &'static str, name: &str, had: u32, into: &str) -> Refusal {
    let what = if had == 0 {
        format!("bar '{name}' is used up: it went into bar '{into}'")
    } else {
        format!("bar '{name}' has {had} pieces, and more are laid")
    };
    refuse(key, what, "use it once, or cut it to more pieces before")
}

/// The section with one more bar on a side.
pub(super) fn weld_on(work: &mut Work<'_>, side: Side, metal: &Billet) {
    let ring = work.was.bar.rings() + 1;
    let runs_on = put_on(&mut work.now.bar, ring, side, &metal.bar);
    if runs_on && metal.bar.plain().is_none() {
        work.now.nominal = work.now.nominal.saturating_add(metal.nominal);
    }
}

/// Puts a bar on a side of a section; true when its layers became layers of the sequence.
pub(super) fn put_on(bar: &mut Bar, ring: u16, side: Side, on: &Bar) -> bool {
    match side {
        Side::Edge | Side::Spine => bar.width += on.width,
        Side::Top | Side::Bottom => bar.thickness += on.thickness,
    }
    let flat = |core: &crate::billet::Core| {
        core.stand == Stand::Flat && core.figure == Figure::Flat && core.blocks == [1; 2]
    };
    // A bar on a bent figure, or across the layers, is not a layer of the sequence; nor is one that covers bars
    // on edge and spine too.
    let free = if on.plain().is_some() {
        let mut there = bar.frame.iter();
        there.all(|one| one.side != side && matches!(one.side, Side::Top | Side::Bottom))
    } else {
        bar.frame.is_empty() && on.frame.is_empty()
    };
    let runs_on = free && flat(&bar.core) && flat(&on.core);
    let layers: [&Layers; 2] = match side {
        Side::Top if runs_on => [&bar.core.layers, &on.core.layers],
        Side::Bottom if runs_on => [&on.core.layers, &bar.core.layers],
        _ => {
            bar.frame.push(Member {
                side,
                ring,
                long: matches!(side, Side::Edge | Side::Spine),
                bar: on.clone(),
            });
            return false;
        }
    };
    bar.core.layers = Layers::pile(layers.map(Layers::clone).to_vec());
    true
}
