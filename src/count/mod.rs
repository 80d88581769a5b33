//! Bands of an etched end counted in a photograph: a number with an honest range, or a refusal.
//!
//! Pure: a grey picture goes in, a reading comes out. Decoding belongs to the shell. The way: find where lines
//! run side by side (`region`), walk many lines across the layers and make a bent stack straight (`straight`,
//! `lines`), find the edges that run through all of them (`stack`), look twice at the bands at the faces (`faces`),
//! and say how far the count may be off (`doubt`).

mod apart;
mod backdrop;
mod doubt;
mod faces;
mod grey;
pub mod history;
mod lines;
mod list;
mod metal;
mod refusal;
mod region;
mod stack;
mod staircase;
mod straight;
#[cfg(test)]
mod tests;
mod turns;
mod words;

pub use self::apart::{Apart, Beside, beside};
pub use self::doubt::{Doubt, Why};
pub use self::grey::{Grey, Photo};
pub use self::refusal::Refusal;

use self::backdrop::Backdrop;
use self::doubt::range;
use self::faces::{Face, face};
use self::lines::{Lines, Side};
use self::region::{Region, regions};
use self::stack::{Stack, Traits};
use self::straight::{Frame, Part};

/// Fewest bands that are counted: a stack of fewer is counted by eye.
pub const FEWEST: usize = 6;
/// Fewest pixels that a band needs.
pub const LEAST_PIXELS: f32 = 2.2;
/// Heights of bands that the steps of sampling are fitted to, rows.
const ROWS: std::ops::Range<f32> = 8.0..20.0;
/// Least blur, in parts of a band, that is taken off.
const BLURRED: f32 = 0.12;
/// Rounds of fitting the frame to what was found in it.
const ROUNDS: usize = 6;

/// A line across the layers, pixels from the upper left of the picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// Where it begins.
    pub from: [f32; 2],
    /// Where it ends.
    pub to: [f32; 2],
}

impl Line {
    /// Its length, pixels.
    #[must_use]
    pub fn length(&self) -> f32 {
        (self.to[0] - self.from[0]).hypot(self.to[1] - self.from[1])
    }
}

/// A border between two bands, on the line that was followed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Border {
    /// Its place in the picture, pixels.
    pub at: [f32; 2],
}

/// What was counted.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// The count.
    pub bands: usize,
    /// Least and most that it may be: the truth lies inside for 95 in 100 of the pictures it was tried on.
    pub low: usize,
    /// See `low`.
    pub high: usize,
    /// From the first border to the last.
    pub line: Line,
    /// All borders, the outer ones among them, in the order of the line.
    pub borders: Vec<Border>,
    /// Lines beside each other that agree.
    pub lines: usize,
    /// Mean and thinnest height of a band, pixels.
    pub mean: f32,
    /// See `mean`.
    pub thinnest: f32,
    /// Where the count may be off, and bands worth a second look.
    pub doubts: Vec<Doubt>,
}

impl Reading {
    /// How often counts of bands so high were exact, of 1, on photographs made with known counts.
    #[must_use]
    pub fn sure(&self) -> f32 {
        doubt::exact(self.mean)
    }
}

/// Counts the bands in a picture, along a line where one is given (from just outside one face to just outside
/// the other).
///
/// # Errors
/// A refusal: what is wrong with the picture.
pub fn count(photo: Grey, line: Option<Line>) -> Result<Reading, Refusal> {
    if photo.wide < 24 || photo.high < 24 {
        return Err(Refusal::Small);
    }
    let mut levels = vec![photo];
    while let Some(last) = levels.last()
        && last.wide.min(last.high) >= 48
        && levels.len() < 6
    {
        levels.push(last.halved());
    }
    if let Some(line) = line {
        let region = along(line).ok_or(Refusal::ShortLine)?;
        return attempt(&levels, &region, true).map(|found| found.reading);
    }
    let mut refused = None;
    for region in regions(&levels).iter().take(2) {
        match both_ways(&levels, region) {
            Ok(reading) => return Ok(reading),
            Err(why) => refused = Some(refused.unwrap_or(why)),
        }
    }
    let photo = levels.first().ok_or(Refusal::Small)?;
    Err(refusal::of_picture(photo)
        .or(refused)
        .unwrap_or(Refusal::NoLines))
}

/// The region that a line runs through.
fn along(line: Line) -> Option<Region> {
    let length = line.length();
    let half = length / 2.0;
    (length.is_finite() && length >= 24.0).then(|| Region {
        middle: [
            f32::midpoint(line.from[0], line.to[0]),
            f32::midpoint(line.from[1], line.to[1]),
        ],
        across: [
            (line.to[0] - line.from[0]) / length,
            (line.to[1] - line.from[1]) / length,
        ],
        across_reach: [-half, half],
        along_reach: [-0.15 * length, 0.15 * length],
        agree: 1.0,
        block: if length > 1500.0 { 32.0 } else { 16.0 },
    })
}

/// A reading with the length of the chain it rests on.
struct HeldReading {
    reading: Reading,
    held: usize,
}

/// Along the region's lines, or across them where that shows more.
fn both_ways(levels: &[Grey], region: &Region) -> Result<Reading, Refusal> {
    let first = attempt(levels, region, false);
    if let Ok(found) = &first
        && (region.agree > 0.7 || found.reading.bands > 15)
    {
        return first.map(|found| found.reading);
    }
    let second = attempt(levels, &region.turned(), false);
    match (first, second) {
        (Ok(a), Ok(b)) => Ok(if b.held > a.held {
            b.reading
        } else {
            a.reading
        }),
        (Ok(found), Err(_)) | (Err(_), Ok(found)) => Ok(found.reading),
        (Err(why), Err(_)) => Err(why),
    }
}

/// Walks the lines, finds the stack, and fits the frame to it until both agree.
fn attempt(levels: &[Grey], region: &Region, held: bool) -> Result<HeldReading, Refusal> {
    let block = region.block;
    let mut step = block / 16.0;
    let mut window = 24;
    let [before, after] = region.across_reach;
    let room = if held {
        0.04 * (after - before)
    } else {
        ((after - before) * 0.15).max(1.75 * block)
    };
    let limits = [before - room, after + room];
    let [left, right] = region.along_reach;
    let mut part = Part {
        middle: region.middle,
        direction: region.across,
        across: limits,
        along: [left - block / 2.0, right + block / 2.0],
    };
    let coarsest = (1usize << levels.len().saturating_sub(1)) as f32;
    for round in 1.. {
        let frame = Frame::over(part, step);
        let lines = Lines::of(levels, frame, window);
        let stack = Stack::of(&lines).ok_or(Refusal::NoLines)?;
        let rows = stack.mean_rows();
        let next = if rows > ROWS.end {
            (step * 2.0).min(coarsest)
        } else if rows < ROWS.start && step > 0.5 {
            step / 2.0
        } else {
            step
        };
        let wider = Lines::window(rows * step / next);
        let [top, bottom] = [stack.top(), stack.bottom()].map(|row| frame.across_at(row as f32));
        let room = ((bottom - top) * 0.15)
            .max(4.0 * rows * step)
            .max(12.0 * step);
        let across = if held {
            part.across
        } else {
            [top - room, bottom + room]
        };
        let short =
            across[0] < part.across[0] - 0.3 * room || across[1] > part.across[1] + 0.3 * room;
        let settled =
            (next - step).abs() < 0.01 && wider.abs_diff(window) < 8 && !short && round > 1;
        if settled || round >= ROUNDS {
            return finish(lines, &stack, held);
        }
        let (first, last) = lines.span;
        part = Part {
            middle: frame.middle(),
            direction: part.direction,
            across,
            along: [
                frame.along_at(first as f32) - lines::ROOM * frame.spacing,
                frame.along_at(last as f32) + lines::ROOM * frame.spacing,
            ],
        };
        step = next;
        window = wider;
    }
    Err(Refusal::NoLines)
}

/// The stack with the bands at its faces.
struct Measured {
    faces: [Option<Face>; 2],
    /// All borders, from one face to the other.
    rows: Vec<usize>,
}

impl Measured {
    fn of(lines: &Lines, stack: &Stack) -> Self {
        let backdrop = Backdrop::of(lines, stack);
        let faces =
            [Side::First, Side::Last].map(|side| face(lines, stack, backdrop.as_ref(), side));
        let [first, last] = &faces;
        let gone = |face: &Option<Face>| face.as_ref().map_or(0, |face| face.stands_for);
        let edges = stack
            .edges
            .get(gone(first)..stack.edges.len().saturating_sub(gone(last)))
            .unwrap_or(&[]);
        let outer =
            |face: &Option<Face>| face.as_ref().map_or(Vec::new(), |face| face.rows.clone());
        let mut rows = outer(first);
        rows.reverse();
        rows.extend(edges.iter().map(|edge| edge.row));
        rows.extend(outer(last));
        Self { faces, rows }
    }

    fn bands(&self) -> usize {
        self.rows.len().saturating_sub(1)
    }

    fn top(&self) -> usize {
        self.rows.first().copied().unwrap_or(0)
    }

    fn bottom(&self) -> usize {
        self.rows.last().copied().unwrap_or(0)
    }
}

fn finish(mut lines: Lines, soft: &Stack, held: bool) -> Result<HeldReading, Refusal> {
    let step = lines.straight.frame.step;
    let traits = Traits::of(&lines, soft);
    refusal::of_stack(&lines, soft, &traits, soft.mean_rows() * step)?;
    let blur = soft.blur(&lines);
    if blur > BLURRED * soft.mean_rows() {
        lines.sharpen(blur, soft.top()..soft.bottom() + 1);
    }
    let lines = &lines;
    let stack = &Stack::of(lines).ok_or(Refusal::NoLines)?;
    let measured = &Measured::of(lines, stack);
    let mean = measured.bottom().saturating_sub(measured.top()) as f32 * step
        / measured.bands().max(1) as f32;
    refusal::of_faces(&measured.faces, measured.bands(), held)?;
    let rows = measured.rows.clone();
    let heights: Vec<f32> = rows
        .iter()
        .zip(rows.iter().skip(1))
        .map(|(a, b)| b.saturating_sub(*a) as f32 * step)
        .collect();
    let (low, high, doubts) = range(lines, stack, measured, mean, &heights);
    let place = |row: usize| lines.place(row);
    Ok(HeldReading {
        held: stack.edges.len(),
        reading: Reading {
            bands: measured.bands(),
            low,
            high,
            line: Line {
                from: place(measured.top()),
                to: place(measured.bottom()),
            },
            borders: rows
                .into_iter()
                .map(|row| Border { at: place(row) })
                .collect(),
            lines: lines.columns.len(),
            mean,
            thinnest: heights.into_iter().fold(f32::MAX, f32::min),
            doubts,
        },
    })
}
