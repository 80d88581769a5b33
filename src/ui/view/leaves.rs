//! What takes the whole window and is read to its end: the words on local rules, where the work stopped,
//! a plan file that changed. In a small window it is cut into leaves, and nothing of it is lost.

use ratatui::layout::Rect;

use super::dialogs::centred;
use super::pen::{Pen, wrap};
use crate::journal::Fire;
use crate::plan::legal;
use crate::ui::model::Model;
use crate::ui::model::mode::Mode;
use crate::ui::theme::Meaning;
use crate::units::show;

/// Widest that text is set.
const WIDEST: u16 = 96;
/// Items of the card that a resumed job names.
const NAMED: usize = 4;

type Lines = Vec<(Meaning, String)>;

/// Rows for text in a window: without frame, key line, and the row for messages.
fn room(rows: u16) -> usize {
    usize::from(rows.saturating_sub(4).max(1))
}

fn set(lines: Lines, columns: u16) -> Lines {
    let wide = columns.min(WIDEST).saturating_sub(4);
    let parts = lines.into_iter().flat_map(|(meaning, text)| {
        let mut rows = wrap(&text, wide);
        if rows.is_empty() {
            rows.push(String::new());
        }
        rows.into_iter().map(move |row| (meaning, row))
    });
    parts.collect()
}

/// How many leaves it takes in this window.
pub(in crate::ui) fn count(model: &Model) -> usize {
    let (columns, rows) = model.size;
    let lines = text(model).map_or(0, |(_, lines, _)| set(lines, columns).len());
    lines.div_ceil(room(rows)).max(1)
}

fn text(model: &Model) -> Option<(&'static str, Lines, &'static str)> {
    match &model.mode {
        Mode::Legal => {
            let parts = legal().split('\n').filter(|part| !part.trim().is_empty());
            let lines = parts.map(|part| (Meaning::Text, part.to_owned())).collect();
            Some(("READ THIS ONCE", lines, "+ I have read it"))
        }
        Mode::Resume => Some(("YOU STOPPED HERE", resume(model), "+ goes on")),
        Mode::AskPlan {
            steps,
            undone,
            changes,
            ..
        } => Some((
            match undone.is_empty() {
                true => "THE PLAN FILE CHANGES STEPS THAT ARE DONE",
                false => "THE PLAN FILE UNDOES WHAT YOU DECIDED",
            },
            ask_plan(steps, undone, changes),
            "+ takes the new plan for the steps to come; - keeps the old",
        )),
        _ => None,
    }
}

pub(super) fn draw(model: &Model, area: Rect, pen: &mut Pen<'_>) {
    let Some((title, lines, last)) = text(model) else {
        return;
    };
    let lines = set(lines, area.width);
    let room = room(area.height);
    let leaves = lines.len().div_ceil(room).max(1);
    let leaf = model.leaf.min(leaves - 1);
    let whole = Rect {
        height: area.height.saturating_sub(1),
        ..area
    };
    let inside = pen.panel(centred(whole, WIDEST, whole.height), title, Meaning::Head);
    for (row, (meaning, line)) in (0u16..).zip(lines.iter().skip(leaf * room).take(room)) {
        pen.line(inside, row, line, *meaning);
    }
    let foot = inside.height.saturating_sub(1);
    let words = if leaf + 1 < leaves {
        format!("+ on: page {} of {leaves}", leaf + 1)
    } else {
        last.to_owned()
    };
    pen.line(inside, foot, &words, Meaning::Now);
}

fn ask_plan(steps: &[String], undone: &[String], changes: &[String]) -> Lines {
    let mut out = Vec::new();
    if !undone.is_empty() {
        let text = "What was decided here is in the journal and not in the plan file. To take the file undoes:";
        out.push((Meaning::Caution, text.to_owned()));
        let lines = undone.iter().map(|what| format!("  {what}"));
        out.extend(lines.map(|line| (Meaning::Caution, line)));
        let text = "Keep the old plan, or write the same into the file first.";
        out.push((Meaning::Text, text.to_owned()));
    }
    if !steps.is_empty() {
        let text = "These steps are done; they stay as they were worked:";
        out.push((Meaning::Text, text.to_owned()));
    }
    out.extend(steps.iter().map(|step| (Meaning::Now, format!("  {step}"))));
    out.push((Meaning::Text, "In the steps to come:".to_owned()));
    out.extend(
        changes
            .iter()
            .map(|line| (Meaning::Now, format!("  {line}"))),
    );
    out
}

fn resume(model: &Model) -> Lines {
    let session = &model.session;
    let units = model.units();
    let name = session
        .current()
        .map_or("the job is done", |step| step.name());
    let away = session.opened.and_then(|(_, away)| away);
    let when = session
        .last
        .map(|at| show::wall(at, session.offset))
        .unwrap_or_default();
    let lying = match session.left_as {
        Fire::Cold => "the piece lay COLD",
        Fire::In => "the piece was IN THE FIRE",
        Fire::Out => "the piece was HOT, out of the fire",
    };
    let ago = away.map_or_else(|| "some time".to_owned(), show::span);
    let mut out = vec![
        (Meaning::Now, name.to_uppercase()),
        (Meaning::Text, format!("{ago} ago (at {when}), {lying}")),
        (Meaning::Text, String::new()),
        (
            Meaning::Text,
            format!(
                "Before this step: {} x {}, {} in all, {}",
                session.billet.pieces,
                session.billet.outside(units),
                units.mass(session.billet.mass()),
                session.billet.counts_text()
            ),
        ),
    ];
    for size in &model.situation.bar.sizes {
        if let Some(read) = &size.read {
            let hot = if read.hot.is_some() { "hot" } else { "cold" };
            let text = format!(
                "Read in this step: {} {} (typed {}, {hot})",
                size.what.word(),
                size.show(units, read.cold),
                read.typed
            );
            out.push((Meaning::Measured, text));
        }
    }
    if session.step.heats > 0 {
        let text = format!("Heats done in this step: {}", session.step.heats);
        out.push((Meaning::Text, text));
    }
    out.push((Meaning::Text, String::new()));
    out.push((Meaning::Head, "Look again before you go on:".to_owned()));
    let card = &model.situation.card;
    let again: Vec<_> = card.items.iter().filter(|item| item.is_open()).collect();
    for item in again.iter().take(NAMED) {
        out.push((Meaning::Text, format!("- {}", item.caution.text)));
    }
    match again.len() {
        0 => out.push((
            Meaning::Text,
            "- the piece: same face up, same end held, marks still there".to_owned(),
        )),
        n if n > NAMED => {
            let text = format!("- and {} more on the card", n - NAMED);
            out.push((Meaning::Text, text));
        }
        _ => {}
    }
    for owed in session.owed.iter().rev().take(2) {
        let text = format!("Owed: {} ({})", owed.text, owed.reason);
        out.push((Meaning::Caution, text));
    }
    out
}
