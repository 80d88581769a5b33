//! Billet + move -> billet, or why not.
//!
//! Cold, and metal-true: what is in the billet and its stock is what the ledger has left, after every
//! move and whatever was read. Scale comes off the outside: a skin of one depth leaves every side while
//! the bar is worked ([`super::Skin`]), so the outer layers thin and go first, as under a flat grind.
//! Grooves and dimples are taken as lying evenly along the bar.

mod among;
mod blade;
mod cut;
mod faces;
mod flush;
mod forge;
mod grid;
mod grind;
mod groove;
mod inspect;
mod jacket;
mod lay;
mod order;
mod refuse;
mod section;
mod sizes;
mod stack;
mod tiles;
mod upset;
mod warn;
mod work;
mod wrap;

#[cfg(test)]
mod balance;
#[cfg(test)]
mod plans;
#[cfg(test)]
mod rules;

pub use sizes::readable;
pub use stack::whole_pieces;

use super::{Allowances, Billet, Fit, Lay, Loss, LossEntry, Move, Reading, Refusal, Warning};
use work::Work;

/// What a move leads to.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// The billet after.
    pub billet: Billet,
    /// What this move lost, also at the end of the ledger.
    pub losses: Vec<LossEntry>,
    /// Odd but possible.
    pub warnings: Vec<Warning>,
    /// Of bars that were laid on this one, what had to match.
    pub fits: Vec<Fit>,
}

/// Makes a move. With an empty reading everything follows from volume and allowances; with readings
/// what is missing follows from volume, and when all three sizes or the mass are there the loss is
/// measured instead of assumed. A step that changes one size alone (a trim, a cut, a grind) is
/// measured by that size alone.
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
    let stage = order::admit(billet, made)?;
    wrap::keeps(billet, made)?;
    readable(reading)?;
    let mut work = Work::new(billet, made, allow, reading);
    match made {
        // The cut pieces weighed before they are piled are the first pile weighed.
        Move::Prepare if sizes::any_size(reading) => stack::stack(&mut work)?,
        Move::Harden | Move::Temper { .. } | Move::Etch => {
            blade::remeasure(&mut work, Loss::Scale)?;
        }
        Move::Prepare => {}
        Move::Stack { among, fit } => among::with_bars(&mut work, among, *fit)?,
        Move::Weld { to, scale }
        | Move::Draw { to, scale }
        | Move::Square { to, scale }
        | Move::CornerCrush { to, scale } => forge::shape(&mut work, to, *scale)?,
        Move::Upset { to, scale } => upset::upset(&mut work, to, *scale)?,
        Move::QuarterTurn => forge::quarter_turn(&mut work),
        Move::Twist {
            turns, over, from, ..
        } => forge::twist(&mut work, *turns, *over, *from)?,
        Move::Split { angle } => forge::split(&mut work, *angle)?,
        Move::Trim { ends } => cut::trim(&mut work, *ends)?,
        Move::Cut {
            pieces,
            length,
            kerf,
            keep_rest,
        } => cut::cut(&mut work, *pieces, *length, *kerf, *keep_rest)?,
        Move::Grind { per_face, faces } => grind::grind(&mut work, *per_face, *faces)?,
        Move::Restack { arrange } => stack::restack(&mut work, *arrange)?,
        Move::Fold { plies, kerf } => stack::fold(&mut work, *plies, *kerf)?,
        Move::Join {
            lay: Lay::Grid { columns },
            ..
        } => grid::grid(&mut work, *columns)?,
        Move::Frame { .. } | Move::Join { .. } => lay::lay(&mut work)?,
        Move::Jacket { bare, .. } => jacket::jacket(&mut work, *bare)?,
        Move::Wrap { thickness } => wrap::wrap(&mut work, *thickness)?,
        Move::Slice { .. } => tiles::slice(&mut work)?,
        Move::Unfold { cuts, web, kerf } => tiles::unfold(&mut work, *cuts, *web, *kerf)?,
        Move::Groove { .. } => groove::groove(&mut work)?,
        Move::Dimple { .. } => groove::dimple(&mut work)?,
        Move::Inspect { bands } => inspect::inspect(&mut work, *bands)?,
        Move::EndDay => inspect::end_day(&mut work)?,
        Move::Forge { part, to, scale } => blade::forge(&mut work, *part, to, *scale)?,
        Move::Normalise { scale, .. } | Move::Anneal { scale } => blade::heat(&mut work, *scale)?,
        Move::RoughGrind { share, .. } | Move::FinishGrind { share, .. } => {
            blade::grind(&mut work, *share)?;
        }
    }
    some_metal_is_left(&work)?;
    work.now.stage = stage;
    warn::look(&mut work);
    Ok(work.finish())
}

/// Refuses sizes that leave no metal around the grooves or dimples.
fn some_metal_is_left(work: &Work<'_>) -> Result<(), Refusal> {
    if work.now.volume().is_positive() {
        return Ok(());
    }
    let bar = &work.now.bar;
    Err(work::refuse(
        "to",
        format!(
            "{} x {} x {} would be all grooves or dimples and no metal",
            work.allow.units.length_bare(bar.width),
            work.allow.units.length_bare(bar.thickness),
            work.say(bar.length)
        ),
        "measure again, or take less off",
    ))
}
