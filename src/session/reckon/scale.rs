//! Scale and minutes at heat, from the log.

use std::sync::Arc;

use super::Inputs;
use super::course::Courses;
use super::fire::{FireNumbers, SURFACE, expected};
use super::span::HeatSpan;
use crate::physics::Spread;
use crate::physics::scale::{Fire as Rate, Growth, section_lost};
use crate::physics::section::Course;
use crate::units::{Celsius, Mm, Seconds};

/// Above this, carbon moves and grain grows fast enough to be counted.
pub(crate) const HOT: Celsius = Celsius(1100.0);
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
pub(super) fn scale(inputs: &Inputs, fire: Option<&FireNumbers>, courses: &Courses) -> ScaleSoFar {
    let zero = Spread::exact(0.0);
    let mut out = ScaleSoFar {
        expected: None,
        this_heat: zero,
        this_step: zero,
        share: zero,
        above: zero,
    };
    for (n, span) in inputs.heats.iter().enumerate() {
        let metal = one(span, inputs, courses);
        let lost = share(span, metal);
        out.above = add(out.above, above(span, courses));
        if n >= inputs.step_heats {
            out.this_heat = metal;
            out.this_step = add(out.this_step, metal);
            out.share = add(out.share, lost);
        }
    }
    if let Some(fire) = fire {
        let span = expected(inputs, fire);
        out.expected = Some(one(&span, inputs, courses));
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

/// Time above 1100 C in one heat.
pub(super) fn above(span: &HeatSpan, courses: &Courses) -> Spread {
    let mut above = Seconds::ZERO;
    let mut reached = span.from;
    if let Some((ramp, up)) = span.way_up(courses) {
        reached = up.at(ramp).mean;
        if reached > HOT {
            let hot = up.mean_at(HOT).unwrap_or(Seconds::ZERO);
            above += (span.inside - hot).max(Seconds::ZERO);
        }
    }
    if let Some((outside, down)) = falling(span, reached, courses)
        && let Some(until) = down.mean_at(HOT)
    {
        above += until.min(outside);
    }
    Spread::around(above.0, SURFACE)
}

/// The way down in still air of a piece that came out hot enough to scale, and how long it was on it.
fn falling(span: &HeatSpan, reached: Celsius, courses: &Courses) -> Option<(Seconds, Arc<Course>)> {
    let outside = span.outside?;
    let hot = reached > COLD + Celsius(10.0);
    let down = hot.then(|| courses.course(span.section, reached, COLD, None))??;
    Some((outside, down))
}

/// Mean temperature of the piece over one heat, in seconds from going in: up, held, and down in still air.
pub(super) fn temperatures(span: &HeatSpan, courses: &Courses) -> Vec<(Seconds, Celsius)> {
    /// Points that a straight line between them stands for the law, to the width of a drawn line.
    const EACH_WAY: u32 = 8;
    let mut out = vec![(Seconds::ZERO, span.from)];
    let part = |n: u32| f64::from(n) / f64::from(EACH_WAY);
    let mut reached = span.from;
    if let Some((ramp, up)) = span.way_up(courses) {
        out.extend((1..=EACH_WAY).map(|n| {
            let at = ramp * part(n);
            (at, up.at(at).mean)
        }));
        reached = up.at(ramp).mean;
    }
    out.push((span.inside, reached));
    if let Some((outside, down)) = falling(span, reached, courses) {
        let long = outside.min(down.length());
        out.extend((1..=EACH_WAY).map(|n| {
            let at = long * part(n);
            (span.inside + at, down.at(at).mean)
        }));
    }
    out
}

/// Metal off each face in one heat: heated at the section's own pace, held, cooled in air, the scale knocked
/// off by the work.
fn one(span: &HeatSpan, inputs: &Inputs, courses: &Courses) -> Spread {
    let rate = Rate::Learned(inputs.fire_scale.0);
    let mut face = Growth::clean(&inputs.mean);
    let mut reached = span.from;
    let points = |course: &Course, most: Seconds| -> Vec<(Seconds, Celsius)> {
        let moments = course.moments().iter();
        moments
            .take_while(|moment| moment.seconds <= most)
            .map(|moment| (moment.seconds, moment.face))
            .collect()
    };
    if let Some((ramp, up)) = span.way_up(courses) {
        face.follow(&points(&up, ramp), rate);
        let at_heat = up.at(ramp);
        reached = at_heat.mean;
        face.hold(at_heat.face, span.inside - ramp, rate);
    }
    if let Some((outside, down)) = falling(span, reached, courses) {
        face.follow(&points(&down, outside), Rate::Air);
    }
    face.metal()
}
