//! Carbon over the whole job, step by step.

use super::carbon::CarbonNow;
use super::held;
use crate::session::Session;
use crate::units::Stamp;

impl Session {
    /// Carbon and nickel after each step done that was in the fire or came after one; the layers are followed
    /// once, from step to step.
    #[must_use]
    pub fn carbon_course(&self, now: Stamp) -> Vec<Option<CarbonNow>> {
        let moves = self.carbon_moves(&self.spans(now));
        let mut so_far = Vec::new();
        let done = self.done.iter().zip(moves);
        done.map(|(done, moves)| {
            so_far.extend(moves);
            let after = &done.made.billet;
            let log = self.carbon_until(so_far.clone(), after);
            held::now(&log, after.mean_band())
        })
        .collect()
    }
}
