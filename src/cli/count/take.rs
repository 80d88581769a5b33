//! A count from a photograph into the job's journal, as a count typed at the step; one undo each in `work`.

use std::path::Path;

use super::words::Told;
use crate::billet::{Dimension, Move};
use crate::cli::enter::{add, open};
use crate::journal::{Counted, Event};
use crate::shell::clock::Clock;

/// Adds the count with the file, its checksum, the line and the range.
///
/// # Errors
/// Why nothing was added, and what to do.
pub(super) fn take(plan: &Path, told: &Told) -> Result<String, String> {
    let (session, mut store) = open(plan)?;
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
        typed: match told.reading.low < told.reading.high {
            true => format!("{bands} ({} to {})", told.reading.low, told.reading.high),
            false => bands.to_string(),
        },
        hot: None,
        counted: Some(Counted {
            low: told.reading.low as u64,
            high: told.reading.high as u64,
            photo: Some(told.photograph()),
        }),
    };
    add(&mut store, at, vec![count])?;
    Ok(format!(
        "taken: {bands} bands at `{}`, with the photograph it came from; `work` shows it, and takes it back",
        step.id.0
    ))
}
