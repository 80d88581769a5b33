//! What the fire eats off the outside of a bar, beside the share that a plan has for it.
//!
//! Scale comes off the outside at every trip: `-ln(1 - share) = depth * trips * rim`, the rim of a section
//! being its circumference over its area, in the mean of before and after. A thin bar loses more of itself
//! than a thick one; a plan that has one share for all knows nothing of that.

use crate::billet::{Bar, Sizes};

/// Off each side at a trip, mm: 4 % of a pile of 40 x 52 drawn to 40 x 14 in nine trips. Common
/// practice, no source.
const DEPTH: f64 = 0.032;

/// Log loss of a bar worked to sizes in so many trips to the fire.
pub(super) fn eaten(bar: &Bar, to: &Sizes, trips: f64) -> f64 {
    let rim = |width: f64, thick: f64| 2.0 * (width + thick) / (width * thick);
    let (wide, thick) = (bar.width.0, bar.thickness.0);
    let after = rim(
        to.width.map_or(wide, |mm| mm.0),
        to.thickness.map_or(thick, |mm| mm.0),
    );
    DEPTH * trips * f64::midpoint(rim(wide, thick), after)
}

/// How often over the plan's share the outside loses at such a step, as a logarithm; nothing where either
/// is nothing.
pub(super) fn over_plan(bar: &Bar, to: &Sizes, trips: f64, planned: f64) -> f64 {
    let over = (eaten(bar, to, trips) / -(1.0 - planned).ln()).ln();
    if over.is_finite() {
        over.clamp(-1.5, 1.5)
    } else {
        0.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::billet::{Billet, StackPiece, SteelId};
    use crate::units::Mm;

    // By hand: 2 * 92 / 2080 and 2 * 54 / 560 mean 0.1407 a mm; times 0.032 mm and 9 trips, 4.05 %.
    #[test]
    fn a_usual_pile_loses_the_usual_share() {
        let piece = StackPiece {
            steel: SteelId(0),
            thickness: Mm(52.0),
        };
        let pile = Billet::new(&[piece], Mm(40.0), Mm(80.0), std::sync::Arc::new([])).bar;
        let to = |width, thickness| Sizes {
            width: Some(Mm(width)),
            thickness: Some(Mm(thickness)),
            length: None,
        };
        assert!((eaten(&pile, &to(40.0, 14.0), 9.0) - 0.0405).abs() < 1e-4);
        assert!(over_plan(&pile, &to(40.0, 14.0), 9.0, 0.04).abs() < 0.02);
        assert!(over_plan(&pile, &to(40.0, 5.0), 9.0, 0.04) > 0.4);
    }
}
