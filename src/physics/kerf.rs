//! Metal lost to cuts and bar ends.
//!
//! Measured slitting discs 1.16 to 1.80 mm (seen), chop wheels as sold in 3/32, 7/64 and 1/8 inch (seen in
//! a wheel catalogue), dry-cut carbide 2.2 mm (seen in a saw blade's data), band saw gauges 0.64 to
//! 0.89 mm (seen in a machinist's manual) with set from memory. Wander, ends and hot-cut slopes
//! are common practice, no source.

use super::{Law, OutOfRange, Range, Spread};
use crate::metal::Mark;
use crate::units::Mm;

/// The card of this law.
pub const LAW: Law = Law {
    key: "kerf",
    title: "cutting to pieces",
    source: "measured discs, wheel and blade makers' sheets; ends and slopes are common \
             practice",
    mark: Mark::Seen,
    valid: "saws and discs of a small shop",
};
/// A bar length, mm.
pub const LENGTH: Range = Range {
    law: LAW.title,
    name: "length",
    unit: "mm",
    least: 0.0,
    greatest: 20_000.0,
};
/// How many pieces.
pub const PIECES: Range = Range {
    law: LAW.title,
    name: "pieces",
    unit: "",
    least: 1.0,
    greatest: 1000.0,
};

/// A way to cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cut {
    /// 115 to 125 mm disc in a hand grinder.
    SlittingDisc,
    /// 355 mm abrasive chop saw.
    ChopWheel,
    /// Dry-cut saw with carbide teeth.
    Carbide,
    /// Band saw.
    BandSaw,
    /// Chisel, hot cut or guillotine: no kerf, but sloped faces to square up.
    HotCut,
}

impl Cut {
    /// Every way.
    pub const ALL: [Self; 5] = [
        Self::SlittingDisc,
        Self::ChopWheel,
        Self::Carbide,
        Self::BandSaw,
        Self::HotCut,
    ];

    /// What one cut takes, in mm along the bar.
    #[must_use]
    pub const fn kerf(self) -> Spread {
        let (low, best, high) = match self {
            Self::SlittingDisc => (1.2, 1.6, 2.0),
            Self::ChopWheel => (2.6, 3.0, 3.5),
            Self::Carbide => (1.9, 2.2, 2.4),
            Self::BandSaw => (1.0, 1.3, 1.6),
            Self::HotCut => (0.0, 0.0, 0.0),
        };
        Spread { low, best, high }
    }

    /// What must come off each cut face to square it, in mm, for a bar this high.
    #[must_use]
    pub fn squaring(self, height: Mm) -> Spread {
        match self {
            Self::HotCut => Spread {
                low: 0.15,
                best: 0.2,
                high: 0.3,
            }
            .scaled(height.0.max(0.0)),
            _ => Spread::exact(0.0),
        }
    }
}

/// Allowance in mm for each end after a weld and draw: unwelded, fish-mouthed or cold metal;
/// `max(8, 0.3 h)` from the machine, 15 by hand (common practice, no source).
#[must_use]
pub fn end_allowance(height: Mm, by_hand: bool) -> Mm {
    let machine = Mm(8.0).max(height * 0.3);
    if by_hand {
        machine.max(Mm(15.0))
    } else {
        machine
    }
}

/// Length of each of `pieces` equal pieces: both ends trimmed, then one cut less than pieces.
/// The cuts that trim the ends take their kerf out of the end allowance.
///
/// ```
/// # use anvilside::physics::kerf::piece_length;
/// # use anvilside::units::Mm;
/// let piece = piece_length(Mm(345.0), Mm(12.0), 4.0, Mm(2.0))?;
/// assert!((piece.0 - 78.75).abs() < 1e-12);
/// # Ok::<(), anvilside::physics::OutOfRange>(())
/// ```
///
/// # Errors
/// Lengths outside [`LENGTH`], pieces outside [`PIECES`], or nothing left after ends and cuts.
pub fn piece_length(bar: Mm, end: Mm, pieces: f64, kerf: Mm) -> Result<Mm, OutOfRange> {
    for length in [bar, end, kerf] {
        LENGTH.check(length.0)?;
    }
    let k = PIECES.check(pieces)?;
    let piece = (bar.0 - 2.0 * end.0 - (k - 1.0) * kerf.0) / k;
    let left = Range {
        name: "length of a piece",
        least: f64::MIN_POSITIVE,
        ..LENGTH
    };
    Ok(Mm(left.check(piece)?))
}

/// Share of the thickness that a flat grind of both faces takes.
///
/// ```
/// # use anvilside::physics::kerf::ground_share;
/// # use anvilside::units::Mm;
/// assert!((ground_share(Mm(15.4), Mm(0.7))?.percent() - 9.09).abs() < 0.01);
/// # Ok::<(), anvilside::physics::OutOfRange>(())
/// ```
///
/// # Errors
/// A thickness of nothing, or a grind deeper than the bar.
pub fn ground_share(thickness: Mm, per_face: Mm) -> Result<crate::units::Fraction, OutOfRange> {
    let thick = Range {
        name: "thickness",
        least: 0.01,
        ..LENGTH
    };
    let t = thick.check(thickness.0)?;
    let face = Range {
        name: "grind of a face",
        greatest: t / 2.0,
        ..LENGTH
    };
    Ok(crate::units::Fraction(2.0 * face.check(per_face.0)? / t))
}

#[cfg(test)]
mod tests {
    use super::{Cut, end_allowance, piece_length};
    use crate::units::Mm;

    #[test]
    fn pieces_cuts_and_ends_add_up_to_the_bar() {
        let piece = piece_length(Mm(400.0), Mm(10.0), 5.0, Mm(2.5)).unwrap();
        assert!((5.0 * piece.0 + 4.0 * 2.5 + 20.0 - 400.0).abs() < 1e-9);
    }

    #[test]
    fn more_cuts_than_bar_is_refused() {
        assert!(piece_length(Mm(30.0), Mm(15.0), 2.0, Mm(2.0)).is_err());
        assert!(piece_length(Mm(300.0), Mm(5.0), 0.0, Mm(2.0)).is_err());
        assert!(piece_length(Mm(f64::NAN), Mm(5.0), 2.0, Mm(2.0)).is_err());
    }

    #[test]
    fn every_cut_has_an_ordered_band() {
        for cut in Cut::ALL {
            let k = cut.kerf();
            assert!(k.low <= k.best && k.best <= k.high);
        }
        assert!(Cut::HotCut.squaring(Mm(20.0)).best > 3.0);
        assert!(Cut::BandSaw.squaring(Mm(20.0)).high.abs() < 1e-12);
    }

    #[test]
    fn ends_grow_with_height_and_by_hand() {
        assert!(end_allowance(Mm(20.0), false).near(Mm(8.0), 1e-12));
        assert!(end_allowance(Mm(50.0), false).near(Mm(15.0), 1e-12));
        assert!(end_allowance(Mm(20.0), true).near(Mm(15.0), 1e-12));
    }
}
