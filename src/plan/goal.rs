//! What the smith wants.

use serde::{Deserialize, Serialize};

use crate::billet::{FORGED_EDGE, Shape};
use crate::physics::blade_volume::{edged, taper};
use crate::units::{Mm, Mm3};

/// Pattern families.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    Default,
    Serialize,
    Deserialize,
    strum::IntoStaticStr,
    strum::VariantArray,
)]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum Pattern {
    /// Uneven hammer figure.
    #[default]
    Random,
    /// Grooves forged flat.
    Ladder,
    /// Dimples forged flat.
    Raindrop,
    /// Twisted bar.
    Twist,
    /// Layers bent to W's.
    TurnedW,
    /// Split and closed.
    Feather,
    /// Hard core between jackets.
    ThreeLayer,
    /// Straight laminate as a choice.
    Straight,
    /// A patterned jacket on a plain core.
    Jacket,
    /// End-grain tiles on the faces.
    Tiles,
}

/// The finished blade.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Blade {
    /// Heel to point.
    pub length: Mm,
    /// Width at the heel.
    pub width: Mm,
    /// Spine at the heel.
    pub spine: Mm,
    /// Spine near the point.
    pub spine_tip: Mm,
    /// Edge before sharpening.
    pub edge: Mm,
    /// Bevel height over blade width: 1 is a full flat grind.
    pub bevel: f64,
}

/// The part under the handle.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Tang {
    pub length: Mm,
    /// Width at the blade.
    pub width: Mm,
    /// Thickness at the blade.
    pub thickness: Mm,
    /// Width at its end.
    pub width_end: Mm,
    /// Thickness at its end.
    pub thickness_end: Mm,
}

/// The collar, forged from the same bar.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Bolster {
    /// Along the knife.
    pub length: Mm,
    /// Across.
    pub width: Mm,
    /// Through.
    pub thickness: Mm,
}

/// What the job is for.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Goal {
    pub blade: Blade,
    /// The tang, where there is one.
    pub tang: Option<Tang>,
    /// The integral bolster, where there is one.
    pub bolster: Option<Bolster>,
    /// Pattern family.
    pub pattern: Pattern,
    /// Fewest bands wanted.
    pub bands_least: u64,
    /// Most bands wanted.
    pub bands_most: u64,
    /// Knives from this billet.
    pub knives: u32,
    /// Plain steel wanted above the finished edge, where layers must not reach it.
    pub edge_margin: Option<Mm>,
}

impl Blade {
    /// Finished volume: full or part bevels, spine tapering straight, edge curve of third power.
    #[must_use]
    pub fn volume(&self) -> Mm3 {
        let spine = (self.spine, self.spine_tip);
        edged(self.length, self.width, spine, self.edge, self.bevel)
    }
}

/// Skin that scale and lost carbon cost each face of a forged or ground blank: 0.3 to 0.5 mm. Common
/// practice, no source.
pub const SKIN: Mm = Mm(0.4);
/// Profile left over the finished outline by forging, at the edge and at the point. Common
/// practice, no source.
pub const PROFILE: Mm = Mm(1.0);

impl Blade {
    /// The blade as the forging leaves it: with its skin, a thick edge and some profile over.
    #[must_use]
    pub fn forged(&self) -> Self {
        Self {
            length: self.length + PROFILE,
            width: self.width + PROFILE,
            spine: self.spine + SKIN * 2.0,
            spine_tip: self.spine_tip + SKIN * 2.0,
            edge: self.edge.max(FORGED_EDGE),
            bevel: self.bevel,
        }
    }
}

impl Tang {
    /// The tang as the forging leaves it.
    #[must_use]
    pub fn forged(&self) -> Self {
        Self {
            length: self.length + PROFILE,
            width: self.width + SKIN * 2.0,
            thickness: self.thickness + SKIN * 2.0,
            width_end: self.width_end + SKIN * 2.0,
            thickness_end: self.thickness_end + SKIN * 2.0,
        }
    }
}

impl Bolster {
    /// The bolster as the forging leaves it.
    #[must_use]
    pub fn forged(&self) -> Self {
        Self {
            length: self.length + SKIN * 2.0,
            width: self.width + SKIN * 2.0,
            thickness: self.thickness + SKIN * 2.0,
        }
    }

    /// Its volume as a block.
    #[must_use]
    pub fn volume(&self) -> Mm3 {
        self.length * self.width * self.thickness
    }
}

impl Tang {
    /// Volume of a straight-tapered block; nothing for sizes that no tang has.
    #[must_use]
    pub fn volume(&self) -> Mm3 {
        let start = (self.width, self.thickness);
        let end = (self.width_end, self.thickness_end);
        taper(self.length, start, end).unwrap_or(Mm3::ZERO)
    }
}

impl Goal {
    /// `1 knife`, `2 knives`.
    #[must_use]
    pub fn knives_words(&self) -> String {
        match self.knives {
            1 => "1 knife".to_owned(),
            many => format!("{many} knives"),
        }
    }

    /// Metal in one knife as the forging leaves it.
    #[must_use]
    pub fn forged_volume(&self) -> Mm3 {
        let shape = self.shape();
        self.blade.forged().volume() + shape.tang + shape.bolster
    }

    /// How the forged parts run out.
    #[must_use]
    pub fn shape(&self) -> Shape {
        let blade = self.blade.forged();
        let over = |end: Mm, start: Mm| (end / start).clamp(0.0, 1.0);
        let tang = self.tang.map(|tang| tang.forged());
        Shape {
            tang_end: tang.map_or((1.0, 1.0), |tang| {
                let across = over(tang.width_end, tang.width);
                (across, over(tang.thickness_end, tang.thickness))
            }),
            tip: over(blade.spine_tip, blade.spine),
            edge: blade.edge,
            bevel: blade.bevel,
            tang: tang.map_or(Mm3::ZERO, |tang| tang.volume()),
            bolster: self
                .bolster
                .map_or(Mm3::ZERO, |bolster| bolster.forged().volume()),
        }
    }

    /// Finished volume of one knife: blade, tang and bolster.
    #[must_use]
    pub fn volume(&self) -> Mm3 {
        let tang = self.tang.map_or(Mm3::ZERO, |tang| tang.volume());
        let bolster = self.bolster.map_or(Mm3::ZERO, |bolster| bolster.volume());
        self.blade.volume() + tang + bolster
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::blade_volume::{Bevel, bevel_factor};
    use crate::units::Fraction;

    #[test]
    fn the_goal_and_the_law_of_blade_volume_agree() {
        let blade = Blade {
            length: Mm(150.0),
            width: Mm(30.0),
            spine: Mm(3.0),
            spine_tip: Mm(1.2),
            edge: Mm(0.3),
            bevel: 1.0,
        };
        let section = bevel_factor(Fraction(1.0), blade.edge, blade.spine, Bevel::Flat).unwrap();
        let law = crate::physics::Blade {
            length: blade.length,
            height: blade.width,
            spine: blade.spine,
            tip_spine: blade.spine_tip,
            curve: 3.0,
            section,
        };
        // The law thins the edge with the spine; the goal keeps it: 4232 against a little more.
        let ratio = blade.volume() / law.volume().unwrap();
        assert!((1.0..1.04).contains(&ratio), "{ratio}");
    }
}
