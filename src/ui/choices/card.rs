//! What the card waits for.

use super::super::model::Model;
use super::super::model::mode::Mode;
use crate::plan::Answer;
use crate::session::ItemView;

/// The item that keys act on.
pub(in crate::ui) fn item(model: &Model) -> Option<ItemView> {
    model.situation.card.items.get(model.item()?).cloned()
}

/// What the current item of the card wants for an answer.
fn wanted(model: &Model) -> Option<Answer> {
    if model.mode != Mode::Step || !model.card_asks() {
        return None;
    }
    item(model).map(|item| item.caution.answer)
}

/// True when the card waits for a press and for no number.
pub(in crate::ui) fn asks_no_number(model: &Model) -> bool {
    model.asks_rest() || wanted(model) == Some(Answer::Done)
}

/// True when the card waits for a number.
pub(in crate::ui) fn asks_number(model: &Model) -> bool {
    !model.asks_rest() && matches!(wanted(model), Some(Answer::Number { .. }))
}

/// True when a digit answers the current item at once.
pub(in crate::ui) fn chooses(model: &Model) -> bool {
    model.entry.is_empty()
        && !model.asks_rest()
        && matches!(wanted(model), Some(Answer::Choice(words)) if words.len() <= 9)
}
