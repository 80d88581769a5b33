//! How many heats a drawing job takes.
//!
//! Seconds from T1 to T2 by radiation alone at an even temperature:
//! `t = rho c H / (3 eps sigma) (1/T2^3 - 1/T1^3)`, T in K, H volume over surface; rho 7500 kg/m3, c 650 J/kg/K,
//! eps 0.8 (handbook values, from memory). Dies and air take a third to a half of that time:
//! 0.6 of it is left for work (common practice, no source). A press spends the time in bites; a
//! hammer spends energy: `W = Q Y V sum(a)`. A shop that logs its own reduction per heat beats both.

use super::draw_plan::DrawPlan;
use super::flow_stress::{Working, flow_stress};
use super::press_force::{Bite, factor};
use super::{Hammer, Law, OutOfRange, Range, Spread};
use crate::metal::{Composition, Mark};
use crate::units::{Celsius, Fraction, Joules, Mm, Mm3, Seconds};

/// The card of this law.
pub const LAW: Law = Law {
    key: "heats",
    title: "heats expected",
    source: "Stefan-Boltzmann radiation of an even bar; share of the time left for work is \
             common practice",
    mark: Mark::Computed,
    valid: "section sides 1 to 300 mm, 500 to 1350 C",
};
/// Side of the section, mm.
pub const SIDE: Range = Range {
    law: LAW.title,
    name: "side",
    unit: "mm",
    least: 1.0,
    greatest: 300.0,
};
/// Working temperatures, C.
pub const TEMPERATURE: Range = Range {
    law: LAW.title,
    name: "temperature",
    unit: "C",
    least: 500.0,
    greatest: 1350.0,
};
/// Strokes or blows a minute.
pub const PACE: Range = Range {
    law: LAW.title,
    name: "strokes a minute",
    unit: "",
    least: 1.0,
    greatest: 1000.0,
};
/// Log reduction of area in one heat.
pub const GAIN: Range = Range {
    law: LAW.title,
    name: "log reduction per heat",
    unit: "",
    least: 0.001,
    greatest: 2.0,
};
/// Part of the radiation time that is left for work.
pub const AT_WORK: f64 = 0.6;
/// Stefan-Boltzmann constant, W/m2/K4.
const SIGMA: f64 = 5.670_374_419e-8;
const HEAT_PER_M3: f64 = 7500.0 * 650.0;
const EMISSIVITY: f64 = 0.8;
/// A job differs from its plan by a quarter either way (common practice, no source).
const TRUST: f64 = 0.25;

/// Radiation time of a long rectangular bar between two temperatures; multiply by [`AT_WORK`] for
/// the time at the dies.
///
/// ```
/// # use anvilside::physics::heats::radiation_time;
/// # use anvilside::units::{Celsius, Mm};
/// let t = radiation_time(Mm(50.0), Mm(50.0), Celsius(1200.0), Celsius(950.0))?;
/// assert!((t.0 - 104.6).abs() < 0.5);
/// # Ok::<(), anvilside::physics::OutOfRange>(())
/// ```
///
/// # Errors
/// A side outside [`SIDE`] or a temperature outside [`TEMPERATURE`]. A start that is not hotter
/// than the end gives zero.
pub fn radiation_time(
    height: Mm,
    width: Mm,
    from: Celsius,
    to: Celsius,
) -> Result<Seconds, OutOfRange> {
    let (h, w) = (
        SIDE.check(height.0)? / 1000.0,
        SIDE.check(width.0)? / 1000.0,
    );
    TEMPERATURE.check(from.0)?;
    TEMPERATURE.check(to.0)?;
    let over_surface = h * w / (2.0 * (h + w));
    let cubes = to.kelvin().0.powi(-3) - from.kelvin().0.powi(-3);
    Ok(Seconds(
        (HEAT_PER_M3 * over_surface / (3.0 * EMISSIVITY * SIGMA) * cubes).max(0.0),
    ))
}

/// The window that a heat is worked in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeatWindow {
    /// Out of the fire at.
    pub from: Celsius,
    /// Back to the fire at.
    pub to: Celsius,
}

/// Heats to work through a drawing plan with a press, with a band of a quarter either way.
///
/// # Errors
/// A pace outside [`PACE`], a section outside [`SIDE`], a window outside [`TEMPERATURE`].
pub fn press_heats(
    plan: &DrawPlan,
    first: super::Bar,
    window: HeatWindow,
    strokes_per_minute: f64,
) -> Result<Spread, OutOfRange> {
    let pace = PACE.check(strokes_per_minute)? / 60.0;
    let mut section = first;
    let mut heats = 0.0;
    for pass in &plan.passes {
        let time = radiation_time(section.height, section.width, window.from, window.to)?;
        heats += pass.bites / (AT_WORK * time.0 * pace).max(1e-9);
        section = pass.after;
    }
    Ok(whole(heats))
}

/// Energy that a drawing job takes: flow stress in MPa, Q, volume, log elongation and the spread
/// coefficient.
///
/// ```
/// # use anvilside::physics::heats::draw_work;
/// # use anvilside::units::Mm3;
/// let work = draw_work(96.0, 1.25, Mm3(500_000.0), (778.0_f64 / 200.0).ln(), 0.4);
/// assert!((work.0 / 1000.0 - 136.0).abs() < 3.0);
/// ```
#[must_use]
pub fn draw_work(
    flow_mpa: f64,
    pressure_factor: f64,
    volume: Mm3,
    log_longer: f64,
    spread: f64,
) -> Joules {
    let squeezed = log_longer / (1.0 - spread);
    Joules(pressure_factor * flow_mpa * volume.0 * squeezed / 1000.0)
}

/// A hammer at work.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pace {
    /// Blows a minute.
    pub blows_per_minute: f64,
    /// Seconds a heat stays workable.
    pub window: Seconds,
    /// Part of that time in which blows fall; 0.7 when unknown.
    pub duty: Fraction,
}

/// Blows and heats to work through a drawing plan with a hammer.
///
/// # Errors
/// Metal, hammer, pace or sizes outside their ranges.
pub fn hammer_heats(
    plan: &DrawPlan,
    first: super::Bar,
    bite: Mm,
    hammer: &Hammer,
    metal: &Composition,
    temperature: Celsius,
    pace: &Pace,
) -> Result<(f64, Spread), OutOfRange> {
    let useful = hammer.useful()?;
    let per_minute = PACE.check(pace.blows_per_minute)?;
    let mut work = 0.0;
    let mut bar = first;
    for pass in &plan.passes {
        let (height, width) = if pass.on_edge {
            (bar.width, bar.height)
        } else {
            (bar.height, bar.width)
        };
        let block = Bite {
            bite,
            width,
            height,
        };
        block.check()?;
        let rate = super::flow_stress::RATE.clamp(1000.0 * hammer.speed / height.0);
        let flow = flow_stress(
            metal,
            Working {
                temperature,
                strain: 0.03,
                rate,
            },
        )?;
        work += factor(block) * flow.best * bar.volume().0 * pass.squeeze.ln() / 1000.0;
        bar = pass.after;
    }
    let blows = work / useful.0;
    let per_heat = per_minute / 60.0 * pace.window.0 * pace.duty.0;
    Ok((blows, whole(blows / per_heat.max(1e-9))))
}

/// Heats from an area ratio and what the shop gains per heat in log reduction: 0.12 to 0.20 under a
/// press or a 50 lb hammer on 1 to 2 kg, 0.05 to 0.08 by hand (common practice, no source).
///
/// ```
/// # use anvilside::physics::heats::heats_for_ratio;
/// # use anvilside::physics::Spread;
/// let heats = heats_for_ratio(4.0, Spread { low: 0.12, best: 0.16, high: 0.20 })?;
/// assert!((heats.best - 9.0).abs() < 1e-9 && (heats.high - 12.0).abs() < 1e-9);
/// # Ok::<(), anvilside::physics::OutOfRange>(())
/// ```
///
/// # Errors
/// A gain outside [`GAIN`] or a ratio below one.
pub fn heats_for_ratio(area_ratio: f64, gain_per_heat: Spread) -> Result<Spread, OutOfRange> {
    const RATIO: Range = Range {
        law: LAW.title,
        name: "area ratio",
        unit: "",
        least: 1.0,
        greatest: 10_000.0,
    };
    let log = RATIO.check(area_ratio)?.ln();
    for gain in [gain_per_heat.low, gain_per_heat.best, gain_per_heat.high] {
        GAIN.check(gain)?;
    }
    Ok(gain_per_heat.map(|gain| (log / gain - 1e-9).ceil()))
}

fn whole(heats: f64) -> Spread {
    Spread::around(heats, TRUST).map(|n| (n - 1e-9).ceil())
}

#[cfg(test)]
mod tests {
    use super::{HeatWindow, Pace, hammer_heats, press_heats, radiation_time};
    use crate::metal::Composition;
    use crate::physics::draw_plan::{DrawPlan, plan_draw};
    use crate::physics::{Bar, Hammer};
    use crate::units::{Celsius, Fraction, Grams, Mm, Seconds};

    const START: Bar = Bar::new(50.0, 50.0, 200.0);
    const WINDOW: HeatWindow = HeatWindow {
        from: Celsius(1200.0),
        to: Celsius(950.0),
    };

    fn job() -> DrawPlan {
        plan_draw(START, Mm(25.35), Mm(25.35), Mm(25.0), 1.26).unwrap()
    }

    #[test]
    fn the_press_job_worked_apart() {
        let slow = press_heats(&job(), START, WINDOW, 20.0).unwrap();
        let fast = press_heats(&job(), START, WINDOW, 30.0).unwrap();
        assert!((slow.best - 12.0).abs() < 1.1, "{slow:?}");
        assert!((fast.best - 8.0).abs() < 1.1, "{fast:?}");
    }

    #[test]
    fn the_hammer_job_worked_apart() {
        let pace = Pace {
            blows_per_minute: 250.0,
            window: Seconds(45.0),
            duty: Fraction(0.7),
        };
        let metal = Composition {
            c: 0.8,
            ..Composition::default()
        };
        for (ram, heats, blows) in [
            (25.0, 17.0, 2170.0),
            (50.0, 8.0, 1090.0),
            (100.0, 4.0, 540.0),
        ] {
            let hammer = Hammer {
                ram: Grams::from_pounds(ram),
                speed: 4.0,
                efficiency: Fraction(0.7),
            };
            let (n, spread) = hammer_heats(
                &job(),
                START,
                Mm(25.0),
                &hammer,
                &metal,
                Celsius(1075.0),
                &pace,
            )
            .unwrap();
            // The worked job takes one section and one stress for the whole; this walks the passes.
            assert!((n / blows - 1.0).abs() < 0.25, "{ram}: {n}");
            assert!(
                (spread.best / heats - 1.0).abs() < 0.35,
                "{ram}: {spread:?}"
            );
        }
    }

    #[test]
    fn bounds_and_order() {
        let t = |a: f64, b: f64| radiation_time(Mm(40.0), Mm(40.0), Celsius(a), Celsius(b));
        assert!((t(1200.0, 900.0).unwrap().0 - 109.8).abs() < 0.5);
        assert!(t(900.0, 1200.0).unwrap().0.abs() < 1e-12);
        assert!(t(2000.0, 900.0).is_err());
        assert!(press_heats(&job(), START, WINDOW, 0.0).is_err());
    }
}
