//! What a step still lacks when the smith says that it is done.

use super::{CountdownKind, Session};
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

    /// A soak that no heat of the step was long enough for.
    fn short_soak(&self, now: Stamp) -> Option<String> {
        let (step, wanted) = self.current().zip(self.soak())?;
        let inside: Seconds = self
            .heats
            .iter()
            .filter(|heat| heat.step == step.id)
            .map(|heat| heat.out.unwrap_or(now).since(heat.into))
            .sum();
        (inside < wanted).then(|| {
            format!(
                "{} in the fire in all, and the soak is {}",
                show::span(inside),
                show::span(wanted)
            )
        })
    }
}
