//! What a job costs, with the smith's own prices: steel, gas or current, belts, hours.
//!
//! Prices are the smith's; what they are counted on is the model's and the journal's, so all but the prices
//! is an estimate.

mod prices;

use serde_json::{Value, json};

pub use prices::Prices;

use super::forecast::Forecast;
use super::steel::steel_to_buy;
use crate::billet::Billet;
use crate::physics::Spread;
use crate::plan::Plan;
use crate::session::{Session, Worked};
use crate::units::show;

fn bare(value: f64) -> String {
    if value.abs() < 99.995 {
        show::fixed(value, 2)
    } else {
        show::fixed(value, 0)
    }
}

fn amount(currency: &str, value: f64) -> String {
    format!("{} {currency}", bare(value)).trim_end().to_owned()
}

/// A range of amounts: `190 EUR (160 to 260)`.
#[must_use]
pub fn range(currency: &str, of: Spread) -> String {
    let (low, high) = (bare(of.low), bare(of.high));
    let best = amount(currency, of.best);
    if low == high {
        best
    } else {
        format!("{best} ({low} to {high})")
    }
}

fn knives(plan: &Plan) -> f64 {
    f64::from(plan.goal.knives.max(1))
}

/// The part of the time to come that is with the fire on.
#[must_use]
pub fn hot_share(seen: &Forecast) -> f64 {
    let all: f64 = seen.steps.iter().map(|step| step.minutes.best).sum();
    let hot = seen.steps.iter().filter(|step| step.kind.is_hot());
    let hot: f64 = hot.map(|step| step.minutes.best).sum();
    if all > 0.0 { hot / all } else { 0.0 }
}

/// What was spent on what.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Bill {
    pub steel: f64,
    /// Gas or current.
    pub fire: f64,
    pub belts: f64,
    /// Hours of work.
    pub hours: f64,
}

impl Bill {
    /// All of it.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.steel + self.fire + self.belts + self.hours
    }

    /// In a line.
    fn text(&self, currency: &str, unpriced: &[String]) -> String {
        let parts = [
            ("steel", self.steel),
            ("gas or current", self.fire),
            ("belts", self.belts),
            ("hours", self.hours),
        ];
        let parts: Vec<String> = parts
            .into_iter()
            .filter(|(_, part)| *part > 0.0)
            .map(|(word, part)| format!("{word} {}", bare(part)))
            .collect();
        let parts = if parts.is_empty() {
            String::new()
        } else {
            format!(" ({})", parts.join(", "))
        };
        let none = if unpriced.is_empty() {
            String::new()
        } else {
            format!("; no price for {}", unpriced.join(", "))
        };
        format!(
            "costs: {} so far{parts}{none}",
            amount(currency, self.total())
        )
    }

    fn json(&self) -> Value {
        json!({
            "steel": tidy(self.steel),
            "fire": tidy(self.fire),
            "belts": tidy(self.belts),
            "hours": tidy(self.hours),
            "total": tidy(self.total()),
        })
    }
}

/// To a hundredth.
fn tidy(value: f64) -> f64 {
    (value * 100.0).round() / 100.0 + 0.0
}

/// What a job costs.
#[derive(Debug, Clone, PartialEq)]
pub struct Costs {
    /// What amounts are in.
    pub currency: String,
    /// Spent so far. All the steel of the plan is, once the job has begun; belts are when it is done.
    pub so_far: Bill,
    /// Still to come; none where nothing is foreseen, and of a job that is done.
    pub to_come: Option<Spread>,
    /// Knives it is shared by.
    pub knives: u32,
    /// Grades without a price.
    pub unpriced: Vec<String>,
}

impl Costs {
    /// Of a job, with the minutes still to come as they are foreseen; none where nothing has a price.
    #[must_use]
    pub fn of(session: &Session, prices: &Prices, seen: Option<&Forecast>) -> Option<Self> {
        if prices.is_empty() {
            return None;
        }
        let plan = &session.plan;
        let rows: Vec<&Billet> = session.planned.rows.iter().map(|row| &row.billet).collect();
        let (steel, unpriced) = prices.steel(&steel_to_buy(plan, &rows));
        let belts = prices.belts.unwrap_or(0.0) * knives(plan);
        let Worked { minutes, fire, .. } = session.worked;
        let begun = session.has_begun();
        let done = session.is_finished();
        let so_far = Bill {
            steel: if begun { steel } else { 0.0 },
            fire: fire / 60.0 * prices.fire.unwrap_or(0.0),
            belts: if done { belts } else { 0.0 },
            hours: minutes / 60.0 * prices.hour.unwrap_or(0.0),
        };
        let fixed = belts + if begun { 0.0 } else { steel };
        let to_come = seen.filter(|_| !done).map(|seen| {
            let minute = prices.minute(hot_share(seen));
            seen.minutes.map(|minutes| fixed + minutes * minute)
        });
        Some(Self {
            currency: prices.currency.clone(),
            so_far,
            to_come,
            knives: plan.goal.knives.max(1),
            unpriced,
        })
    }

    /// What the whole job comes to; none where that is not foreseen.
    #[must_use]
    pub fn whole(&self, finished: bool) -> Option<Spread> {
        let spent = self.so_far.total();
        match self.to_come {
            Some(rest) => Some(rest.map(|rest| spent + rest)),
            None => finished.then(|| Spread::exact(spent)),
        }
    }

    /// In words, a line or two.
    #[must_use]
    pub fn lines(&self, finished: bool) -> Vec<String> {
        let first = self.so_far.text(&self.currency, &self.unpriced);
        let mut lines = vec![first];
        if let Some(whole) = self.whole(finished) {
            let each = whole.map(|whole| whole / f64::from(self.knives));
            let words = if finished {
                "in all"
            } else {
                "to the end (estimate)"
            };
            lines.push(format!(
                "costs {words}: {}; per knife {}",
                range(&self.currency, whole),
                range(&self.currency, each)
            ));
        }
        lines
    }

    /// As JSON.
    #[must_use]
    pub fn json(&self, finished: bool) -> Value {
        let band = |of: Spread| json!({ "low": tidy(of.low), "best": tidy(of.best), "high": tidy(of.high) });
        let whole = self.whole(finished);
        json!({
            "currency": self.currency,
            "so_far": self.so_far.json(),
            "whole": whole.map(band),
            "per_knife": whole.map(|whole| band(whole.map(|all| all / f64::from(self.knives)))),
            "knives": self.knives,
            "unpriced": self.unpriced,
        })
    }
}
