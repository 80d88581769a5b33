//! The house rules that a compiler does not know.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::string_slice,
    clippy::panic
)]

mod map;
mod source;

use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use source::{ModulePath, Source};

/// The floors, lowest first. A file imports only from its own folder or lower floors.
const FLOORS: [&str; 13] = [
    "units", "metal", "count", "physics", "billet", "pattern", "plan", "journal", "session",
    "planner", "ui", "shell", "cli",
];

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn rust_files(folder: &Path, out: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap().flatten() {
        let path = entry.path();
        if path.is_dir() {
            rust_files(&path, out);
        } else if path.extension().is_some_and(|end| end == "rs") {
            out.push(path);
        }
    }
}

fn floor_of(path: &ModulePath) -> Option<usize> {
    let first = path.first()?;
    FLOORS.iter().position(|floor| floor == first)
}

fn source() -> &'static Source {
    static SOURCE: OnceLock<Source> = OnceLock::new();
    SOURCE.get_or_init(|| Source::read(&root()))
}

/// Every file below `floor` with the foreign paths and macros that it names.
fn foreign_below(floor: &str) -> impl Iterator<Item = (&'static str, &'static String)> {
    let limit = FLOORS.iter().position(|known| *known == floor).unwrap();
    source()
        .modules
        .iter()
        .filter(move |(path, _)| floor_of(path).is_some_and(|own| own < limit))
        .flat_map(|(_, module)| {
            let named = module.foreign.iter();
            named.map(|path| (module.file.as_str(), path))
        })
}

#[test]
fn a_file_imports_only_from_its_own_folder_or_lower_floors() {
    let mut wrong = Vec::new();
    for (path, module) in &source().modules {
        let Some(own) = floor_of(path) else { continue };
        for named in &module.paths {
            if floor_of(named).is_some_and(|other| other > own) {
                wrong.push(format!("{} names {}", module.file, named.join("::")));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_file_of_the_program_is_read() {
    let mut files = Vec::new();
    rust_files(&root().join("src"), &mut files);
    let read = source().modules.len();
    // Files of tests stand apart; they are named so, or lie beside what they test.
    assert!(read * 10 > files.len() * 9, "{read} of {}", files.len());
    assert!(source().modules.len() > 300);
}

#[test]
fn the_reader_sees_through_what_hands_names_on() {
    let uses = source().uses(&vec!["cli".to_owned(), "status".to_owned()]);
    let has = |path: &[&str]| uses.iter().any(|used| used.iter().eq(path));
    // `use crate::session::Session` is a use of the file that defines it.
    assert!(has(&["session", "state"]), "{uses:?}");
    assert!(!has(&["session", "fold"]), "{uses:?}");
}

#[test]
fn below_the_shell_nothing_reads_a_clock_a_disk_a_thread_or_a_terminal() {
    let banned = [
        "std::fs",
        "std::net",
        "std::thread",
        "std::process",
        "std::env",
        "std::time::SystemTime",
        "std::time::Instant",
        "std::io::stdin",
        "std::io::stdout",
        "std::io::stderr",
        "notify",
        "signal_hook",
        "jiff::Timestamp::now",
        "jiff::Zoned::now",
        "Timestamp::now",
        "Zoned::now",
        "crossterm::terminal",
        "crossterm::event",
        "println",
        "eprintln",
    ];
    let wrong: Vec<String> = foreign_below("shell")
        .filter(|(_, path)| banned.iter().any(|ban| starts_with(path, ban)))
        .map(|(file, path)| format!("{file} uses {path}"))
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// What outlives a call is owned by the caller: a table that is read once may stand in a static, what
/// changes may not.
#[test]
fn below_the_shell_nothing_that_changes_belongs_to_the_process() {
    let changes = ["Mutex", "RwLock", "RefCell", "Cell<", "Atomic"];
    let mut wrong = Vec::new();
    for floor in FLOORS.iter().take_while(|floor| **floor != "shell") {
        let mut files = Vec::new();
        rust_files(&root().join("src").join(floor), &mut files);
        for file in files {
            let text = std::fs::read_to_string(&file).unwrap();
            let bad = text.lines().map(str::trim).filter(|line| {
                let is_static = line
                    .split_once("static ")
                    .is_some_and(|(before, _)| before.is_empty() || before.starts_with("pub"));
                line.starts_with("thread_local!")
                    || is_static && changes.iter().any(|word| line.contains(word))
            });
            wrong.extend(bad.map(|line| format!("{}: {line}", file.display())));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Names that a stranger cannot read, each with what it is called now.
const RETIRED: [(&str, &str); 11] = [
    ("Strata", "FirstStack"),
    ("Seeker", "Search"),
    ("Came", "Batch"),
    ("Reckoned", "FireAndMetal"),
    ("look_about", "read_shop"),
    ("deaf", "unwatched"),
    ("Tail", "AfterPile"),
    ("Sight", "Equation"),
    ("Known", "BilletInfo"),
    (
        "Found",
        "called by what was found: FoundBar, SearchResult, WalkEnd",
    ),
    (
        "Run",
        "called by what runs: RestackRun, HammerRun, Simulation",
    ),
];

#[test]
fn nothing_is_called_by_a_retired_name() {
    let mut files = Vec::new();
    rust_files(&root().join("src"), &mut files);
    let mut wrong = Vec::new();
    for file in files {
        let text = std::fs::read_to_string(&file).unwrap();
        let code = text
            .lines()
            .map(|line| line.split("//").next().unwrap_or(line));
        for line in code {
            let mut words = line.split(|c: char| !c.is_alphanumeric() && c != '_');
            let old = words.find_map(|word| RETIRED.iter().find(|(old, _)| *old == word));
            let say = |(old, new)| format!("{}: {old} is {new} now", file.display());
            wrong.extend(old.copied().map(say));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn below_the_screen_nothing_knows_a_terminal() {
    let wrong: Vec<String> = foreign_below("ui")
        .filter(|(_, path)| starts_with(path, "ratatui") || starts_with(path, "crossterm"))
        .map(|(file, path)| format!("{file} uses {path}"))
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Whole segments only: `notify` is not the start of `notify_all`.
fn starts_with(path: &str, ban: &str) -> bool {
    path.strip_prefix(ban)
        .is_some_and(|rest| rest.is_empty() || rest.starts_with("::"))
}

#[test]
fn inside_a_floor_no_files_use_each_other_in_a_ring() {
    let mut wrong = Vec::new();
    for floor in FLOORS {
        for ring in source().rings(floor) {
            wrong.push(format!("in {floor}:\n  {}", ring.join("\n  ")));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_floor_has_its_folder_and_its_words() {
    for floor in FLOORS {
        let text = std::fs::read_to_string(root().join(format!("src/{floor}/mod.rs"))).unwrap();
        assert!(text.starts_with("//!"), "{floor}");
    }
}

#[test]
fn every_file_that_the_developers_page_names_is_there() {
    let page = std::fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    let named = page.split('`').skip(1).step_by(2);
    let files: Vec<&str> = named
        .filter(|name| name.ends_with(".rs") && name.contains('/') && !name.contains(['*', ' ']))
        .collect();
    assert!(files.len() > 60, "{}", files.len());
    let floors = FLOORS.map(|floor| format!("src/{floor}"));
    let folders = floors.iter().map(String::as_str).chain(["", "src"]);
    let is_there = |name: &str| {
        folders
            .clone()
            .any(|folder| root().join(folder).join(name).is_file())
    };
    let gone: Vec<&str> = files.into_iter().filter(|name| !is_there(name)).collect();
    assert!(gone.is_empty(), "{gone:?}");
}

#[test]
fn files_stay_small() {
    let mut all: Vec<usize> = Vec::new();
    let mut wrong = Vec::new();
    for module in source().modules.values() {
        let production = module
            .text
            .split("\n#[cfg(test)]\nmod tests {")
            .next()
            .unwrap();
        let lines = production.lines().count();
        all.push(lines);
        // A longer file says in its first lines why it is one.
        let reason = module
            .text
            .lines()
            .take(12)
            .any(|line| line.starts_with("//! Long because"));
        if lines > 400 && !reason {
            wrong.push(format!("{}: {lines} lines", module.file));
        }
    }
    assert!(wrong.is_empty(), "split, or say why: {}", wrong.join("\n"));
    all.sort_unstable();
    let median = all[all.len() / 2];
    assert!(median <= 200, "median {median}");
}

#[test]
fn the_top_level_holds_what_the_card_names() {
    let allowed = [
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "src",
        "plans",
        "tests",
        "shared",
        "screenshots",
        "benches",
        ".ci",
        ".github",
        ".git",
        ".gitignore",
        "clippy.toml",
        "rustfmt.toml",
        "rust-toolchain.toml",
        "CHANGELOG.md",
        "target",
        "LICENSE",
        // where a property test that fails keeps its case; not committed
        "proptest-regressions",
    ];
    let extra: Vec<String> = std::fs::read_dir(root())
        .unwrap()
        .flatten()
        .map(|entry| entry.file_name().to_string_lossy().into_owned())
        .filter(|name| !allowed.contains(&name.as_str()))
        .collect();
    assert!(extra.is_empty(), "{extra:?}");
}
