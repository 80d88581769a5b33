//! Where a law ends: steels that it does not know, and temperatures at which a steel is something else.

use super::{Spread, critical, melting};
use crate::metal::Composition;
use crate::units::Celsius;

/// The most of each element that plain carbon steel holds, mass % (the standards' ends for carbon steel;
/// from memory): up to here an element that a law leaves out is part of what the law was fitted on.
const PLAIN: [(&str, f64); 11] = [
    ("c", 100.0),
    ("mn", 1.65),
    ("si", 0.6),
    ("cr", 0.3),
    ("ni", 0.4),
    ("mo", 0.1),
    ("v", 0.1),
    ("w", 0.1),
    ("cu", 0.4),
    ("p", 0.05),
    ("s", 0.06),
];

/// Elements beyond plain carbon steel that a law takes no account of, as `Mo 0.25 %`; `used` are those
/// that it does.
///
/// ```
/// # use anvilside::metal::Composition;
/// # use anvilside::physics::reach::ignored;
/// let steel = Composition { c: 0.8, w: 1.5, cr: 0.9, ..Composition::default() };
/// assert_eq!(ignored(&steel, &["cr"]), ["W 1.5 %"]);
/// ```
#[must_use]
pub fn ignored(metal: &Composition, used: &[&str]) -> Vec<String> {
    let mut own = *metal;
    own.elements_mut()
        .into_iter()
        .zip(PLAIN)
        .filter(|((symbol, share), (_, most))| !used.contains(symbol) && **share > *most)
        .map(|((symbol, share), _)| {
            let (first, rest) = symbol.split_at(1);
            let share = crate::units::show::trimmed(*share, 2);
            format!("{}{rest} {share} %", first.to_uppercase())
        })
        .collect()
}

/// Why a steel is not plain austenite at a temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NotAustenite {
    /// It begins to melt below that temperature, C.
    Melts(f64),
    /// Ferrite is left up to this temperature, C.
    Ferrite(f64),
    /// Carbide is left up to this temperature, C.
    Carbide(f64),
}

/// Whether carbon moves through this steel as the laws of diffusion have it: between the end of ferrite
/// or carbide and the first melt. Nickel has one structure up to its own melting.
///
/// ```
/// # use anvilside::{metal::Composition, physics::reach::austenite, units::Celsius};
/// let of = |c: f64| Composition { c, ..Composition::default() };
/// assert!(austenite(&of(0.84), Celsius(1150.0)).is_ok());
/// assert!(austenite(&of(1.4), Celsius(800.0)).is_err());
/// assert!(austenite(&of(1.25), Celsius(1390.0)).is_err());
/// ```
///
/// # Errors
/// What else it is, and up to where.
pub fn austenite(metal: &Composition, at: Celsius) -> Result<(), NotAustenite> {
    let solidus = melting::solidus(metal).low;
    if at.0 > solidus {
        return Err(NotAustenite::Melts(solidus));
    }
    if metal.ni >= 50.0 {
        return Ok(());
    }
    let whole = critical::acm(metal.c);
    if metal.c > critical::EUTECTOID && at < whole {
        return Err(NotAustenite::Carbide(whole.0));
    }
    // Nickel and manganese bring the end of ferrite down: the steel's own formula, where it holds.
    let iron = critical::a3_iron(metal.c);
    let own = critical::ac3(metal).map_or(iron, |ac3| Celsius(ac3.best));
    let end = own.min(iron);
    if at < end {
        return Err(NotAustenite::Ferrite(end.0));
    }
    Ok(())
}

/// How far chromium and silicon bring the least rate of scaling down, as a factor: one up to what plain
/// steel holds, nothing from 5 % on (common practice, no source: some chromium and silicon slow scale,
/// how much hangs on the fire). Nothing makes steel scale faster than iron.
#[must_use]
pub fn slowest_scale(metal: &Composition) -> f64 {
    let beyond = (metal.cr - 0.3).max(0.0) + (metal.si - 0.6).max(0.0);
    (1.0 - beyond / 5.0).clamp(0.0, 1.0)
}

/// How alloy makes hot steel stronger: factors on plain steel of the same carbon. Up to 0.3 % none; to 2 %
/// handbooks give 5 to 15 % (from memory); beyond, tool steels and nickel are stronger by up to a half
/// (common practice, no source). What is beyond low-alloy steel is refused before.
#[must_use]
pub fn hot_strength(metal: &Composition) -> Spread {
    let alloy = metal.cr + metal.mo + metal.v + metal.w + metal.ni + (metal.si - 0.6).max(0.0);
    let (best, high) = match alloy {
        a if a <= 0.3 => (1.0, 1.0),
        a if a <= 2.2 => (1.05, 1.15),
        _ => (1.15, 1.5),
    };
    Spread {
        low: 1.0,
        best,
        high,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn steel(c: f64) -> Composition {
        Composition {
            c,
            ..Composition::default()
        }
    }

    // Chipman, Metall. Trans. 3 (1972) 55 (from memory): austenite of iron and carbon lies between A3 or
    // Acm and the solidus: 0.4 % C from about 795 to 1440 C, 1.25 % from about 890 to 1290 C.
    #[test]
    fn austenite_ends_at_ferrite_carbide_and_melt() {
        assert!(matches!(
            austenite(&steel(0.4), Celsius(760.0)),
            Err(NotAustenite::Ferrite(end)) if (end - 795.0).abs() < 25.0
        ));
        assert!(matches!(
            austenite(&steel(1.25), Celsius(850.0)),
            Err(NotAustenite::Carbide(end)) if (end - 890.0).abs() < 25.0
        ));
        assert!(matches!(
            austenite(&steel(1.25), Celsius(1330.0)),
            Err(NotAustenite::Melts(from)) if (from - 1290.0).abs() < 25.0
        ));
        for c in [0.1, 0.4, 0.84, 1.25] {
            assert!(austenite(&steel(c), Celsius(1150.0)).is_ok(), "{c}");
        }
    }

    #[test]
    fn what_a_law_leaves_out_is_named() {
        let fast = Composition {
            cr: 4.0,
            w: 18.0,
            v: 1.0,
            ..steel(0.75)
        };
        assert_eq!(ignored(&fast, &["cr"]), ["V 1 %", "W 18 %"]);
        assert!(ignored(&steel(0.8), &[]).is_empty());
        assert!((slowest_scale(&steel(0.8)) - 1.0).abs() < 1e-12);
        assert!(slowest_scale(&fast) < 0.3);
    }
}
