//! One inverse map a file: a point of the bar after a step goes back to where it was before.

pub(crate) mod barrel;
mod column;
pub(crate) mod corner;
pub(crate) mod dimple;
pub(crate) mod disc;
pub(crate) mod fold;
pub(crate) mod frame;
pub(crate) mod groove;
pub(crate) mod hammer;
pub(crate) mod jacket;
pub(crate) mod pile;
pub(crate) mod split;
pub(crate) mod stretch;
pub(crate) mod tiles;
pub(crate) mod turn;
pub(crate) mod twist;
