//! The cross-section cut into cells, and how fast each cell's heat content changes.

use super::around::{Contact, Surroundings};
use super::matter::Matter;

/// Intervals over half of the smaller side, up to 50 mm; more with the square root of the size.
const FEWEST: f64 = 6.0;
/// How many times more over half of the larger side at most.
const MOST: f64 = 3.0;

/// One direction of the grid: nodes from the middle outwards where both faces are alike, else from
/// face to face. End nodes carry half a cell.
#[derive(Debug, Clone)]
struct Axis {
    nodes: usize,
    step: f64,
    /// `1/(density x cell width)` of each node, m2/kg.
    per_mass: Vec<f64>,
    /// Share of the side that each node stands for.
    weight: Vec<f64>,
    /// The node in the middle of the side.
    middle: usize,
    mirrored: bool,
}

impl Axis {
    fn new(side: f64, half_intervals: u32, mirrored: bool, density: f64) -> Self {
        let intervals = if mirrored {
            half_intervals
        } else {
            2 * half_intervals
        };
        let length = if mirrored { side / 2.0 } else { side };
        let step = length / f64::from(intervals);
        let share = |node: u32| {
            if node == 0 || node == intervals {
                0.5
            } else {
                1.0
            }
        };
        Self {
            nodes: intervals as usize + 1,
            step,
            per_mass: (0..=intervals)
                .map(|node| 1.0 / (density * step * share(node)))
                .collect(),
            weight: (0..=intervals)
                .map(|node| share(node) / f64::from(intervals))
                .collect(),
            middle: if mirrored { 0 } else { half_intervals as usize },
            mirrored,
        }
    }
}

/// The section's grid with its material and surroundings.
#[derive(Debug, Clone)]
pub(super) struct Grid<'a> {
    matter: &'a Matter,
    around: &'a Surroundings,
    x: Axis,
    y: Axis,
    side: f64,
    flow: Vec<f64>,
    below: Vec<f64>,
}

/// What a glance at the section shows, C.
#[derive(Debug, Clone, Copy)]
pub(super) struct Glance {
    pub(super) mean: f64,
    pub(super) face: f64,
    pub(super) centre: f64,
    pub(super) coldest: f64,
    pub(super) hottest: f64,
}

impl<'a> Grid<'a> {
    /// A grid over a section of these sides in metres; `fine` multiplies the number of intervals.
    pub(super) fn new(
        width: f64,
        thickness: f64,
        fine: u32,
        matter: &'a Matter,
        around: &'a Surroundings,
    ) -> Self {
        let small = width.min(thickness);
        let fewest = FEWEST * (small / 0.05).sqrt().clamp(1.0, 3.0);
        let intervals = |side: f64| {
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "clamped between small whole numbers"
            )]
            let wanted = (fewest * (side / small).sqrt().clamp(1.0, MOST)) as u32;
            wanted * fine
        };
        let contact = &around.contact;
        let density = matter.density();
        let x = Axis::new(
            width,
            intervals(width),
            contact.left == contact.right,
            density,
        );
        let y = Axis::new(
            thickness,
            intervals(thickness),
            contact.top == contact.bottom,
            density,
        );
        let count = x.nodes * y.nodes;
        Self {
            matter,
            around,
            below: vec![0.0; x.nodes],
            flow: vec![0.0; count],
            x,
            y,
            side: small,
        }
    }

    /// The heat content of every node at one temperature.
    pub(super) fn uniform(&self, celsius: f64) -> Vec<f64> {
        vec![self.matter.heat(celsius); self.flow.len()]
    }

    /// Largest rate at which a disturbance can die, 1/s: bounds the step of the integrator.
    pub(super) fn stiffness(&self, heat: &[f64]) -> f64 {
        let (mut mobility, mut slope, mut hottest) = (0.0_f64, 0.0_f64, -273.0_f64);
        for h in heat {
            mobility = mobility.max(self.matter.mobility(*h));
            let (t, per_c) = self.matter.temperature_and_slope(*h);
            slope = slope.max(per_c);
            hottest = hottest.max(t);
        }
        let density = self.matter.density();
        let spread = 4.0 * mobility / density * (self.x.step.powi(-2) + self.y.step.powi(-2));
        let loss = self.around.stiffness(hottest, self.side) * slope / density
            * 2.0
            * (1.0 / self.x.step + 1.0 / self.y.step);
        1.05 * (spread + loss)
    }

    /// `1/c` at its largest, to read a change of heat content as a change of temperature.
    pub(super) fn kelvin_per_joule(&self, heat: f64) -> f64 {
        self.matter.temperature_and_slope(heat).1
    }

    /// Rate of change of heat content of every node, W/kg.
    pub(super) fn rate(&mut self, heat: &[f64], out: &mut [f64]) {
        for (flow, h) in self.flow.iter_mut().zip(heat) {
            *flow = self.matter.flow(*h);
        }
        let nx = self.x.nodes;
        let across = 1.0 / self.x.step;
        for (row, slots) in self.flow.chunks_exact(nx).zip(out.chunks_exact_mut(nx)) {
            let mut inflow = 0.0;
            let next = row.iter().skip(1);
            let mut slots = slots.iter_mut().zip(&self.x.per_mass);
            for ((here, there), (slot, per_mass)) in row.iter().zip(next).zip(slots.by_ref()) {
                let outflow = (here - there) * across;
                *slot = (inflow - outflow) * per_mass;
                inflow = outflow;
            }
            if let Some((slot, per_mass)) = slots.next() {
                *slot = inflow * per_mass;
            }
        }
        self.along_y(out);
        self.faces(heat, out);
    }

    fn along_y(&mut self, out: &mut [f64]) {
        let nx = self.x.nodes;
        let across = 1.0 / self.y.step;
        self.below.fill(0.0);
        let rows = self.flow.chunks_exact(nx);
        let mut above = self.flow.chunks_exact(nx).skip(1);
        let slots = out.chunks_exact_mut(nx).zip(&self.y.per_mass);
        for (row, (slots, per_mass)) in rows.zip(slots) {
            let carry = self.below.iter_mut();
            if let Some(next) = above.next() {
                for (((here, there), slot), inflow) in row.iter().zip(next).zip(slots).zip(carry) {
                    let outflow = (here - there) * across;
                    *slot += (*inflow - outflow) * per_mass;
                    *inflow = outflow;
                }
            } else {
                for (slot, inflow) in slots.iter_mut().zip(carry) {
                    *slot += *inflow * per_mass;
                }
            }
        }
    }

    fn faces(&self, heat: &[f64], out: &mut [f64]) {
        let nx = self.x.nodes;
        let contact = &self.around.contact;
        let face = |touch: Option<Contact>, h: f64, per_mass: &[f64]| {
            let t = self.matter.temperature(h);
            self.around.flux(touch, t, self.side) * per_mass.last().copied().unwrap_or(0.0)
        };
        let columns = [
            (nx.saturating_sub(1), contact.right, true),
            (0, contact.left, !self.x.mirrored),
        ];
        for (start, touch, open) in columns {
            if open {
                let slots = out.iter_mut().skip(start).step_by(nx);
                for (slot, h) in slots.zip(heat.iter().skip(start).step_by(nx)) {
                    *slot += face(touch, *h, &self.x.per_mass);
                }
            }
        }
        let last = heat.len().saturating_sub(nx);
        let rows = [
            (last, contact.top, true),
            (0, contact.bottom, !self.y.mirrored),
        ];
        for (start, touch, open) in rows {
            if open {
                let slots = out.iter_mut().skip(start).take(nx);
                for (slot, h) in slots.zip(heat.iter().skip(start)) {
                    *slot += face(touch, *h, &self.y.per_mass);
                }
            }
        }
    }

    /// Temperatures worth showing.
    pub(super) fn glance(&self, heat: &[f64]) -> Glance {
        let nx = self.x.nodes;
        let at = |ix: usize, iy: usize| {
            let h = heat.get(iy * nx + ix).copied().unwrap_or(0.0);
            self.matter.temperature(h)
        };
        let (mut mean, mut coldest, mut hottest) = (0.0, f64::INFINITY, f64::NEG_INFINITY);
        for (row, y_weight) in heat.chunks_exact(nx).zip(&self.y.weight) {
            for (h, x_weight) in row.iter().zip(&self.x.weight) {
                let t = self.matter.temperature(*h);
                mean += t * x_weight * y_weight;
                coldest = t.min(coldest);
                hottest = t.max(hottest);
            }
        }
        Glance {
            mean,
            face: at(self.x.middle, self.y.nodes.saturating_sub(1)),
            centre: at(self.x.middle, self.y.middle),
            coldest,
            hottest,
        }
    }
}
