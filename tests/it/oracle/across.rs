//! Carbon over a section by plain finite volumes: a rectangle of like cells, one explicit step after the other.
//! It knows no layers, no blends and no fineness, and costs what it costs.
//!
//! Fick's second law with a diffusivity that follows carbon (Agren, Scripta Metall. 20 (1986) 1507, its formula
//! written down here again, from memory); iron and carbon alone, so that carbon flows down its concentration.
#![allow(clippy::indexing_slicing, clippy::suboptimal_flops, reason = "a test")]

/// Diffusivity of carbon in austenite, mm2/s, at C and mass %.
fn diffusivity(celsius: f64, carbon: f64) -> f64 {
    // Austenite is gone.
    if celsius < 727.0 {
        return 0.0;
    }
    let kelvin = celsius + 273.15;
    let atoms = (carbon / 12.011) / ((100.0 - carbon) / 55.845);
    let pull = 1.0 + atoms * (1.0 - atoms) * 8339.9 / kelvin;
    let barrier = (1.0 / kelvin - 2.221e-4) * (17_767.0 - 26_436.0 * atoms);
    4.53e-7 * pull * (-barrier).exp() * 1e6
}

/// Places of carbon that the diffusivity is worked out for in a step.
const PLACES: usize = 160;
const MOST: f64 = 1.6;

/// Carbon of each cell, mass %, column by column from the edge, each from the bottom.
#[derive(Debug, Clone)]
pub(crate) struct Across {
    pub(crate) cell: f64,
    pub(crate) columns: Vec<Vec<f64>>,
}

impl Across {
    /// A row of stretches from the edge in, each so wide and of so much carbon.
    pub(crate) fn row(cell: f64, stretches: &[(f64, f64)]) -> Self {
        let whole: f64 = stretches.iter().map(|one| one.0).sum();
        let mut ends = Vec::new();
        let mut at = 0.0;
        for (wide, carbon) in stretches {
            at += wide;
            ends.push((at, *carbon));
        }
        let count = whole_number(whole / cell);
        let columns = (0..count).map(|n| {
            let middle = (f64::from(n) + 0.5) * cell;
            let here = ends.iter().find(|(end, _)| middle < *end);
            vec![here.map_or(0.0, |one| one.1)]
        });
        Self {
            cell,
            columns: columns.collect(),
        }
    }

    /// One trip to the fire: seconds and mean temperature along it. Where it is bare, the fire holds both ends of
    /// the row at nothing.
    pub(crate) fn heat(&mut self, course: &[(f64, f64)], bare: bool) {
        for pair in course.windows(2) {
            let ((from, low), (to, high)) = (pair[0], pair[1]);
            if to <= from || low.max(high) < 727.0 {
                continue;
            }
            let fastest = diffusivity(low.max(high), MOST);
            let longest = 0.2 * self.cell * self.cell / fastest;
            let count = whole_number(((to - from) / longest).ceil().max(1.0));
            let each = (to - from) / f64::from(count);
            for n in 0..count {
                let part = (f64::from(n) + 0.5) / f64::from(count);
                self.step(low + (high - low) * part, each, bare);
            }
        }
    }

    fn step(&mut self, celsius: f64, seconds: f64, bare: bool) {
        let table: Vec<f64> = (0..=PLACES)
            .map(|n| diffusivity(celsius, MOST * to_f64(n) / to_f64(PLACES)))
            .collect();
        let at = |carbon: f64| {
            let place = (carbon / MOST * to_f64(PLACES)).clamp(0.0, to_f64(PLACES) - 1e-9);
            let n = usize::try_from(whole_number(place.floor())).unwrap_or(0);
            table[n] + (table[n + 1] - table[n]) * (place - to_f64(n))
        };
        let share = seconds / (self.cell * self.cell);
        let was = self.columns.clone();
        let flow = |a: f64, b: f64| at(0.5 * (a + b)) * (a - b) * share;
        let (wide, high) = (was.len(), was[0].len());
        for y in 0..wide {
            for z in 0..high {
                if y + 1 < wide {
                    let out = flow(was[y][z], was[y + 1][z]);
                    self.columns[y][z] -= out;
                    self.columns[y + 1][z] += out;
                }
                if z + 1 < high {
                    let out = flow(was[y][z], was[y][z + 1]);
                    self.columns[y][z] -= out;
                    self.columns[y][z + 1] += out;
                }
                // Nothing at the face, half a cell away.
                if bare && (y == 0 || y + 1 == wide) {
                    self.columns[y][z] -= 2.0 * flow(was[y][z], 0.0);
                }
            }
        }
    }

    /// Mean between two places across, mass %.
    pub(crate) fn mean(&self, from: f64, to: f64) -> f64 {
        let (mut sum, mut all) = (0.0, 0.0);
        for (n, column) in self.columns.iter().enumerate() {
            let low = (to_f64(n) * self.cell).max(from);
            let high = (to_f64(n + 1) * self.cell).min(to);
            if high > low {
                let mean: f64 = column.iter().sum::<f64>() / to_f64(column.len());
                sum += mean * (high - low);
                all += high - low;
            }
        }
        sum / all
    }
}

fn to_f64(n: usize) -> f64 {
    f64::from(u32::try_from(n).unwrap_or(u32::MAX))
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "small and above zero"
)]
fn whole_number(value: f64) -> u32 {
    value.round() as u32
}

// The couple of two half spaces by its closed form (Crank, The Mathematics of Diffusion, 2nd ed. 1975, chapter 2):
// what has crossed is `(a - b) root(theta / pi)`. With carbon that differs by 0.02 % the diffusivity is one figure.
#[test]
fn a_couple_passes_what_its_closed_form_says() {
    let mut couple = Across::row(0.05, &[(5.0, 0.61), (5.0, 0.59)]);
    couple.heat(&[(0.0, 1150.0), (1200.0, 1150.0)], false);
    let theta = diffusivity(1150.0, 0.6) * 1200.0;
    let crossed = (0.61 - couple.mean(0.0, 5.0)) * 5.0;
    let wanted = 0.02 * (theta / std::f64::consts::PI).sqrt();
    assert!((crossed / wanted - 1.0).abs() < 2e-3, "{crossed} {wanted}");
    // And its shape: the error function, a hair beside the joint.
    let z = 0.5 / (2.0 * theta.sqrt());
    let shape = 0.6 + 0.01 * anvilside::physics::erf::erf(z);
    let seen = couple.mean(4.45, 4.55);
    assert!((seen - shape).abs() < 2e-5, "{seen} {shape}");
}

// Bare: what a half space has lost is `2 C root(theta / pi)`, with a little carbon, of which D hardly depends.
#[test]
fn a_bare_end_loses_what_its_closed_form_says() {
    let mut bar = Across::row(0.02, &[(6.0, 0.02)]);
    bar.heat(&[(0.0, 1150.0), (1200.0, 1150.0)], true);
    let lost = (0.02 - bar.mean(0.0, 6.0)) * 6.0 / 2.0;
    let theta = diffusivity(1150.0, 0.01) * 1200.0;
    let wanted = 2.0 * 0.02 * (theta / std::f64::consts::PI).sqrt();
    assert!((lost / wanted - 1.0).abs() < 1e-2, "{lost} {wanted}");
}
