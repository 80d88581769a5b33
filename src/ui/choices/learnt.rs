//! The learnt values of the shop, nine to a page, and what can be done with one.

use super::super::model::Model;
use crate::planner::learn::Learned;

/// Lines of a page that can have a number at a time.
pub(in crate::ui) const NUMBERED: usize = 9;

/// The learnt values in the order of the page: those with something seen or pinned first.
#[must_use]
pub(in crate::ui) fn learnt(model: &Model) -> Vec<Learned> {
    let Some(known) = &model.ahead.known else {
        return Vec::new();
    };
    let told: Vec<Learned> = known.lessons.told().cloned().collect();
    let is_told = |one: &&Learned| told.iter().any(|held| held.topic == one.topic);
    let rest = known.lessons.all().filter(|one| !is_told(one)).cloned();
    told.iter().cloned().chain(rest).collect()
}

/// What can be done with a learnt value.
#[must_use]
pub(in crate::ui) fn topic_lines() -> &'static [&'static str] {
    &[
        "Pin it as it is now",
        "Pin another value",
        "Let the pinned value go",
        "Start afresh: what was seen so far no longer counts",
        "Back to the list",
    ]
}
