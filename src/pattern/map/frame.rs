//! Frame and join: bars round the core. Edge and spine bars run the whole thickness, top and bottom
//! bars lie between them. No map: a shift to the middle of the core or of the bar that lies there.

use crate::billet::SteelId;
use crate::pattern::dual::Num;

/// What lies on a side.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum On {
    /// A plain bar.
    Plain(SteelId),
    /// A bar with a way back of its own: its number among the chain's members, from 1.
    Member(u16),
}

/// Bars by side, inside to outside: (thickness mm, what it is).
#[derive(Debug, Clone, Default)]
pub(crate) struct Frame {
    /// Outside size: width, thickness, mm.
    pub(crate) size: [f64; 2],
    /// At low y, high y, low z, high z.
    pub(crate) bars: [Vec<(f64, On)>; 4],
}

impl Frame {
    /// After -> before, in the core or in the bar that lies there.
    #[inline]
    pub(crate) fn back<T: Num>(&self, [x, y, z]: [T; 3]) -> ([T; 3], Option<On>) {
        let [width, thickness] = self.size;
        let [low_y, high_y, low_z, high_z] = &self.bars;
        if let Some((on, middle)) = within(low_y, y.value() + 0.5 * width) {
            return ([x, y + (0.5 * width - middle), z], Some(on));
        }
        if let Some((on, middle)) = within(high_y, 0.5 * width - y.value()) {
            return ([x, y - (0.5 * width - middle), z], Some(on));
        }
        let across = y - 0.5 * (sum(low_y) - sum(high_y));
        if let Some((on, middle)) = within(low_z, z.value() + 0.5 * thickness) {
            return ([x, across, z + (0.5 * thickness - middle)], Some(on));
        }
        if let Some((on, middle)) = within(high_z, 0.5 * thickness - z.value()) {
            return ([x, across, z - (0.5 * thickness - middle)], Some(on));
        }
        let through = z - 0.5 * (sum(low_z) - sum(high_z));
        ([x, across, through], None)
    }
}

fn sum(bars: &[(f64, On)]) -> f64 {
    bars.iter().map(|(t, _)| t).sum()
}

/// The bar at `from` mm below the outside, where one lies there, and how deep its middle lies.
#[inline]
fn within(bars: &[(f64, On)], from: f64) -> Option<(On, f64)> {
    let mut depth = 0.0;
    for (thickness, on) in bars.iter().rev() {
        depth += thickness;
        if from < depth {
            return Some((*on, depth - 0.5 * thickness));
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bars_lie_on_their_sides_and_the_core_between() {
        let frame = Frame {
            size: [45.0, 17.0],
            bars: [
                vec![(10.0, On::Plain(SteelId(2)))],
                vec![(6.0, On::Member(3))],
                Vec::new(),
                Vec::new(),
            ],
        };
        let ([_, y, _], on) = frame.back([0.0, -22.0, 0.0]);
        assert_eq!((y, on), (-4.5, Some(On::Plain(SteelId(2)))));
        // The bar's own middle: half of 6 in from the far side.
        let ([_, y, _], on) = frame.back([0.0, 19.5, 0.0]);
        assert_eq!((y, on), (0.0, Some(On::Member(3))));
        // The core's own middle: 10 + 29/2 from the edge.
        let ([_, y, _], on) = frame.back([0.0, -22.5 + 24.5, 0.0]);
        assert!(y.abs() < 1e-12 && on.is_none());
    }
}
