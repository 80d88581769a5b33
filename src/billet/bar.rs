//! One bar: its outside, its layered core, and the plain bars around it.

use serde::{Deserialize, Serialize};

use super::layers::{Layers, SteelId};
use crate::units::{Mm, Mm2, Mm3};

/// A named side of the bar. Edge and spine lie across the width, top and bottom across the
/// thickness; a quarter-turn carries the names with the metal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, strum::IntoStaticStr)]
#[serde(rename_all = "lowercase")]
#[strum(serialize_all = "lowercase")]
pub enum Side {
    /// Where the cutting edge will be.
    Edge,
    /// Where the spine will be.
    Spine,
    /// The face marked up.
    Top,
    /// The face below.
    Bottom,
}

impl Side {
    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        self.into()
    }
}

/// A plain bar welded to one side.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct FrameBar {
    /// Where it lies.
    pub side: Side,
    /// What it is.
    pub steel: SteelId,
    /// How thick it is now, square to that side. Cold.
    pub thickness: Mm,
}

/// Which way the layers lie in the bar.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum Stand {
    /// Piled through the thickness: the wide face shows one layer.
    #[default]
    Flat,
    /// On edge: piled across the width.
    OnEdge,
}

/// What has been done to the layers that a flat pile cannot say.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum Figure {
    /// Still flat and parallel to the faces: a flat grind takes whole layers.
    #[default]
    Flat,
    /// Bent to a W by a corner crush.
    Crushed,
    /// A block of pieces turned against each other.
    Block,
    /// Twisted.
    Twisted,
    /// Split and closed again.
    Split,
}

/// The layered part of the bar.
#[derive(Debug, Clone, PartialEq)]
pub struct Core {
    /// The layer sequence. Its height is the core's size along its stand while the figure is flat; in a
    /// bent figure, and where pieces lie seam on seam (`blocks`), it is the height of one sequence,
    /// with each band as thick as it is on the mean.
    pub layers: Layers,
    /// Which way the layers lie.
    pub stand: Stand,
    /// What bends them.
    pub figure: Figure,
    /// Like cores side by side or seam on seam that the sequence does not run through
    /// (a block of turned pieces, pieces on edge piled up): multiplies the counts.
    pub blocks: u64,
}

/// One bar, cold.
#[derive(Debug, Clone, PartialEq)]
pub struct Bar {
    /// Across.
    pub width: Mm,
    /// Through.
    pub thickness: Mm,
    /// Along.
    pub length: Mm,
    /// Open grooves and dimples inside the outside sizes: no metal there.
    pub void: Mm3,
    /// How far the deepest of them reaches below a face; a bar drawn thinner by this much is closed.
    pub depth: Mm,
    /// The layered core.
    pub core: Core,
    /// Plain bars on the sides; bars on faces parallel to flat layers join the sequence instead.
    pub frame: Vec<FrameBar>,
}

impl Bar {
    /// Area of the outside section.
    #[must_use]
    pub fn section(&self) -> Mm2 {
        self.width * self.thickness
    }

    /// Metal in one bar: outside volume less what is open.
    #[must_use]
    pub fn volume(&self) -> Mm3 {
        self.section() * self.length - self.void
    }

    /// Plain steel on a side, zero when there is none.
    #[must_use]
    pub fn frame_on(&self, side: Side) -> Mm {
        self.frame
            .iter()
            .filter(|bar| bar.side == side)
            .map(|bar| bar.thickness)
            .sum()
    }

    /// Width of the core: the bar less edge and spine bars.
    #[must_use]
    pub fn core_width(&self) -> Mm {
        self.width - self.frame_on(Side::Edge) - self.frame_on(Side::Spine)
    }

    /// Thickness of the core: the bar less top and bottom bars.
    #[must_use]
    pub fn core_thickness(&self) -> Mm {
        self.thickness - self.frame_on(Side::Top) - self.frame_on(Side::Bottom)
    }
}
