//! What `shelf --json` prints, key by key.

use std::collections::BTreeMap;

use super::keys::documented;

/// Above the table.
pub(super) const SHELF_HEAD: &str = "
# `shelf --json`

`anvilside shelf --json` writes the pieces that lie on the shelf of a folder; with `--all` those that have
gone too. Sizes are cold.

| key | form | meaning |
|---|---|---|
";

documented! {
    /// The shelf.
    struct ShelfPage {
        /// number of this format, 2
        format: u32,
        /// the pieces, by number
        pieces: Vec<ShelfPiece>,
    }

    /// One piece of steel.
    struct ShelfPiece {
        /// its number, which stands on the steel
        number: u32,
        /// `shelf`, `taken`, `used`, `thrown`, or `undone`: its keeping was taken back
        lies: String,
        /// since when, UTC
        since: String,
        /// the journal that has it or used it up
        by: Option<String>,
        /// width, as kept or as read since
        width_mm: f64,
        /// thickness
        thickness_mm: f64,
        /// length
        length_mm: f64,
        /// mass
        mass_g: f64,
        /// bands through the thickness
        bands: u64,
        /// `flat`, `crushed`, `block`, `twisted`, `split`, `tiled` or `framed`
        figure: String,
        /// grades, each with its part of the metal, 0 to 1
        steels: BTreeMap<String, f64>,
        /// journal that it was kept in
        journal: String,
        /// bar of that job that it comes from; empty where it had one
        bar: String,
        /// step that left it over
        step: String,
        /// when it was kept, UTC
        kept: String,
    }
}
