//! A piece of steel that outlives its job.

use serde::{Deserialize, Serialize};

use crate::plan::StepId;
use crate::units::Stamp;

/// Like pieces that the smith keeps, as they were when they were kept: whole by itself, for the plan that
/// they come from may be gone when they are used. Cold.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Spare {
    /// The bar that it was cut from or laid by as; empty in a plan of one.
    pub bar: String,
    /// Which of the pieces that were set aside of that bar, from 0; none for what is left of the bar itself.
    pub place: Option<usize>,
    /// The step that left it over.
    pub from: StepId,
    /// How many.
    pub pieces: u32,
    /// Width, thickness and length of each, mm; layers are piled through the thickness.
    pub size: [f64; 3],
    /// Mass of each, g.
    pub mass: f64,
    /// Bands through the thickness.
    pub bands: u64,
    /// What was done to the layers: `flat`, `crushed`, `block`, `twisted`, `split`, `tiled`, or `framed`.
    pub figure: String,
    /// Grades, each with its part of the metal.
    pub steels: Vec<(String, f64)>,
    /// Grade and thickness in mm of every layer, bottom to top, where they are flat and few enough to write
    /// down.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub layers: Vec<(String, f64)>,
}

/// Pieces that the smith keeps for other jobs.
#[derive(Debug, Clone, PartialEq)]
pub struct Kept {
    /// Number of the entry.
    pub seq: u64,
    pub at: Stamp,
    /// What they are like.
    pub spare: Spare,
}
