//! `anvilside record PLAN`: the job's record as plain text, as JSON, or its readings as CSV.

use std::path::Path;

use super::{FOUND, out, status};

/// The form in which the record is printed.
#[derive(Debug, Clone, Copy)]
pub(super) enum Form {
    Text,
    Json,
    Csv,
}

/// Prints the record; 0, or 1 when it cannot be told.
pub(super) fn run(plan: &Path, form: Form) -> u8 {
    let told = status::load(plan).and_then(|session| match form {
        Form::Text => Ok(session.record()),
        Form::Json => {
            serde_json::to_string_pretty(&session.record_data()).map_err(|why| why.to_string())
        }
        Form::Csv => Ok(session.readings_csv()),
    });
    match told {
        Ok(text) => {
            out::say(&text);
            0
        }
        Err(why) => {
            out::complain(&why);
            FOUND
        }
    }
}
