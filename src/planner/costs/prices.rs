//! The smith's own prices, and what they make of steel and time.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use serde_json::{Value, json};

use super::{Bill, knives};
use crate::metal::Catalogue;
use crate::physics::Spread;
use crate::plan::Plan;
use crate::planner::steel::CutLine;
use crate::planner::tally::Tally;
use crate::units::show;

/// The key for steels without a price of their own.
const OTHER: &str = "other";

/// The smith's own prices: `[costs]` of the shop file. What is left out costs nothing and is said.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Prices {
    /// What amounts are in, as the smith writes it.
    pub currency: String,
    /// A kilogram of steel, by grade; `other` for those not named.
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    pub steel: BTreeMap<String, f64>,
    /// Gas or current of an hour with the fire on.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fire: Option<f64>,
    /// Belts that one knife wears.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub belts: Option<f64>,
    /// An hour of work.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hour: Option<f64>,
}

impl Prices {
    /// True where nothing has a price.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.steel.is_empty() && self.fire.or(self.belts).or(self.hour).is_none()
    }

    /// The first thing that cannot be, as a sentence.
    pub(in crate::planner) fn wrong(&self) -> Option<String> {
        let single = [
            ("fire", self.fire),
            ("belts", self.belts),
            ("hour", self.hour),
        ];
        let single = single.map(|(key, price)| (key.to_owned(), price));
        let steels = self.steel.iter().map(|(name, price)| {
            let key = format!("steel.\"{}\"", show::plain(name, 40));
            (key, Some(*price))
        });
        let bad = single
            .into_iter()
            .chain(steels)
            .find(|(_, price)| price.is_some_and(|price| !price.is_finite() || price < 0.0));
        if let Some((key, price)) = bad {
            let price = price.unwrap_or_default();
            return Some(format!(
                "[costs] {key} is {price}; write a price of zero or more"
            ));
        }
        let unknown = self
            .steel
            .keys()
            .find(|name| *name != OTHER && Catalogue::builtin().find(name).is_err())?;
        let name = show::plain(unknown, 40);
        Some(format!(
            "[costs] names the steel '{name}', which is not known; write a grade as 1084, or {OTHER} \
             for all the rest"
        ))
    }

    /// The price of a kilogram of a grade.
    fn kilogram(&self, grade: &str) -> Option<f64> {
        let same = |name: &str| {
            name == grade
                || Catalogue::builtin()
                    .find(name)
                    .is_ok_and(|steel| steel.grade == grade)
        };
        let own = self.steel.iter().find(|(name, _)| same(name));
        own.map(|(_, price)| *price)
            .or(self.steel.get(OTHER).copied())
    }

    /// What steel costs, and the grades without a price.
    pub(super) fn steel(&self, cuts: &[CutLine]) -> (f64, Vec<String>) {
        let mut none: Vec<String> = Vec::new();
        let mut sum = 0.0;
        for cut in cuts {
            match self.kilogram(&cut.grade) {
                Some(price) => sum += price * cut.mass.0 / 1000.0,
                None if !none.contains(&cut.grade) => none.push(cut.grade.clone()),
                None => {}
            }
        }
        (sum, none)
    }

    /// What a minute costs of which this share is with the fire on.
    pub(super) fn minute(&self, hot: f64) -> f64 {
        (self.hour.unwrap_or(0.0) + hot * self.fire.unwrap_or(0.0)) / 60.0
    }

    /// What a plan costs that is not begun: its steel, and the minutes that it is likely to take, of which
    /// this share is with the fire on.
    #[must_use]
    pub fn of_plan(
        &self,
        plan: &Plan,
        cuts: &[CutLine],
        minutes: Spread,
        hot: f64,
    ) -> Option<Spread> {
        if self.is_empty() {
            return None;
        }
        let minute = self.minute(hot);
        let fixed = self.steel(cuts).0 + self.belts.unwrap_or(0.0) * knives(plan);
        Some(minutes.map(|minutes| fixed + minutes * minute))
    }

    /// Roughly what a gram of steel and a minute of work cost, where half the time is with the fire on: for
    /// ranking before anything is forecast.
    #[must_use]
    pub fn rates(&self, grades: &[&str]) -> Option<[f64; 2]> {
        if self.is_empty() {
            return None;
        }
        let priced: Vec<f64> = grades
            .iter()
            .filter_map(|grade| self.kilogram(grade))
            .collect();
        #[expect(clippy::cast_precision_loss, reason = "a handful of steels")]
        let many = priced.len().max(1) as f64;
        Some([priced.iter().sum::<f64>() / many / 1000.0, self.minute(0.5)])
    }
}

impl Prices {
    /// What all jobs of a shop have cost.
    fn bill(&self, tally: &Tally) -> (Bill, Vec<String>) {
        let mut unpriced = Vec::new();
        let mut steel = 0.0;
        for (grade, mass) in &tally.bought {
            match self.kilogram(grade) {
                Some(price) => steel += price * mass.0 / 1000.0,
                None => unpriced.push(grade.clone()),
            }
        }
        let bill = Bill {
            steel,
            fire: tally.fire / 60.0 * self.fire.unwrap_or(0.0),
            belts: f64::from(tally.blades) * self.belts.unwrap_or(0.0),
            hours: tally.minutes / 60.0 * self.hour.unwrap_or(0.0),
        };
        (bill, unpriced)
    }

    /// What all jobs of a shop have cost, in a line.
    #[must_use]
    pub fn lines(&self, tally: &Tally) -> Vec<String> {
        let (bill, unpriced) = self.bill(tally);
        vec![bill.text(&self.currency, &unpriced)]
    }

    /// The same as JSON; null where nothing has a price.
    #[must_use]
    pub fn tally_json(&self, tally: &Tally) -> Value {
        if self.is_empty() {
            return Value::Null;
        }
        let (bill, unpriced) = self.bill(tally);
        json!({
            "currency": self.currency,
            "so_far": bill.json(),
            "unpriced": unpriced,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::{amount, range};
    use super::*;
    use crate::units::{Grams, Mm};

    fn prices() -> Prices {
        toml::from_str(
            "currency = \"EUR\"\nfire = 6\nbelts = 8\nhour = 30\n[steel]\n1084 = 5\nother = 10\n",
        )
        .unwrap()
    }

    fn cut(grade: &str, grams: f64) -> CutLine {
        CutLine {
            key: grade.to_owned(),
            grade: grade.to_owned(),
            pieces: 1,
            size: (Mm(1.0), Mm(1.0), Mm(1.0)),
            bar: Mm(1.0),
            mass: Grams(grams),
        }
    }

    /// By hand: 2 kg at 5 and 0.5 kg at 10 make 15; an hour, half of it with the fire on, 30 + 3.
    #[test]
    fn prices_are_found_by_any_name_of_a_grade_and_hours_by_their_share_of_fire() {
        let all = prices();
        let (sum, none) = all.steel(&[cut("SAE 1084", 2000.0), cut("75Ni8", 500.0)]);
        assert!((sum - 15.0).abs() < 1e-9 && none.is_empty(), "{sum}");
        assert!((60.0 * all.minute(0.5) - 33.0).abs() < 1e-9);
        let few = Prices {
            steel: BTreeMap::from([("1084".to_owned(), 5.0)]),
            ..Prices::default()
        };
        assert_eq!(few.steel(&[cut("75Ni8", 500.0)]).1, ["75Ni8"]);
        assert!(Prices::default().is_empty() && !few.is_empty());
        assert_eq!(amount(&all.currency, 12.5), "12.50 EUR");
        let spread = Spread {
            low: 160.2,
            best: 190.0,
            high: 260.4,
        };
        assert_eq!(range("EUR", spread), "190 EUR (160 to 260)");
    }

    #[test]
    fn what_cannot_be_a_price_is_said() {
        assert_eq!(prices().wrong(), None);
        let mut bad = prices();
        bad.hour = Some(-3.0);
        assert!(bad.wrong().unwrap().contains("hour is -3"));
        let mut bad = prices();
        bad.steel.insert("unobtainium".to_owned(), 4.0);
        assert!(bad.wrong().unwrap().contains("unobtainium"));
    }
}
