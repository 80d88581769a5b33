//! `anvilside follow PLAN`: the job as another copy works it. Nothing is locked, made or written.

use std::path::Path;

use super::look::{Anvil, Look};
use super::work::{Stopped, in_force, screen};
use super::{FOUND, out, status};
use crate::shell::clock::Clock;
use crate::shell::paths::JobPaths;
use crate::shell::run::{Job, Seat};
use crate::shell::terminal;
use crate::ui::Model;

/// Shows the job until the smith leaves; 0, or 1 when it cannot be shown.
pub(super) fn run(plan: &Path, look: Look) -> u8 {
    let anvil = Anvil::from(look);
    let clock = Clock::start();
    let opened = || -> Result<(Model, Job), String> {
        terminal::there().map_err(|why| format!("the screen cannot be taken: {why}"))?;
        let session = status::load(plan)?;
        let begun = JobPaths::of(plan).journal.is_file();
        let plan_text = in_force(&session);
        let mut model = Model::new(session, anvil.settings(), clock.now().at);
        model.follow(begun, false);
        let job = Job {
            paths: JobPaths::of(plan),
            seat: Seat::Follows {
                may_take_over: false,
            },
            plan_text,
            unsaved: Vec::new(),
            photos: None,
        };
        Ok((model, job))
    };
    let mut shell = None;
    let shown = opened()
        .map_err(Stopped::No)
        .and_then(|(model, job)| screen(&mut shell, (model, job, clock), &anvil));
    match shown {
        Ok(code) => code,
        Err(stopped) => {
            drop(shell);
            if let Stopped::No(why) | Stopped::Fault(why) = stopped {
                out::complain(&why);
            }
            FOUND
        }
    }
}
