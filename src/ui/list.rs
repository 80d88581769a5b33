//! The list of billets that the program opens with when no plan is named.

use ratatui::Frame;
use ratatui::layout::Rect;

use super::effect::Effect;
use super::msg::{Key, Msg};
use super::press::{Gate, Pace};
use super::row::ListRow;
use super::settings::Settings;
use super::theme::Meaning;
use super::view::{Pen, columns, shortened};
use crate::units::show;

/// Most characters of a search.
const SEARCH: usize = 60;

#[derive(Debug, Clone)]
pub struct List {
    /// The billets; none for a file that turned out to be none.
    pub rows: Vec<Option<ListRow>>,
    /// The one opened.
    pub chosen: Option<usize>,
    /// What the list is of.
    pub heading: &'static str,
    /// Billets that are still being read.
    pub unread: usize,
    /// Something to draw.
    pub dirty: bool,
    /// Places of the rows shown, in order.
    shown: Vec<usize>,
    /// The one marked, as a place among those shown.
    at: usize,
    /// The first one on the screen.
    top: usize,
    /// What is looked for; none before a search was begun.
    search: Option<String>,
    height: u16,
    settings: Settings,
    gate: Gate,
}

impl List {
    /// A list with the first billet marked.
    #[must_use]
    pub fn new(rows: Vec<ListRow>, settings: Settings) -> Self {
        let gate = Gate::new(settings.quiet_ms);
        let mut list = Self {
            rows: rows.into_iter().map(Some).collect(),
            chosen: None,
            heading: "BILLETS, the unfinished first",
            unread: 0,
            dirty: true,
            shown: Vec::new(),
            at: 0,
            top: 0,
            search: None,
            height: 24,
            settings,
            gate,
        };
        list.sift();
        list
    }

    /// Puts the rows in order, those alone that hold every word looked for. The mark stays on its billet.
    fn sift(&mut self) {
        let marked = self.shown.get(self.at).copied();
        let wanted = self.search.as_deref().unwrap_or_default().to_lowercase();
        let words: Vec<&str> = wanted.split_whitespace().collect();
        let holds = |row: &ListRow| {
            let text =
                format!("{} {} {} {}", row.title, row.goal, row.state, row.file).to_lowercase();
            words.iter().all(|word| text.contains(word))
        };
        let mut found: Vec<(usize, &ListRow)> = (0..)
            .zip(&self.rows)
            .filter_map(|(place, row)| Some((place, row.as_ref()?)))
            .filter(|(_, row)| words.is_empty() || holds(row))
            .collect();
        found.sort_by(|(a, one), (b, other)| {
            let newest = other.last.cmp(&one.last);
            (one.group.cmp(&other.group)).then(newest).then(a.cmp(b))
        });
        self.shown = found.into_iter().map(|(place, _)| place).collect();
        let kept = marked.filter(|_| self.at > 0);
        let kept = kept.and_then(|marked| self.shown.iter().position(|place| *place == marked));
        self.mark(kept.unwrap_or(0));
    }

    /// Lines of a row: where not all have room with a blank line between, the blank lines go.
    fn each(&self) -> usize {
        if self.shown.len() * 3 > usize::from(self.height.saturating_sub(3)) {
            2
        } else {
            3
        }
    }

    /// Rows that the screen has room for.
    fn room(&self) -> usize {
        (usize::from(self.height.saturating_sub(3)) / self.each()).max(1)
    }

    fn mark(&mut self, at: usize) {
        self.at = at.min(self.shown.len().saturating_sub(1));
        let room = self.room();
        self.top = self.top.clamp((self.at + 1).saturating_sub(room), self.at);
        self.top = self.top.min(self.shown.len().saturating_sub(room));
    }

    fn open(&mut self, at: usize) -> Vec<Effect> {
        self.chosen = self.shown.get(at).copied();
        if self.chosen.is_some() {
            vec![Effect::Quit]
        } else {
            Vec::new()
        }
    }

    /// Takes one message: digits and arrows mark, SPACE, + or ENTER opens, letters search, BACKSPACE leaves.
    pub fn update(&mut self, msg: Msg) -> Vec<Effect> {
        self.dirty = true;
        match msg {
            Msg::Leave => return vec![Effect::Quit],
            Msg::Resize(_, rows) => {
                self.height = rows;
                self.mark(self.at);
            }
            Msg::List(rows) => {
                self.unread = self.unread.saturating_sub(rows.len());
                for (place, row) in rows {
                    if let Some(held) = self.rows.get_mut(place) {
                        *held = row;
                    }
                }
                self.sift();
            }
            Msg::Key(press) => {
                let acts = matches!(press.key, Key::Enter | Key::Char('+') | Key::Esc)
                    || self.search.is_none() && !self.begins(press.key);
                let moves = matches!(
                    press.key,
                    Key::Up | Key::Down | Key::Tab | Key::PageUp | Key::PageDown
                );
                if self.gate.take(&press, Pace::of(moves || !acts)) {
                    return self.key(press.key);
                }
            }
            _ => {}
        }
        Vec::new()
    }

    /// True for a key that begins a search.
    fn begins(&self, key: Key) -> bool {
        matches!(key, Key::Char(c) if c == '/' || c.is_alphabetic())
    }

    fn key(&mut self, key: Key) -> Vec<Effect> {
        match (key, &mut self.search) {
            (Key::Up, _) => self.mark(self.at.saturating_sub(1)),
            (Key::Down | Key::Tab, _) => self.mark(self.at + 1),
            (Key::PageUp, _) => self.mark(self.at.saturating_sub(self.room())),
            (Key::PageDown, _) => self.mark(self.at + self.room()),
            (Key::Interrupt, _) => return vec![Effect::Quit],
            (Key::Enter | Key::Char('+'), _) => return self.open(self.at),
            (Key::Esc, Some(_)) => self.look_for(None),
            (Key::Backspace, Some(text)) => {
                let rest = text.pop().map(|_| text.clone());
                self.look_for(rest);
            }
            (Key::Char(c), Some(text)) if !c.is_control() => {
                let mut text = text.clone();
                if text.chars().count() < SEARCH {
                    text.push(c);
                }
                self.look_for(Some(text));
            }
            (Key::Char('/'), None) => self.look_for(Some(String::new())),
            (Key::Char(c), None) if c.is_alphabetic() => self.look_for(Some(c.to_string())),
            (Key::Char(' '), None) => return self.open(self.at),
            (Key::Char(c), None) if c.is_ascii_digit() => {
                let number = c.to_digit(10).map_or(0, |n| n as usize);
                if let Some(at) = number.checked_sub(1).filter(|at| *at < self.room()) {
                    return self.open(self.top + at);
                }
            }
            (Key::Backspace | Key::Esc | Key::Char('-'), None) => return vec![Effect::Quit],
            _ => {}
        }
        Vec::new()
    }

    /// Looks for other words, from the first row found.
    fn look_for(&mut self, text: Option<String>) {
        self.search = text;
        self.at = 0;
        self.sift();
    }

    /// Draws the list.
    pub fn draw(&self, frame: &mut Frame<'_>) {
        let area = frame.area();
        let mut pen = Pen::new(frame.buffer_mut(), &self.settings);
        pen.ground(area);
        pen.bar(area, 0, &format!(" {}", self.heading), Meaning::Bar);
        let all = self.rows.iter().flatten().count();
        let mut counts = match self.shown.len() {
            some if some < all => format!("{some} of {all} "),
            _ if all > self.room() => format!("{all} "),
            _ => String::new(),
        };
        if self.unread > 0 {
            counts = format!("reading {} more, {counts}", self.unread);
        }
        let wide = u16::try_from(counts.len()).unwrap_or(0).min(area.width / 2);
        pen.text(area.right() - wide, area.y, &counts, wide, Meaning::Bar);
        let under = |x: u16| {
            Rect::new(
                area.x + x,
                area.y,
                area.width.saturating_sub(x),
                area.height,
            )
        };
        let rows = (1usize..).zip(self.shown.iter().skip(self.top).take(self.room()));
        for (number, place) in rows {
            let Some(row) = self.rows.get(*place).and_then(Option::as_ref) else {
                continue;
            };
            let line = u16::try_from((number - 1) * self.each() + 2).unwrap_or(u16::MAX);
            let here = self.top + number - 1 == self.at;
            let mark = if here { pen.glyphs.pointer() } else { ' ' };
            let meaning = if here { Meaning::Now } else { Meaning::Text };
            let number = match number {
                1..=9 if self.search.is_none() => number.to_string(),
                _ => " ".to_owned(),
            };
            let title = format!("{mark}{number}  {}", row.title);
            pen.line(area, line, &title, meaning);
            let used = columns(&title).saturating_add(3).min(area.width);
            pen.line(under(used), line, &row.goal, Meaning::Text);
            // what tells like titles apart is never cut off
            let file = format!("   [{}]", show::plain(&row.file, 60));
            let room = area.width.saturating_sub(4 + columns(&file));
            let text = format!("{}{file}", shortened(&row.state, room));
            pen.line(under(4), line + 1, &text, Meaning::Text);
        }
        if self.shown.is_empty() {
            pen.line(
                under(4),
                2,
                "nothing of that name; ESC shows all",
                Meaning::Text,
            );
        }
        let foot = area.height.saturating_sub(1);
        let hint = match &self.search {
            None => "1-9 opens   type to search   UP DOWN mark   + opens the marked one   - leaves"
                .to_owned(),
            Some(text) => format!("search: {text}_   + opens the marked one   ESC shows all"),
        };
        pen.line(area, foot, &hint, Meaning::Text);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ui::Press;
    use crate::ui::row::Group;
    use crate::units::Stamp;

    fn row(n: usize) -> ListRow {
        ListRow {
            title: format!("job {n}"),
            goal: String::new(),
            state: "not begun".to_owned(),
            file: format!("{n}.toml"),
            group: Group::NotBegun,
            last: None,
        }
    }

    fn rows(many: usize) -> List {
        List::new((0..many).map(row).collect(), Settings::default())
    }

    fn press(list: &mut List, key: Key, mono_ms: u64) -> Vec<Effect> {
        list.update(Msg::Key(Press {
            key,
            repeat: false,
            at: Stamp(0),
            mono_ms,
        }))
    }

    #[test]
    fn a_digit_opens_that_billet_and_arrows_with_space_any() {
        let mut list = rows(12);
        assert_eq!(press(&mut list, Key::Char('3'), 0), [Effect::Quit]);
        assert_eq!(list.chosen, Some(2));
        let mut list = rows(12);
        for n in 0..11 {
            press(&mut list, Key::Down, n * 1000);
        }
        press(&mut list, Key::Char('+'), 20_000);
        assert_eq!(list.chosen, Some(11));
        // numbers are those on the screen, which has scrolled
        let mut list = rows(100);
        for n in 0..4 {
            press(&mut list, Key::PageDown, n * 1000);
        }
        press(&mut list, Key::Char('1'), 20_000);
        assert_eq!(list.chosen, Some(31));
    }

    #[test]
    fn leaving_opens_nothing() {
        let mut list = rows(12);
        assert_eq!(press(&mut list, Key::Backspace, 0), [Effect::Quit]);
        assert_eq!(list.chosen, None);
    }

    #[test]
    fn typing_searches_title_state_and_file_and_opens_what_is_found() {
        let mut list = rows(200);
        let mut at = 0;
        for c in "job 117".chars() {
            at += 1000;
            assert_eq!(press(&mut list, Key::Char(c), at), []);
        }
        press(&mut list, Key::Enter, at + 1000);
        assert_eq!(list.chosen, Some(117));
        let mut list = rows(200);
        press(&mut list, Key::Char('x'), 0);
        assert_eq!(press(&mut list, Key::Enter, 1000), []);
        assert_eq!(press(&mut list, Key::Esc, 2000), []);
        press(&mut list, Key::Enter, 3000);
        assert_eq!(list.chosen, Some(0));
    }

    #[test]
    fn rows_that_come_later_are_put_in_their_place_and_the_mark_stays() {
        let mut list = rows(5);
        list.unread = 5;
        press(&mut list, Key::Down, 0);
        let unfinished = |n: usize, at: i64| ListRow {
            group: Group::Unfinished,
            last: Some(Stamp(at)),
            ..row(n)
        };
        let rows = vec![
            (0, None),
            (3, Some(unfinished(3, 10))),
            (4, Some(unfinished(4, 20))),
        ];
        list.update(Msg::List(rows));
        assert_eq!(
            (list.unread, list.shown.as_slice()),
            (2, [4, 3, 1, 2].as_slice())
        );
        press(&mut list, Key::Enter, 2000);
        assert_eq!(list.chosen, Some(1));
    }
}
