//! The count in doubt: what is sure, and the way that is taken.

use super::super::choices::{asks, ways};
use super::super::effect::Effect;
use super::super::model::mode::{Mode, Page, Then};
use super::super::model::{Model, Tone};
use super::{page, write};
use crate::journal::Event;
use crate::session::{Recount, Sure};
use crate::units::show;

/// Opens the page, with nothing answered yet.
pub(super) fn begin(model: &mut Model) -> Vec<Effect> {
    if model.session.restacks_done().is_empty() {
        model.say(
            Tone::Plain,
            "no restack of three pieces or more was made: there is no other way to count; count an end at an inspect step",
        );
        model.mode = Mode::Step;
        return Vec::new();
    }
    model.sure = Sure::default();
    page(model, Page::Doubt)
}

/// A line of the page by its place: something sure or not, or a way taken.
pub(super) fn choose(model: &mut Model, at: usize) -> Vec<Effect> {
    let asked = asks(model).len();
    if at < asked {
        turn(model, at);
        return Vec::new();
    }
    let ways: Vec<Recount> = ways(model)
        .into_iter()
        .filter(|way| !way.pieces.is_empty())
        .collect();
    let (Some(way), Some(step)) = (ways.get(at - asked), model.session.current()) else {
        model.say(Tone::Plain, "no line has that number");
        return Vec::new();
    };
    let what = format!(
        "{}: {} nominal, {} bands",
        way.words,
        show::count(way.nominal),
        show::count(way.bands)
    );
    let event = Event::Recounted {
        step: step.id.clone(),
        pieces: way.pieces.clone(),
        what: what.clone(),
    };
    model.say(Tone::Caution, format!("taken: {what}; - takes it back"));
    write(model, vec![event], Then::ToStep)
}

fn turn(model: &mut Model, at: usize) {
    match at {
        0 => model.sure.sizes = !model.sure.sizes,
        1 => model.sure.count = !model.sure.count,
        _ => {
            let all = model.session.restacks_done();
            let Some(one) = all.iter().rev().nth(at - 2) else {
                return;
            };
            let held = &mut model.sure.restacks;
            match held.iter().position(|step| *step == one.step) {
                Some(place) => {
                    held.remove(place);
                }
                None => held.push(one.step.clone()),
            }
        }
    }
}
