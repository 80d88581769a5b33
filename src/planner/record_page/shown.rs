//! What the parts of the page read.

use crate::journal::read_stamp;
use crate::planner::account::Account;
use crate::session::{Done, Session, StepData, when};
use crate::units::{Grams, Mm, Units, show};

/// The job that is told.
pub(super) struct Page<'a> {
    pub(super) session: &'a Session,
    pub(super) account: &'a Account,
}

impl Page<'_> {
    pub(super) fn done_steps(&self) -> impl Iterator<Item = (&StepData, &Done)> {
        let done = self.session.done.iter().map(AsRef::as_ref);
        self.account.record.steps.iter().zip(done)
    }

    pub(super) fn last_done(&self) -> usize {
        self.session.done.len().max(1)
    }

    /// `2026-03-02 08:15` in the shop's time.
    pub(super) fn local(&self, time: &str) -> String {
        read_stamp(time).map_or_else(String::new, |at| when(at, self.session.offset))
    }

    /// `08:15` in the shop's time.
    pub(super) fn clock(&self, time: &str) -> String {
        read_stamp(time).map_or_else(String::new, |at| show::wall(at, self.session.offset))
    }

    /// A figure of the forecast with its unit.
    pub(super) fn figure(&self, units: Units, what: &str, value: f64) -> String {
        match what {
            "mass" => units.mass(Grams(value)),
            "minutes" => format!("{} min", show::trimmed(value, 0)),
            "heats" | "bands" => show::trimmed(value, 0),
            _ => units.length(Mm(value)),
        }
    }
}
