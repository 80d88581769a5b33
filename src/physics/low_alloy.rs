//! The analyses for which the formulas of transformation and hardness were fitted.

use super::{OutOfRange, Range};
use crate::metal::Composition;

/// Checks every element against what low-alloy and carbon tool steels hold.
///
/// # Errors
/// The first element outside, with its range.
pub fn check(metal: &Composition, law: &'static str) -> Result<(), OutOfRange> {
    let rows = [
        ("carbon", metal.c, 2.0),
        ("manganese", metal.mn, 2.5),
        ("silicon", metal.si, 2.5),
        ("chromium", metal.cr, 3.5),
        ("nickel", metal.ni, 5.0),
        ("molybdenum", metal.mo, 1.5),
        ("vanadium", metal.v, 1.0),
        ("tungsten", metal.w, 2.0),
        ("copper", metal.cu, 1.5),
        ("phosphorus", metal.p, 0.5),
        ("sulphur", metal.s, 0.5),
    ];
    for (name, value, greatest) in rows {
        let range = Range {
            law,
            name,
            unit: "%",
            least: 0.0,
            greatest,
        };
        range.check(value)?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::metal::Catalogue;

    #[test]
    fn every_steel_of_the_catalogue_but_nickel_is_inside() {
        for steel in Catalogue::builtin().all() {
            let inside = check(&steel.nominal, "this law").is_ok();
            assert_eq!(inside, steel.grade != "Nickel 200", "{}", steel.grade);
        }
    }

    #[test]
    fn the_element_is_named() {
        let metal = Composition {
            cr: 12.0,
            ..Composition::default()
        };
        let why = check(&metal, "martensite start").unwrap_err().to_string();
        assert!(
            why.contains("chromium 12 %") && why.contains("martensite start"),
            "{why}"
        );
    }
}
