//! Target against measured.

use ratatui::layout::Rect;

use super::pen::{Pen, columns, fitting};
use crate::billet::Move;
use crate::ui::entry::current_field;
use crate::ui::model::Model;
use crate::ui::theme::Meaning;
use crate::units::{Fraction, show};

/// Room for what a size is off by.
const OFF: u16 = 9;

/// A size in a column too narrow for its unit, which stands in the rows beside it.
fn without_unit(text: &str) -> String {
    let end = if text.ends_with(')') { ")" } else { "" };
    match text.trim_end_matches(')').rsplit_once(' ') {
        Some((number, _)) => format!("{number}{end}"),
        None => text.to_owned(),
    }
}

pub(super) fn draw(model: &Model, area: Rect, pen: &mut Pen<'_>) {
    let session = &model.session;
    let units = model.units();
    if session.current().is_none() {
        return last(model, area, pen);
    }
    let area = cut_list(model, area, pen);
    if area.height == 0 {
        return;
    }
    let pieces = session.expected().map_or(1, |billet| billet.pieces);
    let part = match session.current().map(|step| &step.made) {
        Some(Move::Forge { part, .. }) => Some(part.word()),
        _ => None,
    };
    let each = match (part, pieces > 1) {
        (part, true) if model.situation.bar.piece.is_some() => {
            let hand = model.session.hand;
            let part = part.map_or_else(String::new, |part| format!(" {part}"));
            format!("SIZES{part} {hand} of {pieces}")
        }
        (Some(part), true) => format!("SIZES {part}, {pieces} alike"),
        (Some(part), false) => format!("SIZES {part}"),
        (None, true) => format!("SIZES of each of {pieces}"),
        (None, false) => "SIZES".to_owned(),
    };
    let name = 11u16;
    // What is off is short; what is wanted and read may be a size in sixteenths.
    let column = area.width.saturating_sub(name + OFF) / 2;
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
    for size in &model.situation.bar.sizes {
        if row >= area.height {
            return;
        }
        let y = area.y + row;
        let here = asking && current == Some(size.what);
        let mark = if here { pen.glyphs.pointer() } else { ' ' };
        pen.text(
            area.x,
            y,
            &format!("{mark}{}", size.what.word()),
            name,
            if here { Meaning::Now } else { Meaning::Text },
        );
        let mut put = |n: u16, text: &str, meaning| {
            let room = area.right().saturating_sub(place(n));
            let room = if n < 2 {
                column.saturating_sub(1)
            } else {
                room
            };
            let text = fitting([text.to_owned(), without_unit(text)], room);
            pen.text(place(n), y, &text, room, meaning);
        };
        put(0, &size.wanted_text(units), Meaning::Expected);
        match (&size.read, size.before) {
            (Some(read), _) => {
                put(1, &size.show(units, read.cold), Meaning::Measured);
                put(2, &size.off_text(units), Meaning::Measured);
            }
            // The size before this step, in brackets until something is read.
            (None, Some(before)) => {
                put(1, &format!("({})", size.show(units, before)), Meaning::Text);
            }
            (None, None) => {}
        }
        row += 1;
    }
    let (first, rest): (Vec<_>, Vec<_>) =
        (model.situation.bar.sizes.iter()).partition(|size| current == Some(size.what));
    for size in first.into_iter().chain(rest) {
        let apart = size.apart_text(units);
        if row < area.height && !apart.is_empty() {
            let text = format!("{}: {apart}", size.what.word());
            pen.line(area, row, &text, Meaning::Measured);
            row += 1;
        }
    }
    if row < area.height {
        pen.line(area, row, &balance(model), Meaning::Text);
    }
}

/// What is to be cut, while the pieces are prepared, and for what is laid on; the room that is left under it.
fn cut_list(model: &Model, area: Rect, pen: &mut Pen<'_>) -> Rect {
    let all = model.session.to_cut();
    if all.is_empty() {
        return area;
    }
    // The sizes behind it keep their head and a row.
    let room = usize::from(area.height.saturating_sub(3)).max(1);
    let shown = if all.len() > room {
        room - 1
    } else {
        all.len()
    };
    let mut lines: Vec<String> = all
        .iter()
        .take(shown)
        .map(|line| format!("CUT {}", line.text(model.units())))
        .collect();
    if shown < all.len() {
        lines.push(format!(
            "CUT {} more kinds: the page of steps",
            all.len() - shown
        ));
    }
    let mut used = 0;
    for line in lines {
        used = pen.wrapped(area, used, &line, Meaning::Expected);
    }
    Rect::new(
        area.x,
        area.y + used,
        area.width,
        area.height.saturating_sub(used),
    )
}

/// More metal than that is no scatter of calipers.
const GAINED: Fraction = Fraction(-0.05);

/// Metal left and lost, in one line.
fn balance(model: &Model) -> String {
    let bar = &model.situation.bar;
    let mass = model.units().mass(model.session.metal().mass());
    if bar.lost < GAINED {
        let more = show::percent(bar.lost * -1.0, 0);
        return format!("metal {mass}: {more} too much, read again");
    }
    format!(
        "metal {mass} {} lost {} (scale {})",
        model.settings.glyphs.dot(),
        show::percent(bar.lost, 1),
        show::percent(bar.scale, 1)
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
