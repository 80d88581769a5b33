//! A sheet as SVG: words as strokes with their text beside them, bars and cut lines as vectors, pictures as PNG inside; sized in mm so that
//! it prints at life size. The same sheet gives the same bytes.

use std::fmt::Write as _;

use super::canvas::{PAPER, Rgb, UNIT};
use super::glyphs::{CAP, PEN, Part, Place, glyph};
use super::layout::{Item, Sheet};
use super::raster::{EncodeError, MAKER, png_of};
use crate::pattern::base64;

impl Sheet {
    /// The sheet as an SVG file.
    ///
    /// # Errors
    /// [`EncodeError`] when a picture in it is too large.
    pub fn svg(&self) -> Result<String, EncodeError> {
        let [width, height] = self.size();
        let mm = |px: u32| f64::from(px) * self.mm_per_px;
        let mut out = String::new();
        // Writing to a String cannot fail.
        let _ = writeln!(
            out,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{:.3}mm\" height=\"{:.3}mm\" viewBox=\"0 0 {width} {height}\">",
            mm(width),
            mm(height),
        );
        let _ = writeln!(out, "<metadata>{MAKER}</metadata>");
        let _ = writeln!(
            out,
            "<rect width=\"{width}\" height=\"{height}\" fill=\"{}\"/>",
            hex(PAPER)
        );
        for item in &self.items {
            match item {
                Item::Picture { x, y, picture } => {
                    let data = base64::encode(&png_of(picture)?);
                    let (w, h) = (picture.width, picture.height);
                    let _ = writeln!(
                        out,
                        "<image x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\" href=\"data:image/png;base64,{data}\"/>"
                    );
                }
                Item::Text {
                    x,
                    y,
                    size,
                    words,
                    colour,
                } => {
                    let unit = UNIT * *size as f64;
                    let path = pathed(*x as f64, *y as f64 + CAP * unit, unit, words);
                    let _ = writeln!(
                        out,
                        "<g><title>{}</title><path d=\"{path}\" fill=\"none\" stroke=\"{}\" stroke-width=\"{:.2}\" stroke-linecap=\"round\" stroke-linejoin=\"round\"/></g>",
                        escaped(words),
                        hex(*colour),
                        PEN * unit
                    );
                }
                Item::Box {
                    x,
                    y,
                    width,
                    height,
                    colour,
                } => {
                    let _ = writeln!(
                        out,
                        "<rect x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\" fill=\"{}\"/>",
                        hex(*colour)
                    );
                }
            }
        }
        out.push_str("</svg>\n");
        Ok(out)
    }
}

/// Words as the path of a pen, from the left end of their line.
fn pathed(x: f64, base: f64, unit: f64, words: &str) -> String {
    let mut out = String::new();
    let mut at = x;
    for letter in words.chars() {
        let (advance, strokes) = glyph(letter);
        let show = |[x, y]: Place| format!("{:.2} {:.2}", at + x * unit, base - y * unit);
        for stroke in strokes {
            // Writing to a String cannot fail.
            let _ = write!(out, "M{}", show(stroke.from));
            for part in stroke.parts {
                let _ = match part {
                    Part::Line(to) => write!(out, "L{}", show(to)),
                    Part::Curve(one, two, to) => {
                        write!(out, "C{} {} {}", show(one), show(two), show(to))
                    }
                };
            }
        }
        at += advance * unit;
    }
    out
}

fn hex([r, g, b]: Rgb) -> String {
    format!("#{r:02x}{g:02x}{b:02x}")
}

fn escaped(words: &str) -> String {
    words
        .replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
}
