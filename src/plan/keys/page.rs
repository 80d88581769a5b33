//! The page that describes the format, made from the table of keys.

/// The page, in Markdown.
#[must_use]
pub fn format_page() -> String {
    String::new()
}
