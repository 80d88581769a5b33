//! A sheet of dots in screen colours.

use super::glyphs::glyph;
use crate::pattern::picture::{Picture, Pixel};
use crate::pattern::tone::screen;

/// A screen colour.
pub(crate) type Rgb = [u8; 3];

/// The paper.
pub(crate) const PAPER: Rgb = [0xF2, 0xF0, 0xEA];
/// The ink.
pub(crate) const INK: Rgb = [0x22, 0x22, 0x24];
/// Cut lines and rules.
pub(crate) const RULE: Rgb = [0xA0, 0x38, 0x20];

/// Width and height of a letter with the space after it, in dots at size 1.
pub(crate) const LETTER: [u32; 2] = [6, 11];

/// Dots, rows from the top.
#[derive(Debug, Clone)]
pub(crate) struct Canvas {
    pub(crate) width: u32,
    pub(crate) height: u32,
    pub(crate) dots: Vec<u8>,
}

/// A pixel of metal on a ground.
pub(crate) fn colour(pixel: &Pixel, ground: Rgb) -> Rgb {
    let metal = screen(f64::from(pixel.light));
    // A hair of warmth in the light and of blue in the dark, as etched steel has.
    let warm = u8::try_from(u32::from(metal) / 40).unwrap_or(0);
    let steel = [
        metal,
        metal.saturating_sub(warm / 3),
        metal.saturating_sub(warm),
    ];
    let mut out = ground;
    for (o, s) in out.iter_mut().zip(steel) {
        let share = u32::from(pixel.metal);
        let mixed = (u32::from(s) * share + u32::from(*o) * (255 - share) + 127) / 255;
        *o = u8::try_from(mixed).unwrap_or(u8::MAX);
    }
    out
}

impl Canvas {
    pub(crate) fn new(width: u32, height: u32, ground: Rgb) -> Self {
        Self {
            width,
            height,
            dots: ground.repeat(width as usize * height as usize),
        }
    }

    /// Sets one dot; off the sheet nothing.
    pub(crate) fn dot(&mut self, x: i64, y: i64, colour: Rgb) {
        if x < 0 || y < 0 || x >= i64::from(self.width) || y >= i64::from(self.height) {
            return;
        }
        let at = usize::try_from((y * i64::from(self.width) + x) * 3).unwrap_or(usize::MAX);
        if let Some(three) = self
            .dots
            .get_mut(at..)
            .and_then(|d| d.first_chunk_mut::<3>())
        {
            *three = colour;
        }
    }

    /// A filled rectangle.
    pub(crate) fn fill(&mut self, x: i64, y: i64, width: i64, height: i64, colour: Rgb) {
        for row in y..y + height {
            for column in x..x + width {
                self.dot(column, row, colour);
            }
        }
    }

    /// A picture with its upper left corner at a place.
    pub(crate) fn picture(&mut self, x: i64, y: i64, picture: &Picture) {
        let wide = (picture.width as usize).max(1);
        for (row, line) in (0_i64..).zip(picture.pixels.chunks(wide)) {
            for (column, pixel) in (0_i64..).zip(line) {
                if pixel.metal > 0 {
                    self.dot(x + column, y + row, colour(pixel, PAPER));
                }
            }
        }
    }

    /// Words from a place (upper left) at a whole-number size.
    pub(crate) fn text(&mut self, x: i64, y: i64, size: i64, words: &str, colour: Rgb) {
        let mut at = x;
        for letter in words.chars() {
            for (row, bits) in (0_i64..).zip(glyph(letter)) {
                for column in 0..5_i64 {
                    if bits >> (4 - column) & 1 == 1 {
                        self.fill(at + column * size, y + row * size, size, size, colour);
                    }
                }
            }
            at += i64::from(LETTER[0]) * size;
        }
    }
}
