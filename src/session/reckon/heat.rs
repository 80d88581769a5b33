//! Times in and out of the fire, scale, and minutes at heat.

use std::collections::BTreeMap;
use std::sync::Mutex;

use super::Inputs;
use crate::physics::Spread;
use crate::physics::scale::{Fire as Rate, Growth, section_lost};
use crate::physics::section::{Contact, Course, Section, Surroundings, cool, heat, soak_through};
use crate::session::HeatLog;
use crate::units::{Celsius, Fraction, Mm, Seconds, Stamp};

/// Above this, carbon moves and grain grows fast enough to be counted.
const HOT: Celsius = Celsius(1100.0);
/// Core and skin this near are taken as through.
const EVEN: Celsius = Celsius(25.0);
/// A piece out of the fire is cold for scaling below this.
const COLD: Celsius = Celsius(600.0);
/// What the shop air is taken as.
const SHOP: Celsius = Celsius(20.0);

/// One trip to the fire as the log has it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeatSpan {
    /// Cold width and thickness that went in.
    pub section: (Mm, Mm),
    /// It went in cold.
    pub from_cold: bool,
    /// Time in the fire.
    pub inside: Seconds,
    /// Time out of it before it went back in or was laid down; none while it is in.
    pub outside: Option<Seconds>,
    /// The window's lower end at that step.
    pub floor: Celsius,
    /// The temperature that it was taken to.
    pub top: Celsius,
}

impl HeatSpan {
    /// From the log, up to `now`.
    #[must_use]
    pub fn of(log: &HeatLog, now: Stamp) -> Self {
        let out = log.out;
        let outside = out.map(|out| log.ended.unwrap_or(now).since(out).max(Seconds::ZERO));
        Self {
            section: log.section,
            from_cold: log.from_cold,
            inside: out.unwrap_or(now).since(log.into).max(Seconds::ZERO),
            outside,
            floor: log.floor,
            top: log.top,
        }
    }
}

/// Times for the piece in hand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FireNumbers {
    /// In the fire until hot and hot through; the surface figures are worth 15 % either way.
    pub through: Spread,
    /// Out of the fire until the window's lower end: best under the dies for part of the time, high
    /// in still air, low with hard contact.
    pub left: Spread,
    /// From here.
    pub top: Celsius,
    /// To here.
    pub floor: Celsius,
}

/// Metal and time that the fire has taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ScaleSoFar {
    /// Metal off each face in the heat in hand (the last one), mm.
    pub this_heat: Spread,
    /// Metal off each face in the step in hand, mm.
    pub this_step: Spread,
    /// Part of the section lost in the step in hand.
    pub share: Spread,
    /// Part of the metal lost over the whole job, heat by heat.
    pub job: Spread,
    /// Time above 1100 C over the whole job.
    pub above: Spread,
}

type Key = (i64, i64, i64, i64, bool);

/// Courses by section and temperatures, rounded; a law gives the same for the same.
static KNOWN: Mutex<BTreeMap<Key, Option<Course>>> = Mutex::new(BTreeMap::new());

#[expect(
    clippy::cast_possible_truncation,
    reason = "bounded by the law's own range; saturates"
)]
fn key(section: (Mm, Mm), from: Celsius, to: Celsius, heating: bool) -> Key {
    let half = |mm: Mm| (mm.0 * 2.0).round() as i64;
    let ten = |c: Celsius| (c.0 / 10.0).round() as i64;
    (
        half(section.0),
        half(section.1),
        ten(from),
        ten(to),
        heating,
    )
}

/// A course of heating or cooling, remembered.
pub(super) fn course(
    section: (Mm, Mm),
    from: Celsius,
    to: Celsius,
    heating: bool,
) -> Option<Course> {
    let key = key(section, from, to, heating);
    let known = |map: &BTreeMap<Key, Option<Course>>| map.get(&key).cloned();
    if let Ok(map) = KNOWN.lock()
        && let Some(found) = known(&map)
    {
        return found;
    }
    let bar = Section {
        width: section.0,
        thickness: section.1,
    };
    let found = if heating {
        // A fire a little above the piece, so that the end is reached.
        heat(bar, from, to, &Surroundings::furnace(to + Celsius(15.0))).ok()
    } else {
        cool(bar, from, to, &Surroundings::air()).ok()
    };
    if let Ok(mut map) = KNOWN.lock() {
        if map.len() > 4000 {
            map.clear();
        }
        map.insert(key, found.clone());
    }
    found
}

/// Times for the piece in hand.
pub(super) fn fire(inputs: &Inputs) -> Option<FireNumbers> {
    let window = inputs.window?;
    let top = window.high.min(inputs.fire);
    let bar = Section {
        width: inputs.section.0,
        thickness: inputs.section.1,
    };
    let from = if inputs.from_cold {
        SHOP
    } else {
        window.low.min(top - Celsius(1.0))
    };
    let furnace = inputs.fire.max(top) + Celsius(15.0);
    let through = soak_through(bar, from, furnace, top, EVEN).ok()?;
    let air = cool(bar, top, window.low, &Surroundings::air()).ok()?;
    let worked = Surroundings::air().between(Contact::WORKING);
    let dies = cool(bar, top, window.low, &worked).ok()?;
    let air = air.mean_at(window.low)?.0;
    let dies = dies.mean_at(window.low)?.0;
    Some(FireNumbers {
        through: Spread::around(through.0, 0.15),
        left: Spread {
            low: dies,
            best: (air + dies) / 2.0,
            high: air,
        },
        top,
        floor: window.low,
    })
}

/// Scale and time at heat, from the log.
pub(super) fn scale(inputs: &Inputs) -> ScaleSoFar {
    let zero = Spread::exact(0.0);
    let mut out = ScaleSoFar {
        this_heat: zero,
        this_step: zero,
        share: zero,
        job: zero,
        above: zero,
    };
    let mut kept = [1.0, 1.0, 1.0];
    for (n, span) in inputs.heats.iter().enumerate() {
        let (metal, above) = one(span, inputs);
        let lost = metal.map(|mm| section_lost(span.section.0, span.section.1, Mm(mm)).0);
        let [low, best, high] = kept;
        kept = [
            low * (1.0 - lost.low),
            best * (1.0 - lost.best),
            high * (1.0 - lost.high),
        ];
        out.above = add(out.above, above);
        out.this_heat = metal;
        if n >= inputs.step_heats {
            out.this_step = add(out.this_step, metal);
            out.share = add(out.share, lost);
        }
    }
    if inputs.heats.len() <= inputs.step_heats {
        out.this_heat = zero;
    }
    let [low, best, high] = kept;
    out.job = Spread {
        low: 1.0 - low,
        best: 1.0 - best,
        high: 1.0 - high,
    };
    out
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
    let from = if span.from_cold { SHOP } else { span.floor };
    let rate = Rate::Learned(inputs.fire_scale.0);
    let mut face = Growth::clean(&inputs.mean);
    let mut above = Seconds::ZERO;
    let mut reached = from;
    if let Some(up) = course(span.section, from, span.top, true) {
        let ramp = up.length().min(span.inside);
        let points: Vec<(Seconds, Celsius)> = up
            .moments()
            .iter()
            .take_while(|moment| moment.seconds <= ramp)
            .map(|moment| (moment.seconds, moment.face))
            .collect();
        face.follow(&points, rate);
        reached = up.at(ramp).face;
        let held = span.inside - ramp;
        face.hold(reached, held, rate);
        if let Some(hot) = up.mean_at(HOT) {
            above += (span.inside - hot).max(Seconds::ZERO);
        }
    }
    if let Some(outside) = span.outside
        && reached > COLD + Celsius(10.0)
        && let Some(down) = course(span.section, reached, COLD, false)
    {
        let points: Vec<(Seconds, Celsius)> = down
            .moments()
            .iter()
            .take_while(|moment| moment.seconds <= outside)
            .map(|moment| (moment.seconds, moment.face))
            .collect();
        face.follow(&points, Rate::Air);
        if let Some(until) = down.mean_at(HOT) {
            above += until.min(outside);
        }
    }
    (face.metal(), Spread::around(above.0, 0.15))
}

/// A part as a fraction, for the screen.
impl ScaleSoFar {
    /// Best estimate of the metal lost over the job.
    #[must_use]
    pub fn job_best(&self) -> Fraction {
        Fraction(self.job.best)
    }
}
