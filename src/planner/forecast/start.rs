//! Where a forecast begins: the metal, how well it is known, and the step to come.

use crate::billet::{Billet, Figure, Reading, Stage, Stand};
use crate::plan::Plan;
use crate::planner::chance::Chance;
use crate::planner::known::{Known, Seen};
use crate::session::Session;
use crate::units::Mm3;

/// The start.
#[derive(Debug, Clone)]
pub struct Start<'p> {
    /// The plan.
    pub plan: &'p Plan,
    /// Place of the first step to run.
    pub at: usize,
    /// The metal before it.
    pub billet: Billet,
    /// How well that is known.
    pub known: Known,
}

impl<'p> Start<'p> {
    /// A plan that is not begun.
    #[must_use]
    pub fn of_plan(plan: &'p Plan) -> Self {
        Self {
            plan,
            at: 0,
            billet: plan.first_billet(),
            known: Known::stack(),
        }
    }

    /// A job as it stands. A current step that has readings already counts as made.
    #[must_use]
    pub fn of_session(session: &'p Session) -> Self {
        let known = Known::now(session);
        let start = Self {
            plan: &session.plan,
            at: session.at,
            billet: session.billet.clone(),
            known,
        };
        let Some(step) = session
            .current()
            .filter(|_| session.step.reading != Reading::default())
        else {
            return start;
        };
        let after = &session.live.billet;
        let seen = Seen {
            reading: &session.step.reading,
            hot: &session.step.hot,
        };
        Self {
            at: session.at + 1,
            known: known.after(&session.billet, after, step, &seen),
            billet: after.clone(),
            ..start
        }
    }

    /// One metal that the readings allow.
    pub(super) fn drawn(&self, chance: &mut Chance) -> Billet {
        let mut billet = self.billet.clone();
        billet.history.clear();
        billet.ledger.losses.clear();
        let factor = (1.0 + chance.around(0.0, self.known.volume)).clamp(0.5, 2.0);
        let bar = &mut billet.bar;
        if billet.stage >= Stage::Forged {
            // The outside of a forged blank is not its shape; its metal is.
            bar.void = (bar.void - bar.volume() * (factor - 1.0)).max(Mm3::ZERO);
            return billet;
        }
        bar.void = bar.void * factor;
        if self.known.length.is_some() && self.known.thickness.is_some() {
            // All was read, and the thickness is what calipers read worst.
            bar.thickness = bar.thickness * factor;
            for plain in &mut bar.frame {
                if matches!(
                    plain.side,
                    crate::billet::Side::Top | crate::billet::Side::Bottom
                ) {
                    plain.thickness = plain.thickness * factor;
                }
            }
            let core = &mut bar.core;
            if core.stand == Stand::Flat || core.figure != Figure::Flat {
                core.layers = core.layers.scaled(factor);
            }
        } else {
            bar.length = bar.length * factor;
        }
        billet
    }
}
