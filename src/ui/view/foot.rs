//! The three lines at the foot: banner, safety, keys.

use ratatui::layout::Rect;

use super::pen::{Pen, columns, fitting, shortened, wrap};
use crate::journal::Fire;
use crate::plan::Answer;
use crate::planner::situation::Odds;
use crate::session::CountdownKind;
use crate::ui::choices::{chooses, next_words};
use crate::ui::keys::{ModeKind, hints as hint_rows};
use crate::ui::model::{Model, Tone};
use crate::ui::theme::Meaning;
use crate::units::show;

/// Most rows a message takes.
const GROWS: u16 = 3;

/// The loudest thing to say: a reply to the last key, trouble, or what is owed.
pub(super) fn banner(model: &Model, area: Rect, pen: &mut Pen<'_>) {
    let loud = model.banners.iter().max_by_key(|banner| banner.tone);
    if let Some(reply) = &model.reply
        && loud.is_none_or(|banner| banner.tone < Tone::Stop || reply.tone == Tone::Stop)
    {
        return say(area, reply.tone, &reply.text, pen);
    }
    if let Some(banner) = loud {
        return say(area, banner.tone, &banner.text, pen);
    }
    if let Some(broken) = model.situation.broken.as_ref().filter(|broken| broken.now) {
        let text = format!("{}: {}", broken.planned_text(), broken.why);
        return say(area, Tone::Caution, &text, pen);
    }
    if let Some(text) = burning(model) {
        return say(area, Tone::Caution, &text, pen);
    }
    let owed = &model.session.owed;
    if let Some(last) = owed.last() {
        // The whole card holds the words in full; here the reason always shows.
        let head = format!("OWED {}: {}: ", owed.len(), last.how());
        let room = area.width.saturating_sub(columns(&head));
        let reason = shortened(&last.reason, room / 2);
        let item = shortened(&last.text, room.saturating_sub(columns(&reason) + 3));
        let text = format!("{head}{item} ({reason})");
        return pen.line(area, 0, &text, Meaning::Caution);
    }
    let lines = model.situation.outlook(model.units());
    if !lines.is_empty() {
        let old = |odds: &&Odds| !odds.current;
        let updating = model.situation.odds.as_ref().filter(old).is_some();
        let mark = if updating { "(updating) " } else { "" };
        let text = fitting(lines.iter().map(|line| format!("{mark}{line}")), area.width);
        let meaning = if model.is_off() {
            Meaning::Caution
        } else {
            Meaning::Text
        };
        pen.line(area, 0, &text, meaning);
    }
}

/// Before the heat that would burn a steel.
fn burning(model: &Model) -> Option<String> {
    let burns = model.burns()?;
    let limit = model.units().temperature(burns.limit);
    Some(format!(
        "BURNING: keep {} under {limit} (estimate; maker's sheet first)",
        burns.steel
    ))
}

/// Rows that the loudest message takes at this width.
pub(super) fn rows(model: &Model, width: u16) -> u16 {
    let reply = model.reply.iter().map(|reply| reply.text.as_str());
    let texts = reply.chain(model.banners.iter().map(|banner| banner.text.as_str()));
    texts
        .map(|text| wrap(&format!("STOP {text}"), width.saturating_sub(1)).len())
        .map(|rows| u16::try_from(rows).unwrap_or(GROWS).clamp(1, GROWS))
        .max()
        .unwrap_or(1)
}

/// A message in its row; a long one grows upwards over the rows above, so that none is cut.
fn say(area: Rect, tone: Tone, text: &str, pen: &mut Pen<'_>) {
    let (lead, meaning) = match tone {
        Tone::Plain => ("", Meaning::Text),
        Tone::Caution => ("! ", Meaning::Caution),
        Tone::Stop => ("STOP ", Meaning::Stop),
    };
    let lines = wrap(&format!("{lead}{text}"), area.width.saturating_sub(1));
    let rows = u16::try_from(lines.len())
        .unwrap_or(u16::MAX)
        .clamp(1, GROWS.min(area.y + 1));
    let grown = Rect {
        y: area.y + 1 - rows,
        height: rows,
        ..area
    };
    if area.height == 0 {
        return;
    }
    for (row, line) in (0..rows).zip(&lines) {
        if tone == Tone::Stop {
            pen.bar(grown, row, &format!(" {line}"), meaning);
        } else {
            let strip = Rect {
                y: grown.y + row,
                height: 1,
                ..grown
            };
            pen.ground(strip);
            pen.line(grown, row, line, meaning);
        }
    }
}

/// Fire, fire watch, next drink, ears: always in view in hot work.
pub(super) fn safety(model: &Model, area: Rect, pen: &mut Pen<'_>) {
    let session = &model.session;
    let mut parts = Vec::new();
    parts.push(match session.piece(model.now) {
        Fire::In => format!("FIRE in {}", show::clock(session.fire_for(model.now))),
        Fire::Out => format!("FIRE out {}", show::clock(session.fire_for(model.now))),
        Fire::Cold if session.drank.is_some() => "FIRE lit, piece out".to_owned(),
        Fire::Cold => "FIRE none".to_owned(),
    });
    parts.extend(model.situation.bar.lying.iter().filter_map(|one| {
        let how = match one.fire {
            Fire::In => "in",
            Fire::Out => "out",
            Fire::Cold => return None,
        };
        Some(format!(
            "piece {} {how} {}",
            one.piece,
            show::clock(one.span)
        ))
    }));
    let counts = session.countdowns(model.now);
    let find = |kind| counts.iter().find(|count| count.kind == kind);
    parts.extend(session.laid_by.iter().filter_map(|(name, bar)| {
        let (fire, since) = bar.fire;
        let span = model.now.since(since);
        let left = bar.left.as_ref();
        let step = left.and_then(|(id, _)| session.plan.steps.iter().find(|step| step.id == *id));
        match (fire, step.and_then(|step| step.soak)) {
            (Fire::In, Some(soak)) if soak > span => {
                Some(format!("{name} SOAK {} left", show::clock(soak - span)))
            }
            (Fire::In, _) => Some(format!("{name} in {}", show::clock(span))),
            (Fire::Out, _) => Some(format!("{name} out {}", show::clock(span))),
            (Fire::Cold, _) => None,
        }
    }));
    // Of what does not run and is not due there is nothing to say.
    let (watch, runs) = match (find(CountdownKind::FireWatch), session.watched) {
        (Some(watch), _) if watch.left.0 > 0.0 => {
            (format!("WATCH {} left", show::span(watch.left)), true)
        }
        (Some(_), _) => ("WATCH over: +".to_owned(), true),
        (None, Some(span)) => (format!("watch kept {}", show::span(span)), false),
        (None, None) if session.lit => ("watch: at day's end".to_owned(), false),
        (None, None) => (String::new(), false),
    };
    let drink = find(CountdownKind::Drink).map_or(String::new(), |drink| {
        if drink.left.0 > 0.0 {
            format!("WATER in {}", show::span(drink.left))
        } else {
            "WATER: drink now (w)".to_owned()
        }
    });
    let behind = [drink, worn(model)];
    let gap = format!(" {} ", pen.glyphs.dot());
    let line = |watch: &str| {
        let parts = parts.iter().map(String::as_str).chain([watch]);
        let parts = parts.chain(behind.iter().map(String::as_str));
        let told: Vec<&str> = parts.filter(|part| !part.is_empty()).collect();
        told.join(&gap)
    };
    // What to wear is not cut off for a watch that does not run.
    let shorter = if runs { line(&watch) } else { line("") };
    let told = fitting([line(&watch), shorter], area.width);
    pen.line(area, 0, &told, Meaning::Text);
}

/// What protects the smith: worn only where the card of the day says so. Nothing once the job is done.
fn worn(model: &Model) -> String {
    if model.session.is_finished() {
        return String::new();
    }
    let of = |on: Option<bool>| {
        let all = model.session.worn().into_iter();
        let those: Vec<String> = all
            .filter(|worn| worn.on == on)
            .map(|worn| worn.what)
            .collect();
        those.join(", ")
    };
    let (on, over, open) = (of(Some(true)), of(Some(false)), of(None));
    let mut parts = Vec::new();
    for (words, what) in [
        ("WEAR", &on),
        ("PASSED OVER", &over),
        ("not answered", &open),
    ] {
        if !what.is_empty() {
            parts.push(format!("{words}: {what}"));
        }
    }
    parts.join("; ")
}

/// True when the card's current item wants a value or a choice.
fn asks_value(model: &Model) -> bool {
    let card = &model.situation.card;
    model.mode_kind() == ModeKind::Card
        && !model.asks_rest()
        && model
            .item()
            .and_then(|at| card.items.get(at))
            .is_some_and(|item| item.caution.answer != Answer::Done)
}

/// Keys that work now, from the same table as the dispatch.
pub(super) fn hints(model: &Model, area: Rect, pen: &mut Pen<'_>) {
    let mut x = area.x;
    // A way out is named only while one is wanted, behind the first key.
    let kind = model.mode_kind();
    let mut rows = hint_rows(kind);
    if let Some(at) = rows.iter().position(|(cap, _)| *cap == "x") {
        let row = rows.remove(at);
        if model.is_off() {
            rows.insert(1.min(rows.len()), row);
        }
    }
    // `follow` takes nothing over.
    let takes_over = model
        .following
        .as_ref()
        .is_none_or(|held| held.may_take_over);
    rows.retain(|(cap, _)| takes_over || *cap != "ENTER");
    for (cap, table) in rows {
        // On an item that wants a value, space settles nothing.
        if cap == "+" && asks_value(model) {
            continue;
        }
        // What one press settles together asks for no number.
        if cap == "0-9" && model.asks_rest() && model.mode_kind() == ModeKind::Card {
            continue;
        }
        let words = match cap {
            "+" if model.asks_rest() && model.mode_kind() == ModeKind::Card => "all read",
            "+" if kind == ModeKind::Work || kind == ModeKind::Card => {
                next_words(model).unwrap_or(table)
            }
            "0-9" if chooses(model) => "choose an answer",
            _ => table,
        };
        // Two keys that do the same need one hint.
        if cap == "ENTER" && next_words(model) == Some(words) {
            continue;
        }
        let wide = columns(cap) + 2 + 1 + columns(words) + 1;
        if x + wide > area.right() + 1 {
            return;
        }
        let key = format!(" {cap} ");
        x += pen.text(x, area.y, &key, area.right() - x, Meaning::Bar);
        let text = format!(" {words} ");
        x += pen.text(x, area.y, &text, area.right() - x, Meaning::Text);
    }
}
