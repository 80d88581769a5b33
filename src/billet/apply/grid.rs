//! Bars joined as a grid: rows from the edge side to the spine side, one on the other, all seams in one weld.
//!
//! A row is a bar with the others of the row at its spine side, as high as its first; rows are as wide as the
//! lowest.

use std::sync::Arc;

use super::flush::{flush, lengths};
use super::lay::{put_on, set_apart, taken_all};
use super::stack::join;
use super::work::{Work, refuse};
use crate::billet::{Billet, Deformation, FrameBar, Lay, Loss, Move, Refusal, Side, Skin};

/// Lays the bars of a move in rows of so many, the bar in hand first.
pub(super) fn grid(work: &mut Work<'_>, columns: u32) -> Result<(), Refusal> {
    let (put, fit) = work.made.laid();
    let across = columns as usize;
    let all = put.len() + 1;
    if across < 2 || !all.is_multiple_of(across) || all / across < 2 {
        return Err(refuse(
            "columns",
            format!("a grid of {all} bars in rows of {columns}"),
            "write columns so that all rows are full: two rows or more, of two bars or more",
        ));
    }
    set_apart(work, &put);
    let mut laid = taken_all(work, &put)?;
    lengths(work, &put, &mut laid, fit)?;
    let ring = work.was.bar.rings() + 1;
    let mut bars = put.iter().zip(laid);
    let mut joined = Vec::new();
    for (one, mut metal) in bars.by_ref().take(across - 1) {
        let covers = work.now.bar.thickness;
        flush(work, one, &mut metal, covers, fit)?;
        put_on(&mut work.now.bar, ring, Side::Spine, &metal.bar);
        joined.push(Arc::new(metal));
    }
    let bars: Vec<(&FrameBar, Billet)> = bars.collect();
    for (at, row) in bars.chunks(across).enumerate() {
        let mut row = one_row(work, row, fit)?;
        // What is wrong with it is said of the row, not of its first bar.
        row.name = format!("row {}", at + 2).into();
        let first = FrameBar {
            side: Side::Top,
            piece: crate::billet::Piece::Of {
                bar: row.name.to_string(),
                turns: 0,
            },
        };
        let covers = work.now.bar.width;
        flush(work, &first, &mut row, covers, fit)?;
        put_on(
            &mut work.now.bar,
            ring.saturating_add(1),
            Side::Top,
            &row.bar,
        );
        joined.push(Arc::new(row));
    }
    work.joined = joined;
    join(work, Loss::Rounding)
}

/// One row as a bar: what lies beside its first becomes part of its section.
fn one_row(work: &mut Work<'_>, row: &[(&FrameBar, Billet)], fit: bool) -> Result<Billet, Refusal> {
    let Some(((_, first), rest)) = row.split_first() else {
        return Ok(work.was.clone());
    };
    let mut out = first.clone();
    let before = out.outside_sizes();
    let ring = out.bar.rings() + 1;
    let covers = out.bar.thickness;
    let mut joined = Vec::new();
    for (one, metal) in rest {
        let mut metal = metal.clone();
        flush(work, one, &mut metal, covers, fit)?;
        put_on(&mut out.bar, ring, Side::Spine, &metal.bar);
        joined.push(Arc::new(metal));
    }
    let made = Move::Join {
        with: rest.iter().map(|(one, _)| one.piece.clone()).collect(),
        lay: Lay::Beside,
        fit,
    };
    out.history.push(Deformation {
        made,
        before,
        after: out.outside_sizes(),
        pieces: 1,
        skin: Skin::default(),
        joined,
    });
    Ok(out)
}
