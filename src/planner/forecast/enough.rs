//! Is it enough for this blade?

use super::band::percent;
use crate::physics::Spread;
use crate::plan::Need;
use crate::planner::chance::quantile;
use crate::units::{Density, Grams, Mm, Units};

/// The answer, with its chance.
#[derive(Debug, Clone, PartialEq)]
pub struct Enough {
    /// Chance that the metal suffices for all knives, and no blade is forged too short.
    pub probability: f64,
    /// What is missing in the worst 10 % of cases of the samples, from the mildest of them to one in a hundred.
    pub short_by: (Grams, Grams),
    /// Metal over what the knives need, g; negative when short.
    pub spare: Spread,
    /// What the forged blade lacks in length, whatever its metal; none where it is long enough.
    pub blade_short: Option<Mm>,
    /// What one knife needs in its blank.
    pub need: Grams,
    /// Knives wanted.
    pub knives: u32,
}

impl Enough {
    /// From what was spare in each sample, g, and what the blade lacked in length, mm.
    pub(super) fn of(spare: &mut [f64], lacking: &mut [f64], need: Need, density: Density) -> Self {
        let both = spare.iter().zip(lacking.iter());
        let good = both
            .filter(|(spare, lacks)| **spare >= -1e-6 && **lacks <= 0.0)
            .count();
        spare.sort_by(f64::total_cmp);
        lacking.sort_by(f64::total_cmp);
        #[expect(clippy::cast_precision_loss, reason = "a few thousand samples")]
        let share = |count: usize| count as f64 / spare.len().max(1) as f64;
        let short = |at: f64| Grams((-quantile(spare, at)).max(0.0));
        Self {
            probability: share(good),
            short_by: (short(0.10), short(0.01)),
            spare: Spread {
                low: quantile(spare, 0.05),
                best: quantile(spare, 0.5),
                high: quantile(spare, 0.95),
            },
            blade_short: Some(Mm(quantile(lacking, 0.5))).filter(|by| by.is_positive()),
            need: need.metal.mass(density),
            knives: need.knives,
        }
    }

    /// In one line: `enough for this blade: yes, 93 % (short by 0 to 12 g in the worst 10 % of cases)`.
    #[must_use]
    pub fn text(&self, units: Units) -> String {
        self.text_with(units, "to spare")
    }

    /// The same of a job that is not begun, whose bar is to be bought: what is to spare lies in the blanks, whatever
    /// stock is left of the bar beside them.
    #[must_use]
    pub fn text_of_blanks(&self, units: Units) -> String {
        let blanks = match self.knives {
            1 => "to spare in the blank",
            _ => "to spare in the blanks",
        };
        self.text_with(units, blanks)
    }

    fn text_with(&self, units: Units, spare: &str) -> String {
        let what = match self.knives {
            1 => "this blade".to_owned(),
            knives => format!("these {knives} blades"),
        };
        let word = match self.probability {
            p if p >= 0.9 => "yes",
            p if p >= 0.5 => "likely",
            p if p >= 0.1 => "hardly",
            _ => "no",
        };
        let (mild, bad) = self.short_by;
        let aside = if bad.0 >= 0.5 {
            format!(
                "short by {} to {} in the worst 10 % of cases",
                units.mass(mild),
                units.mass(bad)
            )
        } else {
            format!(
                "{} to {} {spare}",
                units.mass(Grams(self.spare.low.max(0.0))),
                units.mass(Grams(self.spare.high.max(0.0)))
            )
        };
        let aside = match self.blade_short {
            Some(by) => format!("the blade is {} short; {aside}", units.length(by)),
            None => aside,
        };
        format!(
            "enough for {what}: {word}, {} ({aside})",
            percent(self.probability)
        )
    }
}

#[cfg(test)]
mod tests {
    use super::{Enough, Need};
    use crate::units::{Density, Mm, Mm3, Units};

    fn enough(mut spare: Vec<f64>) -> Enough {
        let need = Need {
            metal: Mm3(20_000.0),
            finished: Mm3(15_000.0),
            thickness: Mm(4.0),
            outline: None,
            blade: Mm(200.0),
            knives: 1,
        };
        let mut lacking = vec![0.0; spare.len()];
        Enough::of(&mut spare, &mut lacking, need, Density(7.85))
    }

    #[test]
    fn the_worst_tenth_is_named() {
        let spare: Vec<f64> = (0..1000).map(|at| f64::from(at) * 0.2 - 14.0).collect();
        let answer = enough(spare);
        assert!((answer.probability - 0.93).abs() < 1e-9);
        assert_eq!(
            answer.text(Units::Mm),
            "enough for this blade: yes, 93 % (short by 0 g to 12 g in the worst 10 % of cases)"
        );
    }

    #[test]
    fn plenty_says_what_is_over() {
        let answer = enough((0..100).map(|at| 100.0 + f64::from(at)).collect());
        assert!(
            answer
                .text(Units::Mm)
                .contains("yes, over 99 % (105 g to 194 g to spare)")
        );
    }
}
