//! The steps around the current one.

use ratatui::layout::Rect;

use super::pen::{Pen, shortened};
use crate::ui::model::Model;
use crate::ui::theme::Meaning;

pub(super) fn draw(model: &Model, area: Rect, pen: &mut Pen<'_>) {
    if area.width < 12 || area.height < 3 {
        return;
    }
    let session = &model.session;
    pen.line(area, 0, "STEPS", Meaning::Head);
    let rows = usize::from(area.height - 1);
    let first = session.at.saturating_sub(rows / 3);
    for (row, (at, step)) in
        (1u16..).zip(session.plan.steps.iter().enumerate().skip(first).take(rows))
    {
        let (mark, meaning) = match at.cmp(&session.at) {
            std::cmp::Ordering::Less => ('x', Meaning::Done),
            std::cmp::Ordering::Equal => (pen.glyphs.pointer(), Meaning::Now),
            std::cmp::Ordering::Greater => (' ', Meaning::Text),
        };
        pen.line(
            area,
            row,
            &shortened(&format!("{mark}{:>3} {}", at + 1, step.name()), area.width),
            meaning,
        );
    }
}
