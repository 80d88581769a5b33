//! Topics that are learnt together.

use std::collections::BTreeMap;

use super::equation::Equation;
use super::joint::{Dice, Joint, Sum, scatter};
use super::normal::Normal;
use super::topic::{Prior, Space, Topic, Work};
use crate::billet::Kind;
use crate::planner::chance::Chance;

/// Part of a pace's deviation that a smith has at every kind of work alike; the rest is its own.
/// A slow smith is slow at everything, mostly.
const COMMON: f64 = 0.8;

/// Topics that stand in one sum.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Cluster {
    /// Scale by work, trims and grinds: a change of mass shows them together.
    Losses,
    /// Scale by heat, with the same trims and grinds.
    ByHeat,
    /// Heats by kind.
    Heats,
    /// Minutes by kind.
    Minutes,
    /// Spread alone.
    Spread,
}

impl Cluster {
    pub(super) const ALL: [Self; 5] = [
        Self::Losses,
        Self::ByHeat,
        Self::Heats,
        Self::Minutes,
        Self::Spread,
    ];

    /// Its topics; those that only help others to be seen come last. The fish-mouth is one of them once the
    /// shop has taught it.
    pub(super) fn topics(self, fish_mouth: bool) -> Vec<Topic> {
        let mut topics = self.always();
        if fish_mouth && matches!(self, Self::Losses | Self::ByHeat) {
            topics.push(Topic::FishMouth);
        }
        topics
    }

    fn always(self) -> Vec<Topic> {
        match self {
            Self::Losses => vec![
                Topic::Scale(Work::WeldAndDraw),
                Topic::Scale(Work::Draw),
                Topic::Scale(Work::Crush),
                Topic::Scale(Work::Forge),
                Topic::Trim,
                Topic::Grind,
            ],
            Self::ByHeat => vec![Topic::ScalePerHeat, Topic::Trim, Topic::Grind],
            Self::Heats => Kind::ALL.map(Topic::Heats).to_vec(),
            Self::Minutes => Kind::ALL.map(Topic::Minutes).to_vec(),
            Self::Spread => vec![Topic::Spread],
        }
    }

    /// True when the topics share a common part.
    fn is_paced(self) -> bool {
        matches!(self, Self::Heats | Self::Minutes)
    }

    /// True when the topic is shown from here.
    pub(super) fn shows(self, topic: Topic) -> bool {
        self.topics(true).contains(&topic) && (self != Self::ByHeat || topic == Topic::ScalePerHeat)
    }
}

/// A cluster, taught.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Group {
    topics: Vec<Topic>,
    paced: bool,
    belief: Joint,
    dice: Dice,
    scatter: Vec<f64>,
    pinned: BTreeMap<usize, f64>,
    /// For each topic, how many observations it is in, and the places of those left out.
    counts: Vec<usize>,
    left_out: Vec<Vec<usize>>,
}

/// A value as it is carried inside.
pub(super) fn inside(space: Space, value: f64, sd: f64) -> Normal {
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

impl Group {
    /// Learns a cluster from what was seen of it.
    pub(super) fn learn(
        (cluster, fish_mouth): (Cluster, bool),
        equations: &[&Equation],
        prior: impl Fn(Topic) -> Prior,
        pins: &BTreeMap<Topic, f64>,
    ) -> Self {
        let topics = cluster.topics(fish_mouth);
        let paced = cluster.is_paced();
        let place = |topic: Topic| topics.iter().position(|one| *one == topic);
        let mut before: Vec<Normal> = topics
            .iter()
            .map(|topic| {
                let prior = prior(*topic);
                inside(topic.space(), prior.value, prior.sd)
            })
            .collect();
        if paced {
            let common = before.iter().map(|one| one.sd).fold(0.0, f64::max) * COMMON;
            for one in &mut before {
                one.sd = (one.sd * one.sd - common * common).max(1e-6).sqrt();
            }
            before.push(Normal {
                mean: 0.0,
                sd: common,
            });
        }
        let latent = topics.len();
        let variance = |equation: &Equation| -> f64 {
            let own = equation
                .scatter
                .iter()
                .map(|(topic, times)| times * prior(*topic).scatter.powi(2));
            equation.error * equation.error + own.sum::<f64>()
        };
        let sums: Vec<Sum> = equations
            .iter()
            .map(|equation| {
                let own = equation
                    .parts
                    .iter()
                    .filter_map(|(topic, times)| Some((place(*topic)?, *times)));
                let mut parts: Vec<(usize, f64)> = own.collect();
                if paced {
                    parts.push((latent, 1.0));
                }
                Sum {
                    parts,
                    value: equation.value,
                    sd: variance(equation).sqrt(),
                }
            })
            .collect();
        let taught = Joint::learn(&before, &sums);
        let has = |sum: &Sum, topic: usize| sum.parts.iter().any(|(at, _)| *at == topic);
        let of_topic = |topic: usize| {
            let off = sums.iter().zip(&taught.off);
            off.filter(move |(sum, _)| has(sum, topic))
        };
        let each = 0..topics.len();
        Self {
            scatter: each
                .clone()
                .map(|topic| scatter(of_topic(topic).map(|(_, off)| *off)))
                .collect(),
            counts: each
                .clone()
                .map(|topic| of_topic(topic).filter(|(_, off)| off.is_finite()).count())
                .collect(),
            left_out: each
                .map(|topic| {
                    let out = taught.left_out.iter().copied();
                    out.filter(|at| sums.get(*at).is_some_and(|sum| has(sum, topic)))
                        .collect()
                })
                .collect(),
            dice: taught.belief.dice(),
            belief: taught.belief,
            pinned: topics
                .iter()
                .enumerate()
                .filter_map(|(at, topic)| {
                    let pin = pins.get(topic)?;
                    Some((at, inside(topic.space(), *pin, 0.0).mean))
                })
                .collect(),
            paced,
            topics,
        }
    }

    fn parts(&self, at: usize) -> Vec<(usize, f64)> {
        let mut parts = vec![(at, 1.0)];
        if self.paced {
            parts.push((self.topics.len(), 1.0));
        }
        parts
    }

    /// Belief, scatter factor, count and the places left out of a topic.
    pub(super) fn of(&self, topic: Topic) -> Option<(Normal, f64, usize, &[usize])> {
        let at = self.topics.iter().position(|one| *one == topic)?;
        let scatter = self.scatter.get(at).copied()?;
        let mut belief = self.belief.of(&self.parts(at));
        belief.sd *= scatter.max(1.0);
        Some((
            belief,
            scatter,
            self.counts.get(at).copied()?,
            self.left_out.get(at)?,
        ))
    }

    /// All topics at once, in order, in their inner space; pinned ones as pinned.
    pub(super) fn draw(&self, chance: &mut Chance) -> Vec<f64> {
        let mut all = self.dice.draw(chance);
        let common = if self.paced {
            all.pop().unwrap_or(0.0)
        } else {
            0.0
        };
        for (at, value) in all.iter_mut().enumerate() {
            *value = match self.pinned.get(&at) {
                Some(pin) => *pin,
                None => *value + common,
            };
        }
        all
    }
}
