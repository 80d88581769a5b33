//! The list of billets that the program opens with when no plan is named.

use ratatui::Frame;
use ratatui::layout::Rect;

use super::effect::Effect;
use super::msg::{Key, Msg};
use super::press::Gate;
use super::settings::Settings;
use super::theme::Meaning;
use super::view::Pen;
use crate::units::show;

/// One billet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShelfRow {
    /// The job's title.
    pub title: String,
    /// Where it stands, in words.
    pub state: String,
    /// The plan file, for telling like titles apart.
    pub file: String,
}

/// The list.
#[derive(Debug, Clone)]
pub struct Shelf {
    /// The billets, the unfinished first.
    pub rows: Vec<ShelfRow>,
    /// The one marked.
    pub at: usize,
    /// The one opened.
    pub chosen: Option<usize>,
    /// What the list is of.
    pub heading: &'static str,
    /// Something to draw.
    pub dirty: bool,
    settings: Settings,
    gate: Gate,
}

impl Shelf {
    /// A list with the first billet marked.
    #[must_use]
    pub fn new(rows: Vec<ShelfRow>, settings: Settings) -> Self {
        let gate = Gate::new(settings.quiet_ms);
        Self {
            rows,
            at: 0,
            chosen: None,
            heading: "BILLETS, the unfinished first",
            dirty: true,
            settings,
            gate,
        }
    }

    /// Takes one message: digits and arrows mark, SPACE, + or ENTER opens, BACKSPACE leaves.
    pub fn update(&mut self, msg: &Msg) -> Vec<Effect> {
        self.dirty = true;
        let Msg::Key(press) = msg else {
            return if matches!(msg, Msg::Leave) {
                vec![Effect::Quit]
            } else {
                Vec::new()
            };
        };
        let moves = matches!(press.key, Key::Up | Key::Down | Key::Tab);
        if !self.gate.take(press, moves) {
            return Vec::new();
        }
        let last = self.rows.len().saturating_sub(1);
        match press.key {
            Key::Up => self.at = self.at.saturating_sub(1),
            Key::Down | Key::Tab => self.at = (self.at + 1).min(last),
            Key::Char(' ' | '+') | Key::Enter => {
                self.chosen = (!self.rows.is_empty()).then_some(self.at);
                return vec![Effect::Quit];
            }
            Key::Char(c) if c.is_ascii_digit() => {
                let place = c.to_digit(10).map_or(0, |n| n as usize);
                if let Some(at) = place.checked_sub(1).filter(|at| *at <= last) {
                    self.at = at;
                    self.chosen = Some(at);
                    return vec![Effect::Quit];
                }
            }
            Key::Backspace | Key::Esc | Key::Interrupt | Key::Char('-' | 'q') => {
                return vec![Effect::Quit];
            }
            _ => {}
        }
        Vec::new()
    }

    /// Draws the list.
    pub fn draw(&self, frame: &mut Frame<'_>) {
        let area = frame.area();
        let mut pen = Pen::new(frame.buffer_mut(), &self.settings);
        pen.ground(area);
        pen.bar(area, 0, &format!(" {}", self.heading), Meaning::Bar);
        let space = usize::from(area.height.saturating_sub(3));
        // Where not all have room with a blank line between, the blank lines go.
        let each = if self.rows.len() * 3 > space { 2 } else { 3 };
        let rows = (space / each).max(1);
        let first = (self.at + 1).saturating_sub(rows);
        for (n, row) in self.rows.iter().enumerate().skip(first).take(rows) {
            let line = u16::try_from((n - first) * each + 2).unwrap_or(u16::MAX);
            let here = n == self.at;
            let mark = if here { pen.glyphs.pointer() } else { ' ' };
            let meaning = if here { Meaning::Now } else { Meaning::Text };
            let number = if n < 9 {
                (n + 1).to_string()
            } else {
                " ".to_owned()
            };
            pen.line(
                area,
                line,
                &format!("{mark}{number}  {}", row.title),
                meaning,
            );
            let under = Rect::new(
                area.x + 4,
                area.y,
                area.width.saturating_sub(4),
                area.height,
            );
            let text = format!("{}   [{}]", row.state, show::plain(&row.file, 60));
            pen.line(under, line + 1, &text, Meaning::Text);
        }
        let foot = area.height.saturating_sub(1);
        let hint = "1-9 opens   UP DOWN mark   + opens the marked one   - leaves";
        pen.line(area, foot, hint, Meaning::Text);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ui::Press;
    use crate::units::Stamp;

    fn shelf() -> Shelf {
        let row = |n: usize| ShelfRow {
            title: format!("job {n}"),
            state: "not begun".to_owned(),
            file: format!("{n}.toml"),
        };
        Shelf::new((0..12).map(row).collect(), Settings::default())
    }

    fn press(shelf: &mut Shelf, key: Key, mono_ms: u64) -> Vec<Effect> {
        shelf.update(&Msg::Key(Press {
            key,
            repeat: false,
            at: Stamp(0),
            mono_ms,
        }))
    }

    #[test]
    fn a_digit_opens_that_billet_and_arrows_with_space_any() {
        let mut list = shelf();
        assert_eq!(press(&mut list, Key::Char('3'), 0), [Effect::Quit]);
        assert_eq!(list.chosen, Some(2));
        let mut list = shelf();
        for n in 0..11 {
            press(&mut list, Key::Down, n * 1000);
        }
        press(&mut list, Key::Char('+'), 20_000);
        assert_eq!(list.chosen, Some(11));
    }

    #[test]
    fn leaving_opens_nothing() {
        let mut list = shelf();
        assert_eq!(press(&mut list, Key::Backspace, 0), [Effect::Quit]);
        assert_eq!(list.chosen, None);
    }
}
