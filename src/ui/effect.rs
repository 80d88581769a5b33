//! Everything the screen may ask of the world.

use crate::journal::Entry;
use crate::planner::foresight::Outlook;
use crate::planner::learn::BookEdit;
use crate::session::{Asked, ShelfSide};
use crate::ui::draft::Wanted;
use crate::ui::photo::PhotoWish;

/// What the shell does for the screen, in order.
#[derive(Debug, Clone, PartialEq)]
pub enum Effect {
    /// Write these entries in one go, sync, and answer with `Appended` or `AppendFailed`.
    Append(Vec<Entry>),
    /// Ring the bell once.
    Bell,
    /// Look at the plan file again.
    LookAtPlan,
    /// Work the numbers of fire and metal beside the drawing, and answer with `FireAndMetal`.
    Reckon(Box<Asked>),
    /// Work out what is to come beside the drawing, and answer with `Foreseen`.
    Foresee(Box<Outlook>),
    /// Change the shop file and answer with `ShopSaved`.
    EditShop(BookEdit),
    /// Something of the folder of photographs; `PhotoTold` comes back.
    Photo(PhotoWish),
    /// Bring the shelf in line with the job and answer with `Shelved`.
    Shelve(Box<ShelfSide>),
    /// Something of a draft.
    Draft(Wanted),
    /// End the program.
    Quit,
}
