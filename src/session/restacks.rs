//! How many more restacks reach the bands wanted, from this very point of the job.
//!
//! The metal is taken on as the plan has it up to the next cut whose pieces are piled: what is done
//! already is not charged again, and a step that was read as planned changes nothing.

use super::Session;
use super::make::make;
use crate::billet::advice::{Advice, Outset, Round, restacks};
use crate::billet::{Allowances, Billet, Kind, Move, Reading, Sizes, Stage};
use crate::plan::Step;

/// Pieces that a restack may have.
const CHOICES: [u32; 5] = [2, 3, 4, 5, 7];

impl Session {
    /// What restacks of each piece count come to; none once the bar is blanks or a blade, of plain steel, of a
    /// bar that goes into another (the bands wanted are those of the whole), and where bars are laid on it.
    #[must_use]
    pub fn restacks(&self) -> Option<Vec<Advice>> {
        let lays = |step: &Step| !step.made.laid().0.is_empty() && step.kind() != Kind::Frame;
        let plain = self.metal().bar.plain().is_some();
        if plain || self.goes_into().is_some() || self.current().is_some_and(lays) {
            return None;
        }
        if self.is_past_restacking() {
            return None;
        }
        let step = self.current()?;
        let steps = &self.plan.steps;
        let read = !self.reading().is_empty();
        let from = self.at + usize::from(read);
        let allow = self.plan.allowances();
        let mut now = self.metal().clone();
        let mut pending = Vec::new();
        if read {
            pending.extend(joined(step, &self.billet, &now, &allow));
        }
        let free = self.plan.piled_cuts(from).first().copied();
        let until = free.unwrap_or_else(|| self.closed_behind());
        for step in steps.get(from..until).unwrap_or_default() {
            let after = make(&self.plan, step, &now, &Reading::default()).billet;
            let own = now.in_hand(&step.bar);
            pending.extend(joined(step, &own, &after, &allow));
            now = after;
        }
        // The section that bars are drawn to between restacks: that of the draw before the cut, of the one behind
        // it where the metal came as a bar.
        let cut = free.or_else(|| self.plan.piled_cuts(0).last().copied());
        let drawn = cut
            .and_then(|cut| steps.split_at_checked(cut))
            .and_then(|(before, behind)| {
                let back = before.iter().rev().find_map(drawn_to);
                back.or_else(|| behind.iter().find_map(drawn_to))
            })
            .unwrap_or_default();
        let section = (
            drawn.width.unwrap_or(now.bar.width),
            drawn.thickness.unwrap_or(now.bar.thickness),
        );
        let goal = &self.plan.goal;
        let bands = (goal.bands_least, goal.bands_most);
        let (trimmed, ground) = match free {
            // The plan's own trim and grind before this cut are done or were just charged.
            Some(_) => (true, true),
            None => cleaned(&now),
        };
        let outset = Outset {
            billet: &now,
            pending: &pending,
            trimmed,
            ground,
        };
        Some(restacks(&outset, &allow, section, bands, &CHOICES))
    }

    /// True when the bands that the metal in hand shows are in the range wanted.
    #[must_use]
    pub fn has_bands(&self) -> bool {
        let goal = &self.plan.goal;
        let range = u128::from(goal.bands_least)..=u128::from(goal.bands_most);
        range.contains(&self.metal().bands())
    }

    /// True once the bar is, or is being made, blanks or a blade.
    fn is_past_restacking(&self) -> bool {
        let Some(step) = self.current() else {
            return true;
        };
        let to_come = self.plan.steps.iter().skip(self.at);
        let joins = to_come.map(Step::kind).any(Kind::piles);
        let parted = self.billet.stage == Stage::Pieces
            || matches!(step.kind(), Kind::Cut | Kind::Forge | Kind::RoughGrind);
        self.metal().stage >= Stage::Forged || (parted && !joins)
    }

    /// The place behind which the bar is whole and drawn, where no cut to come is piled: the step in
    /// hand, or the draw that closes what was piled before it.
    fn closed_behind(&self) -> usize {
        if self.billet.stage == Stage::Bar {
            return self.at + 1;
        }
        let shapes = |step: &Step| matches!(step.kind(), Kind::Draw | Kind::Square);
        let parts = |step: &Step| matches!(step.kind(), Kind::Cut | Kind::Forge | Kind::RoughGrind);
        let mut to_come = self.plan.steps.iter().enumerate().skip(self.at);
        to_come
            .find(|(_, step)| shapes(step) || parts(step))
            .map_or(self.at + 1, |(at, step)| at + usize::from(shapes(step)))
    }
}

/// The section that a step draws the bar to.
fn drawn_to(step: &Step) -> Option<Sizes> {
    let shapes = matches!(step.kind(), Kind::Draw | Kind::Square);
    let to = step.made.target().filter(|_| shapes)?;
    to.thickness.is_some().then_some(to)
}

/// The restack that a step makes, from the metal before and after it.
fn joined(step: &Step, before: &Billet, after: &Billet, allow: &Allowances) -> Option<Round> {
    let (pieces, piece) = match step.made {
        Move::Restack { .. } => (before.pieces, before.bar.length),
        Move::Fold { plies, .. } => (plies, after.bar.length),
        _ => return None,
    };
    (after.nominal > before.nominal).then(|| Round::new(pieces, piece, after, after, allow))
}

/// Whether a bar was trimmed, and whether it was ground, since it was last worked hot or joined.
fn cleaned(bar: &Billet) -> (bool, bool) {
    let since = bar
        .history
        .iter()
        .rev()
        .map(|done| done.made.kind())
        .take_while(|kind| !kind.is_hot() && !kind.piles());
    let kinds: Vec<Kind> = since.collect();
    (kinds.contains(&Kind::Trim), kinds.contains(&Kind::Grind))
}
