//! What a journal says of each topic.

use super::normal::Observation;
use super::topic::{Topic, Work, times};
use crate::billet::{Billet, Dimension, Kind, Move};
use crate::physics::spread_coefficient;
use crate::plan::StepId;
use crate::planner::known::{Known, Seen};
use crate::session::{Done, Session};
use crate::units::Stamp;

/// A heat shorter than this, or a step, was ticked off and not timed. Minutes.
const TIMED_HEAT: f64 = 0.5;
const TIMED_STEP: f64 = 0.33;

/// One thing seen in a journal.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Sight {
    /// What it is about.
    pub(super) topic: Topic,
    /// What was seen, in the topic's inner space; its deviation is the reading's alone.
    pub(super) seen: Observation,
    /// When.
    pub(super) at: Stamp,
    /// At which step.
    pub(super) step: StepId,
}

/// Hot work since the metal was last known.
#[derive(Debug, Clone)]
struct Run {
    volume: f64,
    known: f64,
    heats: u32,
    logged: bool,
    kinds: Vec<Kind>,
}

/// Everything that a job teaches.
pub(super) fn sights(session: &Session) -> Vec<Sight> {
    let course = Known::course(session);
    let first = session.plan.first_billet();
    let mut out = Vec::new();
    let mut run: Option<Run> = None;
    let mut before = &first;
    for (done, known) in session.done.iter().zip(course.windows(2)) {
        let [old, new] = known else { continue };
        let mut push = |topic, seen| {
            out.push(Sight {
                topic,
                seen,
                at: done.ended,
                step: done.step.id.clone(),
            });
        };
        losses(done, before, *old, *new, &mut run, &mut push);
        sizes(session, done, before, *old, &mut push);
        paces(session, done, before, &mut push);
        before = &done.made.billet;
    }
    out
}

/// True for steps that change the outside and burn scale.
fn is_shaping(kind: Kind) -> bool {
    matches!(
        kind,
        Kind::Weld | Kind::Draw | Kind::Square | Kind::CornerCrush | Kind::Forge
    )
}

/// True for steps that take nothing off, at which a bar may be weighed.
fn is_pause(kind: Kind) -> bool {
    matches!(kind, Kind::EndDay | Kind::Inspect | Kind::QuarterTurn)
}

fn losses(
    done: &Done,
    before: &Billet,
    old: Known,
    new: Known,
    run: &mut Option<Run>,
    push: &mut impl FnMut(Topic, Observation),
) {
    let kind = done.step.kind();
    if is_shaping(kind) {
        let run = run.get_or_insert_with(|| Run {
            volume: before.volume().0,
            known: old.volume,
            heats: 0,
            logged: true,
            kinds: Vec::new(),
        });
        run.heats += done.heats;
        run.logged &= done.heats > 0;
        run.kinds.push(kind);
    } else if !is_pause(kind) {
        *run = None;
        return;
    }
    let after = &done.made.billet;
    if Seen::of(done).volume(&after.bar).is_none() {
        return;
    }
    let Some(run) = run.take() else { return };
    let lost = (run.volume / after.volume().0).ln();
    let error = run.known.hypot(new.volume);
    if !lost.is_finite() {
        return;
    }
    let once = Observation {
        times: 1.0,
        value: lost,
        sd: error,
    };
    if let Some(work) = work(&run.kinds) {
        push(Topic::Scale(work), once);
    }
    let is_drawing = run.kinds.iter().all(|kind| *kind != Kind::Forge);
    if run.logged && run.heats > 0 && is_drawing {
        push(
            Topic::ScalePerHeat,
            Observation {
                times: f64::from(run.heats),
                ..once
            },
        );
    }
}

fn work(kinds: &[Kind]) -> Option<Work> {
    let has = |kind| kinds.contains(&kind);
    let only = |kind| kinds.iter().all(|one| *one == kind);
    match () {
        () if only(Kind::Forge) => Some(Work::Forge),
        () if has(Kind::Forge) => None,
        () if has(Kind::CornerCrush) => only(Kind::CornerCrush).then_some(Work::Crush),
        () if has(Kind::Weld) => has(Kind::Draw).then_some(Work::WeldAndDraw),
        () => has(Kind::Draw).then_some(Work::Draw),
    }
}

fn sizes(
    session: &Session,
    done: &Done,
    before: &Billet,
    old: Known,
    push: &mut impl FnMut(Topic, Observation),
) {
    let seen = Seen::of(done);
    let after = &done.made.billet.bar;
    let known =
        |size: f64, read: Option<crate::units::Mm>| read.map_or(size * old.volume, |read| read.0);
    match &done.step.made {
        Move::Trim { .. } => {
            if let Some(error) = seen.deviation(Dimension::Length) {
                let old = known(before.bar.length.0, old.length);
                push(
                    Topic::Trim,
                    Observation {
                        times: 1.0,
                        value: (before.bar.length - after.length).0 / 2.0,
                        sd: error.0.hypot(old) / 2.0,
                    },
                );
            }
        }
        Move::Grind { .. } => {
            if let Some(error) = seen.deviation(Dimension::Thickness) {
                let old = known(before.bar.thickness.0, old.thickness);
                push(
                    Topic::Grind,
                    Observation {
                        times: 1.0,
                        value: (before.bar.thickness - after.thickness).0 / 2.0,
                        sd: (error.0 / 2.0).hypot(old) / 2.0,
                    },
                );
            }
        }
        // Only a draw that did not ask for a width shows how the metal spreads by itself.
        Move::Draw { to, .. } if to.width.is_none() => {
            let both = seen
                .deviation(Dimension::Thickness)
                .zip(seen.deviation(Dimension::Width));
            let squeezed = before.bar.thickness / after.thickness;
            let law = spread_coefficient(session.plan.shop.die, before.bar.width);
            if let (Some(_), Ok(law)) = (both, law)
                && squeezed > 1.05
            {
                let (w0, w1) = (before.bar.width.0, after.width.0);
                push(Topic::Spread, spread_seen(law.best, squeezed, w0, w1));
            }
        }
        _ => {}
    }
}

/// One draw as an observation of the factor on the spread law: `ln(w1/w0)` is the factor times
/// `s ln(h0/h1)`, read to `sqrt(2 (0.3/w0)^2 + 0.02^2)`.
#[must_use]
pub fn spread_seen(law: f64, squeezed: f64, w0: f64, w1: f64) -> Observation {
    Observation {
        times: law * squeezed.ln(),
        value: (w1 / w0).ln(),
        sd: (2.0 * (0.3 / w0).powi(2) + 0.02 * 0.02).sqrt(),
    }
}

fn paces(
    session: &Session,
    done: &Done,
    before: &Billet,
    push: &mut impl FnMut(Topic, Observation),
) {
    let kind = done.step.kind();
    let planned = done.step.heats;
    if kind.is_hot() && done.heats > 0 && planned > 0 {
        let ratio = f64::from(done.heats) / f64::from(planned);
        push(
            Topic::Heats(kind),
            Observation {
                times: 1.0,
                value: ratio.ln(),
                sd: 0.0,
            },
        );
    }
    let (minutes, least) = if kind.is_hot() {
        let logged = session
            .heats
            .iter()
            .filter(|heat| heat.step == done.step.id);
        let spent = logged.filter_map(|heat| {
            let end = heat.ended.or(heat.out)?;
            Some(end.since(heat.into).minutes())
        });
        (spent.sum::<f64>(), TIMED_HEAT)
    } else {
        let spent = done.began.map(|began| done.ended.since(began).minutes());
        (spent.unwrap_or(0.0), TIMED_STEP)
    };
    let pieces = match done.step.made {
        Move::Prepare => u32::try_from(session.plan.stack.len()).unwrap_or(u32::MAX),
        _ => before.pieces,
    };
    let each = minutes / times(&done.step.made, f64::from(done.heats), pieces);
    if each.is_finite() && each >= least {
        push(
            Topic::Minutes(kind),
            Observation {
                times: 1.0,
                value: each.ln(),
                sd: 0.0,
            },
        );
    }
}
