//! Like bars of a plan: counted off through the steps that work them alike.
//!
//! Bars are alike when they begin alike and are laid into one. The first step of a kind that asks the same of
//! each is the same work, so is the second, and so on; the hand of a twist makes no odds.

use super::Session;
use super::pieces::worked_by_one;
use crate::billet::{Billet, Dimension, Hand, Kind, Move, Reading};
use crate::plan::{PlanBar, Step};

/// Where the piece in hand stands among all that are worked alike.
#[derive(Debug, Clone, PartialEq)]
pub struct Alike {
    /// Its number, from 1, in the order of the plan.
    pub number: u32,
    /// How many there are, over all like bars.
    pub of: u32,
    /// What was read of those of the other bars, in the same work: which, and the reading.
    pub read: Vec<(String, Reading)>,
}

impl Alike {
    /// One size of the others, as far as it was read.
    pub fn sizes(&self, what: Dimension) -> impl Iterator<Item = (&str, f64)> {
        let read = self.read.iter();
        read.filter_map(move |(which, read)| Some((&**which, read.get(what)?)))
    }
}

/// A piece of a bar in words: its number only where there are several.
pub(super) fn piece_name(bar: &str, piece: u32, of: u32) -> String {
    if of > 1 {
        format!("{bar} {piece}")
    } else {
        bar.to_owned()
    }
}

impl Session {
    /// Where the piece in hand stands among like ones of several bars; none where no other bar is like it.
    #[must_use]
    pub fn alike(&self) -> Option<Alike> {
        let step = self.current()?;
        let like = self.like_bars(&step.bar);
        if like.is_empty() || matches!(step.kind(), Kind::EndDay | Kind::Inspect) {
            return None;
        }
        let steps = &self.plan.steps;
        let work = alike(&step.made);
        let of = |bar: &'_ str| {
            let all = steps.iter().enumerate();
            let bar = bar.to_owned();
            let work = work.clone();
            all.filter(move |(_, one)| one.bar == bar && alike(&one.made) == work)
        };
        let nth = of(&step.bar).position(|(at, _)| at == self.at)?;
        let others = like.iter().filter_map(|bar| of(&bar.name).nth(nth));
        let mut before = 0;
        let mut all = self.in_turn();
        let mut read = Vec::new();
        for (at, other) in others {
            let pieces = worked_by_one(other, self.pieces_before(at, &other.bar)?);
            all = all.saturating_add(pieces);
            if at < self.at {
                before += pieces;
            }
            let done = self.done.iter().find(|done| done.step.id == other.id);
            let each = done.iter().flat_map(|done| &done.each);
            read.extend(each.map(|(piece, read)| (piece_name(&other.bar, *piece, pieces), *read)));
            read.extend(self.left_readings(other, pieces));
        }
        let hand = if self.in_turn() > 1 { self.hand } else { 1 };
        (all > self.in_turn()).then_some(Alike {
            number: before + hand,
            of: all,
            read,
        })
    }

    /// What was read in a step that was left for another bar.
    fn left_readings(&self, step: &Step, pieces: u32) -> Vec<(String, Reading)> {
        let Some(by) = self.laid_by.get(&step.bar) else {
            return Vec::new();
        };
        let Some((_, state)) = by.left.as_ref().filter(|(id, _)| *id == step.id) else {
            return Vec::new();
        };
        let others = by.aside.iter().map(|(piece, one)| (*piece, one.reading));
        let all = others.chain([(by.hand.max(1), state.reading)]);
        let read = all.filter(|(_, read)| !read.is_empty());
        read.map(|(piece, read)| (piece_name(&step.bar, piece, pieces), read))
            .collect()
    }

    /// The other bars that begin as a bar does and are laid into one with it.
    fn like_bars(&self, name: &str) -> Vec<&PlanBar> {
        let bars = &self.plan.bars;
        let Some(own) = bars.iter().find(|bar| bar.name == name) else {
            return Vec::new();
        };
        let like = |bar: &&PlanBar| {
            let same = PlanBar {
                name: own.name.clone(),
                shelf: own.shelf,
                from: own.from.clone(),
                ..(*bar).clone()
            };
            bar.name != own.name && same == *own && self.meet(&bar.name, name)
        };
        bars.iter().filter(like).collect()
    }

    /// True when a step lays both bars into one.
    fn meet(&self, one: &str, other: &str) -> bool {
        let steps = &mut self.plan.steps.iter();
        let lays = |step: &Step, bar: &str| step.bar == bar || super::bars::lays(step, bar);
        steps.any(|step| !step.made.laid().0.is_empty() && lays(step, one) && lays(step, other))
    }

    /// The like pieces of a bar before the step at a place of the plan.
    fn pieces_before(&self, at: usize, bar: &str) -> Option<u32> {
        let metal: &Billet = if at == self.at {
            &self.billet
        } else if at == 0 {
            return Some(1);
        } else if let Some(done) = self.done.get(at - 1).filter(|_| at < self.at) {
            &done.made.billet
        } else {
            &self.ahead.rows.get(at.checked_sub(self.at + 1)?)?.billet
        };
        let bar = metal.bars().find(|one| *one.name == *bar)?;
        Some(bar.pieces.max(1))
    }
}

/// A move as it is alike for bars of either hand.
fn alike(made: &Move) -> Move {
    let mut made = made.clone();
    if let Move::Twist { hand, .. } = &mut made {
        *hand = Hand::default();
    }
    made
}
