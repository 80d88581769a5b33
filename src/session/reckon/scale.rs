//! Scale and minutes at heat, from the log.

use super::Inputs;
use super::course::course;
use super::fire::{FireNumbers, SURFACE, expected};
use super::span::HeatSpan;
use crate::physics::Spread;
use crate::physics::scale::{Fire as Rate, Growth, section_lost};
use crate::units::{Celsius, Mm, Seconds};

/// Above this, carbon moves and grain grows fast enough to be counted.
pub(super) const HOT: Celsius = Celsius(1100.0);
/// A piece out of the fire is cold for scaling below this.
const COLD: Celsius = Celsius(600.0);

/// Metal and time that the fire has taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ScaleSoFar {
    /// Metal off each face that the heat in hand, or the next one, takes in all, mm; none where the step
    /// has no heat.
    pub expected: Option<Spread>,
    /// Metal off each face in the last heat of the step in hand, so far, mm.
    pub this_heat: Spread,
    /// Metal off each face in the step in hand, mm.
    pub this_step: Spread,
    /// Part of the section lost in the step in hand.
    pub share: Spread,
    /// Time above 1100 C over the whole job, s.
    pub above: Spread,
}

/// Scale and time at heat, from the log.
pub(super) fn scale(inputs: &Inputs, fire: Option<&FireNumbers>) -> ScaleSoFar {
    let zero = Spread::exact(0.0);
    let mut out = ScaleSoFar {
        expected: None,
        this_heat: zero,
        this_step: zero,
        share: zero,
        above: zero,
    };
    for (n, span) in inputs.heats.iter().enumerate() {
        let (metal, above) = one(span, inputs);
        let lost = share(span, metal);
        out.above = add(out.above, above);
        if n >= inputs.step_heats {
            out.this_heat = metal;
            out.this_step = add(out.this_step, metal);
            out.share = add(out.share, lost);
        }
    }
    if let Some(fire) = fire {
        let span = expected(inputs, fire);
        let (metal, _) = one(&span, inputs);
        out.expected = Some(metal);
    }
    out
}

fn share(span: &HeatSpan, metal: Spread) -> Spread {
    metal.map(|mm| section_lost(span.section.0, span.section.1, Mm(mm)).0)
}

fn add(a: Spread, b: Spread) -> Spread {
    Spread {
        low: a.low + b.low,
        best: a.best + b.best,
        high: a.high + b.high,
    }
}

/// Metal off each face and time above 1100 C in one heat: heated at the section's own pace, held,
/// cooled in air, the scale knocked off by the work.
fn one(span: &HeatSpan, inputs: &Inputs) -> (Spread, Spread) {
    let rate = Rate::Learned(inputs.fire_scale.0);
    let mut face = Growth::clean(&inputs.mean);
    let mut above = Seconds::ZERO;
    let mut reached = span.from;
    if let Some((ramp, up)) = span.way_up() {
        let moments = up.moments().iter();
        let points: Vec<(Seconds, Celsius)> = moments
            .take_while(|moment| moment.seconds <= ramp)
            .map(|moment| (moment.seconds, moment.face))
            .collect();
        face.follow(&points, rate);
        let at_heat = up.at(ramp);
        reached = at_heat.mean;
        face.hold(at_heat.face, span.inside - ramp, rate);
        if reached > HOT {
            let hot = up.mean_at(HOT).unwrap_or(Seconds::ZERO);
            above += (span.inside - hot).max(Seconds::ZERO);
        }
    }
    if let Some(outside) = span.outside
        && reached > COLD + Celsius(10.0)
        && let Some(down) = course(span.section, reached, COLD, None)
    {
        let moments = down.moments().iter();
        let points: Vec<(Seconds, Celsius)> = moments
            .take_while(|moment| moment.seconds <= outside)
            .map(|moment| (moment.seconds, moment.face))
            .collect();
        face.follow(&points, Rate::Air);
        if let Some(until) = down.mean_at(HOT) {
            above += until.min(outside);
        }
    }
    (face.metal(), Spread::around(above.0, SURFACE))
}
