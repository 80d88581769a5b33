//! A reviewed plan as text for people and as JSON for scripts.

mod counted;
mod drafted;
pub mod html;
mod json;
mod keys;
mod page;
mod recorded;
mod sheet;
mod shelved;
mod shopped;
mod table;

pub use drafted::DRAFT_FIELDS;
pub use json::{FORMAT, billet, blank, json, losses, totals};
pub use page::{STATUS_FIELDS, json_page};
pub use recorded::RECORD_FIELDS;
pub use sheet::sheet;
pub(crate) use shelved::{ShelfPage, ShelfPiece};
pub use shopped::SHOP_FIELDS;
pub use table::{findings, table};
