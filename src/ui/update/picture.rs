//! Keys on the pictures.

use super::super::effect::Effect;
use super::super::keys::Action;
use super::super::model::mode::Mode;
use super::super::model::picture::{Seen, Viewing, WAYS_CLOSER};
use super::super::model::section::Section;
use super::super::model::{Model, Tone};
use super::super::msg::Key;
use super::open;
use crate::billet::Stage;
use crate::session::Aspect;

/// Opens on the end grain, now; on the blade once it is forged.
pub(super) fn begin(model: &mut Model) -> Vec<Effect> {
    let forged = model.session.billet.stage >= Stage::Forged;
    let aspect = if forged { Aspect::Blade } else { Aspect::End };
    let viewing = Viewing {
        seen: Seen::Aspect(aspect),
        place: model.session.at,
        closer: 0,
        depth: 0.5,
    };
    open(model, Mode::Picture(viewing))
}

fn viewing(model: &mut Model) -> Option<&mut Viewing> {
    match &mut model.mode {
        Mode::Picture(viewing) => Some(viewing),
        _ => None,
    }
}

/// One step along the plan.
pub(super) fn along(model: &mut Model, later: bool) -> Vec<Effect> {
    let last = model.session.last_place();
    if let Some(viewing) = viewing(model) {
        viewing.place = if later {
            (viewing.place + 1).min(last)
        } else {
            viewing.place.min(last).saturating_sub(1)
        };
    }
    Vec::new()
}

/// Closer by one, or the whole again.
pub(super) fn closer(model: &mut Model) -> Vec<Effect> {
    let pictured = viewing(model).filter(|viewing| matches!(viewing.seen, Seen::Aspect(_)));
    if let Some(viewing) = pictured {
        viewing.closer = (viewing.closer + 1) % WAYS_CLOSER;
    } else {
        model.say(Tone::Plain, "only pictures 1 to 4 can be taken closer");
    }
    Vec::new()
}

/// The next view or the one before; among the layers, the cursor.
pub(super) fn down(model: &mut Model, act: Action, key: Key) -> Vec<Effect> {
    let down = act == Action::Down;
    let Mode::Picture(mut viewing) = model.mode else {
        return Vec::new();
    };
    if viewing.seen == Seen::Layers && key != Key::Tab {
        let place = viewing.place.min(model.session.last_place());
        if let Some(metal) = model.session.metal_at(place)
            && let Some(section) = Section::of(model, place, &metal)
        {
            let tenth = matches!(key, Key::PageUp | Key::PageDown);
            viewing.depth = moved(&section, viewing.depth, down, tenth);
        }
    } else {
        let all = Seen::ALL;
        let at = all.iter().position(|s| *s == viewing.seen).unwrap_or(0);
        let step = if down { 1 } else { all.len() - 1 };
        if let Some(next) = all.get((at + step) % all.len()) {
            viewing.seen = *next;
        }
    }
    model.mode = Mode::Picture(viewing);
    Vec::new()
}

/// The cursor on the middle of the next band, or a tenth of the height on.
fn moved(section: &Section<'_>, depth: f64, down: bool, tenth: bool) -> f64 {
    let height = section.height().0;
    if height <= 0.0 {
        return depth;
    }
    let at = depth.clamp(0.0, 1.0);
    if tenth {
        let on = if down { at - 0.1 } else { at + 0.1 };
        return on.clamp(0.0, 1.0);
    }
    let Some(here) = section.at(section.height() * at) else {
        return at;
    };
    let next = if down {
        section.below(&here, 1)
    } else {
        section.above(&here, 1)
    };
    let to = next.first().unwrap_or(&here);
    0.5 * (to.from.0 + to.to.0) / height
}

/// A digit: which view, or when.
pub(super) fn choose(model: &mut Model, key: Key) -> Vec<Effect> {
    let (now, last) = (model.session.at, model.session.last_place());
    let Key::Char(digit) = key else {
        return Vec::new();
    };
    if digit == '0' {
        return open(model, Mode::Step);
    }
    let view = digit
        .to_digit(10)
        .and_then(|n| Seen::ALL.get((n as usize).checked_sub(1)?));
    if let Some(viewing) = viewing(model) {
        match digit {
            '7' => viewing.place = now,
            '8' => viewing.place = (now + 1).min(last),
            '9' => viewing.place = last,
            _ => {
                if let Some(seen) = view {
                    viewing.seen = *seen;
                }
            }
        }
    }
    Vec::new()
}
