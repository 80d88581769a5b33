//! Keys are data: one table for the dispatch, the hint bar and the help page.
//!
//! Everything is reached with the number pad alone; letters are only synonyms.

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
    /// Up one.
    Up,
    /// Down one.
    Down,
    /// Read hot or cold.
    HotCold,
    /// The menu.
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
    /// Put the current item off.
    Defer,
    /// Pass over the current item.
    Override,
    /// Write a line.
    Note,
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
    /// The menu.
    Menu,
    /// A reason is asked.
    Reason,
    /// A line is being written.
    Line,
    /// A page to read: keys, steps, losses, changes.
    Page,
    /// The number fills the screen.
    Far,
    /// The plan file changed steps that are done.
    AskPlan,
    /// Leave?
    Leave,
    /// The job is done.
    Finished,
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

const SPACE: &[Key] = &[Key::Char(' '), Key::Char('+')];
const BACK: &[Key] = &[Key::Backspace, Key::Char('-'), Key::Esc];
const DIGITS: &[Key] = &[
    Key::Char('1'),
    Key::Char('2'),
    Key::Char('3'),
    Key::Char('4'),
    Key::Char('5'),
    Key::Char('6'),
    Key::Char('7'),
    Key::Char('8'),
    Key::Char('9'),
    Key::Char('0'),
];
const NUMBER: &[Key] = &[
    Key::Char('1'),
    Key::Char('2'),
    Key::Char('3'),
    Key::Char('4'),
    Key::Char('5'),
    Key::Char('6'),
    Key::Char('7'),
    Key::Char('8'),
    Key::Char('9'),
    Key::Char('0'),
    Key::Char('.'),
    Key::Char(','),
];
/// What may follow once a number is begun: separators, a space, and unit letters.
const MORE: &[Key] = &[
    Key::Char('1'),
    Key::Char('2'),
    Key::Char('3'),
    Key::Char('4'),
    Key::Char('5'),
    Key::Char('6'),
    Key::Char('7'),
    Key::Char('8'),
    Key::Char('9'),
    Key::Char('0'),
    Key::Char('.'),
    Key::Char(','),
    Key::Char('/'),
    Key::Char('-'),
    Key::Char(' '),
    Key::Char('m'),
    Key::Char('c'),
    Key::Char('i'),
    Key::Char('n'),
    Key::Char('k'),
    Key::Char('g'),
    Key::Char('l'),
    Key::Char('b'),
    Key::Char('o'),
    Key::Char('z'),
    Key::Char('"'),
];
const WORKING: &[M] = &[M::Card, M::Work, M::Finished];

/// The table.
#[must_use]
pub fn bindings() -> &'static [Binding] {
    const fn row(
        modes: &'static [M],
        keys: &'static [Key],
        action: Action,
        cap: &'static str,
        hint: &'static str,
        words: &'static str,
    ) -> Binding {
        Binding {
            modes,
            keys,
            action,
            cap,
            hint,
            words,
        }
    }
    const TABLE: &[Binding] = &[
        row(
            &[M::Card],
            SPACE,
            Action::Next,
            "SPACE",
            "done, next item",
            "Settle the current item of the card (SPACE or +).",
        ),
        row(
            &[M::Work],
            SPACE,
            Action::Next,
            "SPACE",
            "next",
            "Do the next thing: into the fire, out of the fire, start the clock, done (SPACE or +).",
        ),
        row(
            &[M::Review],
            SPACE,
            Action::Next,
            "SPACE",
            "step done",
            "The step is done; go on to the next.",
        ),
        row(
            &[M::Resume, M::Legal],
            SPACE,
            Action::Next,
            "SPACE",
            "go on",
            "Go on.",
        ),
        row(
            &[M::AskPlan],
            SPACE,
            Action::Next,
            "SPACE",
            "take the rest",
            "Take the new plan for the steps to come; steps done stay as worked.",
        ),
        row(
            &[M::Page, M::Far],
            SPACE,
            Action::Back,
            "SPACE",
            "close",
            "Close the page.",
        ),
        row(
            &[M::Far],
            &[Key::Enter],
            Action::Back,
            "ENTER",
            "",
            "Close the far view.",
        ),
        row(
            &[M::Work, M::Card],
            &[Key::Enter],
            Action::Accept,
            "ENTER",
            "finish step",
            "With nothing typed: look the step over and finish it.",
        ),
        row(
            &[M::Entry],
            &[Key::Enter, Key::Char('+')],
            Action::Accept,
            "ENTER",
            "take value",
            "Take the value typed (ENTER or +).",
        ),
        row(
            &[M::Reason, M::Line],
            &[Key::Enter],
            Action::Accept,
            "ENTER",
            "keep",
            "Keep the line.",
        ),
        row(
            &[M::Leave],
            &[Key::Enter, Key::Char('y')],
            Action::Accept,
            "ENTER",
            "leave",
            "Leave; everything is on disk.",
        ),
        row(
            &[M::Card, M::Work],
            NUMBER,
            Action::Type,
            "0-9",
            "type value",
            "Type a number: 40, 12.5, 12,5, 3/8, 1-3/8; a unit letter may follow (m, c, i, k, g, l, o).",
        ),
        row(
            &[M::Entry],
            MORE,
            Action::Type,
            "0-9 . / -",
            "number",
            "Go on typing: digits, point or comma, 1-3/8, unit letter.",
        ),
        row(
            &[M::Entry],
            &[Key::Backspace],
            Action::Rub,
            "BACKSPACE",
            "rub out",
            "Rub out the last character.",
        ),
        row(
            &[M::Entry],
            &[Key::Char('*'), Key::Esc],
            Action::Clear,
            "*",
            "clear",
            "Rub out the whole line (* or ESC).",
        ),
        row(
            &[M::Reason, M::Line],
            &[Key::Backspace],
            Action::Rub,
            "BACKSPACE",
            "rub out",
            "Rub out; on an empty line, go back.",
        ),
        row(
            &[M::Reason, M::Line],
            &[Key::Esc],
            Action::Back,
            "ESC",
            "back",
            "Go back.",
        ),
        row(
            WORKING,
            BACK,
            Action::Back,
            "BACKSPACE",
            "undo",
            "Take back the last entry (BACKSPACE or -); any number of times.",
        ),
        row(
            &[M::Review],
            BACK,
            Action::Back,
            "BACKSPACE",
            "keep working",
            "Go back to the step.",
        ),
        row(
            &[M::Menu, M::Page, M::Far, M::Leave, M::Resume, M::Legal],
            BACK,
            Action::Back,
            "BACKSPACE",
            "back",
            "Go back.",
        ),
        row(
            &[M::AskPlan],
            BACK,
            Action::Back,
            "BACKSPACE",
            "keep old plan",
            "Keep the plan as it was.",
        ),
        row(
            WORKING,
            &[Key::Char('r')],
            Action::Redo,
            "r",
            "",
            "Bring back what was taken back.",
        ),
        row(
            &[M::Card, M::Work, M::Menu, M::Page],
            &[Key::Up],
            Action::Up,
            "UP",
            "",
            "Up one line or field.",
        ),
        row(
            &[M::Card, M::Work, M::Menu, M::Page],
            &[Key::Down, Key::Tab],
            Action::Down,
            "DOWN",
            "",
            "Down one line or field.",
        ),
        row(
            &[M::Work],
            &[Key::Char('/'), Key::Left, Key::Right, Key::Char('h')],
            Action::HotCold,
            "/",
            "hot / cold",
            "Sizes are read hot or cold (/ or h); the cold value is shown.",
        ),
        row(
            &[M::Entry],
            &[Key::Left, Key::Right, Key::Char('h')],
            Action::HotCold,
            "h",
            "hot / cold",
            "This size is read hot or cold.",
        ),
        row(
            WORKING,
            &[Key::Char('*'), Key::Char('m')],
            Action::Menu,
            "*",
            "menu",
            "The menu: everything else, chosen by number (* or m).",
        ),
        row(
            &[M::Menu, M::Reason],
            DIGITS,
            Action::Choose,
            "0-9",
            "choose",
            "Choose the line of that number.",
        ),
        row(
            WORKING,
            &[Key::Char('?')],
            Action::Help,
            "?",
            "keys",
            "This page.",
        ),
        row(
            WORKING,
            &[Key::Char('f')],
            Action::Far,
            "f",
            "",
            "Far view: the number fills the screen.",
        ),
        row(
            WORKING,
            &[Key::Char('s')],
            Action::Steps,
            "s",
            "",
            "All steps, done and to come.",
        ),
        row(
            WORKING,
            &[Key::Char('b')],
            Action::Losses,
            "b",
            "",
            "Balance: where the metal went.",
        ),
        row(
            &[M::Card],
            &[Key::Char('d')],
            Action::Defer,
            "d",
            "",
            "Put the current item off, with a reason; it stays in view.",
        ),
        row(
            &[M::Card],
            &[Key::Char('o')],
            Action::Override,
            "o",
            "",
            "Pass over the current item, with a reason; it stays in view.",
        ),
        row(
            WORKING,
            &[Key::Char('n')],
            Action::Note,
            "n",
            "",
            "Write a note into the journal.",
        ),
        row(
            WORKING,
            &[Key::Char('w')],
            Action::Drink,
            "w",
            "",
            "A drink was taken: the clock for the next one starts.",
        ),
        row(
            WORKING,
            &[Key::Char('q')],
            Action::Leave,
            "q",
            "",
            "Leave; everything is on disk.",
        ),
    ];
    TABLE
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

    const ALL: [M; 14] = [
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
        M::AskPlan,
        M::Leave,
        M::Finished,
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
