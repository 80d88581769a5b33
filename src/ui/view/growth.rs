//! Step by step: what the draws take of the lines, and what the other steps bring.

use ratatui::layout::Rect;

use super::measures;
use super::pen::{Pen, shortened};
use crate::ui::model::Model;
use crate::ui::model::growth::{Growth, closeness};
use crate::ui::theme::Meaning;
use crate::units::show;

/// Columns of the numbers behind the words, and of the words.
const NUMBERS: u16 = 32;
const DEED: u16 = 24;

fn name(model: &Model, row: &Growth) -> String {
    let step = model.plan().steps.get(row.place - 1);
    step.map_or_else(String::new, |step| step.name().to_owned())
}

/// Everything on a screen of its own.
pub(super) fn draw(model: &Model, place: usize, area: Rect, pen: &mut Pen<'_>) {
    let growth = model.growth();
    let mut at = pen.wrapped(
        area,
        0,
        "Lines on the bar's face, step by step. All are estimates: draws by their sizes, the rest measured on \
         the model, whose hammer is a guess and makes waves of its own.",
        Meaning::Text,
    );
    for line in measures::to_come(model, place, pen.glyphs.dot()) {
        at = pen.wrapped(area, at, &line, Meaning::Measured);
    }
    let list = Rect::new(
        area.x,
        area.y + at,
        area.width,
        area.height.saturating_sub(at),
    );
    if growth.is_empty() {
        pen.line(
            list,
            0,
            "No step of this plan changes the lines.",
            Meaning::Text,
        );
        return;
    }
    if list.height < 2 {
        return;
    }
    let numbers = area.width >= 40 + NUMBERS;
    let right = if numbers { NUMBERS } else { 0 };
    let named = area.width.saturating_sub(right + DEED + 5);
    let wide = usize::from(named);
    let mut head = format!("    {:<wide$} {:<24}", "STEP", "TAKES (-), ADDS (+)");
    if numbers {
        head.push_str("            SLOPE deg BANDS/CM");
    }
    pen.line(list, 0, &head, Meaning::Head);
    // the row looked at stays in view
    let room = usize::from(list.height - 1);
    let here = growth.iter().rposition(|row| row.place <= place);
    let top = here
        .unwrap_or(0)
        .saturating_sub(room / 2)
        .min(growth.len().saturating_sub(room));
    for (n, (index, row)) in (1u16..).zip(growth.iter().enumerate().skip(top).take(room)) {
        let looked = here == Some(index);
        let mark = if looked {
            pen.glyphs.pointer()
        } else if row.place <= model.session.at {
            'x'
        } else {
            ' '
        };
        let meaning = if looked { Meaning::Now } else { Meaning::Text };
        let name = shortened(&name(model, row), named);
        let mut text = format!(
            "{mark}{:>2} {name:<wide$} {:<24}",
            row.place,
            row.deed.signed()
        );
        if numbers {
            let lines = &row.lines;
            let change = row.steeper.map_or_else(String::new, |by| {
                let sign = if by < 0.0 { '-' } else { '+' };
                format!("({sign}{})", show::fixed(by.abs(), 1))
            });
            text.push_str(&format!(
                " {:>13} {change:>7} {:>8}",
                show::fixed(lines.slope, 1),
                show::fixed(closeness(lines), 1)
            ));
        }
        pen.line(list, n, &text, meaning);
    }
}

/// The steps to come, in the rows left beside a picture.
pub(super) fn list(model: &Model, place: usize, area: Rect, row: u16, pen: &mut Pen<'_>) {
    let growth = model.growth();
    let ahead: Vec<&Growth> = growth.iter().filter(|row| row.place > place).collect();
    if ahead.is_empty() || row + 3 > area.height {
        return;
    }
    pen.line(area, row, "LINES ON THE FACE, FORECAST (~)", Meaning::Head);
    let mut at = row + 1;
    for row in ahead {
        let text = format!("{} {}: {}", row.place, name(model, row), row.deed.text());
        if at >= area.height {
            return;
        }
        at = pen.wrapped(area, at, &text, Meaning::Text);
    }
}
