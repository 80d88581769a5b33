//! What a keyboard gives.

use crate::shell::clock::Now;
use crate::shell::input::Input;

/// What came from the terminal in one go: the bytes as they were, and the keys among them.
pub(in crate::shell) struct Batch {
    pub(in crate::shell) bytes: Vec<u8>,
    pub(in crate::shell) keys: Vec<(Input, Now)>,
}
