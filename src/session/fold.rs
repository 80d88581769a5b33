//! One match over entries; total and deterministic.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::make::{Made, make};
use super::undo::live;
use super::{Done, Note, Session, StepState};
use crate::billet::{Kind, Reading};
use crate::journal::{Entry, Event, Fire, Resolution};
use crate::plan::{Plan, Row, Walk, dry_run, read};
use crate::units::Stamp;

/// Why a journal does not fold.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum FoldError {
    /// There is no plan in it.
    #[error("the journal does not begin with a plan; move it aside and start the job anew")]
    NoPlan,
    /// The plan in it can no longer be read.
    #[error("the plan kept in the journal (entry {seq}) cannot be read by this version: {why}")]
    Plan {
        /// Record number.
        seq: u64,
        /// First finding.
        why: String,
    },
}

impl Session {
    /// Folds a whole journal.
    ///
    /// # Errors
    /// [`FoldError`] when it holds no readable plan.
    pub fn fold(entries: Vec<Entry>) -> Result<Self, FoldError> {
        let mut plans = Vec::new();
        // one that was taken back need not be readable any more
        for entry in live(&entries)
            .counted
            .iter()
            .filter_map(|at| entries.get(*at))
        {
            if let Event::Plan { hash, text } = &entry.event {
                plans.push(known(*hash, text, entry.seq)?);
            }
        }
        Self::refold(entries, plans)
    }

    /// Takes one more entry.
    ///
    /// # Errors
    /// [`FoldError`] when the entry carries a plan that cannot be read; the session is as before.
    pub fn take(&mut self, entry: Entry) -> Result<(), FoldError> {
        match &entry.event {
            Event::Undone { .. } | Event::Redone { .. } => {
                let mut log = std::mem::take(&mut self.log);
                log.push(entry);
                *self = Self::refold(log, std::mem::take(&mut self.plans))?;
                return Ok(());
            }
            Event::Plan { hash, text } if !self.plans.iter().any(|(held, _, _)| held == hash) => {
                self.plans.push(known(*hash, text, entry.seq)?);
            }
            _ => {}
        }
        self.count(&entry);
        if moves_metal(&entry.event) {
            self.look_ahead();
        }
        self.log.push(entry);
        Ok(())
    }

    fn refold(log: Vec<Entry>, plans: Vec<(u32, Arc<Plan>, Arc<Walk>)>) -> Result<Self, FoldError> {
        let counted = live(&log).counted;
        let first = counted
            .first()
            .and_then(|at| log.get(*at))
            .ok_or(FoldError::NoPlan)?;
        let Event::Plan { hash, .. } = &first.event else {
            return Err(FoldError::NoPlan);
        };
        let (_, plan, planned) = plans
            .iter()
            .find(|(held, _, _)| held == hash)
            .cloned()
            .ok_or(FoldError::NoPlan)?;
        let mut session = Self::begin(plan, planned, *hash);
        session.plans = plans;
        for at in counted {
            if let Some(entry) = log.get(at) {
                session.count(entry);
            }
        }
        session.seq = log.last().map_or(0, |entry| entry.seq);
        session.log = log;
        session.look_ahead();
        Ok(session)
    }

    fn begin(plan: Arc<Plan>, planned: Arc<Walk>, plan_hash: u32) -> Self {
        let billet = plan.first_billet();
        let mut session = Self {
            meant: Made::nothing(&billet),
            live: Made::nothing(&billet),
            ahead: Walk {
                rows: Vec::new(),
                found: Vec::new(),
            },
            plan,
            plan_hash,
            planned,
            at: 0,
            billet,
            step: StepState::default(),
            done: Vec::new(),
            owed: Vec::new(),
            fire: (Fire::Cold, Stamp(0)),
            heats: Vec::new(),
            notes: Vec::new(),
            decisions: Vec::new(),
            watch: None,
            habits: BTreeMap::new(),
            drank: None,
            legal_read: false,
            day_due: true,
            day_on: None,
            fire_due: true,
            fire_on: None,
            today: BTreeMap::new(),
            held: BTreeMap::new(),
            passed: BTreeSet::new(),
            lit: false,
            watched: None,
            watch_missed: false,
            started: None,
            last: None,
            opened: None,
            left_as: Fire::Cold,
            offset: 0,
            jumps: Vec::new(),
            seq: 0,
            log: Vec::new(),
            plans: Vec::new(),
        };
        session.place_daily();
        session
    }

    /// Runs the steps to come on the metal as it is, and makes the one in hand without and with its readings.
    fn look_ahead(&mut self) {
        let step = self.plan.steps.get(self.at);
        let made = |reading: &Reading| {
            step.map_or_else(
                || Made::nothing(&self.billet),
                |step| make(&self.plan, step, &self.billet, reading),
            )
        };
        self.meant = made(&Reading::default());
        self.live = if self.step.reading.is_empty() {
            Made::nothing(&self.billet)
        } else {
            made(&self.step.reading)
        };
        self.ahead = self.steps_to_come();
    }

    /// The steps to come as the plan has them; the one in hand with what was read in it.
    fn steps_to_come(&self) -> Walk {
        let Some(step) = self.current().filter(|_| !self.step.reading.is_empty()) else {
            return dry_run(&self.plan, self.at, &self.billet);
        };
        let mut walk = dry_run(&self.plan, self.at + 1, &self.live.billet);
        let in_hand = Row {
            step: step.id.clone(),
            billet: self.live.billet.clone(),
            losses: self.live.losses.clone(),
        };
        walk.rows.insert(0, in_hand);
        walk
    }

    /// What is due at the start of a day goes on the step in hand, what is due before the first
    /// fire on the first hot step.
    pub(super) fn place_daily(&mut self) {
        let Some(step) = self.plan.steps.get(self.at) else {
            return;
        };
        if self.day_due && step.kind() != Kind::EndDay {
            self.day_on = Some(step.id.clone());
        }
        if self.fire_due && step.kind().is_hot() {
            self.fire_on = Some(step.id.clone());
        }
    }

    pub(super) fn new_day(&mut self) {
        self.day_due = true;
        self.fire_due = true;
        self.today.clear();
        self.passed.clear();
    }

    fn count(&mut self, entry: &Entry) {
        self.seq = self.seq.max(entry.seq);
        self.started = self.started.or(Some(entry.at));
        let before = self.last;
        if let Some(last) = before
            && entry.at < last
        {
            self.jumps.push((entry.seq, last.since(entry.at)));
        }
        let names = named_step(&entry.event)
            .is_some_and(|id| self.current().is_some_and(|step| step.id.0 == id));
        if names && self.step.began.is_none() {
            self.step.began = Some(entry.at);
        }
        self.happen(entry, before, names);
        if !matches!(entry.event, Event::Opened { .. }) {
            self.last = Some(entry.at);
        }
    }

    fn happen(&mut self, entry: &Entry, before: Option<Stamp>, names: bool) {
        match &entry.event {
            Event::Plan { hash, .. } => self.take_plan(*hash),
            Event::Opened { offset, .. } => self.open(entry.at, before, *offset),
            Event::LegalRead => self.legal_read = true,
            Event::Drank => self.drank = Some(entry.at),
            Event::WatchBegan { span } => {
                self.watch = Some((entry.at, *span));
                self.watched = None;
                self.drank = None;
            }
            Event::Note { step, text } => {
                self.notes.push(Note {
                    at: entry.at,
                    step: step.clone(),
                    text: text.clone(),
                });
            }
            Event::Decided { step, what } => {
                self.decisions.push(Note {
                    at: entry.at,
                    step: step.clone(),
                    text: what.clone(),
                });
            }
            Event::Fire { now, .. } if names => self.move_piece(*now, entry.at),
            Event::Caution { item, how, .. } if names => {
                self.settle(item, how);
            }
            Event::Cautions { items, .. } if names => {
                for (item, how) in items {
                    self.settle(item, how);
                }
            }
            Event::Timer { name, span, .. } if names => {
                self.step
                    .timers
                    .push((name.clone(), entry.at, *span, false));
            }
            Event::TimerDone { name, .. } => self.end_timer(name, entry.at),
            Event::Measured {
                what,
                cold,
                typed,
                hot,
                ..
            } if names => {
                let cold = Some(*cold).filter(|value| value.is_finite());
                self.keep_habit(*what, hot.is_some(), entry.at);
                self.step.reading.set(*what, cold);
                self.step.typed.insert(*what, typed.clone());
                match hot {
                    Some(at) => self.step.hot.insert(*what, *at),
                    None => self.step.hot.remove(what),
                };
            }
            Event::Unmeasured { what, .. } if names => {
                self.step.reading.set(*what, None);
                self.step.typed.remove(what);
                self.step.hot.remove(what);
            }
            Event::Done { .. } if names => self.finish(entry.at),
            // Entries of a step that is not the current one (a hand-edited journal) change nothing.
            Event::Fire { .. }
            | Event::Caution { .. }
            | Event::Cautions { .. }
            | Event::Timer { .. }
            | Event::Measured { .. }
            | Event::Unmeasured { .. }
            | Event::Done { .. } => {}
            Event::Closed => self.left_as = self.fire.0,
            Event::Undone { .. } | Event::Redone { .. } => {}
        }
    }

    fn finish(&mut self, at: Stamp) {
        let Some(step) = self.plan.steps.get(self.at).cloned() else {
            return;
        };
        let made = make(&self.plan, &step, &self.billet, &self.step.reading);
        let expected = make(&self.plan, &step, &self.billet, &Reading::default()).billet;
        if let Some(heat) = self.heats.last_mut()
            && heat.step == step.id
        {
            match self.fire.0 {
                Fire::In => heat.out = heat.out.or(Some(at)),
                Fire::Out => heat.ended = heat.ended.or(Some(at)),
                Fire::Cold => {}
            }
        }
        let next_hot = self
            .plan
            .steps
            .get(self.at + 1)
            .is_some_and(|next| next.kind().is_hot());
        if !next_hot || self.fire.0 == Fire::In {
            self.fire = (Fire::Cold, at);
        }
        self.billet = made.billet.clone();
        let state = std::mem::take(&mut self.step);
        if self.day_on.as_ref() == Some(&step.id) {
            self.day_due = false;
            self.day_on = None;
        }
        if self.fire_on.as_ref() == Some(&step.id) {
            self.fire_due = false;
            self.fire_on = None;
        }
        if step.kind() == Kind::EndDay {
            self.new_day();
            self.lit = false;
            self.watch = None;
            self.watched = None;
            self.drank = None;
        }
        self.done.push(Done {
            step,
            began: state.began,
            ended: at,
            reading: state.reading,
            hot: state.hot,
            heats: state.heats,
            expected,
            made,
            answers: state.answers,
        });
        self.at += 1;
        self.place_daily();
    }

    /// A new plan text: steps done stay as they were worked, steps to come are the new ones.
    fn take_plan(&mut self, hash: u32) {
        let Some((_, plan, planned)) = self
            .plans
            .iter()
            .find(|(held, _, _)| *held == hash)
            .cloned()
        else {
            return;
        };
        self.plan_hash = hash;
        if self.done.is_empty() {
            if self.plan != plan {
                self.billet = plan.first_billet();
            }
            self.plan = plan;
            self.planned = planned;
            self.place_daily();
            return;
        }
        let merged = super::merge::merge(&self.done, &plan);
        self.planned = Arc::new(dry_run(&merged, 0, &merged.first_billet()));
        self.plan = Arc::new(merged);
        self.place_daily();
    }
}

fn known(hash: u32, text: &str, seq: u64) -> Result<(u32, Arc<Plan>, Arc<Walk>), FoldError> {
    let (plan, _) = read(text).map_err(|found| FoldError::Plan {
        seq,
        why: found.first().map(ToString::to_string).unwrap_or_default(),
    })?;
    let walk = dry_run(&plan, 0, &plan.first_billet());
    Ok((hash, Arc::new(plan), Arc::new(walk)))
}

/// True for entries after which the metal or the steps to come may be others.
fn moves_metal(event: &Event) -> bool {
    matches!(
        event,
        Event::Plan { .. } | Event::Measured { .. } | Event::Unmeasured { .. } | Event::Done { .. }
    )
}

fn named_step(event: &Event) -> Option<&str> {
    match event {
        Event::Caution { step, .. }
        | Event::Cautions { step, .. }
        | Event::Fire { step, .. }
        | Event::Timer { step, .. }
        | Event::TimerDone { step, .. }
        | Event::Measured { step, .. }
        | Event::Unmeasured { step, .. }
        | Event::Done { step }
        | Event::Note { step, .. }
        | Event::Decided { step, .. } => Some(&step.0),
        _ => None,
    }
}

/// Answers that settle a caution without a value.
impl Resolution {
    /// The words that go with it.
    #[must_use]
    pub fn words(&self) -> &str {
        match self {
            Self::Answered(text) | Self::Deferred(text) | Self::Overridden(text) => text,
        }
    }
}
