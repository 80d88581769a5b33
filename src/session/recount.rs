//! The count in doubt: other ways that the restacks may have gone, run again on what was read, and which of them
//! agree with the journal.

use std::sync::Arc;

use super::make::make;
use super::{Done, Session};
use crate::billet::{Arrange, Billet, Move, Offcut, Reading};
use crate::plan::StepId;

/// Pieces that may be lost from one restack.
const LOST: u32 = 3;
/// How far the metal read may be from the metal expected, as a logarithm, before a way does not agree: a piece of
/// four is 0.29. Common practice, no source.
const AGREES: f64 = 0.12;
/// How far bands may be from a count that is sure, beside its range.
const NEAR: f64 = 0.03;
/// Ways that are listed.
const LISTED: usize = 6;

/// What the smith is sure of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sure {
    /// The sizes and masses read since.
    pub sizes: bool,
    /// The last count on an etched end.
    pub count: bool,
    /// Restacks whose pieces are sure.
    pub restacks: Vec<StepId>,
}

impl Default for Sure {
    fn default() -> Self {
        Self {
            sizes: true,
            count: true,
            restacks: Vec::new(),
        }
    }
}

/// A restack that was made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RestackDone {
    pub step: StepId,
    /// What it is called.
    pub name: String,
    /// Pieces that the journal has.
    pub pieces: u32,
}

/// One way that it may have gone.
#[derive(Debug, Clone, PartialEq)]
pub struct Recount {
    /// Restacks that had other pieces than the journal has, and how many; empty for the journal's own way.
    pub pieces: Vec<(StepId, u32)>,
    /// Bands now.
    pub bands: u128,
    /// Pieces multiplied.
    pub nominal: u128,
    /// The metal read over the metal expected at the first full reading since, as a logarithm; none where
    /// nothing was read that tells.
    pub off: Option<f64>,
    pub words: String,
}

impl Session {
    /// The restacks that were made with pieces enough to lose one.
    #[must_use]
    pub fn restacks_done(&self) -> Vec<RestackDone> {
        let one = |at: usize, done: &Arc<Done>| {
            let piled = matches!(
                done.step.made,
                Move::Restack {
                    arrange: Arrange::Pile | Arrange::Flipped
                }
            );
            let pieces = self.before(at).in_hand(&done.step.bar).pieces;
            (piled && pieces > 2).then(|| RestackDone {
                step: done.step.id.clone(),
                name: done.step.name().to_owned(),
                pieces,
            })
        };
        let all = self.done.iter().enumerate();
        all.filter_map(|(at, done)| one(at, done)).collect()
    }

    /// The last count that is done with: its step and range.
    #[must_use]
    pub fn last_count(&self) -> Option<(&StepId, [u64; 2])> {
        self.done.iter().rev().find_map(|done| {
            let bands = done.reading.bands?;
            Some((&done.step.id, done.reading.between.unwrap_or([bands; 2])))
        })
    }

    /// The ways that agree with what is sure, the journal's own first, then the likeliest.
    #[must_use]
    pub fn recounts(&self, sure: &Sure) -> Vec<Recount> {
        let open: Vec<RestackDone> = self
            .restacks_done()
            .into_iter()
            .filter(|one| !sure.restacks.contains(&one.step))
            .collect();
        let fewer = |one: &RestackDone| {
            let least = one.pieces.saturating_sub(LOST).max(2);
            let step = one.step.clone();
            (least..one.pieces)
                .rev()
                .map(move |pieces| (step.clone(), pieces))
        };
        let mut ways: Vec<Vec<(StepId, u32)>> = vec![Vec::new()];
        ways.extend(open.iter().flat_map(fewer).map(|way| vec![way]));
        for (at, one) in open.iter().enumerate() {
            for other in open.iter().skip(at + 1) {
                let (a, b) = (fewer(one).next(), fewer(other).next());
                ways.extend(a.zip(b).map(|(a, b)| vec![a, b]));
            }
        }
        let counted = |rerun: &[Arc<Done>]| {
            let Some((step, [low, high])) = self.last_count().filter(|_| sure.count) else {
                return true;
            };
            let at = rerun.iter().find(|done| done.step.id == *step);
            #[expect(clippy::cast_precision_loss, reason = "compared to a few percent")]
            let near = |bands: u128| {
                let bands = bands as f64;
                bands >= low as f64 * (1.0 - NEAR) && bands <= high as f64 * (1.0 + NEAR)
            };
            at.is_none_or(|done| near(done.made.billet.bar.core.most_bands()))
        };
        let mut found: Vec<Recount> = ways
            .into_iter()
            .filter_map(|way| {
                let rerun = self.rerun(&way)?;
                let off = self.off(&rerun, &open);
                let own = way.is_empty();
                let agrees = !sure.sizes || off.is_none_or(|off| off.abs() < AGREES);
                (own || (agrees && counted(&rerun))).then(|| self.recount(way, &rerun, off))
            })
            .collect();
        let key = |one: &Recount| (!one.pieces.is_empty(), one.pieces.len());
        found.sort_by(|a, b| {
            let off = |one: &Recount| one.off.map_or(f64::MAX, f64::abs);
            (key(a).0.cmp(&key(b).0))
                .then(off(a).total_cmp(&off(b)))
                .then(key(a).cmp(&key(b)))
        });
        found.truncate(LISTED);
        found
    }

    /// Goes on from another way: the steps since are made again with what was read in them.
    pub(super) fn go_another_way(&mut self, pieces: &[(StepId, u32)]) {
        let Some(rerun) = self.rerun(pieces) else {
            return;
        };
        if let Some(last) = rerun.last() {
            let name = Arc::clone(&self.billet.name);
            self.billet = last.made.billet.clone();
            self.billet.take_up(&name);
        }
        self.done = rerun;
    }

    fn recount(
        &self,
        pieces: Vec<(StepId, u32)>,
        rerun: &[Arc<Done>],
        off: Option<f64>,
    ) -> Recount {
        let now = rerun
            .last()
            .map_or_else(|| self.billet.clone(), |done| done.made.billet.clone());
        let now = now.in_hand(&self.billet.name).into_owned();
        let part = |(step, pieces): &(StepId, u32)| {
            let all = self.restacks_done();
            let had = all.iter().find(|one| one.step == *step);
            format!(
                "{} of {} pieces at {step}",
                pieces,
                had.map_or(0, |one| one.pieces)
            )
        };
        let words = if pieces.is_empty() {
            "as the journal has it".to_owned()
        } else {
            pieces.iter().map(part).collect::<Vec<_>>().join(", ")
        };
        Recount {
            bands: now.bands(),
            nominal: now.nominal,
            pieces,
            off,
            words,
        }
    }

    /// The metal before a step that is done.
    fn before(&self, at: usize) -> Billet {
        match at.checked_sub(1).and_then(|at| self.done.get(at)) {
            Some(done) => done.made.billet.clone(),
            None => self.plan.first_billet(),
        }
    }

    /// All steps done, with other pieces in some restacks; none where that cannot be.
    fn rerun(&self, pieces: &[(StepId, u32)]) -> Option<Vec<Arc<Done>>> {
        let changed = |done: &Arc<Done>| pieces.iter().find(|(step, _)| *step == done.step.id);
        let Some(first) = self.done.iter().position(|done| changed(done).is_some()) else {
            return pieces.is_empty().then(|| self.done.clone());
        };
        let mut metal = self.before(first);
        let mut all: Vec<Arc<Done>> = self.done.iter().take(first).cloned().collect();
        for done in self.done.iter().skip(first) {
            let mut own = metal.in_hand(&done.step.bar).into_owned();
            if let Some((_, now)) = changed(done) {
                let lost = own.pieces.checked_sub(*now).filter(|lost| *lost > 0)?;
                own.stock.push(Offcut {
                    bar: own.bar.clone(),
                    pieces: lost,
                });
                own.pieces = *now;
            }
            let expected = make(&self.plan, &done.step, &own, &Reading::default()).billet;
            let made = make(&self.plan, &done.step, &own, &done.reading);
            metal = made.billet.clone();
            all.push(Arc::new(Done {
                expected,
                made,
                ..(**done).clone()
            }));
        }
        Some(all)
    }

    /// The metal read over the metal expected, at the first reading since the first restack in doubt that tells
    /// how much there is.
    fn off(&self, rerun: &[Arc<Done>], open: &[RestackDone]) -> Option<f64> {
        let from = rerun
            .iter()
            .position(|done| open.iter().any(|one| one.step == done.step.id))?;
        let read = rerun.iter().skip(from).find(|done| {
            let read = &done.reading;
            let sizes = read.thickness.is_some() && read.width.is_some() && read.length.is_some();
            read.mass.is_some() || sizes
        })?;
        let [has, had] = [&read.made.billet, &read.expected].map(|metal| metal.volume().0);
        (has > 0.0 && had > 0.0).then(|| (has / had).ln())
    }
}
