//! `anvilside label PLAN`: what the knife's owner should know.

use std::path::Path;

use super::{out, papers, status};
use crate::shell::paths::show;

/// Prints the label, or writes it as a page; 0, or 1 when there is none.
pub(super) fn run(plan: &Path, html: Option<&Path>) -> u8 {
    let label =
        status::load(plan).and_then(|session| session.label().map_err(|why| why.to_string()));
    let told = label.and_then(|label| match html {
        None => Ok(label.text()),
        Some(to) => papers::page(plan, to, &label.page())
            .map(|()| format!("{}: written; print it and put it in the box", show(to))),
    });
    out::told(told)
}
