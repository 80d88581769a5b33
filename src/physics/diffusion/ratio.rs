//! The reference diffusivity over that at some carbon, as a polynomial in carbon: exact at six Chebyshev
//! nodes, and a few multiplications per cell instead of an exponential and a division.

pub(crate) const NODES: usize = 6;

/// Where the polynomial is exact, mass % carbon.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Nodes {
    at: [f64; NODES],
    most: f64,
}

impl Nodes {
    /// For carbon from nothing to `most`.
    pub(crate) fn to(most: f64) -> Self {
        let mut at = [0.0; NODES];
        for (place, k) in at.iter_mut().zip([1.0, 3.0, 5.0, 7.0, 9.0, 11.0]) {
            let angle: f64 = k * std::f64::consts::PI / 12.0;
            *place = most / 2.0 * (1.0 - angle.cos());
        }
        Self { at, most }
    }

    /// The carbon of each node, mass %.
    pub(crate) fn places(&self) -> [f64; NODES] {
        self.at
    }
}

/// Reference diffusivity over that at some carbon: how much more a cell resists than by the reference.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Slowness {
    nodes: Nodes,
    steps: [f64; NODES],
}

impl Slowness {
    /// Through these values at the nodes.
    pub(crate) fn through(nodes: Nodes, values: [f64; NODES]) -> Self {
        let mut steps = values;
        // Newton's divided differences, in place, from the last to the first.
        for order in 1..NODES {
            for i in (order..NODES).rev() {
                let pair = (steps.get(i - 1).copied(), nodes.at.get(i - order));
                if let (Some(before), Some(first)) = pair
                    && let (Some(step), Some(last)) = (steps.get_mut(i), nodes.at.get(i))
                {
                    *step = (*step - before) / (last - first);
                }
            }
        }
        Self { nodes, steps }
    }

    /// A ratio that does not follow carbon.
    pub(crate) fn even(value: f64) -> Self {
        Self {
            nodes: Nodes::to(1.0),
            steps: [value, 0.0, 0.0, 0.0, 0.0, 0.0],
        }
    }

    /// At this carbon; held at the ends of the range.
    #[inline(always)]
    pub(crate) fn at(&self, carbon: f64) -> f64 {
        let w = carbon.max(0.0).min(self.nodes.most);
        let [s0, s1, s2, s3, s4, s5] = self.steps;
        let [n0, n1, n2, n3, n4, _] = self.nodes.at;
        let inner = s3 + (w - n3) * (s4 + (w - n4) * s5);
        s0 + (w - n0) * (s1 + (w - n1) * (s2 + (w - n2) * inner))
    }
}

#[cfg(test)]
mod tests {
    use super::{Nodes, Slowness};
    use crate::physics::diffusion::CarbonLaw;
    use crate::units::Kelvin;

    #[test]
    fn the_polynomial_is_the_law_to_a_part_in_a_thousand() {
        for t in [1010.0, 1100.0, 1300.0, 1423.15, 1550.0] {
            for law in [CarbonLaw::Agren, CarbonLaw::Tibbetts] {
                let reference = law.value(Kelvin(t), 0.85);
                let nodes = Nodes::to(1.3);
                let values = nodes.places().map(|w| reference / law.value(Kelvin(t), w));
                let slow = Slowness::through(nodes, values);
                for i in 0..=130_u32 {
                    let w = f64::from(i) / 100.0;
                    let exact = reference / law.value(Kelvin(t), w);
                    assert!((slow.at(w) / exact - 1.0).abs() < 1e-3, "{law:?} {t} {w}");
                }
                let worst = slow.at(f64::NAN) + slow.at(-5.0) + slow.at(1e9);
                assert!(worst.is_finite());
            }
        }
        assert!((Slowness::even(0.4).at(0.9) - 0.4).abs() < 1e-15);
    }
}
