//! The caution card: one marked current item, what is settled, what is owed.

use ratatui::layout::Rect;

use super::pen::{Pen, columns, fitting, shortened, wrap};
use super::words::colour;
use crate::plan::{Answer, HeatWindow};
use crate::session::{ItemState, ItemView};
use crate::ui::entry::{SMALL, answers_on_line};
use crate::ui::model::Model;
use crate::ui::rest;
use crate::ui::theme::Meaning;

/// The mark of an item: shape first, so that no colour is needed.
pub(super) fn mark(item: &ItemView) -> char {
    match &item.state {
        ItemState::Open if item.caution.killer => '!',
        ItemState::Again => '?',
        ItemState::Open | ItemState::Standing(_) => '-',
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
        ItemState::Standing(value) => format!("{value} before, to be confirmed"),
        ItemState::Answered(value) => value.clone(),
        ItemState::Deferred(why) => format!("put off: {why}"),
        ItemState::Overridden(why) => format!("passed over: {why}"),
    }
}

/// What the current item wants, as far as the line for typing does not say it.
fn wanted(model: &Model, item: &ItemView) -> Vec<String> {
    let before = item.before.as_deref();
    let last = |word: &str| {
        if before == Some(word) {
            " (last time)"
        } else {
            ""
        }
    };
    match &item.caution.answer {
        Answer::Choice(words) if !answers_on_line(model, words) => words
            .iter()
            .enumerate()
            .map(|(n, word)| format!(" {}: {word}{}", n + 1, last(word)))
            .collect(),
        // What was read before would be an answer to copy: a number is read anew.
        Answer::Number { .. } => Vec::new(),
        _ => before
            .map(|value| format!(" last time: {value}"))
            .into_iter()
            .collect(),
    }
}

/// What is put off or passed over, kept in view beside the count; the reasons stand on the card page.
fn owed(model: &Model) -> String {
    match model.session.owed.len() {
        0 => String::new(),
        n => format!(" {} OWED {n}", model.settings.glyphs.dot()),
    }
}

/// Reminders and what holds for the job: one press for all that is shown.
pub(super) fn rest(model: &Model, whole: Rect, pen: &mut Pen<'_>) {
    let card = &model.situation.card;
    let shown = rest::shown(model, (whole.width, whole.height));
    let left = card.rest().len().saturating_sub(shown.len());
    // In a low window the panel stands in the place of the operation, and names it.
    let title = match model.session.current() {
        Some(step) if whole.height < SMALL => {
            let name = shortened(&step.name().to_uppercase(), 14);
            format!("{name}: REST OF CARD")
        }
        _ => "THE REST OF THE CARD".to_owned(),
    };
    let inside = pen.panel(rest::area(whole), &title, Meaning::Head);
    let mut row = 0;
    for item in shown.iter().filter_map(|at| card.items.get(*at)) {
        row = pen.wrapped(inside, row, &rest::words(item), Meaning::Text);
    }
    let foot = inside.height.saturating_sub(1);
    let more = match left {
        0 => "+ all of it is read".to_owned(),
        n => format!("+ read; {n} more follow"),
    };
    pen.line(inside, foot, &more, Meaning::Now);
}

/// The rows that the current item wants at this width.
pub(super) fn rows(model: &Model, width: u16) -> u16 {
    let card = &model.situation.card;
    let Some(item) = model.item().and_then(|at| card.items.get(at)) else {
        return 0;
    };
    let text = wrap(&said(item, pen_pointer(model)), width).len();
    let wants: usize = wanted(model, item)
        .iter()
        .map(|line| wrap(line, width).len())
        .sum();
    u16::try_from(text + wants + 1).unwrap_or(u16::MAX)
}

fn pen_pointer(model: &Model) -> char {
    model.settings.glyphs.pointer()
}

fn said(item: &ItemView, pointer: char) -> String {
    let killer = if item.caution.killer { "! " } else { "" };
    format!("{pointer}{killer}{}", item.caution.text)
}

pub(super) fn draw(model: &Model, area: Rect, pen: &mut Pen<'_>) {
    if area.height == 0 || area.width == 0 {
        return;
    }
    let card = &model.situation.card;
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
            (_, n) => fitting(
                [
                    format!("CARD complete except {n} owed: put off or passed over"),
                    format!("CARD complete, {n} put off or passed over"),
                    format!("CARD complete but for {n}"),
                ],
                area.width,
            ),
        };
        pen.line(area, 0, &words, Meaning::Head);
        notes(model, area, 1, pen);
        return;
    };
    let (n, of) = card.count_of(at);
    let again = match model.session.repeats() {
        // Where the card has the whole window, its head says of what instead.
        Some(before) if area.y > 0 => format!(" {} as {}", pen.glyphs.dot(), before.step.name()),
        _ => String::new(),
    };
    let mut head = match card.current() {
        Some(_) => format!("CARD {n} of {of}{}{again}", owed(model)),
        None => format!("CARD complete, {total} of {total}{}", owed(model)),
    };
    if let Some(step) = model.session.current().filter(|_| area.y == 0) {
        let room = area.width.saturating_sub(columns(&head) + 3);
        let name = shortened(&step.name().to_uppercase(), room.max(12));
        head = format!("{name} {} {head}", pen.glyphs.dot());
    }
    pen.line(area, 0, &shortened(&head, area.width), Meaning::Head);
    let Some(item) = card.items.get(at) else {
        return;
    };
    let tone = if item.caution.killer {
        Meaning::Caution
    } else {
        Meaning::Now
    };
    let mut row = pen.wrapped(area, 1, &said(item, pen.glyphs.pointer()), tone);
    if item.is_open() {
        for line in wanted(model, item) {
            row = pen.wrapped(area, row, &line, Meaning::Text);
        }
    } else {
        row = pen.wrapped(
            area,
            row,
            &format!("{} {}", mark(item), state(item)),
            Meaning::Text,
        );
    }
    if let Some(changed) = model.session.changed() {
        row = pen
            .whole(area, row, 0, &changed, Meaning::Text)
            .unwrap_or(row);
    }
    let all = card.items.iter().enumerate().skip(at + 1);
    let rest: Vec<_> = all
        .filter(|(_, other)| other.is_open() && !other.is_joint())
        .collect();
    for (done, (_, other)) in rest.iter().enumerate() {
        let text = format!("{} {} {}", n + 1 + done, mark(other), other.caution.text);
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

/// Both ends before their colours: what does not fit is cut off behind.
fn worked_between(model: &Model, window: HeatWindow) -> String {
    let units = model.units();
    let [low, high] = [window.low, window.high].map(|at| units.temperature(at));
    let colours = match (colour(model, window.low), colour(model, window.high)) {
        ("", _) | (_, "") => String::new(),
        (low, high) => format!(": {low} to {high}"),
    };
    format!("work between {low} and {high}{colours}; colours are good to +/- 50 C")
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
        row = pen.wrapped(area, row, &worked_between(model, window), Meaning::Text);
    }
    for note in &step.notes {
        row = pen.wrapped(area, row, note, Meaning::Text);
    }
}
