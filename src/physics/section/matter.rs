//! Heat content, temperature and conducted heat of a material, tabulated over its heat content.

use std::sync::OnceLock;

use crate::physics::properties;
use crate::units::Celsius;

const LEAST: f64 = 0.0;
const GREATEST: f64 = 1400.0;
const CELLS: u32 = 4096;

/// A material as the section solver sees it.
///
/// The table runs over specific enthalpy (J/kg) from 0 to 1400 C, so that a step in heat content
/// needs no iteration even where the specific heat peaks.
#[derive(Debug, Clone)]
pub struct Matter {
    density: f64,
    start: f64,
    per_joule: f64,
    cells: Vec<Cell>,
}

/// One cell of the table: values at its low end and their rise over the cell.
#[derive(Debug, Clone, Copy)]
struct Cell {
    t: f64,
    t_rise: f64,
    flow: f64,
    flow_rise: f64,
}

impl Matter {
    /// Carbon steel by [`properties`].
    #[must_use]
    pub fn steel() -> &'static Self {
        static STEEL: OnceLock<Matter> = OnceLock::new();
        STEEL.get_or_init(|| {
            Self::new(
                properties::DENSITY_KG_M3,
                |t| properties::enthalpy(Celsius(t)),
                |t| properties::conducted(Celsius(t)),
            )
        })
    }

    /// A material of constant properties: density kg/m3, specific heat J/kg/K, conductivity W/m/K;
    /// each is held to at least 1e-6. For checks against series solutions.
    #[must_use]
    pub fn constant(density: f64, specific_heat: f64, conductivity: f64) -> Self {
        let c = specific_heat.max(1e-6);
        let k = conductivity.max(1e-6);
        Self::new(density.max(1e-6), |t| c * t, |t| k * t)
    }

    fn new(density: f64, heat: impl Fn(f64) -> f64, flow: impl Fn(f64) -> f64) -> Self {
        let start = heat(LEAST);
        let step = (heat(GREATEST) - start) / f64::from(CELLS);
        let mut t = LEAST;
        let mut nodes = Vec::new();
        for index in 0..=CELLS {
            t = inverse(&heat, start + step * f64::from(index), t);
            nodes.push((t, flow(t)));
        }
        let cells = nodes
            .iter()
            .zip(nodes.iter().skip(1))
            .map(|(low, high)| Cell {
                t: low.0,
                t_rise: high.0 - low.0,
                flow: low.1,
                flow_rise: high.1 - low.1,
            })
            .collect();
        Self {
            density,
            start,
            per_joule: 1.0 / step,
            cells,
        }
    }

    /// Density, kg/m3.
    pub(super) fn density(&self) -> f64 {
        self.density
    }

    /// Specific enthalpy at a temperature, J/kg.
    pub(super) fn heat(&self, celsius: f64) -> f64 {
        let t = celsius.clamp(LEAST, GREATEST);
        let index = self
            .cells
            .partition_point(|cell| cell.t <= t)
            .saturating_sub(1);
        let within = self
            .cells
            .get(index)
            .map_or(0.0, |cell| (t - cell.t) / cell.t_rise);
        #[expect(clippy::cast_precision_loss, reason = "at most 4096")]
        let place = index as f64 + within;
        self.start + place / self.per_joule
    }

    /// Temperature at a specific enthalpy, C.
    pub(super) fn temperature(&self, heat: f64) -> f64 {
        self.temperature_and_slope(heat).0
    }

    /// Conducted heat integral at a specific enthalpy, W/m.
    pub(super) fn flow(&self, heat: f64) -> f64 {
        let (cell, within) = self.find(heat);
        cell.flow + within * cell.flow_rise
    }

    /// `k/c` at a specific enthalpy: diffusivity times density, kg/m/s.
    pub(super) fn mobility(&self, heat: f64) -> f64 {
        self.find(heat).0.flow_rise * self.per_joule
    }

    /// Temperature and `1/c` (kg K/J) at a specific enthalpy.
    pub(super) fn temperature_and_slope(&self, heat: f64) -> (f64, f64) {
        let (cell, within) = self.find(heat);
        (cell.t + within * cell.t_rise, cell.t_rise * self.per_joule)
    }

    fn find(&self, heat: f64) -> (Cell, f64) {
        let place = (heat - self.start) * self.per_joule;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "float to int casts saturate; past the end the last cell is carried on"
        )]
        let index = (place as usize).min(self.cells.len().saturating_sub(1));
        let cell = self.cells.get(index).copied().unwrap_or(Cell {
            t: 0.0,
            t_rise: 1.0,
            flow: 0.0,
            flow_rise: 1.0,
        });
        #[expect(clippy::cast_precision_loss, reason = "at most 4096")]
        let within = place - index as f64;
        (cell, within)
    }
}

/// The temperature, not below `from`, at which a rising function reaches `wanted`: bisection.
fn inverse(rising: &impl Fn(f64) -> f64, wanted: f64, from: f64) -> f64 {
    let (mut low, mut high) = (from, GREATEST);
    for _ in 0..60 {
        let mid = f64::midpoint(low, high);
        if rising(mid) < wanted {
            low = mid;
        } else {
            high = mid;
        }
    }
    f64::midpoint(low, high)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn there_and_back() {
        for matter in [Matter::steel(), &Matter::constant(7832.0, 434.0, 63.9)] {
            for t in [0.0, 20.0, 599.5, 734.9, 735.0, 735.4, 800.0, 1250.0, 1399.0] {
                let back = matter.temperature(matter.heat(t));
                assert!((back - t).abs() < 1e-6, "{t} came back as {back}");
            }
        }
    }

    #[test]
    fn the_table_is_the_law() {
        let steel = Matter::steel();
        for t in [25.0, 500.0, 720.0, 735.2, 760.0, 1000.0, 1300.0] {
            let heat = properties::enthalpy(Celsius(t));
            assert!((steel.temperature(heat) - t).abs() < 2e-3, "{t}");
            assert!((steel.flow(heat) - properties::conducted(Celsius(t))).abs() < 0.1);
            let k_over_c =
                properties::conductivity(Celsius(t)) / properties::specific_heat(Celsius(t));
            assert!((steel.mobility(heat) / k_over_c - 1.0).abs() < 0.03, "{t}");
        }
    }
}
