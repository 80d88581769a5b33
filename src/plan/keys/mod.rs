//! Every key of the plan format, once: the reader, the writer, the format page and the JSON schema
//! come from it.

mod all;
mod doc;
mod field;
mod page;
mod schema;
mod steps;
mod tables;
mod writes;

pub use all::all_tables;
pub use doc::{KeyDoc, Table};
pub use page::format_page;
pub use schema::schema;
pub use steps::given_size;
pub use writes::Writes;

pub(crate) use all::steel;
pub(crate) use field::{Field, Need, Slot, docs};
pub(crate) use steps::{COMMON, Form, HEAD, KINDS, form, usual_heats};
pub(crate) use tables::{
    ANALYSIS, BAR, BLADE, BOLSTER, FIGURES, FOUND, GOAL, PERCENT, SHEET, SHOP, STACK, TANG, TOP,
    TOP_HEADER, usual_goal, usual_shop,
};
