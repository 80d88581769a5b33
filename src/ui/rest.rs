//! The rest of a card: reminders, and what holds for the job, settled by one press for all that
//! stands whole on the screen.

use ratatui::layout::Rect;

use super::model::Model;
use super::view::wrap;
use crate::session::{ItemState, ItemView};

/// Where the panel of the rest goes.
#[must_use]
pub(super) fn area(whole: Rect) -> Rect {
    let top = if whole.height >= 20 { 2 } else { 0 };
    let foot = if whole.height >= 20 { 3 } else { 1 };
    Rect {
        y: whole.y + top,
        height: whole.height.saturating_sub(top + foot),
        ..whole
    }
}

/// The words of one item.
#[must_use]
pub(super) fn words(item: &ItemView) -> String {
    match &item.state {
        ItemState::Standing(value) => format!("x {} ({value} before)", item.caution.text),
        _ => format!("- {}", item.caution.text),
    }
}

/// The open items of the rest that a screen of so many columns and rows shows whole, by place.
#[must_use]
pub(super) fn shown(model: &Model, (columns, rows): (u16, u16)) -> Vec<usize> {
    let area = area(Rect::new(0, 0, columns, rows));
    // A panel takes two columns and a row on each side; its last row names the key.
    let (wide, mut room) = (area.width.saturating_sub(4), area.height.saturating_sub(3));
    let card = &model.situation.card;
    let mut out = Vec::new();
    for at in card.rest() {
        let Some(item) = card.items.get(at) else {
            continue;
        };
        let needs = u16::try_from(wrap(&words(item), wide).len()).unwrap_or(u16::MAX);
        if needs > room && !out.is_empty() {
            break;
        }
        room = room.saturating_sub(needs);
        out.push(at);
    }
    out
}
