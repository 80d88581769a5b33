//! What time does: both clocks kept, alarms rung, the numbers of a running heat asked for anew.

use super::super::effect::Effect;
use super::super::model::{Model, Tone};
use crate::journal::Fire;
use crate::units::{Seconds, Stamp, show};

/// A wall clock that differs from the steady one by more than this has jumped.
const JUMP: f64 = 90.0;
/// An alarm rings again after so long.
const RING_AGAIN: Seconds = Seconds(20.0);
/// While a heat runs its numbers are worked again after so long.
const REFRESH: Seconds = Seconds(15.0);

/// Asks for the numbers of fire and metal when the job has moved on, and now and then while a heat
/// is running.
pub(super) fn ask_numbers(model: &mut Model, ticked: bool) -> Option<Effect> {
    let seq = model.session.seq;
    let due = match model.asked {
        None => true,
        Some((asked, _)) if asked != seq => true,
        Some((_, at)) => {
            let runs = model.session.piece(model.now) != Fire::Cold;
            ticked && runs && model.now.since(at) >= REFRESH
        }
    };
    if !due || model.session.is_finished() {
        return None;
    }
    model.asked = Some((seq, model.now));
    Some(Effect::Reckon(Box::new(model.session.ask(model.now))))
}

/// Keeps both clocks and says when they part.
pub(super) fn time(model: &mut Model, at: Stamp, mono_ms: u64) {
    if let Some(before) = model.mono_ms {
        #[expect(
            clippy::cast_precision_loss,
            reason = "spans of days in ms are exact in f64"
        )]
        let steady = mono_ms.saturating_sub(before) as f64 / 1000.0;
        let wall = at.since(model.now).0;
        let jump = wall - steady;
        if jump.abs() > JUMP {
            let way = if jump > 0.0 {
                "forward (or the machine slept)"
            } else {
                "back"
            };
            model.put_up(
                "clock",
                Tone::Caution,
                format!(
                    "The clock went {way} by {}. Timers follow the wall clock: check them",
                    show::span(Seconds(jump))
                ),
            );
        }
    }
    model.now = at;
    model.mono_ms = Some(mono_ms);
}

/// Rings for countdowns that are over, again and again until answered.
pub(super) fn ring(model: &mut Model) -> Vec<Effect> {
    let over: Vec<String> = model
        .session
        .countdowns(model.now)
        .into_iter()
        .filter(|count| count.left.0 <= 0.0)
        .map(|count| count.name)
        .collect();
    let mut over = over;
    let soaked = model
        .soak()
        .is_some_and(|need| model.session.fire_for(model.now).0 >= need.best);
    if soaked {
        over.push(format!("soak {}", model.session.heats.len()));
    }
    model.rung.retain(|name, _| over.contains(name));
    let mut bell = false;
    for name in over {
        // Soak and drink are told once; clocks begun by hand ring until answered.
        let again = !name.starts_with("soak") && name != "drink";
        let due = match model.rung.get(&name) {
            None => true,
            Some(last) => again && model.now.since(*last) >= RING_AGAIN,
        };
        if due {
            model.rung.insert(name, model.now);
            bell = true;
        }
    }
    if bell { vec![Effect::Bell] } else { Vec::new() }
}
