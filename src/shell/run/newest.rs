//! Questions to a thread beside the screen: one is answered at a time.

use std::sync::{Mutex, PoisonError};

/// The newest question that waits while one is answered.
#[derive(Debug)]
pub(super) struct Newest<T>(Mutex<(bool, Option<T>)>);

impl<T> Default for Newest<T> {
    fn default() -> Self {
        Self(Mutex::new((false, None)))
    }
}

impl<T> Newest<T> {
    /// True when nobody is answering, and somebody must begin.
    pub(super) fn put(&self, asked: T) -> bool {
        let mut held = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        held.1 = Some(asked);
        !std::mem::replace(&mut held.0, true)
    }

    pub(super) fn next(&self) -> Option<T> {
        let mut held = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let next = held.1.take();
        held.0 = next.is_some();
        next
    }
}
