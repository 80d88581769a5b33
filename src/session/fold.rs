//! One match over entries; total and deterministic.
//!
//! Long because what each kind of entry changes is read in one place.

use std::sync::Arc;

use super::live::{Live, place_of};
use super::make::{Made, make};
use super::{Done, Note, Session};
use crate::billet::{Dimension, Kind, Reading};
use crate::journal::{Entry, Event, Fire};
use crate::plan::{Plan, Walk, WalkedStep, dry_run, read};
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

/// A gap between entries that is longer than this is no time at work, minutes.
const BREAK: f64 = 60.0;

impl Session {
    /// Folds a whole journal.
    ///
    /// # Errors
    /// [`FoldError`] when it holds no readable plan.
    pub fn fold(entries: Vec<Entry>) -> Result<Self, FoldError> {
        let counts = Live::of(&entries);
        let first = counts.counted.first().and_then(|at| entries.get(*at));
        let first = first.ok_or(FoldError::NoPlan)?;
        let Event::Plan { hash, text } = &first.event else {
            return Err(FoldError::NoPlan);
        };
        let plan = known(text, first.seq)?;
        let mut session = Self::begin(Arc::clone(&plan), *hash);
        session.known = Some((first.seq, plan));
        (session.log, session.counts) = (entries, counts);
        session.go_on(0)?;
        Ok(session)
    }

    /// Takes one more entry.
    ///
    /// # Errors
    /// [`FoldError`] when the entry carries a plan that cannot be read; the session is as before.
    pub fn take(&mut self, entry: Entry) -> Result<(), FoldError> {
        let plan = match &entry.event {
            Event::Plan { text, .. } => Some((entry.seq, text)),
            // one that was taken back need not be readable any more
            Event::Redone { seq } => place_of(&self.log, *seq)
                .and_then(|at| self.log.get(at))
                .and_then(|entry| match &entry.event {
                    Event::Plan { text, .. } => Some((entry.seq, text)),
                    _ => None,
                }),
            _ => None,
        };
        if let Some((seq, text)) = plan {
            self.known = Some((seq, known(text, seq)?));
        }
        let before = self.counts.counted.len();
        let changed = self.counts.take(&self.log, &entry);
        if matches!(entry.event, Event::Undone { .. } | Event::Redone { .. }) {
            self.seq = self.seq.max(entry.seq);
            self.log.push(entry);
            return changed.map_or(Ok(()), |same| self.go_back(same));
        }
        self.mark(before, true);
        self.count(&entry)?;
        if entry.event.moves_metal() {
            self.look_ahead();
        }
        self.log.push(entry);
        Ok(())
    }

    /// Back to where only the first entries that count had been taken, and on with those that count now.
    fn go_back(&mut self, same: usize) -> Result<(), FoldError> {
        let Some(mark) = self.marks.back_to(same) else {
            *self = Self::fold(std::mem::take(&mut self.log))?;
            return Ok(());
        };
        let (from, mut session) = (mark.at, *mark.state);
        session.log = std::mem::take(&mut self.log);
        session.counts = std::mem::take(&mut self.counts);
        session.marks = std::mem::take(&mut self.marks);
        session.known = self.known.take();
        *self = session;
        if mark.looked_ahead && from == self.counts.counted.len() {
            self.seq = self.log.last().map_or(0, |entry| entry.seq);
            return Ok(());
        }
        self.go_on(from)
    }

    /// Counts the entries of the log from that place on among those that count.
    fn go_on(&mut self, from: usize) -> Result<(), FoldError> {
        let log = std::mem::take(&mut self.log);
        let counts = std::mem::take(&mut self.counts);
        let all = counts.counted.len();
        let mut rest = counts.counted.iter().enumerate().skip(from);
        let result = rest.try_for_each(|(at, place)| {
            self.mark_on_the_way(at, all);
            log.get(*place).map_or(Ok(()), |entry| self.count(entry))
        });
        self.seq = log.last().map_or(0, |entry| entry.seq);
        (self.log, self.counts) = (log, counts);
        self.look_ahead();
        result
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
        self.meant = Arc::new(made(&Reading::default()));
        let reading = self.reading();
        self.live = Arc::new(if reading.is_empty() {
            Made::nothing(&self.billet)
        } else {
            made(&reading)
        });
        self.ahead = Arc::new(self.steps_to_come());
        if *self.planned == Walk::default() {
            self.planned = Arc::new(dry_run(&self.plan, 0, &self.plan.first_billet()));
        }
    }

    /// The steps to come as the plan has them; the one in hand with what was read in it.
    fn steps_to_come(&self) -> Walk {
        let Some(step) = self.current().filter(|_| !self.reading().is_empty()) else {
            return dry_run(&self.plan, self.at, &self.billet);
        };
        let mut walk = dry_run(&self.plan, self.at + 1, &self.live.billet);
        let in_hand = WalkedStep {
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

    fn count(&mut self, entry: &Entry) -> Result<(), FoldError> {
        if let Event::Plan { hash, text } = &entry.event {
            let plan = match &self.known {
                Some((seq, plan)) if *seq == entry.seq => Arc::clone(plan),
                _ => known(text, entry.seq)?,
            };
            self.take_plan(*hash, plan);
        }
        self.seq = self.seq.max(entry.seq);
        self.started = self.started.or(Some(entry.at));
        let before = self.last;
        if let Some(last) = before
            && entry.at < last
        {
            self.jumps.push((entry.seq, last.since(entry.at)));
        }
        let (event, at) = entry.happened();
        let late = entry.entered().is_some();
        if !matches!(entry.event, Event::Opened { .. }) {
            let gap = self.worked.until.map(|until| at.since(until).minutes());
            if let Some(gap) = gap.filter(|gap| (0.0..=BREAK).contains(gap)) {
                let hot = self.current().is_some_and(|step| step.kind().is_hot());
                self.worked.minutes += gap;
                self.worked.fire += if hot { gap } else { 0.0 };
            }
            self.worked.until = self
                .worked
                .until
                .filter(|until| late && *until > at)
                .or(Some(at));
        }
        let names = event
            .step()
            .is_some_and(|id| self.current().is_some_and(|step| step.id.0 == id));
        if names {
            let began = self.step.began.filter(|began| !late || *began <= at);
            self.step.began = Some(began.unwrap_or(at));
        }
        self.kept.extend(entry.kept());
        self.happen(event, at, before, names);
        if !matches!(entry.event, Event::Opened { .. }) {
            self.last = Some(entry.at);
        }
        Ok(())
    }

    fn happen(&mut self, event: &Event, at: Stamp, before: Option<Stamp>, names: bool) {
        match event {
            Event::Opened { offset, .. } => self.open(at, before, *offset),
            Event::LegalRead => self.legal_read = true,
            Event::Drank => self.drank = Some(at),
            Event::WatchBegan { span } => {
                self.watch = Some((at, *span));
                self.watched = None;
                self.drank = None;
            }
            Event::Note { step, text } => {
                self.notes.push(Note {
                    at,
                    step: step.clone(),
                    text: text.clone(),
                });
            }
            Event::Decided { step, what } => {
                self.decisions.push(Note {
                    at,
                    step: step.clone(),
                    text: what.clone(),
                });
            }
            Event::Fire { now, .. } if names => self.move_piece(*now, at),
            Event::Piece { piece, swapped, .. } if names => {
                self.take_up(*piece, *swapped, at);
            }
            Event::Caution { item, how, .. } if names => {
                self.settle(item, how);
            }
            Event::Cautions { items, .. } if names => {
                for (item, how) in items {
                    self.settle(item, how);
                }
            }
            Event::Timer { name, span, .. } if names => {
                self.step.timers.push((name.clone(), at, *span, false));
            }
            Event::TimerDone { name, .. } => self.end_timer(name, at),
            Event::Measured {
                what,
                cold,
                typed,
                hot,
                counted,
                step,
            } if names => {
                let cold = Some(*cold).filter(|value| value.is_finite());
                self.keep_habit(*what, hot.is_some(), at);
                self.step.reading.set(*what, cold);
                if *what == Dimension::Bands {
                    self.step.reading.between = counted.as_ref().map(|of| [of.low, of.high]);
                }
                if let Some(photo) = counted.as_ref().and_then(|of| of.photo.as_ref()) {
                    let counts = &mut self.step.photographs;
                    counts.insert(photo.file.clone(), typed.clone());
                    let text = format!("bands {typed} counted in {}", photo.words());
                    self.notes.push(Note {
                        at,
                        step: step.clone(),
                        text,
                    });
                }
                self.step.typed.insert(*what, typed.clone());
                match hot {
                    Some(at) => self.step.hot.insert(*what, *at),
                    None => self.step.hot.remove(what),
                };
            }
            Event::Unmeasured { what, .. } if names => {
                self.step.reading.set(*what, None);
                if *what == Dimension::Bands {
                    self.step.reading.between = None;
                    self.step.photographs.clear();
                }
                self.step.typed.remove(what);
                self.step.hot.remove(what);
            }
            Event::Done { .. } if names => self.finish(at),
            Event::TakenUp { step } => self.turn_to(step, at),
            Event::Recounted { step, pieces, what } => {
                self.go_another_way(pieces);
                self.decisions.push(Note {
                    at,
                    step: step.clone(),
                    text: what.clone(),
                });
            }
            // Entries of a step that is not the current one (a hand-edited journal) change nothing.
            Event::Fire { .. }
            | Event::Piece { .. }
            | Event::Caution { .. }
            | Event::Cautions { .. }
            | Event::Timer { .. }
            | Event::Measured { .. }
            | Event::Unmeasured { .. }
            | Event::Done { .. } => {}
            Event::Closed => self.left_as = self.fire.0,
            Event::Plan { .. }
            | Event::Undone { .. }
            | Event::Redone { .. }
            | Event::Kept { .. }
            | Event::Earlier { .. } => {}
        }
    }

    fn finish(&mut self, at: Stamp) {
        let Some(step) = self.plan.steps.get(self.at).cloned() else {
            return;
        };
        let reading = self.reading();
        let each = self.each();
        let made = make(&self.plan, &step, &self.billet, &reading);
        let expected = make(&self.plan, &step, &self.billet, &Reading::default()).billet;
        let piece = self.numbered();
        if self.fire.0 == Fire::In {
            // Taken out as the step is done: it is hot until it has lain for a while.
            self.fire = (Fire::Out, at);
            if let Some(heat) = self.last_heat(piece)
                && heat.step == step.id
            {
                heat.out = heat.out.or(Some(at));
            }
        }
        // Of its own bar: another one does not cool it.
        let mut coming = self.plan.steps.iter().skip(self.at + 1);
        let next_hot = coming
            .find(|next| next.bar == step.bar)
            .is_some_and(|next| next.kind().is_hot());
        let before = std::mem::replace(&mut self.billet, made.billet.clone());
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
            self.lay_down(at);
            self.lit = false;
            self.watch = None;
            self.watched = None;
            self.drank = None;
        }
        if step.kind() == Kind::Harden {
            // Quenched.
            self.lay_own(at);
        }
        self.done.push(Arc::new(Done {
            step,
            began: state.began,
            ended: at,
            reading,
            each,
            hot: state.hot,
            heats: state.heats,
            expected,
            made,
            answers: state.answers,
        }));
        self.at += 1;
        self.put_by(&before, next_hot, at);
        self.change_bar(&before.name, None, at);
        self.place_daily();
    }

    /// A new plan text: steps done stay as they were worked, steps to come are the new ones.
    fn take_plan(&mut self, hash: u32, plan: Arc<Plan>) {
        self.plan_hash = hash;
        let held = self.current().map(|step| step.id.clone());
        // run when it is next looked at, for the next edit may overtake this one
        self.planned = Arc::default();
        if self.done.is_empty() {
            if self.plan != plan {
                self.billet = plan.first_billet();
            }
            self.plan = plan;
        } else {
            self.plan = Arc::new(super::merge::merge(&self.done, &self.plan, &plan));
            super::merge::bars(&self.done, &self.plan, &mut self.billet);
            let other = self
                .current()
                .is_some_and(|now| now.bar != *self.billet.name);
            if let Some(id) = held.filter(|_| other) {
                let state = std::mem::take(&mut self.step);
                let name = Arc::clone(&self.billet.name);
                self.change_bar(&name, Some((id, state)), self.last.unwrap_or_default());
            }
        }
        self.place_daily();
    }
}

fn known(text: &str, seq: u64) -> Result<Arc<Plan>, FoldError> {
    let (plan, _) = read(text).map_err(|found| FoldError::Plan {
        seq,
        why: found.first().map(ToString::to_string).unwrap_or_default(),
    })?;
    Ok(Arc::new(plan))
}
