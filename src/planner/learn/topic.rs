//! What is learnt, and what is believed before anything is seen.

use crate::billet::{Kind, Loses, Move, Per};
use crate::plan::{Machine, Plan, Step, least_watch};
use crate::units::{Seconds, near};

/// Work at heat whose loss is one sum: what happens between two weighings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Work {
    /// Setting a weld and drawing out.
    WeldAndDraw,
    /// Drawing out alone.
    Draw,
    /// Crushing on the corner.
    Crush,
    /// Forging to shape.
    Forge,
}

/// One number that the journals teach.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Topic {
    /// Metal lost to scale in one heat.
    ScalePerHeat,
    /// Metal lost to scale in one piece of work.
    Scale(Work),
    /// Spread in free drawing over what the law says.
    Spread,
    /// Heats used over heats planned, by kind of step.
    Heats(Kind),
    /// Minutes, by kind of step: a heat for hot work, else a step, a piece, a cut or a cycle.
    Minutes(Kind),
    /// What a trim takes off each end.
    Trim,
    /// What it takes more where the ends were drawn, as a part of [`crate::physics::fish_mouth::measure`].
    FishMouth,
    /// What a flat grind takes off each face.
    Grind,
}

/// How a number is carried inside, so that its errors are even.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Space {
    /// `-ln(1 - loss)`: losses add.
    Loss,
    /// Its logarithm.
    Log,
    /// As it is.
    Plain,
}

/// What is believed before.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prior {
    /// The number.
    pub value: f64,
    /// One deviation.
    pub sd: f64,
    /// One deviation of a single piece of work from the shop's own mean.
    pub scatter: f64,
    /// Where it comes from: "book" for common practice, "plan" for the smith's own figure.
    pub source: &'static str,
}

/// Every topic, in the order they are shown.
#[must_use]
pub fn topics() -> Vec<Topic> {
    let mut all = vec![
        Topic::Scale(Work::WeldAndDraw),
        Topic::Scale(Work::Draw),
        Topic::Scale(Work::Crush),
        Topic::Scale(Work::Forge),
        Topic::ScalePerHeat,
        Topic::Spread,
        Topic::Trim,
        Topic::FishMouth,
        Topic::Grind,
    ];
    all.extend(Kind::ALL.into_iter().map(Topic::Heats));
    all.extend(Kind::ALL.into_iter().map(Topic::Minutes));
    all
}

impl Topic {
    /// A stable name for files: `scale.weld-and-draw`, `heats.draw`, `trim`.
    #[must_use]
    pub fn key(self) -> String {
        match self {
            Self::ScalePerHeat => "scale.heat".to_owned(),
            Self::Scale(Work::WeldAndDraw) => "scale.weld-and-draw".to_owned(),
            Self::Scale(Work::Draw) => "scale.draw".to_owned(),
            Self::Scale(Work::Crush) => "scale.corner-crush".to_owned(),
            Self::Scale(Work::Forge) => "scale.forge".to_owned(),
            Self::Spread => "spread".to_owned(),
            Self::Heats(kind) => format!("heats.{}", kind.word()),
            Self::Minutes(kind) => format!("minutes.{}", kind.word()),
            Self::Trim => "trim".to_owned(),
            Self::FishMouth => "fish-mouth".to_owned(),
            Self::Grind => "grind".to_owned(),
        }
    }

    /// The topic of a name.
    ///
    /// # Errors
    /// The nearest name, when there is no such topic.
    pub fn from_key(key: &str) -> Result<Self, Option<String>> {
        let all = topics();
        if let Some(topic) = all.iter().find(|topic| topic.key() == key) {
            return Ok(*topic);
        }
        let keys: Vec<String> = all.iter().map(|topic| topic.key()).collect();
        Err(near::nearest(key, keys.iter().map(String::as_str)).map(str::to_owned))
    }

    /// In words, as it reads behind a number: "per weld-and-draw".
    #[must_use]
    pub fn words(self) -> String {
        match self {
            Self::ScalePerHeat => "lost to scale per heat".to_owned(),
            Self::Scale(Work::WeldAndDraw) => "per weld-and-draw".to_owned(),
            Self::Scale(Work::Draw) => "per draw without a weld".to_owned(),
            Self::Scale(Work::Crush) => "per corner crush".to_owned(),
            Self::Scale(Work::Forge) => "per part forged".to_owned(),
            Self::Spread => "of the spread that the law gives".to_owned(),
            Self::Heats(kind) => format!("of the heats planned for {}", quiet(kind)),
            Self::Minutes(kind) => {
                format!("per {} ({})", <&str>::from(kind.row().per), quiet(kind))
            }
            Self::Trim => "off each end".to_owned(),
            Self::FishMouth => "of thickness x stretch more off an end that was drawn".to_owned(),
            Self::Grind => "off each face".to_owned(),
        }
    }

    pub(super) fn space(self) -> Space {
        match self {
            Self::ScalePerHeat | Self::Scale(_) => Space::Loss,
            Self::Heats(_) | Self::Minutes(_) => Space::Log,
            Self::Spread | Self::Trim | Self::FishMouth | Self::Grind => Space::Plain,
        }
    }

    /// What is believed before anything is seen: the plan's own figures where it has them, else
    /// common practice without a source. The deviations are half as wide again than the trade's own words would
    /// have them, so that smiths two deviations off are not ruled out (`planner::coverage`).
    #[must_use]
    pub fn prior(self, plan: Option<&Plan>) -> Prior {
        let book = |value, sd, scatter| Prior {
            value,
            sd,
            scatter,
            source: "book",
        };
        let allow = plan.map(Plan::allowances);
        let of_plan = |own: Option<f64>, usual: f64, sd: f64, scatter: f64| match own {
            Some(own) if (own - usual).abs() > 1e-9 => Prior {
                value: own,
                sd,
                scatter,
                source: "plan",
            },
            _ => book(usual, sd, scatter),
        };
        match self {
            Self::ScalePerHeat => book(0.006, 0.004, 0.002),
            Self::Scale(Work::Forge) => {
                let usual = booked(plan, Loses::Forge).unwrap_or(0.01);
                of_plan(Some(usual), 0.01, 0.8 * usual, 0.4 * usual)
            }
            Self::Scale(Work::Crush) if let Some(own) = booked(plan, Loses::Crush) => {
                of_plan(Some(own), 0.04, 0.625 * own, 0.25 * own)
            }
            Self::Scale(_) => of_plan(allow.map(|allow| allow.scale.0), 0.04, 0.025, 0.01),
            Self::Spread => book(1.0, 0.25, 0.02),
            Self::Heats(_) => book(1.0, 0.45, 0.2),
            Self::Minutes(kind) => {
                let machine = plan.map(|plan| plan.shop.machine);
                let pace = machine
                    .filter(|_| kind.is_worked())
                    .map_or(1.0, Machine::pace);
                let minutes = kind.row().minutes * pace;
                book(minutes, 0.85 * minutes, 0.35)
            }
            Self::Trim => {
                let own = allow.map(|allow| allow.trim.0);
                of_plan(own, 10.0, own.unwrap_or(10.0).max(5.0) * 0.45, 2.5)
            }
            // A fixed length until the shop's own trims say otherwise.
            Self::FishMouth => book(0.0, 0.08, 0.0),
            Self::Grind => {
                let own = allow.map(|allow| allow.grind.0);
                of_plan(own, 0.5, own.unwrap_or(0.5).max(0.2) * 0.6, 0.08)
            }
        }
    }
}

/// What a plan books in the mean for steps that lose so; none where it books nothing.
fn booked(plan: Option<&Plan>, loses: Loses) -> Option<f64> {
    let steps = plan?.steps.iter().map(|step| &step.made);
    let shares = steps.filter(|made| made.kind().row().loses == loses);
    mean(&shares.map(|made| made.scale().0).collect::<Vec<_>>()).filter(|mean| *mean > 0.0)
}

/// The mean; none of nothing.
pub(super) fn mean(all: &[f64]) -> Option<f64> {
    #[expect(clippy::cast_precision_loss, reason = "some hundred steps")]
    let count = all.len() as f64;
    (!all.is_empty()).then(|| all.iter().sum::<f64>() / count)
}

fn quiet(kind: Kind) -> String {
    kind.title().to_lowercase()
}

/// How many times a step's minutes are counted: pieces, cuts, cycles, heats.
#[must_use]
pub fn times(made: &Move, heats: f64, pieces: u32) -> f64 {
    match (made.kind().row().per, made) {
        (Per::Cut, Move::Cut { pieces, .. }) => f64::from(pieces.saturating_sub(1).max(1)),
        (Per::Cycle, Move::Temper { cycles }) => f64::from((*cycles).max(1)),
        (Per::Piece, _) => f64::from(pieces.max(1)),
        (Per::Heat, _) => heats,
        (Per::Step | Per::Cut | Per::Cycle, _) => 1.0,
    }
}

/// What a clock holds a step to: a temper its cycles, an anneal, a weld or a dip its soak, an end of a day with fire
/// its watch. `steps` are the plan's, at least those before it.
#[must_use]
pub fn clocked_minutes(steps: &[Step], step: &Step) -> f64 {
    let hold = step.hold().unwrap_or(Seconds::ZERO).minutes();
    match &step.made {
        Move::Temper { cycles } => f64::from((*cycles).max(1)) * hold,
        Move::EndDay => {
            let burnt = |other: &Step| other.day == step.day && other.kind().is_hot();
            if steps.iter().any(burnt) {
                least_watch().minutes()
            } else {
                0.0
            }
        }
        _ => hold,
    }
}

#[cfg(test)]
mod tests {
    use super::{Topic, topics};

    #[test]
    fn every_topic_has_one_name() {
        let all = topics();
        for topic in &all {
            assert_eq!(Topic::from_key(&topic.key()), Ok(*topic));
            assert!(topic.prior(None).sd > 0.0);
        }
        let mut keys: Vec<String> = all.iter().map(|topic| topic.key()).collect();
        keys.sort();
        keys.dedup();
        assert_eq!(keys.len(), all.len());
        assert_eq!(
            Topic::from_key("scale.weld-and-drew"),
            Err(Some("scale.weld-and-draw".to_owned()))
        );
    }
}
