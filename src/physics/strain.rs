//! Strain and reduction. Log strains of successive passes add; percentages do not.
//! Definitions; any text on metal forming.

use super::{Law, OutOfRange, Range};
use crate::metal::Mark;
use crate::units::{Fraction, Mm};

/// The card of this law.
pub const LAW: Law = Law {
    key: "strain",
    title: "true strain and reduction",
    source: "definition",
    mark: Mark::Computed,
    valid: "any size above 0.01 mm",
};

/// A size that is squeezed, mm.
pub const SIZE: Range = Range {
    law: LAW.title,
    name: "size",
    unit: "mm",
    least: 0.01,
    greatest: 20_000.0,
};

/// True strain of a squeeze from `before` to `after`: `ln(before / after)`, below zero when it grew.
///
/// ```
/// # use anvilside::physics::true_strain;
/// # use anvilside::units::Mm;
/// assert!((true_strain(Mm(75.0), Mm(36.0))? - 0.7340).abs() < 1e-4);
/// # Ok::<(), anvilside::physics::OutOfRange>(())
/// ```
///
/// # Errors
/// A size outside [`SIZE`].
pub fn true_strain(before: Mm, after: Mm) -> Result<f64, OutOfRange> {
    Ok((SIZE.check(before.0)? / SIZE.check(after.0)?).ln())
}

/// The reduction that a true strain makes: `1 - exp(-strain)`.
#[must_use]
pub fn reduction(strain: f64) -> Fraction {
    Fraction(1.0 - (-strain).exp())
}

/// Reductions one after another: 20 % then 20 % is 36 %.
///
/// ```
/// # use anvilside::physics::reductions;
/// # use anvilside::units::Fraction;
/// let both = reductions(&[Fraction(0.2), Fraction(0.2)]);
/// assert!((both.0 - 0.36).abs() < 1e-12);
/// ```
#[must_use]
pub fn reductions(passes: &[Fraction]) -> Fraction {
    Fraction(1.0 - passes.iter().map(|r| 1.0 - r.0).product::<f64>())
}

#[cfg(test)]
mod tests {
    use super::{reduction, reductions, true_strain};
    use crate::units::{Fraction, Mm};

    #[test]
    fn strains_add_where_percentages_do_not() {
        let a = true_strain(Mm(50.0), Mm(40.0)).unwrap();
        let b = true_strain(Mm(40.0), Mm(32.0)).unwrap();
        assert!((a + b - 0.4463).abs() < 1e-4);
        assert!(reduction(a + b).near(reductions(&[Fraction(0.2), Fraction(0.2)]), 1e-12));
    }

    #[test]
    fn nothing_cannot_be_squeezed() {
        assert!(true_strain(Mm(0.0), Mm(1.0)).is_err());
        assert!(true_strain(Mm(f64::NAN), Mm(1.0)).is_err());
    }
}
