//! Sizes of a plain core, its edge left bare, and of what covers it: a layered jacket that is folded round the
//! spine, or end-grain tiles on both faces.

use super::limit::Limit;
use super::sizes::{CRUSH, CRUSH_GRIND, EDGE_GROUND, LIGHT_SCALE, up, whole};
use super::wish::Wish;
use crate::plan::Pattern;
use crate::units::{Fraction, Mm};

/// The jacketed bar before its last draw over the bar that blanks are cut from: its area, and its width.
const AREA: f64 = 1.5;
const WIDE: f64 = 0.8;
/// Plain steel above the edge where none is wished. Common practice, no source.
const MARGIN: Mm = Mm(3.0);
/// A jacket narrower than this many of its thicknesses is none.
const NARROW: f64 = 3.0;
/// Least of a tile along the row, as it is laid. Common practice, no source.
const LEAST_TILE: Mm = Mm(6.0);
/// Section of the crushed square over the flat one of which tiles are cut.
const SQUARE: f64 = 1.25;
/// Row as it is laid over the row as it is ground, in thickness, and the backing's part of it.
const FLATTENED: f64 = 1.25;
const BACKING: f64 = 0.3;
/// Length of a row over what its sum needs. Common practice, no source.
const OVER: f64 = 1.04;

/// A plain core in a cover.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Cover {
    /// Width and thickness of the core, as it is bought.
    pub(super) core: (Mm, Mm),
    /// Left bare at the edge.
    pub(super) bare: Mm,
    /// Width and thickness of what covers it, ground: a strip to fold, or a row of tiles.
    pub(super) over: (Mm, Mm),
}

/// Tiles in a row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Tiles {
    /// Side of the square before it is crushed, and after.
    pub(super) side: Mm,
    pub(super) crushed: Mm,
    /// Width and thickness that tiles are cut of, ground.
    pub(super) block: (Mm, Mm),
    /// How many.
    pub(super) count: u32,
    /// Thickness of one, and of the plain steel under the row.
    pub(super) thickness: Mm,
    pub(super) backing: Mm,
    /// The row when it is flattened.
    pub(super) row: (Mm, Mm),
}

/// The cover of a wish; none where the pattern has none.
pub(super) fn cover(wish: &Wish, bar: (Mm, Mm)) -> Result<Option<Cover>, Limit> {
    let folds = match wish.goal.pattern {
        Pattern::Jacket => true,
        Pattern::Tiles => false,
        _ => return Ok(None),
    };
    let mark = wish.shop.allowances.mark;
    let margin = wish.goal.edge_margin.unwrap_or(MARGIN);
    let share = (margin + EDGE_GROUND) / wish.goal.blade.width;
    let wide = bar.0 * WIDE;
    // Core and cover of one thickness, three high.
    let third = up(bar.1 * (AREA / WIDE / 3.0), mark);
    let round = if folds { third } else { Mm::ZERO };
    let bare = up(wide * (share * 3.0), mark);
    let covered = up(wide * (1.0 - share) - round, mark);
    if covered < third * NARROW {
        return Err(Limit::Margin {
            margin,
            share: Fraction(margin / wish.goal.blade.width),
        });
    }
    let over = if folds {
        (covered * 2.0 + third * 3.0, third)
    } else {
        (covered, third)
    };
    Ok(Some(Cover {
        core: (bare + covered, third),
        bare,
        over,
    }))
}

/// The tiles that cover it; none where a strip does.
pub(super) fn tiles(wish: &Wish, cover: &Cover, bar: (Mm, Mm), blank: Mm) -> Option<Tiles> {
    if wish.goal.pattern != Pattern::Tiles {
        return None;
    }
    let allow = &wish.shop.allowances;
    let (mark, g) = (allow.mark, allow.grind * 2.0);
    let (width, thickness) = cover.over;
    let row = (width, thickness + g);
    let laid = row.1 * FLATTENED;
    let backing = up(laid * BACKING, mark);
    let tile = up(laid - backing, mark);
    // What is drawn and forged behind it stretches a tile to nearly a square on the blade.
    let flattened = (tile + backing) / row.1 * (1.0 - LIGHT_SCALE.0);
    let (_, high) = cover.core;
    let jacketed = (cover.bare * high + width * (high + thickness * 2.0)) * (1.0 - allow.scale.0);
    let drawn = jacketed / (bar.0 * bar.1);
    let shown = bar.0 * (width / (cover.bare * (high / (high + thickness * 2.0)) + width));
    let long = Mm(shown.0 / (flattened * drawn * forged(wish, blank)));
    let block = (width, up(long.max(LEAST_TILE).max(tile), mark));
    let crushed = up(
        Mm(((block.0 + g) * (block.1 + g) * SQUARE).0.sqrt()).max(Mm(16.0)) + CRUSH_GRIND * 2.0,
        mark,
    );
    // Both faces as long as the core, which draws out to the blanks.
    let knives = f64::from(wish.goal.knives);
    let blanks = (blank + allow.kerf) * knives + allow.trim * 2.0 + mark * 2.0;
    let long = up(blanks * (OVER / drawn), mark).max(allow.shortest);
    let needs = long * 2.0 + allow.kerf + allow.trim * 2.0 + mark;
    let stretched = block.1 * flattened;
    Some(Tiles {
        side: crushed + CRUSH,
        crushed,
        block,
        count: even(needs * OVER / stretched),
        thickness: tile,
        backing,
        row,
    })
}

/// How much longer than its part of the blank the blade is.
fn forged(wish: &Wish, blank: Mm) -> f64 {
    if !wish.forged {
        return 1.0;
    }
    let goal = &wish.goal;
    let part = goal.blade.forged().volume() / goal.forged_volume();
    (goal.blade.length / (blank * part)).max(1.0)
}

/// An even count, so that the mirrored tiles come out in pairs.
fn even(count: f64) -> u32 {
    whole(count / 2.0).saturating_mul(2)
}
