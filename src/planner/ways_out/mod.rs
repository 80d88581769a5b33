//! When the bar is off: short, thin, narrow, the count lost, or a weld failed.
//!
//! Each way is an edit of the steps to come, worked to the end on the metal as it was measured with
//! the same moves as the job itself, and offered only when every step of it can be made, the knives
//! come out of it, the bands are those wanted and the odds are better than without it. Taking one is
//! the smith's decision: the caller writes it to the journal, and the amended plan's text behind it.

mod by_count;
mod by_size;
mod by_waste;
mod changes;
mod cost;
mod course;
mod edit;
mod search;
mod trouble;

#[cfg(test)]
mod tests;

pub use changes::changes;
pub use cost::Cost;
pub use course::Course;
pub use trouble::{Trouble, troubles, troubles_of};

use crate::billet::{Kind, Stage};
use crate::plan::Plan;
use crate::planner::forecast::{Enough, Forecast, Start, percent};
use crate::planner::learn::Lessons;
use crate::units::{Grams, Mm};

use search::Search;

/// Most ways that are offered.
const MOST: usize = 8;
/// Less than this chance of enough metal, and the plan is off.
pub const SURE: f64 = 0.9;
/// Less than this chance that every step can be made as the plan has it, and it is said first.
pub const FAIR: f64 = 0.75;
/// A way betters the odds by more than this, or it is none: less is not seen in whole percent.
const BETTER: f64 = 0.005;
/// How far a blade is shortened at most, and by what step.
const SHORTEST_BLADE: f64 = 0.7;
const BLADE_STEP: f64 = 0.025;
/// How far a bar is drawn narrower at most, over what the blade is wide.
const NARROWEST: f64 = 0.6;

/// Ways whose costs differ by less than this many minutes are alike; the simpler goes first.
const ALIKE: f64 = 20.0;

/// The kind of a way, the simplest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum WayKind {
    /// Go on as planned.
    GoOn,
    /// Both ends trimmed alike, without a test piece.
    NoTestPiece,
    /// Less trimmed off the ends.
    LessTrim,
    /// Cut with a thinner blade.
    ThinKerf,
    /// Shorter blanks, forged out further, or longer ones of a bar that came out thin.
    ShorterBlanks,
    /// A thinner bar.
    Thinner,
    /// A narrower bar.
    Narrower,
    /// One piece fewer in a restack.
    PieceFewer,
    /// One piece more in a restack.
    PieceMore,
    /// Other counts in the restacks to come, or one restack fewer.
    OtherSequence,
    /// A shorter blade.
    SmallerBlade,
    /// One knife fewer.
    KnifeFewer,
    /// Take the bands as they come.
    TakeBands,
}

/// A way out.
#[derive(Debug, Clone)]
pub struct WayOut {
    pub kind: WayKind,
    /// What the smith would do, in a line.
    pub title: String,
    /// What it costs against the plan as it was.
    pub cost: Cost,
    /// What changes in the steps to come, against the plan as it was meant to go.
    pub changes: Vec<String>,
    /// Metal over what the knives need.
    pub spare: Grams,
    /// Whether it is enough, with the chance of it.
    pub enough: Enough,
    /// Chance that every step can be made just as the amended plan has it.
    pub holds: f64,
    /// The amended plan: steps done stay, steps to come are new.
    pub plan: Plan,
    pub text: String,
}

impl WayOut {
    /// What the smith would do, after its chance where that is not a fair one.
    #[must_use]
    pub fn headline(&self) -> String {
        if self.holds < FAIR {
            format!("only {} as planned: {}", percent(self.holds), self.title)
        } else {
            self.title.clone()
        }
    }

    /// The chance that it is worked as planned and the metal is enough.
    fn odds(&self) -> f64 {
        self.holds * self.enough.probability
    }

    /// The smith's decision in words, for the journal.
    #[must_use]
    pub fn decision(&self) -> String {
        format!("{} ({})", self.title, self.cost.text(self.plan.units))
    }
}

/// The ways out of what stands against the plan or its metal, best first; none when nothing does, but
/// where a way was taken in this step (`decided`) the others stay.
#[must_use]
pub fn ways_out(
    start: &Start<'_>,
    lessons: &Lessons,
    seen: &Forecast,
    decided: bool,
) -> Vec<WayOut> {
    let off = seen.enough.probability < SURE || !troubles(start).is_empty();
    if !off && !decided {
        return Vec::new();
    }
    let mut search = Search::of(start, lessons, seen, None);
    if !off {
        // The plan is mended: the others are choices in place of the one taken, not ways to better it.
        search.odds = None;
    }
    search.seek()
}

/// The ways out of a weld that failed: so much is cut back, off one end, when the weld is set; then
/// what is left is used as well as it can be. The cut itself is always among them, so that its metal is
/// written off wherever it leads.
#[must_use]
pub fn after_failed_weld(
    start: &Start<'_>,
    lessons: &Lessons,
    seen: &Forecast,
    cut_back: Mm,
) -> Vec<WayOut> {
    if !cut_back.is_positive() {
        return Vec::new();
    }
    // A pile that is not welded yet is cut back behind its weld.
    let weld = match start.billet.stage {
        Stage::Loose | Stage::Pile => {
            let steps = start.plan.steps.iter().skip(start.at);
            let weld = steps.take_while(|step| step.kind() != Kind::Weld).count();
            start.at + weld + 1
        }
        _ => start.at,
    };
    let plan = edit::with_trim(start.plan, weld, cut_back);
    Search::of(start, lessons, seen, Some(plan)).seek()
}
