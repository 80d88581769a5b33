//! What can be done to a bar, with the numbers it needs.

use serde::{Deserialize, Serialize};

use super::Dimension;
use super::bar::Piece;
use crate::units::Mm;

/// Target sizes as the plan gives them; what is absent follows from volume. Cold.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Sizes {
    /// Across the bar.
    pub width: Option<Mm>,
    /// Through the bar, the way the first stack was piled (until a quarter-turn).
    pub thickness: Option<Mm>,
    /// Along the bar.
    pub length: Option<Mm>,
}

impl Sizes {
    /// One of them, in mm; none of a mass or a count.
    #[must_use]
    pub fn get(&self, what: Dimension) -> Option<f64> {
        let size = match what {
            Dimension::Thickness => self.thickness,
            Dimension::Width => self.width,
            Dimension::Length => self.length,
            Dimension::Mass | Dimension::Bands => None,
        };
        size.map(|mm| mm.0)
    }

    /// Those that are given, with their keys.
    pub fn given(&self) -> impl Iterator<Item = (&'static str, Mm)> {
        let all = [
            ("width", self.width),
            ("thickness", self.thickness),
            ("length", self.length),
        ];
        all.into_iter().filter_map(|(key, size)| Some((key, size?)))
    }
}

/// Which faces a flat grind takes.
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
#[serde(rename_all = "lowercase")]
#[strum(serialize_all = "lowercase")]
pub enum Faces {
    /// The two that will be welded: top and bottom.
    #[default]
    Two,
    /// All four flats.
    Four,
}

/// How the pieces are put together again.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Arrange {
    /// One on the other, all the same way up.
    #[default]
    Pile,
    /// One on the other, every second piece turned over so that like faces meet.
    Flipped,
    /// A block, columns by rows; `turned` when each piece is a quarter-turn to its neighbours.
    Block {
        /// Pieces side by side.
        columns: u32,
        /// Pieces high.
        rows: u32,
        /// Each a quarter-turn to its neighbours.
        turned: bool,
    },
}

/// A bar of the plan in the first stack of another.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Among {
    /// Plain pieces under it.
    pub under: u32,
    /// Which bar, and how it lies.
    pub piece: Piece,
}

/// How joined bars lie to the one that they are joined to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Lay {
    /// On it, one on the other.
    #[default]
    Pile,
    /// At its spine side, one beside the other.
    Beside,
    /// In rows from the edge side to the spine side, the lowest first; it is the first of all.
    Grid {
        /// Bars of a row.
        columns: u32,
    },
}

/// How tiles lie in their row.
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
#[serde(rename_all = "lowercase")]
#[strum(serialize_all = "lowercase")]
pub enum Tiling {
    /// All the same way.
    #[default]
    Alike,
    /// Every second one turned over like a page, so that neighbours mirror each other.
    Mirrored,
    /// Each a quarter-turn further than the one before it, in its plane.
    Turned,
}

/// Which way a twist runs.
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
#[serde(rename_all = "lowercase")]
#[strum(serialize_all = "lowercase")]
pub enum Hand {
    /// As a common screw.
    #[default]
    Right,
    /// The other way.
    Left,
}

/// The shape of a ladder groove.
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
#[serde(rename_all = "lowercase")]
#[strum(serialize_all = "lowercase")]
pub enum Groove {
    /// Half-round: the section is half an ellipse, width by depth.
    #[default]
    Round,
    /// V: the section is a triangle.
    Vee,
}

/// What is forged in a forge-to-shape step.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    Serialize,
    Deserialize,
    strum::IntoStaticStr,
    strum::VariantArray,
)]
#[serde(rename_all = "lowercase")]
#[strum(serialize_all = "lowercase")]
pub enum Part {
    /// The collar between blade and handle.
    Bolster,
    /// The part under the handle.
    Tang,
    /// The blade to profile.
    Blade,
    /// The bevels, edge down.
    Bevels,
}

impl Part {
    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        self.into()
    }
}
