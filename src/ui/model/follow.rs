//! A screen that only shows a job: what it hears of it, and what it may do.

use super::Model;
use super::mode::Mode;
use crate::journal::Entry;

/// What a screen that only shows the job knows of the copy that works it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Following {
    /// It may take over once the other copy has left.
    pub may_take_over: bool,
    /// The other copy has left, as far as is known.
    pub free: bool,
    /// The smith wants to work the job here.
    pub taken: bool,
    /// There was a journal.
    pub begun: bool,
}

/// What is heard of a job that is followed.
#[derive(Debug, Clone)]
pub enum Followed {
    /// The whole journal as it is now, nothing where there is none; or why it cannot be read.
    Journal(Result<Vec<Entry>, String>),
    /// Whether another copy has the job open.
    Free(bool),
}

impl Model {
    /// From now on the job is only shown: from afar, or, where this screen may take over, asked first.
    pub fn follow(&mut self, begun: bool, may_take_over: bool) {
        self.following = Some(Following {
            may_take_over,
            free: false,
            taken: false,
            begun,
        });
        self.mode = if may_take_over {
            Mode::Offer
        } else {
            Mode::Far
        };
    }

    /// What is said beside "following": how old the newest entry is, as the time it was written.
    #[must_use]
    pub fn last_entry(&self) -> String {
        let begun = self.following.as_ref().is_some_and(|held| held.begun);
        match self.session.last.filter(|_| begun) {
            None => "not begun".to_owned(),
            Some(at) => format!(
                "last entry {}",
                crate::units::show::wall(at, self.session.offset)
            ),
        }
    }
}
