//! `anvilside work PLAN`: opens the job and gives it to the screen.

use std::io::Read;
use std::path::Path;

use super::{FOUND, Look, out};
use crate::journal::{Entry, Event};
use crate::plan::{Level, MAX_BYTES, check};
use crate::session::Session;
use crate::shell::clock::{self, Clock};
use crate::shell::paths::state_folder;
use crate::shell::reading;
use crate::shell::recent::Recent;
use crate::shell::run::{Ending, Job, Shell};
use crate::shell::{Mode, Opened, Store};
use crate::ui::{Banner, Model, Tone};
use crate::units::Stamp;

/// The text of a plan file, or why it cannot be had, as a sentence.
pub(super) fn plan_text(plan: &Path) -> Result<String, String> {
    let name = plan.display();
    let cannot = |why: std::io::Error| reading(plan, &why);
    let file = std::fs::File::open(plan).map_err(cannot)?;
    let most = u64::try_from(MAX_BYTES).unwrap_or(u64::MAX);
    let mut bytes = Vec::new();
    file.take(most + 1)
        .read_to_end(&mut bytes)
        .map_err(cannot)?;
    if bytes.len() > MAX_BYTES {
        return Err(format!(
            "{name}: larger than {} MB: not a plan; give the file that holds the steps",
            MAX_BYTES / 1_000_000
        ));
    }
    String::from_utf8(bytes).map_err(|_| format!("{name}: is not text; save it as UTF-8"))
}

/// The entry that begins a journal.
pub(super) fn first_entry(text: &str, at: Stamp) -> Entry {
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

/// Works a plan; 0 when left in good order, 1 when it cannot be opened. The screen that a list was shown
/// on goes on to serve.
pub(super) fn run(shell: Option<Shell>, plan: &Path, look: &Look) -> u8 {
    match open(plan, look) {
        Ok((model, job, clock)) => screen(shell, model, job, clock, look),
        Err(why) => {
            // the terminal is handed back before a word is said
            drop(shell);
            out::complain(&why);
            FOUND
        }
    }
}

fn screen(shell: Option<Shell>, mut model: Model, job: Job, clock: Clock, look: &Look) -> u8 {
    let paths = job.store.paths().clone();
    let started = shell.map_or_else(|| Shell::start(clock, paths, look.sharp()), Ok);
    let mut shell = match started {
        Ok(shell) => shell,
        Err(why) => {
            out::complain(&format!("the screen cannot be taken: {why}"));
            return FOUND;
        }
    };
    model.settings.sharp = shell.sharp();
    if let Some(place) = look.crash.as_deref() {
        shell.fail(place == "main");
    }
    let ended = shell.run(&mut model, Some(job));
    drop(shell);
    match ended {
        Ok(Ending::Quit) => {
            if let Some(step) = model.session.current() {
                out::say(&format!("Left at: {}. Everything is on disk.", step.name()));
            }
            0
        }
        Ok(Ending::Asked) => 0,
        Err(why) => {
            out::complain(&format!("the screen ended: {why}"));
            FOUND
        }
    }
}

/// Opens store and session, and notes the opening in the journal.
fn open(plan: &Path, look: &Look) -> Result<(Model, Job, Clock), String> {
    let clock = Clock::start();
    let now = clock.now().at;
    let file = plan_text(plan);
    let Opened {
        entries,
        mut store,
        mode,
        repaired,
    } = Store::open(plan).map_err(|why| why.to_string())?;
    let mut entries = entries;
    let fresh = entries.is_empty();
    let mut trouble = Vec::new();
    if fresh {
        let text = file.clone()?;
        sound(plan, &text)?;
        entries.push(first_entry(&text, now));
    }
    let seq = entries.last().map_or(1, |entry| entry.seq + 1);
    let event = Event::Opened {
        offset: clock::offset_minutes(now),
        version: env!("CARGO_PKG_VERSION").to_owned(),
    };
    entries.push(Entry {
        seq,
        at: now,
        event,
    });
    let mut read_only = None;
    let mut unsaved = Vec::new();
    if let Mode::ReadOnly(why) = mode {
        read_only = Some(why);
    } else {
        let from = if fresh { 0 } else { entries.len() - 1 };
        let new = entries.get(from..).unwrap_or_default();
        if let Err(why) = store.append_all(new) {
            unsaved = new.to_vec();
            trouble.push(Banner {
                about: "disk",
                tone: Tone::Stop,
                text: format!("NOT SAVED: {why}"),
            });
        }
    }
    if let Some(copy) = repaired {
        let text = format!(
            "The last line of the journal was cut short (a power cut?) and was taken out; a copy is in {}",
            copy.display()
        );
        trouble.push(Banner {
            about: "repair",
            tone: Tone::Caution,
            text,
        });
    }
    let session = Session::fold(entries).map_err(|why| format!("{}: {why}", plan.display()))?;
    let mut model = Model::new(session, look.settings(), now);
    if let Some(why) = read_only {
        let text = format!("READ ONLY: {why}");
        trouble.push(Banner {
            about: "copy",
            tone: Tone::Stop,
            text,
        });
        model.read_only = Some(why);
    }
    model.banners = trouble;
    // The first look at the file tells of another text, saved while the job was closed.
    let plan_text = in_force(&model.session);
    let job = Job {
        store,
        plan_text,
        unsaved,
    };
    remember(plan);
    Ok((model, job, clock))
}

/// The text of the plan that the session goes by.
fn in_force(session: &Session) -> String {
    let text = |entry: &Entry| match &entry.event {
        Event::Plan { hash, text } if *hash == session.plan_hash => Some(text.clone()),
        _ => None,
    };
    session
        .log()
        .iter()
        .rev()
        .find_map(text)
        .unwrap_or_default()
}

/// A plan with errors is not begun.
fn sound(plan: &Path, text: &str) -> Result<(), String> {
    let errors: Vec<String> = check(text)
        .found
        .iter()
        .filter(|found| found.level == Level::Error)
        .map(|found| format!("{}:{found}", plan.display()))
        .collect();
    if errors.is_empty() {
        return Ok(());
    }
    Err(format!(
        "{}\nThe plan has errors; mend them and start again",
        errors.join("\n")
    ))
}

/// Among the plans in recent use; work goes on without it.
fn remember(plan: &Path) {
    if let Some(folder) = state_folder(std::env::var_os("ANVILSIDE_STATE")) {
        let _ = Recent::in_folder(&folder).add(plan);
    }
}
