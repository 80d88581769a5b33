//! Heat colours: names for bands of temperature, and a smith's own pins.
//!
//! Two schools, both read in print (seen), a good hundred kelvin apart because one judged in a dim
//! shop and the other did not say: never finer than 50 K either way, and never in sunlight.
//!
//! - [`School::Workshop`]: Chapman, Workshop Technology part 1 (5th ed. 1972). One reprint misprints
//!   the end of very dark red.
//! - [`School::Boiler`]: A Book of Steam for Engineers (1905), after Pouillet; points, each taken to
//!   run half way to its neighbours.
//!
//! First light shows at 525 C in the dark (Draper point).

use serde::{Deserialize, Serialize};

use super::Law;
use crate::metal::{Mark, Window};
use crate::units::Celsius;

/// The card of this law.
pub const LAW: Law = Law {
    key: "colours",
    title: "heat colours",
    source: "Chapman, Workshop Technology part 1 (1972); A Book of Steam for Engineers (1905)",
    mark: Mark::Seen,
    valid: "426 to 1550 C; nothing outside; never finer than 50 K",
};

/// Whose names.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum School {
    /// Chapman's workshop bands, for a dim shop.
    #[default]
    Workshop,
    /// The old boiler makers' scale.
    Boiler,
}

/// A named band of temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// The colour.
    pub name: &'static str,
    /// From, C.
    pub low: Celsius,
    /// To, C.
    pub high: Celsius,
}

const fn band(name: &'static str, low: f64, high: f64) -> Band {
    Band {
        name,
        low: Celsius(low),
        high: Celsius(high),
    }
}

const WORKSHOP: &[Band] = &[
    band("black red", 426.0, 593.0),
    band("very dark red", 593.0, 704.0),
    band("dark red", 704.0, 815.0),
    band("cherry", 815.0, 871.0),
    band("light cherry", 871.0, 982.0),
    band("orange", 982.0, 1093.0),
    band("yellow", 1093.0, 1259.0),
    band("yellow-white", 1259.0, 1315.0),
    band("white", 1315.0, 1550.0),
];

const BOILER: &[Band] = &[
    band("just visible", 525.0, 612.0),
    band("dull red", 612.0, 750.0),
    band("dull cherry", 750.0, 850.0),
    band("full cherry", 850.0, 950.0),
    band("clear cherry", 950.0, 1050.0),
    band("deep orange", 1050.0, 1150.0),
    band("clear orange", 1150.0, 1250.0),
    band("white heat", 1250.0, 1350.0),
    band("bright white", 1350.0, 1450.0),
    band("dazzling white", 1450.0, 1550.0),
];

impl School {
    /// Its bands, darkest first.
    #[must_use]
    pub const fn bands(self) -> &'static [Band] {
        match self {
            Self::Workshop => WORKSHOP,
            Self::Boiler => BOILER,
        }
    }

    /// The colour at a temperature.
    ///
    /// ```
    /// # use anvilside::{physics::colours::School, units::Celsius};
    /// assert_eq!(School::Workshop.name(Celsius(850.0)), Some("cherry"));
    /// assert_eq!(School::Boiler.name(Celsius(1000.0)), Some("clear cherry"));
    /// ```
    #[must_use]
    pub fn name(self, at: Celsius) -> Option<&'static str> {
        let mut bands = self.bands().iter();
        let hit = bands.find(|band| at >= band.low && at < band.high);
        hit.map(|band| band.name)
    }

    /// The band of a colour by name; case does not matter.
    #[must_use]
    pub fn band(self, name: &str) -> Option<Band> {
        let wanted = name.trim().to_lowercase();
        self.bands()
            .iter()
            .find(|band| band.name == wanted)
            .copied()
    }
}

/// A colour that this smith has read with a pyrometer.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pin {
    /// The colour's name in the school.
    pub name: String,
    /// What the pyrometer said when the smith called it so.
    pub celsius: Celsius,
}

/// A smith's eye: a school, shifted to the readings.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Eye {
    /// Whose names.
    pub school: School,
    /// The readings, in any order; several of one colour are averaged.
    pub pins: Vec<Pin>,
}

impl Eye {
    /// The band that this smith means by a colour: the school's, shifted by the readings. Between
    /// pinned colours the shift changes evenly; beyond them the last one is kept.
    ///
    /// ```
    /// # use anvilside::{physics::colours::{Eye, Pin}, units::Celsius};
    /// let eye = Eye {
    ///     pins: vec![Pin { name: "orange".into(), celsius: Celsius(1080.0) }],
    ///     ..Eye::default()
    /// };
    /// assert!(eye.band("orange").is_some_and(|w| (w.low.0 - 1024.5).abs() < 0.1));
    /// ```
    #[must_use]
    pub fn band(&self, name: &str) -> Option<Window> {
        let band = self.school.band(name)?;
        let shift = self.shift(middle(&band));
        Some(Window {
            low: band.low + shift,
            high: band.high + shift,
        })
    }

    /// What this smith would call a temperature.
    #[must_use]
    pub fn name(&self, at: Celsius) -> Option<&'static str> {
        let fits = |band: &&Band| {
            let shift = self.shift(middle(band));
            at >= band.low + shift && at < band.high + shift
        };
        let far = |band: &&Band| {
            let from = (middle(band) + self.shift(middle(band)) - at).abs();
            (from.0 * 1000.0).round()
        };
        let bands = self.school.bands().iter();
        let fitting = bands.filter(fits);
        fitting
            .min_by(|a, b| far(a).total_cmp(&far(b)))
            .map(|band| band.name)
    }

    /// Where the readings and the school part, at a temperature of the school.
    fn shift(&self, at: Celsius) -> Celsius {
        let mut known: Vec<(f64, f64, f64)> = Vec::new();
        for band in self.school.bands() {
            let readings = self.pins.iter().filter(|pin| {
                pin.celsius.0.is_finite() && pin.name.trim().to_lowercase() == band.name
            });
            let (sum, count) = readings.fold((0.0, 0.0), |(sum, count), pin| {
                (sum + pin.celsius.0, count + 1.0)
            });
            if count > 0.0 {
                known.push((middle(band).0, sum / count - middle(band).0, count));
            }
        }
        let below = known.iter().rfind(|(place, ..)| *place <= at.0);
        let above = known.iter().find(|(place, ..)| *place >= at.0);
        Celsius(match (below, above) {
            (Some((low, shift_low, _)), Some((high, shift_high, _))) if high > low => {
                shift_low + (shift_high - shift_low) * (at.0 - low) / (high - low)
            }
            (Some((_, shift, _)), _) | (None, Some((_, shift, _))) => *shift,
            (None, None) => 0.0,
        })
    }
}

fn middle(band: &Band) -> Celsius {
    (band.low + band.high) / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bands_follow_each_other_without_gaps() {
        for school in [School::Workshop, School::Boiler] {
            for pair in school.bands().windows(2) {
                assert!(pair[0].high.near(pair[1].low, 1e-9), "{:?}", pair[0]);
                assert!(pair[0].low < pair[0].high);
            }
            assert_eq!(school.name(Celsius(300.0)), None);
            assert_eq!(school.name(Celsius(f64::NAN)), None);
        }
    }

    #[test]
    fn pins_shift_their_own_colour_and_its_neighbours() {
        let pin = |name: &str, celsius: f64| Pin {
            name: name.into(),
            celsius: Celsius(celsius),
        };
        let eye = Eye {
            school: School::Workshop,
            pins: vec![
                pin("Cherry", 793.0),
                pin("yellow", 1236.0),
                pin("yellow", 1216.0),
            ],
        };
        let cherry = eye.band("cherry").unwrap();
        assert!((cherry.low + cherry.high).near(Celsius(2.0 * 793.0), 1e-6));
        let orange = eye.band("orange").unwrap();
        let shift = (orange.low - Celsius(982.0)).0;
        assert!(shift > -50.0 && shift < 50.0);
        assert_eq!(eye.name(Celsius(1226.0)), Some("yellow"));
        let dark = eye.band("dark red").unwrap();
        assert!(dark.low.near(Celsius(704.0 - 50.0), 1e-6));
    }

    #[test]
    fn without_pins_the_eye_is_the_school() {
        let eye = Eye::default();
        for t in [430.0, 700.0, 850.0, 1000.0, 1300.0] {
            assert_eq!(eye.name(Celsius(t)), School::Workshop.name(Celsius(t)));
        }
        assert!(eye.band("mauve").is_none());
    }
}
