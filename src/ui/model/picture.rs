//! What is looked at in the pictures, how it is shaded, and the last ones made.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use super::Model;
use super::growth::{self, Growth, SEED};
use super::section;
use crate::billet::Band;
use crate::billet::SteelId;
use crate::pattern::{LinesRange, Picture, Scene};
use crate::session::{Aspect, Subject};
use crate::units::Mm;

/// An aspect, or the layers one by one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Seen {
    /// A picture.
    Aspect(Aspect),
    /// The layers through the bar.
    Layers,
    /// What the steps do to the lines.
    Lines,
}

impl Seen {
    /// All of them, in the order of their keys.
    pub const ALL: [Self; 6] = [
        Self::Aspect(Aspect::End),
        Self::Aspect(Aspect::Side),
        Self::Aspect(Aspect::Face),
        Self::Aspect(Aspect::Blade),
        Self::Layers,
        Self::Lines,
    ];

    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Aspect(aspect) => aspect.word(),
            Self::Layers => "layers",
            Self::Lines => "lines",
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
    /// How close pictures are taken: see [`Viewing::times`].
    pub closer: u8,
    /// Where the cursor stands among the layers: share of the height, from the bottom.
    pub depth: f64,
}

impl Viewing {
    /// Times that pictures are magnified, about their middle.
    #[must_use]
    pub fn times(&self) -> u32 {
        times(self.closer)
    }
}

/// Where a closer picture is taken, as shares of the whole from the left and from the top: a little off
/// the middle, where a block has its weld.
const CLOSER_AT: [f64; 2] = [0.5, 0.42];

/// Ways of coming closer: whole, four times, sixteen times.
pub(in crate::ui) const WAYS_CLOSER: u8 = 3;

fn times(closer: u8) -> u32 {
    4_u32.pow(u32::from(closer.min(WAYS_CLOSER - 1)))
}

/// Which picture of the job as it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::ui) struct Glance {
    /// Steps made.
    pub(in crate::ui) place: usize,
    /// Which way.
    pub(in crate::ui) aspect: Aspect,
    /// As in [`Viewing`].
    pub(in crate::ui) closer: u8,
}

impl Glance {
    /// The whole of it.
    pub(in crate::ui) fn whole(place: usize, aspect: Aspect) -> Self {
        Self {
            place,
            aspect,
            closer: 0,
        }
    }

    /// Times that it is magnified.
    pub(in crate::ui) fn times(&self) -> u32 {
        times(self.closer)
    }

    /// What it shows, in so many pixels.
    pub(in crate::ui) fn scene(&self, subject: &Subject, size: [u32; 2]) -> Scene {
        let scene = subject.scene(self.aspect, size);
        if self.closer == 0 {
            return scene;
        }
        scene.closer(f64::from(times(self.closer)), CLOSER_AT)
    }

    /// Millimetres of metal across a picture so many pixels wide and high.
    pub(in crate::ui) fn across(&self, subject: &Subject, [wide, high]: [u32; 2]) -> Mm {
        let [width, height] = subject.extent(self.aspect);
        let (wide, high) = (f64::from(wide.max(1)), f64::from(high.max(1)));
        // as the picture is fitted, with its margin
        let all = width.0.max(height.0 * wide / high) / 0.96;
        Mm(all / f64::from(times(self.closer)))
    }
}

/// Which picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::ui) struct Key {
    /// State of the job.
    seq: u64,
    plan: u32,
    glance: Glance,
    size: [u32; 2],
}

/// What a cell of the end view shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::ui) enum Grain {
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

/// Pictures kept.
const KEPT: usize = 24;
/// Hands that the numbers beside it range over.
pub(in crate::ui) const HANDS: u64 = 3;

#[derive(Debug, Default)]
struct Held {
    pictures: VecDeque<(Key, Arc<Picture>)>,
    subjects: VecDeque<(Key, Arc<Subject>)>,
    lines: VecDeque<(Key, Option<LinesRange>)>,
    grains: VecDeque<(Key, Arc<Vec<Grain>>)>,
    growth: VecDeque<(Key, Arc<Vec<Growth>>)>,
    walks: VecDeque<(Key, Arc<Vec<Band>>)>,
}

/// The last pictures made, so that a frame that shows the same again costs nothing. What they are is
/// decided by the session alone; a copy of the model begins with none.
#[derive(Debug, Default)]
pub(in crate::ui) struct Shots(Mutex<Held>);

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
    pub(in crate::ui) fn key(&self, glance: Glance, size: [u32; 2]) -> Key {
        Key {
            seq: self.session.seq,
            plan: self.session.plan_hash,
            glance,
            size,
        }
    }

    fn held(&self) -> MutexGuard<'_, Held> {
        self.shots.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The metal at a place, ready for pictures.
    pub(in crate::ui) fn subject(&self, place: usize) -> Option<Arc<Subject>> {
        let key = self.key(Glance::whole(place, Aspect::End), [0, 0]);
        kept(&mut self.held().subjects, key, || {
            self.session.subject(place, SEED).map(Arc::new)
        })
    }

    /// A picture of so many pixels.
    pub(in crate::ui) fn shot(&self, glance: Glance, size: [u32; 2]) -> Option<Arc<Picture>> {
        let subject = self.subject(glance.place)?;
        let key = self.key(glance, size);
        kept(&mut self.held().pictures, key, || {
            Some(Arc::new(glance.scene(&subject, size).render()))
        })
    }

    /// The end in so many cells across and down, row by row from the top.
    pub(in crate::ui) fn grains(&self, place: usize, cells: [u32; 2]) -> Option<Arc<Vec<Grain>>> {
        let subject = self.subject(place)?;
        let key = self.key(Glance::whole(place, Aspect::End), cells);
        kept(&mut self.held().grains, key, || {
            let [wide, high] = cells;
            let all = (0..high).flat_map(|y| (0..wide).map(move |x| (x, y)));
            Some(Arc::new(
                all.map(|(x, y)| grain(&subject, cells, x, y)).collect(),
            ))
        })
    }

    /// How the bands run in an aspect.
    pub(in crate::ui) fn lines(&self, place: usize, aspect: Aspect) -> Option<LinesRange> {
        let subject = self.subject(place)?;
        let key = self.key(Glance::whole(place, aspect), [0, 0]);
        kept(&mut self.held().lines, key, || {
            let more = HANDS - 1;
            Some(self.session.lines(&subject, aspect, (place, SEED), more))
        })
        .flatten()
    }

    /// What each step of the plan does to the lines.
    pub(in crate::ui) fn growth(&self) -> Arc<Vec<Growth>> {
        let key = self.key(Glance::whole(0, Aspect::Face), [0, 0]);
        let made = || Some(Arc::new(growth::of(&self.session)));
        kept(&mut self.held().growth, key, made).unwrap_or_default()
    }

    /// The bands on the way down through an end whose layers are bent.
    pub(in crate::ui) fn walk(&self, place: usize) -> Option<Arc<Vec<Band>>> {
        let subject = self.subject(place)?;
        let key = self.key(Glance::whole(place, Aspect::End), [0, 0]);
        let made = || Some(Arc::new(section::walk(&subject)));
        kept(&mut self.held().walks, key, made)
    }
}
