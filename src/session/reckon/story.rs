//! Carbon over the whole job, step by step.

use super::carbon::CarbonNow;
use super::follow::Cache;
use super::held;
use crate::session::Session;
use crate::units::Stamp;

impl Session {
    /// Carbon and nickel after each step done that was in the fire or came after one; the layers are followed
    /// once, from step to step.
    #[must_use]
    pub fn carbon_course(&self, now: Stamp, cache: &Cache) -> Vec<Option<CarbonNow>> {
        let spans = self.spans(now, &cache.courses);
        let done = self.done.iter().enumerate();
        done.map(|(at, done)| {
            let log = self.carbon_of(&done.step.bar, at + 1, &spans);
            held::now(&log, done.made.billet.mean_band(), cache)
        })
        .collect()
    }
}
