//! Where things go on a sheet: one picture, a strip of steps, or two side by side.

use super::canvas::{INK, LINE, RULE, Rgb, UNIT};
use super::glyphs::width;
use super::scale_bar::bars;
use crate::pattern::picture::Picture;

/// A picture with its words.
#[derive(Debug, Clone, PartialEq)]
pub struct Panel {
    pub picture: Picture,
    /// Lines under it; letters that are not known show as a question mark.
    pub caption: Vec<String>,
    /// Where cuts go, as shares of the picture's width: shown as dashed lines.
    pub cuts: Vec<f64>,
}

/// One thing on a sheet; places in px from the upper left.
#[derive(Debug, Clone)]
pub(crate) enum Item {
    Picture {
        x: i64,
        y: i64,
        picture: Picture,
    },
    Text {
        x: i64,
        y: i64,
        size: i64,
        words: String,
        colour: Rgb,
    },
    Box {
        x: i64,
        y: i64,
        width: i64,
        height: i64,
        colour: Rgb,
    },
}

/// A laid-out sheet.
#[derive(Debug, Clone)]
pub struct Sheet {
    pub(crate) width: i64,
    pub(crate) height: i64,
    pub(crate) items: Vec<Item>,
    /// Scale of the largest picture, for printing at life size.
    pub(crate) mm_per_px: f64,
}

/// Round the pictures, px.
const MARGIN: i64 = 24;
/// Dash and gap of a cut line, px.
const DASH: i64 = 7;

impl Sheet {
    /// One picture with a title, its caption and a scale bar.
    #[must_use]
    pub fn single(title: &str, panel: &Panel) -> Self {
        Self::strip(title, std::slice::from_ref(panel), 1)
    }

    /// Two pictures side by side, for comparing.
    #[must_use]
    pub fn pair(title: &str, left: &Panel, right: &Panel) -> Self {
        Self::strip(title, &[left.clone(), right.clone()], 2)
    }

    /// Any number of pictures, row by row, so many in a row.
    #[must_use]
    pub fn strip(title: &str, panels: &[Panel], columns: usize) -> Self {
        let columns = columns.clamp(1, panels.len().max(1));
        let text = if panels.iter().any(|p| p.picture.width >= 700) {
            2
        } else {
            1
        };
        let line = LINE * text;
        let long = |words: &str| whole((width(words) * UNIT).ceil()) * text;
        let cell = panels
            .iter()
            .map(|p| {
                let widest = p.caption.iter().map(|words| long(words)).max().unwrap_or(0);
                i64::from(p.picture.width).max(widest)
            })
            .max()
            .unwrap_or(0);
        let across = i64::try_from(columns).unwrap_or(1);
        let mut sheet = Self {
            width: (2 * MARGIN + across * cell + (across - 1) * MARGIN)
                .max(2 * MARGIN + 2 * long(title)),
            height: MARGIN,
            items: Vec::new(),
            mm_per_px: panels
                .iter()
                .max_by_key(|p| u64::from(p.picture.width) * u64::from(p.picture.height))
                .map_or(1.0, |p| p.picture.mm_per_px.0),
        };
        if !title.is_empty() {
            sheet.text(MARGIN, sheet.height, 2 * text, title, INK);
            sheet.height += 2 * line + MARGIN / 2;
        }
        for row in panels.chunks(columns) {
            let top = sheet.height;
            let tall = row
                .iter()
                .map(|p| i64::from(p.picture.height))
                .max()
                .unwrap_or(0);
            let mut low = top;
            for (n, panel) in (0_i64..).zip(row) {
                let x = MARGIN + n * (cell + MARGIN);
                let y = top + (tall - i64::from(panel.picture.height)) / 2;
                sheet.items.push(Item::Picture {
                    x,
                    y,
                    picture: panel.picture.clone(),
                });
                for cut in &panel.cuts {
                    sheet.cut(x, y, panel, *cut, text);
                }
                let below = sheet.scale(x, top + tall + 4, panel, text);
                let mut at = below;
                for words in &panel.caption {
                    sheet.text(x, at, text, words, INK);
                    at += line;
                }
                low = low.max(at);
            }
            sheet.height = low + MARGIN;
        }
        sheet
    }

    /// Width and height, px.
    #[must_use]
    pub fn size(&self) -> [u32; 2] {
        [self.width, self.height].map(|s| u32::try_from(s.max(1)).unwrap_or(u32::MAX))
    }

    fn text(&mut self, x: i64, y: i64, size: i64, words: &str, colour: Rgb) {
        self.items.push(Item::Text {
            x,
            y,
            size,
            words: words.chars().filter(|c| !c.is_control()).collect(),
            colour,
        });
    }

    fn block(&mut self, x: i64, y: i64, width: i64, height: i64, colour: Rgb) {
        self.items.push(Item::Box {
            x,
            y,
            width,
            height,
            colour,
        });
    }

    /// A dashed line down the picture.
    fn cut(&mut self, x: i64, y: i64, panel: &Panel, at: f64, text: i64) {
        if !(0.0..=1.0).contains(&at) {
            return;
        }
        let x = x + whole(at * f64::from(panel.picture.width));
        let tall = i64::from(panel.picture.height);
        let mut from = -DASH;
        while from < tall + DASH {
            self.block(x, y + from, text, DASH, RULE);
            from += 2 * DASH;
        }
    }

    /// Scale bars in mm and inches; the place below them.
    fn scale(&mut self, x: i64, y: i64, panel: &Panel, text: i64) -> i64 {
        let most = f64::from(panel.picture.width) * 0.3;
        let step = LINE * text + 2;
        let mut at = y;
        for bar in bars(panel.picture.mm_per_px, most) {
            let long = whole(bar.px);
            let middle = at + 4 * text;
            self.block(x, middle, long, text, INK);
            self.block(x, middle - 2 * text, text, 5 * text, INK);
            self.block(x + long - text, middle - 2 * text, text, 5 * text, INK);
            self.text(x + long + 4 * text, at, text, &bar.words, INK);
            at += step;
        }
        at + 2 * text
    }
}

fn whole(px: f64) -> i64 {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "saturates; places on a sheet"
    )]
    let px = px.round() as i64;
    px
}
