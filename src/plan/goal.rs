//! What the smith wants.

use serde::{Deserialize, Serialize};

use crate::units::{Mm, Mm3};

/// Pattern families.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
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
}

/// The finished blade.
#[derive(Debug, Clone, Copy, PartialEq)]
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
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tang {
    /// Length.
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
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bolster {
    /// Along the knife.
    pub length: Mm,
    /// Across.
    pub width: Mm,
    /// Through.
    pub thickness: Mm,
}

/// What the job is for.
#[derive(Debug, Clone, PartialEq)]
pub struct Goal {
    /// The blade.
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
    /// `V = L h [k_s s_mean]` with the bevelled share of the section losing half of (spine - edge);
    /// worked from prismatoid sections, see the physics floor for the law and its check.
    #[must_use]
    pub fn volume(&self) -> Mm3 {
        // Section at x: h(x) (s(x) (1 - b/2) + e b/2), h = h0 (1 - x^3), s = s0 - (s0 - s1) x.
        let b = self.bevel.clamp(0.0, 1.0);
        let spine = self.spine.0 * 0.75 - (self.spine.0 - self.spine_tip.0) * 0.3;
        let section = spine * (1.0 - b / 2.0) + self.edge.0 * 0.75 * b / 2.0;
        Mm3(self.length.0 * self.width.0 * section)
    }
}

impl Tang {
    /// Volume of a straight-tapered block (prismatoid).
    #[must_use]
    pub fn volume(&self) -> Mm3 {
        let a0 = self.width.0 * self.thickness.0;
        let a1 = self.width_end.0 * self.thickness_end.0;
        let am =
            (self.width.0 + self.width_end.0) * (self.thickness.0 + self.thickness_end.0) / 4.0;
        Mm3(self.length.0 / 6.0 * (a0 + 4.0 * am + a1))
    }
}

impl Goal {
    /// Finished volume of one knife: blade, tang and bolster.
    #[must_use]
    pub fn volume(&self) -> Mm3 {
        let tang = self.tang.map_or(Mm3::ZERO, |tang| tang.volume());
        let bolster = self
            .bolster
            .map_or(Mm3::ZERO, |b| Mm3(b.length.0 * b.width.0 * b.thickness.0));
        self.blade.volume() + tang + bolster
    }
}
