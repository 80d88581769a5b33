//! What sizes read at trims, grinds and draws teach, each by itself.

use super::equation::Equation;
use super::normal::Observation;
use super::topic::Topic;
use crate::billet::{Billet, Dimension, Move};
use crate::physics::spread_coefficient;
use crate::plan::Plan;
use crate::planner::certainty::{Certainty, Seen};
use crate::planner::ends::EndCut;
use crate::session::{Done, Session};
use crate::units::Mm;

/// True of ends that a draw has changed, even where nobody knows how much.
pub(super) fn was_drawn(measure: Mm) -> bool {
    measure.is_positive() || measure.0.is_nan()
}

/// What a trim takes off bad ends in the mean of both, of the plan's usual trim.
pub(super) fn own_trim(plan: &Plan, cut: &EndCut) -> f64 {
    let usual = Topic::Trim.prior(Some(plan)).value;
    if usual > 0.0 {
        cut.bad_mean().0 / usual
    } else {
        1.0
    }
}

pub(super) fn sizes(
    session: &Session,
    done: &Done,
    (before, drawn): (&Billet, Mm),
    old: Certainty,
    out: &mut Vec<Equation>,
) {
    let seen = Seen::of(done);
    let after = &done.made.billet.bar;
    let known = |size: Mm, read: Option<Mm>| read.map_or(size.0 * old.volume, |read| read.0);
    let mut push = |parts: Vec<(Topic, f64)>, value: f64, error: f64, scatter: f64| {
        let topic = parts.first().map_or(Topic::Spread, |part| part.0);
        out.push(Equation {
            parts,
            value,
            error,
            scatter: vec![(topic, scatter)],
            over: None,
            at: done.ended,
            step: done.step.id.clone(),
        });
    };
    match &done.step.made {
        Move::Trim { ends } => {
            let cut = EndCut::of(*ends);
            // How long a test piece was cut says nothing of bad ends, and one length read does not tell them apart.
            if let Some(error) = seen.deviation(Dimension::Length)
                && !cut.test_piece.is_positive()
            {
                let old = known(before.bar.length, old.length);
                let off = (before.bar.length - after.length).0 / 2.0;
                let own = own_trim(&session.plan, &cut);
                let mut parts = vec![(Topic::Trim, own)];
                if was_drawn(drawn) {
                    parts.push((Topic::FishMouth, drawn.0 * cut.ends / 2.0));
                }
                push(parts, off, error.0.hypot(old) / 2.0, own * own);
            }
        }
        Move::Grind { .. } => {
            if let Some(error) = seen.deviation(Dimension::Thickness) {
                let old = known(before.bar.thickness, old.thickness);
                let off = (before.bar.thickness - after.thickness).0 / 2.0;
                // A ground face reads twice as well as a forged one.
                push(
                    vec![(Topic::Grind, 1.0)],
                    off,
                    (error.0 / 2.0).hypot(old) / 2.0,
                    1.0,
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
                let one = spread_seen(law.best, squeezed, w0, w1);
                push(vec![(Topic::Spread, one.times)], one.value, one.sd, 0.0);
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
