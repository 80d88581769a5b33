//! The bars of a job of several: how each lies, what it waits for, and another one taken up meanwhile.

use std::sync::Arc;

use super::Session;
use super::state::{LaidBy, StepState};
use crate::billet::{Billet, FrameBar, Kind, Piece, Stage};
use crate::journal::Fire;
use crate::plan::{CautionId, Plan, Step, StepId};
use crate::units::Stamp;

/// One bar of a job of several.
#[derive(Debug, Clone, PartialEq)]
pub struct BarLine {
    pub name: String,
    /// How it is marked.
    pub mark: String,
    /// True for the bar in hand.
    pub in_hand: bool,
    /// Pieces and size; where it went, once it is used up.
    pub size: String,
    /// The step that works on it next, or lays it into another.
    pub next: Option<String>,
}

impl BarLine {
    /// In one line.
    #[must_use]
    pub fn text(&self) -> String {
        let hand = if self.in_hand { ", in hand" } else { "" };
        let next = self.next.as_ref();
        let next = next.map_or_else(String::new, |step| format!("; next {step}"));
        format!(
            "bar {} ({}{hand}): {}{next}",
            self.name, self.mark, self.size
        )
    }
}

impl Session {
    /// Every bar, in the order of the plan; empty in a plan of one.
    #[must_use]
    pub fn bars(&self) -> Vec<BarLine> {
        let metal = self.metal();
        let named = self.plan.bars.iter().filter(|bar| !bar.name.is_empty());
        let found = named.filter_map(|bar| metal.bars().find(|other| *other.name == *bar.name));
        found
            .map(|bar| BarLine {
                name: bar.name.to_string(),
                mark: self.plan.mark_of(&bar.name),
                in_hand: bar.name == metal.name,
                size: self.lies(bar),
                next: self.next_of(bar),
            })
            .collect()
    }

    fn lies(&self, bar: &Billet) -> String {
        if let Some(within) = bar.within.as_ref().filter(|_| bar.pieces == 0) {
            return format!("in bar {within}");
        }
        let laid_by = self.laid_by.get(&*bar.name);
        let hot = match laid_by.map(|bar| bar.fire.0) {
            Some(Fire::In) => "in the fire, ",
            Some(Fire::Out) => "hot, ",
            _ => "",
        };
        let how = match bar.stage {
            Stage::Loose if !bar.is_one_piece() => "loose pieces, ",
            Stage::Pile => "not welded yet, ",
            _ => "",
        };
        format!(
            "{hot}{how}{} x {}",
            bar.pieces,
            bar.outside(self.plan.units)
        )
    }

    /// The steps that may be worked before the one in hand: of each other bar the next one, on this day, where
    /// neither waits for the other.
    pub fn may_turn_to(&self) -> impl Iterator<Item = &Step> {
        self.turns().filter_map(|at| self.plan.steps.get(at))
    }

    fn turns(&self) -> impl Iterator<Item = usize> {
        let steps = &self.plan.steps;
        let today = steps.iter().skip(self.at);
        let today = today.take_while(|step| step.kind() != Kind::EndDay).count();
        let may = |at: usize| {
            let step = steps.get(at)?;
            let between = steps.get(self.at..at)?;
            let free = |other: &Step| {
                other.bar != step.bar && !lays(step, &other.bar) && !lays(other, &step.bar)
            };
            between.iter().all(free).then_some(at)
        };
        (self.at + 1..self.at + today).filter_map(may)
    }

    /// The next step of another bar goes before the one in hand, which waits as it is.
    pub(super) fn turn_to(&mut self, id: &StepId, at: Stamp) {
        let is = |place: &usize| {
            self.plan
                .steps
                .get(*place)
                .is_some_and(|step| step.id == *id)
        };
        let place = self.turns().find(is);
        let (Some(place), Some(left)) = (place, self.current().map(|step| step.id.clone())) else {
            return;
        };
        let mut plan = Plan::clone(&self.plan);
        let step = plan.steps.remove(place);
        plan.steps.insert(self.at, step);
        self.plan = Arc::new(plan);
        self.planned = Arc::default();
        let state = std::mem::take(&mut self.step);
        let name = Arc::clone(&self.billet.name);
        self.change_bar(&name, Some((left, state)), at);
        self.place_daily();
    }

    /// Lays a bar by and takes up that of the step in hand, as it was left.
    pub(super) fn change_bar(&mut self, was: &str, left: Option<(StepId, StepState)>, at: Stamp) {
        let Some((id, bar)) = self
            .current()
            .map(|step| (step.id.clone(), step.bar.clone()))
        else {
            return;
        };
        if bar == was {
            return;
        }
        let before = LaidBy {
            fire: self.fire,
            hand: self.hand,
            aside: std::mem::take(&mut self.aside),
            left,
        };
        self.laid_by.insert(was.to_owned(), before);
        let again = self.laid_by.remove(&bar).unwrap_or_default();
        self.fire = if again.fire.0 == Fire::Cold {
            (Fire::Cold, at)
        } else {
            again.fire
        };
        self.hand = again.hand.max(1);
        self.aside = again.aside;
        if let Some((_, state)) = again.left.filter(|(left, _)| *left == id) {
            self.step = state;
        }
        self.step.other_bar = true;
        self.step
            .answers
            .remove(&CautionId("bars.which".to_owned()));
        self.billet.take_up(&bar);
    }

    /// The bars laid by are cold: the day is over, or the fire was left.
    pub(super) fn lay_by_cold(&mut self, at: Stamp) {
        for bar in self.laid_by.values_mut() {
            bar.fire = (Fire::Cold, at);
            for other in bar.aside.values_mut() {
                other.fire = (Fire::Cold, at);
            }
        }
    }

    /// The bar that a step to come lays the bar in hand into; none of the bar that becomes the blade.
    #[must_use]
    pub fn goes_into(&self) -> Option<&str> {
        let own = &*self.current()?.bar;
        let mut coming = self.plan.steps.iter().skip(self.at);
        let step = coming.find(|step| step.bar != own && lays(step, own))?;
        Some(&step.bar)
    }

    fn next_of(&self, bar: &Billet) -> Option<String> {
        let works = |step: &&Step| *step.bar == *bar.name || lays(step, &bar.name);
        let coming = self.plan.steps.iter().skip(self.at);
        let step = coming.filter(|_| bar.pieces > 0).find(works)?;
        Some(step.name().to_owned())
    }
}

/// True when a step lays pieces of a bar on another.
pub(super) fn lays(step: &Step, bar: &str) -> bool {
    let (laid, _) = step.made.laid();
    let of = |one: &FrameBar| matches!(&one.piece, Piece::Of { bar: name, .. } if name == bar);
    laid.iter().any(of)
}
