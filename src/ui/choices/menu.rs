//! The lines of the menu and the reasons, each chosen by its number.

use super::super::model::mode::{MenuItem, Purpose, Sheet};

/// Reasons that can be chosen by number; anything else is typed.
const REASONS: [&str; 5] = [
    "done another way",
    "does not apply in this shop",
    "will do before the next heat",
    "checked by a second person",
    "on my own decision",
];

/// The same for a step that is ended before it looks done.
const EARLY: [&str; 5] = [
    "done, but not logged here",
    "done another way",
    "not needed this time",
    "the rest comes with a later step",
    "on my own decision",
];

/// The reasons that can be chosen by number; a fire watch is passed over in own words only.
#[must_use]
pub(in crate::ui) fn reasons(purpose: &Purpose) -> &'static [&'static str] {
    match purpose {
        Purpose::Early(_) => &EARLY,
        Purpose::SkipWatch(_) => &[],
        Purpose::Defer(_) | Purpose::Override(_) => &REASONS,
    }
}

/// The lines of a menu page, numbered from 1; a tenth line has the number 0.
#[must_use]
pub(in crate::ui) fn items(sheet: Sheet) -> &'static [(MenuItem, &'static str)] {
    const FIRST: &[(MenuItem, &str)] = &[
        (MenuItem::Far, "Far view: the number fills the screen"),
        (MenuItem::Steps, "All steps, done and to come"),
        (MenuItem::Losses, "Balance: where the metal went"),
        (MenuItem::Card, "The whole card, and what is owed"),
        (MenuItem::Defer, "Put the current item off"),
        (MenuItem::Override, "Pass over the current item"),
        (MenuItem::Note, "Write a note"),
        (MenuItem::Drink, "I drank water"),
        (MenuItem::More, "More"),
        (MenuItem::Ahead, "Forecast, ways out, your shop, next piece"),
    ];
    const MORE: &[(MenuItem, &str)] = &[
        (
            MenuItem::HotAt,
            "Hot readings are taken a step hotter (goes round)",
        ),
        (MenuItem::Redo, "Bring back what was taken back"),
        (
            MenuItem::LayDown,
            "Lay the piece down: no longer in or at the fire",
        ),
        (MenuItem::Keys, "The keys"),
        (MenuItem::Legal, "The words on local rules"),
        (MenuItem::PutAway, "Put the banner away"),
        (MenuItem::Leave, "Leave"),
        (
            MenuItem::Pictures,
            "Pictures: end grain, side, face, blade, layers",
        ),
        (
            MenuItem::Numbers,
            "Fire and metal: every number of the heat and the steels",
        ),
        (MenuItem::First, "Back to the first page"),
    ];
    const AHEAD: &[(MenuItem, &str)] = &[
        (
            MenuItem::Forecast,
            "Forecast: the steps to come, is it enough",
        ),
        (MenuItem::Changed, "What the last reading changed"),
        (
            MenuItem::WaysOut,
            "Ways out: the bar is short, thin or narrow",
        ),
        (MenuItem::WeldFailed, "A weld failed: cut back by ..."),
        (MenuItem::Shop, "Your shop: what the journals teach"),
        (MenuItem::UseShop, "Use my shop's figures in this plan"),
        (
            MenuItem::NextPiece,
            "Take up the next of several like pieces",
        ),
        (MenuItem::First, "Back to the first page"),
        (
            MenuItem::Bars,
            "The other bars: take one up while this one soaks",
        ),
        (
            MenuItem::Count,
            "Count in a photograph, a count in doubt, pieces left over",
        ),
    ];
    const COUNT: &[(MenuItem, &str)] = &[
        (
            MenuItem::Photo,
            "Count the bands of an etched end in a photograph",
        ),
        (
            MenuItem::Doubt,
            "The count is in doubt: a piece was lost, or left out of a restack",
        ),
        (MenuItem::Shelf, "Left over: keep pieces on the shelf"),
        (MenuItem::First, "Back to the first page"),
    ];
    match sheet {
        Sheet::First => FIRST,
        Sheet::More => MORE,
        Sheet::Ahead => AHEAD,
        Sheet::Count => COUNT,
    }
}
