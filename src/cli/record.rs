//! `anvilside record PLAN`: the job's record as plain text, as JSON, its readings as CSV, or the whole as a
//! page.

use std::path::Path;

use super::picture::for_page;
use super::{FOUND, out, status};
use crate::planner::account::Account;
use crate::planner::learn::learn;
use crate::planner::record_page::record_page;
use crate::session::Session;
use crate::shell::disk::RealDisk;
use crate::shell::paths::show;
use crate::shell::replace::replace;
use crate::shell::shop;

/// The form in which the record is told.
#[derive(Debug, Clone, Copy)]
pub(super) enum Form<'a> {
    Text,
    Json,
    Csv,
    /// A page, written into a file.
    Page(&'a Path),
}

/// Tells the record; 0, or 1 when it cannot be told.
pub(super) fn run(plan: &Path, form: Form<'_>) -> u8 {
    let told = status::load(plan).and_then(|session| match form {
        Form::Text => Ok(session.record()),
        Form::Json => {
            serde_json::to_string_pretty(&account(plan, &session)).map_err(|why| why.to_string())
        }
        Form::Csv => Ok(session.readings_csv()),
        Form::Page(to) => {
            write(plan, &session, to, None)?;
            Ok(format!("{}: written; open it in a browser", show(to)))
        }
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

/// The account of a job, its forecast with what the folder's other journals teach.
fn account(plan: &Path, session: &Session) -> Account {
    let found = shop::read(plan);
    let others: Vec<&Session> = found.others.iter().collect();
    let book = found.book.unwrap_or_default();
    Account::of(session, &learn(&others, &book, Some(&session.plan)))
}

/// Writes the page, whole.
fn write(plan: &Path, session: &Session, to: &Path, again: Option<u32>) -> Result<(), String> {
    let account = account(plan, session);
    let pictures = for_page(session, again.is_some())?;
    let page = record_page(session, &account, &pictures, again);
    replace(&RealDisk, to, page.as_bytes()).map_err(|why| why.to_string())
}
