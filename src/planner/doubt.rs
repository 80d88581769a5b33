//! Readings that the metal speaks against: asked about once before they are taken.

use super::certainty::{Certainty, Seen};
use crate::billet::{Arrange, Dimension, Kind, Loss, Move, whole_pieces};
use crate::session::{Session, Size, make};
use crate::units::{Celsius, Mm, Mm3, show};

/// A loss of so many times the usual one is no loss of this shop.
const TIMES: f64 = 3.0;
/// How far readings may be off, in deviations: nine in ten lie within.
const WITHIN: f64 = 1.645;

/// What a size may be, beside what the volume makes it, before it is taken only where it is said twice. Common
/// practice, no source: a bar drawn to half or twice the size was not drawn by the plan.
const BELIEVED: std::ops::Range<f64> = 0.5..2.0;
/// As near to what the plan wants, the other sizes are the odd ones.
const AS_WANTED: f64 = 0.05;

/// How a size stands to what the other readings of its step leave for it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct OffBy {
    /// Why it is worth a second look.
    pub why: Option<String>,
    /// It is so far off that it is taken only where it is said twice.
    pub far: bool,
}

/// Holds a size against what follows for it.
#[must_use]
pub fn off_by(session: &Session, size: &Size, cold: f64) -> OffBy {
    if size.follows <= 0.0 {
        return OffBy::default();
    }
    let ratio = cold / size.follows;
    OffBy {
        why: short_pile(session, size, cold)
            .or_else(|| doubtful(ratio).map(|why| others(session, size, cold).unwrap_or(why))),
        far: !BELIEVED.contains(&ratio),
    }
}

/// A cold pile as high as fewer of its pieces.
fn short_pile(session: &Session, size: &Size, cold: f64) -> Option<String> {
    let Move::Restack {
        arrange: Arrange::Pile | Arrange::Flipped,
    } = session.current()?.made
    else {
        return None;
    };
    if size.what != Dimension::Thickness {
        return None;
    }
    let pieces = session.billet.pieces;
    let there = whole_pieces(Mm(cold), Mm(size.follows), pieces)?;
    Some(format!(
        "{there} of {pieces} pieces would be so high: count them"
    ))
}

/// A size that is as wanted, beside others that leave no room for it.
fn others(session: &Session, size: &Size, cold: f64) -> Option<String> {
    let as_wanted = size.wanted > 0.0 && (cold / size.wanted - 1.0).abs() < AS_WANTED;
    let units = session.plan.units;
    as_wanted.then(|| {
        format!(
            "what was read before it leaves {}: look at all sizes again",
            size.show(units, size.follows)
        )
    })
}

/// Why a value is worth a second look: out by ten, or far from what volume allows.
fn doubtful(ratio: f64) -> Option<String> {
    if (7.0..=14.0).contains(&ratio) || (1.0 / 14.0..=1.0 / 7.0).contains(&ratio) {
        return Some("out by ten, slipped point?".to_owned());
    }
    if (0.0005..=0.002).contains(&ratio) {
        return Some("out by a thousand: in kilograms? Add the unit, as 1.6kg".to_owned());
    }
    let off = (ratio - 1.0).abs() * 100.0;
    (off > 20.0).then(|| format!("{} % off, read it again", show::trimmed(off, 0)))
}

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
