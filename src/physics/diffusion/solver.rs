//! One heat, worked out on cells.
//!
//! `d(sum of h/gamma * a)/ds` = what comes in from both neighbours; unknown is the activity `a = gamma w`, the
//! same on both sides of a joint. Conductance between two cells: one over half the resistance of
//! each, resistance `sum of h gamma r`, r the reference
//! diffusivity over its own. In time TR-BDF2 (Bank et
//! al., IEEE Trans. Electron Devices 32 (1985) 1992; gamma = 2 - root 2): second order and L-stable, so that
//! fresh joints do not ring. Steps are even in the root of the worth since the last fresh joint. Carbon
//! is kept to rounding between sealed faces.

use super::cells::Cells;
use super::clock::{Clock, MM2, Moment};
use super::nickel_metal;
use super::ratio::Slowness;
use super::surface::{Faces, Surface};
use super::tridiagonal::{Chain, MatrixRow};

/// What a steel is to carbon.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Medium {
    /// Austenite.
    Steel,
    /// Nickel metal.
    Nickel,
}

/// What a heat is worked out with.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Setting<'a> {
    pub(crate) media: &'a [Medium],
    pub(crate) faces: Faces,
    /// Worth since the last fresh joint, mm2.
    pub(crate) age: f64,
    /// Steps from a fresh joint to the end of a heat.
    pub(crate) steps: f64,
    /// Solutions per stage: more than one only sharpens a diffusivity that follows carbon.
    pub(crate) passes: u32,
}

/// gamma of TR-BDF2.
const GAMMA: f64 = 2.0 - std::f64::consts::SQRT_2;
/// Weight of the middle stage and of the start in the last stage.
const MIDDLE: f64 = 1.0 / (GAMMA * (2.0 - GAMMA));
const START: f64 = MIDDLE - 1.0;

/// Works the heat out; the cells come back with their carbon and faces as they are at its end.
pub(crate) fn run(mut cells: Cells, clock: &Clock, setting: Setting<'_>) -> Cells {
    let worth = clock.total();
    if cells.len() == 0 || worth <= 0.0 {
        return cells;
    }
    let mut work = Work::new(&cells, setting);
    let (from, to) = (setting.age.sqrt(), (setting.age + worth).sqrt());
    let steps = (setting.steps * (to - from) / to).ceil().max(2.0);
    let mut done = 0.0;
    let mut at = 0.0;
    while done < steps {
        done += 1.0;
        let root = from + (to - from) * done / steps;
        let next = if done < steps {
            root * root - setting.age
        } else {
            worth
        };
        work.step(next - at, &Step::of(clock, at, next));
        at = next;
    }
    if !setting.faces.sealed() {
        // A face that has drained a cell to the last digit may leave that digit below nothing.
        work.a.iter_mut().for_each(|a| *a = a.max(0.0));
    }
    cells.faces = work.faces(clock.at(worth));
    let held = work
        .a
        .iter()
        .zip(&work.rows)
        .map(|(a, row)| a * row.capacity);
    cells.carbon = held.collect();
    cells
}

/// One steel where cells must look at each of their steels.
struct Apart {
    factor: f64,
    medium: Medium,
    mm: Vec<f64>,
}

/// What holds over one step.
struct Step {
    /// Temperature and thickness half way.
    now: Moment,
    steel: Slowness,
    nickel: Slowness,
}

impl Step {
    fn of(clock: &Clock, from: f64, to: f64) -> Self {
        let now = clock.at(f64::midpoint(from, to));
        let nickel = now.reference / MM2 / nickel_metal::value(now.kelvin);
        Self {
            now,
            steel: clock.slowness(from, to),
            nickel: Slowness::even(nickel),
        }
    }
}

struct Work<'a> {
    setting: Setting<'a>,
    /// The steels one by one, when one of them is nickel or far from the others in activity; empty
    /// otherwise, and a cell then counts as one steel of its mean factor.
    apart: Vec<Apart>,
    /// Carbon per activity, and `sum of h gamma`.
    cells: Vec<(f64, f64)>,
    /// Activity now, at the middle stage, and first the guess, then the answer of a stage.
    a: Vec<f64>,
    middle: Vec<f64>,
    stage: Vec<f64>,
    /// Change of activity per worth in the step before.
    rate: Vec<f64>,
    resistance: Vec<f64>,
    rows: Vec<MatrixRow>,
    chain: Chain,
    /// Conductances stand as of the end of the step before.
    set: bool,
}

impl<'a> Work<'a> {
    fn new(cells: &Cells, setting: Setting<'a>) -> Self {
        let capacity = cells.capacity(&cells.factors);
        let a: Vec<f64> = cells
            .carbon
            .iter()
            .zip(&capacity)
            .map(|(q, c)| q / c)
            .collect();
        let mut path = vec![0.0; cells.len()];
        for (steel, factor) in cells.steels.iter().zip(&cells.factors) {
            for (total, mm) in path.iter_mut().zip(steel) {
                *total += mm * factor;
            }
        }
        let held = capacity.iter().zip(cells.thickness()).map(|(c, h)| c / h);
        Self {
            setting,
            apart: apart(cells, setting.media),
            cells: held.zip(path).collect(),
            middle: a.clone(),
            stage: a.clone(),
            rate: vec![0.0; a.len()],
            resistance: vec![0.0; a.len()],
            rows: capacity
                .into_iter()
                .map(|capacity| MatrixRow {
                    capacity,
                    ..MatrixRow::default()
                })
                .collect(),
            a,
            chain: Chain::default(),
            set: false,
        }
    }

    /// One step of `worth`.
    fn step(&mut self, worth: f64, step: &Step) {
        let k = GAMMA * worth / 2.0;
        let ends = self.ends();
        if !self.set {
            self.stage.clone_from(&self.a);
            self.assemble(step);
            self.set = true;
        }
        self.half_from_start(k, ends);
        for ((guess, a), rate) in self.stage.iter_mut().zip(&self.a).zip(&self.rate) {
            *guess = (a + GAMMA * worth * rate).max(0.0);
        }
        self.solve(k, ends, step);
        std::mem::swap(&mut self.middle, &mut self.stage);

        let known = self.rows.iter_mut().zip(&self.a).zip(&self.middle);
        for (((row, a), m), guess) in known.zip(&mut self.stage) {
            row.rest = row.capacity * (MIDDLE * m - START * a);
            *guess = (a + (m - a) / GAMMA).max(0.0);
        }
        self.solve(k, ends, step);
        for ((rate, new), old) in self.rate.iter_mut().zip(&self.stage).zip(&self.a) {
            *rate = (new - old) / worth;
        }
        std::mem::swap(&mut self.a, &mut self.stage);
    }

    /// The half of the middle stage that stands on the start of the step.
    fn half_from_start(&mut self, k: f64, ends: (f64, f64)) {
        let mut before = ends.0;
        for (row, a) in self.rows.iter_mut().zip(&self.a) {
            row.rest = row.capacity * a + k * row.before * (before - a);
            before = *a;
        }
        let mut after = ends.1;
        for (row, a) in self.rows.iter_mut().zip(&self.a).rev() {
            row.rest += k * row.after * (after - a);
            after = *a;
        }
    }

    /// Solves one stage from the guess in `stage`, into `stage`.
    fn solve(&mut self, k: f64, ends: (f64, f64), step: &Step) {
        for _ in 0..self.setting.passes {
            self.assemble(step);
            self.chain.solve(&self.rows, k, ends, &mut self.stage);
        }
    }

    /// Conductances at the activities in `stage`.
    fn assemble(&mut self, step: &Step) {
        if self.apart.is_empty() {
            let known = self.resistance.iter_mut().zip(&self.stage);
            for ((r, a), (held, path)) in known.zip(&self.cells) {
                *r = path * step.steel.at(a * held);
            }
        } else {
            self.resistance.fill(0.0);
            for one in &self.apart {
                let slowness = match one.medium {
                    Medium::Steel => &step.steel,
                    Medium::Nickel => &step.nickel,
                };
                for ((r, a), mm) in self.resistance.iter_mut().zip(&self.stage).zip(&one.mm) {
                    *r += mm * one.factor * slowness.at(a / one.factor);
                }
            }
        }
        let mut before = f64::INFINITY;
        let mut nowhere = 0.0;
        let mut after = &mut nowhere;
        for (row, r) in self.rows.iter_mut().zip(&self.resistance) {
            let conductance = 2.0 / (before + r);
            *after = conductance;
            row.before = conductance;
            after = &mut row.after;
            before = *r;
        }
        let (first, last) = self.face_conductance(step.now);
        if let Some(row) = self.rows.first_mut() {
            row.before = first;
        }
        if let Some(row) = self.rows.last_mut() {
            row.after = last;
        }
    }

    fn face_conductance(&self, now: Moment) -> (f64, f64) {
        let one = |rule: Surface, r: Option<&f64>, cell: Option<&(f64, f64)>| {
            let (Some(r), Some((held, _))) = (r, cell) else {
                return 0.0;
            };
            match rule {
                Surface::Sealed => 0.0,
                Surface::Bare => 2.0 / r,
                Surface::Exchange {
                    metres_per_second, ..
                } if metres_per_second > 0.0 => {
                    let film = now.reference / (1000.0 * metres_per_second * now.thickness * held);
                    1.0 / (r / 2.0 + film)
                }
                Surface::Exchange { .. } => 0.0,
            }
        };
        let faces = self.setting.faces;
        (
            one(faces.first, self.resistance.first(), self.cells.first()),
            one(faces.last, self.resistance.last(), self.cells.last()),
        )
    }

    /// Activity beyond each face: that of the fire.
    fn ends(&self) -> (f64, f64) {
        let one = |rule: Surface, cell: Option<&(f64, f64)>| match (rule, cell) {
            (Surface::Exchange { potential_pct, .. }, Some((held, _))) => {
                potential_pct.max(0.0) / held
            }
            _ => 0.0,
        };
        let faces = self.setting.faces;
        (
            one(faces.first, self.cells.first()),
            one(faces.last, self.cells.last()),
        )
    }

    /// Activity at the faces themselves.
    fn faces(&self, now: Moment) -> (f64, f64) {
        let ends = self.ends();
        let conductance = self.face_conductance(now);
        let one = |end: f64, g: f64, a: Option<&f64>, r: Option<&f64>| {
            let (Some(a), Some(r)) = (a, r) else {
                return 0.0;
            };
            // The flux through half a cell and the face is the flux through the half cell alone.
            a + (end - a) * g * r / 2.0
        };
        (
            one(
                ends.0,
                conductance.0,
                self.a.first(),
                self.resistance.first(),
            ),
            one(ends.1, conductance.1, self.a.last(), self.resistance.last()),
        )
    }
}

/// The steels one by one, if any is nickel or a third off the others in activity.
fn apart(cells: &Cells, media: &[Medium]) -> Vec<Apart> {
    let present: Vec<Apart> = cells
        .steels
        .iter()
        .zip(&cells.factors)
        .zip(media)
        .filter(|((mm, _), _)| mm.iter().any(|mm| *mm > 0.0))
        .map(|((mm, factor), medium)| Apart {
            factor: *factor,
            medium: *medium,
            mm: mm.clone(),
        })
        .collect();
    let least = present
        .iter()
        .map(|one| one.factor)
        .fold(f64::INFINITY, f64::min);
    let greatest = present.iter().map(|one| one.factor).fold(0.0, f64::max);
    let nickel = present.iter().any(|one| one.medium == Medium::Nickel);
    if nickel || greatest > 1.3 * least {
        present
    } else {
        Vec::new()
    }
}
