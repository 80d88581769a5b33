//! `anvilside status PLAN`: where the billet is.

use std::path::Path;
use std::sync::Arc;

use super::{FOUND, out};
use crate::plan::{Level, check};
use crate::planner::costs::Costs;
use crate::planner::foresight::{Foresight, Outlook, foresee};
use crate::planner::situation::Situation;
use crate::planner::status;
use crate::session::Session;
use crate::shell::clock::Clock;
use crate::shell::paths::JobPaths;
use crate::shell::shop;

/// Prints where the job is; 0, or 1 when it cannot be told.
pub(super) fn run(plan: &Path, json: bool) -> u8 {
    let mut session = match load(plan) {
        Ok(session) => session,
        Err(why) => {
            out::complain(&why);
            return FOUND;
        }
    };
    say_of_the_file(plan, &session);
    let seen = look_ahead(plan, &mut session);
    let now = Clock::start().now().at;
    let mut situation = Situation::of(&session, seen.as_ref(), true, now);
    // one that cannot be read was named with what it teaches
    let book = shop::read_book(plan).unwrap_or_default();
    situation.price(&session, seen.as_ref(), &book.prices);
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
    out::say_if_long(&JobPaths::of(plan).journal);
    let (session, cut) = crate::shell::load(plan)?;
    if cut > 0 {
        let torn = out::torn(cut);
        out::complain(&format!(
            "{torn} and are left out; `anvilside work` keeps a copy and takes them out"
        ));
    }
    Ok(session)
}

/// Says what of the plan file is not in force, where a job is begun.
pub(super) fn say_of_the_file(plan: &Path, session: &Session) {
    if let Some(news) = of_the_file(plan, session) {
        out::complain(&news);
    }
}

fn of_the_file(plan: &Path, session: &Session) -> Option<String> {
    let text = crate::shell::read_plan(plan).ok()?;
    let hash = crc32fast::hash(text.as_bytes());
    if session.seq == 0 || hash == session.plan_hash || hash == session.file_hash() {
        return None;
    }
    let mut found = check(&text).found.into_iter();
    let error = found.find(|one| one.level == Level::Error);
    Some(match error {
        Some(error) => format!(
            "The plan file does not read, and the plan in force stays: line {}: {}; {}",
            error.place.line, error.what, error.remedy
        ),
        None => {
            "The plan file is not the plan in force: `anvilside work` takes the file, or asks first"
                .to_owned()
        }
    })
}

/// What a job has cost so far at the prices of the shop file; none without prices.
pub(super) fn costs(plan: &Path, session: &Session) -> Option<Costs> {
    let book = shop::read_book(plan).ok()?;
    Costs::of(session, &book.prices, None)
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
