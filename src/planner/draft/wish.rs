//! What the smith wishes for, and what there is to make it of.

use crate::billet::SteelId;
use crate::plan::{Goal, Pattern, PlanSteel, Shop};
use crate::units::{Density, Fraction, Grams, Mm, Mm2, Mm3, Units};

/// One kind of bar on the rack.
#[derive(Debug, Clone, PartialEq)]
pub struct RackBar {
    /// Its steel, with the name and letter that the plan will use.
    pub steel: PlanSteel,
    /// Its thickness, cleaned.
    pub thickness: Mm,
    /// Its width; none when it can be had or slit to any.
    pub width: Option<Mm>,
}

/// All that there is of a steel.
#[derive(Debug, Clone, PartialEq)]
pub struct AtHand {
    /// Its place among [`Wish::steels`].
    pub steel: SteelId,
    pub density: Density,
    pub mass: Grams,
}

/// A piece of one steel that lies on the shelf.
#[derive(Debug, Clone, PartialEq)]
pub struct ShelfBar {
    pub number: u32,
    pub grade: String,
    /// Width, thickness, length.
    pub size: [Mm; 3],
    /// Where it came from, in words.
    pub from: String,
}

impl ShelfBar {
    pub(super) fn section(&self) -> Mm2 {
        let [width, thickness, _] = self.size;
        width * thickness
    }

    pub(super) fn metal(&self) -> Mm3 {
        let [_, _, length] = self.size;
        self.section() * length
    }
}

#[derive(Debug, Clone, PartialEq)]
pub struct Wish {
    /// What the plan is to be called.
    pub title: String,
    /// Units of the shop.
    pub units: Units,
    /// Blade, pattern family, bands, knives, margin.
    pub goal: Goal,
    /// What lies on the rack.
    pub rack: Vec<RackBar>,
    /// How much there is of a steel; one that is not named can be bought.
    pub at_hand: Vec<AtHand>,
    /// Machine, die, allowances and limits.
    pub shop: Shop,
    /// Most welds that the smith will make.
    pub most_welds: u32,
    /// True when the blade is forged to shape, false when it is ground out of the bar.
    pub forged: bool,
    /// Metal over what the sum needs, against what goes wrong: one tenth is usual.
    pub spare: Fraction,
    /// Layers of the sides of a frame, between the core and the plain bar: of the spine side and of the edge
    /// side; 0 for none.
    pub sides: [u32; 2],
    /// Twisted rods side by side in the core; 1 for a core of one bar.
    pub rods: u32,
    /// True when plain pieces of the shelf are to be used.
    pub uses_shelf: bool,
    /// What lies there.
    pub shelf: Vec<ShelfBar>,
    /// The command that wishes it again, for the top of the plan.
    pub command: Option<String>,
}

/// Why a wish cannot be drafted at all, as a sentence.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum WishError {
    /// Fewer than two steels.
    #[error("the stock has one steel; a pattern needs two that etch unlike")]
    OneSteel,
    /// Nothing on the rack.
    #[error("the stock is empty; name two bars, as \"SAE 1084 6 mm\" and \"75Ni8 3 mm\"")]
    Empty,
    /// No two bars of different steels have one width.
    #[error(
        "no two bars of unlike steel have one width: {0}; slit one, or name a bar without a width"
    )]
    Widths(String),
    /// A size that is none.
    #[error("the {0} is not a size; write it above zero")]
    Size(&'static str),
    /// Bands that do not rise.
    #[error("bands from {0} to {1} do not rise; write the lower number first")]
    Bands(u64, u64),
    /// Sides lie in a frame.
    #[error("layered sides lie between the core and a plain edge; write an edge-margin")]
    Sides,
    /// Rods are twisted, and lie by turns.
    #[error("{0} rods side by side: write an even number, and the pattern twist")]
    Rods(u32),
    /// A jacket or tiles go on a plain core, not in a frame.
    #[error(
        "sides lie in a frame, and a plain core in a jacket or between tiles has none; leave sides out, or write another pattern"
    )]
    Covered,
    /// A three-layer blade has three bands.
    #[error("a three-layer blade has 3 bands, and {0} to {1} are wanted")]
    ThreeLayer(u64, u64),
}

impl Wish {
    /// How even a careful smith leaves lengths and lines.
    pub(super) fn even(&self) -> String {
        self.units.length(match self.units {
            Units::Mm => Mm(1.0),
            Units::Inch => Mm::from_inch(1.0 / 32.0),
        })
    }

    /// What stands against searching at all.
    ///
    /// # Errors
    /// The first [`WishError`].
    pub fn check(&self) -> Result<(), WishError> {
        let blade = &self.goal.blade;
        for (what, size) in [
            ("blade's length", blade.length),
            ("blade's width", blade.width),
            ("blade's spine", blade.spine),
        ] {
            if !size.is_positive() {
                return Err(WishError::Size(what));
            }
        }
        if self.rack.iter().any(|bar| !bar.thickness.is_positive()) {
            return Err(WishError::Size("thickness of a bar in stock"));
        }
        if self.goal.knives == 0 {
            return Err(WishError::Size("number of knives"));
        }
        let (least, most) = (self.goal.bands_least, self.goal.bands_most);
        if least > most {
            return Err(WishError::Bands(least, most));
        }
        if self.goal.pattern == Pattern::ThreeLayer && !(least..=most).contains(&3) {
            return Err(WishError::ThreeLayer(least, most));
        }
        let covers = matches!(self.goal.pattern, Pattern::Jacket | Pattern::Tiles);
        if self.sides != [0, 0] && covers {
            return Err(WishError::Covered);
        }
        if self.sides != [0, 0] && self.goal.edge_margin.is_none() {
            return Err(WishError::Sides);
        }
        if self.rods > 1 && (self.rods % 2 == 1 || self.goal.pattern != Pattern::Twist) {
            return Err(WishError::Rods(self.rods));
        }
        let Some(first) = self.rack.first() else {
            return Err(WishError::Empty);
        };
        if self.rack.iter().all(|bar| bar.steel.key == first.steel.key) {
            return Err(WishError::OneSteel);
        }
        if self.pairs().is_empty() {
            let widths = self.rack.iter().map(|bar| {
                let width = bar
                    .width
                    .map_or_else(|| "any width".to_owned(), |width| self.units.length(width));
                format!("{} {width}", bar.steel.key)
            });
            return Err(WishError::Widths(widths.collect::<Vec<_>>().join(", ")));
        }
        Ok(())
    }

    /// Bars that can be piled on each other: the outside one, the inside one, and their width where
    /// the rack says it. Outside lies the steel without nickel, so that seams join like to like; in
    /// three layers the softer one.
    pub(super) fn pairs(&self) -> Vec<(usize, usize, Option<Mm>)> {
        let mut pairs = Vec::new();
        for (outer, one) in self.rack.iter().enumerate() {
            for (inner, other) in self.rack.iter().enumerate() {
                if one.steel.key == other.steel.key || !self.is_outside(one, other) {
                    continue;
                }
                let width = match (one.width, other.width) {
                    (Some(a), Some(b)) if a.near(b, 0.5) => Some(a.min(b)),
                    (Some(_), Some(_)) => continue,
                    (a, b) => a.or(b),
                };
                pairs.push((outer, inner, width));
            }
        }
        pairs
    }

    fn is_outside(&self, one: &RackBar, other: &RackBar) -> bool {
        let (a, b) = (&one.steel.steel.nominal, &other.steel.steel.nominal);
        let place = |bar: &RackBar| {
            let same = |held: &RackBar| held.steel.key == bar.steel.key;
            self.rack.iter().position(same)
        };
        if self.goal.pattern == Pattern::ThreeLayer {
            return a.c < b.c || ((a.c - b.c).abs() < 1e-9 && place(one) < place(other));
        }
        let gap = a.ni - b.ni;
        if gap.abs() > 1e-9 {
            return gap < 0.0;
        }
        let gap = a.c - b.c;
        if gap.abs() > 1e-9 {
            return gap > 0.0;
        }
        place(one) < place(other)
    }

    /// The steels of the job, each once, in the order of the rack.
    #[must_use]
    pub fn steels(&self) -> Vec<PlanSteel> {
        steels_of(&self.rack)
    }

    /// The steel of plain bars: the one with the most carbon makes the edge.
    pub(super) fn plain_steel(&self) -> SteelId {
        let steels = self.steels();
        let best = steels
            .iter()
            .enumerate()
            .filter(|(_, steel)| steel.steel.nominal.ni < 0.5)
            .max_by(|a, b| {
                let carbon = |one: &PlanSteel| one.steel.nominal.c;
                carbon(a.1).total_cmp(&carbon(b.1))
            });
        SteelId::from_index(best.map_or(0, |(at, _)| at))
    }
}

/// The steels of a rack, each once, in its order.
pub(super) fn steels_of(rack: &[RackBar]) -> Vec<PlanSteel> {
    let mut all: Vec<PlanSteel> = Vec::new();
    for bar in rack {
        if all.iter().all(|steel| steel.key != bar.steel.key) {
            all.push(bar.steel.clone());
        }
    }
    all
}
