//! The caution card as it is read: its lines, how each stands, and what is open.

use crate::plan::{Answer, Caution};

/// How one line of the card stands.
#[derive(Debug, Clone, PartialEq)]
pub enum ItemState {
    /// Not settled yet.
    Open,
    /// Answered before a break; to be answered again.
    Again,
    /// Answered on an earlier day of the job; confirmed with the rest of the card.
    Standing(String),
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
    pub caution: Caution,
    /// How it stands.
    pub state: ItemState,
    /// What was answered when it was asked last, in an earlier step.
    pub before: Option<String>,
}

impl ItemView {
    /// True when it still asks for something now. The fire watch asks by its clock instead.
    #[must_use]
    pub fn is_open(&self) -> bool {
        self.caution.answer != Answer::Watch && !self.is_settled()
    }

    fn is_settled(&self) -> bool {
        !matches!(
            self.state,
            ItemState::Open | ItemState::Again | ItemState::Standing(_)
        )
    }

    /// True when it is open and one press settles it together with others: a reminder, or what was
    /// answered for the whole job on an earlier day.
    #[must_use]
    pub fn is_joint(&self) -> bool {
        let reminder = !self.caution.killer && self.caution.answer == Answer::Done;
        self.is_open() && (reminder || matches!(self.state, ItemState::Standing(_)))
    }

    /// What one press together with others answers.
    #[must_use]
    pub fn joint_answer(&self) -> String {
        match &self.state {
            ItemState::Standing(value) => value.clone(),
            _ => "done".to_owned(),
        }
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

#[derive(Debug, Clone, PartialEq, Default)]
pub struct CardView {
    /// Its lines, killer items first.
    pub items: Vec<ItemView>,
}

impl CardView {
    /// Place of the current item: the first open one that asks for an answer of its own, then the
    /// first of the rest.
    #[must_use]
    pub fn current(&self) -> Option<usize> {
        let own = |item: &ItemView| item.is_open() && !item.is_joint();
        let first = self.items.iter().position(own);
        first.or_else(|| self.items.iter().position(ItemView::is_open))
    }

    /// The open items that one press settles together, by place.
    #[must_use]
    pub fn rest(&self) -> Vec<usize> {
        let all = self.items.iter().enumerate();
        all.filter(|(_, item)| item.is_joint())
            .map(|(at, _)| at)
            .collect()
    }

    /// The items that are answered one by one.
    fn singles(&self) -> impl Iterator<Item = (usize, &ItemView)> {
        let all = self.items.iter().enumerate();
        all.filter(|(_, item)| {
            !item.is_joint() && (item.caution.killer || item.caution.answer != Answer::Done)
        })
    }

    /// How many items are answered one by one, and which of them this place is, from 1.
    #[must_use]
    pub fn count_of(&self, at: usize) -> (usize, usize) {
        let upto = self.singles().filter(|(place, _)| *place <= at).count();
        (upto.max(1), self.singles().count().max(1))
    }

    /// What is open, in words: items to answer one by one out of all of these, and reminders read
    /// together; none of a card that asks for nothing.
    #[must_use]
    pub fn open_words(&self) -> Option<String> {
        let to_answer = self.singles().filter(|(_, item)| item.is_open()).count();
        let all = self.singles().count();
        match (to_answer, self.rest().len()) {
            (0, 0) => None,
            (0, read) => Some(format!("{read} to read")),
            (_, 0) => Some(format!("{to_answer} of {all} to answer")),
            (_, read) => Some(format!("{to_answer} of {all} to answer, {read} to read")),
        }
    }

    /// How many are settled.
    #[must_use]
    pub fn settled(&self) -> usize {
        self.items.iter().filter(|item| item.is_settled()).count()
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

    /// The fire watch, where one is due.
    #[must_use]
    pub fn watch(&self) -> Option<&ItemView> {
        let mut items = self.items.iter();
        items.find(|item| item.caution.answer == Answer::Watch)
    }
}
