//! Rounding to the mark, and the small amounts that several figures share.

use crate::units::{Fraction, Mm, Units};

/// Scale of hot work that is no weld-and-draw. Common practice, no source.
pub(super) const LIGHT_SCALE: Fraction = Fraction(0.02);
/// Plain steel ground off the edge itself. Common practice, no source.
pub(super) const EDGE_GROUND: Mm = Mm(1.0);
/// What a corner crush takes off the side, and the grind after it per face. Common practice, no
/// source.
pub(super) const CRUSH: Mm = Mm(1.0);
pub(super) const CRUSH_GRIND: Mm = Mm(0.75);
/// Up to the next mark.
pub(super) fn up(size: Mm, mark: Mm) -> Mm {
    if mark.is_positive() {
        Mm((size.0 / mark.0 - 1e-6).ceil() * mark.0)
    } else {
        size
    }
}

/// The mark that widths and thicknesses are drawn and forged to: calipers read finer than a saw cuts, and a
/// sixteenth of an inch up is a third of a thin blade.
pub(super) fn worked(units: Units, mark: Mm) -> Mm {
    match units {
        Units::Mm => mark,
        Units::Inch => Mm(mark.0.min(Mm::from_inch(1.0 / 32.0).0)),
    }
}

/// A count, from 1 on.
pub(super) fn whole(count: f64) -> u32 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "held between 1 and 5000"
    )]
    let count = count.ceil().clamp(1.0, 5000.0) as u32;
    count
}
