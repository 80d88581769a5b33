//! Trimming ends and cutting to pieces.

use super::section::work_to;
use super::sizes::{Expect, any_size, as_it_is};
use super::work::{Work, amount, positive, refuse};
use crate::billet::{Bar, Cap, Dimension, Loss, Offcut, Refusal};
use crate::units::Mm;

/// Lengths closer than this are the same.
const SAME: f64 = 1e-9;

/// Takes the ends off.
pub(super) fn trim(work: &mut Work<'_>, ends: [Mm; 2]) -> Result<(), Refusal> {
    let [held, far] = ends;
    let off = amount("ends", held)? + amount("ends", far)?;
    let bar = &work.was.bar;
    if off >= bar.length {
        return Err(refuse(
            "ends",
            format!(
                "{} off the ends leaves nothing of a bar of {}",
                work.say(off),
                work.say(bar.length)
            ),
            "trim less",
        ));
    }
    shorten(&mut work.now.bar, bar.length - off);
    trimmed(work, far);
    let measured = measure(work)?;
    work.lose_rest(Loss::Trim, measured);
    work.grown(Loss::Trim);
    Ok(())
}

/// What a trim leaves of the plain end.
fn trimmed(work: &mut Work<'_>, far: Mm) {
    let Some(cap) = work.now.bar.cap else {
        return;
    };
    let left = cap.length - far;
    if left.is_positive() {
        work.now.bar.cap = Some(Cap {
            length: left,
            ..cap
        });
        return;
    }
    work.now.bar.cap = None;
    let text = format!(
        "{} off the far end takes the plain steel round it: trim before the wrap, or write ends = [held, far]",
        work.say(far)
    );
    work.warn(Some("ends"), text);
}

/// Cuts to like pieces.
///
/// Without a length the bar is shared out and each piece goes down to the mark; what that leaves is
/// rounding. With a length, what lies beyond the last piece is parted by one more cut; what is left
/// behind that cut is kept as stock, or is rounding.
pub(super) fn cut(
    work: &mut Work<'_>,
    pieces: u32,
    length: Option<Mm>,
    kerf: Mm,
    keep_rest: bool,
) -> Result<(), Refusal> {
    part(work, pieces, length, kerf, keep_rest)?;
    let measured = measure(work)?;
    work.lose_rest(Loss::Rounding, measured);
    work.grown(Loss::Rounding);
    Ok(())
}

/// The same before anything is read; what is left over is not booked yet.
pub(super) fn part(
    work: &mut Work<'_>,
    pieces: u32,
    length: Option<Mm>,
    kerf: Mm,
    keep_rest: bool,
) -> Result<(), Refusal> {
    let kerf = amount("kerf", kerf)?;
    let all = work.was.bar.length;
    if pieces == 0 {
        return Err(refuse("pieces", "a cut to 0 pieces", "cut to 1 or more"));
    }
    let count = f64::from(pieces);
    let between = kerf * (count - 1.0);
    let share = (all - between) / count;
    let piece = match length {
        Some(length) => positive("length", length)?,
        None if share.is_positive() => {
            let down = share.floor_to(work.allow.mark);
            if down.is_positive() { down } else { share }
        }
        None => return Err(too_many(work, pieces, None, kerf)),
    };
    let rest = all - between - piece * count;
    if rest.0 < -SAME * all.0 {
        return Err(too_many(work, pieces, Some(piece), kerf));
    }
    let rest = rest.max(Mm::ZERO);
    let parting = match length {
        Some(_) => rest.min(kerf),
        None => Mm::ZERO,
    };
    let cuts = between + parting;
    let left = rest - parting;
    let section = work.was.volume() / all;
    work.lose(Loss::Kerf, section * cuts, false);
    if keep_rest && length.is_some() && left.0 > SAME * all.0 {
        let mut bar = work.was.bar.clone();
        shorten(&mut bar, left);
        work.now.stock.push(Offcut {
            bar,
            pieces: work.was.pieces,
        });
    }
    work.now.pieces = work.was.pieces.saturating_mul(pieces);
    shorten(&mut work.now.bar, piece);
    Ok(())
}

fn too_many(work: &Work<'_>, pieces: u32, piece: Option<Mm>, kerf: Mm) -> Refusal {
    let all = work.was.bar.length;
    let Some(piece) = piece else {
        return refuse(
            "pieces",
            format!(
                "{pieces} pieces need {} for the cuts alone; the bar is {}",
                work.say(kerf * f64::from(pieces - 1)),
                work.say(all)
            ),
            "cut fewer pieces",
        );
    };
    let yields = ((all + kerf) / (piece + kerf) + SAME).floor().max(0.0);
    let need = piece * f64::from(pieces) + kerf * (f64::from(pieces) - 1.0);
    let what = format!(
        "{pieces} of {} need {} with their cuts; the bar is {} and yields {yields}, not {pieces}",
        work.say(piece),
        work.say(need),
        work.say(all)
    );
    let each = (all - kerf * f64::from(pieces - 1)) / f64::from(pieces);
    let each = each.floor_to(work.allow.mark);
    let shorter = each.is_positive().then(|| work.say(each));
    match (yields >= 1.0, shorter) {
        (true, Some(each)) => refuse("pieces", what, format!("cut {yields}, or make each {each}")),
        (true, None) => refuse("pieces", what, format!("cut {yields}")),
        (false, Some(each)) => refuse("length", what, format!("make each {each}")),
        (false, None) => refuse("length", what, "make each shorter"),
    }
}

/// A piece of a bar: its share of what is open goes with it.
pub(super) fn shorten(bar: &mut Bar, length: Mm) {
    bar.void = bar.void * (length / bar.length);
    bar.length = length;
}

/// Readings of a piece whose length was just cut; true when they measure its metal.
fn measure(work: &mut Work<'_>) -> Result<bool, Refusal> {
    if !any_size(work.reading) {
        return Ok(false);
    }
    let bar = work.now.bar.clone();
    let found = Expect {
        own: &[Dimension::Length],
        follows: [Dimension::Width, Dimension::Thickness, Dimension::Length],
        follows_mass: [Dimension::Length, Dimension::Thickness, Dimension::Width],
        ..as_it_is(&bar, work.was.density())
    }
    .find(work.reading)?;
    work_to(&mut work.now, found.outside);
    work.disagree(&found);
    Ok(found.measured)
}
