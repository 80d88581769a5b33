//! What stands over the work screen, or takes all of it for a moment.

use ratatui::layout::Rect;

use super::pen::{Pen, wrap};
use crate::billet::Loss;
use crate::journal::Fire;
use crate::ui::choices::{items, reasons};
use crate::ui::model::Model;
use crate::ui::model::mode::{Mode, Numeral, Purpose};
use crate::ui::theme::Meaning;

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
        Mode::Leave => leave(model, area, pen),
        Mode::Offer => ask(
            area,
            "ANOTHER COPY HAS THIS JOB OPEN",
            "This one can follow it: the same screen, live, writing nothing. When the other leaves you are \
             asked whether to go on here.",
            "+ follows, - leaves",
            pen,
        ),
        Mode::TakeOver => ask(
            area,
            "THE OTHER COPY HAS LEFT",
            "Work the job here from now on? Every entry of the other is on the disk.",
            "+ takes over, - goes on following",
            pen,
        ),
        _ => {}
    }
}

fn leave(model: &Model, area: Rect, pen: &mut Pen<'_>) {
    let mut lines = vec![(
        Meaning::Text,
        "Everything is on disk; resume here next time.",
    )];
    if model.session.fire.0 != Fire::Cold {
        lines.push((Meaning::Caution, "The piece is logged in or at the fire."));
    }
    if model.session.watch.is_some() {
        lines.push((
            Meaning::Caution,
            "The fire watch is not over: stay with it.",
        ));
    } else if model.session.lit && model.session.watched.is_none() {
        lines.push((
            Meaning::Caution,
            "Fire was lit: the fire watch is still due.",
        ));
    }
    lines.push((Meaning::Now, "ENTER leaves, - stays"));
    let wide = area.width.min(64).saturating_sub(4);
    let rows: usize = lines.iter().map(|(_, text)| wrap(text, wide).len()).sum();
    let height = u16::try_from(rows).unwrap_or(u16::MAX).saturating_add(2);
    let inside = pen.panel(centred(area, 64, height), "LEAVE?", Meaning::Head);
    let mut row = 0;
    for (meaning, text) in lines {
        row = pen.wrapped(inside, row, text, meaning);
    }
}

/// A question with its two keys.
fn ask(area: Rect, title: &str, text: &str, keys: &str, pen: &mut Pen<'_>) {
    let wide = area.width.min(64).saturating_sub(4);
    let rows = u16::try_from(wrap(text, wide).len()).unwrap_or(u16::MAX);
    let height = rows.saturating_add(3);
    let inside = pen.panel(centred(area, 64, height), title, Meaning::Head);
    let row = pen.wrapped(inside, 0, text, Meaning::Text);
    pen.line(inside, row, keys, Meaning::Now);
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
        Numeral::Bands => (
            "COUNTED BY EYE",
            "The bands as you count them, as 121, or 119-123 where you are not sure. What the picture gave is kept beside it in a note.".to_owned(),
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
    let made = if session.reading().is_empty() {
        &session.meant
    } else {
        &session.live
    };
    let read = if session.reading().is_empty() {
        "nothing read: taken as expected"
    } else {
        "with what was read"
    };
    // On a small screen the end is cut: what is wrong stands first.
    let mut lines = vec![(Meaning::Now, step.name().to_uppercase())];
    let warnings = made.warnings.iter().take(2).map(|one| one.text.clone());
    let wrong = made.drift.iter().map(ToString::to_string).chain(warnings);
    lines.extend(wrong.map(|why| (Meaning::Caution, format!("! {why}"))));
    if let Some(why) = session.without_heat() {
        lines.push((Meaning::Caution, format!("! {why}: t takes it up")));
    }
    let deferred = model.situation.card.deferred();
    if deferred > 0 {
        let text = format!("card complete except {deferred} put off");
        lines.push((Meaning::Caution, text));
    }
    let (size, mass) = (made.billet.outside(units), units.mass(made.billet.mass()));
    let text = format!("after it: {} x {size}, {mass} ({read})", made.billet.pieces);
    lines.push((Meaning::Measured, text));
    if step.kind().is_hot() {
        let text = format!("heats: {} of about {}", session.step.heats, step.heats);
        lines.push((Meaning::Text, text));
    }
    let lost = Loss::ALL.iter().filter_map(|loss| {
        let own = made.losses.iter().filter(|one| one.loss == *loss);
        let volume: crate::units::Mm3 = own.map(|one| one.volume).sum();
        // Less than nothing is what calipers scatter.
        (volume.0 > 0.5).then(|| format!("{} {}", loss.word(), units.volume(volume)))
    });
    let lost: Vec<String> = lost.collect();
    if !lost.is_empty() {
        lines.push((Meaning::Text, format!("lost: {}", lost.join(", "))));
    }
    if let Some(done) = &step.done_when {
        lines.push((Meaning::Text, format!("done when: {done}")));
    }
    let inside = pen.panel(centred(area, 76, 14), "IS THE STEP DONE?", Meaning::Head);
    let foot = inside.height.saturating_sub(1);
    let body = Rect {
        height: foot,
        ..inside
    };
    let mut row = 0;
    for (meaning, text) in lines {
        row = pen.wrapped(body, row, &text, meaning);
    }
    let keys = "+ done, go on     - keep working";
    pen.line(inside, foot, keys, Meaning::Now);
}

pub(super) fn centred(area: Rect, width: u16, height: u16) -> Rect {
    let width = width.min(area.width);
    let height = height.min(area.height);
    Rect::new(
        area.x + (area.width - width) / 2,
        area.y + (area.height - height) / 2,
        width,
        height,
    )
}
