//! Temper colours: the film that clean steel takes in air.
//!
//! - Dooley, Applied Science for Metal Workers (seen), from very pale yellow at 221 C to blue-green
//!   at 332 C.
//! - Machinery's Handbook (from memory): the same names within 1 K at 238, 249, 260, 271, 277, 288
//!   and 299 C; light blue at 338 C where Dooley has pale blue at 321 C.
//!
//! For a short time in air on clean carbon steel. Time and alloy move them: two hours at 200 C can
//! show straw, and chromium or nickel shift them up. An oven with its own probe tells the truth.

use super::Law;
use crate::metal::{Mark, Window};
use crate::units::Celsius;

/// The card of this law.
pub const LAW: Law = Law {
    key: "temper-colours",
    title: "temper colours",
    source: "Dooley, Applied Science for Metal Workers; Machinery's Handbook",
    mark: Mark::Seen,
    valid: "carbon steel, clean, minutes in air, 215 to 340 C; nothing outside",
};

/// Dooley's colours, C.
const POINTS: [(f64, &str); 10] = [
    (221.0, "very pale yellow"),
    (238.0, "straw"),
    (249.0, "dark straw"),
    (260.0, "brownish yellow"),
    (271.0, "yellow tinged purple"),
    (277.0, "light purple"),
    (288.0, "dark purple"),
    (299.0, "dark blue"),
    (321.0, "pale blue"),
    (332.0, "blue-green"),
];

/// The colour at a temperature: that of the nearest point, from 215 to 340 C.
///
/// ```
/// # use anvilside::{physics::temper_colours::name, units::Celsius};
/// assert_eq!(name(Celsius(288.0)), Some("dark purple"));
/// assert_eq!(name(Celsius(150.0)), None);
/// ```
#[must_use]
pub fn name(at: Celsius) -> Option<&'static str> {
    if !(215.0..=340.0).contains(&at.0) {
        return None;
    }
    let far = |point: &&(f64, &str)| (point.0 - at.0).abs();
    let nearest = POINTS.iter().min_by(|a, b| far(a).total_cmp(&far(b)));
    nearest.map(|(_, name)| *name)
}

/// The temperatures of a colour: half way to its neighbours. Case does not matter.
#[must_use]
pub fn band(name: &str) -> Option<Window> {
    let wanted = name.trim().to_lowercase();
    let place = POINTS.iter().position(|(_, name)| *name == wanted)?;
    let here = POINTS.get(place)?.0;
    let below = place.checked_sub(1).and_then(|i| POINTS.get(i));
    let above = POINTS.get(place + 1);
    Some(Window {
        low: Celsius(below.map_or(215.0, |(t, _)| f64::midpoint(*t, here))),
        high: Celsius(above.map_or(340.0, |(t, _)| f64::midpoint(*t, here))),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_colours_band_holds_its_colour() {
        for (celsius, colour) in POINTS {
            let window = band(colour).unwrap();
            assert!(window.low.0 < celsius && celsius < window.high.0);
            assert_eq!(name((window.low + window.high) / 2.0), Some(colour));
        }
        assert!(band("tartan").is_none() && name(Celsius(f64::NAN)).is_none());
    }
}
