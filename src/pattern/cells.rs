//! A picture in the cells of a terminal: upper half blocks in colours, or letters by how bright.

use super::picture::{Picture, Pixel};
use super::tone::screen;

/// What a terminal can show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shades {
    /// Half blocks in 24-bit colours.
    True,
    /// Half blocks in the four greys of 16 colours.
    Sixteen,
    /// Letters, denser where the metal is brighter: light letters on a dark screen.
    Letters,
    /// Letters, denser where the metal is darker: dark letters on a light screen.
    LettersOnLight,
}

/// One colour of a cell.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Paint {
    /// The terminal's own.
    #[default]
    Own,
    /// Red, green, blue.
    Rgb(u8, u8, u8),
    /// One of the 16: 0 black, 8 dark grey, 7 light grey, 15 white.
    Ansi(u8),
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Cell {
    /// What stands in it; one column wide.
    pub glyph: char,
    /// Its colour.
    pub fore: Paint,
    /// What is behind it.
    pub back: Paint,
}

const UPPER: char = '\u{2580}';
const LOWER: char = '\u{2584}';

/// From empty to dense.
const RAMP: [char; 6] = ['.', ':', '-', '+', '*', '#'];

/// The pixels across and down that a field of cells wants: two a cell, one over the other.
#[must_use]
pub fn pixels_for(columns: u16, rows: u16) -> [u32; 2] {
    [u32::from(columns).max(1), (2 * u32::from(rows)).max(1)]
}

/// Rows of cells from a picture of [`pixels_for`] its size.
#[must_use]
pub fn cells(picture: &Picture, shades: Shades) -> Vec<Vec<Cell>> {
    (0..picture.height.div_ceil(2))
        .map(|row| {
            (0..picture.width)
                .map(|column| {
                    let upper = picture.at(column, 2 * row);
                    let lower = picture.at(column, 2 * row + 1);
                    cell(upper, lower, shades)
                })
                .collect()
        })
        .collect()
}

fn cell(upper: Option<&Pixel>, lower: Option<&Pixel>, shades: Shades) -> Cell {
    let seen = |pixel: Option<&Pixel>| pixel.copied().filter(|p| p.metal >= 96);
    let (upper, lower) = (seen(upper), seen(lower));
    match shades {
        Shades::True => halves(upper, lower, |pixel| {
            let grey = screen(f64::from(pixel.light));
            Paint::Rgb(grey, grey, grey)
        }),
        Shades::Sixteen => halves(upper, lower, |pixel| Paint::Ansi(four(&pixel))),
        Shades::Letters | Shades::LettersOnLight => {
            let lights: Vec<f32> = [upper, lower].iter().flatten().map(|p| p.light).collect();
            #[expect(clippy::cast_precision_loss, reason = "at most two")]
            let count = lights.len() as f32;
            let glyph = if lights.is_empty() {
                ' '
            } else {
                let step = screen(f64::from(lights.iter().sum::<f32>() / count));
                let shown = if shades == Shades::Letters {
                    step
                } else {
                    255 - step
                };
                letter(shown)
            };
            Cell {
                glyph,
                fore: Paint::Own,
                back: Paint::Own,
            }
        }
    }
}

/// A letter for a grey step; etched steels lie between a tenth and nine tenths of white.
fn letter(step: u8) -> char {
    let at = usize::from(step.saturating_sub(30)) * RAMP.len() / 200;
    RAMP.get(at.min(RAMP.len() - 1)).copied().unwrap_or(' ')
}

fn four(pixel: &Pixel) -> u8 {
    match screen(f64::from(pixel.light)) {
        0..=56 => 0,
        57..=118 => 8,
        119..=180 => 7,
        _ => 15,
    }
}

fn halves(upper: Option<Pixel>, lower: Option<Pixel>, paint: impl Fn(Pixel) -> Paint) -> Cell {
    let (glyph, fore, back) = match (upper, lower) {
        (None, None) => (' ', Paint::Own, Paint::Own),
        (Some(upper), None) => (UPPER, paint(upper), Paint::Own),
        (None, Some(lower)) => (LOWER, paint(lower), Paint::Own),
        (Some(upper), Some(lower)) => (UPPER, paint(upper), paint(lower)),
    };
    Cell { glyph, fore, back }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Mm;

    fn picture(lights: [f32; 4], metal: [u8; 4]) -> Picture {
        Picture {
            width: 2,
            height: 2,
            pixels: lights
                .iter()
                .zip(metal)
                .map(|(light, metal)| Pixel {
                    light: *light,
                    metal,
                    steel: 0,
                })
                .collect(),
            mm_per_px: Mm(1.0),
        }
    }

    #[test]
    fn upper_half_over_lower_half_and_nothing_off_the_metal() {
        let rows = cells(
            &picture([1.0, 0.0, 0.0, 1.0], [255, 255, 255, 0]),
            Shades::True,
        );
        assert_eq!(rows.len(), 1);
        assert_eq!(rows[0][0].glyph, UPPER);
        assert_eq!(rows[0][0].fore, Paint::Rgb(255, 255, 255));
        assert_eq!(rows[0][0].back, Paint::Rgb(0, 0, 0));
        assert_eq!(rows[0][1].back, Paint::Own);
        let rows = cells(&picture([1.0; 4], [0, 0, 0, 255]), Shades::Sixteen);
        assert_eq!(rows[0][0].glyph, ' ');
        assert_eq!(
            (rows[0][1].glyph, rows[0][1].fore),
            (LOWER, Paint::Ansi(15))
        );
    }

    #[test]
    fn letters_tell_dark_from_bright_and_turn_over_on_a_light_screen() {
        let show = |light: f32, shades| cells(&picture([light; 4], [255; 4]), shades)[0][0].glyph;
        let (dark, bright) = (0.023, 0.7);
        assert_ne!(show(dark, Shades::Letters), show(bright, Shades::Letters));
        assert_eq!(show(bright, Shades::Letters), '#');
        assert_eq!(show(dark, Shades::LettersOnLight), '#');
        assert!(show(0.2, Shades::Letters).is_ascii());
    }
}
