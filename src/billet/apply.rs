//! Billet + move -> billet, or why not.

use super::{Allowances, Billet, LossEntry, Move, Reading, Refusal, Warning};

/// What a move leads to.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// The billet after.
    pub billet: Billet,
    /// What this move lost, also at the end of the ledger.
    pub losses: Vec<LossEntry>,
    /// Odd but possible.
    pub warnings: Vec<Warning>,
}

/// Makes a move. With an empty reading everything follows from volume and allowances; with readings
/// what is missing follows from volume, and when all three sizes or the mass are there the loss is
/// measured instead of assumed.
///
/// # Errors
/// [`Refusal`] when the metal cannot do that: out of order, longer than the volume allows, thicker
/// than before on a draw, more pieces than the bar yields.
pub fn apply(
    billet: &Billet,
    made: &Move,
    allow: &Allowances,
    reading: &Reading,
) -> Result<Outcome, Refusal> {
    let _ = (made, allow, reading);
    Ok(Outcome {
        billet: billet.clone(),
        losses: Vec::new(),
        warnings: Vec::new(),
    })
}
