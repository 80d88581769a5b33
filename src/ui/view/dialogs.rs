//! What stands over the work screen, or takes all of it for a moment.

use ratatui::layout::Rect;

use super::now::wall;
use super::pen::{Pen, wrap};
use crate::billet::Loss;
use crate::journal::Fire;
use crate::plan::legal;
use crate::ui::mode::{Mode, Numeral, Purpose};
use crate::ui::model::Model;
use crate::ui::theme::Meaning;
use crate::ui::update::{items, reasons};
use crate::units::show;

/// Screens of their own.
pub(super) fn whole(model: &Model, area: Rect, pen: &mut Pen<'_>) {
    let area = centred(area, 96, area.height);
    match &model.mode {
        Mode::Legal => {
            let inside = pen.panel(area, "READ THIS ONCE", Meaning::Head);
            let mut row = 1;
            for part in legal().split('\n').filter(|part| !part.trim().is_empty()) {
                row = pen.wrapped(inside, row, part, Meaning::Text) + 1;
            }
            let foot = inside.height.saturating_sub(1);
            pen.line(inside, foot, "SPACE: I have read it", Meaning::Now);
        }
        Mode::Resume => resume(model, area, pen),
        Mode::AskPlan { steps, changes, .. } => {
            let inside = pen.panel(
                area,
                "THE PLAN FILE CHANGES STEPS THAT ARE DONE",
                Meaning::Head,
            );
            let mut row = pen.wrapped(
                inside,
                1,
                "These steps are done; they stay as they were worked:",
                Meaning::Text,
            );
            for step in steps.iter().take(6) {
                row = pen.wrapped(inside, row, &format!("  {step}"), Meaning::Now);
            }
            row = pen.wrapped(inside, row + 1, "In the steps to come:", Meaning::Text);
            for line in changes.iter().take(8) {
                row = pen.wrapped(inside, row, &format!("  {line}"), Meaning::Now);
            }
            let foot = inside.height.saturating_sub(1);
            let words = "SPACE takes the new plan for the steps to come; BACKSPACE keeps the old";
            pen.line(inside, foot, words, Meaning::Text);
        }
        _ => {}
    }
}

fn resume(model: &Model, area: Rect, pen: &mut Pen<'_>) {
    let session = &model.session;
    let units = model.units();
    let inside = pen.panel(area, "YOU STOPPED HERE", Meaning::Head);
    let name = session
        .current()
        .map_or("the job is done", |step| step.name());
    let away = session.opened.and_then(|(_, away)| away);
    let mut row = 1;
    pen.line(inside, row, &name.to_uppercase(), Meaning::Now);
    row += 1;
    let when = session
        .last
        .map(|at| wall(at, session.offset))
        .unwrap_or_default();
    let lying = match session.left_as {
        Fire::Cold => "the piece lay COLD",
        Fire::In => "the piece was IN THE FIRE",
        Fire::Out => "the piece was HOT, out of the fire",
    };
    let text = format!(
        "{} ago (at {when}), {lying}",
        away.map_or_else(|| "some time".to_owned(), show::span)
    );
    row = pen.wrapped(inside, row, &text, Meaning::Text) + 1;
    let size = session.billet.outside(units);
    let text = format!(
        "Before this step: {} x {size}, {} in all, {}",
        session.billet.pieces,
        units.mass(session.billet.mass()),
        show::layers(session.billet.nominal, session.billet.bands())
    );
    row = pen.wrapped(inside, row, &text, Meaning::Text);
    for size in &model.situation.bar.sizes {
        if let Some(read) = &size.read {
            let hot = if read.hot.is_some() { "hot" } else { "cold" };
            let text = format!(
                "Read in this step: {} {} (typed {}, {hot})",
                size.what.word(),
                size.show(units, read.cold),
                read.typed
            );
            row = pen.wrapped(inside, row, &text, Meaning::Measured);
        }
    }
    if session.step.heats > 0 {
        row = pen.wrapped(
            inside,
            row,
            &format!("Heats done in this step: {}", session.step.heats),
            Meaning::Text,
        );
    }
    row += 1;
    row = pen.wrapped(inside, row, "Look again before you go on:", Meaning::Head);
    let card = session.card();
    let again: Vec<_> = card.items.iter().filter(|item| item.is_open()).collect();
    let last = inside.height.saturating_sub(2);
    for (n, item) in again.iter().enumerate() {
        let text = format!("- {}", item.caution.text);
        let rows = u16::try_from(wrap(&text, inside.width).len()).unwrap_or(u16::MAX);
        if row.saturating_add(rows) >= last {
            let more = format!("- and {} more on the card", again.len() - n);
            row = pen.wrapped(inside, row, &more, Meaning::Text);
            break;
        }
        row = pen.wrapped(inside, row, &text, Meaning::Text);
    }
    if again.is_empty() {
        row = pen.wrapped(
            inside,
            row,
            "- the piece: same face up, same end held, marks still there",
            Meaning::Text,
        );
    }
    for owed in session.owed.iter().rev().take(2) {
        row = pen.wrapped(
            inside,
            row,
            &format!("Owed: {} ({})", owed.text, owed.reason),
            Meaning::Caution,
        );
    }
    let foot = inside.height.saturating_sub(1);
    pen.line(inside, foot, "SPACE goes on", Meaning::Now);
}

/// Panels over the work screen.
pub(super) fn over(model: &Model, area: Rect, pen: &mut Pen<'_>) {
    match &model.mode {
        Mode::Review => review(model, area, pen),
        Mode::Menu { sheet } => {
            let lines = items(*sheet);
            let height = u16::try_from(lines.len()).unwrap_or(9) + 2;
            let inside = pen.panel(
                centred(area, 60, height),
                "MENU: type the number",
                Meaning::Head,
            );
            for (row, (_, words)) in (0u16..).zip(lines) {
                pen.line(
                    inside,
                    row,
                    &format!("{}  {words}", (row + 1) % 10),
                    Meaning::Text,
                );
            }
        }
        Mode::Number { what, text } => number(model, *what, text, area, pen),
        Mode::Reason { purpose, text } => reason(model, purpose, text, area, pen),
        Mode::Line { text } => {
            let inside = pen.panel(centred(area, 76, 5), "NOTE", Meaning::Head);
            tail(inside, 0, text, pen);
            pen.line(
                inside,
                2,
                "ENTER keeps it; BACKSPACE on an empty line goes back",
                Meaning::Text,
            );
        }
        Mode::Leave => {
            let inside = pen.panel(centred(area, 64, 6), "LEAVE?", Meaning::Head);
            pen.line(
                inside,
                0,
                "Everything is on disk; the job goes on here next time.",
                Meaning::Text,
            );
            if model.session.fire.0 != Fire::Cold {
                pen.line(
                    inside,
                    1,
                    "The piece is logged in or at the fire.",
                    Meaning::Caution,
                );
            }
            if model.session.watch.is_some() {
                pen.line(
                    inside,
                    2,
                    "The fire watch is not over: stay with it.",
                    Meaning::Caution,
                );
            }
            pen.line(inside, 3, "ENTER leaves, BACKSPACE stays", Meaning::Now);
        }
        _ => {}
    }
}

/// The end of a long line stays in view while it is typed.
fn tail(area: Rect, row: u16, text: &str, pen: &mut Pen<'_>) {
    let room = usize::from(area.width.saturating_sub(3));
    let skip = text.chars().count().saturating_sub(room);
    let shown: String = text.chars().skip(skip).collect();
    pen.line(
        area,
        row,
        &format!("{} {shown}_", pen.glyphs.pointer()),
        Meaning::Now,
    );
}

fn reason(model: &Model, purpose: &Purpose, text: &str, area: Rect, pen: &mut Pen<'_>) {
    let reasons = reasons(purpose);
    let (title, about) = match purpose {
        Purpose::Defer(item) => ("PUT OFF: why?", words_of(model, &item.0)),
        Purpose::Override(item) | Purpose::SkipWatch(item) => {
            ("PASS OVER: why?", words_of(model, &item.0))
        }
        Purpose::Early(what) => ("END EARLY: why?", what.clone()),
    };
    let height = u16::try_from(reasons.len()).unwrap_or(5) + 8;
    let inside = pen.panel(centred(area, 76, height), title, Meaning::Caution);
    let mut row = pen.wrapped(inside, 0, &about, Meaning::Now) + 1;
    for (n, words) in reasons.iter().enumerate() {
        pen.line(inside, row, &format!("{}  {words}", n + 1), Meaning::Text);
        row += 1;
    }
    tail(inside, row, text, pen);
    pen.line(
        inside,
        row + 1,
        if reasons.is_empty() {
            "write a few words, then ENTER; they stay in the record"
        } else {
            "a number, or a few words and ENTER; it stays in the record"
        },
        Meaning::Text,
    );
}

fn number(model: &Model, what: Numeral, text: &str, area: Rect, pen: &mut Pen<'_>) {
    let (title, about) = match what {
        Numeral::CutBack => (
            "A WELD FAILED: CUT BACK",
            "How much comes off the end, a length. The ways on from there are shown; nothing is decided yet.".to_owned(),
        ),
        Numeral::Pin(topic) => (
            "PIN A VALUE",
            format!("in {}, {}", topic.unit(model.units()), topic.words()),
        ),
    };
    let inside = pen.panel(centred(area, 76, 7), title, Meaning::Head);
    let row = pen.wrapped(inside, 0, &about, Meaning::Text);
    tail(inside, row, text, pen);
    let words = "ENTER takes it; BACKSPACE, or ENTER on an empty line, goes back";
    pen.line(inside, 4, words, Meaning::Text);
}

fn words_of(model: &Model, item: &str) -> String {
    model
        .session
        .card()
        .items
        .into_iter()
        .find(|view| view.caution.id.0 == item)
        .map_or_else(|| item.to_owned(), |view| view.caution.text)
}

fn review(model: &Model, area: Rect, pen: &mut Pen<'_>) {
    let session = &model.session;
    let units = model.units();
    let Some(step) = session.current() else {
        return;
    };
    let inside = pen.panel(centred(area, 76, 14), "IS THE STEP DONE?", Meaning::Head);
    pen.line(inside, 0, &step.name().to_uppercase(), Meaning::Now);
    let mut row = 1;
    if let Some(done) = &step.done_when {
        row = pen.wrapped(inside, row, &format!("done when: {done}"), Meaning::Text);
    }
    let made = if session.step.reading.is_empty() {
        &session.meant
    } else {
        &session.live
    };
    let size = made.billet.outside(units);
    let read = if session.step.reading.is_empty() {
        "nothing read: taken as expected"
    } else {
        "with what was read"
    };
    let text = format!(
        "after it: {} x {size}, {} ({read})",
        made.billet.pieces,
        units.mass(made.billet.mass())
    );
    row = pen.wrapped(inside, row, &text, Meaning::Measured);
    let lost: Vec<String> = Loss::ALL
        .iter()
        .filter_map(|loss| {
            let volume: crate::units::Mm3 = made
                .losses
                .iter()
                .filter(|e| e.loss == *loss)
                .map(|e| e.volume)
                .sum();
            (volume.0.abs() > 0.5).then(|| format!("{} {}", loss.word(), units.volume(volume)))
        })
        .collect();
    if !lost.is_empty() {
        row = pen.wrapped(
            inside,
            row,
            &format!("lost: {}", lost.join(", ")),
            Meaning::Text,
        );
    }
    if step.kind().is_hot() {
        row = pen.wrapped(
            inside,
            row,
            &format!("heats: {} of about {}", session.step.heats, step.heats),
            Meaning::Text,
        );
    }
    if let Some(drift) = &made.drift {
        row = pen.wrapped(inside, row, &format!("! {drift}"), Meaning::Caution);
    }
    for warning in made.warnings.iter().take(2) {
        row = pen.wrapped(
            inside,
            row,
            &format!("! {}", warning.text),
            Meaning::Caution,
        );
    }
    let deferred = session.card().deferred();
    if deferred > 0 {
        pen.wrapped(
            inside,
            row,
            &format!("card complete except {deferred} put off"),
            Meaning::Caution,
        );
    }
    let foot = inside.height.saturating_sub(1);
    pen.line(
        inside,
        foot,
        "SPACE: done, go on     BACKSPACE: keep working",
        Meaning::Now,
    );
}

fn centred(area: Rect, width: u16, height: u16) -> Rect {
    let width = width.min(area.width);
    let height = height.min(area.height);
    Rect::new(
        area.x + (area.width - width) / 2,
        area.y + (area.height - height) / 2,
        width,
        height,
    )
}
