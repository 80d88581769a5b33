//! Enough steel, and whether the plan holds: said together, in one line.

use super::{Break, Situation};
use crate::billet::Stage;
use crate::physics::Spread;
use crate::plan::StepId;
use crate::planner::forecast::{Enough, percent};
use crate::planner::foresight::Foresight;
use crate::session::Session;
use crate::units::Units;

/// Less than this chance of enough metal, and the plan is off.
pub const SURE: f64 = 0.9;
/// Less than this chance that every step can be made as the plan has it, and it is said first.
pub const FAIR: f64 = 0.75;

/// The chances of the job.
#[derive(Debug, Clone, PartialEq)]
pub struct Odds {
    /// Whether the metal is enough.
    pub enough: Enough,
    /// Chance that every step can be made as the plan has it.
    pub as_planned: f64,
    /// The step most likely to break it: what it is called, and its own chance.
    pub at_risk: Option<(String, f64)>,
    /// Trips to the fire still to come.
    pub heats: Spread,
    /// Minutes of work still to come.
    pub minutes: Spread,
    /// False while a newer answer is on its way.
    pub current: bool,
    /// The knives are ground: their metal is settled.
    pub ground: bool,
}

impl Odds {
    pub(super) fn of(session: &Session, seen: &Foresight, current: bool) -> Self {
        let seen = &seen.forecast;
        let risky = seen.steps.iter().filter(|step| step.as_planned < SURE);
        let at_risk = risky.min_by(|a, b| a.as_planned.total_cmp(&b.as_planned));
        let name = |id: &StepId| {
            let named = session.plan.steps.iter().find(|one| one.id == *id);
            named.map_or_else(|| id.0.clone(), |one| one.name().to_owned())
        };
        Self {
            enough: seen.enough.clone(),
            as_planned: seen.holds,
            at_risk: at_risk.map(|step| (name(&step.step), step.as_planned)),
            heats: seen.heats,
            minutes: seen.minutes,
            current,
            ground: session.billet.stage >= Stage::Ground,
        }
    }

    /// What the chances have against the plan, a sentence each.
    pub(super) fn doubts(&self, units: Units) -> Vec<String> {
        let mut out = Vec::new();
        if self.enough.probability < SURE {
            out.push(self.enough.text(units));
        }
        out
    }

    /// `as planned: 62 %, first at risk: Cut two blanks`.
    #[must_use]
    pub fn planned_text(&self) -> String {
        let risk = match &self.at_risk {
            Some((name, _)) => format!(", at risk: {name}"),
            None => String::new(),
        };
        format!("as planned: {}{risk}", percent(self.as_planned))
    }
}

impl Break {
    /// `as planned: NO, at Cut two blanks`.
    #[must_use]
    pub fn planned_text(&self) -> String {
        format!("as planned: NO, at {}", self.name)
    }
}

impl Situation {
    /// Both in one line, the longest first and then ever shorter; empty before they are known and when
    /// nothing is left to foresee.
    #[must_use]
    pub fn outlook(&self, units: Units) -> Vec<String> {
        let steel = |odds: &Odds, full: bool| {
            let text = odds.enough.text(units);
            let short = text.split(" (").next().unwrap_or_default().to_owned();
            let text = if full { text } else { short };
            match self.broken {
                // Steel enough is no yes while the plan cannot be worked.
                Some(_) => text.replace("yes, ", ""),
                None => text,
            }
        };
        let odds = self
            .odds
            .as_ref()
            .filter(|odds| !odds.ground || self.is_off());
        match (&self.broken, odds) {
            (Some(broken), odds) => {
                let no = broken.planned_text();
                let why = format!("{no}: {}", broken.why.what);
                let with = |text: &str, full| match odds {
                    Some(odds) => format!("{text}; {}", steel(odds, full)),
                    None => text.to_owned(),
                };
                vec![with(&why, true), with(&why, false), with(&no, false), no]
            }
            (None, Some(odds)) => {
                let planned = format!("as planned: {}", percent(odds.as_planned));
                let short = steel(odds, false);
                let answer = short.rsplit(": ").next().unwrap_or_default();
                vec![
                    format!("{}; {}", steel(odds, true), odds.planned_text()),
                    format!("{short}; {}", odds.planned_text()),
                    format!("{short}; {planned}"),
                    format!("enough: {answer}; {planned}"),
                ]
            }
            (None, None) => Vec::new(),
        }
    }
}
