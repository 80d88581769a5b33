//! A reviewed plan as text for people and as JSON for scripts.

mod drafted;
mod json;
mod page;
mod table;

pub use drafted::DRAFT_FIELDS;
pub use json::{FORMAT, billet, json, totals};
pub use page::{STATUS_FIELDS, json_page};
pub use table::{findings, table};
