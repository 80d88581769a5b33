//! Hot work on a bar: weld, draw, square, corner crush, twist, split; and the quarter-turn.

use super::faces::work_hot;
use super::section::{Outside, hollow_at, thickness_for};
use super::sizes::{Expect, any_size, as_it_is};
use super::work::{Work, amount, positive, refuse, share};
use crate::billet::{Bar, Billet, Figure, Kind, Loss, Move, Refusal, Sizes};
use crate::units::{Fraction, Mm, Mm3, bounds};

/// Sizes closer than this are the same: well under what any caliper shows.
const SAME: f64 = 1e-6;
/// How much shorter than the volume gives a length may be asked for.
const SHORT: f64 = 0.02;

/// Brings the bar to sizes; what is not given follows from volume.
pub(super) fn shape(work: &mut Work<'_>, to: &Sizes, scale: Fraction) -> Result<(), Refusal> {
    let scale = share("scale", scale)?;
    for (key, size) in to.given() {
        positive(key, size)?;
    }
    let bar = &work.was.bar;
    let metal = bar.volume() * (1.0 - scale);
    let planned = plan(work, to, metal);
    if any_size(work.reading) {
        // The metal has spoken: the plan only fills what was not read.
        let outside = planned.unwrap_or_else(|_| keep_section(bar, metal));
        hot(work, outside, metal)?;
    } else {
        let outside = planned?;
        work_hot(work, outside, scale)?;
        let pieces = f64::from(work.was.pieces);
        work.lose(Loss::Scale, bar.volume() * scale * pieces, false);
        work.lose_rest(Loss::Rounding, false);
    }
    if work.kind() == Kind::CornerCrush {
        bend(&mut work.now.bar, Figure::Crushed);
        near_square(work, "a corner crush");
    }
    still_open(work);
    Ok(())
}

/// Sizes as the plan has them, checked against the metal.
fn plan(work: &Work<'_>, to: &Sizes, metal: Mm3) -> Result<Outside, Refusal> {
    let bar = &work.was.bar;
    let Some((width, thickness)) = wanted(bar, to, metal) else {
        return Ok(keep_section(bar, metal));
    };
    let most = metal / (width * (thickness - hollow_at(bar, thickness).0));
    // A draw makes longer. Thicker is possible only on the edge, as a framed bar is drawn narrower.
    let on_edge = width.0 < bar.width.0 * (1.0 - SAME) && most.0 > bar.length.0;
    if work.kind() == Kind::Draw && thickness.0 > bar.thickness.0 * (1.0 + SAME) && !on_edge {
        return Err(refuse(
            if to.thickness.is_some() {
                "thickness"
            } else {
                "length"
            },
            format!(
                "a draw to {} thick from {}: drawing makes thinner and longer",
                work.say(thickness),
                work.say(bar.thickness)
            ),
            "ask for less thickness, or use square to upset it",
        ));
    }
    let fits = |size: Mm| size.is_positive() && size.0 <= bounds::LENGTH.greatest;
    if !(fits(most) && fits(width) && fits(thickness)) {
        return Err(refuse(
            if to.thickness.is_some() {
                "thickness"
            } else {
                "width"
            },
            format!(
                "{} x {} draws out to {}, longer than any bar",
                work.allow.units.length_bare(width),
                work.say(thickness),
                work.say(most)
            ),
            "ask for a larger section",
        ));
    }
    let length = match to.length {
        None => most.floor_to(work.allow.mark),
        Some(length) if to.width.is_some() && to.thickness.is_some() => {
            check_length(work, length, most)?
        }
        Some(length) => length,
    };
    let length = if length.is_positive() { length } else { most };
    Ok(Outside {
        width,
        thickness,
        length,
    })
}

/// Width and thickness asked for; one that is not given stays, or follows when the length is given.
fn wanted(bar: &Bar, to: &Sizes, metal: Mm3) -> Option<(Mm, Mm)> {
    match (to.width, to.thickness, to.length) {
        (None, None, None) => None,
        (Some(width), Some(thickness), _) => Some((width, thickness)),
        (None, Some(thickness), None) => Some((bar.width, thickness)),
        (Some(width), None, None) => Some((width, bar.thickness)),
        (width, None, Some(length)) => {
            let width = width.unwrap_or(bar.width);
            let hollow = |thickness| hollow_at(bar, thickness).0;
            Some((width, thickness_for(metal / (width * length), hollow)))
        }
        (None, Some(thickness), Some(length)) => {
            let filled = thickness - hollow_at(bar, thickness).0;
            Some((metal / (filled * length), thickness))
        }
    }
}

/// Section and length all given: the volume must agree.
fn check_length(work: &Work<'_>, asked: Mm, most: Mm) -> Result<Mm, Refusal> {
    let say = |length: Mm| work.say(length);
    if asked.0 > most.0 + work.allow.mark.0.max(0.0) * 1e-3 + most.0 * SAME {
        let down = most.floor_to(work.allow.mark);
        let down = if down.is_positive() { down } else { most };
        return Err(refuse(
            "length",
            format!("{} asked, the metal gives {}", say(asked), say(most)),
            format!("make it narrower or thinner, or ask for {}", say(down)),
        ));
    }
    let short = most - asked;
    if short.0 > most.0 * SHORT && short > work.allow.mark {
        return Err(refuse(
            "length",
            format!(
                "{} asked, but the metal gives {} and cannot vanish",
                say(asked),
                say(most)
            ),
            "leave the length out, ask for a larger section, or trim what is too long",
        ));
    }
    Ok(asked.min(most))
}

fn keep_section(bar: &Bar, metal: Mm3) -> Outside {
    Outside {
        length: bar.length * (metal / bar.volume()),
        ..Outside::of(bar)
    }
}

/// Sets what hot work leaves: sizes as read, the rest from volume, the loss scale.
fn hot(work: &mut Work<'_>, outside: Outside, metal: Mm3) -> Result<(), Refusal> {
    let bar = &work.was.bar;
    let found = Expect {
        outside,
        metal,
        ..as_it_is(bar, work.was.density())
    }
    .find(work.reading)?;
    // What was read says what the fire ate.
    let to = found.outside;
    let left = to.width * to.length * (to.thickness - hollow_at(bar, to.thickness).0);
    work_hot(work, to, 1.0 - left / bar.volume())?;
    work.disagree(&found);
    work.lose_rest(Loss::Scale, found.measured);
    work.grown(Loss::Scale);
    Ok(())
}

/// Lays the bar on its side. The sequence runs bottom to top, or spine to edge on edge.
pub(super) fn quarter_turn(work: &mut Work<'_>) {
    let turned_open = work.was.bar.void.is_positive();
    work.now.bar.lay_on_side();
    work.now.turns = (work.now.turns + 1) % 4;
    if turned_open {
        work.warn(
            None,
            "the bar is turned with its grooves open: forge them flat first".to_owned(),
        );
    }
}

/// A loose bar given a quarter-turn before it is laid on another.
pub(super) fn turned(metal: &mut Billet) {
    let before = metal.outside_sizes();
    metal.bar.lay_on_side();
    metal.note(Move::QuarterTurn, before);
}

/// Twists the bar: sizes stay, what the smith reads afterwards counts.
pub(super) fn twist(
    work: &mut Work<'_>,
    turns: f64,
    over: Option<Mm>,
    from: Option<Mm>,
) -> Result<(), Refusal> {
    let bar = &work.was.bar;
    if !(turns.is_finite() && turns > 0.0) {
        return Err(refuse(
            "turns",
            format!("{turns} turns is not a twist"),
            "write how many full turns, above 0",
        ));
    }
    let start = amount("from", from.unwrap_or(Mm::ZERO))?;
    if start >= bar.length {
        return Err(refuse(
            "from",
            format!(
                "a twist from {} on of a bar of {}",
                work.say(start),
                work.say(bar.length)
            ),
            "begin nearer to the end held",
        ));
    }
    let over = positive("over", over.unwrap_or(bar.length - start))?;
    if (start + over).0 > bar.length.0 * (1.0 + SAME) {
        return Err(refuse(
            "over",
            format!(
                "a twist over {} of a bar of {}",
                work.say(start + over),
                work.say(bar.length)
            ),
            "twist over less, or leave it out for the whole bar",
        ));
    }
    let (pitch, side) = (over / turns, bar.width.max(bar.thickness));
    if pitch < side * 1.5 {
        let text = format!(
            "one turn in {} on a side of {}: under 1.5 sides a turn the bar shears; take fewer turns",
            work.say(pitch),
            work.say(side)
        );
        work.warn(Some("turns"), text);
    }
    near_square(work, "a twist");
    if any_size(work.reading) {
        hot(work, Outside::of(bar), bar.volume())?;
    }
    bend(&mut work.now.bar, Figure::Twisted);
    Ok(())
}

/// Every bar of the section is bent with the whole.
fn bend(bar: &mut Bar, figure: Figure) {
    bar.core.figure = figure;
    for on in &mut bar.frame {
        bend(&mut on.bar, figure);
    }
}

/// Splits with a hot wedge and welds the halves again: no metal goes.
pub(super) fn split(work: &mut Work<'_>, angle: f64) -> Result<(), Refusal> {
    let bar = &work.was.bar;
    if !(angle.is_finite() && angle > 0.0 && angle < 180.0) {
        return Err(refuse(
            "angle",
            format!("a wedge of {angle} degrees splits nothing"),
            "write an angle between 0 and 180; 30 to 45 is usual",
        ));
    }
    if any_size(work.reading) {
        hot(work, Outside::of(bar), bar.volume())?;
    }
    bend(&mut work.now.bar, Figure::Split);
    Ok(())
}

fn near_square(work: &mut Work<'_>, what: &str) {
    let (width, thickness) = (work.was.bar.width, work.was.bar.thickness);
    let large = width.max(thickness);
    if (width - thickness).abs() > large * 0.1 {
        let text = format!(
            "{what} wants a square bar; this one is {} x {}: square it first",
            work.allow.units.length_bare(width),
            work.say(thickness)
        );
        work.warn(None, text);
    }
}

fn still_open(work: &mut Work<'_>) {
    let bar = &work.now.bar;
    if work.was.bar.void.is_positive() && bar.void.is_positive() {
        let text = format!(
            "the grooves stay open: their floor is {}, the bar {}; forge it thinner than the floor",
            work.say(bar.thickness - bar.depth),
            work.say(bar.thickness)
        );
        work.warn_loss(Some("thickness"), Some(Loss::Groove), text);
    }
}
