//! Where a forecast begins: the metal, how well it is known, and the step to come.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::billet::{Bar, Billet, Figure, Kind, Reading, Stage, Stand};
use crate::plan::Plan;
use crate::planner::certainty::{Certainty, Seen};
use crate::planner::chance::Chance;
use crate::planner::ends::Ends;
use crate::session::{Done, Session, make_move};
use crate::units::Mm3;

/// What a reading may say of the metal, of what is expected. Wide: odd bars are real, tenfold ones are not.
const MOST: std::ops::Range<f64> = 0.5..1.3;
/// Part of a volume read by calipers that a hot size typed as a cold one, or a burr, leaves open.
const TYPED: f64 = 0.02;

#[derive(Debug, Clone)]
pub struct Start<'p> {
    pub plan: &'p Plan,
    /// Place of the first step to run.
    pub at: usize,
    /// The metal before it.
    pub billet: Billet,
    /// How well that is known.
    pub known: Certainty,
    /// A step whose metal is read, but not all of its work done: its place, and the part that is left.
    pub rest: Option<(usize, f64)>,
    /// Where the metal was last read. What was done since without a reading is made again in every sample,
    /// so that doing a step as planned, unread, changes no odds.
    pub origin: Origin,
}

/// A place of the job where the metal is known.
#[derive(Debug, Clone)]
pub struct Origin {
    /// Place of the step behind it.
    pub at: usize,
    /// The metal there.
    pub billet: Billet,
    /// How well it is known.
    pub known: Certainty,
    /// What the draws up to there have made of the ends.
    pub ends: Ends,
}

impl<'p> Start<'p> {
    /// A plan that is not begun.
    #[must_use]
    pub fn of_plan(plan: &'p Plan) -> Self {
        let billet = plan.first_billet();
        let known = Certainty::first(plan, &billet.name);
        Self {
            plan,
            at: 0,
            billet: billet.clone(),
            known,
            rest: None,
            origin: Origin {
                at: 0,
                billet,
                known,
                ends: Ends::default(),
            },
        }
    }

    /// A job as it stands. The metal of a current step that has readings already counts as made.
    #[must_use]
    pub fn of_session(session: &'p Session) -> Self {
        let course = Certainty::course(session);
        let known = course.last().copied().unwrap_or_else(Certainty::stack);
        // A step that could not be made as planned is past: the plan goes on from what came of it. What
        // a ground blank has is settled too.
        let believed = believed(session);
        let settled = |(done, believed): (&Arc<Done>, &bool)| {
            *believed
                && (!done.reading.is_empty()
                    || done.made.drift.is_some()
                    || done.step.kind() == Kind::RoughGrind)
        };
        let at = session
            .done
            .iter()
            .zip(&believed)
            .rposition(settled)
            .map_or(0, |at| at + 1);
        let origin = Origin {
            at,
            billet: match at.checked_sub(1).and_then(|at| session.done.get(at)) {
                Some(done) => done.made.billet.clone(),
                None => session.plan.first_billet(),
            }
            .in_hand(session.plan.steps.get(at).map_or("", |step| &step.bar))
            .into_owned(),
            known: course.get(at).copied().unwrap_or(known),
            ends: ends(session, at),
        };
        let start = Self {
            plan: &session.plan,
            at: session.at,
            billet: session.billet.clone(),
            known,
            rest: None,
            origin,
        };
        let Some(step) = session
            .current()
            .filter(|_| session.reading() != Reading::default())
        else {
            return start;
        };
        let after = &session.live.billet;
        let seen = Seen {
            reading: &session.reading(),
            hot: &session.step.hot,
        };
        let known = known.after(&session.billet, after, step, &seen);
        Self {
            at: session.at + 1,
            rest: Some((session.at, session.work_left())),
            known,
            billet: after.clone(),
            origin: Origin {
                at: session.at + 1,
                billet: after.clone(),
                known,
                ends: {
                    let mut ends = ends(session, session.at);
                    ends.step(&step.bar, &step.made, &session.billet, after);
                    ends
                },
            },
            ..start
        }
    }
}

/// What so many steps done have made of the ends.
fn ends(session: &Session, steps: usize) -> Ends {
    let first = session.plan.first_billet();
    let mut before = &first;
    let mut ends = Ends::default();
    for done in session.done.iter().take(steps) {
        let own = before.in_hand(&done.step.bar);
        ends.step(&done.step.bar, &done.step.made, &own, &done.made.billet);
        before = &done.made.billet;
    }
    ends
}

/// As many bands as the last count leaves open.
fn recount(billet: &mut Billet, chance: &mut Chance) {
    billet.count_factor *= chance.around(0.0, billet.count_doubt).exp();
}

/// Thicker or thinner by a factor, with every bar of its section.
fn thicken(bar: &mut Bar, factor: f64) {
    bar.thickness = bar.thickness * factor;
    for on in &mut bar.frame {
        thicken(&mut on.bar, factor);
    }
    let core = &mut bar.core;
    if core.stand == Stand::Flat || core.figure != Figure::Flat {
        core.layers = core.layers.scaled(factor);
    }
}

/// For each step done, whether the metal that its readings say can be there. Metal does not grow, and half a
/// bar does not go in one step: a digit too many is no place to begin from, and what was read before is.
fn believed(session: &Session) -> Vec<bool> {
    let allow = session.plan.allowances();
    let first = session.plan.first_billet();
    let mut before = &first;
    // By bar: what is believed of its volume, over what the log has.
    let mut over: BTreeMap<&str, f64> = BTreeMap::new();
    let mut all = Vec::with_capacity(session.done.len());
    for done in &session.done {
        let after = &done.made.billet;
        let mut good = true;
        if !done.reading.is_empty() {
            let own = before.in_hand(&done.step.bar);
            let unread = make_move(&allow, &done.step.made, &own, &Reading::default());
            let scale = over.entry(&*done.step.bar).or_insert(1.0);
            let read = after.volume().0 / (unread.billet.volume().0 * *scale);
            good = MOST.contains(&read) || !read.is_finite();
            *scale = if good { 1.0 } else { 1.0 / read };
        }
        all.push(good);
        before = after;
    }
    all
}

impl Origin {
    /// One metal that the readings allow.
    pub(super) fn drawn(&self, chance: &mut Chance) -> Billet {
        let sizes = self.known.length.is_some() && self.known.thickness.is_some();
        let typed = if sizes { TYPED } else { 0.0 };
        let known = self.known.volume.hypot(typed);
        let factor = (1.0 + chance.around(0.0, known)).clamp(0.5, 2.0);
        let mut billet = self.billet.clone();
        billet.history.clear();
        billet.ledger.losses.clear();
        recount(&mut billet, chance);
        for other in &mut billet.others {
            if other.count_doubt > 0.0 {
                recount(Arc::make_mut(other), chance);
            }
        }
        let bar = &mut billet.bar;
        if billet.stage >= Stage::Forged {
            // The outside of a forged blank is not its shape; its metal is.
            bar.void = (bar.void - bar.volume() * (factor - 1.0)).max(Mm3::ZERO);
            return billet;
        }
        bar.void = bar.void * factor;
        if sizes {
            // All was read, and the thickness is what calipers read worst.
            thicken(bar, factor);
        } else {
            bar.length = bar.length * factor;
        }
        billet
    }
}
