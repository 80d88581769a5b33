//! Where the job stands at a moment: the figures that a smith decides by, each derived once.
//!
//! Screen, pages, `status`, its JSON and the record all read this value; none of them works a figure of
//! its own. What belongs to one bar stands in [`BarNow`], so that a job of several named bars is a list
//! of them.

mod day;
mod ends;
mod outlook;

use crate::billet::advice::Advice;
use crate::billet::{Dimension, Loss, Refusal};
use crate::plan::StepId;
use crate::session::{CardView, Countdown, Lying, Matching, Session, Size};
use crate::units::{Fraction, Stamp};

use super::costs::{Costs, Prices};
use super::forecast::Start;
use super::foresight::Foresight;
use super::ways_out::{Course, troubles_of};

pub use day::DayLeft;
pub use ends::{EndLoss, Taught};
pub use outlook::Odds;

/// The whole of it.
#[derive(Debug, Clone, Default)]
pub struct Situation {
    /// The bar in hand.
    pub bar: BarNow,
    /// The first step that cannot be made as the plan has it.
    pub broken: Option<Break>,
    /// What stands against the plan, a sentence each; empty when it leads to the blade.
    pub off: Vec<String>,
    /// Whether it is enough and whether the plan holds; none until it was worked, and of a job that is done.
    pub odds: Option<Odds>,
    /// The card of the step in hand.
    pub card: CardView,
    /// Countdowns that run.
    pub clocks: Vec<Countdown>,
    /// What is left of the day in hand; none until it was worked, and of a job that is done.
    pub day: Option<DayLeft>,
    /// What each trim to come takes off; empty until it was worked, and of a job that is done.
    pub trims: Vec<EndLoss>,
    /// The next of them.
    pub ends: Option<EndLoss>,
    /// What it costs; none where the smith has set no prices.
    pub costs: Option<Costs>,
}

#[derive(Debug, Clone, Default)]
pub struct BarNow {
    /// The sizes of the step in hand: wanted, read and what they differ by.
    pub sizes: Vec<Size>,
    /// What restacks of each piece count come to from here; none of blanks and blades.
    pub restacks: Option<Vec<Advice>>,
    /// The bands it shows now are in the range wanted.
    pub has_bands: bool,
    /// The piece in hand of so many like ones; none where there is one.
    pub piece: Option<(u32, u32)>,
    /// The number of the piece in hand among all that are worked alike, and how many they are; none where no
    /// other bar is like it.
    pub alike: Option<(u32, u32)>,
    /// What must match before bars are laid on each other; empty in other steps.
    pub matching: Vec<Matching>,
    /// How the others lie.
    pub lying: Vec<Lying>,
    /// Part of the metal that has gone to scale in all, by allowance and by readings.
    pub scale: Fraction,
    /// Part of the metal that has gone in all.
    pub lost: Fraction,
}

/// A step that cannot be made as the plan has it.
#[derive(Debug, Clone, PartialEq)]
pub struct Break {
    pub step: StepId,
    /// What it is called.
    pub name: String,
    /// True when it is the step in hand.
    pub now: bool,
    /// Why, and what to do.
    pub why: Refusal,
}

impl Situation {
    /// Where a job stands at a moment, with what is foreseen of it; `current` is false while a newer answer
    /// is on its way.
    #[must_use]
    pub fn of(session: &Session, seen: Option<&Foresight>, current: bool, now: Stamp) -> Self {
        let mut situation = Self {
            bar: BarNow::of(session),
            card: session.card(),
            ..Self::default()
        };
        situation.tick(session, seen, now);
        if session.is_finished() {
            return situation;
        }
        let start = Start::of_session(session);
        let course = Course::run(start.plan, start.at, &start.billet);
        situation.broken = broken(session, &course);
        let troubles = troubles_of(&start, &course);
        let texts = troubles.iter().map(|one| one.text(&session.plan));
        situation.off = texts.collect();
        if let Some(why) = &session.live.drift {
            situation.off.insert(0, why.to_string());
        }
        situation.odds = seen.map(|seen| Odds::of(session, seen, current));
        situation.trims = seen.map_or_else(Vec::new, |seen| EndLoss::all(session, seen));
        situation.ends = situation.trims.first().cloned();
        if let Some(odds) = situation.odds.as_ref().filter(|_| situation.off.is_empty()) {
            situation.off.extend(odds.doubts(session.plan.units));
        }
        situation
    }

    /// Sets what it costs at the smith's own prices.
    pub fn price(&mut self, session: &Session, seen: Option<&Foresight>, prices: &Prices) {
        self.costs = Costs::of(session, prices, seen.map(|seen| &seen.forecast));
    }

    /// What changes with the clock alone.
    pub fn tick(&mut self, session: &Session, seen: Option<&Foresight>, now: Stamp) {
        self.clocks = session.countdowns(now);
        self.bar.lying = session.lying(now);
        self.day = seen.and_then(|seen| DayLeft::of(session, &seen.forecast, now));
    }

    /// One size of the step in hand.
    #[must_use]
    pub fn size(&self, what: Dimension) -> Option<&Size> {
        self.bar.sizes.iter().find(|size| size.what == what)
    }

    /// True when the steps to come do not lead to the blade as planned.
    #[must_use]
    pub fn is_off(&self) -> bool {
        !self.off.is_empty()
    }
}

impl BarNow {
    /// The piece in hand of so many like ones: `piece 1 of 2`, `bar 2 of 4`, or both; none where there is one.
    #[must_use]
    pub fn counted_off(&self) -> Option<String> {
        match (self.piece, self.alike) {
            (Some((hand, of)), None) => Some(format!("piece {hand} of {of}")),
            (Some((hand, of)), Some((number, all))) => {
                Some(format!("piece {hand} of {of}, bar {number} of {all}"))
            }
            (None, Some((number, all))) => Some(format!("bar {number} of {all}")),
            (None, None) => None,
        }
    }

    fn of(session: &Session) -> Self {
        let ledger = &session.metal().ledger;
        let whole = ledger.start + ledger.added;
        let share = |part| {
            Fraction(if whole.is_positive() {
                part / whole
            } else {
                0.0
            })
        };
        Self {
            sizes: session.sizes(),
            restacks: session.restacks(),
            has_bands: session.has_bands(),
            piece: (session.in_turn() > 1).then(|| (session.hand, session.in_turn())),
            alike: session.alike().map(|alike| (alike.number, alike.of)),
            matching: session.matching(),
            lying: Vec::new(),
            scale: share(ledger.total(Loss::Scale)),
            lost: share(ledger.lost()),
        }
    }
}

/// The step in hand with its readings, or the first of those to come.
fn broken(session: &Session, course: &Course) -> Option<Break> {
    let in_hand = session.current()?;
    let (step, why) = match &session.live.drift {
        Some(why) => (&in_hand.id, why),
        None => course.bends.first().map(|(step, why)| (step, why))?,
    };
    let named = session.plan.steps.iter().find(|one| one.id == *step);
    Some(Break {
        step: step.clone(),
        name: named.map_or(step.0.as_str(), |one| one.name()).to_owned(),
        now: *step == in_hand.id,
        why: why.clone(),
    })
}
