//! Putting pieces of one bar together: stack, restack, fold.

use super::cut::shorten;
use super::section::work_to;
use super::sizes::{Expect, any_size, as_it_is};
use super::work::{Work, amount, refuse};
use crate::billet::{Arrange, Bar, Core, Dimension, Figure, Loss, Reading, Refusal, Stand};
use crate::units::{Mm, Mm3};

const ALL: &[Dimension] = &[Dimension::Thickness, Dimension::Width, Dimension::Length];
/// Most thicknesses that a fold can have.
const PLIES: u32 = 8;

/// Piles the first stack. What is read corrects what went in: nothing is lost yet.
pub(super) fn stack(work: &mut Work<'_>) -> Result<(), Refusal> {
    if work.was.bar.core.layers.bands() == 0 || !work.was.bar.volume().is_positive() {
        return Err(refuse(
            "kind",
            "a stack without pieces",
            "give the first stack its pieces",
        ));
    }
    first_read(work)
}

/// What is read on a first stack corrects what went in.
pub(super) fn first_read(work: &mut Work<'_>) -> Result<(), Refusal> {
    let (expected, metal) = (work.now.bar.thickness, work.now.volume());
    let reading = *work.reading;
    measure(work, &reading, ALL)?;
    if let Some(read) = work.reading.thickness
        && off(read, expected)
    {
        let text = format!(
            "the stack is {} high where its pieces come to {}: count them, or close the gaps",
            work.say(read),
            work.say(expected)
        );
        work.warn(Some("thickness"), text);
    }
    let found = work.now.volume() - metal;
    work.now.ledger.start += found;
    Ok(())
}

/// Piles the pieces again.
pub(super) fn restack(work: &mut Work<'_>, arrange: Arrange) -> Result<(), Refusal> {
    let pieces = work.was.pieces;
    if pieces < 2 {
        return Err(refuse(
            "kind",
            "a restack of one piece",
            "cut the bar to two pieces or more first",
        ));
    }
    let bar = &mut work.now.bar;
    match arrange {
        Arrange::Pile => pile(bar, pieces, false),
        Arrange::Flipped => pile(bar, pieces, true),
        Arrange::Block {
            columns,
            rows,
            turned,
        } => {
            if columns.checked_mul(rows) != Some(pieces) {
                return Err(refuse(
                    "columns",
                    format!("a block of {columns} x {rows} from {pieces} pieces"),
                    format!("write columns and rows that multiply to {pieces}"),
                ));
            }
            if turned {
                turned_block(work, columns, rows)?;
            } else {
                beside(&mut work.now.bar, columns);
                pile(&mut work.now.bar, rows, false);
            }
        }
    }
    work.now.pieces = 1;
    work.now.nominal = work.was.nominal.saturating_mul(u128::from(pieces));
    let reading = pile_read(work, pieces, arrange);
    join_read(work, Loss::Rounding, &reading)
}

/// Pieces that may be missing from a pile by oversight. Common practice, no source.
const MISSING: u32 = 3;

/// How far the height of a cold pile may be from what its pieces come to.
fn leeway(expected: Mm) -> Mm {
    Mm(1.0).max(expected * 0.02)
}

/// True for a height of a cold pile that its pieces do not come to.
fn off(read: Mm, expected: Mm) -> bool {
    (read - expected).abs() > leeway(expected)
}

/// A few pieces fewer that would be as high as a pile was read, where so many of them come to `expected`; none where
/// pieces are too thin to be told apart so.
#[must_use]
pub fn whole_pieces(read: Mm, expected: Mm, pieces: u32) -> Option<u32> {
    let each = expected / f64::from(pieces);
    if each <= leeway(expected) * 2.0 || !off(read, expected) {
        return None;
    }
    let least = pieces.saturating_sub(MISSING).max(1);
    (least..pieces).find(|there| !off(read, each * f64::from(*there)))
}

/// What is read on a cold pile. A height that its pieces do not come to is said, and alone it says nothing of the metal:
/// pieces neither stretch nor shrink, so there are gaps, or one is missing.
fn pile_read(work: &mut Work<'_>, pieces: u32, arrange: Arrange) -> Reading {
    let (expected, mut reading) = (work.now.bar.thickness, *work.reading);
    let Some(read) = reading.thickness.filter(|read| off(*read, expected)) else {
        return reading;
    };
    let rows = match arrange {
        Arrange::Pile | Arrange::Flipped => pieces,
        Arrange::Block { rows, .. } => rows,
    };
    let text = format!(
        "the pile is {} high where {rows} pieces come to {}: {}",
        work.say(read),
        work.say(expected),
        if let Some(there) = whole_pieces(read, expected, rows) {
            format!(
                "{there} would be so high; count them, and tell a lost one as a count in doubt after this step"
            )
        } else {
            "count them, or close the gaps".to_owned()
        }
    );
    work.warn(Some("thickness"), text);
    if reading.width.or(reading.length).is_none() && reading.mass.is_none() {
        reading.thickness = None;
    }
    reading
}

/// Folds the bar over itself.
pub(super) fn fold(work: &mut Work<'_>, plies: u32, kerf: Mm) -> Result<(), Refusal> {
    let kerf = amount("kerf", kerf)?;
    if !(2..=PLIES).contains(&plies) {
        return Err(refuse(
            "plies",
            format!("a fold to {plies} thicknesses"),
            format!("fold to 2 to {PLIES}"),
        ));
    }
    let length = work.was.bar.length;
    let each = (length - kerf * f64::from(plies - 1)) / f64::from(plies);
    if !each.is_positive() {
        return Err(refuse(
            "kerf",
            format!(
                "fold lines of {} leave nothing of {}",
                work.say(kerf),
                work.say(length)
            ),
            "fold fewer times, or lose less at each fold",
        ));
    }
    shorten(&mut work.now.bar, each);
    pile(&mut work.now.bar, plies, true);
    work.now.nominal = work.was.nominal.saturating_mul(u128::from(plies));
    join(work, Loss::Kerf)
}

/// One on the other, `times` over; `flipped` when every second one lies upside down.
fn pile(bar: &mut Bar, times: u32, flipped: bool) {
    let count = f64::from(times);
    bar.thickness = bar.thickness * count;
    bar.void = bar.void * count;
    // Bars between the pieces keep their metal; they are shown on the outside.
    for on in &mut bar.frame {
        pile(&mut on.bar, times, flipped);
    }
    let core = &mut bar.core;
    if core.stand == Stand::Flat && core.figure == Figure::Flat {
        core.layers = if flipped {
            core.layers.folded(u64::from(times))
        } else {
            core.layers.repeat(u64::from(times))
        };
    } else if core.figure != Figure::Flat {
        blocks(core, 1, times);
    }
}

/// More of the same, so many across the width and through the thickness.
fn blocks(core: &mut Core, columns: u32, rows: u32) {
    let [across, through] = &mut core.blocks;
    *across = across.saturating_mul(u64::from(columns));
    *through = through.saturating_mul(u64::from(rows));
}

/// One beside the other.
fn beside(bar: &mut Bar, times: u32) {
    let count = f64::from(times);
    bar.width = bar.width * count;
    bar.void = bar.void * count;
    for on in &mut bar.frame {
        beside(&mut on.bar, times);
    }
    let core = &mut bar.core;
    if core.stand == Stand::OnEdge && core.figure == Figure::Flat {
        core.layers = core.layers.repeat(u64::from(times));
    } else if core.figure != Figure::Flat {
        blocks(core, times, 1);
    }
}

/// Columns by rows, each a quarter-turn to its neighbours: only square pieces lie tight.
fn turned_block(work: &mut Work<'_>, columns: u32, rows: u32) -> Result<(), Refusal> {
    gaps(work, "turned")?;
    block(&mut work.now.bar, columns, rows);
    Ok(())
}

/// Refuses pieces that are not square, turned against each other.
pub(super) fn gaps(work: &Work<'_>, key: &'static str) -> Result<(), Refusal> {
    let (width, thickness) = (work.was.bar.width, work.was.bar.thickness);
    if (width - thickness).abs() > width.max(thickness) * 0.05 {
        return Err(refuse(
            key,
            format!(
                "pieces of {} x {} turned against each other leave gaps",
                work.allow.units.length_bare(width),
                work.say(thickness)
            ),
            "square them first, or do not turn them",
        ));
    }
    Ok(())
}

/// Columns by rows of like pieces that no sequence runs through.
fn block(bar: &mut Bar, columns: u32, rows: u32) {
    let (across, through) = (f64::from(columns), f64::from(rows));
    bar.width = bar.width * across;
    bar.thickness = bar.thickness * through;
    bar.void = bar.void * (across * through);
    for on in &mut bar.frame {
        block(&mut on.bar, columns, rows);
    }
    if bar.core.figure == Figure::Flat {
        bar.core.figure = Figure::Block;
    }
    blocks(&mut bar.core, columns, rows);
}

/// What is read on a pile. One size alone says nothing of the metal: there may be gaps.
pub(super) fn join(work: &mut Work<'_>, loss: Loss) -> Result<(), Refusal> {
    let reading = *work.reading;
    join_read(work, loss, &reading)
}

/// The same with a reading that was put into sizes of the whole.
pub(super) fn join_read(work: &mut Work<'_>, loss: Loss, reading: &Reading) -> Result<(), Refusal> {
    let measured = measure(work, reading, &[])?;
    work.lose_rest(loss, measured);
    work.grown(loss);
    Ok(())
}

/// Readings of a pile; true when they measure its metal, which a size of `own` does by itself.
fn measure(
    work: &mut Work<'_>,
    reading: &Reading,
    own: &'static [Dimension],
) -> Result<bool, Refusal> {
    if !any_size(reading) {
        return Ok(false);
    }
    let bar = work.now.bar.clone();
    let order = [Dimension::Length, Dimension::Thickness, Dimension::Width];
    let found = Expect {
        metal: Mm3::ZERO.max(bar.volume()),
        own,
        follows: order,
        follows_mass: order,
        ..as_it_is(&bar, work.now.density())
    }
    .find(reading)?;
    work_to(&mut work.now, found.outside);
    work.disagree(&found);
    Ok(found.measured)
}
