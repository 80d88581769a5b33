//! Will the press move the bar. An estimate, from hot flow stress and die pressure.

use super::{at_step, before};
use crate::billet::{Billet, SteelId, Struck};
use crate::metal::Composition;
use crate::physics::{Pressing, longest_bite};
use crate::plan::{Diagnostic, HeatWindow, Level, Machine, Plan, Step, Walk};
use crate::units::{Celsius, Kilonewtons, Mm};

/// Working window where a step names none. Common practice, no source.
const WINDOW: HeatWindow = HeatWindow {
    low: Celsius(900.0),
    high: Celsius(1150.0),
};
/// Shortest bite in a press that still draws a bar out. Common practice, no source.
const LEAST_BITE: Mm = Mm(10.0);
/// A good bite: strain, and its rate in a small press, 1/s.
const STRAIN: f64 = 0.2;
const RATE: f64 = 1.0;

pub(super) fn review(plan: &Plan, walk: &Walk, found: &mut Vec<Diagnostic>) {
    let Machine::Press { force } = plan.shop.machine else {
        return;
    };
    let first = plan.first_billet();
    for (at, (step, row)) in plan.steps.iter().zip(&walk.rows).enumerate() {
        // Setting a weld takes a light squeeze only.
        let worked = step.kind().row().struck == Struck::Along;
        let Some(start) = before(plan, walk, &first, at).filter(|_| worked) else {
            continue;
        };
        let tightest = [&*start, &row.billet]
            .into_iter()
            .filter_map(|billet| bite(plan, step, force, billet).map(|bite| (bite, billet)))
            .min_by(|a, b| a.0.0.total_cmp(&b.0.0));
        if let Some((bite, billet)) = tightest.filter(|(bite, _)| bite.0 < LEAST_BITE.0) {
            let units = plan.units;
            found.push(at_step(
                Level::Warning,
                step,
                "width",
                format!(
                    "the press of {} moves only about {} along a bar {} wide and {} thick (estimate)",
                    units.force(force),
                    units.length(Mm(bite.0.round())),
                    units.length(billet.bar.width),
                    units.length(billet.bar.thickness)
                ),
                "work hotter, narrower or thicker, or finish it under a hammer",
            ));
        }
    }
}

/// Longest bite of that press on that bar, in the middle of the step's window.
fn bite(plan: &Plan, step: &Step, force: Kilonewtons, billet: &Billet) -> Option<Mm> {
    let window = plan.window(step).unwrap_or(WINDOW);
    let at = Pressing {
        metal: mean(plan, billet),
        temperature: Celsius((window.low.0 + window.high.0) / 2.0),
        strain: STRAIN,
        rate: RATE,
    };

    let height = billet.bar.thickness;
    longest_bite(force, billet.bar.width, height, &at)
        .ok()
        .map(|bite| Mm(bite.best))
}

/// Mean analysis of the billet by volume.
fn mean(plan: &Plan, billet: &Billet) -> Composition {
    let volume = billet.bar.volume();
    let steels = plan.steels.iter().enumerate();
    Composition::mix(steels.map(|(at, steel)| {
        let share = billet.volume_of(SteelId::from_index(at)) / volume;
        (steel.steel.nominal, share)
    }))
}
