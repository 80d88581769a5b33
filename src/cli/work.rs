//! `anvilside work PLAN`: opens the job and gives it to the screen.

use std::path::Path;

use super::look::Anvil;
use super::{FOUND, fault, out};
use crate::journal::{Entry, Event};
use crate::plan::{Level, check};
use crate::session::Session;
use crate::shell::clock::{self, Clock};
use crate::shell::disk::RealDisk;
use crate::shell::guard::caught;
use crate::shell::paths::{JobPaths, STATE_VARIABLE, show, state_folder};
use crate::shell::recent::Recent;
use crate::shell::replace::tidy;
use crate::shell::run::{Ending, Job, Seat, Shell};
use crate::shell::shelf;
use crate::shell::{Mode, Opened, Store, first_entry, read_plan, terminal};
use crate::ui::{Banner, Model, Tone};

/// The text of a plan file, or why it cannot be had, as a sentence.
pub(super) fn plan_text(plan: &Path) -> Result<String, String> {
    read_plan(plan)
}

/// Why a job does not open, or goes no further.
pub(super) enum Stopped {
    /// For good, as a sentence.
    No(String),
    /// An entry of its journal may be the cause.
    Fault(String),
    /// The smith takes over here: the job is opened again.
    TakenOver,
}

impl From<String> for Stopped {
    fn from(why: String) -> Self {
        Self::No(why)
    }
}

/// Works a plan; 0 when left in good order, 1 when it cannot be opened or not everything was saved. The
/// screen that a list was shown on goes on to serve.
pub(super) fn run(mut shell: Option<Shell>, plan: &Path, look: &Anvil) -> u8 {
    let why = loop {
        let ended = match open(plan, look, shell.is_none()) {
            Ok(opened) => screen(&mut shell, opened, look),
            Err(stopped) => Err(stopped),
        };
        let why = match ended {
            Ok(code) => return code,
            Err(Stopped::TakenOver) => continue,
            Err(Stopped::No(why)) => break why,
            Err(Stopped::Fault(why)) => why,
        };
        match fault::mend(&mut shell, plan, &look.look, &why) {
            Ok(true) => {}
            Ok(false) => return FOUND,
            Err(why) => break why,
        }
    };
    // the terminal is handed back before a word is said
    drop(shell);
    out::complain(&why);
    FOUND
}

/// Gives an opened job to the screen.
pub(super) fn screen(
    shell: &mut Option<Shell>,
    (mut model, job, clock): (Model, Job, Clock),
    anvil: &Anvil,
) -> Result<u8, Stopped> {
    let look = &anvil.look;
    let works = matches!(job.seat, Seat::Works(_)).then(|| job.paths.clone());
    let running = match shell {
        Some(shell) => shell,
        None => shell.insert(look.shell(clock, works)?),
    };
    model.settings.sharp = running.sharp();
    if let Some(place) = look.crash.as_deref() {
        running.fail(place == "main");
    }
    if let Some(device) = &anvil.gauge {
        running
            .listen_to_gauge(device)
            .map_err(|why| format!("the computer gives no thread for the gauge: {why}"))?;
    }
    let ended = running.run(&mut model, Some(job));
    if let Ok(Ending::Fault(why)) = ended {
        return Err(Stopped::Fault(why));
    }
    if matches!(ended, Ok(Ending::Quit)) && model.following.as_ref().is_some_and(|held| held.taken)
    {
        return Err(Stopped::TakenOver);
    }
    *shell = None;
    let left = model
        .session
        .current()
        .map_or_else(String::new, |step| format!("Left at: {}. ", step.name()));
    let (code, words) = match ended {
        Ok(Ending::Quit) if model.following.is_some() => (
            0,
            "This screen only showed the job; it wrote nothing.".to_owned(),
        ),
        Ok(Ending::Quit) => (0, format!("{left}Everything is on disk.")),
        Ok(Ending::Unsaved(what)) => (FOUND, format!("{left}NOT SAVED: {what}")),
        Ok(_) => return Ok(0),
        Err(why) => (FOUND, format!("the screen ended: {why}")),
    };
    terminal::end_soon(code);
    match code {
        0 => out::say(&words),
        _ => out::complain(&words),
    }
    Ok(code)
}

/// Opens store and session, and notes the opening in the journal.
fn open(plan: &Path, anvil: &Anvil, begins: bool) -> Result<(Model, Job, Clock), Stopped> {
    let clock = Clock::start();
    let now = clock.now().at;
    let file = plan_text(plan);
    if begins {
        out::say_if_long(&JobPaths::of(plan).journal);
    }
    // nothing is left behind where no job can be begun
    if begins {
        terminal::there().map_err(|why| format!("the screen cannot be taken: {why}"))?;
    }
    if JobPaths::of(plan).journal.symlink_metadata().is_err() {
        sound(plan, file.as_deref().map_err(Clone::clone)?)?;
    }
    let Opened {
        entries,
        mut store,
        mode,
        repaired,
    } = Store::open_on(Box::new(RealDisk), plan, anvil.locking()).map_err(|why| why.to_string())?;
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
    let mut unsaved = Vec::new();
    let from = if fresh { 0 } else { entries.len() - 1 };
    let new = entries.get(from..).unwrap_or_default().to_vec();
    // before anything is written: what cannot be opened does not grow with each attempt
    let session = match caught(|| Session::fold(entries)) {
        Ok(Ok(session)) => session,
        Ok(Err(why)) => return Err(Stopped::Fault(why.to_string())),
        Err(why) => return Err(Stopped::Fault(why)),
    };
    let busy = matches!(mode, Mode::ReadOnly(_));
    let side = session.shelf_side();
    let shelved = if busy {
        None
    } else {
        match shelf::meet(store.paths(), &side, now) {
            Ok((_, Err(why))) | Err(why) if fresh && !side.takes.is_empty() => {
                return Err(Stopped::No(why.to_string()));
            }
            Ok((_, Err(why))) | Err(why) => {
                trouble.push(Banner {
                    about: "shelf",
                    tone: Tone::Caution,
                    text: format!("THE SHELF: {why}"),
                });
                None
            }
            Ok((_, Ok(()))) => Some(side),
        }
    };
    if !busy && let Err(why) = store.append_all(&new) {
        unsaved = new;
        trouble.push(Banner {
            about: "disk",
            tone: Tone::Stop,
            text: format!("NOT SAVED: {why}"),
        });
    }
    if let Some((copy, cut)) = repaired {
        let text = format!(
            "{} and were taken out; a copy is in {}",
            out::torn(cut),
            show(&copy)
        );
        trouble.push(Banner {
            about: "repair",
            tone: Tone::Caution,
            text,
        });
    }
    if let Some(note) = store.noted() {
        let text = format!(
            "This disk knows no locks; {} tells other copies that the job is open here",
            show(note)
        );
        trouble.push(Banner {
            about: "lock",
            tone: Tone::Plain,
            text,
        });
    }
    let mut model = Model::new(session, anvil.settings(), now);
    if busy {
        model.follow(!fresh, true);
    }
    model.banners = trouble;
    model.shelf.told = shelved;
    // The first look at the file tells of another text, saved while the job was closed.
    let plan_text = in_force(&model.session);
    let paths = store.paths().clone();
    let seat = if busy {
        Seat::Follows {
            may_take_over: true,
        }
    } else {
        tidy(&RealDisk, &paths.folder);
        remember(plan);
        Seat::Works(Box::new(store))
    };
    let job = Job {
        paths,
        seat,
        plan_text,
        unsaved,
        photos: anvil.photos.clone(),
    };
    Ok((model, job, clock))
}

/// The text of the plan that the session goes by.
pub(super) fn in_force(session: &Session) -> String {
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
        .map(|found| format!("{}:{found}", show(plan)))
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
    if let Some(folder) = state_folder(std::env::var_os(STATE_VARIABLE)) {
        let _ = Recent::in_folder(&folder).add(plan);
    }
}
