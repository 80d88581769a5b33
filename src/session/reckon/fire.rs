//! Times in and out of the fire for the piece in hand, and how it cools.

use std::sync::Arc;

use super::Inputs;
use super::course::{course, under_dies};
use super::span::HeatSpan;
use crate::physics::Spread;
use crate::physics::section::{Course, Section, soak_through};
use crate::units::{Celsius, Mm, Seconds};

/// Core and skin this near are taken as through.
const EVEN: Celsius = Celsius(25.0);
/// What the shop air is taken as.
pub(super) const SHOP: Celsius = Celsius(20.0);
/// What the surface figures leave open, either way.
pub(super) const SURFACE: f64 = 0.15;
/// Cooling is followed down to here.
const FOLLOWED: Celsius = Celsius(200.0);

/// Times for the piece in hand.
#[derive(Debug, Clone, PartialEq)]
pub struct FireNumbers {
    /// In the fire until hot and hot through; the surface figures are worth 15 % either way.
    pub through: Spread,
    /// Of the step's soak, what was held before this trip and still counts.
    pub soaked: Seconds,
    /// Out of the fire until the window's lower end: best under the dies for part of the time, high
    /// in still air, low with hard contact.
    pub left: Spread,
    /// From here: the top of the window, or what a short heat has reached.
    pub top: Celsius,
    /// To here.
    pub floor: Celsius,
    /// How it goes on cooling.
    pub cooling: Cooling,
}

/// How a section cools out of the fire.
#[derive(Debug, Clone, PartialEq)]
pub struct Cooling {
    air: Arc<Course>,
    dies: Arc<Course>,
}

impl Cooling {
    /// From an even temperature; none where the law does not reach.
    fn of(section: (Mm, Mm), from: Celsius, floor: Celsius) -> Option<Self> {
        let to = FOLLOWED.min(floor - Celsius(5.0));
        // What is colder than the end of what is followed lies under it from the start.
        let from = from.max(to + Celsius(5.0));
        Some(Self {
            air: Arc::new(course(section, from, to, None)?),
            dies: Arc::new(under_dies(section, from, to)?),
        })
    }

    /// Seconds until the mean of the section is down to `floor`.
    fn until(&self, floor: Celsius) -> Option<Spread> {
        let at = |course: &Course| {
            let start = course.moments().first()?;
            if start.mean <= floor {
                return Some(0.0);
            }
            course.mean_at(floor).map(|at| at.0)
        };
        let (air, dies) = (at(&self.air)?, at(&self.dies)?);
        Some(Spread {
            low: dies,
            best: f64::midpoint(air, dies),
            high: air,
        })
    }

    /// The section's mean after so long, C: low under the dies all the time, high in still air, best where
    /// [`Self::until`] gives that time. None once it is below what is followed: hot enough to burn a hand
    /// for a long time yet.
    #[must_use]
    pub fn after(&self, out: Seconds) -> Option<Spread> {
        let (air, dies) = (self.air.at(out).mean, self.dies.at(out).mean);
        let (mut low, mut high) = (dies.min(air), air);
        for _ in 0..20 {
            let middle = (low + high) / 2.0;
            match self.until(middle) {
                Some(time) if time.best > out.0 => low = middle,
                _ => high = middle,
            }
        }
        let reached = self.until(FOLLOWED).is_none_or(|time| time.best <= out.0);
        (!reached).then_some(Spread {
            low: dies.0.min(high.0),
            best: high.0,
            high: air.0,
        })
    }

    /// Lowest temperature that is followed.
    #[must_use]
    pub fn end(&self) -> Celsius {
        FOLLOWED
    }
}

/// Times for the piece in hand.
pub(super) fn fire(inputs: &Inputs) -> Option<FireNumbers> {
    let window = inputs.window?;
    let (top, floor) = (inputs.heating.top, window.low);
    let section = Section {
        width: inputs.section.0,
        thickness: inputs.section.1,
    };
    let running = inputs.running();
    let from = match running.filter(|span| span.outside.is_none()) {
        Some(span) => span.from,
        None if inputs.from_cold => SHOP,
        None => floor,
    };
    let from = from.min(top - Celsius(1.0));
    let through = soak_through(section, from, inputs.heating.furnace, top, EVEN).ok()?;
    let through = Spread::around(through.0, SURFACE);
    let start = running.and_then(early).unwrap_or(top);
    let cooling = Cooling::of(inputs.section, start, floor)?;
    let left = if start <= floor {
        Spread::exact(0.0)
    } else {
        cooling.until(floor)?
    };
    Some(FireNumbers {
        through,
        soaked: soaked(inputs, floor),
        left,
        top: start,
        floor,
        cooling,
    })
}

/// Soak held in earlier trips of the step, as long as the piece did not fall out of its window since.
fn soaked(inputs: &Inputs, floor: Celsius) -> Seconds {
    let own = inputs.heats.get(inputs.step_heats..).unwrap_or_default();
    let past = own.iter().filter(|span| span.outside.is_some());
    let held = past.fold(Seconds::ZERO, |held, span| {
        if span.left_at() < floor {
            return Seconds::ZERO;
        }
        let ramp = span.way_up().map_or(Seconds::ZERO, |(ramp, _)| ramp);
        held + (span.inside - ramp).max(Seconds::ZERO)
    });
    held.min(inputs.hold)
}

/// What a piece that came out well before it was hot through has reached.
fn early(span: &HeatSpan) -> Option<Celsius> {
    span.outside?;
    let up = course(span.section, span.from, span.top, Some(span.furnace))?;
    let hot = up.mean_at(span.top - Celsius(5.0)).unwrap_or(up.length());
    (span.inside < hot * (1.0 - SURFACE)).then(|| up.at(span.inside).mean)
}

impl HeatSpan {
    /// The way up to heat: the time it took, of the time inside, and the course followed.
    pub(super) fn way_up(&self) -> Option<(Seconds, Course)> {
        let up = course(self.section, self.from, self.top, Some(self.furnace))?;
        Some((up.length().min(self.inside), up))
    }

    /// Where it has cooled to since it came out; the top of its heat while it is in.
    pub(super) fn left_at(&self) -> Celsius {
        let reached = self
            .way_up()
            .map_or(self.top, |(ramp, up)| up.at(ramp).mean);
        let Some(outside) = self.outside else {
            return reached;
        };
        Cooling::of(self.section, reached, self.floor)
            .and_then(|cooling| cooling.after(outside))
            .map_or(FOLLOWED.min(reached), |at| Celsius(at.best))
            .max(SHOP)
    }
}

/// The heat in hand as it is expected to be: hot through, soaked, worked to the end of the window.
/// A heat that has run longer already counts as long as it has run.
pub(super) fn expected(inputs: &Inputs, fire: &FireNumbers) -> HeatSpan {
    let meant = Seconds(fire.through.best) + inputs.hold;
    let worked = Seconds(fire.left.best);
    let run = inputs.running();
    let section: (Mm, Mm) = run.map_or(inputs.section, |span| span.section);
    HeatSpan {
        section,
        from: run.map_or(
            if inputs.from_cold {
                SHOP
            } else {
                inputs.heating.floor
            },
            |span| span.from,
        ),
        inside: match run {
            Some(span) if span.outside.is_some() => span.inside,
            Some(span) => meant.max(span.inside),
            None => meant,
        },
        outside: Some(
            run.and_then(|span| span.outside)
                .map_or(worked, |so_far| worked.max(so_far)),
        ),
        floor: inputs.heating.floor,
        top: inputs.heating.top,
        furnace: inputs.heating.furnace,
    }
}
