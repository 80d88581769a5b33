//! `anvilside` alone: the billets of this folder and of recent use, the unfinished first.

use std::io::{BufRead, IsTerminal, Write};
use std::path::{Path, PathBuf};

use super::{Look, out, status, work};
use crate::shell::clock::Clock;
use crate::shell::paths::state_folder;
use crate::shell::recent::Recent;
use crate::units::show;

/// Most billets listed.
const MOST: usize = 30;

struct Row {
    plan: PathBuf,
    finished: bool,
    begun: bool,
    words: String,
}

/// Lists the billets; on a terminal a number opens one.
pub(super) fn run(look: &Look) -> u8 {
    let rows = rows();
    if rows.is_empty() {
        out::say(
            "No plans here yet. Write one (plans/FORMAT.md says how), or start from a sample:\n  \
             anvilside work plans/kitchen-pair.toml\n`anvilside --help` shows the commands.",
        );
        return 0;
    }
    let mut text = String::from("Billets, the unfinished first:\n");
    for (n, row) in rows.iter().enumerate() {
        text.push_str(&format!("{:>3}  {}\n", n + 1, row.words));
    }
    out::say(&text);
    if !(std::io::stdin().is_terminal() && std::io::stdout().is_terminal()) {
        return 0;
    }
    match ask(rows.len()) {
        Some(at) => rows.get(at).map_or(0, |row| work::run(&row.plan, look)),
        None => 0,
    }
}

/// Asks for a number until one is given or the line is empty.
fn ask(last: usize) -> Option<usize> {
    loop {
        let mut stdout = std::io::stdout().lock();
        let _ = write!(stdout, "Number to open, or ENTER to leave: ");
        let _ = stdout.flush();
        drop(stdout);
        let mut line = String::new();
        if std::io::stdin().lock().read_line(&mut line).ok()? == 0 {
            return None;
        }
        let line = line.trim();
        if line.is_empty() {
            return None;
        }
        match line.parse::<usize>() {
            Ok(n) if (1..=last).contains(&n) => return Some(n - 1),
            _ => out::say(&format!(
                "'{}' is not one of 1 to {last}",
                show::plain(line, 20)
            )),
        }
    }
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
        if !known && plan.exists() {
            plans.push(plan);
        }
    }
    let now = Clock::start().now().at;
    let mut rows: Vec<Row> = plans
        .into_iter()
        .take(MOST)
        .filter_map(|plan| {
            let name = show::plain(&plan.display().to_string(), 40);
            let session = match status::load(&plan) {
                Ok(session) => session,
                // A file that is no plan at all is not listed; a plan with a damaged journal is.
                Err(why) if why.contains("journal") => {
                    let words = format!("{name}: {}", show::plain(&why, 100));
                    return Some(Row {
                        plan,
                        finished: false,
                        begun: true,
                        words,
                    });
                }
                Err(_) => return None,
            };
            let begun = session.seq > 1;
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
            let words = format!("{name}: {} ({state})", session.plan.title);
            Some(Row {
                plan,
                finished,
                begun,
                words,
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
