//! From blank to blade: parts forged to shape, heat treatment, rough and finish grind.
//!
//! A forged blank is no bar any more, so its outside stays that of the blank and what has gone is
//! open space inside it: the metal is right, the shape is in [`crate::billet::BladeState`].

use super::faces::take_all;
use super::section::work_to;
use super::sizes::{any_size, as_it_is};
use super::work::{Work, positive, refuse, share};
use crate::billet::{ForgedPart, Kind, Loss, Part, Refusal, Sizes, Skin, Stage};
use crate::units::{Fraction, Mm, Mm3};

/// Blank over finished blade where it is forged to shape and then ground, and where it is ground
/// from the bar alone. Common practice, no source: 1.4 to 1.6, and 2 to 3.
const FORGED_OVER_FINISHED: f64 = 1.5;
const BAR_OVER_FINISHED: f64 = 2.5;
/// Rough ground over finished: 0.2 to 0.4 mm a face on a blade of 2 to 3 mm. Common practice, no
/// source.
const ROUGH_OVER_FINISHED: f64 = 1.2;

/// Least share of its box that a part can be: a tang drawn to a point both ways is a pyramid, 1/3; a
/// blade of full bevels whose spine runs out at the tip and whose edge curves by the third power is
/// `1/2 (3/4 - 3/10) = 0.225` of its box.
const TANG_OVER_BOX: f64 = 1.0 / 3.0;
const BLADE_OVER_BOX: f64 = 0.225;

/// Metal over and under what a forged blade holds that goes without a word: a blank is cut up to a quarter
/// longer than its knife takes, and what a hammer leaves is no nearer than 5 %. Common practice, no source.
const OVERSIZE: f64 = 1.3;
const UNDERSIZE: f64 = 0.95;
/// A blank this near to what it could be cut to stays as it is.
const HELD: f64 = 1.05;

/// Forges one part.
pub(super) fn forge(
    work: &mut Work<'_>,
    part: Part,
    to: &Sizes,
    scale: Fraction,
) -> Result<(), Refusal> {
    let scale = share("scale", scale)?;
    for (key, size) in to.given() {
        positive(key, size)?;
    }
    let metal = work.was.bar.volume();
    if let (Some(width), Some(thickness), Some(length)) = (to.width, to.thickness, to.length) {
        let needs = width * thickness * length;
        let least = match part {
            Part::Bolster => needs,
            Part::Tang => needs * TANG_OVER_BOX,
            Part::Blade | Part::Bevels => needs * BLADE_OVER_BOX,
        };
        if least > metal {
            return Err(refuse(
                "length",
                format!(
                    "a part of {} x {} x {} takes {} at least; the blank has {}",
                    work.allow.units.length_bare(width),
                    work.allow.units.length_bare(thickness),
                    work.say(length),
                    work.allow.units.volume(least),
                    work.allow.units.volume(metal)
                ),
                "make it smaller, or cut a longer blank",
            ));
        }
    }
    begin(work);
    let sizes = Sizes {
        width: work.reading.width.or(to.width),
        thickness: work.reading.thickness.or(to.thickness),
        length: work.reading.length.or(to.length),
    };
    if work.reading.mass.is_some() {
        weigh(work, Loss::Scale)?;
    } else {
        gone(work, metal * scale);
        work.lose_rest(Loss::Scale, false);
    }
    let others = elsewhere(work, part);
    let left = work.now.bar.volume() - others;
    let shape = work.allow.shape;
    let full = shape.filled(part, &sizes, left);
    if matches!(part, Part::Blade | Part::Bevels) {
        closes(work, part, &sizes, others);
    }
    let forged = ForgedPart { part, sizes, full };
    let parts = &mut work.now.blade.parts;
    match parts.iter_mut().find(|known| known.part == part) {
        Some(known) => *known = forged,
        None => parts.push(forged),
    }
    Ok(())
}

/// Metal in the parts beside this one: as they were forged, or as the goal has them.
fn elsewhere(work: &Work<'_>, part: Part) -> Mm3 {
    let shape = &work.allow.shape;
    let known = |other: Part| shape.held(other, &work.now.blade.forged(other)?.full);
    let blade = || known(Part::Bevels).or_else(|| known(Part::Blade));
    let tang = || known(Part::Tang).unwrap_or(shape.tang);
    let bolster = || known(Part::Bolster).unwrap_or(shape.bolster);
    // A blade that is not forged yet takes what is left: nothing is known of the others from it.
    match part {
        Part::Blade | Part::Bevels => tang() + bolster(),
        Part::Tang => blade().map_or(work.now.bar.volume(), |blade| blade + bolster()),
        Part::Bolster => blade().map_or(work.now.bar.volume(), |blade| blade + tang()),
    }
}

/// Metal keeps its volume: says what the sizes of the blade cannot hold, or cannot fill.
fn closes(work: &mut Work<'_>, part: Part, sizes: &Sizes, others: Mm3) {
    let shape = work.allow.shape;
    let Some(held) = shape.held(part, sizes) else {
        return;
    };
    let open = Sizes {
        length: None,
        ..*sizes
    };
    let whole = work.now.bar.volume();
    let left = whole - others;
    let long = shape.filled(part, &open, left).length;
    let all = held + others;
    let (over, short) = (whole - all * OVERSIZE, all * UNDERSIZE - whole);
    let units = work.allow.units;
    let blank = &work.was.bar;
    let takes = blank.length * (1.0 + (held - left) / whole);
    // A shorter blank could not be held.
    let enough = takes.max(work.allow.shortest);
    let off = match (over.is_positive(), short.is_positive()) {
        (true, _) if blank.length < enough * HELD => return,
        (true, _) => "too much",
        (_, true) => "too little",
        _ => return,
    };
    let say = |length: Mm| units.length(units.rounded(length));
    let other = long.map_or_else(String::new, |long| {
        format!(", or forge it {} long", say(long))
    });
    let text = format!(
        "{} {off} for this blade: cut the blank {}{other}",
        units.volume(Mm3((left - held).0.abs())),
        say(enough),
    );
    work.warn(Some("length"), text);
}

/// A heat-treating heat: a skin of oxide goes.
pub(super) fn heat(work: &mut Work<'_>, scale: Fraction) -> Result<(), Refusal> {
    let scale = share("scale", scale)?;
    if work.reading.mass.is_some() {
        return remeasure(work, Loss::Scale);
    }
    let bar = &work.was.bar;
    let lost = bar.volume() * scale;
    if work.was.stage >= Stage::Forged {
        gone(work, lost);
    } else {
        // The skin comes off the outside; what is open stays so.
        let same = [bar.width, bar.thickness];
        let skin = Skin::over(same, same, lost / (bar.section() * bar.length));
        take_all(work, skin, Loss::Scale)?;
        work.skin = skin;
    }
    work.lose_rest(Loss::Scale, false);
    Ok(())
}

/// Rough or finish grind. Without a share it goes down to what the finished knife is (or, where the
/// goal does not say, to what usually comes of such a blank), rough with an allowance for the rest:
/// an estimate; a weighing replaces it.
pub(super) fn grind(work: &mut Work<'_>, given: Option<Fraction>) -> Result<(), Refusal> {
    begin(work);
    let metal = work.was.bar.volume();
    if work.reading.mass.is_some() {
        return weigh(work, Loss::Grind);
    }
    let lost = match given {
        Some(given) => metal * share("share", given)?,
        None => (metal - target(work)).max(Mm3::ZERO),
    };
    gone(work, lost);
    work.lose_rest(Loss::Grind, false);
    Ok(())
}

/// Metal that the grind works down to.
fn target(work: &mut Work<'_>) -> Mm3 {
    let metal = work.was.bar.volume();
    let blade = &work.now.blade;
    let usual = if blade.parts.is_empty() {
        BAR_OVER_FINISHED
    } else {
        FORGED_OVER_FINISHED
    };
    let finished = work.allow.finished.unwrap_or(blade.blank / usual);
    if metal.0 < finished.0 * 0.999 {
        let text = format!(
            "the blank has {} and the finished knife takes {}: make the knife smaller",
            work.allow.units.volume(metal),
            work.allow.units.volume(finished)
        );
        work.warn(None, text);
    }
    if work.kind() == Kind::RoughGrind {
        finished * ROUGH_OVER_FINISHED
    } else {
        finished
    }
}

/// A weighed blank: what is missing is the loss of the step.
pub(super) fn weigh(work: &mut Work<'_>, loss: Loss) -> Result<(), Refusal> {
    let Some(mass) = work.reading.mass else {
        return Ok(());
    };
    let metal = mass.volume(work.was.density());
    let bar = &mut work.now.bar;
    let outside = bar.section() * bar.length;
    if metal > outside {
        // More than the blank's outside holds: it was longer than it was thought to be.
        bar.length = metal / bar.section();
        bar.void = Mm3::ZERO;
    } else {
        bar.void = outside - metal;
    }
    work.lose_rest(loss, true);
    work.grown(loss);
    Ok(())
}

/// Readings where nothing was done to the metal.
pub(super) fn remeasure(work: &mut Work<'_>, loss: Loss) -> Result<(), Refusal> {
    if !any_size(work.reading) {
        return Ok(());
    }
    if work.was.stage >= Stage::Forged {
        return weigh(work, loss);
    }
    let bar = &work.was.bar;
    let found = as_it_is(bar, work.was.density()).find(work.reading)?;
    work_to(&mut work.now, found.outside);
    work.disagree(&found);
    work.lose_rest(loss, found.measured);
    work.grown(loss);
    Ok(())
}

fn begin(work: &mut Work<'_>) {
    if !work.now.blade.blank.is_positive() {
        work.now.blade.blank = work.was.bar.volume();
    }
}

fn gone(work: &mut Work<'_>, lost: Mm3) {
    work.now.bar.void += lost;
}
