//! The caution card of the current step, with what has been answered.

use super::{Owed, Session};
use crate::journal::Resolution;
use crate::plan::{Card, Caution, CautionId, Step, card};

/// How one line of the card stands.
#[derive(Debug, Clone, PartialEq)]
pub enum ItemState {
    /// Not settled yet.
    Open,
    /// Answered before a break; to be answered again.
    Again,
    /// Answered, with the value.
    Answered(String),
    /// Put off, with the reason.
    Deferred(String),
    /// Passed over, with the reason.
    Overridden(String),
}

/// One line of the card.
#[derive(Debug, Clone, PartialEq)]
pub struct ItemView {
    /// The caution.
    pub caution: Caution,
    /// How it stands.
    pub state: ItemState,
}

impl ItemView {
    /// True when it still asks for something now.
    #[must_use]
    pub fn is_open(&self) -> bool {
        matches!(self.state, ItemState::Open | ItemState::Again)
    }

    /// True when it stops the step: a killer item that is neither answered nor passed over.
    #[must_use]
    pub fn blocks(&self) -> bool {
        self.caution.killer
            && !matches!(
                self.state,
                ItemState::Answered(_) | ItemState::Overridden(_)
            )
    }
}

/// Most items in one part of a card.
const PART: usize = 9;

/// A part of a long card.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Part {
    /// Which, from 1.
    pub number: usize,
    /// Of how many.
    pub parts: usize,
    /// Place of its first item.
    pub first: usize,
    /// How many items it has.
    pub length: usize,
}

/// The card.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CardView {
    /// Its lines, killer items first.
    pub items: Vec<ItemView>,
}

impl CardView {
    /// Place of the current item: the first that is open.
    #[must_use]
    pub fn current(&self) -> Option<usize> {
        self.items.iter().position(ItemView::is_open)
    }

    /// The part of the card that an item stands in: a long card is asked in parts of about the same
    /// length, none over nine.
    #[must_use]
    pub fn part(&self, at: usize) -> Part {
        let parts = self.items.len().div_ceil(PART).max(1);
        let length = self.items.len().div_ceil(parts).max(1);
        let number = at / length;
        let first = number * length;
        Part {
            number: number + 1,
            parts,
            first,
            length: length.min(self.items.len().saturating_sub(first)),
        }
    }

    /// How many are settled.
    #[must_use]
    pub fn settled(&self) -> usize {
        self.items.iter().filter(|item| !item.is_open()).count()
    }

    /// How many are put off.
    #[must_use]
    pub fn deferred(&self) -> usize {
        self.items
            .iter()
            .filter(|item| matches!(item.state, ItemState::Deferred(_)))
            .count()
    }

    /// The first killer item that stops the step.
    #[must_use]
    pub fn blocker(&self) -> Option<&ItemView> {
        self.items.iter().find(|item| item.blocks())
    }
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
                let again = self.step.recheck.contains(&caution.id);
                let state = match self.step.answers.get(&caution.id) {
                    _ if again => ItemState::Again,
                    None => match self.today.get(&caution.id) {
                        Some(value) => ItemState::Answered(format!("{value} (earlier today)")),
                        None => ItemState::Open,
                    },
                    Some(Resolution::Answered(value)) => ItemState::Answered(value.clone()),
                    Some(Resolution::Deferred(why)) => ItemState::Deferred(why.clone()),
                    Some(Resolution::Overridden(why)) => ItemState::Overridden(why.clone()),
                };
                ItemView { caution, state }
            })
            .collect();
        CardView { items }
    }

    /// The card's lines for a step, with what is due at the start of a day and of its fire.
    pub(super) fn items(&self, step: &Step) -> Card {
        let day = self.day_on.as_ref() == Some(&step.id);
        let fire = self.fire_on.as_ref() == Some(&step.id);
        card(step, day, fire)
    }

    /// An answer that holds for the day is not asked again before the next.
    pub(super) fn keep_for_today(&mut self, item: &CautionId, how: &Resolution) {
        let Resolution::Answered(value) = how else {
            self.today.remove(item);
            return;
        };
        let Some(step) = self.current() else { return };
        let holds = self
            .items(step)
            .items
            .iter()
            .any(|caution| caution.id == *item && !caution.each);
        if holds {
            self.today.insert(item.clone(), value.clone());
        }
    }

    /// Notes a settled caution among those still owed, or strikes it off.
    pub(super) fn keep_owed(&mut self, item: &CautionId, how: &Resolution) {
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
