//! `anvilside` alone: the billets of this folder and of recent use, the unfinished first.

use std::io::IsTerminal;
use std::path::Path;
use std::sync::Mutex;

use super::look::{Anvil, Look};
use super::samples::{self, SAMPLES};
use super::{FOUND, draft, out, work};
use crate::session::Standing;
use crate::shell::clock::Clock;
use crate::shell::list::{Billet, BilletInfo, billets, read};
use crate::shell::paths::{JobPaths, STATE_VARIABLE, state_folder};
use crate::shell::run::Shell;
use crate::ui::{Group, List, ListRow, Msg};
use crate::units::{Stamp, show};

/// Up to so many are read before the screen is taken.
const FEW: usize = 32;

/// Lists the billets; on a terminal a key opens one.
pub(super) fn run(anvil: &Anvil) -> u8 {
    let look = &anvil.look;
    let state = state_folder(std::env::var_os(STATE_VARIABLE));
    let found = billets(&[Path::new("."), Path::new("plans")], state.as_deref());
    let now = Clock::start().now().at;
    if !on_terminal() {
        return printed(&found, state.as_deref(), now);
    }
    if found.is_empty() {
        return first_run(anvil);
    }
    let mut list = List::new(found.iter().map(unread).collect(), look.settings());
    list.unread = found.len();
    if found.len() <= FEW {
        for rows in all(&found, state.as_deref(), now) {
            list.update(Msg::List(rows));
        }
        if list.rows.iter().all(Option::is_none) {
            return first_run(anvil);
        }
    }
    let plans = found.clone();
    let begun = take_screen(look).and_then(|mut shell| {
        if list.unread > 0 {
            shell.list(move |told| {
                read(&plans, state.as_deref(), &|rows| {
                    told(shown(&plans, rows, now))
                });
            })?;
        }
        shell.run(&mut list, None)?;
        Ok(shell)
    });
    let Some(shell) = out::taken(begun) else {
        return FOUND;
    };
    match list.chosen.and_then(|at| found.get(at)) {
        Some(billet) => work::run(Some(shell), &billet.plan, anvil),
        None => 0,
    }
}

/// Rows by their place in the list.
type Rows = Vec<(usize, Option<ListRow>)>;

/// Everything that is known, in the order in which it came.
fn all(found: &[Billet], state: Option<&Path>, now: Stamp) -> Vec<Rows> {
    let told = Mutex::new(Vec::new());
    read(found, state, &|rows| {
        told.lock()
            .map(|mut told| told.push(shown(found, rows, now)))
            .is_ok()
    });
    told.into_inner().unwrap_or_default()
}

fn shown(billets: &[Billet], rows: Vec<(usize, BilletInfo)>, now: Stamp) -> Rows {
    let row = |(at, known)| {
        (
            at,
            billets.get(at).and_then(|billet| row(billet, known, now)),
        )
    };
    rows.into_iter().map(row).collect()
}

/// What is shown of a billet before it is read.
fn unread(billet: &Billet) -> ListRow {
    let stem = billet.plan.file_stem().unwrap_or_default();
    ListRow {
        title: show::plain(&stem.to_string_lossy(), 80),
        goal: String::new(),
        state: "reading".to_owned(),
        file: show::plain(&billet.plan.to_string_lossy(), 80),
        group: if billet.worked.is_some() {
            Group::Unfinished
        } else {
            Group::NotBegun
        },
        last: billet.worked,
    }
}

fn row(billet: &Billet, known: BilletInfo, now: Stamp) -> Option<ListRow> {
    let plain = unread(billet);
    let job = match known {
        BilletInfo::NoPlan => return None,
        BilletInfo::Damaged(why) => {
            return Some(ListRow {
                goal: "DAMAGED".to_owned(),
                state: why,
                group: Group::Unfinished,
                ..plain
            });
        }
        BilletInfo::Job(job) => job,
    };
    let ago = job
        .last
        .map(|last| format!(", {} ago", show::span(now.since(last))));
    let size = if job.size.is_empty() {
        String::new()
    } else {
        format!("; {}", job.size)
    };
    Some(ListRow {
        title: job.title,
        goal: job.goal,
        state: format!("{}{}{size}", job.place, ago.unwrap_or_default()),
        group: match job.standing {
            Standing::Unfinished => Group::Unfinished,
            Standing::NotBegun => Group::NotBegun,
            Standing::Done => Group::Done,
        },
        last: job.last,
        ..plain
    })
}

/// The list as lines; where there is nothing, what can be begun.
fn printed(found: &[Billet], state: Option<&Path>, now: Stamp) -> u8 {
    let told = all(found, state, now).into_iter().flatten();
    let mut rows: Vec<ListRow> = told.filter_map(|(_, row)| row).collect();
    if rows.is_empty() {
        return offered();
    }
    rows.sort_by(|a, b| {
        let newest = b.last.cmp(&a.last);
        a.group.cmp(&b.group).then(newest).then(a.file.cmp(&b.file))
    });
    let lines = rows.iter().map(|row| {
        let goal = if row.goal.is_empty() { "" } else { "; " };
        format!(
            "{}: {} ({}{goal}{})",
            row.file, row.title, row.state, row.goal
        )
    });
    out::say(&lines.collect::<Vec<_>>().join("\n"));
    0
}

fn on_terminal() -> bool {
    std::io::stdin().is_terminal() && std::io::stdout().is_terminal()
}

fn take_screen(look: &Look) -> std::io::Result<Shell> {
    let paths = JobPaths::of(Path::new("anvilside"));
    Shell::start(Clock::start(), Some(paths), look.sharp())
}

/// What can be begun where there is no plan: a draft, or a sample.
fn beginnings() -> Vec<ListRow> {
    let row = |title: &str, state: String, file: &str| ListRow {
        title: title.to_owned(),
        goal: String::new(),
        state,
        file: file.to_owned(),
        group: Group::NotBegun,
        last: None,
    };
    let draft = row(
        "Draft a plan from a wish: blade, pattern, stock and shop",
        "asked one by one; whole plans come of it".to_owned(),
        "anvilside draft",
    );
    let samples = SAMPLES.iter().map(|one| {
        let title = format!("Sample: {}", one.file.trim_end_matches(".toml"));
        let state = format!("{}; a copy is written here", one.words);
        row(&title, state, one.file)
    });
    std::iter::once(draft).chain(samples).collect()
}

/// With no plan about, where there is no terminal.
fn offered() -> u8 {
    let rows = beginnings();
    let numbered = rows.iter().zip(1..);
    let lines: Vec<String> = numbered
        .map(|(row, n)| format!("  {n}  {} ({})", row.title, row.state))
        .collect();
    out::say(&format!(
        "No plans here yet. On a terminal `anvilside` offers these by number:\n{}\n\
         `anvilside samples DIR` writes all samples and the plan format; `anvilside --help` shows the commands.",
        lines.join("\n")
    ));
    0
}

/// With no plan about: a draft or a sample, by number.
fn first_run(anvil: &Anvil) -> u8 {
    let look = &anvil.look;
    let mut list = List::new(beginnings(), look.settings());
    list.heading = "NO PLANS HERE YET: begin with one of these";
    let begun = take_screen(look).and_then(|mut shell| {
        shell.run(&mut list, None)?;
        Ok(shell)
    });
    let Some(shell) = out::taken(begun) else {
        return FOUND;
    };
    let Some(at) = list.chosen else {
        return 0;
    };
    let Some(sample) = at.checked_sub(1).and_then(|at| SAMPLES.get(at)) else {
        drop(shell);
        return draft::begin(anvil);
    };
    match samples::begin(sample) {
        Ok(plan) => work::run(Some(shell), &plan, anvil),
        Err(why) => {
            drop(shell);
            out::complain(&why);
            FOUND
        }
    }
}
