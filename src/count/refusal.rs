//! What cannot be counted, and why: a wrong number is worse than none.

use super::backdrop::beyond;
use super::faces::Face;
use super::grey::Grey;
use super::lines::Lines;
use super::list::quantile;
use super::stack::{Stack, Traits};
use super::{FEWEST, LEAST_PIXELS};

/// Bands that go on beyond a side by this part of what they show inside end there.
const BEYOND: f32 = 0.25;
/// Most that the bands at a face may leave unexplained.
const UNEXPLAINED: f32 = 90.0;

/// Why a picture gives no number. Reads as a sentence to the smith.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum Refusal {
    /// Fewer pixels than any stack needs.
    #[error("the picture is smaller than 24 pixels: take it anew, closer")]
    Small,
    /// A line given by hand is too short.
    #[error(
        "the line is shorter than 24 pixels: draw it from just outside one face to just outside the other"
    )]
    ShortLine,
    /// Nothing runs side by side.
    #[error(
        "no bands found: no lines run side by side. Photograph the etched end straight on, all of it in the frame, or give the line"
    )]
    NoLines,
    /// Lines there are, but they do not run through.
    #[error("these are no bands of an end: the lines do not run through from side to side")]
    Broken,
    /// Lines too regular for a forged stack.
    #[error("these are no bands of an end: the lines are as regular as bricks, writing or cloth")]
    Regular,
    /// Lines too uneven and few.
    #[error("these are no bands of an end: the lines are too few and too far from even")]
    Uneven,
    /// Fewer bands than are worth a picture.
    #[error("fewer than {FEWEST} bands: count them by eye")]
    Few,
    /// The stack has no end in the picture.
    #[error(
        "the bands run out of the picture: take the whole end, both outer faces in the picture, or give a line that ends at them"
    )]
    CutOff,
    /// Light and dark steel look the same.
    #[error(
        "no contrast: light and dark steel look alike. Etch longer, wipe dry, and light it from the side"
    )]
    Contrast,
    /// Out of focus.
    #[error(
        "blurred: the edges of the bands are as wide as the bands. Hold still, focus on the end, take it again"
    )]
    Blur,
    /// Bands under two pixels.
    #[error(
        "the bands are about two pixels high or less: go closer, or photograph half of the end at a time"
    )]
    Fine,
    /// Washed out by light.
    #[error(
        "glare: much of the picture is washed out. Turn the end away from the lamp, or shade it, and take it again"
    )]
    Glare,
}

/// What is wrong with a picture in which no stack was found, as far as it tells.
pub(super) fn of_picture(photo: &Grey) -> Option<Refusal> {
    let shades: Vec<f32> = photo
        .shades
        .iter()
        .step_by(7)
        .map(|s| f32::from(*s))
        .collect();
    let contrast = quantile(&shades, 0.97) - quantile(&shades, 0.03);
    let washed = shades.iter().filter(|shade| **shade > 250.0).count();
    if washed * 10 > shades.len() * 3 {
        return Some(Refusal::Glare);
    }
    if contrast < 14.0 {
        return Some(Refusal::Contrast);
    }
    let steps: Vec<f32> = photo
        .shades
        .windows(2)
        .step_by(5)
        .map(|pair| match pair {
            [a, b] => f32::from(a.abs_diff(*b)),
            _ => 0.0,
        })
        .collect();
    (quantile(&steps, 0.995) < 0.07 * contrast).then_some(Refusal::Blur)
}

/// Whether a stack is that of an etched end. The limits are set by pictures of both kinds, with room.
pub(super) fn of_stack(
    lines: &Lines,
    stack: &Stack,
    traits: &Traits,
    mean: f32,
) -> Result<(), Refusal> {
    let held = stack.edges.len();
    let Traits {
        support,
        worst,
        flips,
        rest,
        spread,
        crossed,
        tones,
    } = *traits;
    // every line shows every edge; all lines are alike, whatever dirt and light do to their shades
    let clean = worst >= 0.92 && flips <= 0.025 && rest <= 0.26;
    let alike = lines.fit >= 0.97 && worst >= 0.74 && support >= 0.87;
    let through = support >= 0.90
        && worst >= 0.76
        && lines.fit >= 0.85
        && flips <= 0.08
        && rest <= 0.9
        || alike && flips <= 0.18 && rest <= 1.15
        || lines.fit >= 0.935 && support >= 0.86 && worst >= 0.84 && flips <= 0.045 && rest <= 0.3;
    // all bands end at both sides, and each is of one of two shades
    let ends = beyond(lines, stack).map(|part| part.is_some_and(|part| part < BEYOND));
    let framed = ends == [true, true] && tones < 0.3;
    let sound = framed
        && lines.fit >= if mean > 8.0 { 0.905 } else { 0.87 }
        && support >= 0.85
        && worst >= 0.8
        && flips <= 0.06
        && rest <= 0.45;
    let step = lines.straight.frame.step;
    let high = (stack.bottom() - stack.top()) as f32 * step;
    // a hand's stack of many bands is never so even
    // so few bands may be even by chance, but then not all of a shade
    let few = framed && held <= 14 && tones > 0.04 && spread > 0.015;
    let regular = !few
        && (spread < 0.02
            || spread < 0.035 && crossed > 0.15
            || spread < 0.045 && lines.fit < 0.955
            || spread < 0.058 && lines.fit < 0.93
            || held > 14 && (spread < 0.045 || spread < 0.06 && crossed > 0.08));
    let narrow = lines.wide() < 0.3 * high;
    // coarse or few bands leave no excuse for lines that differ
    let unlike = mean > 8.0 && lines.fit < 0.92 && !clean
        || mean > 4.0 && lines.fit < 0.90 && crossed > 0.6
        || mean > 8.0 && crossed > 0.85
        || held < 9 && lines.fit < 0.93 && !clean
        || held < 12 && lines.fit < 0.88;
    let barred = crossed > 0.5 && mean > 6.0 && support < if mean < 9.0 { 0.91 } else { 0.95 };
    if narrow || !sound && (!through || unlike) {
        Err(Refusal::Broken)
    } else if spread > if held < 10 { 0.37 } else { 0.5 } {
        Err(Refusal::Uneven)
    } else if held < FEWEST || held == FEWEST && lines.fit < 0.93 {
        Err(Refusal::Few)
    } else if regular || barred && !sound {
        Err(Refusal::Regular)
    } else if mean < LEAST_PIXELS {
        Err(Refusal::Fine)
    } else if mean > 5.0 && stack.edge_width(lines, 0.5) * step > 0.62 * mean {
        Err(Refusal::Blur)
    } else {
        Ok(())
    }
}

/// Whether the stack ends at its faces. A line by hand says itself where they are.
pub(super) fn of_faces(faces: &[Option<Face>], bands: usize, held: bool) -> Result<(), Refusal> {
    let mut seen = faces.iter().flatten();
    if !held && (seen.clone().count() < faces.len() || seen.clone().any(|face| face.cut)) {
        Err(Refusal::CutOff)
    } else if seen.any(|face| face.cost > UNEXPLAINED) {
        Err(Refusal::Broken)
    } else if bands < FEWEST {
        Err(Refusal::Few)
    } else {
        Ok(())
    }
}
