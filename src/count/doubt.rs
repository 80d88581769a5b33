//! How far a count may be off, and where.

use super::Measured;
use super::lines::Lines;
use super::list::quantile;
use super::stack::{Edge, Stack};

/// A band so much higher than the usual of its steel is two that met, or hides one.
const DOUBLED: f32 = 1.7;

/// A face with a band more or fewer is possible where it costs so little more.
const NEAR: f32 = 6.0;

/// What is doubtful about some bands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Why {
    /// A faint line that does not count: a weld line, or a thin band.
    FaintLine,
    /// A band that counts, but stands out little.
    FaintBand,
    /// Higher than its like: like faces met in a weld, or a thin band is not seen.
    Doubled,
    /// The outermost band stands out little from the background.
    Outermost,
    /// A band outside may look like the background.
    MayHide,
    /// The end runs out of the picture.
    CutOff,
}

/// Bands that are doubtful, numbered from the first border of the line, from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Doubt {
    /// First and last band.
    pub from: usize,
    /// See `from`.
    pub to: usize,
    /// What is doubtful.
    pub why: Why,
}

/// Least and most bands, and where the doubts are.
pub(super) fn range(
    lines: &Lines,
    stack: &Stack,
    measured: &Measured,
    mean: f32,
    heights: &[f32],
) -> (usize, usize, Vec<Doubt>) {
    let bands = measured.bands();
    let mut doubts = Vec::new();
    let (mut less, mut more) = (0usize, 0usize);
    let [first, last] = &measured.faces;
    // bands before the first turn of the chain
    let offset = measured
        .rows
        .iter()
        .filter(|row| **row < stack.turns.first().map_or(0, |turn| turn.row))
        .count()
        .saturating_sub(1);
    for gone in stack
        .gone
        .iter()
        .filter(|gone| gone.by >= 0.1 * stack.contrast)
    {
        let inside = gone.first.row > measured.top() && gone.second.row < measured.bottom();
        if inside
            && gone.first.row < gone.second.row
            && Edge::between(lines, gone.first, gone.second).support > 0.8
        {
            more += 2;
            let band = stack
                .edges
                .iter()
                .filter(|edge| edge.row <= gone.first.row)
                .count()
                + offset;
            doubts.push(Doubt {
                from: band,
                to: band,
                why: Why::FaintLine,
            });
        }
    }
    let triples = stack
        .turns
        .iter()
        .zip(stack.turns.iter().skip(1))
        .zip(stack.turns.iter().skip(2));
    for (at, ((a, b), c)) in triples.enumerate() {
        if (b.value - a.value).abs().min((b.value - c.value).abs()) < 0.42 * stack.contrast {
            less += 2;
            doubts.push(Doubt {
                from: at + 2 + offset,
                to: at + 2 + offset,
                why: Why::FaintBand,
            });
        }
    }
    for (face, band) in [(first, 1), (last, bands)] {
        let Some(face) = face else { continue };
        less += usize::from(face.fewer < NEAR);
        more += usize::from(face.more < NEAR);
        let why = if face.cut {
            Some(Why::CutOff)
        } else if face.fewer < NEAR {
            Some(Why::Outermost)
        } else {
            (face.more < NEAR).then_some(Why::MayHide)
        };
        doubts.extend(why.map(|why| Doubt {
            from: band,
            to: band,
            why,
        }));
    }
    doubts.extend(doubled(heights));
    // finer bands are lost and seen double more often; the parts are those of trials
    let part = if mean < 3.0 {
        bands.div_ceil(50)
    } else if mean < 5.0 {
        bands.div_ceil(100)
    } else {
        0
    };
    doubts.sort_by_key(|doubt| doubt.from);
    (
        bands.saturating_sub(less + part),
        bands + more + part,
        doubts,
    )
}

/// Bands far higher than their like, runs of them told together.
fn doubled(heights: &[f32]) -> Vec<Doubt> {
    let own = |odd: usize| -> Vec<f32> { heights.iter().skip(odd).step_by(2).copied().collect() };
    let usual = [0, 1].map(|odd| quantile(&own(odd), 0.5));
    let mut out: Vec<Doubt> = Vec::new();
    for (at, height) in heights.iter().enumerate() {
        let usual = if at % 2 == 0 { usual[0] } else { usual[1] };
        if *height > DOUBLED * usual {
            match out.last_mut() {
                Some(last) if last.to + 2 > at => last.to = at + 1,
                _ => out.push(Doubt {
                    from: at + 1,
                    to: at + 1,
                    why: Why::Doubled,
                }),
            }
        }
    }
    out
}

/// Pixels of a mean band; counts that were exact, and counts that were given, on the photographs of all three
/// makes (the tables of `DEVELOPERS.md`).
const TRIED: [(f32, f32, f32); 4] = [
    (6.0, 238.0, 240.0),
    (4.0, 70.0, 73.0),
    (3.0, 48.0, 54.0),
    (0.0, 31.0, 36.0),
];

/// How often counts at this height of a band were exact, of 1.
pub(super) fn exact(mean: f32) -> f32 {
    TRIED
        .iter()
        .find(|(pixels, ..)| mean >= *pixels)
        .map_or(0.0, |(_, exact, given)| exact / given)
}
