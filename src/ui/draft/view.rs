//! The screens of a draft. They read and never change.

use ratatui::Frame;
use ratatui::layout::Rect;

use super::{Draft, Screen};
use crate::planner::draft::form::{Form, Item, items};
use crate::planner::draft::{Line, PROMISE};
use crate::ui::model::Tone;
use crate::ui::theme::Meaning;
use crate::ui::view::{Pen, wrap};
use crate::units::{Units, show};

/// Columns of an item's name and of its text.
const NAME: u16 = 13;
const TEXT: u16 = 26;
/// Rows at the foot: the line typed or explained (two), keys.
const FOOT: u16 = 3;

impl Draft {
    pub fn draw(&self, frame: &mut Frame<'_>) {
        let area = frame.area();
        let mut pen = Pen::new(frame.buffer_mut(), &self.settings);
        pen.ground(area);
        let body = Rect {
            y: area.y + 1.min(area.height),
            height: area.height.saturating_sub(1 + FOOT),
            ..area
        };
        let foot = Rect {
            y: body.bottom(),
            height: area.height.saturating_sub(1 + body.height),
            ..area
        };
        match &self.screen {
            Screen::Wish => self.wish(area, body, foot, &mut pen),
            Screen::Search => self.searching(area, body, foot, &mut pen),
            Screen::None(why) => none(why, area, body, foot, &mut pen),
            Screen::List => self.list(area, body, foot, &mut pen),
            Screen::Look(top) => self.look(*top, area, body, foot, &mut pen),
            Screen::Name => {
                self.look(0, area, body, foot, &mut pen);
                // a row more: the name of a file that is there already makes a long answer
                let more = u16::from(body.height > 1);
                let foot = Rect {
                    y: foot.y - more,
                    height: foot.height + more,
                    ..foot
                };
                pen.ground(foot);
                let text = self.typing.as_deref().unwrap_or_default();
                self.typed("the plan goes into the new file", text, foot, &mut pen);
                pen.line(
                    foot,
                    2 + more,
                    "ENTER writes it   BACKSPACE rubs out   ESC goes back",
                    Meaning::Now,
                );
            }
            Screen::Saved(name) => saved(name, area, body, foot, &mut pen),
        }
    }

    /// The line being typed, and under it what is said to it.
    fn typed(&self, head: &str, text: &str, foot: Rect, pen: &mut Pen<'_>) {
        let room = usize::from(foot.width).saturating_sub(head.len() + 4);
        let from = text.chars().count().saturating_sub(room);
        let shown: String = text.chars().skip(from).collect();
        pen.line(foot, 0, &format!("{head}> {shown}_"), Meaning::Now);
        self.said(foot, 1, pen);
    }

    fn said(&self, area: Rect, row: u16, pen: &mut Pen<'_>) {
        if let Some((tone, text)) = &self.say {
            let meaning = match tone {
                Tone::Plain => Meaning::Text,
                Tone::Caution => Meaning::Caution,
                Tone::Stop => Meaning::Stop,
            };
            let kept = Rect {
                height: area.height.saturating_sub(1),
                ..area
            };
            pen.wrapped(kept, row, text, meaning);
        }
    }

    fn wish(&self, area: Rect, body: Rect, foot: Rect, pen: &mut Pen<'_>) {
        pen.bar(
            area,
            0,
            &format!(
                " DRAFT: a plan from a wish{}. In brackets: taken if you write nothing",
                match self.form.units() {
                    Units::Mm => ", sizes in mm",
                    Units::Inch => " in inches",
                }
            ),
            Meaning::Bar,
        );
        // Headings take rows of their own.
        let mut rows: Vec<(Option<usize>, &str)> = Vec::new();
        let mut before = None;
        for (at, item) in items().iter().enumerate() {
            if before != Some(item.group) {
                before = Some(item.group);
                rows.push((None, item.group.heading()));
            }
            rows.push((Some(at), item.key));
        }
        let here = rows
            .iter()
            .position(|row| row.0 == Some(self.item))
            .unwrap_or(0);
        let room = usize::from(body.height).max(1);
        let most = rows.len().saturating_sub(room);
        // Some rows ahead of the marked one are in sight.
        let top = (here + 3).saturating_sub(room).min(most);
        for (row, (at, name)) in (0_u16..).zip(rows.iter().skip(top).take(room)) {
            match at {
                None => pen.line(body, row, &name.to_uppercase(), Meaning::Head),
                Some(at) => self.item_row(*at, name, body, row, pen),
            }
        }
        let item = items().get(self.item);
        let words = item.map_or("", |item| item.words);
        match &self.typing {
            Some(text) => {
                self.typed(self.key(), text, foot, pen);
                if self.say.is_none() {
                    pen.line(foot, 1, words, Meaning::Text);
                }
                pen.line(
                    foot,
                    2,
                    "ENTER takes it   BACKSPACE rubs out   ESC leaves it as it was",
                    Meaning::Now,
                );
            }
            None => {
                if self.say.is_some() {
                    self.said(foot, 0, pen);
                } else {
                    let words = match self.form.typed(self.key()) {
                        // what its column does not hold stands here whole
                        Some(typed) if wrap(typed, TEXT).len() > 1 => {
                            format!("{}: {typed}. {words}", self.key())
                        }
                        _ => words.to_owned(),
                    };
                    let lines = wrap(&words, foot.width);
                    for (row, line) in (0_u16..2).zip(&lines) {
                        pen.line(foot, row, line, Meaning::Text);
                    }
                }
                let keys = if Form::is_choice(self.key()) {
                    "+ drafts  UP DOWN mark  / or ENTER changes it  * usual  - leaves"
                } else {
                    "+ drafts  UP DOWN mark  ENTER or a digit writes  * usual  - leaves"
                };
                pen.line(foot, 2, keys, Meaning::Now);
            }
        }
    }

    fn item_row(&self, at: usize, name: &str, body: Rect, row: u16, pen: &mut Pen<'_>) {
        let here = at == self.item;
        let mark = if here { pen.glyphs.pointer() } else { ' ' };
        let meaning = if here { Meaning::Now } else { Meaning::Text };
        pen.line(body, row, &format!("{mark} {name}"), meaning);
        let (text, meaning) = match self.form.typed(name) {
            Some(typed) => (typed.to_owned(), Meaning::Measured),
            None => match self.form.text(name) {
                "" if items().get(at).is_some_and(Item::is_needed) => {
                    ("? to be written".to_owned(), Meaning::Caution)
                }
                "" => ("(by itself)".to_owned(), Meaning::Text),
                usual => (format!("({usual})"), Meaning::Text),
            },
        };
        let y = body.y + row;
        let left = body.x + NAME + 2;
        if row < body.height && left < body.right() {
            pen.text(left, y, &text, TEXT.min(body.right() - left), meaning);
            let right = left + TEXT + 1;
            if right < body.right() {
                let words = items().get(at).map_or("", |item| item.words);
                pen.text(right, y, words, body.right() - right, Meaning::Text);
            }
        }
    }

    fn searching(&self, area: Rect, body: Rect, foot: Rect, pen: &mut Pen<'_>) {
        pen.bar(area, 0, " DRAFT: searching", Meaning::Bar);
        let progress = self.progress;
        let wide = usize::from(body.width.saturating_sub(12)).min(60);
        let of = progress.of.max(1);
        let full = wide * progress.done.min(of) / of;
        let [filled, empty] = pen.glyphs.bar();
        let bar: String = (0..wide)
            .map(|at| if at < full { filled } else { empty })
            .collect();
        pen.line(
            body,
            2,
            &format!("  {bar} {:>3} %", 100 * progress.done.min(of) / of),
            Meaning::Now,
        );
        let words = if progress.of > 0 && progress.done >= progress.of {
            match progress.plans {
                0 => "  nothing comes through; looking for what stands in the way".to_owned(),
                _ => "  all looked at; writing the plans and forecasting each".to_owned(),
            }
        } else {
            format!(
                "  {} of {} first stacks with all that can follow them; {} plans so far",
                progress.done, progress.of, progress.plans
            )
        };
        pen.wrapped(body, 4, &words, Meaning::Text);
        pen.line(foot, 2, "0, BACKSPACE or ESC stops", Meaning::Now);
    }

    /// Rows of the plan that is looked at, each with its meaning; what is too long is broken later.
    fn content(&self) -> Vec<(Meaning, String, u16)> {
        let Some((offer, seen)) = self
            .found
            .as_ref()
            .and_then(|found| found.offers.get(self.plan))
        else {
            return Vec::new();
        };
        let lines = offer.lines(seen).into_iter();
        lines
            .map(|line| match line {
                Line::Head(head, text) => (
                    Meaning::Text,
                    format!("{:<9}{text}", head.to_uppercase()),
                    9,
                ),
                Line::Row(text) => (Meaning::Text, text, 0),
            })
            .collect()
    }

    /// How many rows a look has at least.
    pub(super) fn rows(&self) -> usize {
        self.content().len()
    }

    fn look(&self, top: usize, area: Rect, body: Rect, foot: Rect, pen: &mut Pen<'_>) {
        let Some((offer, _)) = self
            .found
            .as_ref()
            .and_then(|found| found.offers.get(self.plan))
        else {
            return;
        };
        let title = format!(
            " PLAN {}: {} ({})",
            self.plan + 1,
            offer.sequence_words(),
            offer.plan.title
        );
        pen.bar(area, 0, &title, Meaning::Bar);
        let mut rows: Vec<(Meaning, String)> = Vec::new();
        for (meaning, text, indent) in self.content() {
            let fits = show::plain(&text, usize::from(body.width)) == text;
            if fits {
                rows.push((meaning, text));
                continue;
            }
            if indent == 0 {
                // What a row of a table has over goes on under it.
                let lines = wrap(&text, body.width.saturating_sub(4));
                rows.extend(lines.into_iter().enumerate().map(|(at, line)| {
                    (
                        meaning,
                        format!("{:4}{line}", "").split_off(if at == 0 { 4 } else { 0 }),
                    )
                }));
                continue;
            }
            let (head, rest) = text.split_at(usize::from(indent));
            for (at, part) in wrap(rest, body.width.saturating_sub(indent))
                .into_iter()
                .enumerate()
            {
                let head = if at == 0 { head } else { "" };
                rows.push((meaning, format!("{head:<9}{part}")));
            }
        }
        let room = usize::from(body.height);
        let top = top.min(rows.len().saturating_sub(room));
        for (row, (meaning, line)) in (0_u16..).zip(rows.iter().skip(top).take(room)) {
            pen.line(body, row, line, *meaning);
        }
        for (row, line) in (0_u16..2).zip(wrap(PROMISE, foot.width)) {
            pen.line(foot, row, &line, Meaning::Text);
        }
        let more = if rows.len() > top + room {
            "DOWN for more   "
        } else {
            ""
        };
        let keys = format!("{more}+ takes this plan   1-9 another   - the list");
        pen.line(foot, 2, &keys, Meaning::Now);
    }
}

fn none(why: &[String], area: Rect, body: Rect, foot: Rect, pen: &mut Pen<'_>) {
    pen.bar(
        area,
        0,
        " NO PLAN: what rules all of them out, the nearest miss first",
        Meaning::Bar,
    );
    let mut row = 1;
    for one in why {
        row = pen.wrapped(body, row, one, Meaning::Caution) + 1;
    }
    pen.line(foot, 2, "any key goes back to the wish", Meaning::Now);
}

fn saved(name: &str, area: Rect, body: Rect, foot: Rect, pen: &mut Pen<'_>) {
    pen.bar(area, 0, " WRITTEN", Meaning::Bar);
    let row = pen.wrapped(body, 1, &show::plain(name, 400), Meaning::Now);
    let text = "Look it over before steel is cut: every size and window can be changed in the file. The makers' sheets of your steels, oil and machine come first.";
    pen.wrapped(body, row + 1, text, Meaning::Text);
    pen.line(foot, 2, "+ works on it now   - leaves", Meaning::Now);
}
