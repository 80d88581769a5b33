//! One bar: its outside, its layered core, and the bars around it.

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

/// What is put on a side, as a plan names it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Piece {
    /// A plain bar, as long as the bar that it is put on.
    Plain {
        /// What it is.
        steel: SteelId,
        /// How thick it is, square to its side. Cold.
        thickness: Mm,
    },
    /// One piece of another bar of the job.
    Of {
        /// Its name.
        bar: String,
        /// Quarter-turns that it is given before it is laid.
        turns: u8,
    },
}

/// A bar put on one side.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct FrameBar {
    /// Where it lies.
    pub side: Side,
    /// What it is.
    pub piece: Piece,
}

impl FrameBar {
    /// A plain bar.
    #[must_use]
    pub const fn plain(side: Side, steel: SteelId, thickness: Mm) -> Self {
        Self {
            side,
            piece: Piece::Plain { steel, thickness },
        }
    }

    /// Steel and thickness of a plain bar.
    #[must_use]
    pub const fn as_plain(&self) -> Option<(SteelId, Mm)> {
        match self.piece {
            Piece::Plain { steel, thickness } => Some((steel, thickness)),
            Piece::Of { .. } => None,
        }
    }
}

/// A bar welded to a side of another.
#[derive(Debug, Clone, PartialEq)]
pub struct Member {
    /// Where it lies.
    pub side: Side,
    /// Which frame it came with, from the core out.
    pub ring: u16,
    /// True when it runs past the ends of the bars on the other two sides of its frame, which lie between:
    /// edge and spine bars do, as long as the whole is not turned.
    pub long: bool,
    /// The bar itself, in the axes of the whole; its length is that of the whole. A plain bar is one of a
    /// single layer.
    pub bar: Bar,
}

impl Member {
    /// Its size square to its side.
    #[must_use]
    pub fn thickness(&self) -> Mm {
        match self.side {
            Side::Edge | Side::Spine => self.bar.width,
            Side::Top | Side::Bottom => self.bar.thickness,
        }
    }

    /// The steel of a plain bar.
    #[must_use]
    pub fn plain(&self) -> Option<SteelId> {
        self.bar.plain()
    }
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
    /// A block of straight pieces turned against each other.
    Block,
    Twisted,
    /// Split and closed again.
    Split,
    /// End grain on the face: tiles in a row, or cut and unfolded.
    Tiled,
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
    /// Like cores that a line across the width and one through the thickness meet one behind the other, where
    /// no sequence runs through their seams (a block of turned pieces, bent ones piled up).
    pub blocks: [u64; 2],
}

/// Plain steel across the whole section at the far end: the bar of the edge carried round it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cap {
    /// What it is.
    pub steel: SteelId,
    /// How far it reaches along the bar.
    pub length: Mm,
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
    /// Bars on the sides, inside to outside; flat bars on faces parallel to flat layers join the sequence
    /// instead.
    pub frame: Vec<Member>,
    /// Plain steel round its far end, within its length.
    pub cap: Option<Cap>,
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

    /// What the bars on a side come to, zero when there are none.
    #[must_use]
    pub fn frame_on(&self, side: Side) -> Mm {
        self.on(side).map(Member::thickness).sum()
    }

    /// Plain steel on a side, from the outside in to the first layered bar.
    #[must_use]
    pub fn plain_on(&self, side: Side) -> Mm {
        let bars: Vec<&Member> = self.on(side).collect();
        let plain = bars.iter().rev().take_while(|bar| bar.plain().is_some());
        plain.map(|bar| bar.thickness()).sum()
    }

    /// The bars on a side, inside to outside.
    pub fn on(&self, side: Side) -> impl Iterator<Item = &Member> {
        self.frame.iter().filter(move |bar| bar.side == side)
    }

    /// The steel of a bar of one steel.
    #[must_use]
    pub fn plain(&self) -> Option<SteelId> {
        let layers = &self.core.layers;
        let first = layers.summary().first().map(|(steel, _)| steel);
        first.filter(|_| layers.bands() == 1 && self.frame.is_empty())
    }

    /// The bar whose layers are counted: this one, or where its core is plain the one on it that has most.
    #[must_use]
    pub fn layered(&self) -> &Self {
        let on = self.frame.iter().map(|on| on.bar.layered());
        let bands = |bar: &Self| bar.core.most_bands();
        let most = on.max_by_key(|bar| bands(bar));
        most.filter(|bar| bands(self) <= 1 && bands(bar) > 1)
            .unwrap_or(self)
    }

    /// Area of one steel in the outside section.
    #[must_use]
    pub fn area_of(&self, steel: SteelId) -> Mm2 {
        let framed: Mm2 = self.frame.iter().map(|on| on.bar.area_of(steel)).sum();
        let core = self.core_width() * self.core_thickness();
        framed + core * self.core.layers.share(steel)
    }

    /// Part of the metal that is one steel, the plain end counted.
    #[must_use]
    pub fn share_of(&self, steel: SteelId) -> f64 {
        let section = self.area_of(steel) / self.section();
        let Some(cap) = &self.cap else {
            return section;
        };
        let end = (cap.length / self.length).clamp(0.0, 1.0);
        section * (1.0 - end) + if cap.steel == steel { end } else { 0.0 }
    }

    /// Which frame is the outermost; 0 for a bar without any.
    #[must_use]
    pub fn rings(&self) -> u16 {
        self.frame.iter().map(|on| on.ring).max().unwrap_or(0)
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
