//! Sheets: pictures with captions, a scale bar in mm and inches and cut lines, as PNG or SVG.

mod canvas;
mod glyphs;
mod layout;
mod raster;
mod scale_bar;
mod svg;

pub use layout::{Panel, Sheet};
pub use raster::{EncodeError, is_ours};

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pattern::{Picture, Pixel};
    use crate::units::Mm;

    fn panel(light: f32) -> Panel {
        let pixel = Pixel {
            light,
            metal: 255,
            steel: 0,
        };
        Panel {
            picture: Picture {
                width: 300,
                height: 40,
                pixels: vec![pixel; 300 * 40],
                mm_per_px: Mm(0.1),
            },
            caption: vec!["9 layers <HC & NB>".to_owned(), "bad \u{1b}[31m".to_owned()],
            cuts: vec![0.5],
        }
    }

    #[test]
    fn a_png_says_its_size_colour_space_and_scale() {
        let sheet = Sheet::single("step 3", &panel(0.5));
        let bytes = sheet.png().unwrap();
        let decoder = png::Decoder::new(std::io::Cursor::new(&bytes));
        let reader = decoder.read_info().unwrap();
        let info = reader.info();
        assert_eq!([info.width, info.height], sheet.size());
        assert!(info.srgb.is_some());
        // PNG specification 11.3.4.3: 10 px to a mm is 10 000 px to a metre.
        let scale = info.pixel_dims.unwrap();
        assert_eq!((scale.xppu, scale.unit), (10_000, png::Unit::Meter));
    }

    #[test]
    fn the_metal_has_the_colour_of_its_light() {
        let sheet = Sheet::single("", &panel(1.0));
        let bytes = sheet.png().unwrap();
        let mut reader = png::Decoder::new(std::io::Cursor::new(&bytes))
            .read_info()
            .unwrap();
        let mut dots = vec![0; reader.output_buffer_size().unwrap()];
        reader.next_frame(&mut dots).unwrap();
        let [width, _] = sheet.size();
        let at = ((24 + 5) * width as usize + 24 + 5) * 3;
        assert_eq!(dots[at], 255);
    }

    #[test]
    fn an_svg_is_the_same_every_time_escaped_and_at_life_size() {
        let sheet = Sheet::pair("now & then", &panel(0.1), &panel(0.6));
        let text = sheet.svg().unwrap();
        assert_eq!(text, sheet.svg().unwrap());
        assert!(text.contains("now &amp; then") && text.contains("&lt;HC &amp; NB&gt;"));
        assert!(!text.contains('\u{1b}'));
        let [width, _] = sheet.size();
        assert!(text.contains(&format!("width=\"{:.3}mm\"", f64::from(width) * 0.1)));
        assert_eq!(text.matches("<image").count(), 2);
        assert!(text.contains(">5 mm<") && text.contains(">1/4 in<"));
    }

    #[test]
    fn a_sheet_past_all_measure_is_refused() {
        let mut big = panel(0.5);
        big.picture.width = u32::MAX;
        big.picture.pixels.clear();
        assert!(Sheet::single("", &big).png().is_err());
    }
}
