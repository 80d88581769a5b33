//! Bands of an etched end counted in a photograph: a number with an honest range, or a refusal.
//!
//! Pure: a grey picture goes in, a reading comes out. Decoding belongs to the shell. The way: find where lines
//! run side by side (`region`), walk many lines across the layers and make a bent stack straight (`straight`,
//! `lines`), find the edges that run through all of them (`stack`), look twice at the outermost bands (`ends`),
//! and say how far the count may be off (`doubt`).

mod apart;
mod doubt;
mod ends;
mod grey;
pub mod history;
mod lines;
mod list;
mod metal;
mod refusal;
mod region;
mod seam;
mod stack;
mod steps;
mod straight;
#[cfg(test)]
mod tests;
mod turns;
mod words;

pub use self::apart::{Apart, Beside, beside};
pub use self::doubt::{Doubt, Why};
pub use self::grey::{Grey, Photo};
pub use self::refusal::Refusal;

use self::doubt::range;
use self::ends::outer;
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
        let reading = Measured::of(&lines, &stack);
        let rows = reading.mean_rows;
        let next = if rows > ROWS.end {
            (step * 2.0).min(coarsest)
        } else if rows < ROWS.start && step > 0.5 {
            step / 2.0
        } else {
            step
        };
        let wider = Lines::window(rows * step / next);
        let [top, bottom] = [reading.top, reading.bottom].map(|row| frame.across_at(row as f32));
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
            return finish(lines, &stack, &reading, held);
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

/// The stack with its outermost bands.
struct Measured {
    ends: [ends::Outer; 2],
    top: usize,
    bottom: usize,
    bands: usize,
    mean_rows: f32,
}

impl Measured {
    fn of(lines: &Lines, stack: &Stack) -> Self {
        let ends = [Side::First, Side::Last].map(|side| outer(lines, stack, side));
        let (top, bottom) = (ends[0].row, ends[1].row);
        let bands = stack.turns.len() + ends.iter().filter(|end| end.band).count();
        Self {
            ends,
            top,
            bottom,
            bands,
            mean_rows: bottom.saturating_sub(top) as f32 / bands.max(1) as f32,
        }
    }
}

fn finish(
    mut lines: Lines,
    soft: &Stack,
    measured: &Measured,
    held: bool,
) -> Result<HeldReading, Refusal> {
    let step = lines.straight.frame.step;
    let traits = Traits::of(&lines, soft);
    refusal::of_stack(&lines, soft, &traits, measured.mean_rows * step)?;
    let blur = soft.blur(&lines);
    if blur > BLURRED * measured.mean_rows {
        lines.sharpen(blur, soft.top()..soft.bottom() + 1);
    }
    let lines = &lines;
    let stack = &Stack::of(lines).ok_or(Refusal::NoLines)?;
    let measured = &Measured::of(lines, stack);
    let mean = measured.mean_rows * step;
    // a line by hand says itself where the faces are
    if !held && measured.ends.iter().any(|end| end.cut) {
        return Err(Refusal::CutOff);
    }
    let mut rows: Vec<usize> = stack.edges.iter().map(|edge| edge.row).collect();
    let [first, last] = &measured.ends;
    if let (true, Some(row)) = (first.band, rows.first_mut()) {
        *row = first.inner;
        rows.insert(0, first.row);
    }
    if let (true, Some(row)) = (last.band, rows.last_mut()) {
        *row = last.inner;
        rows.push(last.row);
    }
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
            bands: measured.bands,
            low,
            high,
            line: Line {
                from: place(measured.top),
                to: place(measured.bottom),
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
