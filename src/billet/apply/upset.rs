//! Upset: the bar is driven shorter, end on, and grows thicker both ways.

use super::forge;
use super::work::{Work, refuse};
use crate::billet::{Refusal, Sizes};
use crate::units::Fraction;

/// A bar longer than this many times its thinner side bends before it thickens. Common practice, no
/// source.
const SLENDER: f64 = 3.0;

pub(super) fn upset(work: &mut Work<'_>, to: &Sizes, scale: Fraction) -> Result<(), Refusal> {
    let bar = &work.was.bar;
    let (was, thin) = (bar.length, bar.width.min(bar.thickness));
    forge::shape(work, &both_ways(work, to, scale), scale)?;
    let is = work.now.bar.length;
    if super::sizes::any_size(work.reading) {
        return Ok(());
    }
    if is >= was {
        return Err(refuse(
            if to.length.is_some() {
                "length"
            } else {
                "thickness"
            },
            format!(
                "an upset to {} long from {}: upsetting makes shorter and thicker",
                work.say(is),
                work.say(was)
            ),
            "ask for less length, or use draw to make it longer",
        ));
    }
    if was > thin * SLENDER {
        let text = format!(
            "the bar is {} long on a side of {}: over 3 x the side it bends before it thickens; heat only the end that is upset, or upset a shorter piece",
            work.say(was),
            work.say(thin)
        );
        work.warn(Some("length"), text);
    }
    Ok(())
}

/// The metal goes both ways alike: a length alone thickens width and thickness by one factor, one side
/// alone takes the other along.
fn both_ways(work: &Work<'_>, to: &Sizes, scale: Fraction) -> Sizes {
    let bar = &work.was.bar;
    let factor = match (to.width, to.thickness, to.length) {
        (None, None, Some(length)) if length.is_positive() => {
            let section = bar.volume() * (1.0 - scale.0) / length;
            let outside = bar.width * bar.thickness - bar.volume() / bar.length;
            ((section + outside) / (bar.width * bar.thickness)).sqrt()
        }
        (Some(width), None, None) => width / bar.width,
        (None, Some(thickness), None) => thickness / bar.thickness,
        _ => return *to,
    };
    if !(factor.is_finite() && factor > 0.0) {
        return *to;
    }
    Sizes {
        width: Some(to.width.unwrap_or(bar.width * factor)),
        thickness: Some(to.thickness.unwrap_or(bar.thickness * factor)),
        length: to.length,
    }
}
