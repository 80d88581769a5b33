//! How many more restacks reach the target.
//!
//! Every round is worked on the metal itself (trim, flat grind, cut, pile, weld, draw), so the bands
//! that the grind eats, the ends, the kerf and the scale are in the answer. No closed form does that.

mod orders;
mod words;

pub use orders::orders;

use super::{
    Allowances, Arrange, Billet, Faces, Ledger, Move, Outcome, Reading, Refusal, Sizes, Stage,
    apply,
};
use crate::units::{Fraction, Mm, Mm3};

/// Rounds after which a choice is given up.
const MOST: usize = 12;
/// A bar over the section by more than this is still to be drawn.
const UNDRAWN: f64 = 1.5;

/// What a restack of one piece count comes to, done until the target is reached.
#[derive(Debug, Clone, PartialEq)]
pub struct Advice {
    /// Pieces in each restack; 1 where the bar has the bands as it is.
    pub pieces: u32,
    /// The pieces of each restack where they are not all alike, as a plan has them; empty for even ones.
    pub order: Vec<u32>,
    /// One entry a restack, in order; empty when no restack is needed or the first cannot be made.
    pub rounds: Vec<Round>,
    /// Where it ends.
    pub ends: Ends,
    /// Bands at the end.
    pub bands: u128,
    /// Pieces multiplied, at the end.
    pub nominal: u128,
    /// The bar at the end, drawn to the section.
    pub length: Mm,
    /// Metal in that bar.
    pub left: Mm3,
}

/// One restack.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Round {
    /// Pieces that go into it.
    pub pieces: u32,
    /// Pieces multiplied, after it.
    pub nominal: u128,
    /// Bands after it.
    pub bands: u128,
    /// Length of each piece that goes into it.
    pub piece: Mm,
    /// Height of the pile before the weld.
    pub height: Mm,
    /// The bar after it, drawn to the section.
    pub length: Mm,
    /// False when the pieces are shorter than can be held.
    pub long_enough: bool,
    /// True when the pile is over twice its width, or more than the machine opens to.
    pub too_tall: bool,
}

/// Where a run of restacks ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ends {
    /// The bands are in the range.
    Reaches,
    /// The range lies between two restacks: one fewer is under it, the last one over.
    Overshoots,
    /// The bar gives no pieces long enough for the next restack.
    TooShort,
    /// The bands do not rise enough: the grind eats what a restack brings.
    Never,
}

impl Ends {
    /// Of so many bands, where all restacks could be made and these are wanted.
    #[must_use]
    pub fn at(bands: u128, (least, most): (u128, u128)) -> Self {
        if bands > most {
            Self::Overshoots
        } else if bands < least {
            Self::Never
        } else {
            Self::Reaches
        }
    }
}

/// Where restacks are counted from.
#[derive(Debug, Clone, Copy)]
pub struct Outset<'a> {
    /// The metal.
    pub billet: &'a Billet,
    /// Restacks that are in hand already: they count, and cannot be chosen any more.
    pub pending: &'a [Round],
    /// The ends are trimmed for the next cut.
    pub trimmed: bool,
    /// The faces are ground for the next pile.
    pub ground: bool,
}

impl<'a> Outset<'a> {
    /// Metal that is neither trimmed nor ground, with no restack in hand.
    #[must_use]
    pub fn of(billet: &'a Billet) -> Self {
        Self {
            billet,
            pending: &[],
            trimmed: false,
            ground: false,
        }
    }
}

/// What each of `choices` comes to from there, one row where no restack is to be chosen, the bar drawn to `section` (width, thickness) before
/// each further cut and at the end, until the bands reach `target` (least, most).
///
/// What the billet is in the middle of is finished first: a pile is welded and drawn, pieces that are
/// already cut are piled as they are. Nothing once a blank is forged or ground.
#[must_use]
pub fn restacks(
    outset: &Outset<'_>,
    allow: &Allowances,
    section: (Mm, Mm),
    target: (u64, u64),
    choices: &[u32],
) -> Vec<Advice> {
    let run = RestackSearch::of(allow, section, target);
    let Ok(bar) = run.ready(bare(outset.billet)) else {
        return Vec::new();
    };
    let from = Outset {
        billet: &bar,
        ..*outset
    };
    // There is nothing to choose any more: the bar has them as it is, or what is in hand brings them.
    if bar.bands() >= run.least {
        let pieces = outset.pending.last().map_or(1, |last| last.pieces);
        return vec![run.follow(&from, pieces, std::iter::empty(), false)];
    }
    choices
        .iter()
        .filter(|pieces| **pieces > 1)
        .map(|pieces| run.follow(&from, *pieces, std::iter::repeat(*pieces), false))
        .collect()
}

/// What one order of restacks comes to, as `[4, 3]`: four pieces, then three. All of them are made,
/// whether the bands reach the target early or not; bands that end under it read as [`Ends::Never`].
/// Nothing once a blank is forged or ground.
#[must_use]
pub fn in_order(
    billet: &Billet,
    allow: &Allowances,
    section: (Mm, Mm),
    target: (u64, u64),
    order: &[u32],
) -> Option<Advice> {
    let run = RestackSearch::of(allow, section, target);
    let bar = run.ready(bare(billet)).ok()?;
    let first = order.first().copied().unwrap_or(1);
    Some(run.follow(&Outset::of(&bar), first, order.iter().copied(), true))
}

/// The metal alone: no history, stock or losses to carry along.
fn bare(billet: &Billet) -> Billet {
    Billet {
        name: billet.name.clone(),
        first: billet.first.clone(),
        others: Vec::new(),
        waits: false,
        within: None,
        bar: billet.bar.clone(),
        pieces: billet.pieces,
        stage: billet.stage,
        stock: Vec::new(),
        ledger: Ledger {
            start: billet.volume(),
            ..Ledger::default()
        },
        nominal: billet.nominal,
        turns: billet.turns,
        count_factor: billet.count_factor,
        count_doubt: billet.count_doubt,
        thinned: billet.thinned,
        blade: billet.blade.clone(),
        history: Vec::new(),
        steels: billet.steels.clone(),
    }
}

struct RestackSearch<'a> {
    allow: &'a Allowances,
    section: (Mm, Mm),
    least: u128,
    most: u128,
}

impl<'a> RestackSearch<'a> {
    fn of(allow: &'a Allowances, section: (Mm, Mm), target: (u64, u64)) -> Self {
        Self {
            allow,
            section,
            least: u128::from(target.0),
            most: u128::from(target.1.max(target.0)),
        }
    }

    /// A sound bar at the section, whatever the billet is in the middle of.
    fn ready(&self, billet: Billet) -> Result<Billet, Refusal> {
        let mut now = billet;
        if now.stage == Stage::Loose {
            now = self.make(&now, &Move::STACK)?;
        }
        if now.stage == Stage::Pieces && now.pieces > 1 {
            now = self.make(&now, &PILE)?;
        }
        match now.stage {
            Stage::Pile => self.close(&now),
            // A bar fresh from the weld; one that was drawn, only not quite, is as good as it is.
            Stage::Bar | Stage::Pieces if now.bar.thickness > self.section.1 * UNDRAWN => {
                self.make(&now, &self.draw())
            }
            Stage::Bar | Stage::Pieces => Ok(now),
            _ => Err(Refusal {
                what: "the blank is past restacking".to_owned(),
                remedy: "leave it".to_owned(),
                key: None,
            }),
        }
    }

    /// Restack by restack in this order, until the target is reached or, where `all` of them are to
    /// be made, to the last.
    fn follow(
        &self,
        outset: &Outset<'_>,
        pieces: u32,
        mut order: impl Iterator<Item = u32>,
        all: bool,
    ) -> Advice {
        let mut now = outset.billet.clone();
        let mut rounds = outset.pending.to_vec();
        let mut clean = (outset.trimmed, outset.ground);
        let mut ends = None;
        while ends.is_none() && (all || now.bands() < self.least) {
            let Some(pieces) = order.next() else { break };
            let before = now.bands();
            match self.round(&now, pieces, std::mem::take(&mut clean)) {
                Ok((after, round)) => {
                    ends = if !round.long_enough {
                        Some(Ends::TooShort)
                    } else if after.bands() <= before || rounds.len() + 1 >= MOST {
                        Some(Ends::Never)
                    } else {
                        None
                    };
                    rounds.push(round);
                    now = after;
                }
                // A section thinner than the grind takes is no question of length.
                Err(refusal) if refusal.key == Some("per-face") => ends = Some(Ends::Never),
                Err(_) => ends = Some(Ends::TooShort),
            }
        }
        let bands = now.bands();
        Advice {
            pieces,
            order: Vec::new(),
            rounds,
            ends: ends.unwrap_or(Ends::at(bands, (self.least, self.most))),
            bands,
            nominal: now.nominal,
            length: now.bar.length,
            left: now.volume(),
        }
    }

    /// One restack, from bar to bar.
    fn round(
        &self,
        bar: &Billet,
        pieces: u32,
        (trimmed, ground): (bool, bool),
    ) -> Result<(Billet, Round), Refusal> {
        let mut now = bar.clone();
        if !trimmed {
            let ends = [self.allow.trim; 2];
            now = self.make(&now, &Move::Trim { ends })?;
        }
        if !ground {
            let (per_face, faces) = (self.allow.grind, Faces::Two);
            now = self.make(&now, &Move::Grind { per_face, faces })?;
        }
        let cut = self.make(
            &now,
            &Move::Cut {
                pieces,
                length: None,
                kerf: self.allow.kerf,
                keep_rest: false,
            },
        )?;
        let piece = cut.bar.length;
        let pile = self.make(&cut, &PILE)?;
        let after = self.close(&pile)?;
        let round = Round::new(pieces, piece, &pile, &after, self.allow);
        Ok((after, round))
    }

    /// Welds a pile and draws it to the section.
    fn close(&self, pile: &Billet) -> Result<Billet, Refusal> {
        let weld = Move::Weld {
            to: Sizes::default(),
            scale: Fraction(0.0),
        };
        let welded = self.make(pile, &weld)?;
        self.make(&welded, &self.draw())
    }

    fn draw(&self) -> Move {
        Move::Square {
            to: Sizes {
                width: Some(self.section.0),
                thickness: Some(self.section.1),
                length: None,
            },
            scale: self.allow.scale,
        }
    }

    fn make(&self, billet: &Billet, made: &Move) -> Result<Billet, Refusal> {
        let Outcome { mut billet, .. } = apply(billet, made, self.allow, &Reading::default())?;
        billet.history.clear();
        Ok(billet)
    }
}

const PILE: Move = Move::Restack {
    arrange: Arrange::Pile,
};

impl Round {
    /// A restack of so many pieces of this length, from the pile that it makes and the bar that comes of it.
    #[must_use]
    pub fn new(pieces: u32, piece: Mm, pile: &Billet, after: &Billet, allow: &Allowances) -> Self {
        let (height, width) = (pile.bar.thickness, pile.bar.width);
        Self {
            pieces,
            nominal: after.nominal,
            bands: after.bands(),
            piece,
            height,
            length: after.bar.length,
            long_enough: piece >= allow.shortest,
            too_tall: height > width * 2.0 || allow.tallest.is_some_and(|tallest| height > tallest),
        }
    }
}

impl Advice {
    /// Restacks needed.
    #[must_use]
    pub fn count(&self) -> usize {
        self.rounds.len()
    }

    /// The shortest piece of its restacks; none where there are none.
    #[must_use]
    pub fn shortest(&self) -> Option<Mm> {
        self.rounds.iter().map(|round| round.piece).reduce(Mm::min)
    }

    /// True when every restack can be made and the bands end in the range.
    #[must_use]
    pub fn works(&self) -> bool {
        self.ends == Ends::Reaches
    }
}

#[cfg(test)]
mod tests;
