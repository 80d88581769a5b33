//! Title, the operation now and next, the number, the entry line.

use ratatui::layout::Rect;

use super::pen::{Pen, columns, fitting, shortened};
use crate::ui::digits;
use crate::ui::entry::prompt;
use crate::ui::fit::Plan;
use crate::ui::headline::{Headline, headline};
use crate::ui::keys::ModeKind;
use crate::ui::model::{Model, Tone};
use crate::ui::theme::Meaning;
use crate::units::show;

pub(super) fn title(model: &Model, area: Rect, pen: &mut Pen<'_>) {
    let session = &model.session;
    let dot = pen.glyphs.dot();
    let at = (session.at + 1).min(session.plan.steps.len());
    let steps = session.plan.steps.len();
    let (day, days) = (session.day(), session.days());
    let time = show::wall(model.now, session.offset);
    let right = if area.width < 70 {
        format!("day {day}/{days} {dot} step {at}/{steps} {dot} {time} ")
    } else {
        format!("day {day} of {days} {dot} step {at} of {steps} {dot} {time} ")
    };
    let width = columns(&right).min(area.width);
    let room = area.width.saturating_sub(width + 2);
    let title = match session.current() {
        Some(step) if !step.bar.is_empty() => {
            let mark = session.plan.mark_of(&step.bar);
            format!("bar {}, {mark} {dot} {}", step.bar, session.plan.title)
        }
        _ => session.plan.title.clone(),
    };
    let title = shortened(&title, room);
    let lead = if model.following.is_some() {
        "FOLLOWING  "
    } else {
        ""
    };
    pen.bar(area, 0, &format!(" {lead}{title}"), Meaning::Bar);
    if area.width > 0 {
        pen.text(area.right() - width, area.y, &right, width, Meaning::Bar);
    }
}

pub(super) fn operation(model: &Model, area: Rect, pen: &mut Pen<'_>) {
    let session = &model.session;
    let now = session.current().map_or_else(
        || "JOB DONE".to_owned(),
        |step| {
            let bar = &model.situation.bar;
            let heats = if step.kind().is_hot() && step.heats > 0 {
                // Counted by piece and by bar, there is room for less.
                let about = match bar.piece.and(bar.alike) {
                    Some(_) => "~",
                    None => "about ",
                };
                format!("   heat {} of {about}{}", heat_now(model), step.heats)
            } else {
                String::new()
            };
            let counted = model.situation.bar.counted_off();
            let piece = counted.map_or_else(String::new, |counted| format!("   {counted}"));
            format!("{}{piece}{heats}", step.name().to_uppercase())
        },
    );
    let next = session
        .next()
        .map_or_else(|| "the end".to_owned(), |step| step.name().to_owned());
    // What is done now comes first; the next one gets what room is left, a third at the least.
    let most = (area.width / 3)
        .max(12)
        .max(area.width.saturating_sub(columns(&now) + 6))
        .saturating_sub(5);
    let next = format!("NEXT {}", shortened(&next, most));
    let room = area.width.saturating_sub(columns(&next) + 2);
    let used = pen.text(area.x, area.y, "NOW", area.width, Meaning::Head);
    pen.text(
        area.x + used + 1,
        area.y,
        &now,
        room.saturating_sub(used + 1),
        Meaning::Now,
    );
    pen.line_right(area, 0, &next, Meaning::Text);
}

/// The heat in hand, counting the one in the fire.
fn heat_now(model: &Model) -> u32 {
    let step = &model.session.step;
    match model.session.fire.0 {
        crate::journal::Fire::In => step.heats + 1,
        _ => step.heats,
    }
}

pub(super) fn numbers(model: &Model, plan: &Plan, pen: &mut Pen<'_>) {
    let (first, second) = headline(model);
    let whole = Rect::new(
        plan.number.x,
        plan.number.y,
        plan.number.width + plan.clock.width,
        plan.number.height,
    );
    match second {
        Some(second) if plan.clock.width > 0 => {
            big(&first, plan.number, pen);
            big(&second, plan.clock, pen);
            label(
                &first,
                Rect {
                    height: 1,
                    ..at(plan.labels, plan.number)
                },
                pen,
            );
            label(
                &second,
                Rect {
                    height: 1,
                    ..at(plan.labels, plan.clock)
                },
                pen,
            );
        }
        // With room for one only, a running time in the fire comes before a size.
        Some(second) if plan.clock.width == 0 => {
            big(&second, plan.number, pen);
            label(&second, plan.labels, pen);
        }
        _ => {
            big(&first, whole, pen);
            label(&first, plan.labels, pen);
        }
    }
}

/// The part of a row above which an area stands.
fn at(row: Rect, over: Rect) -> Rect {
    Rect::new(over.x, row.y, over.width.saturating_sub(1), row.height)
}

fn meaning(tone: Tone) -> Meaning {
    match tone {
        Tone::Plain => Meaning::Now,
        Tone::Caution => Meaning::Caution,
        Tone::Stop => Meaning::Stop,
    }
}

fn label(headline: &Headline, area: Rect, pen: &mut Pen<'_>) {
    let label = headline.label.as_str();
    // A range that does not fit stands among the numbers of the fire too.
    let bare = label.split_once(" (").map_or(label, |(bare, _)| bare);
    let label = fitting([label, bare].map(str::to_owned), area.width);
    pen.line(area, 0, &label, meaning(headline.tone));
}

/// What is left of a time, as a bar that fills an area; nothing in less than four columns. True when
/// it was drawn.
pub(super) fn left_bar(headline: &Headline, area: Rect, pen: &mut Pen<'_>) -> bool {
    let Some(left) = headline.left.filter(|_| area.width >= 4) else {
        return false;
    };
    let [full, empty] = pen.glyphs.bar();
    let style = pen.style(meaning(headline.tone));
    let cells = f64::from(area.width);
    for x in 0..area.width {
        let on = f64::from(x) < (left * cells).ceil();
        for y in area.y..area.bottom() {
            pen.dot(area.x + x, y, if on { full } else { empty }, style);
        }
    }
    true
}

/// A number in block digits, as large as fits; plain text where not even the smallest does. What is
/// left of a time fills the room behind them as a bar; true when there was room for it.
pub(super) fn big(headline: &Headline, area: Rect, pen: &mut Pen<'_>) -> bool {
    let (w, h) = (usize::from(area.width), usize::from(area.height));
    let unit_free = headline
        .digits
        .split(' ')
        .next()
        .unwrap_or_default()
        .to_owned();
    let fits = |text: &str| digits::fitting(text, w, h).map(|scale| (text.to_owned(), scale));
    let Some((text, scale)) = fits(&headline.digits).or_else(|| fits(&unit_free)) else {
        pen.line(area, area.height / 2, &headline.digits, Meaning::Now);
        return false;
    };
    let used = u16::try_from(digits::width(&text, scale)).unwrap_or(u16::MAX);
    let tall = u16::try_from(digits::height(scale)).unwrap_or(area.height);
    let behind = used.saturating_add(2).min(area.width);
    let bar = Rect::new(
        area.x + behind,
        area.y,
        (area.width - behind).saturating_sub(1),
        tall.min(area.height).saturating_sub(1).max(1),
    );
    let barred = left_bar(headline, bar, pen);
    for (row, line) in digits::rows(&text, scale, pen.glyphs).iter().enumerate() {
        let row = u16::try_from(row).unwrap_or(u16::MAX);
        if row < area.height {
            // Underline would run through the dots: digits are bold or plain.
            let style = pen.style(Meaning::Now);
            for (x, glyph) in (area.x..area.right()).zip(line.chars()) {
                pen.dot(x, area.y + row, glyph, style);
            }
        }
    }
    barred
}

pub(super) fn entry(model: &Model, area: Rect, pen: &mut Pen<'_>) {
    if model.session.is_finished() && model.following.is_none() {
        if let Some(left) = super::shelf::left(model) {
            pen.line(area, 0, &shortened(&left, area.width), Meaning::Text);
        }
        return;
    }
    let (tone, words) = match model.following {
        Some(_) => (
            Tone::Plain,
            format!("this screen only shows; {}", model.last_entry()),
        ),
        None => prompt(model),
    };
    let pointer = pen.glyphs.pointer();
    let shown = match model.mode_kind() {
        ModeKind::Entry => {
            if model.card_asks() {
                format!("{pointer} {words}_")
            } else {
                format!("{pointer} {}_  {words}", model.entry)
            }
        }
        _ => format!("{pointer} {words}"),
    };
    let meaning = if tone == Tone::Plain {
        Meaning::Text
    } else {
        Meaning::Caution
    };
    pen.line(area, 0, &shortened(&shown, area.width), meaning);
}
