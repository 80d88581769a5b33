//! Everything that can happen.

use crate::journal::Entry;
use crate::planner::foresight::Foresight;
use crate::planner::learn::ShopBook;
use crate::session::{FireAndMetal, Session};
pub use crate::ui::press::{Key, Press};

use crate::ui::draft::Heard;
use crate::ui::model::follow::Followed;
use crate::ui::photo::PhotoTold;
use crate::ui::row::ListRow;
use crate::units::Stamp;

/// What the shell tells the screen.
#[derive(Debug, Clone)]
pub enum Msg {
    /// A key was pressed.
    Key(Press),
    /// Text was pasted, or came faster than a hand types.
    Paste(String),
    /// A gauge gave this, a number and perhaps its unit, and ended it with this key; none where only the
    /// last part of it came.
    Reading(Option<String>, Press),
    /// The window has this many columns and rows.
    Resize(u16, u16),
    /// A second has passed while something is being timed.
    Tick {
        /// Wall clock.
        at: Stamp,
        /// The clock that never jumps.
        mono_ms: u64,
    },
    /// The entries are on the disk.
    Appended(Vec<Entry>),
    /// They are not; nothing has changed.
    AppendFailed(String),
    /// The plan file has this text now, or cannot be read for this reason.
    PlanFile(Result<String, String>),
    /// The numbers of fire and metal were worked.
    FireAndMetal(Box<FireAndMetal>),
    /// What is to come was worked out.
    Foreseen(Box<Foresight>),
    /// The other jobs of the folder and the shop file were read.
    Shop {
        /// Jobs whose journals can be read.
        others: Vec<Session>,
        /// The shop file, or why it cannot be used.
        book: Result<ShopBook, String>,
        /// Journals left aside, and why.
        trouble: Vec<String>,
    },
    /// The shop file was changed, or why not; it is then as it was.
    ShopSaved(Result<ShopBook, String>),
    /// Something of the folder of photographs.
    Photo(PhotoTold),
    /// What was done on the shelf, in words, or why it was not.
    Shelved(Result<Vec<String>, String>),
    /// Something of a draft.
    Draft(Heard),
    /// Rows of the list, by their place; none for a file that is no plan.
    List(Vec<(usize, Option<ListRow>)>),
    /// Something of the job that is followed.
    Followed(Followed),
    /// The program was stopped and goes on; or the screen must be drawn anew.
    Redraw,
    /// Something the smith should know.
    Trouble(String),
    /// End in good order.
    Leave,
}
