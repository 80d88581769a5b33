//! The job by day, and everything that was written down: readings, cards, notes, decisions.

use maud::{Markup, html};

use super::shown::Page;
use super::sizes::capital;
use crate::plan::report::html::table;
use crate::session::{Done, Note, ReadingData, StepData};
use crate::units::{Celsius, Grams, Mm, Seconds, Units, show};

/// The steps done, day by day.
pub(super) fn days(page: &Page<'_>) -> Markup {
    let mut days: Vec<u32> = page.done_steps().map(|(data, _)| data.day).collect();
    days.dedup();
    html! {
        @if days.is_empty() { p { "Nothing has been done yet." } }
        @for day in days {
            h3 { "Day " (day) @if let Some(date) = dates(page, day) { ", " (date) } }
            div.days { @for (data, done) in page.done_steps().filter(|(data, _)| data.day == day) { (step(page, data, done)) } }
        }
    }
}

/// `2026-03-02`, or `2026-03-02 to 2026-03-03` for a day of the plan that took two.
fn dates(page: &Page<'_>, day: u32) -> Option<String> {
    let own = || page.done_steps().filter(|(data, _)| data.day == day);
    let date = |at: &Option<String>| Some(page.local(at.as_ref()?).get(..10)?.to_owned());
    let first = own().find_map(|(data, _)| date(&data.began))?;
    let last = own().filter_map(|(data, _)| date(&data.ended)).last()?;
    Some(if first == last {
        first
    } else {
        format!("{first} to {last}")
    })
}

fn step(page: &Page<'_>, data: &StepData, done: &Done) -> Markup {
    let session = page.session;
    let units = session.plan.units;
    let span = match (&data.began, &data.ended) {
        (Some(began), Some(ended)) => format!("{} to {}", page.clock(began), page.clock(ended)),
        _ => String::new(),
    };
    let inside: f64 = page
        .account
        .record
        .heats
        .iter()
        .filter(|heat| heat.number == data.number)
        .map(|heat| heat.inside_s)
        .sum();
    let heats = (data.heats > 0).then(|| {
        format!(
            "; {} ({} planned), {} in the fire",
            show::counted(data.heats, "heat"),
            data.heats_planned,
            show::span(Seconds(inside))
        )
    });
    let readings: Vec<String> = page
        .account
        .record
        .readings
        .iter()
        .filter(|one| one.number == data.number)
        .map(|one| read(units, one))
        .collect();
    let lost = crate::session::losses_words(units, done);
    let after = crate::session::size_words(units, &done.made.billet);
    let last = data
        .number
        .checked_sub(2)
        .and_then(|at| session.done.get(at));
    let before = last.map(|last| crate::session::size_words(units, &last.made.billet));
    let own = |note: &&Note| note.step == done.step.id;
    html! {
        div.whole {
            h4 { (data.number) ". " (data.title) }
            p.soft { (span) @if let Some(heats) = heats { (heats) } }
            @if !readings.is_empty() { p { "Read: " (readings.join("; ")) "." } }
            @if before.as_ref() != Some(&after) { p { "After it: " (after) @if readings.is_empty() { ", nothing read" } "." } }
            @if !lost.is_empty() { p { "Lost: " (lost.join("; ")) "." } }
            @if let Some(drift) = &data.not_as_planned { p { strong { "Not as planned: " } (drift) } }
            @for note in session.notes.iter().filter(own) { p { strong { "Note: " } (note.text) } }
            @for taken in session.decisions.iter().filter(own) { p { strong { "Decided: " } (taken.text) } }
        }
    }
}

/// A value of a dimension by its word, with its unit.
fn value(units: Units, what: &str, cold: f64) -> String {
    match what {
        "mass" => units.mass(Grams(cold)),
        "bands" => show::trimmed(cold, 0),
        _ => units.length(Mm(cold)),
    }
}

/// `thickness 14.2 mm (wanted 14 mm), read hot at 900 C`.
fn read(units: Units, one: &ReadingData) -> String {
    let wanted = one.wanted.map_or_else(String::new, |wanted| {
        let off = value(units, one.what, (one.cold - wanted).abs());
        let sign = if one.cold < wanted { "-" } else { "+" };
        let off = match off.starts_with("0 ") || off == "0" {
            true => String::new(),
            false => format!(", {sign}{off}"),
        };
        format!(" (wanted {}{off})", value(units, one.what, wanted))
    });
    let hot = one.hot_c.map_or_else(String::new, |at| {
        format!(", read hot at {}", units.temperature(Celsius(at)))
    });
    format!(
        "{} {}{wanted}{hot}",
        one.what,
        value(units, one.what, one.cold)
    )
}

/// Every reading.
pub(super) fn readings(page: &Page<'_>) -> Markup {
    let units = page.session.plan.units;
    let all = &page.account.record.readings;
    if all.is_empty() {
        return html! { p { "Nothing was read: sizes are as the plan expects them." } };
    }
    let rows: Vec<Vec<String>> = all
        .iter()
        .map(|one| {
            vec![
                match &one.entered {
                    Some(entered) => {
                        format!("{}, entered {}", page.local(&one.time), page.local(entered))
                    }
                    None => page.local(&one.time),
                },
                format!("{}. {}", one.number, one.step),
                one.what.to_owned(),
                one.wanted
                    .map_or_else(|| "-".to_owned(), |w| value(units, one.what, w)),
                value(units, one.what, one.cold),
                one.typed.clone(),
                match one.hot_c {
                    Some(at) => format!("hot, {}", units.temperature(Celsius(at))),
                    None => "cold".to_owned(),
                },
            ]
        })
        .collect();
    let head = [
        "time",
        "step",
        "what",
        "wanted",
        "read, cold",
        "as typed",
        "hot or cold",
    ];
    table("All readings, of one piece", &head, &rows)
}

/// What was passed over or put off, and why; then every answer.
pub(super) fn cards(page: &Page<'_>) -> Markup {
    let mut open = Vec::new();
    let mut answered = Vec::new();
    for (data, done) in page.done_steps() {
        for card in &data.card {
            let place = format!("{}. {}", data.number, data.title);
            let text = done.item_words(&card.item);
            if card.settled == "answered" {
                let answer = if card.words.is_empty() {
                    "done"
                } else {
                    &card.words
                };
                answered.push(vec![place, text, answer.to_owned()]);
            } else {
                open.push(vec![
                    place,
                    text,
                    card.settled.to_owned(),
                    card.words.clone(),
                ]);
            }
        }
    }
    let owed = &page.account.record.owed;
    html! {
        h3 { "Passed over or put off" }
        @if open.is_empty() {
            p { "Nothing was passed over or put off." }
        } @else {
            (table("Items of the card that were not done when they were asked", &["step", "item", "how", "why"], &open))
            p { (match owed.len() {
                0 => "None of it is owed any more.".to_owned(),
                many => format!("Still owed at the end of this record: {many}."),
            }) }
        }
        h3 { "Answers" }
        @if answered.is_empty() {
            p { "No item of a card has been answered yet." }
        } @else {
            p { (capital(&show::counted(answered.len(), "item"))) " of the cards answered when asked." }
            details {
                summary { "Table: answers by step" }
                (table("Answers by step", &["step", "item", "answer"], &answered))
            }
        }
    }
}

/// Notes, and decisions with the ways that were taken.
pub(super) fn notes(page: &Page<'_>) -> Markup {
    let record = &page.account.record;
    let list = |all: &[crate::session::NoteData], none: &str| {
        html! {
            @if all.is_empty() { p { (none) } } @else {
                ul { @for one in all { li { (page.local(&one.time)) ", " (one.step) ": " (one.text) } } }
            }
        }
    };
    let edits = match record.plan_edits {
        0 => "the plan was not changed".to_owned(),
        many => format!(
            "{} of the plan taken while it was worked",
            show::counted(many, "new text")
        ),
    };
    html! {
        h3 { "Notes" }
        (list(&record.notes, "No notes."))
        h3 { "Decisions and ways taken" }
        (list(&record.decisions, "No decision was asked for."))
        p { (capital(&edits)) "; entries taken back: " (record.entries_undone) "." }
        @if !record.entered_later.is_empty() {
            h3 { "Entered later" }
            ul { @for late in &record.entered_later { li {
                (capital(&late.words)) ", of " (page.local(&late.time)) ", on " (page.local(&late.entered))
            } } }
        }
        @for jump in &record.clock_went_back {
            p { "The clock went back by " (show::span(Seconds(jump.back_s))) " at entry " (jump.entry) "." }
        }
    }
}
