//! A learnt number as a sentence.

use super::topic::{Space, Topic};
use super::{Learned, Prior};
use crate::units::bounds::Bounds;
use crate::units::show::trimmed;
use crate::units::{Fault, Mm, NumberError, Units, parse};

impl Learned {
    /// One line: `your shop: 3.4 +/- 0.6 % per weld-and-draw, from 11 (prior: book 4 +/- 1.5 %)`.
    ///
    /// ```
    /// use anvilside::planner::learn::{ShopBook, Topic, Work, learn};
    /// use anvilside::units::Units;
    /// let nothing = learn(&[], &ShopBook::default(), None);
    /// assert_eq!(
    ///     nothing.get(Topic::Scale(Work::WeldAndDraw)).text(Units::Mm),
    ///     "book: 4 +/- 2.5 % per weld-and-draw, nothing measured yet"
    /// );
    /// ```
    #[must_use]
    pub fn text(&self, units: Units) -> String {
        let words = self.topic.words();
        let own = amount(self.topic, units, self.value, self.sd);
        let prior = |prior: &Prior| {
            let shown = amount(self.topic, units, prior.value, prior.sd);
            format!("{} {shown}", prior.source)
        };
        let mut line = match (self.pinned, self.from_n) {
            (Some(pinned), 0) => {
                format!("pinned: {} {words}", bare(self.topic, units, pinned))
            }
            (Some(pinned), n) => format!(
                "pinned: {} {words} (from {n}: {own})",
                bare(self.topic, units, pinned)
            ),
            (None, 0) => {
                let source = self.prior.source;
                format!("{source}: {own} {words}, nothing measured yet")
            }
            (None, n) if self.prior_named => {
                format!(
                    "your shop: {own} {words}, from {n} (prior: {})",
                    prior(&self.prior)
                )
            }
            (None, n) => format!("your shop: {own} {words}, from {n}"),
        };
        match self.left_out.as_slice() {
            [] => {}
            [one] => line.push_str(&format!("; left out: {one}, too far off")),
            many => line.push_str(&format!("; left out: {} readings, too far off", many.len())),
        }
        line
    }
}

impl Topic {
    /// The unit that a value is shown and typed in.
    #[must_use]
    pub fn unit(self, units: Units) -> &'static str {
        shown(self, units).1.trim_start()
    }

    /// A value of the topic's own unit as the number that is shown.
    #[must_use]
    pub fn shown_value(self, units: Units, own: f64) -> f64 {
        own * shown(self, units).0
    }

    /// A value as it is typed, in the topic's own unit: bare numbers are in the unit that is shown.
    ///
    /// # Errors
    /// [`NumberError`] for what the topic cannot be.
    pub fn read(self, text: &str, units: Units) -> Result<f64, NumberError> {
        let (one, unit) = shown(self, units);
        let value = match self {
            Self::Trim | Self::Grind => parse::above_zero::<Mm>(text, units)?.0,
            _ => {
                let within = Bounds {
                    name: "this figure",
                    unit: unit.trim(),
                    least: 0.0,
                    greatest: if self.space() == Space::Loss {
                        95.0
                    } else {
                        10_000.0
                    },
                };
                parse::within(text, &within)? / one
            }
        };
        if value > 0.0 {
            Ok(value)
        } else {
            Err(Fault::Zero.of(text))
        }
    }
}

/// What one whole is shown as, and its unit.
fn shown(topic: Topic, units: Units) -> (f64, &'static str) {
    match (topic, topic.space()) {
        (Topic::FishMouth, _) | (_, Space::Loss) => (100.0, " %"),
        (Topic::Heats(_) | Topic::Spread, _) => (1.0, " x"),
        (Topic::Minutes(_), _) => (1.0, " min"),
        _ => match units {
            Units::Mm => (1.0, " mm"),
            Units::Inch => (1.0 / Mm::from_inch(1.0).0, " in"),
        },
    }
}

fn amount(topic: Topic, units: Units, value: f64, sd: f64) -> String {
    let (one, unit) = shown(topic, units);
    let places = places(sd * one);
    format!(
        "{} +/- {}{unit}",
        trimmed(value * one, places),
        trimmed(sd * one, places)
    )
}

fn bare(topic: Topic, units: Units, value: f64) -> String {
    let (one, unit) = shown(topic, units);
    format!("{}{unit}", trimmed(value * one, 3))
}

/// Decimals that show a deviation to one figure, two when that figure is 1.
fn places(sd: f64) -> usize {
    match sd {
        sd if sd >= 9.5 => 0,
        sd if sd >= 0.195 => 1,
        sd if sd >= 0.0195 => 2,
        _ => 3,
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Learned, Normal, Prior, Topic, Work};
    use crate::billet::Kind;
    use crate::plan::StepId;
    use crate::units::Units;

    fn learned() -> Learned {
        Learned {
            topic: Topic::Scale(Work::WeldAndDraw),
            value: 0.034,
            sd: 0.006,
            from_n: 11,
            prior: Prior {
                value: 0.04,
                sd: 0.015,
                scatter: 0.008,
                source: "book",
            },
            prior_named: true,
            pinned: None,
            left_out: Vec::new(),
            inner: Normal {
                mean: 0.0346,
                sd: 0.0062,
            },
            scatter: 0.008,
        }
    }

    #[test]
    fn the_line_says_whose_from_how_many_and_the_prior() {
        let mut one = learned();
        assert_eq!(
            one.text(Units::Mm),
            "your shop: 3.4 +/- 0.6 % per weld-and-draw, from 11 (prior: book 4 +/- 1.5 %)"
        );
        one.prior_named = false;
        one.left_out = vec![StepId("draw-2".to_owned())];
        assert_eq!(
            one.text(Units::Mm),
            "your shop: 3.4 +/- 0.6 % per weld-and-draw, from 11; left out: draw-2, too far off"
        );
        one.left_out.clear();
        one.pinned = Some(0.05);
        assert_eq!(
            one.text(Units::Mm),
            "pinned: 5 % per weld-and-draw (from 11: 3.4 +/- 0.6 %)"
        );
    }

    #[test]
    fn sizes_are_shown_in_the_units_of_the_shop() {
        let mut one = learned();
        (one.topic, one.value, one.sd) = (Topic::Trim, 12.7, 1.27);
        assert!(
            one.text(Units::Inch)
                .starts_with("your shop: 0.5 +/- 0.05 in off each end")
        );
        (one.topic, one.value, one.sd) = (Topic::Minutes(Kind::Draw), 6.0, 1.2);
        assert!(
            one.text(Units::Mm)
                .starts_with("your shop: 6 +/- 1.2 min per heat (draw out)")
        );
    }
}
