//! What to do about it: forecasts, ways out, drafts. Suggestions, never silent changes.
//!
//! | module | answers |
//! |---|---|
//! | [`account`] | the record of a job, and how good its forecast was |
//! | [`learn`] | what this smith's journals teach: losses, heats, minutes |
//! | [`doubt`] | readings that the metal speaks against |
//! | [`ends`] | the fish-mouth that a trim has to take off |
//! | [`draft`] | whole plans from a wish |
//! | [`forecast`] | the steps to come with their bands, and whether it is enough |
//! | [`foresight`] | all of it for one job, worked beside the screen |
//! | [`certainty`] | how well the metal on the anvil is known |
//! | [`record_page`] | the account as a page to show, keep and print |
//! | [`situation`] | where the job stands: the figures that a smith decides by |
//! | [`status`] | the same in words and as JSON |
//! | [`ways_out`] | what to do when the bar is off, each worked to the end |
//! | [`mod@write`] | a plan as the text of a plan file |
//!
//! Nothing here reads a clock, a disk or a thread: the same input and the same seed give the same
//! answer.

pub mod account;
pub mod certainty;
pub mod chance;
pub mod costs;
pub mod doubt;
pub mod draft;
mod eaten;
pub mod ends;
pub mod forecast;
pub mod foresight;
pub mod learn;
pub mod record_page;
pub mod shelf;
pub mod situation;
pub mod status;
pub mod steel;
pub mod tally;
mod warming;
pub mod ways_out;
pub mod write;

#[cfg(test)]
mod coverage;
#[cfg(test)]
mod simulated;
#[cfg(test)]
mod taught;
