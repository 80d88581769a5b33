//! Sizes that follow from the wish alone: bar, blanks, frame, and what the pattern needs.

use super::cover::{self, Cover, Tiles};
use super::forged::Forged;
use super::limit::Limit;
use super::sizes::{CRUSH, CRUSH_GRIND, EDGE_GROUND, up, whole, worked};
use super::wish::Wish;
use crate::plan::{Need, PROFILE, Pattern, SKIN, too_wide};
use crate::units::{Fraction, Mm, Units};

/// Lost to scale while a blank is forged to shape, normalised and annealed: four parts at 1 % and
/// twice 0.5 %, with a little over.
pub(crate) const FORGING: f64 = 0.055;
/// Thickness of the bar over what the knife takes: a drawn bar is thin by so much in places. Common
/// practice, no source.
const UNEVEN: f64 = 0.06;
/// Depth of grooves and dimples over the thickness they are cut in: 20 to 30 %. Common practice, no
/// source.
const DEPTH: f64 = 0.25;
/// Groove over pitch.
const GROOVE: f64 = 0.5;
/// Section of a square bar before it is drawn flat, over the flat one.
const SQUARE: f64 = 1.6;
/// What squaring takes off a twisted side, and the grind after it per face: the twist's roots go 5
/// to 10 % of the side deep. Common practice, no source.
const ROOT: f64 = 0.06;
/// A framed bar before its last draw, over the bar.
const FRAMED: f64 = 1.3;
/// Thickness of a layered side over the width of the framed bar, and the least core beside such sides.
/// Common practice, no source.
const SIDE: f64 = 0.16;
const LEAST_CORE: f64 = 0.3;
const BESIDE: f64 = 0.2;
/// Metal of rods over the core that they are flattened to, and thickness of a rod over it.
const RODS: f64 = 1.3;
const ROD_OVER: f64 = 1.15;
/// Spine bar over edge bar.
const SPINE: f64 = 0.6;

/// Plain bars on the sides.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Frame {
    /// Thickness of the edge bar.
    pub(super) edge: Mm,
    /// Thickness of the spine bar.
    pub(super) spine: Mm,
    /// Thickness of a layered side, ground; zero where there is none.
    pub(super) layered: Mm,
    /// The core bar, ground, as the plain bars are put on.
    pub(super) core: (Mm, Mm),
}

/// Twisted rods side by side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Rods {
    /// How many.
    pub(super) count: u32,
    /// Side of a rod before the twist.
    pub(super) side: Mm,
    /// Side after it.
    pub(super) squared: Mm,
    /// Ground off each face.
    pub(super) per_face: Mm,
}

/// The figure that is made after the last pile.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Figure {
    /// Drawn to the bar.
    Flat,
    /// Grooves, then forged flat.
    Ladder {
        thick: Mm,
        depth: Mm,
        width: Mm,
        pitch: Mm,
        count: u32,
    },
    /// Dimples, then forged flat.
    Raindrop {
        thick: Mm,
        depth: Mm,
        diameter: Mm,
        count: u32,
    },
    /// A square, twisted, squared and ground.
    Twist { side: Mm, squared: Mm, per_face: Mm },
    /// Rods twisted, squared and ground, side by side.
    Rods(Rods),
    /// A square crushed on its corner, drawn flat and cut to tiles.
    Tiles(Tiles),
    /// A square crushed on its corner, four turned pieces in a block.
    Turned { side: Mm, crushed: Mm },
    /// Turned on its side and split.
    Feather,
}

/// The sizes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Shape {
    /// Width and thickness of the bar that blanks are cut from.
    pub(super) bar: (Mm, Mm),
    /// Width and thickness of the patterned bar: the bar itself, or the core of a frame before it is
    /// ground.
    pub(super) patterned: (Mm, Mm),
    /// Length of a blank.
    pub(super) blank: Mm,
    pub(super) frame: Option<Frame>,
    /// The plain core that a jacket or tiles go on.
    pub(super) cover: Option<Cover>,
    pub(super) figure: Figure,
}

impl Shape {
    pub(super) fn of(wish: &Wish) -> Result<Self, Limit> {
        let allow = &wish.shop.allowances;
        let mark = allow.mark;
        let goal = &wish.goal;
        let need = Need::of_goal(goal, wish.forged);
        let fine = worked(wish.units, mark);
        let thickness = up(need.thickness * (1.0 + UNEVEN), fine);
        let (width, blank) = match need.outline {
            Some((width, length)) => (up(width + PROFILE, fine), up(length + PROFILE * 2.0, mark)),
            None => {
                let width = goal.bolster.map_or(goal.blade.width, |bolster| {
                    (bolster.width + SKIN * 2.0).max(goal.blade.width * 0.8)
                });
                let width = up(width.max(thickness), fine);
                // What goes wrong at the anvil goes wrong on the blank.
                let metal = need.metal * ((1.0 + wish.spare.0) / (1.0 - FORGING));
                // Sizes rounded up to the mark may take more than that, and the blade must reach its length.
                let forged = Forged::of(wish);
                let metal = metal.max(forged.takes());
                if let Some(most) = allow.longest
                    && forged.long() > most
                {
                    let length = forged.long();
                    return Err(Limit::Blade { length, most });
                }
                (width, up(metal / (width * thickness), mark))
            }
        };
        let bar = (width, thickness);
        let blank = blank.max(up(allow.shortest, mark));
        let cover = cover::cover(wish, bar)?;
        let frame = match goal.edge_margin.filter(|_| cover.is_none()) {
            Some(margin) => Some(frame(wish, bar, margin)?),
            None => None,
        };
        let ground = frame.map(|frame| frame.core);
        let ground = ground.or(cover.map(|cover| cover.over));
        let g = allow.grind * 2.0;
        let patterned = ground.map_or(bar, |(width, thickness)| (width + g, thickness + g));
        let figure = match &cover {
            Some(cover) => {
                let tiles = cover::tiles(wish, cover, bar, blank);
                tiles.map_or(Figure::Flat, Figure::Tiles)
            }
            None => figure(wish, patterned, bar, blank),
        };
        Ok(Self {
            bar,
            patterned,
            blank,
            frame,
            cover,
            figure,
        })
    }

    /// Section that the last pile is drawn to first.
    pub(super) fn first(&self) -> (Mm, Mm) {
        match self.figure {
            Figure::Flat | Figure::Feather => self.patterned,
            Figure::Ladder { thick, .. } | Figure::Raindrop { thick, .. } => {
                (self.patterned.0, thick)
            }
            Figure::Twist { side, .. } | Figure::Turned { side, .. } => (side, side),
            Figure::Rods(rods) => (rods.side, rods.side),
            Figure::Tiles(tiles) => (tiles.side, tiles.side),
        }
    }

    /// How many times the bands of the last pile a line through the figure meets: a block is two high.
    pub(super) fn multiplies(&self) -> u64 {
        match self.figure {
            Figure::Turned { .. } => 2,
            // A jacket lies on both faces.
            Figure::Flat if self.cover.is_some() => 2,
            _ => 1,
        }
    }

    /// Thickness of what the bands of one pile share at the end.
    pub(super) fn banded(&self) -> Mm {
        match (self.figure, self.cover) {
            // The layers stand on edge.
            (Figure::Feather, _) => self.bar.0,
            // They lie across the tiles.
            (Figure::Tiles(_), Some(cover)) => cover.over.0,
            (_, Some(_)) => self.bar.1 / 3.0,
            _ => self.bar.1,
        }
    }
}

fn frame(wish: &Wish, bar: (Mm, Mm), margin: Mm) -> Result<Frame, Limit> {
    let allow = &wish.shop.allowances;
    let share = (margin + EDGE_GROUND) / wish.goal.blade.width;
    let width = bar.0 * FRAMED;
    let edge = up(width * share, allow.mark);
    let spine = up(width * share * SPINE, allow.mark);
    let sides = wish.sides.iter().filter(|layers| **layers > 0).count();
    let layered = match sides {
        0 => Mm::ZERO,
        _ => up(width * SIDE, allow.mark),
    };
    #[expect(clippy::cast_precision_loss, reason = "two at most")]
    let core = width - edge - spine - layered * sides as f64;
    let least = if sides > 0 { BESIDE } else { LEAST_CORE };
    if core < width * least {
        return Err(Limit::Margin {
            margin,
            share: Fraction(margin / wish.goal.blade.width),
        });
    }
    Ok(Frame {
        edge,
        spine,
        layered,
        core: (up(core, allow.mark), up(bar.1, allow.mark)),
    })
}

/// The square from that on whose bar, as wide and thick as it is drawn from, spreads to the section wanted.
fn spreading(wish: &Wish, side: Mm, to: (Mm, Mm), drawn: impl Fn(Mm) -> Mm) -> Mm {
    let mark = wish.shop.allowances.mark.max(Mm(0.1));
    let mut side = side;
    // As wide as the bar itself it need not spread at all.
    while drawn(side) < to.0 {
        let from = (drawn(side), drawn(side));
        if too_wide(&wish.shop, from, to).is_none() {
            break;
        }
        side += mark;
    }
    side
}

fn figure(wish: &Wish, patterned: (Mm, Mm), bar: (Mm, Mm), blank: Mm) -> Figure {
    let mark = wish.shop.allowances.mark;
    let inch = wish.units == Units::Inch;
    let (width, thickness) = patterned;
    // Thick enough that the bar is thinner than the floors when it is flat again.
    let thick = up(thickness * (1.0 / (1.0 - DEPTH)) + mark, mark);
    let fine = if inch {
        Mm::from_inch(1.0 / 32.0)
    } else {
        Mm(0.1)
    };
    let depth = Mm(((thick - thickness).0.min(thick.0 * DEPTH) / fine.0 + 1e-6).floor() * fine.0);
    let area = (bar.0 * bar.1).0;
    // As long as the blanks are together: they are cut from the figured part.
    let zone = blank * f64::from(wish.goal.knives) * (thickness / thick);
    match wish.goal.pattern {
        Pattern::Random
        | Pattern::Straight
        | Pattern::ThreeLayer
        | Pattern::Jacket
        | Pattern::Tiles => Figure::Flat,
        Pattern::Ladder => {
            let pitch = if inch { Mm::from_inch(0.375) } else { Mm(10.0) };
            Figure::Ladder {
                thick,
                depth,
                width: pitch * GROOVE,
                pitch,
                count: whole(zone / pitch),
            }
        }
        Pattern::Raindrop => {
            let pitch = if inch { Mm::from_inch(0.5) } else { Mm(12.0) };
            Figure::Raindrop {
                thick,
                depth,
                diameter: pitch * GROOVE,
                count: whole(zone / pitch) * whole(width / pitch).max(1),
            }
        }
        Pattern::Twist if wish.rods > 1 => {
            let least = (thickness * ROD_OVER).max(width / f64::from(wish.rods));
            let rod = Mm(((width * thickness).0 * RODS / f64::from(wish.rods)).sqrt()).max(least);
            let per_face = Mm((rod.0 * ROOT / fine.0).ceil() * fine.0);
            let squared = up(rod + per_face * 2.0, mark);
            Figure::Rods(Rods {
                count: wish.rods,
                side: up(squared / (1.0 - ROOT), mark),
                squared,
                per_face,
            })
        }
        Pattern::Twist => {
            let per_face = |squared: Mm| Mm((squared.0 * ROOT / fine.0).ceil() * fine.0);
            let squared = |side: Mm| up(side * (1.0 - ROOT), mark);
            let ground = |side: Mm| squared(side) - per_face(squared(side)) * 2.0;
            let side = up(Mm((area * SQUARE).sqrt()).max(Mm(12.0)), mark);
            let side = spreading(wish, side, patterned, ground);
            Figure::Twist {
                side,
                squared: squared(side),
                per_face: per_face(squared(side)),
            }
        }
        Pattern::TurnedW => {
            let side = Mm((area * SQUARE).sqrt() / 2.0) + CRUSH + CRUSH_GRIND * 2.0;
            let side = up(side.max(Mm(16.0)), mark);
            let block = |side: Mm| (side - CRUSH - CRUSH_GRIND * 2.0) * 2.0;
            let side = spreading(wish, side, patterned, block);
            Figure::Turned {
                side,
                crushed: side - CRUSH,
            }
        }
        Pattern::Feather => Figure::Feather,
    }
}
