//! The caution card of the current step, with what has been answered.

use super::{CardView, Done, ItemState, ItemView, Owed, Session};
use crate::billet::{Billet, Kind};
use crate::journal::Resolution;
use crate::plan::{
    Answer, Card, Caution, CautionId, HeatWindow, Hold, Quantity, Step, all_cautions, card, shown,
};
use crate::units::NumberError;
use crate::units::{Seconds, show};

/// What the record says of a fire watch that ran to its end.
fn kept(span: Seconds) -> String {
    format!("kept {} by the clock", show::span(span))
}

/// Something worn, and whether the card of the day says so.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Worn {
    /// What protects: `eyes`, `ears`.
    pub what: String,
    /// True when it was answered today, false when it was passed over, none when neither.
    pub on: Option<bool>,
}

/// Why a typed answer is not taken.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Refused {
    /// It is no such number.
    #[error(transparent)]
    Unread(#[from] NumberError),
    /// It stops the work: the answer, and what to do instead.
    #[error("{0}: {1}")]
    Stop(String, String),
    /// Pieces counted, and expected.
    #[error("{0} counted, {1} expected: count again, or pass over the item with a reason")]
    Count(String, u32),
    /// Two answers that lie too near to each other, and what to do.
    #[error("{0} against {1}: {2}")]
    Near(String, String, String),
}

impl Session {
    /// The card of the current step.
    #[must_use]
    pub fn card(&self) -> CardView {
        let Some(step) = self.current() else {
            return CardView::default();
        };
        let Card { items } = self.items(step);
        let items = items
            .into_iter()
            .map(|caution| {
                let state = self.state_of(&caution);
                let before = self.answered_before(&caution);
                ItemView {
                    caution,
                    state,
                    before,
                }
            })
            .collect();
        CardView { items }
    }

    fn state_of(&self, caution: &Caution) -> ItemState {
        let id = &caution.id;
        let answered = self.step.answers.get(id);
        if caution.answer == Answer::Watch {
            return match (self.watched, answered) {
                (Some(span), _) => ItemState::Answered(kept(span)),
                (None, Some(Resolution::Overridden(why))) => ItemState::Overridden(why.clone()),
                _ => ItemState::Open,
            };
        }
        if self.step.recheck.contains(id) {
            return ItemState::Again;
        }
        match answered {
            Some(Resolution::Answered(value)) => ItemState::Answered(value.clone()),
            Some(Resolution::Deferred(why)) => ItemState::Deferred(why.clone()),
            Some(Resolution::Overridden(why)) => ItemState::Overridden(why.clone()),
            None => match (self.today.get(id), self.held.get(id)) {
                (Some(value), _) => ItemState::Answered(format!("{value} (earlier today)")),
                (None, Some(value)) if caution.killer => ItemState::Standing(value.clone()),
                (None, Some(_)) => ItemState::Answered("read before".to_owned()),
                (None, None) => ItemState::Open,
            },
        }
    }

    fn answered_before(&self, caution: &Caution) -> Option<String> {
        let mut done = self.done.iter().rev();
        done.find_map(|done| match done.answers.get(&caution.id) {
            Some(Resolution::Answered(value)) => Some(value.clone()),
            _ => None,
        })
        .filter(|_| caution.answer != Answer::Done)
    }

    /// The card's lines for a step: what is due at the start of a day and of its fire, the fire
    /// watch, and what the answers given so far open.
    pub(super) fn items(&self, step: &Step) -> Card {
        let mut topics: Vec<String> = Vec::new();
        let mut due = |is: bool, topic: &str| {
            if is {
                topics.push(topic.to_owned());
            }
        };
        due(self.day_on.as_ref() == Some(&step.id), "day");
        due(self.fire_on.as_ref() == Some(&step.id), "fire");
        let ends = step.kind() == Kind::EndDay && self.lit;
        due(ends, "out");
        due(ends || self.watch_missed, "watch");
        let named = !step.bar.is_empty() && step.kind() != Kind::EndDay;
        due(named && self.step.other_bar, "bar");
        let first = |done: &Done| done.step.bar == step.bar && done.step.kind() == Kind::Weld;
        let unmarked = step.kind() == Kind::Weld && !self.done.iter().any(|done| first(done));
        due(named && unmarked, "mark");
        loop {
            let words: Vec<&str> = topics.iter().map(String::as_str).collect();
            let rows = shown(&self.plan.shop, step, &words);
            let opened = rows.flat_map(|caution| {
                let given = self.given(&caution.id);
                given.map_or_else(Vec::new, |answer| caution.opens(answer).collect())
            });
            let new: Vec<String> = opened
                .filter(|topic| !words.contains(topic))
                .map(str::to_owned)
                .collect();
            if new.is_empty() {
                return card(&self.plan.shop, step, &words);
            }
            topics.extend(new);
        }
    }

    /// The answer that an item has, in this step, today, or for the job.
    fn given(&self, id: &CautionId) -> Option<&str> {
        match self.step.answers.get(id) {
            Some(Resolution::Answered(value)) => Some(value),
            Some(_) => None,
            None => {
                let kept = self.today.get(id).or(self.held.get(id));
                kept.map(String::as_str)
            }
        }
    }

    /// A typed answer in the plan's units, as it is journalled.
    ///
    /// # Errors
    /// [`Refused`] when it is no number, beyond the item's limits, too near another answer, or a
    /// count that is not the pile's.
    pub fn read_answer(&self, caution: &Caution, typed: &str) -> Result<String, Refused> {
        let Answer::Number { of, .. } = caution.answer else {
            return Ok(show::plain(typed, 60));
        };
        let units = self.plan.units;
        let value = of.read(typed, units)?;
        let shown = of.written(typed, units);
        if let Some(stop) = caution.stops(value) {
            return Err(Refused::Stop(shown, stop.to_string()));
        }
        if of == Quantity::Pieces {
            self.counted(value)?;
        }
        self.apart(caution, value)?;
        Ok(shown)
    }

    /// A count of pieces against the plan's pile, or the bar's.
    fn counted(&self, counted: f64) -> Result<(), Refused> {
        let first = self
            .current()
            .is_some_and(|step| step.kind() == Kind::Stack);
        let there = if first {
            u32::try_from(self.billet.first.len()).unwrap_or(u32::MAX)
        } else {
            self.billet.pieces
        };
        if (counted - f64::from(there)).abs() < 0.5 {
            return Ok(());
        }
        Err(Refused::Count(show::trimmed(counted, 3), there))
    }

    /// Two answers that must lie so far apart, whichever of them was given first.
    fn apart(&self, caution: &Caution, value: f64) -> Result<(), Refused> {
        let units = self.plan.units;
        let Some(step) = self.current() else {
            return Ok(());
        };
        for low in &self.items(step).items {
            let Some((high_id, by)) = &low.limits.under else {
                continue;
            };
            let number = |id: &CautionId| {
                let all = all_cautions().find(|one| one.id == *id)?;
                all.number(self.given(id)?, units)
            };
            let (lower, higher) = if low.id == caution.id {
                (Some(value), number(high_id))
            } else if *high_id == caution.id {
                (number(&low.id), Some(value))
            } else {
                continue;
            };
            let (Some(lower), Some(higher)) = (lower, higher) else {
                continue;
            };
            if lower > higher - by + 1e-9 {
                let of = |value| match caution.answer {
                    Answer::Number { of, .. } => of.show(value, units),
                    _ => String::new(),
                };
                let stop = low.limits.stop.clone();
                return Err(Refused::Near(of(lower), of(higher), stop));
            }
        }
        Ok(())
    }

    /// What protects the smith, by the card of the day: nothing is called worn that was not answered.
    #[must_use]
    pub fn worn(&self) -> Vec<Worn> {
        all_cautions()
            .filter_map(|caution| {
                let what = caution.wear.clone()?;
                let on = match self.passed.contains(&caution.id) {
                    true => Some(false),
                    false => self.today.get(&caution.id).map(|_| true),
                };
                Some(Worn { what, on })
            })
            .collect()
    }

    /// The step of the same kind that was done before on this day.
    #[must_use]
    pub fn repeats(&self) -> Option<&Done> {
        let kind = self.current()?.kind();
        let today = self.done.iter().rev();
        let mut today = today.take_while(|done| done.step.kind() != Kind::EndDay);
        today
            .find(|done| done.step.kind() == kind)
            .map(AsRef::as_ref)
    }

    /// What this step has otherwise than the one of its kind before it on this day.
    #[must_use]
    pub fn changed(&self) -> Option<String> {
        let before = self.repeats()?;
        let at = self
            .done
            .iter()
            .position(|done| std::ptr::eq(done.as_ref(), before))?;
        let first = self.plan.first_billet();
        let billet = match at.checked_sub(1) {
            Some(at) => self.done.get(at).map_or(&first, |done| &done.made.billet),
            None => &first,
        };
        let billet = &*billet.in_hand(&before.step.bar);
        let units = self.plan.units;
        let size = |billet: &Billet| format!("{} x {}", billet.pieces, billet.outside(units));
        let (now, then) = (size(&self.billet), size(billet));
        let step = self.current()?;
        let mut out = Vec::new();
        if now != then {
            out.push(format!("{now}, was {then}"));
        }
        if let (Some(now), Some(then)) = (step.window, before.step.window)
            && now != then
        {
            let say = |window: HeatWindow| {
                let (low, high) = (window.low, window.high);
                format!("{} to {}", units.temperature(low), units.temperature(high))
            };
            out.push(format!("{}, was {}", say(now), say(then)));
        }
        if step.soak != before.step.soak {
            let say = |soak: Option<Seconds>| soak.map_or("none".to_owned(), show::span);
            out.push(format!(
                "soak {}, was {}",
                say(step.soak),
                say(before.step.soak)
            ));
        }
        let what = if out.is_empty() {
            "nothing".to_owned()
        } else {
            out.join("; ")
        };
        Some(format!("changed since {}: {what}", before.step.name()))
    }

    /// Takes how an item was settled.
    pub(super) fn settle(&mut self, item: &CautionId, how: &Resolution) {
        self.step.recheck.retain(|held| held != item);
        self.keep_owed(item, how);
        self.keep_answer(item, how);
        self.step.answers.insert(item.clone(), how.clone());
    }

    /// An answer that holds for the day or the job is not asked again before its time.
    fn keep_answer(&mut self, item: &CautionId, how: &Resolution) {
        let ends = self.current().map(Step::kind) == Some(Kind::EndDay);
        let Some(caution) = all_cautions().find(|caution| caution.id == *item) else {
            return;
        };
        if caution.answer == Answer::Watch && self.watch_missed {
            self.watch_missed = false;
            self.lit = ends;
        }
        let Resolution::Answered(value) = how else {
            self.today.remove(item);
            self.held.remove(item);
            if matches!(how, Resolution::Overridden(_)) {
                self.passed.insert(item.clone());
            }
            return;
        };
        self.passed.remove(item);
        self.lit |= caution.opens(value).any(|topic| topic == "arc");
        match caution.holds(value) {
            Hold::Step => {}
            Hold::Day => {
                self.today.insert(item.clone(), value.clone());
            }
            Hold::Job => {
                self.today.insert(item.clone(), value.clone());
                self.held.insert(item.clone(), value.clone());
            }
        }
    }

    /// The fire watch ran to its end by the clock.
    pub(super) fn watch_is_kept(&mut self, span: Seconds) {
        self.watched = Some(span);
        self.watch_missed = false;
        let card = self.card();
        if let Some(item) = card.watch() {
            let how = Resolution::Answered(kept(span));
            self.step.answers.insert(item.caution.id.clone(), how);
        }
    }

    /// Notes a settled caution among those still owed, or strikes it off.
    fn keep_owed(&mut self, item: &CautionId, how: &Resolution) {
        let Some(step) = self.current().cloned() else {
            return;
        };
        let id = step.id.clone();
        self.owed
            .retain(|owed| !(owed.step == id && owed.item == *item));
        let (reason, overridden) = match how {
            Resolution::Answered(_) => return,
            Resolution::Deferred(why) => (why.clone(), false),
            Resolution::Overridden(why) => (why.clone(), true),
        };
        let text = self
            .items(&step)
            .items
            .into_iter()
            .find(|caution| caution.id == *item)
            .map_or_else(|| item.0.clone(), |caution| caution.text);
        self.owed.push(Owed {
            step: id,
            item: item.clone(),
            text,
            reason,
            overridden,
        });
    }
}
