//! What was read, and what follows from it.

use super::refuse::refuse;
use super::section::{Outside, hollow_at, thickness_for};
use crate::billet::{Bar, Dimension, Reading, Refusal};
use crate::units::{Density, Mm, Mm3, bounds};

/// What a step is expected to leave of one piece, and how readings correct it.
pub(super) struct Expect<F> {
    /// Sizes without a reading.
    pub(super) outside: Outside,
    /// Metal without a reading.
    pub(super) metal: Mm3,
    /// Cold density.
    pub(super) density: Density,
    /// Mean height of open space at a thickness.
    pub(super) hollow: F,
    /// Sizes that the step changes by itself: one of them read measures the step.
    pub(super) own: &'static [Dimension],
    /// Which size follows from the expected metal, first choice first.
    pub(super) follows: [Dimension; 3],
    /// Which size follows from a weighed mass, first choice first.
    pub(super) follows_mass: [Dimension; 3],
}

/// A bar as it is: the length follows first, and no size is the step's own.
pub(super) fn as_it_is(bar: &Bar, density: Density) -> Expect<impl Fn(Mm) -> Mm> {
    let follows = [Dimension::Length, Dimension::Width, Dimension::Thickness];
    Expect {
        outside: Outside::of(bar),
        metal: bar.volume(),
        density,
        hollow: |thickness| hollow_at(bar, thickness).0,
        own: &[],
        follows,
        follows_mass: follows,
    }
}

/// What is really there.
pub(super) struct Actual {
    pub(super) outside: Outside,
    /// True when the metal was measured: by mass, by all three sizes, or by the step's own size.
    pub(super) measured: bool,
    /// Metal by calipers over metal by the scale, where both were read and do not agree.
    pub(super) disagree: Option<(Mm3, Mm3)>,
}

/// Nothing that is worked is thinner, g or mm: a foil of paper, a splinter. Common practice, no source.
const LEAST: f64 = 0.1;

/// Refuses a reading that cannot be one.
///
/// # Errors
/// [`Refusal`] that names the size.
pub fn readable(reading: &Reading) -> Result<(), Refusal> {
    use Dimension::{Length, Mass, Thickness, Width};
    for what in [Thickness, Width, Length, Mass] {
        let greatest = match what {
            Mass => bounds::MASS.greatest,
            _ => bounds::LENGTH.greatest,
        };
        if let Some(value) = reading.get(what)
            && !(value.is_finite() && value >= LEAST && value <= greatest)
        {
            return Err(refuse(
                what.word(),
                format!("no bar has a {} of {value:.3} {}", what.word(), what.unit()),
                "read it again",
            ));
        }
    }
    if reading.bands == Some(0) {
        return Err(refuse(
            "bands",
            "a count of 0 bands cannot have been read",
            "count again, or leave the count out",
        ));
    }
    Ok(())
}

/// True when something was read that says how much metal there is or where it lies.
pub(super) fn any_size(reading: &Reading) -> bool {
    reading.mass.is_some()
        || reading.width.is_some()
        || reading.thickness.is_some()
        || reading.length.is_some()
}

impl<F: Fn(Mm) -> Mm> Expect<F> {
    /// Readings over expectation.
    pub(super) fn find(&self, reading: &Reading) -> Result<Actual, Refusal> {
        let mut outside = Outside {
            width: reading.width.unwrap_or(self.outside.width),
            thickness: reading.thickness.unwrap_or(self.outside.thickness),
            length: reading.length.unwrap_or(self.outside.length),
        };
        let all = self.follows.iter().all(|what| reading.get(*what).is_some());
        let own = self.own.iter().any(|what| reading.get(*what).is_some());
        let (mut measured, mut disagree) = (all || own, None);
        if let Some(mass) = reading.mass {
            measured = true;
            let metal = mass.volume(self.density);
            let open = (self.hollow)(outside.thickness);
            let by_caliper = outside.width * outside.length * (outside.thickness - open);
            if all && (by_caliper.0 / metal.0 - 1.0).abs() > 0.02 {
                disagree = Some((by_caliper, metal));
            }
            let free = self
                .follows_mass
                .iter()
                .find(|what| reading.get(**what).is_none());
            self.solve(&mut outside, *free.unwrap_or(&Dimension::Length), metal);
        } else if !measured
            && let Some(free) = self
                .follows
                .iter()
                .find(|what| reading.get(**what).is_none())
        {
            self.solve(&mut outside, *free, self.metal);
        }
        let greatest = Mm(bounds::LENGTH.greatest);
        let fits = |size: Mm| size.0 >= LEAST && size <= greatest;
        if fits(outside.width) && fits(outside.thickness) && fits(outside.length) {
            return Ok(Actual {
                outside,
                measured,
                disagree,
            });
        }
        Err(refuse(
            self.follows[0].word(),
            format!(
                "these sizes make a piece of {:.3} x {:.3} x {:.3} mm",
                outside.width.0, outside.thickness.0, outside.length.0
            ),
            "look at them again: metal stays as much as it was",
        ))
    }

    /// The one free size from the metal.
    fn solve(&self, outside: &mut Outside, free: Dimension, metal: Mm3) {
        let filled = outside.thickness - (self.hollow)(outside.thickness);
        match free {
            Dimension::Width => outside.width = metal / (filled * outside.length),
            Dimension::Thickness => {
                let face = outside.width * outside.length;
                outside.thickness = thickness_for(metal / face, &self.hollow);
            }
            _ => outside.length = metal / (outside.width * filled),
        }
    }
}
