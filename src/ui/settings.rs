//! What the smith sets for the whole run.

use super::glyphs::Glyphs;
use super::picture::Shades;
use super::press::QUIET_MS;
use super::theme::Theme;
use crate::units::Seconds;

/// What the smith may set.
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    /// Colours.
    pub theme: Theme,
    /// Glyphs.
    pub glyphs: Glyphs,
    /// What pictures are shaded with.
    pub shades: Shades,
    /// Pixels across and down of a cell, where the terminal takes sharp pictures: see [`super::Plate`].
    pub sharp: Option<[u16; 2]>,
    /// Quiet time before a key acts again, ms.
    pub quiet_ms: u64,
    /// How long the fire watch lasts; may be lengthened, not shortened.
    pub watch: Seconds,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            theme: Theme::Terminal,
            glyphs: Glyphs::Blocks,
            shades: Shades::default(),
            sharp: None,
            quiet_ms: QUIET_MS,
            watch: crate::plan::least_watch(),
        }
    }
}
