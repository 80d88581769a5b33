//! Enough steel, and whether the plan holds: said together, in one line.

use super::{Break, Situation};
use crate::billet::Stage;
use crate::physics::Spread;
use crate::planner::forecast::{Enough, Planned, percent};
use crate::planner::foresight::Foresight;
use crate::planner::ways_out::SURE;
use crate::session::Session;
use crate::units::Units;

/// The chances of the job.
#[derive(Debug, Clone, PartialEq)]
pub struct Odds {
    /// Whether the metal is enough.
    pub enough: Enough,
    /// Whether every step can be made as the plan has it.
    pub planned: Planned,
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
        Self {
            enough: seen.enough.clone(),
            planned: Planned::of(&session.plan, seen),
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
}

impl Break {
    /// `as planned: NO, at Cut two blanks`.
    #[must_use]
    pub fn planned_text(&self) -> String {
        format!("as planned: NO, at {}", self.name)
    }
}

impl Situation {
    /// Whether it is enough, with what is spare or short; steel enough is no yes while the plan cannot be
    /// worked.
    #[must_use]
    pub fn steel(&self, units: Units) -> Option<String> {
        let text = self.odds.as_ref()?.enough.text(units);
        Some(match self.broken {
            Some(_) => text.replace("yes, ", ""),
            None => text,
        })
    }

    /// The chance that every step can be made as planned: `93 %`, or `NO, at Cut two blanks`.
    #[must_use]
    pub fn planned(&self) -> Option<String> {
        match (&self.broken, &self.odds) {
            (Some(broken), _) => Some(format!("NO, at {}", broken.name)),
            (None, odds) => Some(percent(odds.as_ref()?.planned.chance)),
        }
    }

    /// Both in one line, the longest first and then ever shorter; empty before they are known and when
    /// nothing is left to foresee.
    #[must_use]
    pub fn outlook(&self, units: Units) -> Vec<String> {
        let whole = self.steel(units).unwrap_or_default();
        let steel = |full: bool| match full {
            true => whole.clone(),
            false => whole.split(" (").next().unwrap_or_default().to_owned(),
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
                    Some(_) => format!("{text}; {}", steel(full)),
                    None => text.to_owned(),
                };
                vec![with(&why, true), with(&why, false), with(&no, false), no]
            }
            (None, Some(odds)) => {
                let planned = format!("as planned: {}", percent(odds.planned.chance));
                let short = steel(false);
                let answer = short.rsplit(": ").next().unwrap_or_default();
                vec![
                    format!("{}; {}", steel(true), odds.planned.text()),
                    format!("{short}; {}", odds.planned.text()),
                    format!("{short}; {planned}"),
                    format!("enough: {answer}; {planned}"),
                ]
            }
            (None, None) => Vec::new(),
        }
    }
}
