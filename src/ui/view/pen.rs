//! Writing into the buffer without ever leaving it.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use unicode_width::UnicodeWidthChar;

use crate::ui::glyphs::Glyphs;
use crate::ui::settings::Settings;
use crate::ui::theme::{Meaning, Theme};
use crate::units::show;

/// In fewer columns than these dots would take the place of what can be said.
const DOTTED: u16 = 8;

/// A pen on a buffer, with the theme and glyphs in force.
#[derive(Debug)]
pub struct Pen<'a> {
    buffer: &'a mut Buffer,
    theme: Theme,
    /// Glyphs in force.
    pub glyphs: Glyphs,
}

impl<'a> Pen<'a> {
    /// A pen.
    pub fn new(buffer: &'a mut Buffer, settings: &Settings) -> Self {
        Self {
            buffer,
            theme: settings.theme,
            glyphs: settings.glyphs,
        }
    }

    /// The style of a meaning.
    #[must_use]
    pub fn style(&self, meaning: Meaning) -> Style {
        self.theme.style(meaning)
    }

    /// Fills an area with the theme's ground.
    pub fn ground(&mut self, area: Rect) {
        let style = self.theme.ground();
        self.fill(area, ' ', style);
    }

    /// Fills an area with one glyph.
    pub fn fill(&mut self, area: Rect, glyph: char, style: Style) {
        let area = area.intersection(self.buffer.area);
        for y in area.top()..area.bottom() {
            for x in area.left()..area.right() {
                self.dot(x, y, glyph, style);
            }
        }
    }

    /// Sets one cell, when it is inside.
    pub fn dot(&mut self, x: u16, y: u16, glyph: char, style: Style) {
        if let Some(cell) = self.buffer.cell_mut((x, y)) {
            cell.set_char(glyph).set_style(style);
        }
    }

    /// Writes text at a place, in `width` columns at most: what is cut ends in dots. Returns the columns
    /// used.
    pub fn text(&mut self, x: u16, y: u16, text: &str, width: u16, meaning: Meaning) -> u16 {
        let style = self.style(meaning);
        self.styled(x, y, text, width, style)
    }

    fn styled(&mut self, x: u16, y: u16, text: &str, width: u16, style: Style) -> u16 {
        let words = self.glyphs.words(text);
        let words = if width >= DOTTED {
            shortened(&words, width)
        } else {
            words
        };
        let mut used = 0u16;
        for c in words.chars() {
            let columns = u16::try_from(c.width().unwrap_or(0)).unwrap_or(1);
            let (c, columns) = if columns == 0 { ('?', 1) } else { (c, columns) };
            if used + columns > width {
                break;
            }
            self.dot(x + used, y, c, style);
            // The second column of a wide character belongs to it.
            for more in 1..columns {
                if let Some(cell) = self.buffer.cell_mut((x + used + more, y)) {
                    cell.set_symbol("").set_style(style);
                }
            }
            used += columns;
        }
        used
    }

    /// Writes a line into a row of an area; nothing when the row is outside.
    pub fn line(&mut self, area: Rect, row: u16, text: &str, meaning: Meaning) {
        if row < area.height {
            self.text(area.x, area.y + row, text, area.width, meaning);
        }
    }

    /// Writes a line so that it ends at the right side of a row.
    pub fn line_right(&mut self, area: Rect, row: u16, text: &str, meaning: Meaning) {
        let width = columns(text).min(area.width);
        if row < area.height {
            self.text(area.right() - width, area.y + row, text, width, meaning);
        }
    }

    /// A line with a heading word in front of it.
    pub fn headed(&mut self, area: Rect, row: u16, head: &str, text: &str, meaning: Meaning) {
        if row >= area.height {
            return;
        }
        let used = self.text(area.x, area.y + row, head, area.width, Meaning::Head);
        let gap = u16::from(used > 0);
        let room = area.width.saturating_sub(used + gap);
        self.text(area.x + used + gap, area.y + row, text, room, meaning);
    }

    /// A whole row as a bar.
    pub fn bar(&mut self, area: Rect, row: u16, text: &str, meaning: Meaning) {
        if row < area.height {
            let style = self.style(meaning);
            let strip = Rect::new(area.x, area.y + row, area.width, 1);
            self.fill(strip, ' ', style);
            self.styled(area.x, area.y + row, text, area.width, style);
        }
    }

    /// Wraps text into rows of an area from `row` on when all of it fits with so many rows kept below;
    /// returns the row behind it. Draws nothing else.
    pub fn whole(
        &mut self,
        area: Rect,
        row: u16,
        kept: u16,
        text: &str,
        meaning: Meaning,
    ) -> Option<u16> {
        let rows = u16::try_from(wrap(text, area.width).len()).ok()?;
        (row.checked_add(rows)?.checked_add(kept)? <= area.height)
            .then(|| self.wrapped(area, row, text, meaning))
    }

    /// Wraps text into rows of an area from `row` on; returns the row behind it.
    pub fn wrapped(&mut self, area: Rect, row: u16, text: &str, meaning: Meaning) -> u16 {
        let mut row = row;
        let mut lines = wrap(text, area.width).into_iter().peekable();
        while let Some(line) = lines.next() {
            if row >= area.height {
                return row;
            }
            let cut = row + 1 == area.height && lines.peek().is_some();
            let line = if cut {
                shortened(&format!("{line} ..."), area.width)
            } else {
                line
            };
            self.line(area, row, &line, meaning);
            row += 1;
        }
        row
    }

    /// A frame around an area, cleared inside; returns the inside.
    pub fn panel(&mut self, area: Rect, title: &str, meaning: Meaning) -> Rect {
        let area = area.intersection(self.buffer.area);
        self.ground(area);
        if area.width < 4 || area.height < 3 {
            return area;
        }
        let style = self.style(Meaning::Head);
        let (flat, post) = (self.glyphs.rule(), self.glyphs.post());
        let corners = match self.glyphs {
            Glyphs::Blocks => ['┌', '┐', '└', '┘'],
            Glyphs::Ascii => ['+'; 4],
        };
        let (left, right) = (area.left(), area.right() - 1);
        let (top, bottom) = (area.top(), area.bottom() - 1);
        for x in left..=right {
            self.dot(x, top, flat, style);
            self.dot(x, bottom, flat, style);
        }
        for y in top..=bottom {
            self.dot(left, y, post, style);
            self.dot(right, y, post, style);
        }
        let [a, b, c, d] = corners;
        self.dot(left, top, a, style);
        self.dot(right, top, b, style);
        self.dot(left, bottom, c, style);
        self.dot(right, bottom, d, style);
        let words = format!(" {title} ");
        self.text(left + 2, top, &words, area.width - 4, meaning);
        Rect::new(area.x + 2, area.y + 1, area.width - 4, area.height - 2)
    }
}

/// The first of some wordings, the fullest first, that fits a row.
pub(super) fn fitting(texts: impl IntoIterator<Item = String>, room: u16) -> String {
    let mut last = String::new();
    for text in texts {
        if columns(&text) <= room {
            return text;
        }
        last = text;
    }
    last
}

/// A text in so many columns; when something had to go, dots say so.
pub(in crate::ui) fn shortened(text: &str, most: u16) -> String {
    if columns(text) <= most {
        return text.to_owned();
    }
    let kept = show::plain(text, usize::from(most.saturating_sub(3)));
    format!("{}...", kept.trim_end())
}

/// Columns that text takes.
#[must_use]
pub(in crate::ui) fn columns(text: &str) -> u16 {
    let wide: usize = text
        .chars()
        .map(|c| c.width().filter(|w| *w > 0).unwrap_or(1))
        .sum();
    u16::try_from(wide).unwrap_or(u16::MAX)
}

/// Text broken at spaces into lines of at most `width` columns; longer words are cut.
#[must_use]
pub fn wrap(text: &str, width: u16) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    if width == 0 {
        return lines;
    }
    for word in text.split_whitespace() {
        let mut word = word.to_owned();
        loop {
            let gap = u16::from(!line.is_empty());
            if columns(&line) + gap + columns(&word) <= width {
                if gap == 1 {
                    line.push(' ');
                }
                line.push_str(&word);
                break;
            }
            if line.is_empty() {
                let head = show::plain(&word, usize::from(width));
                let rest: String = word.chars().skip(head.chars().count().max(1)).collect();
                lines.push(head);
                if rest.is_empty() {
                    break;
                }
                word = rest;
            } else {
                lines.push(std::mem::take(&mut line));
            }
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wrapping_keeps_every_word_and_no_line_is_too_long() {
        let text = "Clear 35 ft of things that burn, or shield them; sweep the floor, cover cracks";
        for width in 1..60 {
            let lines = wrap(text, width);
            assert!(lines.iter().all(|line| columns(line) <= width), "{width}");
            let kept: String = lines.concat().replace(' ', "");
            assert_eq!(kept, text.replace(' ', ""));
        }
    }

    #[test]
    fn nothing_is_written_outside() {
        let mut buffer = Buffer::empty(Rect::new(0, 0, 4, 2));
        let mut pen = Pen::new(&mut buffer, &Settings::default());
        pen.text(2, 1, "four and more", 99, Meaning::Text);
        pen.text(9, 9, "x", 1, Meaning::Text);
        pen.panel(Rect::new(0, 0, 50, 50), "t", Meaning::Head);
    }
}
