//! What a way out costs against the plan as it was.

use crate::billet::Kind;
use crate::plan::Plan;
use crate::planner::learn::{Lessons, Topic, times};
use crate::planner::warming::Warming;
use crate::units::{Mm, Units, show};

/// How much of a smith's time each loss is taken to be worth, to put ways in order; a matter of
/// judgement, no source. Minutes for a weld, a percent of the blade, of the bands
/// beyond the range, and a knife.
const WELD: f64 = 60.0;
const BLADE: f64 = 6.0;
const BANDS: f64 = 3.0;
const KNIFE: f64 = 300.0;

/// What it costs.
#[derive(Debug, Clone, PartialEq)]
pub struct Cost {
    /// More welds, or fewer.
    pub welds: i32,
    /// More minutes, or fewer; an estimate.
    pub minutes: f64,
    /// Bands at the end, before and after.
    pub bands: (u128, u128),
    /// Bands further from the range than before, as a part of it.
    pub pattern: f64,
    /// Blade shorter by.
    pub blade: Mm,
    /// Knives fewer.
    pub knives: u32,
}

impl Cost {
    /// One number to put ways in order.
    pub(super) fn weight(&self, plan: &Plan) -> f64 {
        let shorter = self.blade / plan.goal.blade.length * 100.0;
        f64::from(self.welds) * WELD
            + self.minutes
            + self.pattern * 100.0 * BANDS
            + shorter * BLADE
            + f64::from(self.knives) * KNIFE
    }

    /// In a few words: `costs nothing`, `1 weld more, 75 min more`.
    #[must_use]
    pub fn text(&self, units: Units) -> String {
        let mut parts = Vec::new();
        let more = |count: i32| if count > 0 { "more" } else { "fewer" };
        match self.welds {
            0 => {}
            1 | -1 => parts.push(format!("1 weld {}", more(self.welds))),
            many => parts.push(format!("{} welds {}", many.abs(), more(many))),
        }
        if self.minutes.abs() >= 2.5 {
            let word = if self.minutes > 0.0 { "more" } else { "less" };
            parts.push(format!("about {:.0} min {word}", self.minutes.abs()));
        }
        if self.bands.0 != self.bands.1 {
            parts.push(format!(
                "{} bands instead of {}",
                show::count(self.bands.1),
                show::count(self.bands.0)
            ));
        }
        if self.pattern > 0.0 {
            parts.push(format!(
                "bands {:.0} % outside what was wanted",
                (self.pattern * 100.0).ceil()
            ));
        }
        if self.blade.is_positive() {
            parts.push(format!("a blade shorter by {}", units.length(self.blade)));
        }
        match self.knives {
            0 => {}
            1 => parts.push("one knife fewer".to_owned()),
            many => parts.push(format!("{many} knives fewer")),
        }
        if parts.is_empty() {
            return "costs nothing".to_owned();
        }
        parts.join(", ")
    }
}

/// Welds of the steps from a place on.
pub(super) fn welds(plan: &Plan, at: usize) -> i32 {
    let steps = plan.steps.iter().skip(at);
    let count = steps.filter(|step| step.kind() == Kind::Weld).count();
    i32::try_from(count).unwrap_or(i32::MAX)
}

/// Minutes of the steps from a place on, with the shop's own pace where it is learnt, and no step under its floor.
pub(super) fn minutes(
    plan: &Plan,
    at: usize,
    lessons: &Lessons,
    (pieces, floors): (&[u32], &[Warming]),
) -> f64 {
    plan.steps
        .iter()
        .skip(at)
        .zip(pieces)
        .zip(floors)
        .map(|((step, pieces), floor)| {
            let kind = step.kind();
            let heats = f64::from(step.heats) * lessons.get(Topic::Heats(kind)).in_force();
            let minutes =
                times(&step.made, heats, *pieces) * lessons.get(Topic::Minutes(kind)).in_force();
            minutes.max(floor.minutes(heats))
        })
        .sum()
}
