//! Failures that are taken up where they happen, so that an odd entry does not lock a job.

use std::cell::Cell;
use std::panic::{AssertUnwindSafe, PanicHookInfo, catch_unwind};
use std::sync::Once;

thread_local! {
    static CAUGHT: Cell<bool> = const { Cell::new(false) };
}

/// True while a failure of this thread will be taken up.
pub(super) fn catches() -> bool {
    CAUGHT.with(Cell::get)
}

/// Does it; what it says when it fails, in words. Nothing it had in hand may be used then.
pub(crate) fn caught<T>(work: impl FnOnce() -> T) -> Result<T, String> {
    static QUIET: Once = Once::new();
    QUIET.call_once(|| {
        let loud = std::panic::take_hook();
        std::panic::set_hook(Box::new(move |info: &PanicHookInfo<'_>| {
            if !catches() {
                loud(info);
            }
        }));
    });
    let before = CAUGHT.with(|caught| caught.replace(true));
    let done = catch_unwind(AssertUnwindSafe(work));
    CAUGHT.with(|caught| caught.set(before));
    done.map_err(|what| {
        let words = what.downcast_ref::<&str>().map(|text| (*text).to_owned());
        words
            .or_else(|| what.downcast_ref::<String>().cloned())
            .unwrap_or_else(|| "no message".to_owned())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_failure_is_told_and_the_thread_goes_on() {
        assert_eq!(caught(|| 4), Ok(4));
        let empty: Vec<u32> = Vec::new();
        let why = caught(|| empty[3]).unwrap_err();
        assert!(why.contains("index out of bounds"), "{why}");
        assert!(!catches());
        // one inside another
        let inner = caught(|| caught(|| empty[0]).is_err());
        assert_eq!(inner, Ok(true));
    }
}
