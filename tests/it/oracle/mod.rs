//! Laws that the program does not need, kept to hold those that it does against.

pub(crate) mod across;
pub(crate) mod cells;
pub(crate) mod lumped;
pub(crate) mod series;
pub(crate) mod spittel;
