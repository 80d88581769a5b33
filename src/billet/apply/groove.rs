//! Grooves and dimples: open space in the faces, forged shut later.

use std::f64::consts::PI;

use super::section::{Outside, work_to};
use super::sizes::{any_size, as_it_is};
use super::work::{Work, positive, refuse};
use crate::billet::{Groove, Loss, Move, Refusal};
use crate::units::{Mm, Mm2, Mm3};

/// Grooves across both faces, staggered.
pub(super) fn groove(work: &mut Work<'_>) -> Result<(), Refusal> {
    let Move::Groove {
        count,
        width,
        depth,
        pitch,
        shape,
    } = *work.made
    else {
        return Ok(());
    };
    let width = positive("width", width)?;
    let depth = positive("depth", depth)?;
    let pitch = positive("pitch", pitch)?;
    deep_enough(work, depth)?;
    let bar = &work.was.bar;
    if pitch < width {
        return Err(refuse(
            "pitch",
            format!(
                "grooves {} wide every {} run into each other",
                work.say(width),
                work.say(pitch)
            ),
            "make the pitch larger or the grooves narrower",
        ));
    }
    let zone = pitch * f64::from(count);
    if zone.0 > bar.length.0 * (1.0 + 1e-9) {
        return Err(refuse(
            "count",
            format!(
                "{count} grooves every {} need {}; the bar is {}",
                work.say(pitch),
                work.say(zone),
                work.say(bar.length)
            ),
            format!("cut {}", (bar.length / pitch).floor()),
        ));
    }
    // Half an ellipse, or a triangle.
    let area = match shape {
        Groove::Round => Mm2(PI / 4.0 * width.0 * depth.0),
        Groove::Vee => Mm2(width.0 * depth.0 / 2.0),
    };
    let volume = area * bar.width * (2.0 * f64::from(count));
    open_up(work, volume, depth, false)
}

/// Dimples in both faces: cones.
pub(super) fn dimple(work: &mut Work<'_>) -> Result<(), Refusal> {
    let Move::Dimple {
        count,
        diameter,
        depth,
        pressed,
    } = *work.made
    else {
        return Ok(());
    };
    let diameter = positive("diameter", diameter)?;
    let depth = positive("depth", depth)?;
    deep_enough(work, depth)?;
    let bar = &work.was.bar;
    let room = bar.width * bar.length;
    let needs = Mm2(PI / 4.0 * diameter.0 * diameter.0 * f64::from(count));
    if needs > room || diameter > bar.width {
        return Err(refuse(
            "count",
            format!(
                "{count} dimples of {} do not fit a face of {} x {}",
                work.say(diameter),
                work.allow.units.length_bare(bar.width),
                work.say(bar.length)
            ),
            "make them fewer or smaller",
        ));
    }
    let cone = PI / 12.0 * diameter.0 * diameter.0 * depth.0;
    open_up(work, Mm3(cone * 2.0 * f64::from(count)), depth, pressed)
}

/// Opposite grooves must not meet in the middle.
fn deep_enough(work: &Work<'_>, depth: Mm) -> Result<(), Refusal> {
    let thickness = work.was.bar.thickness;
    if depth * 2.0 < thickness {
        return Ok(());
    }
    Err(refuse(
        "depth",
        format!(
            "{} deep from both faces goes through a bar of {}",
            work.say(depth),
            work.say(thickness)
        ),
        format!(
            "keep each under {}; a quarter of the thickness is usual",
            work.say(thickness / 2.0)
        ),
    ))
}

fn open_up(work: &mut Work<'_>, volume: Mm3, depth: Mm, pressed: bool) -> Result<(), Refusal> {
    let bar = &mut work.now.bar;
    let metal = bar.volume();
    if volume >= metal {
        return Err(refuse(
            "depth",
            "that much cut out leaves no metal",
            "make them fewer, narrower or shallower",
        ));
    }
    bar.void += volume;
    bar.depth = bar.depth.max(depth);
    if pressed {
        // The metal moves along the bar.
        bar.length = (metal + bar.void) / bar.section();
    }
    let bar = work.now.bar.clone();
    let found = as_it_is(&bar, work.was.density());
    let mut measured = false;
    match work.reading.mass {
        // Weighing a cut bar says how much was cut out, not how long it is.
        Some(mass) if !pressed => {
            let metal = mass.volume(work.was.density());
            let outside = Outside {
                width: work.reading.width.unwrap_or(bar.width),
                thickness: work.reading.thickness.unwrap_or(bar.thickness),
                length: work.reading.length.unwrap_or(bar.length),
            };
            if metal > outside.volume() {
                return Err(refuse(
                    "mass",
                    "more mass than the outside of the bar can hold",
                    "weigh it again, or measure its sizes too",
                ));
            }
            work_to(&mut work.now, outside);
            work.now.bar.void = outside.volume() - metal;
            work.now.bar.depth = depth.max(work.now.bar.depth);
            measured = true;
        }
        _ if any_size(work.reading) => {
            let found = found.find(work.reading)?;
            work_to(&mut work.now, found.outside);
            work.disagree(&found);
            measured = found.measured;
        }
        _ => {}
    }
    work.lose_rest(Loss::Groove, measured);
    work.grown(Loss::Groove);
    Ok(())
}
