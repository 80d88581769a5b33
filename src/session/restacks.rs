//! How many more restacks reach the bands wanted, from this very point of the job.
//!
//! The metal is taken on as the plan has it up to the next cut whose pieces are piled: what is done
//! already is not charged again, and a step that was read as planned changes nothing.

use super::Session;
use super::make::make;
use crate::billet::advice::{Advice, Ends, Outset, Round, orders, restacks};
use crate::billet::{Allowances, Billet, Kind, Move, Reading, Sizes, Stage};
use crate::plan::Step;
use crate::units::Mm;

/// Most restacks that are gone through in every order: five choices each time.
const MOST_ORDER: usize = 4;
/// Pieces that a restack may have.
const CHOICES: [u32; 5] = [2, 3, 4, 5, 7];

/// The bar before the next pieces that may be chosen.
struct NextPile {
    now: Billet,
    /// Restacks in hand, which cannot be chosen any more.
    pending: Vec<Round>,
    /// The ends are trimmed, and the faces ground.
    clean: (bool, bool),
    /// The place of the cut; none where the plan has no more.
    free: Option<usize>,
    /// Cuts to come whose pieces are piled.
    cuts: usize,
    allow: Allowances,
    section: (Mm, Mm),
    bands: (u64, u64),
}

impl NextPile {
    fn outset(&self) -> Outset<'_> {
        Outset {
            billet: &self.now,
            pending: &self.pending,
            trimmed: self.clean.0,
            ground: self.clean.1,
        }
    }
}

impl Session {
    /// What restacks of each piece count come to; none once the bar is blanks or a blade, of plain steel, of a
    /// bar that goes into another (the bands wanted are those of the whole), and where bars are laid on it.
    /// The plan's own order stands first where it is none of them: pieces that differ from cut to cut.
    #[must_use]
    pub fn restacks(&self) -> Option<Vec<Advice>> {
        let from = self.next_pile()?;
        let all = restacks(
            &from.outset(),
            &from.allow,
            from.section,
            from.bands,
            &CHOICES,
        );
        let own = self.planned_order(&from).into_iter();
        Some(own.chain(all).collect())
    }

    /// Every order of the same counts that can be made from here, in as many restacks as the plan has left, one
    /// more, and four at most; with the plan's own order first where its pieces differ.
    #[must_use]
    pub fn restack_orders(&self) -> Option<Vec<Advice>> {
        let from = self.next_pile()?;
        let most = (from.cuts + 1).min(MOST_ORDER);
        let choices = (CHOICES.as_slice(), most);
        let all = orders(
            &from.outset(),
            &from.allow,
            from.section,
            from.bands,
            choices,
        );
        let own = self.planned_order(&from);
        let others = all.into_iter().filter(|one| {
            let same = own.as_ref().map(|own| &own.order);
            same != Some(&one.order)
        });
        Some(own.clone().into_iter().chain(others).collect())
    }

    /// The restacks to come as the plan has them, step by step on the metal; none where none is to come, or
    /// all have like pieces that are among the choices.
    fn planned_order(&self, from: &NextPile) -> Option<Advice> {
        let free = from.free?;
        let steps = &self.plan.steps;
        let mut now = from.now.clone();
        let mut rounds = from.pending.clone();
        let behind = steps.iter().rposition(|step| step.kind().piles())?;
        let shapes = |step: &Step| matches!(step.kind(), Kind::Draw | Kind::Square);
        let draw = steps.iter().skip(behind).position(shapes)?;
        for step in steps.get(free..=behind + draw)? {
            let after = make(&self.plan, step, &now, &Reading::default()).billet;
            let own = now.in_hand(&step.bar);
            rounds.extend(joined(step, &own, &after, &from.allow));
            now = after;
        }
        let to_come = rounds.get(from.pending.len()..)?;
        let first = to_come.first()?.pieces;
        let even = to_come.iter().all(|round| round.pieces == first);
        if even && CHOICES.contains(&first) {
            return None;
        }
        let (least, most) = (u128::from(from.bands.0), u128::from(from.bands.1));
        let ends = match to_come.iter().all(|round| round.long_enough) {
            true => Ends::at(now.bands(), (least, most)),
            false => Ends::TooShort,
        };
        Some(Advice {
            pieces: first,
            order: rounds.iter().map(|round| round.pieces).collect(),
            ends,
            bands: now.bands(),
            nominal: now.nominal,
            length: now.bar.length,
            left: now.volume(),
            rounds,
        })
    }

    /// The bar before the next pieces that may still be chosen, and what has to be known to choose.
    fn next_pile(&self) -> Option<NextPile> {
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
        let cuts = self.plan.piled_cuts(from).len();
        Some(NextPile {
            cuts,
            now,
            pending,
            clean: (trimmed, ground),
            free,
            allow,
            section,
            bands,
        })
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

#[cfg(test)]
mod tests {
    use crate::journal::{Entry, Event};
    use crate::plan::{dry_run, read};
    use crate::session::Session;
    use crate::units::Stamp;

    /// The pair with its second pile three high, and bands wanted for it.
    const PAIR: &str = include_str!("../../plans/kitchen-pair.toml");

    fn job() -> Session {
        let text = PAIR.replacen("pieces = 4", "pieces = 5", 1);
        let text = text.replacen("pieces = 4", "pieces = 3", 1);
        let event = Event::Plan {
            hash: crc32fast::hash(text.as_bytes()),
            text,
        };
        let (seq, at) = (1, Stamp(1_795_598_000_000));
        Session::fold(vec![Entry { seq, at, event }]).unwrap()
    }

    #[test]
    fn the_plans_own_uneven_order_stands_first_with_the_bands_that_it_comes_to() {
        let job = job();
        let plan = &job.plan;
        let end = dry_run(plan, 0, &plan.first_billet());
        let bands = end.rows.last().unwrap().billet.bands();
        let all = job.restacks().unwrap();
        let own = all.first().unwrap();
        assert_eq!((own.named().as_str(), own.bands), ("5x3", bands));
        assert!(own.works(), "{own:?}");
        assert!(all.iter().skip(1).all(|one| one.order.is_empty()));
        // An even plan has no row beside those of its count.
        let (even, _) = read(PAIR).unwrap();
        assert_eq!(even.piled_cuts(0).len(), 2);
    }

    #[test]
    fn every_order_is_tried_and_the_plans_own_is_listed_once() {
        let job = job();
        let all = job.restack_orders().unwrap();
        let count = |order: [u32; 2]| all.iter().filter(|one| one.order == order).count();
        assert_eq!((count([5, 3]), count([3, 5])), (1, 1));
        assert!(all.iter().filter(|one| one.works()).count() >= 2);
    }
}
