//! A job as it is on the disk, without taking it up: nothing is locked or written.

use std::path::Path;

use super::guard::caught;
use super::paths::show;
use super::store::read_journal;
use super::watch::read as plan_text;
use crate::journal::{Entry, Event};
use crate::session::Session;
use crate::units::Stamp;

/// The entry that begins a journal.
#[must_use]
pub fn first_entry(text: &str, at: Stamp) -> Entry {
    let hash = crc32fast::hash(text.as_bytes());
    Entry {
        seq: 1,
        at,
        event: Event::Plan {
            hash,
            text: text.to_owned(),
        },
    }
}

/// The session of a plan: from its journal, or fresh from the plan file when nothing was done yet; and how
/// many bytes of a torn tail were left out.
///
/// # Errors
/// Why not, as a sentence.
pub fn load(plan: &Path) -> Result<(Session, usize), String> {
    let (entries, cut) = read_journal(plan)?;
    let entries = if entries.is_empty() {
        let text = plan_text(plan)?;
        if let Err(found) = crate::plan::read(&text) {
            let first = found.first().map(ToString::to_string).unwrap_or_default();
            return Err(format!(
                "{}:{first}; `anvilside check` tells all that is wrong",
                show(plan)
            ));
        }
        vec![first_entry(&text, Stamp(0))]
    } else {
        entries
    };
    let cannot = |why: String| {
        let plan = show(plan);
        format!("{plan}: {why}; `anvilside work` says which entry it is and takes it back")
    };
    match caught(|| Session::fold(entries)) {
        Ok(Ok(session)) => Ok((session, cut)),
        Ok(Err(why)) => Err(cannot(why.to_string())),
        Err(why) => Err(cannot(format!(
            "an entry of its journal cannot be used ({why})"
        ))),
    }
}
