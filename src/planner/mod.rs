//! What to do about it: forecasts, ways out, drafts. Suggestions, never silent changes.
//!
//! | module | answers |
//! |---|---|
//! | [`write`] | a plan as the text of a plan file |
//!
//! Nothing here reads a clock, a disk or a thread: the same input and the same seed give the same
//! answer.

pub mod chance;
pub mod write;
