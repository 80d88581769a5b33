//! What a journal says, as sums of the numbers that are learnt.

use std::collections::BTreeMap;

use super::equation::Equation;
use super::sized::{own_trim, sizes, was_drawn};
use super::topic::{Topic, Work, clocked_minutes, mean, times};
use crate::billet::{Billet, Dimension, Faces, Kind, Loses, Move};
use crate::plan::Plan;
use crate::planner::certainty::{Certainty, Seen};
use crate::planner::eaten::over_plan;
use crate::planner::ends::{EndCut, Ends};
use crate::session::{Done, Session};
use crate::units::Mm;

/// A soak or a watch over this part of a step's minutes rules them.
const CLOCKED: f64 = 0.4;
/// A heat shorter than this, or a step, was ticked off and not timed. Minutes.
const TIMED_HEAT: f64 = 0.5;
pub(in crate::planner) const TIMED_STEP: f64 = 0.33;
/// One deviation of a number that was rounded to a whole one: 1/sqrt(12).
const WHOLE: f64 = 0.29;
/// What a cut differs from its kerf, mm.
const KERF: f64 = 0.3;

/// Everything that a job teaches.
pub(super) fn equations(session: &Session) -> Vec<Equation> {
    let course = Certainty::course(session);
    let first = session.plan.first_billet();
    let mut out = Vec::new();
    let mut runs: BTreeMap<&str, SinceMeasured> = BTreeMap::new();
    let mut ends = Ends::default();
    let mut before = &first;
    for (done, known) in session.done.iter().zip(course.windows(2)) {
        let [old, new] = known else { continue };
        let own = before.in_hand(&done.step.bar);
        let run = runs.entry(&done.step.bar).or_insert_with(|| {
            SinceMeasured::from(&own, Certainty::first(&session.plan, &done.step.bar).volume)
        });
        let drawn = ends.of(&done.step.bar);
        run.step(&session.plan, done, (&own, drawn), *new, &mut out);
        sizes(session, done, (&own, drawn), *old, &mut out);
        paces(session, done, &own, &mut out);
        ends.step(&done.step.bar, &done.step.made, &own, &done.made.billet);
        before = &done.made.billet;
    }
    out
}

/// What happened to the metal since it was last measured.
#[derive(Debug, Clone)]
struct SinceMeasured {
    /// Log volume then, less what cold work has taken since by the plan's figures.
    log: f64,
    /// Relative deviation of it.
    known: f64,
    /// How many times each topic's departure from the plan is in it.
    parts: Vec<(Topic, f64)>,
    scatter: Vec<(Topic, f64)>,
    /// Plan's share of the parts, which the difference of logs already holds.
    planned: f64,
    heats: f64,
    /// Trips of one piece since it was last drawn.
    trips: f64,
    /// For each draw, what the outside would lose over the plan's share.
    over: Vec<f64>,
    logged: bool,
    welded: bool,
    /// False when something happened that cannot be followed.
    good: bool,
}

/// What a cold step took.
#[derive(Debug, Clone, Copy)]
struct Took {
    /// Of the metal as it is told now, as a logarithm.
    lost: f64,
    /// The step's own size was read, to one deviation.
    read: Option<Mm>,
    /// The metal was measured at this very step.
    weighed: bool,
}

impl SinceMeasured {
    fn from(billet: &Billet, known: f64) -> Self {
        Self {
            log: billet.volume().0.ln(),
            known,
            parts: Vec::new(),
            scatter: Vec::new(),
            planned: 0.0,
            heats: 0.0,
            trips: 0.0,
            over: Vec::new(),
            logged: true,
            welded: false,
            good: true,
        }
    }

    fn step(
        &mut self,
        plan: &Plan,
        done: &Done,
        (before, drawn): (&Billet, Mm),
        new: Certainty,
        out: &mut Vec<Equation>,
    ) {
        let after = &done.made.billet;
        let lost = (before.volume().0 / after.volume().0).ln();
        let seen = Seen::of(done);
        let weighed = seen.volume(&after.bar).is_some();
        let made = &done.step.made;
        match made.kind().row().loses {
            Loses::Draw => {
                let work = if std::mem::take(&mut self.welded) {
                    Work::WeldAndDraw
                } else {
                    Work::Draw
                };
                self.hot(plan, done, before, Some(work));
            }
            Loses::Crush => self.hot(plan, done, before, Some(Work::Crush)),
            Loses::Forge => self.hot(plan, done, before, Some(Work::Forge)),
            Loses::Weld => {
                // Without a share of its own its loss is counted with the draw behind it.
                let own = made.books_scale().then_some(Work::WeldAndDraw);
                self.hot(plan, done, before, own);
            }
            Loses::Piles => {
                self.welded = true;
                self.log -= lost;
            }
            Loses::Adds => {
                self.welded = true;
                self.log += after.volume().0.ln() - before.volume().0.ln();
            }
            Loses::Trim => {
                // Of the plan's own trim so many lengths, and the ends as they were drawn.
                let share = 2.0 / before.bar.length.0;
                let read = seen.deviation(Dimension::Length);
                let cut = match made {
                    Move::Trim { ends } => EndCut::of(*ends),
                    _ => EndCut::of([Mm::ZERO; 2]),
                };
                let own = read.map_or_else(|| own_trim(plan, &cut), |_| 1.0);
                let took = Took {
                    lost,
                    read,
                    weighed,
                };
                self.cold(plan, Topic::Trim, share * own, took);
                if read.is_none() && was_drawn(drawn) {
                    let each = share * cut.ends / 2.0;
                    self.parts.push((Topic::FishMouth, each * drawn.0));
                }
                // A test piece of another length would pass for bad ends or for scale.
                self.good &= !(weighed && read.is_none() && cut.test_piece.is_positive());
            }
            Loses::Grind => {
                let mut share = 2.0 / before.bar.thickness.0;
                if matches!(
                    made,
                    Move::Grind {
                        faces: Faces::Four,
                        ..
                    }
                ) {
                    share += 2.0 / before.bar.width.0;
                }
                let read = seen.deviation(Dimension::Thickness);
                self.cold(
                    plan,
                    Topic::Grind,
                    share,
                    Took {
                        lost,
                        read,
                        weighed,
                    },
                );
            }
            Loses::Kerf => {
                self.log -= lost;
                let sd = KERF * made.pieces().sqrt() / before.bar.length.0;
                self.known = self.known.hypot(sd);
            }
            Loses::Nothing => {}
            Loses::Opening | Loses::Treat | Loses::Shaping | Loses::Untold => self.good = false,
        }
        if weighed {
            self.weighed(done, after, new, out);
            *self = Self {
                welded: self.welded,
                ..Self::from(after, new.volume)
            };
        }
    }

    fn hot(&mut self, plan: &Plan, done: &Done, before: &Billet, work: Option<Work>) {
        self.heats += f64::from(done.heats);
        self.trips += f64::from(done.heats) / f64::from(before.pieces.max(1));
        self.logged &= done.heats > 0;
        if let Some(work) = work {
            let trips = std::mem::take(&mut self.trips);
            let share = done.step.made.scale().0;
            if let Some(to) = done.step.made.target()
                && work != Work::Forge
                && trips > 0.0
            {
                self.over.push(over_plan(&before.bar, &to, trips, share));
            }
            // A step with a share of its own loses so many times the usual one.
            let topic = Topic::Scale(work);
            let usual = topic.prior(Some(plan)).value;
            let own = (1.0 - share).ln() / (1.0 - usual).ln();
            if own.is_finite() && own > 0.0 {
                self.parts.push((topic, own));
                self.scatter.push((topic, own * own));
            }
        }
    }

    /// A cold loss that followed the plan's figure, one that was read itself, or one that the mass tells.
    fn cold(&mut self, plan: &Plan, topic: Topic, share: f64, took: Took) {
        if let Some(error) = took.read {
            self.log -= took.lost;
            self.known = self.known.hypot(error.0 * share / 2.0);
            return;
        }
        self.parts.push((topic, share));
        self.scatter.push((topic, share * share));
        // The mass tells all that was lost, and not how far it departs from the plan.
        if !took.weighed {
            self.log -= took.lost;
            self.planned += share * topic.prior(Some(plan)).value;
        }
    }

    fn weighed(&self, done: &Done, after: &Billet, new: Certainty, out: &mut Vec<Equation>) {
        let value = self.log - after.volume().0.ln() + self.planned;
        if !self.good || self.parts.is_empty() || !value.is_finite() {
            return;
        }
        let equation = Equation {
            parts: self.parts.clone(),
            value,
            error: self.known.hypot(new.volume),
            scatter: self.scatter.clone(),
            over: mean(&self.over),
            at: done.ended,
            step: done.step.id.clone(),
        };
        let is_work = |topic: &Topic| matches!(topic, Topic::Scale(_));
        let drawn = !self
            .parts
            .iter()
            .any(|(topic, _)| *topic == Topic::Scale(Work::Forge));
        let worked = self.parts.iter().any(|(topic, _)| is_work(topic));
        if worked && drawn && self.logged && self.heats > 0.0 {
            let by_heat = |parts: &[(Topic, f64)]| {
                let cold = parts.iter().filter(|(topic, _)| !is_work(topic)).copied();
                std::iter::once((Topic::ScalePerHeat, self.heats))
                    .chain(cold)
                    .collect()
            };
            out.push(Equation {
                parts: by_heat(&self.parts),
                scatter: by_heat(&self.scatter),
                ..equation.clone()
            });
        }
        out.push(equation);
    }
}

fn paces(session: &Session, done: &Done, before: &Billet, out: &mut Vec<Equation>) {
    let kind = done.step.kind();
    let planned = done.step.heats;
    let mut push = |topic: Topic, value: f64, error: f64| {
        out.push(Equation {
            parts: vec![(topic, 1.0)],
            value,
            error,
            scatter: vec![(topic, 1.0)],
            over: None,
            at: done.ended,
            step: done.step.id.clone(),
        });
    };
    if kind.is_hot() && done.heats > 0 && planned > 0 {
        let heats = f64::from(done.heats);
        // Heats are whole: a count of 3 is anything from 2.5 to 3.5.
        push(
            Topic::Heats(kind),
            (heats / f64::from(planned)).ln(),
            WHOLE / heats,
        );
    }
    let (minutes, least) = if kind.is_hot() {
        let logged = session
            .heats
            .iter()
            .filter(|heat| heat.step == done.step.id);
        let spent = logged.filter_map(|heat| {
            // What lies there hot after its step is no part of the step.
            let end = heat.ended.or(heat.out)?.min(done.ended);
            Some(end.since(heat.into).minutes())
        });
        (spent.sum::<f64>(), TIMED_HEAT)
    } else {
        let spent = done.began.map(|began| done.ended.since(began).minutes());
        (spent.unwrap_or(0.0), TIMED_STEP)
    };
    let pieces = match done.step.made {
        Move::Prepare => session.plan.first_pieces(&done.step),
        _ => before.pieces,
    };
    let each = minutes / times(&done.step.made, f64::from(done.heats), pieces);
    // Where a clock rules the time, it says nothing of the pace.
    let clocked = clocked_minutes(&session.plan.steps, &done.step) > CLOCKED * minutes;
    if each.is_finite() && each >= least && kind != Kind::QuarterTurn && !clocked {
        push(Topic::Minutes(kind), each.ln(), 0.0);
    }
}
