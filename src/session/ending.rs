//! What a step still lacks when the smith says that it is done.

use super::{CountdownKind, HeatLog, Session};
use crate::billet::Move;
use crate::plan::Step;
use crate::units::{Seconds, Stamp, show};

impl Session {
    /// Time to hold at heat in the step in hand; for a temper or an etch one cycle.
    #[must_use]
    pub fn soak(&self) -> Option<Seconds> {
        self.current().and_then(Step::hold)
    }

    /// Clocks of the step in hand that ran to their end.
    #[must_use]
    pub fn clocks_kept(&self) -> usize {
        let timers = &self.step.timers;
        timers
            .iter()
            .filter(|(_, _, _, answered)| *answered)
            .count()
    }

    /// What is left of the work of the step in hand, of one: heats or clocks that are still to come. Other work
    /// is done once its sizes are read.
    #[must_use]
    pub fn work_left(&self) -> f64 {
        let Some(step) = self.current() else {
            return 0.0;
        };
        let (done, wanted) = match step.made {
            Move::Temper { cycles } => (self.clocks_kept(), cycles as usize),
            Move::Normalise { cycles, .. } => (self.step.heats as usize, cycles as usize),
            _ if step.kind().is_hot() => (self.step.heats as usize, step.heats as usize),
            _ => return 0.0,
        };
        #[expect(clippy::cast_precision_loss, reason = "a few heats")]
        let left = wanted.saturating_sub(done) as f64 / wanted.max(1) as f64;
        left
    }

    /// Why the step in hand can hardly be done yet: a clock that runs, no heat, cycles missing, a soak
    /// cut short. To be asked about once.
    #[must_use]
    pub fn lacking(&self, now: Stamp) -> Option<String> {
        let step = self.current()?;
        // The fire watch is an item of the card: it blocks there.
        let running = self
            .countdowns(now)
            .into_iter()
            .find(|count| count.left.is_positive() && count.kind == CountdownKind::Oven);
        if let Some(count) = running {
            return Some(format!(
                "{} has {} left",
                count.name,
                show::span(count.left)
            ));
        }
        let of = |done: u32, wanted: u32, what: &str| {
            (done < wanted).then(|| match done {
                0 => format!("no {what} was logged"),
                _ => format!("{done} of {wanted} {what}s were logged"),
            })
        };
        let kept = u32::try_from(self.clocks_kept()).unwrap_or(u32::MAX);
        match &step.made {
            Move::Temper { cycles } => of(kept, *cycles, "cycle"),
            Move::Etch if step.soak.is_some() => of(kept, 1, "dip"),
            Move::Normalise { cycles, .. } if step.heats > 0 => {
                of(self.step.heats, *cycles, "heat")
            }
            made if made.kind().is_hot() && step.heats > 0 => {
                of(self.step.heats, 1, "heat").or_else(|| self.short_soak(now))
            }
            _ => None,
        }
    }

    /// Of several like pieces, those that were not in the fire in this step; none of other work.
    #[must_use]
    pub fn without_heat(&self) -> Option<String> {
        let step = self
            .current()
            .filter(|step| step.kind().is_hot() && step.heats > 0)?;
        let cold = (1..=self.in_turn()).filter(|piece| self.trips(step, *piece).next().is_none());
        let cold: Vec<String> = cold.map(|piece| piece.to_string()).collect();
        match cold.as_slice() {
            [] => None,
            [one] => Some(format!("piece {one} has no heat")),
            many => Some(format!("pieces {} have no heat", many.join(", "))),
        }
    }

    /// Trips of one piece to the fire in a step.
    fn trips(&self, step: &Step, piece: u32) -> impl Iterator<Item = &HeatLog> {
        let own = self.heats.iter().filter(|heat| heat.step == step.id);
        own.filter(move |heat| heat.piece == piece || heat.piece == 0)
    }

    /// A soak that all trips of a piece in this step together were too short for; of like pieces, of each.
    fn short_soak(&self, now: Stamp) -> Option<String> {
        let (step, wanted) = self.current().zip(self.soak())?;
        let inside = |piece: u32| -> Seconds {
            let trips = self.trips(step, piece);
            trips
                .map(|trip| trip.out.unwrap_or(now).since(trip.into))
                .sum()
        };
        let heated = (1..=self.in_turn()).filter(|piece| self.trips(step, *piece).next().is_some());
        let all = heated.map(|piece| (piece, inside(piece)));
        let short: Vec<String> = all
            .filter(|(_, inside)| *inside < wanted)
            .map(|(piece, inside)| match self.in_turn() {
                1 => show::span(inside),
                _ => format!("piece {piece}: {}", show::span(inside)),
            })
            .collect();
        (!short.is_empty()).then(|| {
            format!(
                "{} in the fire in all, and the soak is {}",
                short.join(", "),
                show::span(wanted)
            )
        })
    }
}
