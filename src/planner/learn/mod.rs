//! What this smith's journals teach: losses, spread, heats, minutes and trims, each a number with
//! the count it comes from and the prior it started at.
//!
//! Nothing here changes a plan. A plan's own figures are the priors; [`accept`] writes what was
//! learnt into a plan when the smith says so.

mod accept;
mod book;
mod equation;
mod group;
mod joint;
mod normal;
mod observe;
mod shown;
mod sized;
mod topic;

pub use accept::accept;
pub use book::{BookEdit, BookError, ShopBook};
pub use normal::{Normal, Observation};
pub(super) use observe::TIMED_STEP;
pub use sized::spread_seen;
pub use topic::{Prior, Topic, Work, clocked_minutes, times, topics};

use std::collections::BTreeMap;

use crate::plan::{Plan, StepId};
use crate::planner::chance::Chance;
use crate::session::Session;
use equation::Equation;
use group::{Cluster, Group, inside};
use topic::Space;

/// One learnt number.
#[derive(Debug, Clone, PartialEq)]
pub struct Learned {
    /// What it is.
    pub topic: Topic,
    /// Its best value: a part of one for losses, a factor, minutes or millimetres.
    pub value: f64,
    /// One deviation of the value.
    pub sd: f64,
    /// How many observations it comes from, those left out not counted.
    pub from_n: usize,
    /// What was believed before.
    pub prior: Prior,
    /// True while the prior still weighs enough to be named.
    pub prior_named: bool,
    /// The value that the smith pinned, in place of what was learnt.
    pub pinned: Option<f64>,
    /// Steps whose readings were too far off to be believed.
    pub left_out: Vec<StepId>,
    inner: Normal,
    scatter: f64,
}

/// Everything learnt.
#[derive(Debug, Clone, PartialEq)]
pub struct Lessons {
    all: BTreeMap<Topic, Learned>,
    groups: BTreeMap<Cluster, Group>,
    over_plan: f64,
    drawn_ends: f64,
}

/// One shop that the lessons allow, in each topic's inner space.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Drawn {
    /// Log losses of weld-and-draw, draw, corner crush and forging; trim and grind in mm; the fish-mouth's share
    /// once it was taught.
    pub(crate) losses: Vec<f64>,
    /// Log of heats over heats planned, by [`crate::billet::Kind::ALL`].
    pub(crate) heats: Vec<f64>,
    /// Log of minutes, in the same order.
    pub(crate) minutes: Vec<f64>,
}

/// Learns from journals. The plan's own figures are the priors where it states any.
///
/// ```
/// use anvilside::planner::learn::{ShopBook, Topic, Work, learn};
/// let nothing = learn(&[], &ShopBook::default(), None);
/// let scale = nothing.get(Topic::Scale(Work::WeldAndDraw));
/// assert_eq!(scale.from_n, 0);
/// assert!((scale.value - 0.04).abs() < 1e-12);
/// ```
#[must_use]
pub fn learn(sessions: &[&Session], book: &ShopBook, plan: Option<&Plan>) -> Lessons {
    let mut seen: Vec<Equation> = sessions
        .iter()
        .flat_map(|session| observe::equations(session))
        .filter(|equation| {
            // A sum counts for a topic that was started afresh only when it came later.
            let mut parts = equation.parts.iter();
            parts.all(|(topic, _)| {
                book.reset
                    .get(topic)
                    .is_none_or(|from| equation.at >= *from)
            })
        })
        .collect();
    let fish_mouth = taught_ends(&seen) || book.pinned.contains_key(&Topic::FishMouth);
    if fish_mouth {
        seen.retain(|equation| equation.parts.iter().all(|(_, times)| times.is_finite()));
    } else {
        seen.iter_mut().for_each(Equation::without_fish_mouth);
    }
    let mut all = BTreeMap::new();
    let mut groups = BTreeMap::new();
    for cluster in Cluster::ALL {
        let own: Vec<&Equation> = seen
            .iter()
            .filter(|equation| belongs(equation, &cluster.topics(fish_mouth)))
            .collect();
        let group = Group::learn(
            (cluster, fish_mouth),
            &own,
            |topic| topic.prior(plan),
            &book.pinned,
        );
        for topic in cluster.topics(fish_mouth) {
            if !cluster.shows(topic) {
                continue;
            }
            let pinned = book.pinned.get(&topic).copied();
            if let Some(one) = learned(topic, &group, &own, topic.prior(plan), pinned) {
                all.insert(topic, one);
            }
        }
        groups.insert(cluster, group);
    }
    let over_plan = over_plan(&seen, all.get(&Topic::Scale(Work::WeldAndDraw)));
    Lessons {
        all,
        groups,
        over_plan,
        drawn_ends: drawn_ends(&seen),
    }
}

/// What the outside would lose over the plan's share at the work that the losses were learnt from, in the mean
/// and as far as they were learnt: the logarithm.
fn over_plan(seen: &[Equation], scale: Option<&Learned>) -> f64 {
    let all: Vec<f64> = seen.iter().filter_map(|equation| equation.over).collect();
    let Some(scale) = scale.filter(|_| !all.is_empty()) else {
        return 0.0;
    };
    let before = inside(Space::Loss, scale.prior.value, scale.prior.sd);
    let learnt = 1.0 - (scale.inner.sd / before.sd).powi(2).min(1.0);
    learnt * topic::mean(&all).unwrap_or(0.0)
}

/// Trims of drawn ends, read, that make a shop's own fish-mouth of a fixed length.
const TRIMS: usize = 3;

/// True once the shop's own trims say what a draw does to the ends: enough of them were read.
fn taught_ends(seen: &[Equation]) -> bool {
    let read = seen
        .iter()
        .filter(|equation| equation.fish_mouth().is_some());
    read.count() >= TRIMS
}

/// The measure of the fish-mouth at the trims that were read, in the mean, mm.
fn drawn_ends(seen: &[Equation]) -> f64 {
    let all: Vec<f64> = seen.iter().filter_map(Equation::fish_mouth).collect();
    topic::mean(&all).unwrap_or(0.0)
}

/// True of an equation that teaches these topics alone; trims and grinds that were read teach both kinds of loss.
fn belongs(equation: &Equation, topics: &[Topic]) -> bool {
    equation
        .parts
        .iter()
        .all(|(topic, _)| topics.contains(topic))
}

fn learned(
    topic: Topic,
    group: &Group,
    equations: &[&Equation],
    prior: Prior,
    pinned: Option<f64>,
) -> Option<Learned> {
    let space = topic.space();
    let (belief, scatter, from_n, left_out) = group.of(topic)?;
    let before = inside(space, prior.value, prior.sd);
    let (value, sd) = outside(space, belief);
    let steps = left_out.iter().filter_map(|at| equations.get(*at));
    Some(Learned {
        topic,
        value,
        sd,
        from_n,
        prior,
        prior_named: (belief.sd / before.sd).powi(2) > 0.02,
        pinned,
        left_out: steps.map(|equation| equation.step.clone()).collect(),
        inner: match pinned {
            Some(value) => inside(space, value, 0.0),
            None => belief,
        },
        scatter: prior.scatter * scatter,
    })
}

/// The value and deviation that are shown.
fn outside(space: Space, inner: Normal) -> (f64, f64) {
    match space {
        Space::Loss => {
            let left = (-inner.mean).exp();
            (1.0 - left, inner.sd * left)
        }
        Space::Log => {
            let value = inner.mean.exp();
            (value, inner.sd * value)
        }
        Space::Plain => (inner.mean, inner.sd),
    }
}

impl Learned {
    /// The value in force: the pinned one, else the learnt one.
    #[must_use]
    pub fn in_force(&self) -> f64 {
        self.pinned.unwrap_or(self.value)
    }

    /// The belief in force, in the topic's inner space: `-ln(1 - loss)` for losses, the logarithm
    /// for factors and minutes, else as it is.
    #[must_use]
    pub fn belief(&self) -> Normal {
        self.inner
    }

    /// One deviation of a single piece of work from the shop's mean, in the same space.
    #[must_use]
    pub fn scatter(&self) -> f64 {
        self.scatter
    }

    /// The 90 % band of the learnt value.
    #[must_use]
    pub fn band(&self) -> (f64, f64) {
        let free = Normal {
            mean: self.inner.mean,
            sd: self.inner.sd,
        };
        let at = |side: f64| {
            let inner = Normal {
                mean: free.mean + side * 1.645 * free.sd,
                sd: 0.0,
            };
            outside(self.topic.space(), inner).0
        };
        (at(-1.0), at(1.0))
    }
}

impl Lessons {
    /// One number. Every topic is there, learnt or not.
    #[must_use]
    pub fn get(&self, topic: Topic) -> Learned {
        match self.all.get(&topic) {
            Some(learned) => learned.clone(),
            None => {
                let prior = topic.prior(None);
                Learned {
                    topic,
                    value: prior.value,
                    sd: prior.sd,
                    from_n: 0,
                    prior,
                    prior_named: true,
                    pinned: None,
                    left_out: Vec::new(),
                    inner: inside(topic.space(), prior.value, prior.sd),
                    scatter: prior.scatter,
                }
            }
        }
    }

    /// Every number, in the order they are shown.
    pub fn all(&self) -> impl Iterator<Item = &Learned> {
        topics()
            .into_iter()
            .filter_map(|topic| self.all.get(&topic))
    }

    /// Those that anything was seen of, or that are pinned.
    pub fn told(&self) -> impl Iterator<Item = &Learned> {
        self.all()
            .filter(|one| one.from_n > 0 || one.pinned.is_some() || !one.left_out.is_empty())
    }

    /// What the outside would lose over the plan's share at the work that the losses were learnt from: the
    /// logarithm, nothing where nothing was learnt.
    pub(crate) fn over_plan(&self) -> f64 {
        self.over_plan
    }

    /// True once a trim takes what the draws before it have made of the ends, and not a fixed length alone.
    #[must_use]
    pub fn knows_ends(&self) -> bool {
        self.all.contains_key(&Topic::FishMouth)
    }

    /// What a usual trim of this shop takes off each end: the fixed length, and the fish-mouth of the draws that
    /// it was learnt from.
    #[must_use]
    pub fn usual_trim(&self) -> f64 {
        let share = self
            .all
            .get(&Topic::FishMouth)
            .map_or(0.0, Learned::in_force);
        self.get(Topic::Trim).in_force() + share * self.drawn_ends
    }

    /// Draws one shop.
    pub(crate) fn draw(&self, chance: &mut Chance) -> Drawn {
        let mut of = |cluster| {
            let group: Option<&Group> = self.groups.get(&cluster);
            group.map(|group| group.draw(chance)).unwrap_or_default()
        };
        Drawn {
            losses: of(Cluster::Losses),
            heats: of(Cluster::Heats),
            minutes: of(Cluster::Minutes),
        }
    }
}
