//! What can be done to a bar, with the numbers it needs.

use serde::{Deserialize, Serialize};

use super::kinds::Kind;
use super::{FrameBar, Side};
use crate::units::{Fraction, Mm, Mm3, Units};

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

/// What the shop takes off or cannot avoid losing, unless a step says otherwise.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Allowances {
    /// Width that one cut removes.
    pub kerf: Mm,
    /// Flat grind per face.
    pub grind: Mm,
    /// Trim per end.
    pub trim: Mm,
    /// Share of the metal lost to scale in one weld-and-draw.
    pub scale: Fraction,
    /// Finest mark that lengths are cut to; what is left is the named loss "rounding".
    pub mark: Mm,
    /// Shortest piece that can be held and welded.
    pub shortest: Mm,
    /// Widest bar the machine still moves, where stated.
    pub widest: Option<Mm>,
    /// Tallest stack that the machine opens to, where stated.
    pub tallest: Option<Mm>,
    /// Longest bar that the forge heats, where stated.
    pub longest: Option<Mm>,
    /// The finished volume of one knife, where the goal says it: what the grinds work down to.
    #[serde(default)]
    pub finished: Option<Mm3>,
    /// The units that refusals and warnings are worded in.
    #[serde(default)]
    pub units: Units,
}

/// One end of a bar: the end held, or the far end.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum End {
    /// Where the handle bar or tongs are.
    Held,
    /// The other one.
    Far,
}

/// Which faces a flat grind takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
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

/// The shape of a ladder groove.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Groove {
    /// Half-round: the section is half an ellipse, width by depth.
    #[default]
    Round,
    /// V: the section is a triangle.
    Vee,
}

/// What is forged in a forge-to-shape step.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
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

/// A step's work on the metal. Amounts that a plan may leave out are already filled in from
/// [`Allowances`] by the plan reader where they are `Mm` or `Fraction`, and left open in [`Sizes`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Move {
    /// Cut and clean the pieces of the first stack.
    Prepare,
    /// Pile the clean pieces.
    Stack,
    /// Set the weld. Without sizes the outside stays as it was.
    Weld {
        /// Sizes after the weld is set.
        to: Sizes,
        /// Share lost to scale.
        scale: Fraction,
    },
    /// Draw out to a section.
    Draw {
        /// Sizes wanted.
        to: Sizes,
        /// Share lost to scale.
        scale: Fraction,
    },
    /// Bring four sides flat and at right angles.
    Square {
        /// Sizes wanted.
        to: Sizes,
        /// Share lost to scale.
        scale: Fraction,
    },
    /// Lay the bar on its side: width becomes thickness.
    QuarterTurn,
    /// Stand on the corner and crush to a new square: flat layers bend to a W.
    CornerCrush {
        /// Sizes wanted.
        to: Sizes,
        /// Share lost to scale.
        scale: Fraction,
    },
    /// Cut bad ends off.
    Trim {
        /// Off the end held and off the far end.
        ends: [Mm; 2],
    },
    /// Flat grind before a weld.
    Grind {
        /// Off each face.
        per_face: Mm,
        /// Which faces.
        faces: Faces,
    },
    /// Cut to pieces.
    Cut {
        /// How many.
        pieces: u32,
        /// Length of each; from the bar when absent.
        length: Option<Mm>,
        /// Width of one cut.
        kerf: Mm,
        /// Keep what is left over as stock; otherwise it is the loss "rounding".
        keep_rest: bool,
    },
    /// Pile the pieces again.
    Restack {
        /// How they are put together.
        arrange: Arrange,
    },
    /// Fold the bar over itself.
    Fold {
        /// Thicknesses in the folded pile.
        plies: u32,
        /// Width lost at each fold line.
        kerf: Mm,
    },
    /// Put plain bars on named sides.
    Frame {
        /// The bars.
        bars: Vec<FrameBar>,
    },
    /// Cut grooves across both faces, staggered (ladder).
    Groove {
        /// Grooves on each face.
        count: u32,
        /// Width of a groove.
        width: Mm,
        /// Depth of a groove.
        depth: Mm,
        /// From groove to groove.
        pitch: Mm,
        /// Its section.
        shape: Groove,
    },
    /// Drill or press dimples into both faces (raindrop).
    Dimple {
        /// Dimples on each face.
        count: u32,
        /// Across at the face.
        diameter: Mm,
        /// Depth of the cone.
        depth: Mm,
        /// Pressed in with a die: metal is moved, none lost.
        pressed: bool,
    },
    /// Twist the bar.
    Twist {
        /// Full turns over the length twisted.
        turns: f64,
        /// Length that is twisted; the whole bar when absent.
        over: Option<Mm>,
    },
    /// Split the block lengthwise with a wedge and weld the halves again (feather, chevron).
    Split {
        /// Full angle of the wedge, degrees.
        angle: f64,
    },
    /// Etch an end and count.
    Inspect {
        /// Bands expected to be counted, where the plan says so.
        bands: Option<u64>,
    },
    /// Forge a part to shape.
    Forge {
        /// Which part.
        part: Part,
        /// Sizes of that part when done.
        to: Sizes,
        /// Share lost to scale.
        scale: Fraction,
    },
    /// Heat and air cool to even the grain.
    Normalise {
        /// Heats.
        cycles: u32,
        /// Share lost to scale.
        scale: Fraction,
    },
    /// Soften slowly.
    Anneal {
        /// Share lost to scale.
        scale: Fraction,
    },
    /// Grind to profile before hardening.
    RoughGrind {
        /// Edge thickness to leave.
        edge: Mm,
        /// Share of the forged blank that goes; from the blade's geometry when absent.
        share: Option<Fraction>,
    },
    /// Harden and quench.
    Harden,
    /// Temper.
    Temper {
        /// Cycles.
        cycles: u32,
    },
    /// Grind and sand to the finished surface.
    FinishGrind {
        /// Edge thickness to leave.
        edge: Mm,
        /// Share of the blank that goes; from the blade's geometry when absent.
        share: Option<Fraction>,
    },
    /// Etch.
    Etch,
    /// Cool down; end of the day.
    EndDay,
}

impl Move {
    /// Its kind.
    #[must_use]
    pub fn kind(&self) -> Kind {
        match self {
            Self::Prepare => Kind::Prepare,
            Self::Stack => Kind::Stack,
            Self::Weld { .. } => Kind::Weld,
            Self::Draw { .. } => Kind::Draw,
            Self::Square { .. } => Kind::Square,
            Self::QuarterTurn => Kind::QuarterTurn,
            Self::CornerCrush { .. } => Kind::CornerCrush,
            Self::Trim { .. } => Kind::Trim,
            Self::Grind { .. } => Kind::Grind,
            Self::Cut { .. } => Kind::Cut,
            Self::Restack { .. } => Kind::Restack,
            Self::Fold { .. } => Kind::Fold,
            Self::Frame { .. } => Kind::Frame,
            Self::Groove { .. } => Kind::Groove,
            Self::Dimple { .. } => Kind::Dimple,
            Self::Twist { .. } => Kind::Twist,
            Self::Split { .. } => Kind::Split,
            Self::Inspect { .. } => Kind::Inspect,
            Self::Forge { .. } => Kind::Forge,
            Self::Normalise { .. } => Kind::Normalise,
            Self::Anneal { .. } => Kind::Anneal,
            Self::RoughGrind { .. } => Kind::RoughGrind,
            Self::Harden => Kind::Harden,
            Self::Temper { .. } => Kind::Temper,
            Self::FinishGrind { .. } => Kind::FinishGrind,
            Self::Etch => Kind::Etch,
            Self::EndDay => Kind::EndDay,
        }
    }

    /// The sizes that the step asks for, where it asks for any.
    #[must_use]
    pub fn target(&self) -> Option<Sizes> {
        match self {
            Self::Weld { to, .. }
            | Self::Draw { to, .. }
            | Self::Square { to, .. }
            | Self::CornerCrush { to, .. }
            | Self::Forge { to, .. } => Some(*to),
            _ => None,
        }
    }
}

impl Part {
    /// The word for it in a plan file.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Bolster => "bolster",
            Self::Tang => "tang",
            Self::Blade => "blade",
            Self::Bevels => "bevels",
        }
    }
}

impl Side {
    /// The word for it in a plan file.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Edge => "edge",
            Self::Spine => "spine",
            Self::Top => "top",
            Self::Bottom => "bottom",
        }
    }
}
