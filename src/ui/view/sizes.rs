//! Target against measured.

use ratatui::layout::Rect;

use super::pen::{Pen, columns};
use crate::billet::{Dimension, Loss, Move};
use crate::ui::entry::{Field, current_field, fields};
use crate::ui::model::Model;
use crate::ui::theme::Meaning;
use crate::units::{Grams, Mm, Units, show};

fn shown(units: Units, what: Dimension, value: f64) -> String {
    match what {
        Dimension::Mass => units.mass(Grams(value)),
        Dimension::Bands => show::trimmed(value, 0),
        _ => units.length(Mm(value)),
    }
}

fn difference(units: Units, field: &Field) -> String {
    let (Some(expected), Some(read)) = (field.expected, field.read) else {
        return String::new();
    };
    let off = read - expected;
    let text = shown(units, field.what, off.abs());
    let sign = if off < 0.0 { "-" } else { "+" };
    if text.starts_with("0 ") || text == "0" {
        "on size".to_owned()
    } else {
        format!("{sign}{text}")
    }
}

pub(super) fn draw(model: &Model, area: Rect, pen: &mut Pen<'_>) {
    if area.height == 0 {
        return;
    }
    let session = &model.session;
    let units = model.units();
    if session.current().is_none() {
        return last(model, area, pen);
    }
    let pieces = session.expected().map_or(1, |billet| billet.pieces);
    let part = match session.current().map(|step| &step.made) {
        Some(Move::Forge { part, .. }) => Some(part.word()),
        _ => None,
    };
    let each = match (part, pieces > 1) {
        (Some(part), true) => format!("SIZES {part}, {pieces} alike"),
        (Some(part), false) => format!("SIZES {part}"),
        (None, true) => format!("SIZES of each of {pieces}"),
        (None, false) => "SIZES".to_owned(),
    };
    let name = 11u16;
    let column = area.width.saturating_sub(name) / 3;
    let place = |n: u16| area.x + name + column * n;
    pen.text(area.x, area.y, &each, name + column, Meaning::Head);
    if columns(&each) < name {
        pen.text(place(0), area.y, "wanted", column, Meaning::Head);
    }
    let read = if column > 10 { "read, cold" } else { "read" };
    pen.text(place(1), area.y, read, column, Meaning::Head);
    pen.text(place(2), area.y, "off by", column, Meaning::Head);
    let current = current_field(model).map(|field| field.what);
    let asking = !model.card_asks();
    let mut row = 1;
    for field in fields(model) {
        if row >= area.height {
            return;
        }
        let y = area.y + row;
        let here = asking && current == Some(field.what);
        let mark = if here { pen.glyphs.pointer() } else { ' ' };
        pen.text(
            area.x,
            y,
            &format!("{mark}{}", field.what.word()),
            name,
            if here { Meaning::Now } else { Meaning::Text },
        );
        if let Some(expected) = field.expected {
            // What only follows from volume is marked as an estimate.
            let about = if field.named || field.what == Dimension::Bands {
                ""
            } else {
                "~"
            };
            let text = format!("{about}{}", shown(units, field.what, expected));
            pen.text(
                place(0),
                y,
                &text,
                column.saturating_sub(1),
                Meaning::Expected,
            );
        }
        if let Some(read) = field.read {
            let text = shown(units, field.what, read);
            pen.text(
                place(1),
                y,
                &text,
                column.saturating_sub(1),
                Meaning::Measured,
            );
            pen.text(
                place(2),
                y,
                &difference(units, &field),
                column,
                Meaning::Measured,
            );
        } else if let Some(before) = before(model, field.what) {
            let text = format!("({})", shown(units, field.what, before));
            pen.text(place(1), y, &text, column.saturating_sub(1), Meaning::Text);
        }
        row += 1;
    }
    if row < area.height {
        pen.line(area, row, &balance(model), Meaning::Text);
    }
}

/// The size before this step, shown in brackets until something is read.
fn before(model: &Model, what: Dimension) -> Option<f64> {
    let billet = &model.session.billet;
    let step = model.session.current()?;
    if matches!(step.made, Move::Forge { .. }) && what != Dimension::Mass {
        // a part has no size before it is forged
        return None;
    }
    match what {
        Dimension::Thickness => Some(billet.bar.thickness.0),
        Dimension::Width => Some(billet.bar.width.0),
        Dimension::Length => Some(billet.bar.length.0),
        Dimension::Mass => Some(billet.piece_mass().0),
        Dimension::Bands => None,
    }
}

/// Metal left and lost, in one line.
fn balance(model: &Model) -> String {
    let billet = if model.session.step.reading.is_empty() {
        &model.session.billet
    } else {
        &model.session.live.billet
    };
    let ledger = &billet.ledger;
    let whole = ledger.start + ledger.added;
    let lost = if whole.is_positive() {
        ledger.lost() / whole * 100.0
    } else {
        0.0
    };
    let scale = if whole.is_positive() {
        ledger.total(Loss::Scale) / whole * 100.0
    } else {
        0.0
    };
    format!(
        "metal {} {} lost {} % (scale {} %)",
        model.units().mass(billet.mass()),
        model.settings.glyphs.dot(),
        show::fixed(lost, 1),
        show::fixed(scale, 1)
    )
}

fn last(model: &Model, area: Rect, pen: &mut Pen<'_>) {
    let billet = &model.session.billet;
    let units = model.units();
    pen.line(area, 0, "THE JOB IS DONE", Meaning::Head);
    let size = billet.outside(units);
    pen.line(
        area,
        1,
        &format!("{} x {size}", billet.pieces),
        Meaning::Text,
    );
    pen.line(area, 2, &balance(model), Meaning::Text);
}
