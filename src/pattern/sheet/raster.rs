//! A sheet as PNG: screen colours marked sRGB, with its size on the metal, so that it prints at life
//! size.

use super::canvas::{Canvas, PAPER, colour};
use super::layout::{Item, Sheet};
use crate::pattern::picture::{Picture, Pixel};

/// A picture that could not be written as PNG.
#[derive(Debug, thiserror::Error)]
#[error("the picture could not be written as PNG: {0}; try a smaller size")]
pub struct EncodeError(#[from] png::EncodingError);

/// Most dots of a sheet: past it a PNG is refused rather than memory eaten.
const MOST: u64 = 400_000_000;

impl Sheet {
    /// The sheet as a PNG file.
    ///
    /// # Errors
    /// [`EncodeError`] when the sheet is too large for the format or for memory.
    pub fn png(&self) -> Result<Vec<u8>, EncodeError> {
        let [width, height] = self.size();
        refuse_past_measure(width, height)?;
        let mut canvas = Canvas::new(width, height, PAPER);
        for item in &self.items {
            match item {
                Item::Picture { x, y, picture } => canvas.picture(*x, *y, picture),
                Item::Text {
                    x,
                    y,
                    size,
                    words,
                    colour,
                } => canvas.text(*x, *y, *size, words, *colour),
                Item::Box {
                    x,
                    y,
                    width,
                    height,
                    colour,
                } => canvas.fill(*x, *y, *width, *height, *colour),
            }
        }
        png_bytes(&canvas, self.mm_per_px)
    }
}

fn refuse_past_measure(width: u32, height: u32) -> Result<(), EncodeError> {
    if u64::from(width) * u64::from(height) > MOST {
        return Err(png::EncodingError::LimitsExceeded.into());
    }
    Ok(())
}

impl Picture {
    /// The picture alone on paper as a PNG file.
    ///
    /// # Errors
    /// [`EncodeError`] when the picture is too large for the format.
    pub fn png(&self) -> Result<Vec<u8>, EncodeError> {
        png_of(self)
    }

    /// The picture without paper, as a PNG file: clear where there is no metal.
    ///
    /// # Errors
    /// [`EncodeError`] when the picture is too large for the format.
    pub fn png_clear(&self) -> Result<Vec<u8>, EncodeError> {
        refuse_past_measure(self.width, self.height)?;
        let mut dots = Vec::with_capacity(self.pixels.len() * 4);
        for pixel in &self.pixels {
            let whole = Pixel {
                metal: u8::MAX,
                ..*pixel
            };
            dots.extend_from_slice(&colour(&whole, PAPER));
            dots.push(pixel.metal);
        }
        let mut bytes = Vec::new();
        let mut encoder = png::Encoder::new(&mut bytes, self.width, self.height);
        encoder.set_color(png::ColorType::Rgba);
        encoder.set_depth(png::BitDepth::Eight);
        encoder.set_source_srgb(png::SrgbRenderingIntent::Perceptual);
        let mut writer = encoder.write_header()?;
        writer.write_image_data(&dots)?;
        writer.finish()?;
        Ok(bytes)
    }
}

pub(crate) fn png_of(picture: &Picture) -> Result<Vec<u8>, EncodeError> {
    let (width, height) = (picture.width.max(1), picture.height.max(1));
    refuse_past_measure(width, height)?;
    let mut canvas = Canvas::new(width, height, PAPER);
    canvas.picture(0, 0, picture);
    png_bytes(&canvas, picture.mm_per_px.0)
}

/// What a file of ours says of its maker.
pub(super) const MAKER: &str = "anvilside";

/// True for the bytes of a PNG or SVG file that says it is of this program.
#[must_use]
pub fn is_ours(bytes: &[u8]) -> bool {
    let head = bytes.get(..4096).unwrap_or(bytes);
    let holds = |mark: &str| head.windows(mark.len()).any(|part| part == mark.as_bytes());
    holds(&format!("Software\0{MAKER}")) || holds(&format!("<metadata>{MAKER}</metadata>"))
}

fn png_bytes(canvas: &Canvas, mm_per_px: f64) -> Result<Vec<u8>, EncodeError> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, canvas.width, canvas.height);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.add_text_chunk("Software".to_owned(), MAKER.to_owned())?;
    encoder.set_source_srgb(png::SrgbRenderingIntent::Perceptual);
    let per_metre = (1000.0 / mm_per_px.max(1e-9)).round().clamp(1.0, 4e9);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "held to what the chunk takes"
    )]
    let per_metre = per_metre as u32;
    encoder.set_pixel_dims(Some(png::PixelDimensions {
        xppu: per_metre,
        yppu: per_metre,
        unit: png::Unit::Meter,
    }));
    let mut writer = encoder.write_header()?;
    writer.write_image_data(&canvas.dots)?;
    writer.finish()?;
    Ok(bytes)
}
