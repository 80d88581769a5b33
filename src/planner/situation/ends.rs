//! What each trim to come takes off the ends, and what that is known from.

use crate::billet::Move;
use crate::physics::Spread;
use crate::plan::StepId;
use crate::planner::ends::EndCut;
use crate::planner::foresight::Foresight;
use crate::planner::learn::{Lessons, Topic};
use crate::session::Session;
use crate::units::{Mm, Units, show};

/// What a trim's loss was learnt from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Taught {
    /// The fish-mouth of the draws before it, from so many trims of the shop.
    FishMouth(usize),
    /// A fixed length, from so many readings.
    Length(usize),
    /// A figure that the smith keeps.
    Pinned,
    /// Nothing was read yet.
    Nothing,
}

/// A trim to come; an estimate.
#[derive(Debug, Clone, PartialEq)]
pub struct EndLoss {
    /// Which step.
    pub step: StepId,
    /// What it is called.
    pub name: String,
    /// What the plan takes off each end, in the mean of both.
    pub planned: Mm,
    /// The plan takes the same off both.
    pub even: bool,
    /// The test piece that is taken as the plan has it; zero where there is none.
    pub test_piece: Mm,
    /// What comes off each end, in the mean of both, mm.
    pub off: Spread,
    /// What that is known from.
    pub taught: Taught,
    /// Trims or readings that taught it.
    pub from: usize,
}

impl Taught {
    fn of(lessons: &Lessons) -> Self {
        let knows_ends = lessons.knows_ends();
        let topic = if knows_ends {
            Topic::FishMouth
        } else {
            Topic::Trim
        };
        let learned = lessons.get(topic);
        match learned.from_n {
            _ if learned.pinned.is_some() => Self::Pinned,
            0 => Self::Nothing,
            from if knows_ends => Self::FishMouth(from),
            from => Self::Length(from),
        }
    }

    fn from(self) -> usize {
        match self {
            Self::FishMouth(from) | Self::Length(from) => from,
            Self::Pinned | Self::Nothing => 0,
        }
    }

    fn text(self) -> String {
        let of_shop = |from, what| format!("{} of this shop", show::counted(from, what));
        match self {
            Self::FishMouth(from) => format!(
                "the fish-mouth of the draws before it, learned from {}",
                of_shop(from, "trim")
            ),
            Self::Length(from) => {
                format!("a fixed length, learned from {}", of_shop(from, "reading"))
            }
            Self::Pinned => "as pinned".to_owned(),
            Self::Nothing => "nothing read yet".to_owned(),
        }
    }
}

impl EndLoss {
    /// Every trim to come, in order.
    pub(super) fn all(session: &Session, seen: &Foresight) -> Vec<Self> {
        let taught = Taught::of(&seen.lessons);
        let of = |(id, off): (&StepId, Spread)| {
            let step = session.plan.steps.iter().find(|one| one.id == *id)?;
            let Move::Trim { ends } = step.made else {
                return None;
            };
            let [held, far] = ends;
            let cut = EndCut::of(ends);
            Some(Self {
                step: step.id.clone(),
                name: step.name().to_owned(),
                planned: (held + far) / 2.0,
                even: cut.ends > 1.0 && !cut.test_piece.is_positive(),
                test_piece: cut.test_piece,
                off,
                taught,
                from: taught.from(),
            })
        };
        let rows = seen.forecast.steps.iter();
        rows.filter_map(|row| Some((&row.step, row.ends?)))
            .filter_map(of)
            .collect()
    }

    /// Where the plan takes more off one end than off the other, what is said is said of both together.
    fn times(&self) -> (f64, &'static str) {
        if self.even {
            (1.0, "off each end")
        } else {
            (2.0, "off both ends")
        }
    }

    /// `11 to 18 mm off each end`.
    #[must_use]
    pub fn short(&self, units: Units) -> String {
        let (times, words) = self.times();
        let [low, high] = [self.off.low, self.off.high].map(|mm| units.rounded(Mm(times * mm)));
        let (bare, whole) = (units.length_bare(low), units.length(high));
        if units.length(low) == whole {
            return format!("{whole} {words}");
        }
        format!("{bare} to {whole} {words}")
    }

    /// `Trim ends takes ~14 mm off each end (11 to 18 mm): the fish-mouth of the draws before it, learned from 6
    /// trims of this shop; the plan has 10 mm`.
    #[must_use]
    pub fn text(&self, units: Units) -> String {
        let (times, words) = self.times();
        let size = |mm: f64| units.length(units.rounded(Mm(times * mm)));
        let bare = |mm: f64| units.length_bare(units.rounded(Mm(times * mm)));
        let piece = if self.test_piece.is_positive() {
            format!(", {} of it a test piece", units.length(self.test_piece))
        } else {
            String::new()
        };
        format!(
            "{} takes ~{} {words} ({} to {}): {}; the plan has {}{piece}",
            self.name,
            size(self.off.best),
            bare(self.off.low),
            size(self.off.high),
            self.taught.text(),
            units.length(self.planned * times)
        )
    }
}
