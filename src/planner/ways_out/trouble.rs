//! What is wrong with the metal there is, against the plan.

use super::course::{Course, has_bands};
use crate::billet::{Kind, Refusal};
use crate::plan::{Need, Plan, StepId};
use crate::planner::forecast::Start;
use crate::units::{Grams, Mm, Units, show};

#[derive(Debug, Clone, PartialEq)]
pub enum Trouble {
    /// A step to come cannot be made as the plan has it.
    DoesNotFit {
        step: StepId,
        /// Why, and what the move itself would do.
        why: Refusal,
    },
    /// The blanks hold too little for the knives.
    Short {
        /// What is missing.
        by: Grams,
    },
    /// The blade is forged, and shorter than the goal's.
    BladeShort {
        /// Its length.
        is: Mm,
        /// The goal's.
        wanted: Mm,
    },
    /// The bands are not those wanted.
    Bands {
        /// What comes of it.
        bands: u128,
    },
    /// The smith says that a weld failed and so much must be cut back from one end.
    WeldFailed {
        /// How much.
        cut_back: Mm,
    },
}

impl Trouble {
    /// In one sentence.
    #[must_use]
    pub fn text(&self, plan: &Plan) -> String {
        let units: Units = plan.units;
        match self {
            Self::DoesNotFit { step, why } => {
                let name = plan
                    .steps
                    .iter()
                    .find(|one| one.id == *step)
                    .map_or(step.0.as_str(), |one| one.name());
                format!("{name} no longer fits: {}", why.what)
            }
            Self::Short { by } => format!("the blanks are short by {}", units.mass(*by)),
            Self::BladeShort { is, wanted } => format!(
                "the forged blade is {}, and {} is wanted",
                units.length(*is),
                units.length(*wanted)
            ),
            Self::Bands { bands } => format!(
                "~{} bands will come of it, and {} to {} are wanted",
                show::count(*bands),
                plan.goal.bands_least,
                plan.goal.bands_most
            ),
            Self::WeldFailed { cut_back } => {
                format!("a weld failed: {} to cut back", units.length(*cut_back))
            }
        }
    }
}

/// What stands against the plan from here on; empty when it still fits.
#[must_use]
pub fn troubles(start: &Start<'_>) -> Vec<Trouble> {
    troubles_of(start, &Course::run(start.plan, start.at, &start.billet))
}

/// The same, with the steps to come run already.
#[must_use]
pub fn troubles_of(start: &Start<'_>, course: &Course) -> Vec<Trouble> {
    let plan = start.plan;
    let mut out: Vec<Trouble> = course
        .bends
        .iter()
        .take(1)
        .map(|(step, why)| Trouble::DoesNotFit {
            step: step.clone(),
            why: why.clone(),
        })
        .collect();
    let grinds = |step: &&crate::plan::Step| step.kind() == Kind::RoughGrind;
    let place = plan
        .steps
        .iter()
        .skip(start.at)
        .take_while(|step| !grinds(step));
    let before = place.count().checked_sub(1);
    let blank = match before.and_then(|at| course.rows.get(at)) {
        Some(row) => &row.billet,
        None => &start.billet,
    };
    let has_grind = plan.steps.iter().skip(start.at).any(|step| grinds(&step));
    let need = Need::of(plan);
    let spare = need.spare(blank);
    if let Some(is) = need.short_blade(&start.billet) {
        out.push(Trouble::BladeShort {
            is,
            wanted: need.blade,
        });
    } else if has_grind && spare.0 < -1e-6 {
        out.push(Trouble::Short {
            by: Grams(-spare.mass(blank.density()).0),
        });
    }
    let last = course.rows.last().map_or(&start.billet, |row| &row.billet);
    if has_grind && !has_bands(plan, last) {
        out.push(Trouble::Bands {
            bands: last.bands(),
        });
    }
    out
}
