//! A picture: light sent back by each pixel, and how much of it is metal.

use crate::billet::SteelId;
use crate::units::Mm;

#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Pixel {
    /// Light sent back by the metal in it, 0 to 1.
    pub light: f32,
    /// Share of it that is metal: 0 none, 255 all.
    pub metal: u8,
    /// The steel at its middle; [`Pixel::NONE`] where there is none.
    pub steel: u8,
}

impl Pixel {
    /// No steel at the middle.
    pub const NONE: u8 = u8::MAX;

    /// The steel at its middle.
    #[must_use]
    pub fn steel(&self) -> Option<SteelId> {
        (self.steel != Self::NONE).then_some(SteelId(self.steel))
    }
}

/// A picture, rows from the top.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Picture {
    /// Pixels across.
    pub width: u32,
    /// Pixels down.
    pub height: u32,
    /// All pixels, row by row.
    pub pixels: Vec<Pixel>,
    /// Size of a pixel on the metal.
    pub mm_per_px: Mm,
}

impl Picture {
    /// A pixel; none outside.
    #[must_use]
    pub fn at(&self, x: u32, y: u32) -> Option<&Pixel> {
        if x >= self.width {
            return None;
        }
        self.pixels
            .get(y as usize * self.width as usize + x as usize)
    }
}
