//! A count from a photograph into the job's journal, as a count typed at the step; one undo each in `work`.

use std::path::Path;

use super::words::Told;
use crate::billet::{Dimension, Move};
use crate::journal::{Entry, Event};
use crate::session::Session;
use crate::shell::clock::Clock;
use crate::shell::{Mode, Opened, Store, read_entries};

/// Adds the count and a note with the file, its checksum, the line and the range.
///
/// # Errors
/// Why nothing was added, and what to do.
pub(super) fn take(plan: &Path, told: &Told) -> Result<String, String> {
    // opening would make the journal
    if read_entries(plan)
        .map_err(|why| why.to_string())?
        .is_empty()
    {
        return Err(format!(
            "{}: the job is not begun; open it with `anvilside work` first",
            plan.display()
        ));
    }
    let Opened {
        entries,
        mut store,
        mode,
        ..
    } = Store::open(plan).map_err(|why| why.to_string())?;
    if let Mode::ReadOnly(why) | Mode::Refused(why) = mode {
        return Err(why);
    }
    let session = Session::fold(entries.clone()).map_err(|why| why.to_string())?;
    let step = session
        .current()
        .ok_or("the job is done: no step counts bands")?;
    if !matches!(step.made, Move::Inspect { .. }) {
        return Err(format!(
            "the job stands at `{}`, which counts no bands; take the count at an inspect step",
            step.id.0
        ));
    }
    let at = Clock::start().now().at;
    let bands = told.reading.bands;
    let count = Event::Measured {
        step: step.id.clone(),
        what: Dimension::Bands,
        cold: bands as f64,
        typed: bands.to_string(),
        hot: None,
    };
    let note = Event::Note {
        step: step.id.clone(),
        text: told.note(),
    };
    let seq = store.next_seq();
    let new: Vec<Entry> = [count, note]
        .into_iter()
        .zip(seq..)
        .map(|(event, seq)| Entry { seq, at, event })
        .collect();
    store.append_all(&new).map_err(|why| why.to_string())?;
    Ok(format!(
        "taken: {bands} bands at `{}`, with a note of the photograph; `work` shows it, and takes it back",
        step.id.0
    ))
}
