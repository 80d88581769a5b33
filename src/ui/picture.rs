//! What is looked at in the pictures, how it is shaded, and the last ones made.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

use super::model::Model;
use crate::billet::{Band, Layers, SteelId};
use crate::pattern::{Lines, Picture};
use crate::session::{Sight, Subject};
use crate::units::Mm;

/// A sight, or the layers one by one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Seen {
    /// A picture.
    Sight(Sight),
    /// The layers through the bar.
    Layers,
}

impl Seen {
    /// All of them, in the order of their keys.
    pub const ALL: [Self; 5] = [
        Self::Sight(Sight::End),
        Self::Sight(Sight::Side),
        Self::Sight(Sight::Face),
        Self::Sight(Sight::Blade),
        Self::Layers,
    ];

    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Sight(sight) => sight.word(),
            Self::Layers => "layers",
        }
    }
}

/// What is looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Viewing {
    /// Which way.
    pub seen: Seen,
    /// Steps made: the place in the plan.
    pub place: usize,
    /// Where the cursor stands among the layers: share of the height, from the bottom.
    pub depth: f64,
}

/// What pictures are shaded with. A theme without colour and plain ASCII take a ramp of glyphs
/// whatever this says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Shades {
    /// Four greys of the sixteen colours.
    #[default]
    Sixteen,
    /// The grey ramp of 256 colours.
    Greys,
    /// 24-bit colour.
    True,
}

impl Shades {
    /// By the variables COLORTERM and TERM.
    #[must_use]
    pub fn of(colorterm: Option<&str>, term: Option<&str>) -> Self {
        let has = |word: Option<&str>, part: &str| {
            word.is_some_and(|word| word.to_ascii_lowercase().contains(part))
        };
        if has(colorterm, "truecolor") || has(colorterm, "24bit") || has(term, "direct") {
            Self::True
        } else if has(term, "256color") {
            Self::Greys
        } else {
            Self::Sixteen
        }
    }
}

/// Which picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Key {
    /// State of the job.
    seq: u64,
    plan: u32,
    place: usize,
    sight: Sight,
    size: [u32; 2],
}

/// What a cell of the end view shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Grain {
    /// Mostly that steel.
    Steel(SteelId),
    /// Bands finer than the cell.
    Mixed,
    /// An open groove.
    Open,
}

/// A cell shows one steel when that many of its nine places do.
const CLEAR: usize = 7;

/// Looks at nine places of a cell of the end, `wide` by `high` cells in all, row 0 uppermost.
fn grain(subject: &Subject, [wide, high]: [u32; 2], x: u32, y: u32) -> Grain {
    let [width, thick, length] = subject.chain().size();
    let part = |cell: u32, third: u32, of: u32| {
        (f64::from(cell) + (f64::from(third) + 0.5) / 3.0) / f64::from(of) - 0.5
    };
    let found: Vec<SteelId> = (0..9)
        .filter_map(|n| {
            let across = width * part(x, n % 3, wide);
            let through = thick * -part(y, n / 3, high);
            subject.chain().steel_at(length * 0.995, across, through)
        })
        .collect();
    let most = found
        .iter()
        .map(|steel| (found.iter().filter(|other| *other == steel).count(), *steel))
        .max_by_key(|(count, _)| *count);
    match most {
        None => Grain::Open,
        Some((count, steel)) if count >= CLEAR => Grain::Steel(steel),
        Some(_) => Grain::Mixed,
    }
}

/// Not a crumb that rounding left at a seam.
fn is_whole(band: &Band, height: Mm) -> bool {
    (band.to - band.from).0 > 1e-9 * height.0
}

/// The bands from a height upward, whole ones only.
pub(super) fn bands_up(layers: &Layers, from: Mm) -> impl Iterator<Item = Band> {
    let height = layers.height();
    layers
        .bands_from(from)
        .filter(move |band| is_whole(band, height))
}

/// The bands from a height downward, whole ones only: `turned` is the layers [`Layers::mirrored`].
pub(super) fn bands_down(turned: &Layers, from: Mm) -> impl Iterator<Item = Band> {
    let height = turned.height();
    bands_up(turned, height - from).map(move |band| Band {
        from: height - band.to,
        to: height - band.from,
        ..band
    })
}

/// The whole band about a height.
pub(super) fn band_at(layers: &Layers, at: Mm) -> Option<Band> {
    let turned = layers.mirrored();
    let up = bands_up(layers, at)
        .next()
        .or_else(|| bands_down(&turned, at).next())?;
    let down = bands_down(&turned, up.to).next();
    let from = down
        .filter(|band| band.steel == up.steel)
        .map_or(up.from, |band| band.from);
    Some(Band { from, ..up })
}

/// Pictures kept.
const KEPT: usize = 24;
/// Every picture in the screen is of the same hand.
pub(super) const SEED: u64 = 1;

#[derive(Debug, Default)]
struct Held {
    pictures: VecDeque<(Key, Arc<Picture>)>,
    subjects: VecDeque<(Key, Arc<Subject>)>,
    lines: VecDeque<(Key, Option<Lines>)>,
    grains: VecDeque<(Key, Arc<Vec<Grain>>)>,
}

/// The last pictures made, so that a frame that shows the same again costs nothing. What they are is
/// decided by the session alone; a copy of the model begins with none.
#[derive(Debug, Default)]
pub(super) struct Shots(Mutex<Held>);

impl Clone for Shots {
    fn clone(&self) -> Self {
        Self::default()
    }
}

/// What is held for a key, or made and kept.
fn kept<T: Clone>(
    held: &mut VecDeque<(Key, T)>,
    key: Key,
    make: impl FnOnce() -> Option<T>,
) -> Option<T> {
    if let Some((_, found)) = held.iter().find(|(other, _)| *other == key) {
        return Some(found.clone());
    }
    let made = make()?;
    if held.len() >= KEPT {
        held.pop_front();
    }
    held.push_back((key, made.clone()));
    Some(made)
}

impl Model {
    pub(super) fn key(&self, place: usize, sight: Sight, size: [u32; 2]) -> Key {
        Key {
            seq: self.session.seq,
            plan: self.session.plan_hash,
            place,
            sight,
            size,
        }
    }

    /// The metal at a place, ready for pictures.
    pub(super) fn subject(&self, place: usize) -> Option<Arc<Subject>> {
        let key = self.key(place, Sight::End, [0, 0]);
        let mut held = self.shots.0.lock().unwrap_or_else(PoisonError::into_inner);
        kept(&mut held.subjects, key, || {
            self.session.subject(place, SEED).map(Arc::new)
        })
    }

    /// A picture of so many pixels.
    pub(super) fn shot(&self, place: usize, sight: Sight, size: [u32; 2]) -> Option<Arc<Picture>> {
        let subject = self.subject(place)?;
        let key = self.key(place, sight, size);
        let mut held = self.shots.0.lock().unwrap_or_else(PoisonError::into_inner);
        kept(&mut held.pictures, key, || {
            Some(Arc::new(subject.scene(sight, size).render()))
        })
    }

    /// The end in so many cells across and down, row by row from the top.
    pub(super) fn grains(&self, place: usize, cells: [u32; 2]) -> Option<Arc<Vec<Grain>>> {
        let subject = self.subject(place)?;
        let key = self.key(place, Sight::End, cells);
        let mut held = self.shots.0.lock().unwrap_or_else(PoisonError::into_inner);
        kept(&mut held.grains, key, || {
            let [wide, high] = cells;
            let all = (0..high).flat_map(|y| (0..wide).map(move |x| (x, y)));
            Some(Arc::new(
                all.map(|(x, y)| grain(&subject, cells, x, y)).collect(),
            ))
        })
    }

    /// How the bands run in a sight.
    pub(super) fn lines(&self, place: usize, sight: Sight) -> Option<Lines> {
        let subject = self.subject(place)?;
        let key = self.key(place, sight, [0, 0]);
        let mut held = self.shots.0.lock().unwrap_or_else(PoisonError::into_inner);
        kept(&mut held.lines, key, || {
            Some(Lines::of(subject.chain(), subject.view(sight)))
        })
        .flatten()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_terminal_says_what_it_can() {
        assert_eq!(Shades::of(Some("truecolor"), Some("xterm")), Shades::True);
        assert_eq!(Shades::of(Some("24bit"), None), Shades::True);
        assert_eq!(Shades::of(None, Some("screen-256color")), Shades::Greys);
        assert_eq!(Shades::of(None, Some("vt220")), Shades::Sixteen);
        assert_eq!(Shades::of(Some(""), None), Shades::Sixteen);
    }
}
