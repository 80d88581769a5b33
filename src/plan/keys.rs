//! Every key of the plan format, once: the reader, the format page and the JSON schema come from it.

/// One key.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct KeyDoc {
    /// The key.
    pub name: &'static str,
    /// What is written, as `size`, `temperature`, `whole number`.
    pub writes: &'static str,
    /// True when it must be there.
    pub required: bool,
    /// In words, with the default.
    pub words: &'static str,
}

/// The keys of one table of the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Table {
    /// Its header, as `[shop]` or `[[step]] kind = "draw"`.
    pub header: &'static str,
    /// Its keys.
    pub keys: &'static [KeyDoc],
}

/// Every table.
#[must_use]
pub fn all_tables() -> &'static [Table] {
    &[]
}

/// The JSON schema (draft 2020-12) that editors complete from.
#[must_use]
pub fn schema() -> String {
    String::new()
}
