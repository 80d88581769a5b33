//! Taking back and bringing back.

use super::super::effect::Effect;
use super::super::model::mode::Then;
use super::super::model::{Model, Tone};
use super::write;
use crate::journal::{Entry, Event, Fire};

pub(super) fn undo(model: &mut Model) -> Vec<Effect> {
    let entries = model.session.undo_targets();
    // A decision says more than the plan that came with it.
    let Some(last) = entries.last() else {
        model.say(Tone::Plain, "nothing to take back");
        return Vec::new();
    };
    let words = format!("took back: {}; r brings it back", said(&last.event));
    let undone = |entry: &&Entry| Event::Undone { seq: entry.seq };
    let events = entries.iter().map(undone).collect();
    model.say(Tone::Caution, words);
    write(model, events, Then::ToStep)
}

pub(super) fn redo(model: &mut Model) -> Vec<Effect> {
    let entries = model.session.redo_targets();
    let Some(first) = entries.first() else {
        model.say(Tone::Plain, "nothing to bring back");
        return Vec::new();
    };
    let words = format!("brought back: {}", said(&first.event));
    let redone = |entry: &&Entry| Event::Redone { seq: entry.seq };
    let events = entries.iter().map(redone).collect();
    model.say(Tone::Plain, words);
    write(model, events, Then::ToStep)
}

/// An event in a few words.
#[must_use]
pub fn said(event: &Event) -> String {
    match event {
        Event::Plan { .. } => "the plan edit".to_owned(),
        Event::Caution { how, .. } => format!("an answer on the card ({})", how.words()),
        Event::Cautions { items, .. } => format!("{} answers on the card", items.len()),
        Event::Fire { now, .. } => match now {
            Fire::In => "into the fire".to_owned(),
            Fire::Out => "out of the fire".to_owned(),
            Fire::Cold => "laid down".to_owned(),
        },
        Event::Piece { piece, swapped, .. } if *swapped => format!("the swap for piece {piece}"),
        Event::Piece { piece, .. } => format!("piece {piece} taken up"),
        Event::Timer { name, .. } => format!("clock started ({name})"),
        Event::TimerDone { name, .. } => format!("clock answered ({name})"),
        Event::Measured { what, typed, .. } => format!("{} {typed}", what.word()),
        Event::Unmeasured { what, .. } => format!("{} removed", what.word()),
        Event::TakenUp { step } => format!("another bar taken up ({step})"),
        Event::Recounted { what, .. } => format!("the count ({what})"),
        Event::Done { step } => format!("step {step} done"),
        Event::Note { .. } => "a note".to_owned(),
        Event::Drank => "water drunk".to_owned(),
        Event::WatchBegan { .. } => "fire watch started".to_owned(),
        Event::Decided { what, .. } => what.clone(),
        Event::Kept { spare, .. } => format!(
            "{} kept on the shelf",
            crate::units::show::counted(spare.pieces, "piece")
        ),
        Event::Earlier { of, .. } => format!("{} (entered later)", said(of)),
        Event::Opened { .. } => "opened".to_owned(),
        Event::Closed => "closed".to_owned(),
        Event::LegalRead => "words read".to_owned(),
        Event::Undone { .. } => "undo".to_owned(),
        Event::Redone { .. } => "redo".to_owned(),
    }
}
