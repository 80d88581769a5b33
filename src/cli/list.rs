//! `anvilside` alone: the billets of this folder and of recent use, the unfinished first.

use std::io::IsTerminal;
use std::path::{Path, PathBuf};

use super::look::{Anvil, Look};
use super::samples::{self, SAMPLES};
use super::{FOUND, draft, out, status, work};
use crate::shell::clock::Clock;
use crate::shell::paths::{JobPaths, state_folder};
use crate::shell::recent::Recent;
use crate::shell::run::Shell;
use crate::ui::{Shelf, ShelfRow};
use crate::units::show;

/// Most billets listed.
const MOST: usize = 30;

struct Row {
    plan: PathBuf,
    finished: bool,
    begun: bool,
    shown: ShelfRow,
}

/// Lists the billets; on a terminal a key opens one.
pub(super) fn run(anvil: &Anvil) -> u8 {
    let look = &anvil.look;
    let rows = rows();
    if rows.is_empty() {
        return first_run(anvil);
    }
    if !on_terminal() {
        let lines: Vec<String> = rows
            .iter()
            .map(|row| {
                format!(
                    "{}: {} ({})",
                    row.shown.file, row.shown.title, row.shown.state
                )
            })
            .collect();
        out::say(&lines.join("\n"));
        return 0;
    }
    let shown = rows.iter().map(|row| row.shown.clone()).collect();
    let mut shelf = Shelf::new(shown, look.settings());
    let shell = match show_list(&mut shelf, look) {
        Ok(shell) => shell,
        Err(why) => {
            out::complain(&format!("the screen cannot be taken: {why}"));
            return FOUND;
        }
    };
    match shelf.chosen.and_then(|at| rows.get(at)) {
        Some(row) => work::run(Some(shell), &row.plan, anvil),
        None => 0,
    }
}

fn on_terminal() -> bool {
    std::io::stdin().is_terminal() && std::io::stdout().is_terminal()
}

/// With no plan about: a draft or a sample, by number.
fn first_run(anvil: &Anvil) -> u8 {
    let look = &anvil.look;
    let draft = ShelfRow {
        title: "Draft a plan from a wish: blade, pattern, stock and shop".to_owned(),
        state: "asked one by one; whole plans come of it".to_owned(),
        file: "anvilside draft".to_owned(),
    };
    let samples = SAMPLES.iter().map(|one| ShelfRow {
        title: format!("Sample: {}", one.file.trim_end_matches(".toml")),
        state: format!("{}; a copy is written here", one.words),
        file: one.file.to_owned(),
    });
    let rows: Vec<ShelfRow> = std::iter::once(draft).chain(samples).collect();
    if !on_terminal() {
        let numbered = rows.iter().zip(1..);
        let lines: Vec<String> = numbered
            .map(|(row, n)| format!("  {n}  {} ({})", row.title, row.state))
            .collect();
        out::say(&format!(
            "No plans here yet. On a terminal `anvilside` offers these by number:\n{}\n\
             `anvilside samples DIR` writes all samples and the plan format; `anvilside --help` shows the commands.",
            lines.join("\n")
        ));
        return 0;
    }
    let mut shelf = Shelf::new(rows, look.settings());
    shelf.heading = "NO PLANS HERE YET: begin with one of these";
    let shell = match show_list(&mut shelf, look) {
        Ok(shell) => shell,
        Err(why) => {
            out::complain(&format!("the screen cannot be taken: {why}"));
            return FOUND;
        }
    };
    let Some(at) = shelf.chosen else {
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

fn show_list(shelf: &mut Shelf, look: &Look) -> std::io::Result<Shell> {
    let mut shell = Shell::start(
        Clock::start(),
        Some(JobPaths::of(Path::new("anvilside"))),
        look.sharp(),
    )?;
    shell.run(shelf, None)?;
    Ok(shell)
}

fn rows() -> Vec<Row> {
    let mut plans: Vec<PathBuf> = Vec::new();
    let recent = state_folder(std::env::var_os("ANVILSIDE_STATE"))
        .map(|folder| Recent::in_folder(&folder).plans())
        .unwrap_or_default();
    let here = [Path::new("."), Path::new("plans")]
        .into_iter()
        .flat_map(tomls);
    for plan in here.chain(recent) {
        let full = std::path::absolute(&plan).unwrap_or(plan.clone());
        let known = plans
            .iter()
            .any(|held| std::path::absolute(held).is_ok_and(|held| held == full));
        if !known && plan.is_file() {
            plans.push(plan);
        }
    }
    let now = Clock::start().now().at;
    let mut rows: Vec<Row> = plans
        .into_iter()
        .take(MOST)
        .filter_map(|plan| {
            let name = show::plain(&plan.to_string_lossy(), 80);
            let session = match status::load(&plan) {
                Ok(session) => session,
                // A file that is no plan at all is not listed; a plan with a damaged journal is.
                Err(why) if why.contains("journal") => {
                    let shown = ShelfRow {
                        title: "damaged journal".to_owned(),
                        state: show::plain(&why, 160),
                        file: name,
                    };
                    return Some(Row {
                        plan,
                        finished: false,
                        begun: true,
                        shown,
                    });
                }
                Err(_) => return None,
            };
            let begun = session.has_begun();
            let finished = session.is_finished();
            let state = match (begun, session.current(), session.last) {
                (false, ..) => "not begun".to_owned(),
                (true, Some(step), Some(last)) => format!(
                    "step {} of {}: {}, {} ago",
                    session.at + 1,
                    session.plan.steps.len(),
                    step.name(),
                    show::span(now.since(last))
                ),
                (true, Some(step), None) => format!("at {}", step.name()),
                (true, None, _) => "done".to_owned(),
            };
            let shown = ShelfRow {
                title: session.plan.title.clone(),
                state,
                file: name,
            };
            Some(Row {
                plan,
                finished,
                begun,
                shown,
            })
        })
        .collect();
    rows.sort_by_key(|row| (row.finished, !row.begun));
    rows
}

fn tomls(folder: &Path) -> Vec<PathBuf> {
    let mut found: Vec<PathBuf> = std::fs::read_dir(folder)
        .map(|files| files.flatten().map(|file| file.path()).collect())
        .unwrap_or_default();
    found.retain(|path| {
        let toml = path.extension().is_some_and(|end| end == "toml");
        toml && path
            .file_name()
            .is_some_and(|name| name != "Cargo.toml" && name != "clippy.toml")
    });
    found.sort();
    found
}
