//! Times in and out of the fire for the piece in hand.

use super::Inputs;
use super::course::course;
use super::span::HeatSpan;
use crate::physics::Spread;
use crate::physics::section::{Contact, Section, Surroundings, cool, soak_through};
use crate::units::{Celsius, Mm, Seconds};

/// Core and skin this near are taken as through.
const EVEN: Celsius = Celsius(25.0);
/// What the shop air is taken as.
pub(super) const SHOP: Celsius = Celsius(20.0);
/// What the surface figures leave open, either way.
pub(super) const SURFACE: f64 = 0.15;

/// Times for the piece in hand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FireNumbers {
    /// In the fire until hot and hot through; the surface figures are worth 15 % either way.
    pub through: Spread,
    /// Out of the fire until the window's lower end: best under the dies for part of the time, high
    /// in still air, low with hard contact.
    pub left: Spread,
    /// From here: the top of the window, or what a short heat has reached.
    pub top: Celsius,
    /// To here.
    pub floor: Celsius,
}

/// Times for the piece in hand.
pub(super) fn fire(inputs: &Inputs) -> Option<FireNumbers> {
    let window = inputs.window?;
    let (top, floor) = (inputs.heating.top, window.low);
    let section = Section {
        width: inputs.section.0,
        thickness: inputs.section.1,
    };
    let from = if inputs.from_cold {
        SHOP
    } else {
        floor.min(top - Celsius(1.0))
    };
    let through = soak_through(section, from, inputs.heating.furnace, top, EVEN).ok()?;
    let through = Spread::around(through.0, SURFACE);
    let start = inputs.running().and_then(early).unwrap_or(top);
    Some(FireNumbers {
        through,
        left: left(section, start, floor)?,
        top: start,
        floor,
    })
}

/// Seconds of work between two temperatures.
fn left(section: Section, from: Celsius, floor: Celsius) -> Option<Spread> {
    if from <= floor {
        return Some(Spread::exact(0.0));
    }
    let until = |around: &Surroundings| {
        let course = cool(section, from, floor, around).ok()?;
        course.mean_at(floor).map(|at| at.0)
    };
    let air = until(&Surroundings::air())?;
    let dies = until(&Surroundings::air().between(Contact::WORKING))?;
    Some(Spread {
        low: dies,
        best: f64::midpoint(air, dies),
        high: air,
    })
}

/// What a piece that came out well before it was hot through has reached.
fn early(span: &HeatSpan) -> Option<Celsius> {
    span.outside?;
    let up = course(span.section, span.from(), span.top, Some(span.furnace))?;
    let hot = up.mean_at(span.top - Celsius(5.0)).unwrap_or(up.length());
    (span.inside < hot * (1.0 - SURFACE)).then(|| up.at(span.inside).mean)
}

impl HeatSpan {
    /// The temperature that it went in at: cold, or as far down as it was worked.
    pub(super) fn from(&self) -> Celsius {
        if self.from_cold {
            SHOP
        } else {
            self.floor.min(self.top)
        }
    }

    /// The way up to heat: the time it took, of the time inside, and the course followed.
    pub(super) fn way_up(&self) -> Option<(Seconds, crate::physics::section::Course)> {
        let up = course(self.section, self.from(), self.top, Some(self.furnace))?;
        Some((up.length().min(self.inside), up))
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
        from_cold: run.map_or(inputs.from_cold, |span| span.from_cold),
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
