//! A heat told in its own worth: how far diffusion has come instead of how late it is.
//!
//! Steps of equal worth are equal work for the solver, whatever the fire did. Worth is
//! `s = integral of D(T, mean carbon) / l^2 dt` in mm2.

use super::carbon::CarbonLaw;
use super::heat::{Heat, Slice};
use super::ratio::{NODES, Nodes, Slowness};
use crate::units::Kelvin;

/// m2 in mm2.
pub(crate) const MM2: f64 = 1e6;

/// Worth reached, at the reference carbon and at each node of carbon, mm2.
type Reached = (f64, [f64; NODES]);

#[derive(Debug)]
pub(crate) struct Clock {
    /// What has been reached at the start of each slice, and the slice.
    slices: Vec<(Reached, Slice)>,
    total: Reached,
    law: CarbonLaw,
    carbon: f64,
    nodes: Nodes,
}

/// One moment of a heat.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Moment {
    pub(crate) kelvin: Kelvin,
    /// Thickness over that at the start of the heat.
    pub(crate) thickness: f64,
    /// Reference diffusivity, mm2/s.
    pub(crate) reference: f64,
}

impl Clock {
    /// For carbon up to `most`, mass %.
    pub(crate) fn new(heat: &Heat, law: CarbonLaw, mean_carbon: f64, most: f64) -> Self {
        let nodes = Nodes::to(most);
        let mut slices = Vec::new();
        let mut total: Reached = (0.0, [0.0; NODES]);
        heat.slices(|slice| {
            let worth = MM2 * slice.theta(|t| law.value(t, mean_carbon));
            if worth > 0.0 {
                slices.push((total, slice));
                total.0 += worth;
                if law.follows_carbon() {
                    for (sum, carbon) in total.1.iter_mut().zip(nodes.places()) {
                        *sum += MM2 * slice.theta(|t| law.value(t, carbon));
                    }
                }
            }
        });
        Self {
            slices,
            total,
            law,
            carbon: mean_carbon,
            nodes,
        }
    }

    /// Worth of the whole heat, mm2.
    pub(crate) fn total(&self) -> f64 {
        self.total.0
    }

    /// The slice in which `worth` is reached, what is reached at its ends, and how far into it.
    fn find(&self, worth: f64) -> Option<(&Slice, &Reached, &Reached, f64)> {
        let next = self.slices.partition_point(|(from, _)| from.0 <= worth);
        let (from, slice) = self.slices.get(next.saturating_sub(1))?;
        let to = self.slices.get(next).map_or(&self.total, |(to, _)| to);
        let part = ((worth - from.0) / (to.0 - from.0)).clamp(0.0, 1.0);
        Some((slice, from, to, part))
    }

    /// The moment at which `worth` has been reached.
    pub(crate) fn at(&self, worth: f64) -> Moment {
        let (kelvin, log) = self
            .find(worth)
            .map_or((Kelvin(0.0), 0.0), |(slice, _, _, part)| slice.at(part));
        Moment {
            kelvin,
            thickness: log.exp(),
            reference: MM2 * self.law.value(kelvin, self.carbon),
        }
    }

    /// The slowness of carbon over a step, true to all temperatures in it.
    pub(crate) fn slowness(&self, from: f64, to: f64) -> Slowness {
        if !self.law.follows_carbon() {
            return Slowness::even(1.0);
        }
        let (start, end) = (self.reached(from), self.reached(to));
        let mut values = [1.0; NODES];
        for (value, (a, b)) in values.iter_mut().zip(start.iter().zip(&end)) {
            *value = (to - from) / (b - a).max(f64::MIN_POSITIVE);
        }
        Slowness::through(self.nodes, values)
    }

    fn reached(&self, worth: f64) -> [f64; NODES] {
        let mut at = [0.0; NODES];
        if let Some((_, from, to, part)) = self.find(worth) {
            for (at, (a, b)) in at.iter_mut().zip(from.1.iter().zip(&to.1)) {
                *at = a + (b - a) * part;
            }
        }
        at
    }
}

#[cfg(test)]
mod tests {
    use super::Clock;
    use crate::physics::diffusion::{CarbonLaw, Heat};
    use crate::units::{Celsius, Seconds};

    #[test]
    fn the_whole_is_the_heats_worth_and_the_middle_is_hot() {
        let heat = Heat::soak(
            (Celsius(20.0), Seconds(300.0)),
            (Celsius(1150.0), Seconds(600.0)),
            (Celsius(600.0), Seconds(60.0)),
        )
        .unwrap();
        let clock = Clock::new(&heat, CarbonLaw::Agren, 0.85, 1.0);
        let theta = heat.carbon_theta(CarbonLaw::Agren, 0.85) * 1e6;
        assert!((clock.total() / theta - 1.0).abs() < 1e-12);
        let middle = clock.at(theta / 2.0);
        assert!((middle.kelvin.celsius().0 - 1150.0).abs() < 1e-9);
        assert!(clock.at(0.0).kelvin.celsius().0 < 760.0);
        assert!((middle.reference - 1.802_15e-4).abs() < 1e-8);
        let slow = clock.slowness(theta * 0.4, theta * 0.6);
        let exact = CarbonLaw::Agren.value(middle.kelvin, 0.3);
        assert!((slow.at(0.3) * exact / 1.802_15e-10 - 1.0).abs() < 1e-3);
        assert!(clock.slowness(0.0, theta).at(0.1) > slow.at(0.1));
    }

    #[test]
    fn a_cold_heat_is_worth_nothing() {
        let heat = Heat::soak(
            (Celsius(20.0), Seconds(10.0)),
            (Celsius(600.0), Seconds(10.0)),
            (Celsius(20.0), Seconds(10.0)),
        )
        .unwrap();
        let clock = Clock::new(&heat, CarbonLaw::Agren, 0.85, 1.0);
        assert!(clock.total().abs() < 1e-30 && clock.at(0.0).reference.abs() < 1e-30);
    }
}
