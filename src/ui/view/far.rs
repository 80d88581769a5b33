//! The number fills the screen; and what is drawn when almost nothing fits.

use ratatui::layout::Rect;

use super::foot::banner;
use super::now::{big, left_bar};
use super::pen::{Pen, columns};
use crate::ui::headline::headline;
use crate::ui::model::{Model, Tone};
use crate::ui::theme::Meaning;

pub(super) fn draw(model: &Model, area: Rect, pen: &mut Pen<'_>) {
    let (first, second) = headline(model);
    let name = model
        .session
        .current()
        .map_or("JOB DONE", |step| step.name())
        .to_uppercase();
    let following = model.following.is_some();
    let lead = if following { "FOLLOWING  " } else { "" };
    pen.bar(area, 0, &format!(" {lead}{name}"), Meaning::Bar);
    if following {
        let (at, steps) = (model.session.at + 1, model.session.plan.steps.len());
        let text = format!(
            " step {} of {steps}, {} ",
            at.min(steps),
            model.last_entry()
        );
        let width = columns(&text).min(area.width / 2);
        pen.text(area.right() - width, area.y, &text, width, Meaning::Bar);
    }
    let half = (area.height.saturating_sub(3)) / if second.is_some() { 2 } else { 1 };
    let top = Rect::new(area.x, area.y + 1, area.width, half.saturating_sub(1));
    big(&first, top, pen);
    tone_line(area, half, &first.label, first.tone, pen);
    if let Some(second) = second {
        let below = Rect::new(
            area.x,
            area.y + 1 + half,
            area.width,
            half.saturating_sub(1),
        );
        let barred = big(&second, below, pen);
        tone_line(area, half * 2, &second.label, second.tone, pen);
        let bar = Rect::new(area.x, area.y + half * 2 + 1, area.width, 1);
        if !barred && bar.bottom() < area.bottom() {
            left_bar(&second, bar, pen);
        }
    }
    let foot = area.height.saturating_sub(1);
    if model.reply.is_some() || !model.banners.is_empty() {
        let last = Rect::new(area.x, area.y + foot, area.width, 1);
        return banner(model, last, pen);
    }
    let hint = if following {
        "only shows, writes nothing   + or - the work screen, ? there for keys"
    } else {
        "+ or - closes"
    };
    pen.line(area, foot, hint, Meaning::Text);
}

fn tone_line(area: Rect, row: u16, text: &str, tone: Tone, pen: &mut Pen<'_>) {
    let meaning = match tone {
        Tone::Plain => Meaning::Now,
        Tone::Caution => Meaning::Caution,
        Tone::Stop => Meaning::Stop,
    };
    pen.line(area, row, text, meaning);
}

/// Step, number and the key that matters, in a very small window.
pub(super) fn tiny(model: &Model, area: Rect, pen: &mut Pen<'_>) {
    let (first, second) = headline(model);
    let name = model
        .session
        .current()
        .map_or("JOB DONE", |step| step.name());
    let shown = second.filter(|_| !model.card_asks()).unwrap_or(first);
    pen.line(
        area,
        0,
        &format!("{} {}", shown.digits, shown.label),
        Meaning::Now,
    );
    pen.line(area, 1, name, Meaning::Text);
    pen.line(area, 2, "+ next; enlarge the window", Meaning::Text);
}
