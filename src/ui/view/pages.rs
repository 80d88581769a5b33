//! Pages to read: keys, steps, balance, card, changes.

use ratatui::layout::Rect;

use super::ahead;
use super::card::{mark, state};
use super::pen::{Pen, columns as columns_of, wrap};
use crate::billet::{Billet, Loss, Move, SteelId};
use crate::ui::keys::bindings;
use crate::ui::model::Model;
use crate::ui::model::mode::Page;
use crate::ui::theme::Meaning;
use crate::units::{Fraction, show};

fn text(model: &Model, page: &Page) -> (&'static str, Vec<(Meaning, String)>) {
    let (title, lines) = match page {
        Page::Keys => ("KEYS", keys(model)),
        Page::Steps => ("STEPS", steps(model)),
        Page::Bars => ("THE BARS", bars(model)),
        Page::Shelf => ("LEFT OVER, FOR THE SHELF", super::shelf::lines(model)),
        Page::Losses => ("BALANCE: WHERE THE METAL WENT", balance(model)),
        Page::Card => ("THE CARD", card(model)),
        Page::Changes(lines) => {
            let mut all = vec![(
                Meaning::Text,
                "The plan changed. In the steps to come:".to_owned(),
            )];
            all.extend(lines.iter().map(|line| (Meaning::Now, format!("  {line}"))));
            ("PLAN CHANGED", all)
        }
        Page::Numbers => ("FIRE AND METAL", super::numbers::page(model)),
        Page::Forecast => ("FORECAST", ahead::forecast(model)),
        Page::Changed => ("WHAT THE LAST READING CHANGED", ahead::changed(model)),
        Page::WaysOut => ("WAYS OUT", ahead::ways_out(model)),
        Page::Doubt => ("THE COUNT IN DOUBT", super::doubt::page(model)),
        Page::Shop { from } => ("YOUR SHOP", ahead::shop(model, *from)),
        Page::Topic(topic) => ("YOUR SHOP", ahead::topic(model, *topic)),
    };
    (title, lines)
}

/// The rows of a page in a window of so many columns.
pub(in crate::ui) fn rows(model: &Model, page: &Page, columns: u16) -> Vec<(Meaning, String)> {
    let inside = columns.saturating_sub(4);
    let (_, lines) = text(model, page);
    lines
        .into_iter()
        .flat_map(|(meaning, line)| {
            // Tables keep their columns; only what is too long is broken.
            let parts = if columns_of(&line) <= inside {
                vec![line]
            } else {
                let indent: String = line.chars().take_while(|c| *c == ' ').collect();
                let wide = inside.saturating_sub(columns_of(&indent));
                wrap(&line, wide)
                    .into_iter()
                    .map(|part| format!("{indent}{part}"))
                    .collect()
            };
            parts.into_iter().map(move |part| (meaning, part))
        })
        .collect()
}

pub(super) fn draw(model: &Model, page: &Page, top: usize, area: Rect, pen: &mut Pen<'_>) {
    let (title, _) = text(model, page);
    let rows = rows(model, page, area.width);
    let inside = pen.panel(area, title, Meaning::Head);
    let room = usize::from(inside.height.saturating_sub(1));
    let top = top.min(rows.len().saturating_sub(room));
    for (row, (meaning, line)) in (0u16..).zip(rows.iter().skip(top).take(room)) {
        pen.line(inside, row, line, *meaning);
    }
    let foot = inside.height.saturating_sub(1);
    let more = match (rows.len() > top + room, top > 0) {
        (true, true) => "/ on, * back, ",
        (true, false) => "/ for more, ",
        (false, true) => "* back, ",
        (false, false) => "",
    };
    pen.line(inside, foot, &format!("{more}+ or - closes"), Meaning::Now);
}

fn keys(model: &Model) -> Vec<(Meaning, String)> {
    let mut out = vec![(
        Meaning::Text,
        "The number pad alone does everything. A held key acts once. Nothing is lost: - takes back, r brings back.".to_owned(),
    )];
    let mut seen = std::collections::BTreeSet::new();
    for row in bindings() {
        if seen.insert(row.words) {
            out.push((Meaning::Text, format!("{:<10} {}", row.cap, row.words)));
        }
    }
    let dot = model.settings.glyphs.dot();
    out.push((Meaning::Head, format!("Card marks: ! must be answered {dot} x answered {dot} ~ put off {dot} # passed over {dot} ? answer again")));
    out.push((
        Meaning::Head,
        "A size with ~ before it follows from volume: an estimate.".to_owned(),
    ));
    out
}

fn size(model: &Model, billet: &Billet) -> String {
    format!(
        "{} x {}  {}",
        billet.pieces,
        billet.outside(model.units()),
        billet.counts_text()
    )
}

fn steps(model: &Model) -> Vec<(Meaning, String)> {
    let session = &model.session;
    let day = model.situation.day.map(|day| day.text(session.offset));
    let mut out: Vec<_> = day
        .map(|day| (Meaning::Measured, day))
        .into_iter()
        .collect();
    let bars = session.bars();
    out.extend(bars.iter().map(|bar| (Meaning::Measured, bar.text())));
    for (at, step) in session.plan.steps.iter().enumerate() {
        let (mark, meaning, billet) = match at.cmp(&session.at) {
            std::cmp::Ordering::Less => (
                'x',
                Meaning::Done,
                session.done.get(at).map(|done| &done.made.billet),
            ),
            std::cmp::Ordering::Equal => (
                model.settings.glyphs.pointer(),
                Meaning::Now,
                session.after_step(),
            ),
            std::cmp::Ordering::Greater => {
                let row = session.ahead.rows.get(at - session.at);
                (' ', Meaning::Text, row.map(|row| &row.billet))
            }
        };
        let about = if at < session.at { "" } else { "~ " };
        let size = billet.map_or_else(String::new, |billet| size(model, billet));
        let when = session.done.get(at).map_or_else(String::new, |done| {
            format!("  {}", show::wall(done.ended, session.offset))
        });
        out.push((
            meaning,
            format!(
                "{mark} {:>2} day {} {:<22} {about}{size}{when}",
                at + 1,
                step.day,
                step.name()
            ),
        ));
        if step.made == Move::Prepare {
            let cut = session.plan.cut_list_of(step);
            let lines = cut.iter().map(|line| line.text(model.units()));
            out.extend(lines.map(|line| (meaning, format!("     cut {line}"))));
        }
    }
    out
}

fn bars(model: &Model) -> Vec<(Meaning, String)> {
    let all = model.session.bars();
    if all.is_empty() {
        return vec![(Meaning::Text, "This plan has one bar.".to_owned())];
    }
    let mut out: Vec<_> = all
        .iter()
        .map(|bar| (Meaning::Measured, bar.text()))
        .collect();
    let others = model.session.may_turn_to();
    let others = others
        .zip(1..)
        .map(|(step, at)| format!("{at}  {}", step.name()));
    let others: Vec<String> = others.collect();
    out.push((Meaning::Text, String::new()));
    out.push((
        Meaning::Head,
        if others.is_empty() {
            "No other bar can be worked before this step is done.".to_owned()
        } else {
            "Work first, by its number; this step waits as it is:".to_owned()
        },
    ));
    out.extend(others.into_iter().map(|line| (Meaning::Now, line)));
    out
}

fn balance(model: &Model) -> Vec<(Meaning, String)> {
    let session = &model.session;
    let units = model.units();
    let billet = session.metal();
    let ledger = billet.balance();
    let whole = ledger.start + ledger.added;
    let share = |part: crate::units::Mm3| {
        if whole.is_positive() {
            show::percent(Fraction(part / whole), 1)
        } else {
            String::new()
        }
    };
    let mut out = Vec::new();
    let mut first = "first stack";
    if session.plan.bars.len() > 1 {
        let text = "All bars of the plan together; the work screen counts the bar in hand.";
        out.push((Meaning::Text, text.to_owned()));
        first = "first stacks";
    }
    out.push((
        Meaning::Text,
        format!("{first:<16} {:>10}", units.volume(ledger.start)),
    ));
    if ledger.added.is_positive() {
        out.push((
            Meaning::Text,
            format!("{:<16} {:>10}", "added (frame)", units.volume(ledger.added)),
        ));
    }
    for loss in Loss::ALL {
        let total = ledger.total(loss);
        if total.0.abs() > 0.5 {
            let read = ledger
                .losses
                .iter()
                .filter(|e| e.loss == loss && e.measured)
                .count();
            let how = if read > 0 {
                format!("  {read} measured")
            } else {
                "  allowance".to_owned()
            };
            out.push((
                Meaning::Text,
                format!(
                    "- {:<14} {:>10}  {:>7}{how}",
                    loss.word(),
                    units.volume(total),
                    share(total)
                ),
            ));
        }
    }
    out.push((
        Meaning::Now,
        format!(
            "in hand          {:>10}  {:>7}  {}",
            units.volume(billet.volume()),
            share(billet.volume()),
            units.mass(billet.mass())
        ),
    ));
    if billet.stock_volume().is_positive() {
        out.push((
            Meaning::Text,
            format!(
                "kept aside       {:>10}",
                units.volume(billet.stock_volume())
            ),
        ));
        for cut in &billet.stock {
            let bar = &cut.bar;
            out.push((
                Meaning::Text,
                format!(
                    "  {} x {}",
                    cut.pieces,
                    units.size(bar.width, bar.thickness, bar.length)
                ),
            ));
        }
    }
    out.push((Meaning::Text, String::new()));
    for (at, steel) in billet.steels.iter().enumerate() {
        let volume = billet.volume_of(SteelId::from_index(at)) * f64::from(billet.pieces);
        if volume.is_positive() {
            out.push((
                Meaning::Text,
                format!(
                    "{} {:<14} {}",
                    steel.letter,
                    steel.name,
                    units.mass(volume.mass(steel.density))
                ),
            ));
        }
    }
    let layers = &billet.bar.core.layers;
    out.push((Meaning::Text, String::new()));
    out.push((Meaning::Text, size(model, billet)));
    out.push((
        Meaning::Text,
        format!(
            "band: mean {}, thinnest {}, thickest {}",
            units.fine(billet.mean_band()),
            units.fine(layers.thinnest()),
            units.fine(layers.thickest())
        ),
    ));
    out.push((
        Meaning::Text,
        format!(
            "each first layer is at {} of its thickness",
            show::percent(Fraction(billet.thinned), 2)
        ),
    ));
    if (billet.count_factor - 1.0).abs() > 1e-9 {
        out.push((
            Meaning::Measured,
            "bands are corrected by a count on an etched end".to_owned(),
        ));
    }
    out
}

fn card(model: &Model) -> Vec<(Meaning, String)> {
    let card = &model.situation.card;
    let mut out = Vec::new();
    for (at, item) in card.items.iter().enumerate() {
        let meaning = if item.blocks() {
            Meaning::Caution
        } else {
            Meaning::Text
        };
        out.push((
            meaning,
            format!("{} {} {}", at + 1, mark(item), item.caution.text),
        ));
        let state = state(item);
        if !state.is_empty() {
            out.push((Meaning::Measured, format!("     {state}")));
        }
        out.push((
            Meaning::Text,
            format!("     source: {}", item.caution.source),
        ));
    }
    if card.items.is_empty() {
        out.push((
            Meaning::Text,
            "This step has no cautions of its own.".to_owned(),
        ));
    }
    let owed = &model.session.owed;
    if !owed.is_empty() {
        out.push((
            Meaning::Head,
            "Owed from this and earlier steps:".to_owned(),
        ));
        let lines = owed.iter().map(|owed| format!("  {}", owed.text()));
        out.extend(lines.map(|line| (Meaning::Caution, line)));
    }
    out.push((Meaning::Text, String::new()));
    for part in crate::plan::legal()
        .split('\n')
        .filter(|part| !part.is_empty())
    {
        out.push((Meaning::Text, part.to_owned()));
    }
    out
}
