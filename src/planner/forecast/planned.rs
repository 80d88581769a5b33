//! Whether the steps can be made as the plan has them.

use super::Forecast;
use super::band::percent;
use crate::plan::Plan;

/// A step under this chance is told as at risk.
const SAFE: f64 = 0.9;

/// The chance that every step can be made as planned.
#[derive(Debug, Clone, PartialEq)]
pub struct Planned {
    pub chance: f64,
    /// The step most likely to break it: what it is called, and its own chance.
    pub at_risk: Option<(String, f64)>,
}

impl Planned {
    /// Of what is foreseen of a plan.
    #[must_use]
    pub fn of(plan: &Plan, seen: &Forecast) -> Self {
        let risky = seen.steps.iter().filter(|step| step.as_planned < SAFE);
        let at_risk = risky.min_by(|a, b| a.as_planned.total_cmp(&b.as_planned));
        let name = |row: &super::StepForecast| {
            let named = plan.steps.iter().find(|one| one.id == row.step);
            named.map_or_else(|| row.step.0.clone(), |one| one.name().to_owned())
        };
        Self {
            chance: seen.holds,
            at_risk: at_risk.map(|step| (name(step), step.as_planned)),
        }
    }

    /// `as planned: 62 %, at risk: Cut two blanks`.
    #[must_use]
    pub fn text(&self) -> String {
        let risk = match &self.at_risk {
            Some((name, _)) => format!(", at risk: {name}"),
            None => String::new(),
        };
        format!("as planned: {}{risk}", percent(self.chance))
    }
}
