//! The caution card of the current step, with what has been answered.

use super::{Owed, Session};
use crate::journal::Resolution;
use crate::plan::{Card, Caution, CautionId, cards};

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
        let daily = self.daily_on.as_ref() == Some(&step.id);
        let Card { items } = cards(step, daily);
        let items = items
            .into_iter()
            .map(|caution| {
                let again = self.step.recheck.contains(&caution.id);
                let state = match self.step.answers.get(&caution.id) {
                    _ if again => ItemState::Again,
                    None => ItemState::Open,
                    Some(Resolution::Answered(value)) => ItemState::Answered(value.clone()),
                    Some(Resolution::Deferred(why)) => ItemState::Deferred(why.clone()),
                    Some(Resolution::Overridden(why)) => ItemState::Overridden(why.clone()),
                };
                ItemView { caution, state }
            })
            .collect();
        CardView { items }
    }

    /// Notes a settled caution among those still owed, or strikes it off.
    pub(super) fn keep_owed(&mut self, item: &CautionId, how: &Resolution) {
        let Some(step) = self.current().cloned() else {
            return;
        };
        let id = step.id.clone();
        let daily = self.daily_on.as_ref() == Some(&id);
        self.owed
            .retain(|owed| !(owed.step == id && owed.item == *item));
        let (reason, overridden) = match how {
            Resolution::Answered(_) => return,
            Resolution::Deferred(why) => (why.clone(), false),
            Resolution::Overridden(why) => (why.clone(), true),
        };
        let text = cards(&step, daily)
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
