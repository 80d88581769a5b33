//! A step made on the metal as it really is, where the plan's sizes may no longer be possible.

use crate::billet::{Allowances, Billet, LossEntry, Move, Reading, Refusal, Sizes, Warning, apply};
use crate::plan::{Plan, Step};

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
    let billet = billet.in_hand(&step.bar);
    make_move(&plan.allowances(), &step.made, &billet, reading)
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
        if let Some(to) = other.target_mut() {
            *to = edit(to);
            out.push(other);
        }
    };
    each(&without_length);
    each(&thickness_only);
    each(&|_| Sizes::default());
    let mut other = made.clone();
    if let Move::Frame { fit, .. }
    | Move::Join { fit, .. }
    | Move::Jacket { fit, .. }
    | Move::Stack { fit, .. } = &mut other
    {
        // What does not match is made to.
        *fit = true;
        out.push(other);
    }
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
