//! The sizes that a blank is forged to, and the metal that they take: a blank is cut as long as its steps need.

use super::sizes::{up, worked};
use super::wish::Wish;
use crate::billet::{Part, Shape, Sizes};
use crate::plan::SKIN;
use crate::units::{Fraction, Mm, Mm3};

/// Scale of each part that is forged. Common practice, no source.
const SCALE: f64 = 0.01;
/// What is left over the finished length of a tang, and over length and width of a blade. Common practice, no
/// source.
const TANG_OVER: Mm = Mm(2.0);
const LONG_OVER: Mm = Mm(3.0);
const WIDE_OVER: Mm = Mm(2.0);

/// What the forging steps of one knife ask for, each size rounded up to the mark.
#[derive(Debug, Clone)]
pub(super) struct Forged {
    pub(super) bolster: Option<Sizes>,
    pub(super) tang: Option<Sizes>,
    /// The blade before its bevels: its width hangs on the metal.
    pub(super) blade: Sizes,
    /// With its bevels: its length is what the metal makes.
    pub(super) bevels: Sizes,
    shape: Shape,
    long: Mm,
}

impl Forged {
    pub(super) fn of(wish: &Wish) -> Self {
        let goal = &wish.goal;
        let skin = SKIN * 2.0;
        let fine = worked(wish.units, wish.shop.allowances.mark);
        let all = |width: Mm, thickness: Mm, length: Mm| Sizes {
            width: Some(up(width, fine)),
            thickness: Some(up(thickness, fine)),
            length: Some(up(length, fine)),
        };
        let bolster = goal
            .bolster
            .map(|one| all(one.width + skin, one.thickness + skin, one.length + skin));
        let tang = goal.tang.map(|one| {
            all(
                one.width + skin,
                one.thickness + skin,
                one.length + TANG_OVER,
            )
        });
        let long = up(goal.blade.length + LONG_OVER, fine);
        let spine = Some(up(goal.blade.spine + skin, fine));
        Self {
            bolster,
            tang,
            blade: Sizes {
                width: None,
                thickness: spine,
                length: Some(long),
            },
            bevels: Sizes {
                width: Some(up(goal.blade.width + WIDE_OVER, fine)),
                thickness: spine,
                length: None,
            },
            shape: goal.shape(),
            long,
        }
    }

    /// Length that the blade is forged to.
    pub(super) fn long(&self) -> Mm {
        self.long
    }

    /// Scale of each part.
    pub(super) fn scale() -> Fraction {
        Fraction(SCALE)
    }

    /// How many parts are forged.
    fn count(&self) -> i32 {
        2 + i32::from(self.bolster.is_some()) + i32::from(self.tang.is_some())
    }

    /// What of a blank is left when all parts are forged.
    fn kept(&self) -> f64 {
        (1.0 - SCALE).powi(self.count())
    }

    /// Metal in the parts beside the blade.
    fn others(&self) -> Mm3 {
        let held = |part: Part, to: Option<&Sizes>| self.shape.held(part, to?);
        let each = [
            held(Part::Bolster, self.bolster.as_ref()),
            held(Part::Tang, self.tang.as_ref()),
        ];
        each.into_iter().flatten().sum()
    }

    /// Metal in the blade with its bevels, as long as it is wanted.
    fn body(&self) -> Mm3 {
        let full = Sizes {
            length: Some(self.long),
            ..self.bevels
        };
        let held = self.shape.held(Part::Bevels, &full);
        held.unwrap_or(Mm3::ZERO)
    }

    /// Metal that the sizes take of the blank, scale counted: with less the blade comes out short.
    pub(super) fn takes(&self) -> Mm3 {
        (self.body() + self.others()) / self.kept()
    }

    /// The blade before its bevels, out of a blank of that metal: as narrow as makes it its width when they spread it,
    /// and, as sizes rounded up may ask for more than there is, no wider than the metal makes it.
    pub(super) fn blade_of(&self, blank: Mm3, fine: Mm) -> Sizes {
        let width = |metal: Mm3| self.shape.filled(Part::Blade, &self.blade, metal).width;
        let needed = width(self.body()).map(|width| up(width, fine));
        let made = width(blank * self.kept() - self.others());
        let made = made
            .map(|width| width.floor_to(fine))
            .filter(|width| width.is_positive());
        let narrow = needed.map(|needed| made.map_or(needed, |made| needed.min(made)));
        Sizes {
            width: narrow,
            ..self.blade
        }
    }
}
