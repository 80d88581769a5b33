//! Where bainite starts on cooling, C.
//!
//! - van Bohemen, Mater. Sci. Technol. 28 (2012) 487: `839 - (86 Mn + 23 Si + 67 Cr + 33 Ni + 75 Mo)
//!   - 270 (1 - exp(-1.33 C))`; preferred over 0.5 % C
//! - Steven and Haynes, JISI 183 (1956) 349: `830 - 270 C - 90 Mn - 37 Ni - 70 Cr - 83 Mo`;
//!   preferred up to 0.5 % C, for which it was fitted
//!
//! Steels outside [`super::low_alloy`] are an error.

use super::{Law, OutOfRange, Spread, low_alloy};
use crate::metal::{Composition, Mark};

/// The card of this law.
pub const LAW: Law = Law {
    key: "bainite",
    title: "bainite start",
    source: "van Bohemen, Mater. Sci. Technol. 28 (2012) 487; Steven and Haynes, JISI 183 (1956) 349",
    mark: Mark::Seen,
    valid: "carbon and low-alloy steel, elements in solution; else an error",
};

/// Bainite start, C, with the band of both formulas.
///
/// ```
/// # use anvilside::{metal::Catalogue, physics::bainite::start};
/// let steel = Catalogue::builtin().find("1084").map(|s| s.nominal).unwrap_or_default();
/// assert!(start(&steel).is_ok_and(|bs| (bs.best - 588.2).abs() < 0.1));
/// ```
///
/// # Errors
/// An element outside the range of low-alloy steels.
pub fn start(m: &Composition) -> Result<Spread, OutOfRange> {
    low_alloy::check(m, "bainite start")?;
    let alloy = 86.0 * m.mn + 23.0 * m.si + 67.0 * m.cr + 33.0 * m.ni + 75.0 * m.mo;
    let late = 839.0 - alloy - 270.0 * (1.0 - (-1.33 * m.c).exp());
    let early = 830.0 - 270.0 * m.c - 90.0 * m.mn - 37.0 * m.ni - 70.0 * m.cr - 83.0 * m.mo;
    let best = if m.c > 0.5 { late } else { early };
    Ok(Spread::preferring(best, &[late, early]))
}
