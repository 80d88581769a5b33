//! Countdowns, all from wall-clock stamps in the journal, so that they outlive a restart.

use super::Session;
use crate::journal::Fire;
use crate::units::{Seconds, Stamp};

/// Drink one cup each so long in hot work (NIOSH publication 2017-126: each 15 to 20 minutes).
pub(crate) const DRINK_EVERY: Seconds = Seconds(20.0 * 60.0);

/// A piece out of the fire for so long is taken as cold.
pub(crate) const COLD_AFTER: Seconds = Seconds(30.0 * 60.0);

/// The name of the fire watch among the clocks, as journals hold it.
pub(crate) const FIRE_WATCH: &str = "fire watch";

/// What a countdown is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CountdownKind {
    /// A temper cycle or the like, begun by hand.
    Oven,
    /// Staying to look for smoulder.
    FireWatch,
    /// The next drink.
    Drink,
}

/// One running countdown.
#[derive(Debug, Clone, PartialEq)]
pub struct Countdown {
    /// What it is for.
    pub kind: CountdownKind,
    /// Its name on the screen.
    pub name: String,
    /// When it began.
    pub began: Stamp,
    /// How long it lasts.
    pub span: Seconds,
    /// Left at the time asked for; negative when it is over.
    pub left: Seconds,
}

/// How a piece lies that has lain so since then.
pub(super) fn lies((fire, since): (Fire, Stamp), now: Stamp) -> Fire {
    match fire {
        Fire::Out if now.since(since) > COLD_AFTER => Fire::Cold,
        other => other,
    }
}

impl Session {
    /// Seconds in the present fire state.
    #[must_use]
    pub fn fire_for(&self, now: Stamp) -> Seconds {
        now.since(self.fire.1).max(Seconds::ZERO)
    }

    /// Where the piece is at `now`: what lies out of the fire for half an hour is no longer hot.
    #[must_use]
    pub fn piece(&self, now: Stamp) -> Fire {
        lies(self.fire, now)
    }

    /// Every countdown that runs at `now`, nearest end first.
    #[must_use]
    pub fn countdowns(&self, now: Stamp) -> Vec<Countdown> {
        let mut out = Vec::new();
        let mut push = |kind, name: &str, began: Stamp, span: Seconds| {
            let left = span - now.since(began);
            out.push(Countdown {
                kind,
                name: name.to_owned(),
                began,
                span,
                left,
            });
        };
        for (name, began, span, answered) in &self.step.timers {
            if !answered {
                push(CountdownKind::Oven, name, *began, *span);
            }
        }
        if let Some((began, span)) = self.watch {
            push(CountdownKind::FireWatch, FIRE_WATCH, began, span);
        }
        if let Some(drank) = self.drank {
            push(CountdownKind::Drink, "drink", drank, DRINK_EVERY);
        }
        out.sort_by(|a, b| a.left.0.total_cmp(&b.left.0));
        out
    }

    /// True while anything on the screen counts time.
    #[must_use]
    pub fn is_timing(&self) -> bool {
        self.fire.0 != Fire::Cold
            || self.aside.values().any(|other| other.fire.0 != Fire::Cold)
            || self.laid_by.values().any(|bar| bar.fire.0 != Fire::Cold)
            || self.watch.is_some()
            || self.drank.is_some()
            || self.step.timers.iter().any(|(_, _, _, answered)| !answered)
    }

    /// Total time in the fire over the whole job up to `now`.
    #[must_use]
    pub fn in_fire(&self, now: Stamp) -> Seconds {
        self.heats
            .iter()
            .map(|heat| heat.out.unwrap_or(now).since(heat.into))
            .sum()
    }
}
