//! The caution card: one marked current item, what is settled, what is owed.

use ratatui::layout::Rect;

use super::pen::{Pen, fitting, wrap};
use super::words::heat;
use crate::plan::Answer;
use crate::session::{ItemState, ItemView};
use crate::ui::entry::asked;
use crate::ui::model::Model;
use crate::ui::theme::Meaning;

/// The mark of an item: shape first, so that no colour is needed.
pub(super) fn mark(item: &ItemView) -> char {
    match &item.state {
        ItemState::Open if item.caution.killer => '!',
        ItemState::Again => '?',
        ItemState::Open => '-',
        ItemState::Answered(_) => 'x',
        ItemState::Deferred(_) => '~',
        ItemState::Overridden(_) => '#',
    }
}

/// The state of an item in words.
pub(super) fn state(item: &ItemView) -> String {
    match &item.state {
        ItemState::Open if item.caution.killer => "MUST be answered".to_owned(),
        ItemState::Open => String::new(),
        ItemState::Again => "answer again after the break".to_owned(),
        ItemState::Answered(value) => value.clone(),
        ItemState::Deferred(why) => format!("put off: {why}"),
        ItemState::Overridden(why) => format!("passed over: {why}"),
    }
}

/// What the current item wants.
fn wanted(item: &ItemView) -> String {
    match &item.caution.answer {
        Answer::Done => "SPACE when it is so".to_owned(),
        Answer::Number { ask, unit } => format!("type the {}, ENTER", asked(ask, unit)),
        Answer::Choice(words) => {
            let list: Vec<_> = words
                .iter()
                .enumerate()
                .map(|(n, word)| format!("{}: {word}", n + 1))
                .collect();
            format!("press {}", list.join("  "))
        }
    }
}

/// What is put off or passed over, kept in view beside the count; the reasons stand on the card page.
fn owed(model: &Model) -> String {
    match model.session.owed.len() {
        0 => String::new(),
        n => format!(" {} OWED {n}", model.settings.glyphs.dot()),
    }
}

pub(super) fn draw(model: &Model, area: Rect, pen: &mut Pen<'_>) {
    if area.height == 0 || area.width == 0 {
        return;
    }
    let card = model.session.card();
    let total = card.items.len();
    let Some(at) = model.item() else {
        let owed = model.session.owed.len();
        let words = match (total, owed) {
            (0, 0) => "CARD no cautions for this step".to_owned(),
            (_, 0) => fitting(
                [
                    format!(
                        "CARD complete, {total} of {total} {} a: numbers",
                        pen.glyphs.dot()
                    ),
                    format!("CARD complete {} a: numbers", pen.glyphs.dot()),
                ],
                area.width,
            ),
            (_, n) => format!("CARD complete except {n} owed: put off or passed over"),
        };
        pen.line(area, 0, &words, Meaning::Head);
        notes(model, area, 1, pen);
        return;
    };
    let part = card.part(at);
    let list = if part.parts > 1 {
        format!(
            " {} list {} of {}",
            pen.glyphs.dot(),
            part.number,
            part.parts
        )
    } else {
        String::new()
    };
    let head = match card.current() {
        Some(_) => format!(
            "CARD {} of {}{list}{}",
            at + 1 - part.first,
            part.length,
            owed(model)
        ),
        None => format!("CARD complete, {total} of {total}{}", owed(model)),
    };
    pen.line(area, 0, &head, Meaning::Head);
    let Some(item) = card.items.get(at) else {
        return;
    };
    let killer = if item.caution.killer { "! " } else { "" };
    let pointer = pen.glyphs.pointer();
    let text = format!("{pointer}{killer}{}", item.caution.text);
    let tone = if item.caution.killer {
        Meaning::Caution
    } else {
        Meaning::Now
    };
    // The item's own words first; what it wants always keeps its row.
    let room = area.height.saturating_sub(2);
    let mut row = 1;
    for line in wrap(&text, area.width).into_iter().take(usize::from(room)) {
        pen.line(area, row, &line, tone);
        row += 1;
    }
    if item.is_open() {
        // The line for typing says it already where the card asks.
        if !model.card_asks() {
            row = pen.wrapped(area, row, &wanted(item), Meaning::Text);
        }
    } else {
        row = pen.wrapped(
            area,
            row,
            &format!("{} {}", mark(item), state(item)),
            Meaning::Text,
        );
    }
    let last = part.first + part.length;
    let rest: Vec<_> = card
        .items
        .iter()
        .enumerate()
        .take(last)
        .skip(at + 1)
        .collect();
    for (done, (n, other)) in rest.iter().enumerate() {
        let text = format!(
            "{} {} {}",
            n + 1 - part.first,
            mark(other),
            other.caution.text
        );
        let left = rest.len() - done;
        let kept = u16::from(left > 1);
        match pen.whole(area, row, kept, &text, Meaning::Text) {
            Some(next) => row = next,
            None => {
                pen.line(
                    area,
                    row,
                    &format!("{left} more: * shows all of the card"),
                    Meaning::Text,
                );
                return;
            }
        }
    }
    notes(model, area, row, pen);
}

/// When the step is done, and the smith's own notes, below the card.
fn notes(model: &Model, area: Rect, row: u16, pen: &mut Pen<'_>) {
    let Some(step) = model.session.current() else {
        return;
    };
    let mut row = super::heat::draw(model, area, row, pen);
    if let Some(done) = &step.done_when {
        row = pen.wrapped(area, row, &format!("done when: {done}"), Meaning::Now);
    }
    if let Some(window) = model.session.window() {
        let text = format!(
            "work between {} and {}; colours are worth 50 C",
            heat(model, window.low),
            heat(model, window.high)
        );
        row = pen.wrapped(area, row, &text, Meaning::Text);
    }
    for note in &step.notes {
        row = pen.wrapped(area, row, note, Meaning::Text);
    }
}
