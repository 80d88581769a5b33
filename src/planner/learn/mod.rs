//! What this smith's journals teach: losses, spread, heats, minutes and trims, each a number with
//! the count it comes from and the prior it started at.
//!
//! Nothing here changes a plan. A plan's own figures are the priors; [`accept`] writes what was
//! learnt into a plan when the smith says so.

mod accept;
mod book;
mod normal;
mod observe;
mod robust;
mod shown;
mod topic;

pub use accept::accept;
pub use book::{BookError, ShopBook};
pub use normal::{Normal, Observation};
pub use observe::spread_seen;
pub use topic::{Prior, Topic, Work, book_minutes, times, topics};

use std::collections::BTreeMap;

use crate::plan::{Plan, StepId};
use crate::session::Session;
use crate::units::Stamp;
use observe::Sight;
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
    let mut by_topic: BTreeMap<Topic, Vec<Sight>> = BTreeMap::new();
    for session in sessions {
        for sight in observe::sights(session) {
            let counts = book
                .reset
                .get(&sight.topic)
                .is_none_or(|from| sight.at >= *from);
            if counts {
                by_topic.entry(sight.topic).or_default().push(sight);
            }
        }
    }
    let all = topics()
        .into_iter()
        .map(|topic| {
            let sights = by_topic.remove(&topic).unwrap_or_default();
            let pinned = book.pinned.get(&topic).copied();
            (topic, one(topic, &sights, topic.prior(plan), pinned))
        })
        .collect();
    Lessons { all }
}

fn one(topic: Topic, sights: &[Sight], prior: Prior, pinned: Option<f64>) -> Learned {
    let space = topic.space();
    let seen: Vec<Observation> = sights
        .iter()
        .map(|sight| Observation {
            sd: (sight.seen.sd.powi(2) + scatter_of(topic, sight, prior.scatter)).sqrt(),
            ..sight.seen
        })
        .collect();
    let before = inside(space, prior.value, prior.sd);
    let taught = robust::learn(before, &seen);
    let (value, sd) = outside(space, taught.belief);
    let left_out: Vec<StepId> = taught
        .left_out
        .iter()
        .filter_map(|at| sights.get(*at))
        .map(|sight| sight.step.clone())
        .collect();
    let inner = match pinned {
        Some(value) => Normal {
            sd: 0.0,
            ..inside(space, value, 0.0)
        },
        None => taught.belief,
    };
    Learned {
        topic,
        value,
        sd,
        from_n: seen.len() - left_out.len(),
        prior,
        prior_named: (taught.belief.sd / before.sd).powi(2) > 0.02,
        pinned,
        left_out,
        inner,
        scatter: prior.scatter * taught.scatter,
    }
}

/// Variance that one piece of work has of its own: a heat's, times the heats.
fn scatter_of(topic: Topic, sight: &Sight, scatter: f64) -> f64 {
    match topic {
        Topic::ScalePerHeat => sight.seen.times * scatter * scatter,
        // The law's own scatter is already in the observation.
        Topic::Spread => 0.0,
        _ => scatter * scatter,
    }
}

/// A value as it is carried inside.
fn inside(space: Space, value: f64, sd: f64) -> Normal {
    match space {
        Space::Loss => Normal {
            mean: -(1.0 - value.clamp(0.0, 0.999)).ln(),
            sd: sd / (1.0 - value.clamp(0.0, 0.999)),
        },
        Space::Log => Normal {
            mean: value.max(1e-9).ln(),
            sd: sd / value.max(1e-9),
        },
        Space::Plain => Normal { mean: value, sd },
    }
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
            None => one(topic, &[], topic.prior(None), None),
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
}

/// The moment of the newest observation of a topic, for "from 11, last on ...".
#[must_use]
pub fn last_seen(sessions: &[&Session], topic: Topic) -> Option<Stamp> {
    let all = sessions.iter().flat_map(|session| observe::sights(session));
    all.filter(|sight| sight.topic == topic)
        .map(|sight| sight.at)
        .max()
}
