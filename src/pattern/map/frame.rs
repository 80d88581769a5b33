//! Frame: plain bars round the core. Edge and spine bars run the whole thickness, top and bottom
//! bars lie between them. No map: a shift to the core's middle, or the plain bar itself.

use crate::billet::SteelId;
use crate::pattern::dual::Num;

/// Bars by side, inside to outside: (thickness mm, steel).
#[derive(Debug, Clone, Default)]
pub(crate) struct Frame {
    /// Outside size: width, thickness, mm.
    pub(crate) size: [f64; 2],
    /// At low y, high y, low z, high z.
    pub(crate) bars: [Vec<(f64, SteelId)>; 4],
}

impl Frame {
    /// After -> before, or the bar that lies there.
    #[inline]
    pub(crate) fn back<T: Num>(&self, [x, y, z]: [T; 3]) -> Result<[T; 3], SteelId> {
        let [width, thickness] = self.size;
        let [low_y, high_y, low_z, high_z] = &self.bars;
        within(low_y, y.value() + 0.5 * width)?;
        within(high_y, 0.5 * width - y.value())?;
        within(low_z, z.value() + 0.5 * thickness)?;
        within(high_z, 0.5 * thickness - z.value())?;
        Ok([
            x,
            y - 0.5 * (sum(low_y) - sum(high_y)),
            z - 0.5 * (sum(low_z) - sum(high_z)),
        ])
    }
}

fn sum(bars: &[(f64, SteelId)]) -> f64 {
    bars.iter().map(|(t, _)| t).sum()
}

/// The bar at `from` mm below the outside, where one lies there.
fn within(bars: &[(f64, SteelId)], from: f64) -> Result<(), SteelId> {
    let mut depth = 0.0;
    for (thickness, steel) in bars.iter().rev() {
        depth += thickness;
        if from < depth {
            return Err(*steel);
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bars_lie_on_their_sides_and_the_core_between() {
        let frame = Frame {
            size: [45.0, 17.0],
            bars: [
                vec![(10.0, SteelId(2))],
                vec![(6.0, SteelId(3))],
                Vec::new(),
                Vec::new(),
            ],
        };
        assert_eq!(frame.back([0.0, -22.0, 0.0]), Err(SteelId(2)));
        assert_eq!(frame.back([0.0, 17.0, 0.0]), Err(SteelId(3)));
        // The core's own middle: 10 + 29/2 from the edge.
        let [_, y, _] = frame.back([0.0, -22.5 + 24.5, 0.0]).unwrap();
        assert!(y.abs() < 1e-12);
    }
}
