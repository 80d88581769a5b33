//! What a shop takes off, loses and can hold.

use serde::{Deserialize, Serialize};

use super::body::Shape;
use crate::units::{Fraction, Mm, Mm3, Units};

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
    /// How the knife's parts run out.
    #[serde(default)]
    pub shape: Shape,
    /// The units that refusals and warnings are worded in.
    #[serde(default)]
    pub units: Units,
}
