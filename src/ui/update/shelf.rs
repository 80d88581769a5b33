//! What the job leaves over, and the shelf that it goes on.

use super::super::effect::Effect;
use super::super::model::mode::Then;
use super::super::model::{Model, Tone};
use super::write;
use crate::journal::Event;
use crate::units::show;

/// Keeps the pieces of that line.
pub(super) fn keep(model: &mut Model, at: usize) -> Vec<Effect> {
    let spare = model.session.left_over().into_iter().nth(at);
    let steps = &model.session.plan.steps;
    let step = model.session.current().or(steps.last());
    let (Some(spare), Some(step)) = (spare, step.map(|step| step.id.clone())) else {
        model.say(Tone::Plain, "nothing has that number");
        return Vec::new();
    };
    let spare = Box::new(spare);
    write(model, vec![Event::Kept { step, spare }], Then::Show)
}

/// Tells the shelf of what the job has kept and what its plan takes, where that is new.
pub(super) fn tell(model: &mut Model) -> Option<Effect> {
    if model.following.is_some() || model.shelf.seen == Some(model.session.seq) {
        return None;
    }
    model.shelf.seen = Some(model.session.seq);
    let side = model.session.shelf_side();
    if model.shelf.told.as_ref() == Some(&side) {
        return None;
    }
    let before = model.shelf.told.replace(side.clone());
    let idle = |side: &crate::session::ShelfSide| side.kept.is_empty() && side.takes.is_empty();
    // A job that has nothing to do with the shelf does not touch it.
    let concerned = !idle(&side) || before.is_some_and(|before| !idle(&before));
    concerned.then(|| Effect::Shelve(Box::new(side)))
}

/// What came of it.
pub(super) fn told(model: &mut Model, found: Result<Vec<String>, String>) {
    match found {
        Ok(said) => {
            model.take_down("shelf");
            if !said.is_empty() {
                model.say(Tone::Plain, said.join("; "));
            }
            model.shelf.said = said;
        }
        Err(why) => {
            // The next entry tries again.
            model.shelf.told = None;
            model.put_up("shelf", Tone::Caution, format!("THE SHELF: {why}"));
        }
    }
}

/// Says that a step that was just done has left something over.
pub(super) fn left(model: &mut Model, before: usize) {
    let left: u32 = model
        .session
        .left_over()
        .iter()
        .skip(before)
        .map(|spare| spare.pieces)
        .sum();
    if left > 0 && model.reply.is_none() && !model.session.is_finished() {
        let pieces = show::counted(left, "piece");
        model.say(
            Tone::Plain,
            format!("{pieces} left over: k, or * 0 0 3, keeps it on the shelf"),
        );
    }
}
