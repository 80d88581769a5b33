//! A sheet of dots in screen colours.

use super::glyphs::{CAP, PEN, Place, glyph};
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

/// Dots of a unit of the letters at size 1.
pub(crate) const UNIT: f64 = 0.68;
/// Dots from a line to the next at size 1.
pub(crate) const LINE: i64 = 15;

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
        let unit = UNIT * size as f64;
        let base = y as f64 + CAP * unit;
        let mut at = x as f64;
        for letter in words.chars() {
            let (advance, strokes) = glyph(letter);
            let place = |[x, y]: Place| [at + x * unit, base - y * unit];
            let strokes: Vec<Vec<Place>> = strokes
                .iter()
                .map(|stroke| stroke.places().into_iter().map(place).collect())
                .collect();
            self.strokes(&strokes, PEN * unit / 2.0, colour);
            at += advance * unit;
        }
    }

    /// Strokes of a pen of that half width, their edges soft; where they cross, the ink is no darker.
    fn strokes(&mut self, strokes: &[Vec<Place>], half: f64, colour: Rgb) {
        let all = || strokes.iter().flatten();
        let ends = |axis: usize| {
            let at = |place: &Place| place.get(axis).copied().unwrap_or_default();
            let least = all().map(at).fold(f64::INFINITY, f64::min);
            let most = all().map(at).fold(f64::NEG_INFINITY, f64::max);
            (whole(least - half - 1.0), whole(most + half + 1.0))
        };
        if all().next().is_none() {
            return;
        }
        let ((left, right), (top, bottom)) = (ends(0), ends(1));
        let wide = usize::try_from(right - left + 1).unwrap_or(0);
        let tall = usize::try_from(bottom - top + 1).unwrap_or(0);
        let mut cover = vec![0.0_f64; wide * tall];
        for pair in strokes.iter().flat_map(|stroke| stroke.windows(2)) {
            let [from, to] = pair else { continue };
            let reach =
                |a: f64, b: f64| (whole(a.min(b) - half - 1.0), whole(a.max(b) + half + 1.0));
            let (columns, rows) = (reach(from[0], to[0]), reach(from[1], to[1]));
            for row in rows.0..=rows.1 {
                for column in columns.0..=columns.1 {
                    let middle = [column as f64 + 0.5, row as f64 + 0.5];
                    let share = (half + 0.5 - distance(middle, *from, *to)).clamp(0.0, 1.0);
                    let at = usize::try_from(row - top).unwrap_or(0) * wide
                        + usize::try_from(column - left).unwrap_or(0);
                    if let Some(held) = cover.get_mut(at) {
                        *held = held.max(share);
                    }
                }
            }
        }
        for (row, line) in (top..).zip(cover.chunks(wide.max(1))) {
            for (column, share) in (left..).zip(line) {
                if *share > 0.0 {
                    self.blend(column, row, colour, *share);
                }
            }
        }
    }

    /// Mixes a share of a colour into one dot; off the sheet nothing.
    fn blend(&mut self, x: i64, y: i64, colour: Rgb, share: f64) {
        if x < 0 || y < 0 || x >= i64::from(self.width) || y >= i64::from(self.height) {
            return;
        }
        let at = usize::try_from((y * i64::from(self.width) + x) * 3).unwrap_or(usize::MAX);
        let dot = self.dots.get_mut(at..);
        let Some(dot) = dot.and_then(|dots| dots.first_chunk_mut::<3>()) else {
            return;
        };
        for (held, ink) in dot.iter_mut().zip(colour) {
            let mixed = f64::from(*held) * (1.0 - share) + f64::from(ink) * share;
            *held = u8::try_from(whole(mixed + 0.5)).unwrap_or(u8::MAX);
        }
    }
}

fn whole(at: f64) -> i64 {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "saturates; places on a sheet"
    )]
    let at = at.floor() as i64;
    at
}

/// From a place to the nearest of a line between two.
fn distance(at: Place, from: Place, to: Place) -> f64 {
    let along = [to[0] - from[0], to[1] - from[1]];
    let off = [at[0] - from[0], at[1] - from[1]];
    let square = along[0] * along[0] + along[1] * along[1];
    let share = if square > 0.0 {
        ((off[0] * along[0] + off[1] * along[1]) / square).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (off[0] - share * along[0]).hypot(off[1] - share * along[1])
}
