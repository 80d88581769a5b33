//! How much metal one knife takes before it is ground, and what bar it fits in.

use super::{Goal, Plan, SKIN};
use crate::billet::{Billet, Kind, Part, Stage};
use crate::physics::Spread;
use crate::units::{Mm, Mm3};

/// Metal over what a blank needs, against what goes wrong at the anvil: up to a draft's own and a little
/// more. Common practice, no source.
pub const SPARE: Spread = Spread {
    low: 1.0,
    best: 1.15,
    high: 1.25,
};

/// What one knife needs of its blank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Need {
    /// Metal in the blank when it is ground to shape.
    pub metal: Mm3,
    /// Metal in it once it is ground.
    pub finished: Mm3,
    /// Least thickness of the bar.
    pub thickness: Mm,
    /// Least width and length of the bar, where the knife is ground out of it and not forged.
    pub outline: Option<(Mm, Mm)>,
    /// Length of the blade.
    pub blade: Mm,
    /// Knives wanted.
    pub knives: u32,
}

/// A forged blade that reads shorter by less is as long as it was meant to be.
const SAME_LENGTH: Mm = Mm(0.5);

impl Need {
    /// What the goal of a plan needs. A job with forging steps is forged to shape: metal moves, and
    /// the volume with a skin over it is what counts. Otherwise the knife must lie inside the bar.
    ///
    /// ```
    /// use anvilside::plan::Need;
    /// let text = include_str!("../../plans/kitchen-pair.toml");
    /// let (plan, _) = anvilside::plan::read(text).unwrap();
    /// let need = Need::of(&plan);
    /// // The blade with its skin, 211 x 47 mm, spine 3.8 to 2.0, edge 1.5: a mean thickness of 1.7175
    /// // mm over the outline makes 17.03 cm3; the tang, 101 mm from 20.8 x 3.8 to 12.8 x 3.0, 5.82.
    /// assert!((need.metal.cubic_cm() - 22.86).abs() < 0.01);
    /// assert!((need.thickness.0 - 3.8).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn of(plan: &Plan) -> Self {
        Self::of_goal(&plan.goal, is_forged(plan))
    }

    /// The same for a goal and a way of making it.
    #[must_use]
    pub fn of_goal(goal: &Goal, forged: bool) -> Self {
        let skin = SKIN * 2.0;
        let tang = goal.tang.map_or(Mm::ZERO, |tang| tang.thickness);
        let bolster = goal.bolster.map_or(Mm::ZERO, |bolster| bolster.thickness);
        let thickness = goal.blade.spine.max(tang).max(bolster) + skin;
        if forged {
            return Self {
                metal: goal.forged_volume(),
                finished: goal.volume(),
                thickness,
                outline: None,
                blade: goal.blade.length,
                knives: goal.knives,
            };
        }
        let tang_width = goal.tang.map_or(Mm::ZERO, |tang| tang.width);
        let bolster_width = goal.bolster.map_or(Mm::ZERO, |bolster| bolster.width);
        let width = goal.blade.width.max(tang_width).max(bolster_width);
        let length = goal.blade.length
            + goal.tang.map_or(Mm::ZERO, |tang| tang.length)
            + goal.bolster.map_or(Mm::ZERO, |bolster| bolster.length);
        Self {
            metal: goal.volume(),
            finished: goal.volume(),
            thickness,
            outline: Some((width, length)),
            blade: goal.blade.length,
            knives: goal.knives,
        }
    }

    /// Metal missing in all knives together; zero when there is enough. A bar too thin, too narrow
    /// or too short lacks what would fill it out.
    #[must_use]
    pub fn missing(&self, billet: &Billet) -> Mm3 {
        let each = self.missing_in_one(billet);
        let blanks = billet.pieces.min(self.knives);
        let none = f64::from(self.knives - blanks);
        each * f64::from(blanks) + self.wanted(billet) * none
    }

    /// Metal wanted in one blank: ground ones have lost the skin already.
    fn wanted(&self, billet: &Billet) -> Mm3 {
        if billet.stage >= Stage::Ground {
            self.finished
        } else {
            self.metal
        }
    }

    fn missing_in_one(&self, billet: &Billet) -> Mm3 {
        let metal = billet.bar.volume();
        let mut short = (self.wanted(billet) - metal).max(Mm3::ZERO);
        if let Some(length) = self.short_blade(billet) {
            short = short.max(self.wanted(billet) * (1.0 - length / self.blade));
        }
        if billet.stage >= Stage::Ground {
            return short;
        }
        let bar = &billet.bar;
        let thin = (self.thickness - bar.thickness).max(Mm::ZERO);
        short = short.max(bar.width * bar.length * thin);
        if let Some((width, length)) = self.outline {
            let narrow = (width - bar.width).max(Mm::ZERO);
            let stubby = (length - bar.length).max(Mm::ZERO);
            short = short.max(bar.thickness * bar.length * narrow);
            short = short.max(bar.thickness * bar.width * stubby);
        }
        short
    }

    /// The length of a blade that is forged, and shorter than the goal's.
    #[must_use]
    pub fn short_blade(&self, billet: &Billet) -> Option<Mm> {
        let forged = billet.blade.parts.iter().rev();
        let length = forged
            .filter(|part| matches!(part.part, Part::Blade | Part::Bevels))
            .find_map(|part| part.sizes.length)?;
        (length + SAME_LENGTH < self.blade).then_some(length)
    }

    /// Metal in all blanks over what the knives need; negative when it is short.
    #[must_use]
    pub fn spare(&self, billet: &Billet) -> Mm3 {
        let missing = self.missing(billet);
        if missing.is_positive() {
            return Mm3::ZERO - missing;
        }
        (billet.bar.volume() - self.wanted(billet)) * f64::from(billet.pieces.min(self.knives))
    }
}

/// True when the job forges its blanks to shape.
#[must_use]
pub fn is_forged(plan: &Plan) -> bool {
    plan.steps.iter().any(|step| step.kind() == Kind::Forge)
}

#[cfg(test)]
mod tests {
    use super::Need;
    use crate::plan::read;
    use crate::units::Mm;

    fn plan() -> crate::plan::Plan {
        read(include_str!("../../plans/kitchen-pair.toml"))
            .unwrap()
            .0
    }

    #[test]
    fn a_ground_knife_must_lie_in_the_bar() {
        let mut plan = plan();
        plan.steps
            .retain(|step| step.kind() != crate::billet::Kind::Forge);
        let need = Need::of(&plan);
        assert_eq!(need.outline, Some((Mm(46.0), Mm(310.0))));
        let mut billet = plan.first_billet();
        billet.pieces = 2;
        (billet.bar.width, billet.bar.thickness) = (Mm(48.0), Mm(5.0));
        billet.bar.length = Mm(300.0);
        // 10 mm short of 310 in each of two bars.
        assert!(
            need.missing(&billet)
                .near(Mm(48.0) * Mm(5.0) * Mm(20.0), 1e-6)
        );
        billet.bar.length = Mm(312.0);
        assert!(!need.missing(&billet).is_positive());
        assert!(need.spare(&billet).is_positive());
    }

    #[test]
    fn a_missing_blank_is_a_whole_knife_short() {
        let plan = plan();
        let need = Need::of(&plan);
        let mut billet = plan.first_billet();
        billet.pieces = 1;
        assert!(need.missing(&billet).near(need.metal, 1e-6));
        assert!((need.spare(&billet) + need.metal).near(crate::units::Mm3::ZERO, 1e-6));
    }
}
