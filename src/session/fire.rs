//! Where the piece is, what its heats were, and what a break in the work means for it.

use super::timers::COLD_AFTER;
use super::{HeatLog, Session};
use crate::journal::Fire;
use crate::units::{Seconds, Stamp};

/// After so long a break the killer items of the step in hand are asked again.
const RECHECK_AFTER: Seconds = Seconds(3600.0);
/// After so long a break the daily items are due again.
const NEW_DAY_AFTER: Seconds = Seconds(4.0 * 3600.0);

impl Session {
    pub(super) fn end_timer(&mut self, name: &str) {
        if name == "fire watch" {
            self.watch = None;
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
            self.new_day();
            self.place_daily();
        }
    }

    pub(super) fn lay_down(&mut self, at: Stamp) {
        if self.fire.0 != Fire::Cold {
            self.fire = (Fire::Cold, at);
            if let Some(heat) = self.heats.last_mut() {
                heat.ended = heat.ended.or(self.last);
            }
        }
    }

    pub(super) fn move_piece(&mut self, now: Fire, at: Stamp) {
        let (was, since) = self.fire;
        let Some(step) = self.current().map(|step| step.id.clone()) else {
            return;
        };
        if let Some(heat) = self.heats.last_mut() {
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
        }
        self.fire = (now, at);
    }
}
