//! The table of keys itself.

use super::{Action, Binding, ModeKind as M};
use crate::ui::msg::Key;
use crate::ui::msg::Key::Char;

const SPACE: &[Key] = &[Char(' '), Char('+')];
const BACK: &[Key] = &[Key::Backspace, Char('-'), Key::Esc];
/// Takes back what was recorded: not ESC, with which every answer of a terminal begins.
const UNDO: &[Key] = &[Key::Backspace, Char('-')];
#[rustfmt::skip]
const DIGITS: &[Key] = &[
    Char('1'), Char('2'), Char('3'), Char('4'), Char('5'), Char('6'), Char('7'), Char('8'), Char('9'), Char('0'),
];
/// What may follow once a number is begun: separators, a space, and unit letters.
#[rustfmt::skip]
const MORE: &[Key] = &[
    Char('1'), Char('2'), Char('3'), Char('4'), Char('5'), Char('6'), Char('7'), Char('8'), Char('9'), Char('0'),
    Char('@'), Char(':'), Char('.'), Char(','), Char('/'), Char('-'), Char(' '), Char('"'), Char('m'), Char('c'), Char('i'), Char('n'),
    Char('k'), Char('g'), Char('l'), Char('b'), Char('o'), Char('z'), Char('f'), Char('p'),
];
const WORKING: &[M] = &[M::Card, M::Work, M::Finished];
/// The modes that pages are opened from.
const SHOWING: &[M] = &[M::Card, M::Work, M::Finished, M::Following];

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

/// Every binding, the most useful of each mode first.
#[rustfmt::skip]
pub(super) const TABLE: &[Binding] = &[
    row(&[M::Card], SPACE, Action::Next, "+", "done, next item", "Settle the current item of the card (SPACE or +)."),
    row(&[M::Work], SPACE, Action::Next, "+", "next", "Do the next thing: into the fire, out of the fire, start the clock, done (SPACE or +)."),
    row(&[M::Review], SPACE, Action::Next, "+", "step done", "The step is done; go on to the next."),
    row(&[M::Resume, M::Legal], SPACE, Action::Next, "+", "go on", "Go on."),
    row(&[M::AskPlan], SPACE, Action::Next, "+", "take the rest", "Take the new plan for the steps to come; steps done stay as worked."),
    row(&[M::Page, M::Far], SPACE, Action::Back, "+", "close", "Close the page."),
    row(&[M::Following], SPACE, Action::Far, "+", "far view", "Following: the number fills the screen."),
    row(&[M::Following], &[Key::Enter], Action::Accept, "ENTER", "take over", "Following: work the job here, once the other copy has left."),
    row(&[M::Offer], &[Char('+'), Char(' '), Key::Enter], Action::Next, "+", "follow", "Follow the job that another copy works; this screen writes nothing."),
    row(&[M::TakeOver], SPACE, Action::Next, "+", "take over", "Work the job here; the other copy has left."),
    row(&[M::TakeOver], BACK, Action::Back, "-", "go on following", "Go on following; ENTER takes over later."),
    row(&[M::Offer, M::Following], &[Key::Backspace, Char('-'), Key::Esc, Char('q')], Action::Leave, "-", "leave", "Leave; the other copy goes on."),
    row(&[M::Far], &[Key::Enter], Action::Back, "ENTER", "", "Close the far view."),
    row(&[M::Work], &[Key::Enter], Action::Accept, "ENTER", "finish step", "With nothing typed: look the step over and finish it."),
    row(&[M::Card], &[Key::Enter], Action::Accept, "ENTER", "", "On the card: the same as SPACE."),
    row(&[M::Entry], &[Key::Enter, Char('+')], Action::Accept, "ENTER", "take value", "Take the value typed (ENTER or +)."),
    row(&[M::Reason, M::Line], &[Key::Enter], Action::Accept, "ENTER", "keep", "Keep the line."),
    row(&[M::Leave], &[Key::Enter, Char('y')], Action::Accept, "ENTER", "leave", "Leave; everything is on disk."),
    row(&[M::Card, M::Work], DIGITS, Action::Type, "0-9", "type value", "Type a number: 40, 12.5, 12,5, 3/8, 1-3/8; a unit letter may follow (m, c, i, k, g, l, o)."),
    row(&[M::Entry], MORE, Action::Type, "0-9 . / -", "number", "Go on typing: digits, point or comma, 1-3/8, unit letter; 40@14:20 was read at 14:20."),
    row(&[M::Entry], &[Key::Backspace], Action::Rub, "BACKSPACE", "rub out", "Rub out the last character."),
    row(&[M::Entry], &[Char('*'), Key::Esc], Action::Clear, "*", "clear", "Rub out the whole line (* or ESC)."),
    row(&[M::Reason, M::Line], &[Key::Backspace], Action::Rub, "BACKSPACE", "rub out", "Rub out; on an empty line, go back, as - does."),
    row(&[M::Reason, M::Line], &[Key::Esc], Action::Back, "ESC", "back", "Go back."),
    row(WORKING, UNDO, Action::Back, "-", "undo", "Take back the last entry (BACKSPACE or -); any number of times."),
    row(&[M::Review], BACK, Action::Back, "-", "keep working", "Go back to the step."),
    row(&[M::Menu, M::Page, M::Far, M::Leave, M::Resume, M::Legal], BACK, Action::Back, "-", "back", "Go back."),
    row(&[M::AskPlan], BACK, Action::Back, "-", "keep old plan", "Keep the plan as it was."),
    row(WORKING, &[Char('r')], Action::Redo, "r", "", "Bring back what was taken back."),
    row(&[M::Card, M::Work, M::Menu, M::Page], &[Key::Up], Action::Up, "UP", "", "Up one line or field."),
    row(&[M::Card, M::Work, M::Menu, M::Page], &[Key::Down, Key::Tab], Action::Down, "DOWN", "", "Down one line or field."),
    row(&[M::Work], &[Char('.'), Char(',')], Action::Down, ".", "next size", "Choose what is typed: thickness, width, length, mass (. or the arrows); goes round."),
    row(&[M::Page, M::Resume, M::Legal, M::AskPlan], &[Char('/')], Action::PageOn, "/", "on", "A screenful on, where a page has more than one."),
    row(&[M::Page, M::Resume, M::Legal, M::AskPlan], &[Char('*')], Action::PageBack, "*", "", "A screenful back."),
    row(&[M::Work], &[Char('/'), Key::Left, Key::Right, Char('h')], Action::HotCold, "/", "hot / cold", "Sizes are read hot or cold (/ or h); the cold value is shown."),
    row(&[M::Entry], &[Key::Left, Key::Right, Char('h')], Action::HotCold, "h", "hot / cold", "This size is read hot or cold."),
    row(WORKING, &[Char('*'), Char('m')], Action::Menu, "*", "menu", "The menu: everything else, chosen by number (* or m)."),
    row(&[M::Menu, M::Reason], DIGITS, Action::Choose, "0-9", "choose", "Choose the line of that number."),
    row(&[M::Page], DIGITS, Action::Choose, "0-9", "", "On a page: choose the line of that number; 0 goes on to what did not fit."),
    row(SHOWING, &[Char('?')], Action::Help, "?", "keys", "This page."),
    row(SHOWING, &[Char('f')], Action::Far, "f", "", "Far view: the number fills the screen."),
    row(SHOWING, &[Char('s')], Action::Steps, "s", "", "All steps, done and to come."),
    row(SHOWING, &[Char('b')], Action::Losses, "b", "", "Balance: where the metal went."),
    row(WORKING, &[Char('c')], Action::Bars, "c", "", "The bars of a plan of several: how each lies; take another up by its number."),
    row(WORKING, &[Char('k')], Action::Shelf, "k", "", "What is left over: keep it on the shelf for other plans, by its number."),
    row(SHOWING, &[Char('g')], Action::Forecast, "g", "", "Forecast: sizes, heats, minutes and whether it is enough, each with its range."),
    row(SHOWING, &[Char('a')], Action::Numbers, "a", "", "All numbers of fire and metal: soak, time left, scale, carbon, hardening, colours."),
    row(WORKING, &[Char('x')], Action::WaysOut, "x", "ways out", "Ways out when the bar is off: each with its costs, taken by its number."),
    row(SHOWING, &[Char('p')], Action::Picture, "p", "", "Pictures: end grain, side, face, blade and layers, at any step."),
    row(&[M::Picture], &[Char('+'), Char(' '), Key::Right], Action::Later, "+", "later", "Pictures: one step later in the plan (+, SPACE or RIGHT)."),
    row(&[M::Picture], &[Char('-'), Key::Left], Action::Earlier, "-", "earlier", "Pictures: one step earlier in the plan (- or LEFT)."),
    row(&[M::Picture], &[Char('/'), Key::Down, Key::Tab, Key::PageDown], Action::Down, "/", "next view", "Pictures: the next view; among the layers, down (/, DOWN or TAB; PAGE DOWN by a tenth)."),
    row(&[M::Picture], &[Char('*'), Key::Up, Key::PageUp], Action::Up, "*", "", "Pictures: the view before; among the layers, up (*, UP; PAGE UP by a tenth)."),
    row(&[M::Picture], &[Char('.'), Char(',')], Action::Closer, ".", "closer", "Pictures: closer, 4 and 16 times, and whole again."),
    row(&[M::Picture], DIGITS, Action::Choose, "1-9", "choose", "Pictures: 1 end grain, 2 side, 3 face, 4 blade, 5 layers, 6 lines; 7 now, 8 after this step, 9 finished; 0 closes."),
    row(&[M::Picture], &[Key::Enter, Key::Backspace, Key::Esc, Char('p')], Action::Back, "ENTER", "close", "Pictures: back to the work (ENTER, BACKSPACE or 0)."),
    row(WORKING, &[Char('i')], Action::Photo, "i", "", "Bands of an etched end counted in a photograph: the newest of the folder (also menu 0 0 1)."),
    row(&[M::Photos], SPACE, Action::Next, "+", "the newest", "Photographs: count the bands of the newest."),
    row(&[M::Photos, M::Photo], &[Key::Enter], Action::Accept, "ENTER", "type count", "A photograph: type your own count in place of what was read; in the list, the newest."),
    row(&[M::Photo], SPACE, Action::Next, "+", "take count", "A photograph: the count and its range go into the journal."),
    row(&[M::Photos], DIGITS, Action::Choose, "1-9", "choose", "Photographs: count the bands of the one of that number; 0 closes."),
    row(&[M::Photo], DIGITS, Action::Choose, "8 4 6 2", "move line", "A photograph: the line moves as the digits lie; 7 9 turn it, 1 3 shorter and longer, 0 finds it anew."),
    row(&[M::Photo], &[Char('.'), Char(',')], Action::Closer, ".", "unsure places", "A photograph: the next unsure place, close; behind the last the whole again."),
    row(&[M::Photo], &[Char('/'), Key::Down, Key::Tab], Action::Down, "/", "which end", "A photograph: what the digits move: the line, one end, the other."),
    row(&[M::Photo], &[Char('*'), Key::Up], Action::Up, "*", "", "A photograph: small steps or usual ones."),
    row(&[M::Photos, M::Photo], BACK, Action::Back, "-", "back", "Photographs: back to the list, and to the work."),
    row(&[M::Card], &[Char('d')], Action::Defer, "d", "", "Put the current item off, with a reason; it stays in view."),
    row(&[M::Card], &[Char('o')], Action::Override, "o", "", "Pass over the current item, with a reason; it stays in view."),
    row(WORKING, &[Char('n')], Action::Note, "n", "", "Write a note into the journal."),
    row(&[M::Work], &[Char('t')], Action::NextPiece, "t", "", "Take up the next of several like pieces; with one in the fire, + swaps them."),
    row(WORKING, &[Char('w')], Action::Drink, "w", "", "You drank water: the clock for the next starts."),
    row(WORKING, &[Char('q')], Action::Leave, "q", "", "Leave; everything is on disk."),
];
