//! The numbers of fire and metal, asked for: to be worked beside the screen.

use super::{Cache, FireAndMetal, Session, reckon};
use crate::units::Stamp;

/// The job without its log, and the moment.
#[derive(Debug, Clone)]
pub struct Asked {
    session: Session,
    now: Stamp,
}

impl PartialEq for Asked {
    fn eq(&self, other: &Self) -> bool {
        (self.session.seq, self.now) == (other.session.seq, other.now)
    }
}

impl Asked {
    /// The numbers: tens of milliseconds on a long job, less with what was worked before.
    #[must_use]
    pub fn answer(&self, cache: &Cache) -> FireAndMetal {
        reckon(&self.session.inputs(self.now, cache), cache)
    }
}

impl Session {
    /// The question for the numbers of this moment.
    #[must_use]
    pub fn ask(&mut self, now: Stamp) -> Asked {
        Asked {
            session: self.without_log(),
            now,
        }
    }
}
