//! Readings that the metal speaks against: asked about once before they are taken.

use super::certainty::{Certainty, Seen};
use crate::billet::{Dimension, Kind, Loss};
use crate::session::{Session, make};
use crate::units::{Celsius, Mm3, show};

/// A loss of so many times the usual one is no loss of this shop.
const TIMES: f64 = 3.0;
/// How far readings may be off, in deviations: nine in ten lie within.
const WITHIN: f64 = 1.645;

/// Why a size, read with the others of the step in hand, is worth a second look: metal that has grown, or
/// lost several times what the shop loses.
#[must_use]
pub fn doubt(
    session: &Session,
    what: Dimension,
    cold: f64,
    hot: Option<Celsius>,
) -> Option<String> {
    let step = session.current()?;
    // A first stack is what it is found to be: nothing was known of it but the plan.
    if matches!(step.kind(), Kind::Stack | Kind::Prepare | Kind::Inspect) {
        return None;
    }
    let reading = session.reading_with(what, cold);
    let made = make(&session.plan, step, &session.billet, &reading);
    if !made.losses.iter().any(|loss| loss.measured) || made.drift.is_some() {
        return None;
    }
    let mut at = session.step.hot.clone();
    match hot {
        Some(heat) => at.insert(what, heat),
        None => at.remove(&what),
    };
    let seen = Seen {
        reading: &reading,
        hot: &at,
    };
    let own = seen.volume(&made.billet.bar).unwrap_or(0.0);
    let error = WITHIN * Certainty::now(session).volume.hypot(own);
    let before = session.billet.volume() + (made.billet.ledger.added - session.billet.ledger.added);
    let lost: Mm3 = made.losses.iter().map(|loss| loss.volume).sum();
    let units = session.plan.units;
    if lost.0 < -error * before.0 {
        let after = before - lost;
        return Some(format!(
            "metal does not grow: {} went in, this makes {}; read it again",
            units.volume(before),
            units.volume(after)
        ));
    }
    let usual: Mm3 = session.meant.losses.iter().map(|loss| loss.volume).sum();
    let most = (usual * TIMES).max(usual + before * error);
    // A bar that was meant to be parted has no usual loss beyond its cuts.
    let parted = made.losses.iter().any(|loss| loss.loss == Loss::Rounding);
    if lost > most && !parted {
        let share = |part: Mm3| show::fixed(part / before * 100.0, 0);
        return Some(format!(
            "that is {} % lost where about {} % is usual; read it again",
            share(lost),
            share(usual)
        ));
    }
    None
}
