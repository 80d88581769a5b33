//! The sharp picture that was made last, and whether one is being made.

use crate::ui::Plate;

/// One is made at a time; what has changed meanwhile is seen to when it comes.
#[derive(Debug, Default)]
pub(super) struct Plates {
    last: Option<(Plate, Vec<u8>)>,
    busy: bool,
}

impl Plates {
    /// True when what was made last is not what is wanted now.
    pub(super) fn is_stale(&self, wanted: Option<&Plate>) -> bool {
        self.last.as_ref().map(|(plate, _)| plate) != wanted
    }

    /// What is to be made now.
    pub(super) fn next(&mut self, wanted: Option<&Plate>) -> Option<Plate> {
        if self.busy || !self.is_stale(wanted) {
            return None;
        }
        let next = wanted?.clone();
        self.busy = true;
        Some(next)
    }

    /// It could not be begun; what is wanted next is tried anew.
    pub(super) fn failed(&mut self) {
        self.busy = false;
    }

    /// It has come.
    pub(super) fn made(&mut self, plate: Plate, bytes: Vec<u8>) {
        self.busy = false;
        self.last = Some((plate, bytes));
    }

    /// The bytes of what is wanted, once it is made.
    pub(super) fn bytes(&self, wanted: Option<&Plate>) -> &[u8] {
        match &self.last {
            Some((plate, bytes)) if Some(plate) == wanted => bytes,
            _ => &[],
        }
    }
}
