//! Keys are data: one table for the dispatch, the hint bar and the help page.
//!
//! Everything is reached with the number pad alone; letters are only synonyms.

mod table;

use super::msg::Key;

/// What a key can mean.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Action {
    /// Next, confirm, done.
    Next,
    /// Take the value typed; with nothing typed: go and finish the step.
    Accept,
    /// One step back: close, or undo.
    Back,
    /// Bring back what was undone.
    Redo,
    /// A character of a number or a line.
    Type,
    /// Rub out one character.
    Rub,
    /// Rub out the line.
    Clear,
    Up,
    Down,
    /// A screenful on.
    PageOn,
    /// A screenful back.
    PageBack,
    /// Read hot or cold.
    HotCold,
    Menu,
    /// Choose the line of that number.
    Choose,
    /// The page of keys.
    Help,
    /// Fill the screen with the number.
    Far,
    /// The list of steps.
    Steps,
    /// Where the metal went.
    Losses,
    /// Every number of fire and metal.
    Numbers,
    /// The other bars.
    Bars,
    /// What is left over, for the shelf.
    Shelf,
    /// The steps to come, with bands.
    Forecast,
    WaysOut,
    /// Pictures of the billet and the blade.
    Picture,
    /// Bands counted in a photograph.
    Photo,
    /// One step later in the plan.
    Later,
    /// One step earlier in the plan.
    Earlier,
    /// Closer to the picture, and away again.
    Closer,
    /// Put the current item off.
    Defer,
    /// Pass over the current item.
    Override,
    /// Write a line.
    Note,
    /// The next of several like pieces is taken up.
    NextPiece,
    /// A drink was taken.
    Drink,
    /// Leave the program.
    Leave,
}

/// The modes of the screen, without what they hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum ModeKind {
    /// Back after a break.
    Resume,
    /// The words on local codes.
    Legal,
    /// The card asks.
    Card,
    /// The work goes on.
    Work,
    /// A number is being typed.
    Entry,
    /// Is the step done?
    Review,
    Menu,
    /// A reason is asked.
    Reason,
    /// A line is being written.
    Line,
    /// A page to read: keys, steps, losses, changes.
    Page,
    /// The number fills the screen.
    Far,
    /// The billet or the blade is looked at.
    Picture,
    /// The photographs of the folder.
    Photos,
    /// One of them.
    Photo,
    /// The plan file changed steps that are done.
    AskPlan,
    Leave,
    /// The job is done.
    Finished,
    /// The work of another copy is shown.
    Following,
    /// Another copy works this job: follow it?
    Offer,
    /// The other copy has left: work the job here?
    TakeOver,
}

use ModeKind as M;

/// One row of the table.
#[derive(Debug, Clone, Copy)]
pub struct Binding {
    /// Modes it holds in.
    pub modes: &'static [M],
    /// Keys, the one to show first; all do the same.
    pub keys: &'static [Key],
    /// What they mean.
    pub action: Action,
    /// What the hint bar calls the key.
    pub cap: &'static str,
    /// Two or three words for the hint bar; empty keeps it off the bar.
    pub hint: &'static str,
    /// A sentence for the page of keys.
    pub words: &'static str,
}

/// The table.
#[must_use]
pub fn bindings() -> &'static [Binding] {
    table::TABLE
}

/// What a key means in a mode. Letters answer in either case.
#[must_use]
pub fn action(mode: M, key: Key) -> Option<Action> {
    let plain = match key {
        Key::Char(c) => Key::Char(c.to_ascii_lowercase()),
        other => other,
    };
    if matches!(mode, M::Reason | M::Line)
        && let Key::Char(c) = key
        && !(mode == M::Reason && c.is_ascii_digit())
    {
        return Some(Action::Type);
    }
    bindings()
        .iter()
        .find(|row| row.modes.contains(&mode) && row.keys.contains(&plain))
        .map(|row| row.action)
}

/// What the hint bar says in a mode: key and words, most useful first.
#[must_use]
pub fn hints(mode: M) -> Vec<(&'static str, &'static str)> {
    bindings()
        .iter()
        .filter(|row| row.modes.contains(&mode) && !row.hint.is_empty())
        .map(|row| (row.cap, row.hint))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const ALL: [M; 20] = [
        M::Resume,
        M::Legal,
        M::Card,
        M::Work,
        M::Entry,
        M::Review,
        M::Menu,
        M::Reason,
        M::Line,
        M::Page,
        M::Far,
        M::Picture,
        M::Photos,
        M::Photo,
        M::AskPlan,
        M::Leave,
        M::Finished,
        M::Following,
        M::Offer,
        M::TakeOver,
    ];

    #[test]
    fn no_key_has_two_meanings_in_one_mode() {
        for mode in ALL {
            let mut seen = std::collections::BTreeMap::new();
            for row in bindings().iter().filter(|row| row.modes.contains(&mode)) {
                for key in row.keys {
                    let before = seen.insert(*key, row.action);
                    assert!(
                        before.is_none(),
                        "{mode:?}: {key:?} means {before:?} and {:?}",
                        row.action
                    );
                }
            }
        }
    }

    #[test]
    fn every_mode_can_be_left_with_the_number_pad_alone() {
        let pad = "0123456789+-*/.".chars().map(Key::Char).chain([Key::Enter]);
        let pad: Vec<Key> = pad.collect();
        for mode in ALL {
            let ways = [
                Action::Next,
                Action::Accept,
                Action::Back,
                Action::Choose,
                Action::Clear,
            ];
            let any = pad
                .iter()
                .filter_map(|key| action(mode, *key))
                .any(|act| ways.contains(&act));
            assert!(any, "{mode:?}");
        }
    }

    #[test]
    fn every_hint_stands_in_the_table_with_a_sentence() {
        for row in bindings() {
            assert!(!row.words.is_empty() && row.words.ends_with('.'), "{row:?}");
            assert!(!row.keys.is_empty() && !row.cap.is_empty(), "{row:?}");
        }
        for mode in ALL {
            assert!(!hints(mode).is_empty(), "{mode:?}");
        }
    }

    #[test]
    fn letters_answer_in_either_case_and_other_alphabets_do_nothing() {
        assert_eq!(action(M::Work, Key::Char('Q')), Some(Action::Leave));
        assert_eq!(action(M::Work, Key::Char('й')), None);
        assert_eq!(action(M::Line, Key::Char('й')), Some(Action::Type));
    }
}
