//! A step made on the metal as it really is, where the plan's sizes may no longer be possible.

use crate::billet::{Allowances, Billet, LossEntry, Move, Reading, Refusal, Sizes, Warning, apply};
use crate::plan::{Plan, Step};

use super::Done;

/// A step made.
#[derive(Debug, Clone, PartialEq)]
pub struct Made {
    /// The billet after it.
    pub billet: Billet,
    /// What it lost.
    pub losses: Vec<LossEntry>,
    /// Odd but possible.
    pub warnings: Vec<Warning>,
    /// Why the step could not be made as planned, when it had to be made another way.
    pub drift: Option<Refusal>,
}

impl Made {
    /// Nothing done yet.
    #[must_use]
    pub fn nothing(billet: &Billet) -> Self {
        Self {
            billet: billet.clone(),
            losses: Vec::new(),
            warnings: Vec::new(),
            drift: None,
        }
    }
}

/// Makes a step. When the metal cannot do what the plan asks, the length is let go, then the piece
/// length, then the piece count; when nothing fits, the metal stays as it was and the reason is kept.
#[must_use]
pub fn make(plan: &Plan, step: &Step, billet: &Billet, reading: &Reading) -> Made {
    make_move(&plan.allowances(), &step.made, billet, reading)
}

/// As [`make`], of a bare move.
#[must_use]
pub fn make_move(allow: &Allowances, wanted: &Move, billet: &Billet, reading: &Reading) -> Made {
    let first = match try_out(allow, wanted, billet, reading, None) {
        Ok(made) => return made,
        Err(refusal) => refusal,
    };
    for other in relaxed(wanted) {
        if let Ok(made) = try_out(allow, &other, billet, reading, Some(&first)) {
            return made;
        }
    }
    let mut made = Made::nothing(billet);
    made.drift = Some(first);
    made
}

fn try_out(
    allow: &Allowances,
    made: &Move,
    billet: &Billet,
    reading: &Reading,
    drift: Option<&Refusal>,
) -> Result<Made, Refusal> {
    apply(billet, made, allow, reading).map(|outcome| Made {
        billet: outcome.billet,
        losses: outcome.losses,
        warnings: outcome.warnings,
        drift: drift.cloned(),
    })
}

/// The same move asking for less, nearest first.
fn relaxed(made: &Move) -> Vec<Move> {
    let without_length = |to: &Sizes| Sizes {
        length: None,
        ..*to
    };
    let thickness_only = |to: &Sizes| Sizes {
        length: None,
        width: None,
        thickness: to.thickness,
    };
    let mut out = Vec::new();
    let mut each = |edit: &dyn Fn(&Sizes) -> Sizes| {
        let mut other = made.clone();
        if let Move::Weld { to, .. }
        | Move::Draw { to, .. }
        | Move::Square { to, .. }
        | Move::CornerCrush { to, .. }
        | Move::Forge { to, .. } = &mut other
        {
            *to = edit(to);
            out.push(other);
        }
    };
    each(&without_length);
    each(&thickness_only);
    each(&|_| Sizes::default());
    if let Move::Cut {
        pieces,
        kerf,
        keep_rest,
        ..
    } = made
    {
        for fewer in (1..=*pieces).rev() {
            out.push(Move::Cut {
                pieces: fewer,
                length: None,
                kerf: *kerf,
                keep_rest: *keep_rest,
            });
        }
    }
    out
}

/// The plan as it stands after an edit in the middle of the job: the steps done, as they were
/// worked, and then the new file's steps from the first that has not been done.
#[must_use]
pub(super) fn merge(done: &[Done], new: &Plan) -> Plan {
    let from = resume_at(done, new);
    let mut plan = new.clone();
    plan.steps = done
        .iter()
        .map(|done| done.step.clone())
        .chain(new.steps.iter().skip(from).cloned())
        .collect();
    plan
}

/// Where the new file goes on: behind the last of its steps that has been done.
#[must_use]
pub fn resume_at(done: &[Done], new: &Plan) -> usize {
    let is_done = |step: &Step| done.iter().any(|done| done.step.id == step.id);
    new.steps.iter().rposition(is_done).map_or(0, |at| at + 1)
}

/// Steps already done that the new file has differently; they are not rewritten.
#[must_use]
pub fn rewritten<'a>(done: &'a [Done], new: &Plan) -> Vec<&'a Step> {
    done.iter()
        .map(|done| &done.step)
        .filter(|old| {
            let now = new.steps.iter().find(|step| step.id == old.id);
            now.is_none_or(|step| step.made != old.made)
        })
        .collect()
}
