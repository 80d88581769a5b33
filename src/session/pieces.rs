//! Like pieces worked in turn: which is in hand, and how the others lie.
//!
//! The model is of one piece of so many alike: what was read of several of them counts with its mean.

use super::Session;
use super::state::Aside;
use super::timers::lies;
use crate::billet::{Billet, Dimension, Reading, Stage};
use crate::journal::Fire;
use crate::plan::Step;
use crate::units::{Seconds, Stamp};

/// How a piece lies that is not in hand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lying {
    /// Its number, from 1.
    pub piece: u32,
    /// In the fire or out of it.
    pub fire: Fire,
    /// For how long.
    pub span: Seconds,
}

impl Session {
    /// How many like pieces the step in hand works one by one; 1 where there is one, or where one fire
    /// holds them all.
    #[must_use]
    pub fn in_turn(&self) -> u32 {
        let Some(step) = self.current() else {
            return 1;
        };
        worked_by_one(step, self.billet.pieces)
    }

    /// The number of the piece in hand, for the log of its heats; 0 where there is one.
    pub(super) fn numbered(&self) -> u32 {
        if self.in_turn() > 1 { self.hand } else { 0 }
    }

    /// Another piece is taken up; `swapped` says that the one in hand went into the fire for it.
    pub(super) fn take_up(&mut self, piece: u32, swapped: bool, at: Stamp) {
        if !(1..=self.in_turn()).contains(&piece) || piece == self.hand {
            return;
        }
        if swapped {
            self.move_piece(Fire::In, at);
        }
        let other = self.aside.remove(&piece).unwrap_or_default();
        let put_by = Aside {
            fire: std::mem::replace(&mut self.fire, other.fire),
            reading: std::mem::replace(&mut self.step.reading, other.reading),
            typed: std::mem::replace(&mut self.step.typed, other.typed),
            hot: std::mem::replace(&mut self.step.hot, other.hot),
        };
        self.aside.insert(self.hand, put_by);
        self.hand = piece;
        if swapped {
            self.move_piece(Fire::Out, at);
        }
    }

    /// After a step: what was read of the others counts no more, and what goes on hot lies as it lay.
    pub(super) fn put_by(&mut self, before: &Billet, goes_on: bool, at: Stamp) {
        if let Some(first) = self.aside.remove(&1) {
            let in_hand = Aside {
                fire: std::mem::replace(&mut self.fire, first.fire),
                ..Aside::default()
            };
            self.aside.insert(self.hand, in_hand);
        }
        self.hand = 1;
        let other = self.billet.name != before.name;
        if other || self.billet.pieces != before.pieces || self.in_turn() == 1 {
            self.aside.clear();
        }
        for other in self.aside.values_mut() {
            let lay = match other.fire {
                (Fire::In, _) if !goes_on => (Fire::Out, at),
                lay => lay,
            };
            *other = Aside {
                fire: lay,
                ..Aside::default()
            };
        }
    }

    /// What was read in the step in hand: the mean over the pieces that were measured.
    #[must_use]
    pub fn reading(&self) -> Reading {
        let mut mean = self.step.reading;
        for what in Dimension::ALL {
            let others = self.aside.values().filter_map(|one| one.reading.get(what));
            let read: Vec<f64> = self
                .step
                .reading
                .get(what)
                .into_iter()
                .chain(others)
                .collect();
            if read.len() > 1 {
                #[expect(clippy::cast_precision_loss, reason = "a handful of pieces")]
                mean.set(what, Some(read.iter().sum::<f64>() / read.len() as f64));
            } else if let Some(only) = read.first() {
                mean.set(what, Some(*only));
            }
        }
        mean
    }

    /// What was read of each piece in the step in hand, by number; pieces that nothing was read of are left
    /// out.
    #[must_use]
    pub fn each(&self) -> Vec<(u32, Reading)> {
        let others = self.aside.iter().map(|(piece, one)| (*piece, one.reading));
        let mut all: Vec<(u32, Reading)> = others
            .chain([(self.hand, self.step.reading)])
            .filter(|(_, read)| !read.is_empty())
            .collect();
        all.sort_by_key(|(piece, _)| *piece);
        all
    }

    /// A size as it was read of the other pieces, by number.
    pub fn read_aside(&self, what: Dimension) -> impl Iterator<Item = (u32, f64)> {
        let read = self.aside.iter();
        read.filter_map(move |(piece, one)| Some((*piece, one.reading.get(what)?)))
    }

    /// The pieces that are not in hand.
    #[must_use]
    pub fn lying(&self, now: Stamp) -> Vec<Lying> {
        let others = (1..=self.in_turn()).filter(|piece| *piece != self.hand);
        others
            .map(|piece| {
                let (fire, since) = self
                    .aside
                    .get(&piece)
                    .map_or((Fire::Cold, now), |one| one.fire);
                Lying {
                    piece,
                    fire: lies((fire, since), now),
                    span: now.since(since).max(Seconds::ZERO),
                }
            })
            .collect()
    }

    /// The piece that comes out when the one in hand goes into the fire: the longest in it.
    #[must_use]
    pub fn comes_out(&self, now: Stamp) -> Option<u32> {
        let inside = self.lying(now).into_iter();
        let inside = inside.filter(|one| one.fire == Fire::In);
        let longest = inside.max_by(|a, b| a.span.0.total_cmp(&b.span.0));
        longest.map(|one| one.piece)
    }

    /// The piece to take up after the one in hand.
    #[must_use]
    pub fn next_piece(&self) -> Option<u32> {
        let all = self.in_turn();
        (all > 1).then_some(self.hand % all + 1)
    }
}

/// How many of so many like pieces a step works one by one.
pub(super) fn worked_by_one(step: &Step, pieces: u32) -> u32 {
    let row = step.kind().row();
    // What lays pieces on each other leaves one.
    let joins = row.to == Some(Stage::Pile);
    if row.fire.holds_all() || joins || !(step.kind().is_hot() || step.kind().is_measured()) {
        return 1;
    }
    pieces.max(1)
}
