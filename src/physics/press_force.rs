//! Force of a press bite between flat dies.
//!
//! `F = Q Y b w`, Y the flow stress, b the bite along the bar, w the width, h the height.
//! Wide dies (b >= h): slab method with sticking friction (Hosford and Caddell, Metal Forming, seen
//! as `p = 2k (1 + b/4h)`), offset by Prandtl's field for rough plates to `3/4 + b/4h` (from memory).
//! Narrow dies: indentation, rising to `1 + pi/2` at h/b = 8.7 (Hill, from memory). A bar wider than
//! the bite is held back by its neighbours: up to 15.5 % more (plane strain, von Mises).
//! One continuous factor Q; the band, 0.90 to 1.25, is worked out from the spread between the
//! slab, the field and the indentation solutions.

use super::draw_out::coefficient;
use super::flow_stress::{Working, flow_stress};
use super::{Law, OutOfRange, Range, Spread};
use crate::metal::{Composition, Mark};
use crate::units::{Celsius, Kilonewtons, Mm};

/// The card of this law.
pub const LAW: Law = Law {
    key: "press-force",
    title: "press force",
    source: "slab method with sticking friction (Hosford and Caddell, Metal Forming), \
             indentation (Hill), flow stress after Shida",
    mark: Mark::Seen,
    valid: "flat dies, 700 to 1300 C; range 0.90 to 1.25 on the die pressure",
};

/// Sizes, mm.
pub const SIZE: Range = Range {
    law: LAW.title,
    name: "size",
    unit: "mm",
    least: 1.0,
    greatest: 500.0,
};
const BAND: (f64, f64) = (0.9, 1.25);

/// One bite: the block of metal between the dies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bite {
    /// Die contact along the bar.
    pub bite: Mm,
    /// Width of the bar.
    pub width: Mm,
    /// Height of the bar between the dies.
    pub height: Mm,
}

impl Bite {
    /// Bite, width and height in millimetres.
    #[must_use]
    pub const fn new(bite: f64, width: f64, height: f64) -> Self {
        Self {
            bite: Mm(bite),
            width: Mm(width),
            height: Mm(height),
        }
    }

    pub(crate) fn check(&self) -> Result<(), OutOfRange> {
        for size in [self.bite, self.width, self.height] {
            SIZE.check(size.0)?;
        }
        Ok(())
    }

    /// Area under the die, mm2.
    pub(crate) fn area(&self) -> f64 {
        self.bite.0 * self.width.0
    }
}

/// Metal under the press.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pressing {
    /// Mean analysis of the billet.
    pub metal: Composition,
    /// Temperature of the metal.
    pub temperature: Celsius,
    /// Strain at which a bite is judged when its start is asked for; 0.2 is a good bite.
    pub strain: f64,
    /// Strain rate, 1/s; ram speed over height, about 0.5 to 2 in a press.
    pub rate: f64,
}

/// Q, dimensionless: mean die pressure over flow stress.
///
/// ```
/// # use anvilside::physics::{pressure_factor, Bite};
/// assert!((pressure_factor(Bite::new(25.0, 50.0, 50.0))? - 1.25).abs() < 0.01);
/// assert!((pressure_factor(Bite::new(50.0, 50.0, 50.0))? - 1.00).abs() < 0.01);
/// assert!((pressure_factor(Bite::new(50.0, 40.0, 12.0))? - 1.79).abs() < 0.01);
/// # Ok::<(), anvilside::physics::OutOfRange>(())
/// ```
///
/// # Errors
/// A size outside [`SIZE`].
pub fn pressure_factor(at: Bite) -> Result<f64, OutOfRange> {
    at.check()?;
    Ok(factor(at))
}

pub(crate) fn factor(at: Bite) -> f64 {
    let (b, w, h) = (at.bite.0, at.width.0, at.height.0);
    let held = 1.0 + 0.155 * ((w / b - 1.0) / 4.0).clamp(0.0, 1.0);
    let shape = if b >= h {
        0.75 + b / (4.0 * h)
    } else {
        (1.0 + 0.2035 * (h / b - 1.0)).min(1.0 + std::f64::consts::FRAC_PI_2)
    };
    held * shape
}

/// Force in kN for a bite, with its band.
///
/// ```
/// # use anvilside::metal::Composition;
/// # use anvilside::physics::{press_force, Bite, Pressing};
/// # use anvilside::units::Celsius;
/// let metal = Composition { c: 0.8, ..Composition::default() };
/// let at = Pressing { metal, temperature: Celsius(1100.0), strain: 0.2, rate: 1.0 };
/// let force = press_force(Bite::new(25.0, 50.0, 50.0), &at)?;
/// assert!((force.best - 111.0).abs() < 1.0);
/// # Ok::<(), anvilside::physics::OutOfRange>(())
/// ```
///
/// # Errors
/// A size outside [`SIZE`], or metal outside the ranges of the flow stress.
pub fn press_force(bite: Bite, at: &Pressing) -> Result<Spread, OutOfRange> {
    bite.check()?;
    let working = Working {
        temperature: at.temperature,
        strain: at.strain,
        rate: at.rate,
    };
    let pressure = Spread::factors(factor(bite), BAND.0, BAND.1);
    let force = flow_stress(&at.metal, working)?.times(pressure);
    Ok(force.scaled(bite.area() / 1000.0))
}

/// Widest bar in mm of this height that a press still moves with this die, with its band.
///
/// ```
/// # use anvilside::metal::Composition;
/// # use anvilside::physics::{widest_bar, Pressing};
/// # use anvilside::units::{Celsius, Kilonewtons, Mm};
/// let metal = Composition { c: 0.8, ..Composition::default() };
/// let at = Pressing { metal, temperature: Celsius(1100.0), strain: 0.2, rate: 1.0 };
/// let press = Kilonewtons::from_us_tons(16.0);
/// let width = widest_bar(press, Mm(25.0), Mm(40.0), &at)?;
/// assert!((width.best - 67.0).abs() < 1.0);
/// # Ok::<(), anvilside::physics::OutOfRange>(())
/// ```
///
/// # Errors
/// As [`press_force`]. A bar wider than [`SIZE`] reads as its greatest, one narrower as its least.
pub fn widest_bar(
    press: Kilonewtons,
    bite: Mm,
    height: Mm,
    at: &Pressing,
) -> Result<Spread, OutOfRange> {
    largest(press, |width| {
        press_force(
            Bite {
                bite,
                width,
                height,
            },
            at,
        )
    })
}

/// Longest bite in mm along this bar that a press still moves, with its band: how much of the bar
/// the dies may cover.
///
/// # Errors
/// As [`press_force`]. Beyond [`SIZE`] the answer is held at its ends.
pub fn longest_bite(
    press: Kilonewtons,
    width: Mm,
    height: Mm,
    at: &Pressing,
) -> Result<Spread, OutOfRange> {
    largest(press, |bite| {
        press_force(
            Bite {
                bite,
                width,
                height,
            },
            at,
        )
    })
}

/// Height in mm at which a press stops in one bite, with its band: the strain, the width and the
/// factor are followed down. The starting height means that the press does not move it at all.
///
/// ```
/// # use anvilside::metal::Composition;
/// # use anvilside::physics::{stops_at, Bite, Pressing};
/// # use anvilside::units::{Celsius, Kilonewtons};
/// let metal = Composition { c: 0.8, ..Composition::default() };
/// let at = Pressing { metal, temperature: Celsius(1100.0), strain: 0.2, rate: 1.0 };
/// let height = stops_at(Kilonewtons::from_us_tons(25.0), Bite::new(25.0, 50.0, 50.0), &at)?;
/// assert!(height.best > 8.0 && height.best < 12.0);
/// # Ok::<(), anvilside::physics::OutOfRange>(())
/// ```
///
/// # Errors
/// As [`press_force`].
pub fn stops_at(press: Kilonewtons, start: Bite, at: &Pressing) -> Result<Spread, OutOfRange> {
    start.check()?;
    let s = coefficient(start.bite / start.width);
    let force = |height: f64| -> Result<Spread, OutOfRange> {
        let q = start.height.0 / height;
        let bite = Bite {
            width: Mm((start.width.0 * q.powf(s)).min(SIZE.greatest)),
            height: Mm(height),
            ..start
        };
        // The metal hardens little below a strain of 0.1 when hot; a press starts there.
        let strain = q.ln().max(0.1);
        press_force(bite, &Pressing { strain, ..*at })
    };
    let reach = |pick: fn(&Spread) -> f64| -> Result<f64, OutOfRange> {
        if pick(&force(start.height.0)?) > press.0 {
            return Ok(start.height.0);
        }
        let (mut stuck, mut moved) = (SIZE.least, start.height.0);
        if pick(&force(stuck)?) <= press.0 {
            return Ok(stuck);
        }
        for _ in 0..60 {
            let middle = f64::midpoint(stuck, moved);
            if pick(&force(middle)?) > press.0 {
                stuck = middle;
            } else {
                moved = middle;
            }
        }
        Ok(moved)
    };
    Ok(Spread {
        low: reach(|f| f.low)?,
        best: reach(|f| f.best)?,
        high: reach(|f| f.high)?,
    })
}

/// Largest size whose force stays within the press; the force must rise with the size.
fn largest(
    press: Kilonewtons,
    force: impl Fn(Mm) -> Result<Spread, OutOfRange>,
) -> Result<Spread, OutOfRange> {
    let reach = |pick: fn(&Spread) -> f64| -> Result<f64, OutOfRange> {
        let (mut moves, mut stuck) = (SIZE.least, SIZE.greatest);
        if pick(&force(Mm(stuck))?) <= press.0 {
            return Ok(stuck);
        }
        for _ in 0..60 {
            let middle = f64::midpoint(moves, stuck);
            if pick(&force(Mm(middle))?) <= press.0 {
                moves = middle;
            } else {
                stuck = middle;
            }
        }
        Ok(moves)
    };
    Ok(Spread {
        low: reach(|f| f.high)?,
        best: reach(|f| f.best)?,
        high: reach(|f| f.low)?,
    })
}

#[cfg(test)]
mod tests {
    use super::{Bite, Pressing, longest_bite, press_force, pressure_factor, stops_at, widest_bar};
    use crate::metal::Composition;
    use crate::units::{Celsius, Kilonewtons, Mm};

    fn at(t: f64) -> Pressing {
        Pressing {
            metal: Composition {
                c: 0.8,
                ..Composition::default()
            },
            temperature: Celsius(t),
            strain: 0.2,
            rate: 1.0,
        }
    }

    #[test]
    fn the_factor_is_continuous_where_the_die_equals_the_height() {
        let narrow = pressure_factor(Bite::new(24.999, 40.0, 25.0)).unwrap();
        let wide = pressure_factor(Bite::new(25.001, 40.0, 25.0)).unwrap();
        assert!((narrow - wide).abs() < 1e-3);
    }

    #[test]
    fn the_indentation_factor_reaches_hill_and_stays() {
        let f = |h: f64| pressure_factor(Bite::new(10.0, 10.0, h)).unwrap();
        assert!((f(87.0) - 2.567).abs() < 0.01);
        assert!((f(200.0) - 2.571).abs() < 0.001);
    }

    #[test]
    fn a_twelve_ton_press_just_fails_the_fifty_bite_and_sixteen_moves_it() {
        let bite = Bite::new(25.0, 50.0, 50.0);
        let force = press_force(bite, &at(1100.0)).unwrap();
        assert!(force.best > Kilonewtons::from_us_tons(12.0).0);
        assert!(force.best < Kilonewtons::from_us_tons(16.0).0);
        let sixteen = stops_at(Kilonewtons::from_us_tons(16.0), bite, &at(1100.0)).unwrap();
        assert!(sixteen.low < sixteen.best && sixteen.best < sixteen.high);
        assert!((sixteen.best - 19.0).abs() < 2.0, "{}", sixteen.best);
    }

    #[test]
    fn the_bar_that_just_moves_needs_just_the_press() {
        let press = Kilonewtons::from_us_tons(16.0);
        let width = widest_bar(press, Mm(38.0), Mm(14.0), &at(950.0)).unwrap();
        let force = press_force(Bite::new(38.0, width.best, 14.0), &at(950.0)).unwrap();
        assert!((force.best - press.0).abs() < 1e-6);
        let bite = longest_bite(press, Mm(50.0), Mm(14.0), &at(950.0)).unwrap();
        let force = press_force(Bite::new(bite.best, 50.0, 14.0), &at(950.0)).unwrap();
        assert!((force.best - press.0).abs() < 1e-6);
        assert!(bite.low < bite.best && bite.best < bite.high);
    }

    #[test]
    fn a_weak_press_does_not_move_it() {
        let weak = stops_at(Kilonewtons(5.0), Bite::new(50.0, 50.0, 20.0), &at(900.0)).unwrap();
        assert!((weak.best - 20.0).abs() < 1e-9);
    }
}
