//! What the next trim takes off, once the shop's own trims say what a draw does to the ends.

use crate::billet::Move;
use crate::physics::Spread;
use crate::plan::StepId;
use crate::planner::foresight::Foresight;
use crate::planner::learn::Topic;
use crate::session::Session;
use crate::units::{Mm, Units, show};

/// The next trim of drawn ends; an estimate.
#[derive(Debug, Clone, PartialEq)]
pub struct EndLoss {
    /// Which step.
    pub step: StepId,
    /// What it is called.
    pub name: String,
    /// What the plan takes off each end, in the mean.
    pub planned: Mm,
    /// What the fish-mouth of the draws before it takes, mm.
    pub off: Spread,
    /// Trims of the shop that it was learnt from.
    pub from: usize,
}

impl EndLoss {
    pub(super) fn of(session: &Session, seen: &Foresight) -> Option<Self> {
        let all = seen.forecast.steps.iter();
        let (step, off) = all.filter_map(|row| Some((&row.step, row.ends?))).next()?;
        let step = session.plan.steps.iter().find(|one| one.id == *step)?;
        let Move::Trim { ends: [held, far] } = step.made else {
            return None;
        };
        Some(Self {
            step: step.id.clone(),
            name: step.name().to_owned(),
            planned: (held + far) / 2.0,
            off,
            from: seen.lessons.get(Topic::FishMouth).from_n,
        })
    }

    /// `Trim ends takes ~14 mm off each end (11 to 18): the fish-mouth of the draws before it, learned from 6 trims
    /// of this shop; the plan has 10 mm`.
    #[must_use]
    pub fn text(&self, units: Units) -> String {
        let size = |mm: f64| units.length(units.rounded(Mm(mm)));
        let bare = |mm: f64| units.length_bare(units.rounded(Mm(mm)));
        let learned = match self.from {
            0 => "as pinned".to_owned(),
            from => format!("learned from {} of this shop", show::counted(from, "trim")),
        };
        format!(
            "{} takes ~{} off each end ({} to {}): the fish-mouth of the draws before it, {learned}; the plan has {}",
            self.name,
            size(self.off.best),
            bare(self.off.low),
            size(self.off.high),
            units.length(self.planned)
        )
    }
}
