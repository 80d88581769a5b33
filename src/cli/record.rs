//! `anvilside record PLAN`: the job's record as plain text, as JSON, its readings as CSV, or the whole as a
//! page.

use std::path::Path;

use super::picture::for_page;
use super::{FOUND, out, papers, status};
use crate::planner::account::Account;
use crate::planner::learn::learn;
use crate::planner::record_page::record_page;
use crate::session::Session;
use crate::shell::live::on_change;
use crate::shell::paths::show;
use crate::shell::shop;
use crate::shell::signals::interrupted;

/// So often a browser asks for a page that is kept current, seconds.
const AGAIN: u32 = 15;

/// The form in which the record is told.
#[derive(Debug, Clone, Copy)]
pub(super) enum Form<'a> {
    Text,
    Json,
    Csv,
    /// A page, written into a file.
    Page(&'a Path),
}

/// The record, and what the job cost at the prices of the shop file.
fn with_costs(plan: &Path, session: &Session) -> String {
    let mut text = session.record();
    let costs = status::costs(plan, session);
    let lines = costs
        .iter()
        .flat_map(|costs| costs.lines(session.is_finished()));
    for line in lines {
        text.push('\n');
        text.push_str(&line);
    }
    text
}

/// Tells the record; 0, or 1 when it cannot be told.
pub(super) fn run(plan: &Path, form: Form<'_>) -> u8 {
    let told = status::load(plan).and_then(|session| match form {
        Form::Text => Ok(with_costs(plan, &session)),
        Form::Json => {
            serde_json::to_string_pretty(&account(plan, &session)).map_err(|why| why.to_string())
        }
        Form::Csv => Ok(session.readings_csv()),
        Form::Page(to) => {
            write(plan, &session, to, (None, false))?;
            Ok(format!("{}: written; open it in a browser", show(to)))
        }
    });
    out::told(told)
}

/// Keeps the page current while the job runs, until Ctrl-C; 0, or 1 when it cannot be written.
pub(super) fn live(plan: &Path, to: &Path) -> u8 {
    let shown = show(to);
    let now =
        |again| status::load(plan).and_then(|session| write(plan, &session, to, (again, true)));
    let run = || {
        let stop = interrupted().map_err(|why| why.to_string())?;
        now(Some(AGAIN))?;
        out::say(&format!(
            "{shown}: kept current until Ctrl-C; open it in a browser"
        ));
        let mut said = None;
        let changed = || {
            // A journal in trouble is told once; the last good page stays.
            let why = now(Some(AGAIN)).err();
            if let Some(why) = why.as_ref().filter(|_| why != said) {
                out::complain(why);
            }
            said = why;
        };
        on_change(plan, &stop, changed).map_err(|why| why.to_string())?;
        // What is left behind asks for nothing anew.
        now(None)?;
        out::say(&format!("{shown}: ended, and left as it stands"));
        Ok::<_, String>(())
    };
    match run() {
        Ok(()) => 0,
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
    let lessons = learn(&others, &book, Some(&session.plan));
    Account::of(session, &lessons).priced(session, &book.prices)
}

/// Writes the page, whole.
fn write(
    plan: &Path,
    session: &Session,
    to: &Path,
    (again, beside): (Option<u32>, bool),
) -> Result<(), String> {
    let account = account(plan, session);
    let pictures = for_page(session, beside)?;
    let page = record_page(session, &account, &pictures, again);
    papers::page(plan, to, &page)
}
