//! What can rule a plan out, each with its numbers.

use super::least_bite::least_bite;
use super::windows::{Windows, machine_word};
use super::wish::Wish;
use crate::billet::SteelId;
use crate::plan::too_wide;
use crate::units::{Fraction, Grams, Mm, Units, show};

/// One limit, as a candidate met it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Limit {
    /// The machine does not move a bar that wide.
    Machine {
        /// The bar or pile.
        width: Mm,
        height: Mm,
        /// The widest that moves.
        moves: Mm,
        /// True for a pile, false for a bar that is drawn.
        pile: bool,
    },
    /// A bar is to be drawn wider than the metal spreads.
    Spread {
        /// Width and thickness before.
        from: (Mm, Mm),
        /// After.
        to: (Mm, Mm),
        /// As wide as it gets.
        most: Mm,
    },
    /// The shop's own word on the widest bar.
    Widest {
        /// The bar.
        width: Mm,
        /// The limit.
        most: Mm,
    },
    /// The pile is higher than the machine opens.
    Tallest {
        /// The pile.
        height: Mm,
        /// The limit.
        most: Mm,
    },
    /// The pile is over twice its width.
    Leans {
        /// The pile.
        height: Mm,
        width: Mm,
    },
    /// The bar is longer than the forge heats.
    Longest {
        /// The bar.
        length: Mm,
        /// The limit.
        most: Mm,
    },
    /// The blade is forged longer than the forge heats.
    Blade {
        /// As it is forged.
        length: Mm,
        /// The limit.
        most: Mm,
    },
    /// A piece is too short to hold.
    Shortest {
        /// The piece.
        length: Mm,
        /// The limit.
        least: Mm,
    },
    /// Too little metal at the last pile.
    Metal {
        /// What there is, g.
        has: f64,
        /// What the knives take, g.
        takes: f64,
    },
    /// The pile is thinner than the bar that is to come of it.
    Thin {
        /// The pile.
        height: Mm,
        /// The bar.
        takes: Mm,
    },
    /// The bands are not those wanted.
    Bands {
        /// What comes of it.
        bands: u64,
    },
    /// The bands are too fine to etch.
    Fine {
        /// Mean band.
        band: Mm,
    },
    /// More welds than the smith will make.
    Welds {
        /// What it takes.
        welds: u32,
        /// The limit.
        most: u32,
    },
    /// It takes more of a steel than there is.
    Stock {
        steel: SteelId,
        takes: Grams,
        has: Grams,
    },
    /// The plain edge takes more of the bar than there is.
    Margin {
        /// What is wanted.
        margin: Mm,
        /// Its share of the blade's width.
        share: Fraction,
    },
}

/// Finest mean band that an etch still shows.
pub(super) const FINEST: Mm = Mm(0.010);

impl Limit {
    /// A draw to more width than the metal spreads; none where it does.
    pub(super) fn spread(wish: &Wish, from: (Mm, Mm), to: (Mm, Mm)) -> Option<Self> {
        too_wide(&wish.shop, from, to).map(|most| Self::Spread { from, to, most })
    }

    /// Bit of its kind, to waive it.
    pub(super) fn bit(self) -> u16 {
        match self {
            Self::Machine { .. } => 1,
            Self::Widest { .. } => 1 << 1,
            Self::Tallest { .. } => 1 << 2,
            Self::Leans { .. } => 1 << 3,
            Self::Longest { .. } => 1 << 4,
            Self::Shortest { .. } => 1 << 5,
            Self::Metal { .. } => 1 << 6,
            Self::Thin { .. } => 1 << 7,
            Self::Bands { .. } => 1 << 8,
            Self::Fine { .. } => 1 << 9,
            Self::Welds { .. } => 1 << 10,
            Self::Margin { .. } => 1 << 11,
            Self::Spread { .. } => 1 << 12,
            Self::Blade { .. } => 1 << 13,
            Self::Stock { .. } => 1 << 14,
        }
    }

    /// The bit of its kind, and how far it is over.
    pub(super) fn overstep(self, wish: &Wish) -> Over {
        Over {
            sum: self.over(wish),
            bits: self.bit(),
        }
    }

    /// How far it is over the limit, as a part of the limit.
    pub(super) fn over(self, wish: &Wish) -> f64 {
        let beyond = |has: f64, most: f64| (has / most.max(1e-9) - 1.0).max(0.0);
        match self {
            Self::Machine { width, moves, .. } => beyond(width.0, moves.0),
            Self::Spread { to, most, .. } => beyond(to.0.0, most.0),
            Self::Widest { width, most } => beyond(width.0, most.0),
            Self::Tallest { height, most } => beyond(height.0, most.0),
            Self::Leans { height, width } => beyond(height.0, 2.0 * width.0),
            Self::Longest { length, most } | Self::Blade { length, most } => {
                beyond(length.0, most.0)
            }
            Self::Shortest { length, least } => beyond(least.0, length.0),
            Self::Metal { has, takes } => beyond(takes, has),
            Self::Thin { height, takes } => beyond(takes.0, height.0),
            Self::Bands { bands } => {
                #[expect(clippy::cast_precision_loss, reason = "compared, not counted")]
                let (bands, least, most) = (
                    bands as f64,
                    wish.goal.bands_least as f64,
                    wish.goal.bands_most as f64,
                );
                beyond(bands, most).max(beyond(least, bands))
            }
            Self::Fine { band } => beyond(FINEST.0, band.0),
            Self::Welds { welds, most } => f64::from(welds) - f64::from(most),
            Self::Stock { takes, has, .. } => beyond(takes.0, has.0),
            Self::Margin { share, .. } => share.0,
        }
    }

    /// In a sentence behind "no plan:".
    #[must_use]
    pub fn sentence(self, wish: &Wish) -> String {
        let units = wish.units;
        let bare = |size: Mm| units.length_bare(size);
        let say = |size: Mm| units.length(size);
        match self {
            Self::Machine {
                width,
                height,
                moves,
                pile,
            } => {
                // With the shortest bite more moves, or nothing does.
                let dies = least_bite(wish, Windows::of(wish), height) > moves * 1.01;
                format!(
                    "{} moves {} at {} high{}, the {} wide; {} or {}",
                    machine_word(&wish.shop),
                    say(match units {
                        Units::Mm => Mm(moves.0.floor()),
                        Units::Inch => moves.floor_to(Mm::from_inch(1.0 / 16.0)),
                    }),
                    bare(height),
                    match dies {
                        true => "",
                        false => " even with the shortest bites",
                    },
                    match pile {
                        true => format!("stack is {}", bare(width)),
                        false => format!("bar is {}", bare(width)),
                    },
                    match dies {
                        true => "use drawing dies",
                        false => "use a stronger press",
                    },
                    match pile {
                        true => "a narrower stack",
                        false => "a narrower or thicker bar",
                    }
                )
            }
            Self::Spread { from, to, most } => format!(
                "a bar of {} x {} drawn to {} thick gets {} wide at the most, and {} is wanted; take wider stock, a higher stack or a wider die",
                bare(from.0),
                say(from.1),
                say(to.1),
                say(Mm((most.0 * 10.0).floor() / 10.0)),
                bare(to.0)
            ),
            Self::Widest { width, most } => format!(
                "the bar is {} wide, and {} is the widest that is allowed; take narrower stock, or allow more",
                bare(width),
                say(most)
            ),
            Self::Tallest { height, most } => format!(
                "the machine opens to {}, the lowest pile that would do is {}; take thinner stock, or more restacks of fewer pieces",
                say(most),
                bare(height)
            ),
            Self::Leans { height, width } => format!(
                "the pile would be {} high on {}, over twice its width; take wider or thinner stock",
                bare(height),
                say(width)
            ),
            Self::Longest { length, most } => format!(
                "the forge heats {}, the bar would be {}; {}",
                say(most),
                say(length),
                match wish.goal.knives {
                    1 => "want a shorter or thinner blade, or a thicker bar",
                    _ => "make fewer knives at once, a thicker bar, or shorter blades",
                }
            ),
            Self::Blade { length, most } => format!(
                "the forge heats {}, the blade is forged {} long; want a shorter blade, or heat it elsewhere",
                say(most),
                say(length)
            ),
            Self::Shortest { length, least } => format!(
                "the longest pieces that come of it are {}, and {} is the least that can be held; allow shorter pieces or fewer restacks",
                bare(length),
                say(least)
            ),
            Self::Metal { has, takes } => format!(
                "the largest stack that fits leaves {} at the last weld, the knives take {}; make fewer knives, or take wider or thicker stock",
                units.mass(Grams(has)),
                units.mass(Grams(takes))
            ),
            Self::Thin { height, takes } => format!(
                "the pile is {} high, and the bar must be {} thick; take more or thicker pieces",
                bare(height),
                say(takes)
            ),
            Self::Bands { bands } => format!(
                "{} to {} bands are wanted, the nearest is {bands}; widen the range, or add other thicknesses to the stock",
                wish.goal.bands_least, wish.goal.bands_most
            ),
            Self::Fine { band } => format!(
                "the bands would be {:.1} um thick, and under {:.0} um the etch shows grey; want fewer bands or a thicker blade",
                band.0 * 1000.0,
                FINEST.0 * 1000.0
            ),
            Self::Welds { welds, most } => format!(
                "it takes {}, and {most} {} allowed; allow more, or want fewer bands",
                show::counted(welds, "weld"),
                if most == 1 { "is" } else { "are" }
            ),
            Self::Stock { steel, takes, has } => format!(
                "it takes {} of {}, and {} is at hand; {}, or get {} more",
                units.mass(takes),
                wish.steels()
                    .get(steel.index())
                    .map_or("steel", |one| one.steel.grade.as_str()),
                units.mass(has),
                match wish.goal.knives {
                    1 => "want a smaller blade",
                    _ => "make fewer knives",
                },
                units.mass(takes - has)
            ),
            Self::Margin { margin, share } => format!(
                "{} of plain edge is {} of the blade's width and leaves no core; want less",
                say(margin),
                show::percent(share, 0)
            ),
        }
    }
}

/// Waived limits that are overstepped.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Over {
    /// How far, each as a part of its limit, together.
    pub(super) sum: f64,
    /// Their bits.
    pub(super) bits: u16,
}

impl std::ops::Add for Over {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self {
            sum: self.sum + other.sum,
            bits: self.bits | other.bits,
        }
    }
}

/// Bits of the limits that may be passed over.
pub(super) type Waived = u16;
