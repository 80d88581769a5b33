//! Pictures in cells: half blocks in colours or greys, or letters.

use ratatui::style::Color;

use super::pen::Pen;
use crate::pattern::{self, Paint, Picture, Pixel, cells};
use crate::ui::glyphs::Glyphs;
use crate::ui::model::Model;
use crate::ui::settings::Settings;
use crate::ui::settings::Shades;
use crate::ui::theme::{Meaning, Theme};

/// Puts a picture into cells from a place on: half blocks in colours or greys, or letters where the
/// theme has no colour or the glyphs are plain.
pub(super) fn put(shot: &Picture, settings: &Settings, [x, y]: [u16; 2], pen: &mut Pen<'_>) {
    let ground = pen.style(Meaning::Text);
    for (row, line) in (y..).zip(cells(shot, shades(settings))) {
        for (column, cell) in (x..).zip(line) {
            if cell.glyph == ' ' {
                continue;
            }
            let mut style = ground;
            if let Some(fore) = colour(cell.fore, settings.shades) {
                style = style.fg(fore);
            }
            if let Some(back) = colour(cell.back, settings.shades) {
                style = style.bg(back);
            }
            pen.dot(column, row, cell.glyph, style);
        }
    }
}

/// A strip of cells as bright as a steel is once etched; returns the columns used.
pub(super) fn swatch(
    light: f64,
    wide: u16,
    [x, y]: [u16; 2],
    settings: &Settings,
    pen: &mut Pen<'_>,
) -> u16 {
    #[expect(clippy::cast_possible_truncation, reason = "a shade of grey")]
    let pixel = Pixel {
        light: light as f32,
        metal: u8::MAX,
        steel: Pixel::NONE,
    };
    let strip = Picture {
        width: u32::from(wide),
        height: 2,
        pixels: vec![pixel; 2 * usize::from(wide)],
        ..Picture::default()
    };
    put(&strip, settings, [x, y], pen);
    wide
}

/// True where letters stand for light.
pub(super) fn is_plain(settings: &Settings) -> bool {
    settings.theme == Theme::Mono || settings.glyphs == Glyphs::Ascii
}

fn shades(settings: &Settings) -> pattern::Shades {
    match (is_plain(settings), settings.theme, settings.shades) {
        (true, Theme::Light, _) => pattern::Shades::LettersOnLight,
        (true, ..) => pattern::Shades::Letters,
        (false, _, Shades::Sixteen) => pattern::Shades::Sixteen,
        (false, ..) => pattern::Shades::True,
    }
}

fn colour(paint: Paint, shades: Shades) -> Option<Color> {
    match paint {
        Paint::Own => None,
        Paint::Rgb(r, g, b) if shades == Shades::True => Some(Color::Rgb(r, g, b)),
        // The ramp goes from 8 to 238 in steps of ten.
        Paint::Rgb(_, g, _) => Some(Color::Indexed(232 + (g.saturating_sub(3) / 10).min(23))),
        Paint::Ansi(8) => Some(Color::DarkGray),
        Paint::Ansi(7) => Some(Color::Gray),
        Paint::Ansi(15) => Some(Color::White),
        Paint::Ansi(_) => Some(Color::Black),
    }
}

/// Steels by their tone.
pub(super) fn legend(model: &Model, place: usize, named: bool) -> String {
    let Some(subject) = model.subject(place) else {
        return String::new();
    };
    let tone = |at: usize| subject.look.tones.get(at).map_or(0.0, pattern::Tone::whole);
    let mut steels: Vec<_> = model.plan().steels.iter().enumerate().collect();
    steels.sort_by(|(a, _), (b, _)| tone(*b).total_cmp(&tone(*a)));
    let names: Vec<String> = steels
        .iter()
        .map(|(_, steel)| match named {
            true => format!("{} {}", steel.letter, steel.steel.grade),
            false => steel.letter.to_string(),
        })
        .collect();
    let order = match (is_plain(&model.settings), model.settings.theme) {
        (true, Theme::Light) => "thin to dense",
        (true, _) => "dense to thin",
        _ => "bright to dark",
    };
    format!("{order}: {}", names.join(", "))
}
