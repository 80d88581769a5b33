//! The time or the heat beside the target: soak, time out of the fire, oven, fire watch, heat to take.

use super::big_number::Headline;
use super::model::{Model, Tone};
use crate::billet::Kind;
use crate::journal::Fire;
use crate::session::{CountdownKind, FireNumbers};
use crate::units::{Celsius, Seconds, show};

/// Under this a blade that cools in air turns soft before it is quenched, C: plain steels at 1 C/s and more, some
/// 30 C under A1. Common practice, no source.
const QUENCHED: f64 = 690.0;

/// The number beside the target.
pub(super) fn clock(model: &Model) -> Option<Headline> {
    let session = &model.session;
    let counts = session.countdowns(model.now);
    let soonest = |kind| counts.iter().find(|count| count.kind == kind);
    let spent = session.fire_for(model.now);
    match session.piece(model.now) {
        Fire::In => Some(inside(model, spent)),
        Fire::Out => Some(outside(model, spent)),
        Fire::Cold => {
            let oven = soonest(CountdownKind::Oven);
            let watch = soonest(CountdownKind::FireWatch);
            let running = oven.or(watch).map(|count| {
                Headline::running(
                    count.left,
                    count.span.0,
                    format!("{} left", count.name.to_uppercase()),
                    Tone::Plain,
                )
            });
            running.or_else(|| heat_to(model))
        }
    }
}

/// Before the heat: how far to take it, and a steel that would burn.
fn heat_to(model: &Model) -> Option<Headline> {
    let units = model.units();
    if let Some(burns) = model.burns() {
        let limit = units.temperature(burns.limit);
        let label = format!("STAY BELOW {limit}: {} burns", burns.steel);
        return Some(Headline::heat(units, burns.limit, label, Tone::Caution));
    }
    let kind = model.session.current().map(crate::plan::Step::kind);
    if !kind.is_some_and(Kind::is_worked) {
        return None;
    }
    let window = model.session.window()?;
    let eye = &model.plan().shop.eye;
    let colour = eye
        .name(window.high)
        .map_or(String::new(), |name| format!(" to {name}"));
    let label = format!("HEAT{colour}, not above");
    Some(Headline::heat(units, window.high, label, Tone::Plain))
}

/// In the fire: what is left until it is hot through and has soaked.
fn inside(model: &Model, spent: Seconds) -> Headline {
    let burns = model.burns();
    let under = burns.map_or(String::new(), |burns| {
        format!("; STAY BELOW {}", model.units().temperature(burns.limit))
    });
    let tone = if burns.is_some() {
        Tone::Caution
    } else {
        Tone::Plain
    };
    let Some(need) = model.soak() else {
        return Headline::new(show::clock(spent), format!("TIME IN FIRE{under}"), tone);
    };
    let left = Seconds(need.best) - spent;
    if left.0 > 0.0 {
        let label = if burns.is_some() {
            format!("SOAK LEFT est.{under}")
        } else {
            format!(
                "SOAK LEFT (est.) of {}-{} min",
                show::fixed(need.low / 60.0, 0),
                show::fixed(need.high / 60.0, 0)
            )
        };
        return Headline::running(left, need.best, label, tone);
    }
    let done = if burns.is_some() {
        ""
    } else {
        ": TIME IN FIRE"
    };
    let label = format!("SOAK DONE{done}{under}");
    Headline::new(show::clock(spent), label, Tone::Caution)
}

/// Out of the fire: what is left of the working window.
fn outside(model: &Model, spent: Seconds) -> Headline {
    let kind = model.session.current().map(crate::plan::Step::kind);
    let fire = model
        .reckoned
        .as_ref()
        .and_then(|found| found.fire.as_ref());
    let words = match (kind, fire) {
        (Some(Kind::Harden), Some(fire)) if fire.left.best <= 0.0 => {
            let floor = model.units().temperature(fire.floor);
            let label = format!("NO QUENCH YET: back in, to {floor}");
            return Headline::new(show::clock(spent), label, Tone::Stop);
        }
        (Some(Kind::Harden), Some(fire))
            if fire
                .cooling
                .after(spent)
                .is_none_or(|at| at.high < QUENCHED) =>
        {
            let label = format!("TOO COLD to quench: {} now", in_air(model, fire, spent));
            return Headline::new(show::clock(spent), label, Tone::Stop);
        }
        (Some(Kind::Harden), _) => "OUT: quench at once, then temper".to_owned(),
        (Some(Kind::Normalise | Kind::Anneal), Some(fire)) => {
            format!("COOLING {}: out of draughts", in_air(model, fire, spent))
        }
        (Some(Kind::Normalise | Kind::Anneal), None) => "TIME COOLING: out of draughts".to_owned(),
        (_, Some(fire)) => return worked(model, spent, fire),
        (_, None) => "TIME OUT".to_owned(),
    };
    Headline::new(show::clock(spent), words, Tone::Caution)
}

/// What a piece that nothing touches has cooled to.
fn in_air(model: &Model, fire: &FireNumbers, spent: Seconds) -> String {
    cooled(model, fire, fire.cooling.after(spent).map(|at| at.high))
}

/// A temperature that is still falling, or that it lies under what is followed.
fn cooled(model: &Model, fire: &FireNumbers, at: Option<f64>) -> String {
    let units = model.units();
    match at {
        Some(at) => units.about(Celsius(at)),
        None => format!("under {}", units.temperature(fire.cooling.end())),
    }
}

fn worked(model: &Model, spent: Seconds, fire: &FireNumbers) -> Headline {
    let left = Seconds(fire.left.best) - spent;
    let floor = model.units().temperature(fire.floor);
    if left.0 <= 0.0 {
        let label = if fire.left.best > 0.0 {
            let by_now = fire.cooling.after(spent).map(|at| at.best);
            format!("BACK TO THE FIRE: {} now", cooled(model, fire, by_now))
        } else {
            format!("NOT HOT YET: back in, to {floor}")
        };
        return Headline {
            left: Some(0.0),
            ..Headline::new("0:00", label, Tone::Stop)
        };
    }
    if let Some(short) = model.soak_short() {
        let label = format!("SOAK SHORT by ~{}: back in", show::span(short));
        return Headline::running(left, fire.left.best, label, Tone::Caution);
    }
    let label = format!(
        "EST. TIME LEFT ABOVE {floor} ({}-{} s)",
        show::fixed(fire.left.low, 0),
        show::fixed(fire.left.high, 0)
    );
    Headline::running(left, fire.left.best, label, Tone::Caution)
}
