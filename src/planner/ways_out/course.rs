//! The steps to come, run on the metal there is.

use crate::billet::{Billet, Kind, Reading, Refusal, apply};
use crate::plan::{Need, Plan, StepId, WalkedStep};
use crate::session::make_move;
use crate::units::Mm3;

/// The steps to come with what each leaves, whatever has to bend.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    /// One row a step.
    pub rows: Vec<WalkedStep>,
    /// Steps that cannot be made as the plan has them, and why.
    pub bends: Vec<(StepId, Refusal)>,
}

impl Course {
    /// Runs the steps from `at` on; a step that cannot be made as planned is made as near to it as the
    /// metal allows.
    #[must_use]
    pub fn run(plan: &Plan, at: usize, billet: &Billet) -> Self {
        let allow = plan.allowances();
        let mut now = billet.clone();
        let mut course = Self {
            rows: Vec::new(),
            bends: Vec::new(),
        };
        for step in plan.steps.iter().skip(at) {
            now.take_up(&step.bar);
            let made = make_move(&allow, &step.made, &now, &Reading::default());
            now = made.billet;
            course
                .bends
                .extend(made.drift.map(|why| (step.id.clone(), why)));
            course.rows.push(WalkedStep {
                step: step.id.clone(),
                billet: now.clone(),
                losses: made.losses,
            });
        }
        course
    }
}

/// Where a plan ends when every step is made just as it says.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct End {
    /// The blank before it is ground to shape.
    pub(super) blank: Billet,
    /// The metal at the very end.
    pub(super) last: Billet,
    /// Metal over what the knives need; negative when short.
    pub(super) spare: Mm3,
    /// Oddities on the way.
    pub(super) odd: usize,
    /// Each row.
    pub(super) rows: Vec<WalkedStep>,
}

impl End {
    /// Runs the steps from `at` on, each as the plan says; `None` when one is refused.
    pub(super) fn of(plan: &Plan, at: usize, billet: &Billet) -> Option<Self> {
        let allow = plan.allowances();
        let need = Need::of(plan);
        let mut now = billet.clone();
        let mut blank: Option<Billet> = None;
        let mut rows = Vec::new();
        let mut odd = 0;
        for step in plan.steps.iter().skip(at) {
            now.take_up(&step.bar);
            if step.kind() == Kind::RoughGrind && blank.is_none() {
                blank = Some(now.clone());
            }
            let outcome = apply(&now, &step.made, &allow, &Reading::default()).ok()?;
            odd += outcome.warnings.len();
            now = outcome.billet;
            rows.push(WalkedStep {
                step: step.id.clone(),
                billet: now.clone(),
                losses: outcome.losses,
            });
        }
        let blank = blank.unwrap_or_else(|| now.clone());
        Some(Self {
            spare: need.spare(&blank),
            blank,
            last: now,
            odd,
            rows,
        })
    }

    /// Where steps come out that had to bend.
    pub(super) fn bent(plan: &Plan, at: usize, billet: &Billet, rows: Vec<WalkedStep>) -> Self {
        let steps = plan.steps.iter().skip(at);
        let before = steps
            .take_while(|step| step.kind() != Kind::RoughGrind)
            .count()
            .min(rows.len());
        let row = |count: usize| {
            let row = count.checked_sub(1).and_then(|at| rows.get(at));
            row.map_or_else(|| billet.clone(), |row| row.billet.clone())
        };
        let (blank, last) = (row(before), row(rows.len()));
        Self {
            spare: Need::of(plan).spare(&blank),
            blank,
            last,
            odd: 0,
            rows,
        }
    }

    /// True when the knives come out of it and the bands are those wanted.
    pub(super) fn is_good(&self, plan: &Plan) -> bool {
        self.spare.0 >= -1e-6 && has_bands(plan, &self.last)
    }
}

/// True when the bands are in the range wanted.
pub(super) fn has_bands(plan: &Plan, billet: &Billet) -> bool {
    let (least, most) = (plan.goal.bands_least, plan.goal.bands_most);
    (u128::from(least)..=u128::from(most)).contains(&billet.bands())
}
