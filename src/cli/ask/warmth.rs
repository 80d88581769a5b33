//! The section that is heated or cools, and what the surface figures leave open in it.

use clap::Args;

use super::read::Asked;
use super::refused::Refused;
use crate::physics::Spread;
use crate::physics::section::{SCALED_STEEL, Section};

// No doc comment: the screen of help would take it for the words of the topic.
#[derive(Debug, Args)]
pub(super) struct SectionFlags {
    /// Width of the section, cold
    #[arg(long, value_name = "LENGTH")]
    width: String,
    /// Thickness of the section, cold
    #[arg(long, value_name = "LENGTH")]
    thickness: String,
}

impl SectionFlags {
    pub(super) fn read(&self, asked: Asked) -> Result<Section, Refused> {
        Ok(Section {
            width: asked.length("--width", &self.width)?,
            thickness: asked.length("--thickness", &self.thickness)?,
        })
    }
}

/// Emissivity of scaled steel: the law's own, then the ends that handbooks (0.9) and EN 1993-1-2
/// (0.7) give.
pub(super) const EMISSIVITIES: [f64; 3] = [SCALED_STEEL, 0.9, 0.7];

/// The emissivity at which a bar takes longest.
pub(super) const SLOWEST: f64 = 0.7;
/// The emissivity at which a bar loses its heat fastest.
pub(super) const FASTEST: f64 = 0.9;

/// The first figure's answer as best, the others as the range.
pub(super) fn ranged(found: &[f64]) -> Spread {
    Spread::preferring(found.first().copied().unwrap_or(f64::NAN), found)
}
