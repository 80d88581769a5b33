//! `anvilside status PLAN`: where the billet is.

use std::path::Path;
use std::sync::Arc;

use super::{FOUND, out};
use crate::planner::foresight::{Foresight, Outlook, foresee};
use crate::planner::situation::Situation;
use crate::planner::status;
use crate::session::Session;
use crate::shell::clock::Clock;
use crate::shell::guard::caught;
use crate::shell::paths::{JobPaths, show};
use crate::shell::shop;
use crate::shell::store::read_journal;
use crate::units::Stamp;

/// Prints where the job is; 0, or 1 when it cannot be told.
pub(super) fn run(plan: &Path, json: bool) -> u8 {
    let mut session = match load(plan) {
        Ok(session) => session,
        Err(why) => {
            out::complain(&why);
            return FOUND;
        }
    };
    let seen = look_ahead(plan, &mut session);
    let now = Clock::start().now().at;
    let situation = Situation::of(&session, seen.as_ref(), true, now);
    if json {
        let seen = seen.as_ref();
        out::json(&status::json(&session, &situation, seen, now));
    } else {
        out::say(&status::text(&session, &situation, seen.as_ref(), now));
    }
    0
}

/// The session of a plan: from its journal, or fresh from the plan file when nothing was done yet.
pub(super) fn load(plan: &Path) -> Result<Session, String> {
    super::work::say_if_long(&JobPaths::of(plan).journal);
    let (entries, cut) = read_journal(plan).map_err(|why| why.to_string())?;
    if cut > 0 {
        let torn = super::work::torn(cut);
        out::complain(&format!(
            "{torn} and are left out; `anvilside work` keeps a copy and takes them out"
        ));
    }
    let entries = if entries.is_empty() {
        let text = super::work::plan_text(plan)?;
        if let Err(found) = crate::plan::read(&text) {
            let first = found.first().map(ToString::to_string).unwrap_or_default();
            return Err(format!(
                "{}: {first}; `anvilside check` tells all that is wrong",
                show(plan)
            ));
        }
        vec![super::work::first_entry(&text, Stamp(0))]
    } else {
        entries
    };
    let cannot = |why: String| {
        let plan = show(plan);
        format!("{plan}: {why}; `anvilside work` says which entry it is and takes it back")
    };
    match caught(|| Session::fold(entries)) {
        Ok(folded) => folded.map_err(|why| cannot(why.to_string())),
        Err(why) => Err(cannot(format!(
            "an entry of its journal cannot be used ({why})"
        ))),
    }
}

/// What is to come, with what the folder's journals teach; none when the job is done.
fn look_ahead(plan: &Path, session: &mut Session) -> Option<Foresight> {
    if session.is_finished() {
        return None;
    }
    let found = shop::read(plan);
    let book = found.book.unwrap_or_else(|why| {
        out::complain(&why);
        Default::default()
    });
    for why in &found.trouble {
        out::complain(&format!("not learnt from: {why}"));
    }
    Some(foresee(&Outlook {
        version: 0,
        session: Box::new(session.without_log()),
        others: Arc::new(found.others),
        book,
        cut: None,
    }))
}
