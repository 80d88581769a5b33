//! What the screen is doing, and what each of that holds.

use super::picture::Viewing;
use crate::plan::CautionId;
use crate::planner::learn::Topic;

/// What a reason is asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Purpose {
    /// To put an item off.
    Defer(CautionId),
    /// To pass over a killer item.
    Override(CautionId),
    /// To pass over the fire watch: only typed words will do.
    SkipWatch(CautionId),
    /// To end the step before its clock has run out.
    Early(String),
}

/// A line of the menu.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MenuItem {
    /// Far view.
    Far,
    Steps,
    /// Where the metal went.
    Losses,
    /// The card in full, with what is owed.
    Card,
    /// Put off the current item.
    Defer,
    /// Pass over the current item.
    Override,
    /// Write a note.
    Note,
    /// A drink was taken.
    Drink,
    /// The second page.
    More,
    /// Hotter or colder: the temperature that hot readings are taken at.
    HotAt,
    /// Bring back what was undone.
    Redo,
    /// Take up the next of several like pieces.
    NextPiece,
    /// Lay the piece down cold.
    LayDown,
    /// Pictures of the billet and the blade.
    Pictures,
    /// Every number of fire and metal.
    Numbers,
    Keys,
    /// The words on local codes.
    Legal,
    /// Put the banner away.
    PutAway,
    Leave,
    /// The first page.
    First,
    /// The page of what is to come.
    Ahead,
    /// The steps to come, with bands.
    Forecast,
    /// What the last reading changed.
    Changed,
    /// The other bars.
    Bars,
    /// Pieces left over, for the shelf.
    Shelf,
    WaysOut,
    /// A weld failed: cut back.
    WeldFailed,
    /// What the journals teach.
    Shop,
    /// The shop's own figures into the plan.
    UseShop,
    /// The page of counts.
    Count,
    /// Bands counted in a photograph.
    Photo,
    /// The count is in doubt.
    Doubt,
}

/// A page to read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Page {
    Keys,
    Steps,
    /// Where the metal went.
    Losses,
    /// The whole card and what is owed.
    Card,
    /// What a plan edit changed.
    Changes(Vec<String>),
    /// Every number of fire and metal.
    Numbers,
    /// The bars of a plan of several.
    Bars,
    /// What is left over, and what of it went on the shelf.
    Shelf,
    /// The steps to come, with bands.
    Forecast,
    /// What the last reading changed in later steps.
    Changed,
    WaysOut,
    /// The count in doubt.
    Doubt,
    /// What the journals teach, from that line on.
    Shop {
        /// Place of the first line that has a number.
        from: usize,
    },
    /// One learnt value.
    Topic(Topic),
}

/// A page of the menu.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sheet {
    First,
    /// The second.
    More,
    /// What is to come.
    Ahead,
    /// Counting bands.
    Count,
}

/// What a number is asked for outside a step's sizes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Numeral {
    /// A value to pin.
    Pin(Topic),
    /// How much to cut off the end where a weld failed.
    CutBack,
    /// Bands counted by eye in place of what a photograph gave.
    Bands,
}

/// What the screen is doing.
#[derive(Debug, Clone, PartialEq)]
pub enum Mode {
    /// Back after a break.
    Resume,
    /// The words on local codes.
    Legal,
    /// The step in hand: card first, then work.
    Step,
    /// Is the step done?
    Review,
    Menu {
        /// Which page of it.
        sheet: Sheet,
    },
    /// A number is asked.
    Number {
        /// What for.
        what: Numeral,
        /// Typed so far.
        text: String,
    },
    /// A reason is asked.
    Reason {
        /// What for.
        purpose: Purpose,
        /// Typed so far.
        text: String,
    },
    /// A note is being written.
    Line {
        /// Typed so far.
        text: String,
    },
    /// A page to read.
    Page {
        /// Which.
        page: Page,
        /// First line shown.
        top: usize,
    },
    /// The number fills the screen.
    Far,
    /// The billet or the blade is looked at.
    Picture(Viewing),
    /// Photographs of an etched end: what is looked at is kept in the model.
    Photo,
    /// The plan file changed steps that are done, or is without what was decided.
    AskPlan {
        /// The new text's checksum.
        hash: u32,
        /// The new text.
        text: String,
        /// Which steps differ.
        steps: Vec<String>,
        /// What was decided over the file that it replaces, and is not in it.
        undone: Vec<String>,
        /// What changes in the steps to come.
        changes: Vec<String>,
    },
    Leave,
    /// Another copy works this job: follow it?
    Offer,
    /// The other copy has left: work the job here?
    TakeOver,
}

/// What to do when the entries asked for are on disk.
#[derive(Debug, Clone, PartialEq)]
pub enum Then {
    /// Only show.
    Show,
    /// The typed value is taken: clear the line.
    ClearEntry,
    /// Back to the step.
    ToStep,
    /// Show what a plan edit changed.
    Changes(Vec<String>),
}
