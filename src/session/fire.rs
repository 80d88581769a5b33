//! Where the piece is, what its heats were, and what a break in the work means for it.

use std::sync::Arc;

use super::timers::{COLD_AFTER, FIRE_WATCH};
use super::{HeatLog, Session};
use crate::journal::Fire;
use crate::units::{Seconds, Stamp};

/// After so long a break the killer items of the step in hand are asked again.
const RECHECK_AFTER: Seconds = Seconds(3600.0);
/// After so long a break the daily items are due again.
const NEW_DAY_AFTER: Seconds = Seconds(4.0 * 3600.0);

/// After so long away nothing of the card is taken as read before.
const WEEKS_AWAY: Seconds = Seconds(14.0 * 86_400.0);

impl Session {
    /// A clock that was answered. The fire watch ends only when it has run out.
    pub(super) fn end_timer(&mut self, name: &str, at: Stamp) {
        if name == FIRE_WATCH
            && let Some((began, span)) = self.watch
            && at.since(began) >= span
        {
            self.watch = None;
            self.watch_is_kept(span);
        }
        for timer in self.step.timers.iter_mut().filter(|timer| timer.0 == name) {
            timer.3 = true;
        }
    }

    pub(super) fn open(&mut self, at: Stamp, before: Option<Stamp>, offset: i32) {
        self.offset = offset;
        let away = before.map(|last| at.since(last));
        self.left_as = self.fire.0;
        self.opened = Some((at, away));
        let Some(away) = away else { return };
        if away >= RECHECK_AFTER {
            self.step.recheck = self
                .card()
                .items
                .iter()
                .filter(|item| item.caution.killer && !item.is_open())
                .map(|item| item.caution.id.clone())
                .collect();
            self.drank = None;
            self.lay_down(at);
        }
        if away >= NEW_DAY_AFTER {
            self.watch_missed = self.lit && self.watch.is_none() && self.watched.is_none();
            self.new_day();
            if away >= WEEKS_AWAY {
                self.held.clear();
            }
            self.place_daily();
        }
    }

    /// All bars lie cold.
    pub(super) fn lay_down(&mut self, at: Stamp) {
        self.lay_by_cold(at);
        self.lay_own(at);
    }

    /// The pieces of the bar in hand lie cold.
    pub(super) fn lay_own(&mut self, at: Stamp) {
        for other in self.aside.values_mut() {
            other.fire = (Fire::Cold, at);
        }
        if self.fire.0 != Fire::Cold {
            self.fire = (Fire::Cold, at);
            let (piece, last) = (self.numbered(), self.last);
            if let Some(heat) = self.last_heat(piece) {
                heat.ended = heat.ended.or(last);
            }
        }
    }

    /// The newest trip of a piece.
    pub(super) fn last_heat(&mut self, piece: u32) -> Option<&mut HeatLog> {
        let bar = &self.billet.name;
        self.heats
            .last_where(|heat| heat.bar == *bar && (heat.piece == piece || heat.piece == 0))
    }

    pub(super) fn move_piece(&mut self, now: Fire, at: Stamp) {
        let (was, since) = self.fire;
        let piece = self.numbered();
        let Some(step) = self.current().map(|step| step.id.clone()) else {
            return;
        };
        if let Some(heat) = self.last_heat(piece) {
            match (was, now) {
                (Fire::In, Fire::Out | Fire::Cold) => heat.out = Some(at),
                (Fire::Out, Fire::In | Fire::Cold) => heat.ended = Some(at),
                _ => {}
            }
        }
        if was == Fire::In && now == Fire::Out {
            self.step.heats += 1;
        }
        if now == Fire::In && was != Fire::In {
            let meant = self.heating();
            let bar = &self.billet.bar;
            self.heats.push(HeatLog {
                step,
                bar: Arc::clone(&self.billet.name),
                piece,
                section: (bar.width, bar.thickness),
                from_cold: was == Fire::Cold || at.since(since) > COLD_AFTER,
                floor: meant.floor,
                top: meant.top,
                furnace: meant.furnace,
                into: at,
                out: None,
                ended: None,
            });
            self.drank = self.drank.or(Some(at));
            // New fire, new watch.
            self.lit = true;
            self.watch = None;
            self.watched = None;
        }
        self.fire = (now, at);
    }
}
