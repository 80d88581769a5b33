//! The plan walked without readings: what should be there after each step.

use strum::VariantArray as _;

use super::{Diagnostic, Level, Place, Plan, Step, StepId};
use crate::billet::{
    Allowances, Billet, Kind, LossEntry, Move, Outcome, Reading, Refusal, Sizes, Stage, Warning,
    apply,
};

/// After one step.
#[derive(Debug, Clone, PartialEq)]
pub struct WalkedStep {
    pub step: StepId,
    /// The billet after it.
    pub billet: Billet,
    /// What it lost.
    pub losses: Vec<LossEntry>,
}

/// The whole plan, dry.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Walk {
    /// One row a step; stops at the first refusal.
    pub rows: Vec<WalkedStep>,
    /// Refusals as errors, oddities as warnings, with their places.
    pub found: Vec<Diagnostic>,
}

/// Walks the steps from `from` on, starting at `billet`.
///
/// After a refusal there are no more rows. The sizes that the plan asked for are then taken as if they
/// were possible, only to find what else is wrong: every refusal of the plan shows at once.
#[must_use]
pub fn dry_run(plan: &Plan, from: usize, billet: &Billet) -> Walk {
    let allow = plan.allowances();
    let mut walk = Walk {
        rows: Vec::new(),
        found: Vec::new(),
    };
    let mut now = billet.clone();
    let mut sound = true;
    for step in plan.steps.iter().skip(from) {
        now.take_up(&step.bar);
        match apply(&now, &step.made, &allow, &Reading::default()) {
            Ok(outcome) => {
                now = outcome.billet;
                if sound {
                    let odd = outcome.warnings.iter().map(|odd| warning(step, odd));
                    walk.found.extend(odd);
                    walk.rows.push(WalkedStep {
                        step: step.id.clone(),
                        billet: now.clone(),
                        losses: outcome.losses,
                    });
                }
            }
            Err(refusal) => {
                walk.found.push(error(step, &refusal));
                sound = false;
                now = as_if(&now, &step.made, &allow);
            }
        }
    }
    walk
}

/// Least and most scale of a step over what the plan says: 3 to 6 % in a weld-and-draw of 4 %. Common
/// practice, no source.
const SCALE: [f64; 2] = [0.75, 1.5];

/// Fewest and most bands at the end, as scale eats more or less of the outside than the plan says; none
/// where it makes no odds. A bar that ends too short for its blanks has its bands all the same.
#[must_use]
pub fn bands_by_scale(plan: &Plan, walk: &Walk) -> Option<(u128, u128)> {
    let end = &walk.rows.last()?.billet;
    let best = end.bands();
    let [most, least] = SCALE.map(|factor| {
        let mut other = plan.clone();
        for scale in other
            .steps
            .iter_mut()
            .filter_map(|step| step.made.scale_mut())
        {
            scale.0 *= factor;
        }
        let walked = dry_run(&other, 0, &other.first_billet());
        let bar = walked.rows.last().map(|row| &row.billet);
        let joined = bar.filter(|bar| bar.nominal == end.nominal);
        joined.map_or(best, Billet::bands)
    });
    let [least, most] = end.as_doubtful([least, most]);
    (least < most).then_some((least, most))
}

/// The place of a key of the step, or of the step.
pub(super) fn place_of(step: &Step, key: Option<&str>) -> Place {
    let own = key.and_then(|key| step.places.get(key));
    own.or_else(|| step.places.get("")).unwrap_or(Place {
        line: step.line,
        column: 1,
    })
}

fn error(step: &Step, refusal: &Refusal) -> Diagnostic {
    Diagnostic {
        level: Level::Error,
        place: place_of(step, refusal.key),
        step: Some(step.id.0.clone()),
        key: refusal.key.map(str::to_owned),
        what: refusal.what.clone(),
        remedy: refusal.remedy.clone(),
    }
}

fn warning(step: &Step, odd: &Warning) -> Diagnostic {
    let parts = odd
        .text
        .split_once(": ")
        .or_else(|| odd.text.split_once("; "));
    let (what, remedy) = parts.unwrap_or((odd.text.as_str(), "look at it before the steel is cut"));
    Diagnostic {
        level: Level::Warning,
        place: place_of(step, odd.key),
        step: Some(step.id.0.clone()),
        key: odd.key.map(str::to_owned),
        what: what.to_owned(),
        remedy: remedy.to_owned(),
    }
}

/// The billet that the step would have left, had it been possible: in another stage, or with the
/// impossible part let go and the sizes set afterwards. When nothing comes near, only the stage moves
/// on.
fn as_if(billet: &Billet, made: &Move, allow: &Allowances) -> Billet {
    let try_move = |billet: &Billet, made: &Move| -> Option<Outcome> {
        apply(billet, made, allow, &Reading::default()).ok()
    };
    let stages = std::iter::once(billet.stage).chain(Stage::VARIANTS.iter().copied());
    for stage in stages {
        let mut other = billet.clone();
        other.stage = stage;
        for wanted in std::iter::once(made.clone()).chain(relaxed(made)) {
            if let Some(outcome) = try_move(&other, &wanted) {
                return with_sizes(outcome.billet, made);
            }
        }
    }
    let mut other = billet.clone();
    let row = made.kind().row();
    let first = row.at.first().filter(|_| !row.at.contains(&billet.stage));
    other.stage = row.to.or(first.copied()).unwrap_or(billet.stage);
    with_sizes(other, made)
}

/// The same move asking for less, nearest first.
fn relaxed(made: &Move) -> Vec<Move> {
    let less = |to: &Sizes| {
        let width = Sizes {
            width: to.width,
            ..Sizes::default()
        };
        let thickness = Sizes {
            thickness: to.thickness,
            ..Sizes::default()
        };
        [
            Sizes {
                length: None,
                ..*to
            },
            thickness,
            width,
        ]
    };
    let mut out = Vec::new();
    if let Some(to) = made.target() {
        let bare = (made.kind() == Kind::Weld).then(Sizes::default);
        for to in less(&to).into_iter().chain(bare) {
            let mut other = made.clone();
            if let Some(asked) = other.target_mut() {
                *asked = to;
            }
            if let Move::Draw { to, scale } = other {
                out.extend([other, Move::Square { to, scale }]);
            } else {
                out.push(other);
            }
        }
    }
    match made {
        Move::Cut { pieces, .. } => out.extend([*pieces, 1].map(|fewer| {
            let mut other = made.clone();
            if let Move::Cut { pieces, length, .. } = &mut other {
                (*pieces, *length) = (fewer, None);
            }
            other
        })),
        Move::Restack { .. } => out.push(Move::Restack {
            arrange: crate::billet::Arrange::Pile,
        }),
        _ => {}
    }
    out
}

/// The sizes that the move asked for, whatever the volume says.
fn with_sizes(mut billet: Billet, made: &Move) -> Billet {
    match made {
        Move::Cut { pieces, length, .. } => {
            billet.pieces = *pieces;
            if let Some(length) = length {
                billet.bar.length = *length;
            }
        }
        _ => {
            if let Some(length) = made.target().and_then(|to| to.length) {
                billet.bar.length = length;
            }
        }
    }
    billet
}
