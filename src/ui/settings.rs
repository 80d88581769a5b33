//! What the smith sets for the whole run.

use super::glyphs::Glyphs;
use super::press::QUIET_MS;
use super::theme::Theme;
use crate::units::Seconds;

/// What pictures are shaded with. A theme without colour and plain ASCII take a ramp of glyphs
/// whatever this says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Shades {
    /// Four greys of the sixteen colours.
    #[default]
    Sixteen,
    /// The grey ramp of 256 colours.
    Greys,
    /// 24-bit colour.
    True,
}

impl Shades {
    /// By the variables COLORTERM and TERM.
    #[must_use]
    pub fn of(colorterm: Option<&str>, term: Option<&str>) -> Self {
        let has = |word: Option<&str>, part: &str| {
            word.is_some_and(|word| word.to_ascii_lowercase().contains(part))
        };
        if has(colorterm, "truecolor") || has(colorterm, "24bit") || has(term, "direct") {
            Self::True
        } else if has(term, "256color") {
            Self::Greys
        } else {
            Self::Sixteen
        }
    }
}

/// What the smith may set.
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    /// Colours.
    pub theme: Theme,
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_terminal_says_what_it_can() {
        assert_eq!(Shades::of(Some("truecolor"), Some("xterm")), Shades::True);
        assert_eq!(Shades::of(Some("24bit"), None), Shades::True);
        assert_eq!(Shades::of(None, Some("screen-256color")), Shades::Greys);
        assert_eq!(Shades::of(None, Some("vt220")), Shades::Sixteen);
        assert_eq!(Shades::of(Some(""), None), Shades::Sixteen);
    }
}
