//! The grid that is searched, whole: nothing between its values is looked at, and nothing of it is
//! left out.
//!
//! Long because the search and the bounds that cut it share every name.
//!
//! | axis | values |
//! |---|---|
//! | bars | every two bars of unlike steel and like width on the rack; without nickel outside |
//! | width of the stack | the rack's; where it says none, 25 to 50 mm by 5 (1 to 2 in by 1/4) |
//! | pieces of the first stack | 3 to 31, odd, so that like faces meet; 3 for three layers |
//! | length of the first stack | 60 to 250 mm by 5 (2-1/2 to 10 in by 1/4) |
//! | restacks | none to three, each of 2 to 7 pieces, all the same way up |
//! | bar thickness before each cut | 8, 10, 12, 14, 16 or 20 mm (5/16, 3/8, 1/2, 5/8, 3/4 in) |
//!
//! Widths are held while a bar is drawn for a restack. What comes behind the last pile (bar, figure,
//! frame, blanks) follows from the wish and is the same for every candidate.

use super::after_pile::AfterPile;
use super::candidate::RESTACKS;
use super::fires::Fires;
use super::least_bite::{RATE, STRAIN, least_bite};
use super::limit::Limit;
use super::pace::Pace;
use super::shape::{Figure, Shape};
use super::windows::{Windows, middle};
use super::wish::{RackBar, Wish, WishError};
use crate::billet::{Layers, Refusal, StackPiece, SteelId};
use crate::metal::Composition;
use crate::physics::{Bite, Hammer, Pressing, hammer, widest_bar};
use crate::plan::{Machine, Pattern};
use crate::planner::learn::Lessons;
use crate::units::{Celsius, Density, Fraction, Mm, Units};

/// The axes, in the order in which a candidate names them.
#[derive(Debug, Clone, PartialEq)]
pub struct Axes {
    /// Widths of the first stack where the rack says none.
    pub widths: Vec<Mm>,
    /// Pieces of the first stack.
    pub pieces: Vec<u32>,
    /// Lengths of the first stack, rising.
    pub lengths: Vec<Mm>,
    /// Pieces of a restack.
    pub restacks: Vec<u32>,
    /// Thicknesses before a cut.
    pub thicknesses: Vec<Mm>,
    pub most_restacks: usize,
}

impl Axes {
    /// The axes of a wish.
    #[must_use]
    pub fn of(wish: &Wish) -> Self {
        let inch = wish.units == Units::Inch;
        let inches = |values: &[f64]| values.iter().map(|value| Mm::from_inch(*value)).collect();
        let steps = |from: u32, to: u32, by: usize| -> Vec<Mm> {
            (from..=to)
                .step_by(by)
                .map(|mm| Mm(f64::from(mm)))
                .collect()
        };
        let three = wish.goal.pattern == Pattern::ThreeLayer;
        Self {
            widths: if inch {
                inches(&[1.0, 1.25, 1.5, 1.75, 2.0])
            } else {
                steps(25, 50, 5)
            },
            pieces: if three {
                vec![3]
            } else {
                (3..=31).step_by(2).collect()
            },
            lengths: if inch {
                (10..=40)
                    .map(|quarters| Mm::from_inch(f64::from(quarters) / 4.0))
                    .collect()
            } else {
                steps(60, 250, 5)
            },
            restacks: (2..=7).collect(),
            thicknesses: if inch {
                inches(&[0.3125, 0.375, 0.5, 0.625, 0.75])
            } else {
                [8.0, 10.0, 12.0, 14.0, 16.0, 20.0].map(Mm).to_vec()
            },
            most_restacks: if three { 0 } else { RESTACKS },
        }
    }
}

/// The outermost choice: bars, width and pieces.
#[derive(Debug, Clone)]
pub(super) struct Outer {
    pub(super) outside: SteelId,
    pub(super) inside: SteelId,
    pub(super) thick: (Mm, Mm),
    pub(super) width: Mm,
    pub(super) pieces: u32,
    pub(super) height: Mm,
    pub(super) layers: Layers,
    /// Metal of the pair by volume share of the outside steel, g/cm3.
    pub(super) density: Density,
    /// Widest that moves at weld heat, by pile: the first stack, then each thickness and count.
    pub(super) moves_first: Mm,
    pub(super) moves: std::sync::Arc<Moves>,
    /// Widest that is drawn out of a last pile turned on its side, which the pile's height must not pass; none where it
    /// is not turned.
    pub(super) moves_turned: Option<Mm>,
    /// What the fire needs for a pile of that width: the first stack, then each thickness and count.
    pub(super) fires_first: Fires,
    pub(super) fires: std::sync::Arc<Vec<Vec<Fires>>>,
}

/// Widest bar that moves, for the heights that can come up: `piled[t][k]` and `drawn[t]`.
#[derive(Debug, Clone)]
pub(super) struct Moves {
    pub(super) piled: Vec<Vec<Mm>>,
    pub(super) drawn: Vec<Mm>,
    pub(super) last: Mm,
}

/// The grid of a wish.
#[derive(Debug, Clone)]
pub struct Grid {
    pub(super) wish: Wish,
    pub(super) axes: Axes,
    pub(super) shape: Shape,
    pub(super) after_pile: AfterPile,
    pub(super) windows: Windows,
    pub(super) pace: Pace,
    pub(super) outer: Vec<Outer>,
}

/// Why a wish has no grid: nothing that a candidate could change.
#[derive(Debug, Clone, PartialEq)]
pub enum NoGrid {
    Wish(WishError),
    Limit(Limit),
    /// What the steps behind the last pile met, however much metal there was.
    NoBar(Refusal),
}

impl NoGrid {
    /// What stands in the way, and what to do.
    #[must_use]
    pub fn sentence(&self, wish: &Wish) -> String {
        match self {
            Self::Wish(error) => error.to_string(),
            Self::Limit(limit) => limit.sentence(wish),
            Self::NoBar(refusal) => format!("no bar gives these knives: {refusal}"),
        }
    }
}

impl Grid {
    /// The grid of a wish, with the shop's own pace.
    ///
    /// # Errors
    /// [`NoGrid`].
    pub fn of(wish: &Wish, lessons: &Lessons) -> Result<Self, NoGrid> {
        Self::with_axes(wish, lessons, Axes::of(wish))
    }

    /// The same with other axes.
    ///
    /// # Errors
    /// As [`Grid::of`].
    pub fn with_axes(wish: &Wish, lessons: &Lessons, axes: Axes) -> Result<Self, NoGrid> {
        wish.check().map_err(NoGrid::Wish)?;
        let shape = Shape::of(wish).map_err(NoGrid::Limit)?;
        let windows = Windows::of(wish);
        let pace = Pace::of(wish.shop.machine, lessons);
        let after_pile = AfterPile::of(wish, windows, &pace, &shape).map_err(NoGrid::NoBar)?;
        if let Some(longest) = wish.shop.allowances.longest
            && after_pile.most <= after_pile.bare.0
        {
            let length = after_pile.bare / (shape.bar.0 * shape.bar.1);
            return Err(NoGrid::Limit(Limit::Longest {
                length,
                most: longest,
            }));
        }
        let mut grid = Self {
            wish: wish.clone(),
            axes,
            shape,
            after_pile,
            windows,
            pace,
            outer: Vec::new(),
        };
        grid.presses().map_err(NoGrid::Limit)?;
        grid.spreads().map_err(NoGrid::Limit)?;
        grid.outer = grid.outer_choices();
        Ok(grid)
    }

    /// Refuses bars behind the last pile that the press does not move: no candidate changes them.
    fn presses(&self) -> Result<(), Limit> {
        for (width, height) in &self.after_pile.worked {
            let moves = least_bite(&self.wish, self.windows, *height);
            if *width > moves {
                return Err(Limit::Machine {
                    width: *width,
                    height: *height,
                    moves,
                    pile: false,
                });
            }
        }
        Ok(())
    }

    /// Refuses draws behind the last pile to more width than the metal spreads: no candidate changes them.
    fn spreads(&self) -> Result<(), Limit> {
        let mut draws = self.after_pile.spread.iter();
        let over = draws.find_map(|[from, to]| Limit::spread(&self.wish, *from, *to));
        over.map_or(Ok(()), Err)
    }

    /// How many outermost choices there are: what a search is split by.
    #[must_use]
    pub fn outer(&self) -> usize {
        self.outer.len()
    }

    /// How many candidates the grid holds.
    #[must_use]
    pub fn candidates(&self) -> u64 {
        let each = (self.axes.restacks.len() * self.axes.thicknesses.len()) as u64;
        let mut sequences = 1;
        let mut of_length = 1;
        for _ in 0..self.axes.most_restacks {
            of_length *= each;
            sequences += of_length;
        }
        self.outer.len() as u64 * self.axes.lengths.len() as u64 * sequences
    }

    #[must_use]
    pub fn wish(&self) -> &Wish {
        &self.wish
    }

    fn outer_choices(&self) -> Vec<Outer> {
        let wish = &self.wish;
        let mut all = Vec::new();
        for (outer, inner, width) in wish.pairs() {
            let (Some(one), Some(other)) = (wish.rack.get(outer), wish.rack.get(inner)) else {
                continue;
            };
            let widths = width.map_or_else(|| self.axes.widths.clone(), |width| vec![width]);
            let crowd = Crowd::of(self, one, other);
            let moves = std::sync::Arc::new(crowd.moves(self));
            for width in widths {
                let fires = std::sync::Arc::new(self.fires(width));
                let known = (&crowd, &moves, &fires);
                for pieces in &self.axes.pieces {
                    all.extend(self.outer_choice(one, other, width, *pieces, known));
                }
            }
        }
        all
    }

    fn outer_choice(
        &self,
        one: &RackBar,
        other: &RackBar,
        width: Mm,
        pieces: u32,
        (crowd, moves, fires): (
            &Crowd,
            &std::sync::Arc<Moves>,
            &std::sync::Arc<Vec<Vec<Fires>>>,
        ),
    ) -> Option<Outer> {
        let steels = self.wish.steels();
        let id = |bar: &RackBar| {
            let at = steels.iter().position(|steel| steel.key == bar.steel.key)?;
            Some(SteelId::from_index(at))
        };
        let (outside, inside) = (id(one)?, id(other)?);
        let thick = (one.thickness, other.thickness);
        let pile = pile(outside, inside, thick, pieces);
        let height: Mm = pile.iter().map(|piece| piece.thickness).sum();
        let outer_height: Mm = pile
            .iter()
            .filter(|piece| piece.steel == outside)
            .map(|piece| piece.thickness)
            .sum();
        let share = outer_height / height;
        let (a, b) = (one.steel.steel.density.0, other.steel.steel.density.0);
        Some(Outer {
            outside,
            inside,
            thick,
            width,
            pieces,
            height,
            layers: Layers::pile(
                pile.iter()
                    .map(|piece| Layers::leaf(piece.steel, piece.thickness))
                    .collect(),
            ),
            density: Density(a * share + b * (1.0 - share)),
            moves_first: crowd.piled(height),
            moves: moves.clone(),
            moves_turned: (self.shape.figure == Figure::Feather).then(|| crowd.drawn(width)),
            fires_first: self.fires_of(width, height),
            fires: fires.clone(),
        })
    }

    fn fires_of(&self, width: Mm, height: Mm) -> Fires {
        Fires::of(&self.windows, self.wish.shop.fire, width, height)
    }

    /// What the fire needs for each pile of a width, by thickness and count.
    fn fires(&self, width: Mm) -> Vec<Vec<Fires>> {
        let grind = self.wish.shop.allowances.grind;
        let of = |thick: Mm, count: u32| {
            self.fires_of(
                width,
                (thick - grind * 2.0).max(Mm::ZERO) * f64::from(count),
            )
        };
        let row = |thick: &Mm| {
            let counts = self.axes.restacks.iter();
            counts.map(|count| of(*thick, *count)).collect()
        };
        self.axes.thicknesses.iter().map(row).collect()
    }
}

/// The pieces of a first stack: alternating, the outside steel on both faces.
pub(super) fn pile(
    outside: SteelId,
    inside: SteelId,
    thick: (Mm, Mm),
    pieces: u32,
) -> Vec<StackPiece> {
    (0..pieces)
        .map(|at| {
            let (steel, thickness) = if at % 2 == 0 {
                (outside, thick.0)
            } else {
                (inside, thick.1)
            };
            StackPiece { steel, thickness }
        })
        .collect()
}

/// Shortest bite that still draws a bar out. Common practice, no source.
const LEAST_BITE: Mm = Mm(12.0);

/// What the machine does to a mean of two steels.
struct Crowd<'g> {
    grid: &'g Grid,
    metal: Composition,
    weld: Celsius,
    draw: Celsius,
}

impl<'g> Crowd<'g> {
    fn of(grid: &'g Grid, one: &RackBar, other: &RackBar) -> Self {
        Self {
            metal: Composition::mix([one, other].map(|bar| (bar.steel.steel.nominal, 0.5))),
            weld: middle(grid.windows.weld),
            draw: middle(grid.windows.draw),
            grid,
        }
    }

    fn moves(&self, grid: &Grid) -> Moves {
        let grind = grid.wish.shop.allowances.grind * 2.0;
        let piled = grid.axes.thicknesses.iter().map(|thickness| {
            let each = grid.axes.restacks.iter().map(|count| {
                let height = (*thickness - grind) * f64::from(*count);
                self.piled(height)
            });
            each.collect()
        });
        let drawn = grid.axes.thicknesses.iter();
        Moves {
            piled: piled.collect(),
            drawn: drawn.map(|height| self.drawn(*height)).collect(),
            last: self.drawn(grid.after_pile.first.1),
        }
    }

    /// Widest pile: welded with a good bite, and drawn out of that height with any.
    fn piled(&self, height: Mm) -> Mm {
        let drawn = least_bite(&self.grid.wish, self.grid.windows, height);
        self.widest(height, self.weld).min(drawn)
    }

    /// Widest bar drawn to that height.
    fn drawn(&self, height: Mm) -> Mm {
        let least = least_bite(&self.grid.wish, self.grid.windows, height);
        self.widest(height, self.draw).min(least)
    }

    /// Widest bar of that height that moves with half a die's bite; without a limit for a hand
    /// hammer, and where the laws do not reach.
    fn widest(&self, height: Mm, temperature: Celsius) -> Mm {
        let free = Mm(f64::INFINITY);
        let shop = &self.grid.wish.shop;
        let bite = (shop.die * 0.5)
            .max(LEAST_BITE)
            .min(shop.die.max(LEAST_BITE));
        let height = height.max(Mm(1.0));
        match shop.machine {
            Machine::Hand => free,
            Machine::Press { force } => {
                let at = Pressing {
                    metal: self.metal,
                    temperature,
                    strain: STRAIN,
                    rate: RATE,
                };
                widest_bar(force, bite, height, &at).map_or(free, |width| Mm(width.best))
            }
            Machine::Hammer { ram } => {
                let hammer = Hammer {
                    ram,
                    speed: 4.0,
                    efficiency: Fraction(0.7),
                };
                // A blow's strain falls with the width: find where the middle is no longer reached.
                let reaches = |width: f64| {
                    let block = Bite {
                        bite,
                        width: Mm(width),
                        height,
                    };
                    hammer
                        .blow(block, &self.metal, temperature)
                        .is_ok_and(|blow| blow.strain.best >= hammer::TOO_BIG)
                };
                let (mut low, mut high) = (1.0, 300.0);
                if reaches(high) {
                    return free;
                }
                for _ in 0..20 {
                    let middle = f64::midpoint(low, high);
                    if reaches(middle) {
                        low = middle;
                    } else {
                        high = middle;
                    }
                }
                Mm(low)
            }
        }
    }
}
