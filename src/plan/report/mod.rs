//! A reviewed plan as text for people and as JSON for scripts.

mod json;
mod page;
mod table;

pub use json::json;
pub use page::json_page;
pub use table::{findings, table};
