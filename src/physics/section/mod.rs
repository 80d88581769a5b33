//! Heating and cooling of a rectangular section, in two dimensions.
//!
//! Heat content `h` (J/kg) of cells over the section, `rho dh/dt = div(k grad T)`, with
//! `k grad T` taken as the gradient of the conducted-heat integral, so that conductivity and
//! specific heat may vary with temperature ([`super::properties`], EN 1993-1-2). Open faces lose
//! `eps sigma (T^4 - Tw^4)` and the film of [`Convection`]; faces may touch an anvil or a die
//! ([`Contact`]). Nothing is lost through the ends: a bar a few sides long. Density and size stay
//! those of the cold bar.
//!
//! Valid for sides of 0.5 to 500 mm, 20 to 1400 C; outside is an error. Numerical error under
//! 0.2 % of any time (checked against grids four times finer); the surface figures (emissivity,
//! film, contact) are worth 10 % or more.

mod around;
mod course;
mod grid;
mod lumped;
mod march;
mod matter;

pub use around::{Contact, Convection, DRAUGHT, Faces, SCALED_STEEL, SHOP_AIR, Surroundings};
pub use course::{Course, Moment};
pub use lumped::least_heating;
pub use matter::Matter;

use super::{Law, OutOfRange, Range};
use crate::metal::Mark;
use crate::units::{Celsius, Mm, Seconds};
use grid::Grid;
use march::March;

/// The card of this law.
pub const LAW: Law = Law {
    key: "section",
    title: "heating and cooling of a rectangular section",
    source: "heat equation in two dimensions with EN 1993-1-2:2005 properties, Stefan-Boltzmann \
             radiation, still-air film after McAdams (Holman, Heat Transfer)",
    mark: Mark::Computed,
    valid: "sides 0.5 to 500 mm, 20 to 1400 C; outside is an error",
};

const SIDE: Range = Range {
    law: "section cooling",
    name: "side",
    unit: "mm",
    least: 0.5,
    greatest: 500.0,
};
const TEMPERATURE: Range = Range {
    law: "section cooling",
    name: "temperature",
    unit: "C",
    least: 20.0,
    greatest: 1400.0,
};
/// The longest course that is followed.
const LONGEST_S: f64 = 48.0 * 3600.0;
/// Most change anywhere between two moments of a course, K.
const GRAIN_K: f64 = 8.0;

/// A rectangular cross-section, measured cold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Section {
    /// The broad side; top and bottom faces have this width.
    pub width: Mm,
    /// The distance from bottom to top.
    pub thickness: Mm,
}

/// Why a course cannot be worked out.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum SectionError {
    /// A side or a temperature outside the range.
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),
    /// The surroundings hold a figure that makes no sense.
    #[error(
        "the surroundings make no sense: check emissivity (0 to 1), temperatures and contact figures"
    )]
    Surroundings,
    /// The surroundings never bring the section there.
    #[error("the section never gets to {0:.0} C in these surroundings")]
    Never(f64),
}

/// Cools a section, uniform at `start`, until its hottest point is down to `until`.
///
/// ```
/// # use anvilside::physics::section::{Section, Surroundings, cool};
/// # use anvilside::units::{Celsius, Mm, Seconds};
/// let bar = Section { width: Mm(20.0), thickness: Mm(20.0) };
/// let course = cool(bar, Celsius(1250.0), Celsius(900.0), &Surroundings::air())?;
/// assert!(course.mean_at(Celsius(900.0)).is_some_and(|s| s.near(Seconds(57.8), 0.3)));
/// # Ok::<(), anvilside::physics::section::SectionError>(())
/// ```
///
/// # Errors
/// A side or a temperature outside the range, senseless surroundings, or surroundings that are not
/// colder than `until`.
pub fn cool(
    section: Section,
    start: Celsius,
    until: Celsius,
    around: &Surroundings,
) -> Result<Course, SectionError> {
    TEMPERATURE.check(until.0)?;
    follow(section, Matter::steel(), start, around, 1, until, |now| {
        now.hottest <= until
    })
}

/// Heats a section, uniform at `start`, until its coldest point is up to `until`.
///
/// # Errors
/// As [`cool`], with surroundings that are not hotter than `until`.
pub fn heat(
    section: Section,
    start: Celsius,
    until: Celsius,
    around: &Surroundings,
) -> Result<Course, SectionError> {
    TEMPERATURE.check(until.0)?;
    follow(section, Matter::steel(), start, around, 1, until, |now| {
        now.coldest >= until
    })
}

/// Time in a fire or furnace at `furnace` until the core stands within `core_within` kelvin of it.
///
/// ```
/// # use anvilside::physics::section::{Section, soak};
/// # use anvilside::units::{Celsius, Mm, Seconds};
/// let bar = Section { width: Mm(30.0), thickness: Mm(30.0) };
/// let time = soak(bar, Celsius(20.0), Celsius(1250.0), Celsius(20.0))?;
/// assert!(time.near(Seconds(376.0), 4.0));
/// # Ok::<(), anvilside::physics::section::SectionError>(())
/// ```
///
/// # Errors
/// As [`heat`]; a difference of 0.5 K or less is never reached.
pub fn soak(
    section: Section,
    start: Celsius,
    furnace: Celsius,
    core_within: Celsius,
) -> Result<Seconds, SectionError> {
    TEMPERATURE.check(furnace.0)?;
    let wanted = furnace - core_within;
    if core_within.0.is_nan() || core_within.0 <= 0.5 {
        return Err(SectionError::Never(furnace.0));
    }
    if start >= wanted {
        return Ok(Seconds::ZERO);
    }
    let course = heat(section, start, wanted, &Surroundings::furnace(furnace))?;
    course
        .centre_at(wanted)
        .ok_or(SectionError::Never(wanted.0))
}

/// Time in a fire or furnace until the mean has reached `working` and core and skin differ by no
/// more than `core_within` kelvin: hot enough, and hot through.
///
/// # Errors
/// As [`heat`].
pub fn soak_through(
    section: Section,
    start: Celsius,
    furnace: Celsius,
    working: Celsius,
    core_within: Celsius,
) -> Result<Seconds, SectionError> {
    TEMPERATURE.check(working.0)?;
    let around = Surroundings::furnace(furnace);
    let gap = |now: &Moment| now.hottest - now.coldest;
    let done = |now: &Moment| now.mean >= working && gap(now) <= core_within;
    let course = follow(section, Matter::steel(), start, &around, 1, working, done)?;
    let [.., before, last] = course.moments() else {
        return Ok(course.length());
    };
    // Between the last two moments, where both have come true.
    let share = |was: Celsius, is: Celsius, at: Celsius| {
        let part = (at - was).0 / (is - was).0;
        if part.is_finite() {
            part.clamp(0.0, 1.0)
        } else {
            0.0
        }
    };
    let hot = if before.mean < working {
        share(before.mean, last.mean, working)
    } else {
        0.0
    };
    let even = if gap(before) > core_within {
        share(gap(before), gap(last), core_within)
    } else {
        0.0
    };
    Ok(before.seconds + (last.seconds - before.seconds) * hot.max(even))
}

/// Follows a section of any material until `done`; `fine` multiplies the grid.
///
/// # Errors
/// As [`cool`]; `wanted` is the temperature named when `done` never comes true.
pub fn follow(
    section: Section,
    matter: &Matter,
    start: Celsius,
    around: &Surroundings,
    fine: u32,
    wanted: Celsius,
    done: impl Fn(&Moment) -> bool,
) -> Result<Course, SectionError> {
    SIDE.check(section.width.0)?;
    SIDE.check(section.thickness.0)?;
    TEMPERATURE.check(start.0)?;
    if !around.is_sane() {
        return Err(SectionError::Surroundings);
    }
    let (width, thickness) = (section.width.metres(), section.thickness.metres());
    let mut grid = Grid::new(width, thickness, fine.clamp(1, 16), matter, around);
    let uniform = grid.uniform(start.0);
    let mut march = March::new(&mut grid, uniform);
    let mut moments = vec![Moment::of(0.0, grid.glance(&march.heat))];
    loop {
        let Some(now) = moments.last().copied() else {
            return Err(SectionError::Never(wanted.0));
        };
        if done(&now) {
            return Ok(Course::new(moments));
        }
        let longest = LONGEST_S - march.seconds;
        if longest <= 0.0 || !march.step(&mut grid, longest, GRAIN_K) {
            return Err(SectionError::Never(wanted.0));
        }
        let then = Moment::of(march.seconds, grid.glance(&march.heat));
        if now.stands_still(&then) {
            return Err(SectionError::Never(wanted.0));
        }
        moments.push(then);
    }
}

#[cfg(test)]
mod tests;
