//! The house rules that a compiler does not know.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::string_slice)]

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// The floors, lowest first. A file imports only from its own folder or lower floors.
const FLOORS: [&str; 12] = [
    "units", "metal", "physics", "billet", "pattern", "plan", "journal", "session", "planner",
    "ui", "shell", "cli",
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

fn sources() -> Vec<(String, String)> {
    let mut files = Vec::new();
    rust_files(&root().join("src"), &mut files);
    files.sort();
    let all: Vec<(String, String)> = files
        .into_iter()
        .map(|path| {
            let text = std::fs::read_to_string(&path).unwrap();
            let name = path
                .strip_prefix(root())
                .unwrap()
                .to_string_lossy()
                .replace('\\', "/");
            (name, text)
        })
        .collect();
    let tests = test_only(&all);
    let is_test = |file: &str| {
        tests
            .iter()
            .any(|test| file == format!("{test}.rs") || file.starts_with(&format!("{test}/")))
    };
    all.into_iter().filter(|(file, _)| !is_test(file)).collect()
}

/// Files that are compiled for tests only: `#[cfg(test)] mod name;` in their parent.
fn test_only(all: &[(String, String)]) -> Vec<String> {
    let mut out = Vec::new();
    for (file, text) in all {
        let folder = match file.rsplit_once('/') {
            Some((folder, "mod.rs" | "lib.rs" | "main.rs")) => folder.to_owned(),
            Some((folder, name)) => format!("{folder}/{}", name.trim_end_matches(".rs")),
            None => continue,
        };
        for (at, _) in text.match_indices("#[cfg(test)]") {
            let rest = text[at + 12..].trim_start();
            if let Some((name, _)) = rest.strip_prefix("mod ").and_then(|r| r.split_once(';')) {
                out.push(format!("{folder}/{}", name.trim()));
            }
        }
    }
    out
}

fn floor_of(file: &str) -> Option<usize> {
    let folder = file.strip_prefix("src/")?.split('/').next()?;
    FLOORS.iter().position(|floor| *floor == folder)
}

/// The code of a file without its tests, comments and doc comments.
fn code(text: &str) -> String {
    let before_tests = text.split("#[cfg(test)]").next().unwrap_or("");
    before_tests
        .lines()
        .map(|line| line.split("//").next().unwrap_or(""))
        .collect::<Vec<_>>()
        .join("\n")
}

/// Floors named behind `crate::`, also in `use crate::{a::x, b}` groups.
fn named(code: &str) -> Vec<String> {
    let mut out = Vec::new();
    for (at, _) in code.match_indices("crate::") {
        let rest = &code[at + 7..];
        if let Some(group) = rest.strip_prefix('{') {
            let mut depth = 0usize;
            let mut word = String::new();
            let mut at_start = true;
            for c in group.chars() {
                match c {
                    '{' => depth += 1,
                    '}' if depth == 0 => break,
                    '}' => depth -= 1,
                    ',' if depth == 0 => at_start = true,
                    c if depth == 0 && at_start && (c.is_alphanumeric() || c == '_') => {
                        word.push(c);
                    }
                    c if depth == 0 && at_start && !word.is_empty() && !c.is_whitespace() => {
                        out.push(std::mem::take(&mut word));
                        at_start = false;
                    }
                    _ => {}
                }
                if at_start && c == ',' && !word.is_empty() {
                    out.push(std::mem::take(&mut word));
                }
            }
            if !word.is_empty() {
                out.push(word);
            }
        } else {
            out.push(
                rest.chars()
                    .take_while(|c| c.is_alphanumeric() || *c == '_')
                    .collect(),
            );
        }
    }
    out
}

#[test]
fn a_file_imports_only_from_its_own_folder_or_lower_floors() {
    let mut wrong = Vec::new();
    for (file, text) in sources() {
        let Some(own) = floor_of(&file) else { continue };
        for name in named(&code(&text)) {
            if let Some(other) = FLOORS.iter().position(|floor| *floor == name)
                && other > own
            {
                wrong.push(format!("{file} imports from {name}, a higher floor"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_import_reader_sees_groups_and_paths() {
    let code = "use crate::units::Mm; use crate::{billet::{Bar, Core}, plan}; crate::ui::draw();";
    assert_eq!(named(code), ["units", "billet", "plan", "ui"]);
}

#[test]
fn below_the_shell_nothing_reads_a_clock_a_disk_a_thread_or_a_terminal() {
    let banned = [
        "std::fs",
        "std::net",
        "std::thread",
        "std::process",
        "std::env",
        "SystemTime",
        "Instant",
        "std::io::stdin",
        "std::io::stdout",
        "std::io::stderr",
        "notify::",
        "signal_hook",
        "jiff::Timestamp::now",
        "jiff::Zoned::now",
        "crossterm::terminal",
        "crossterm::event",
        "println!",
        "eprintln!",
    ];
    let shell = FLOORS.iter().position(|floor| *floor == "shell").unwrap();
    let mut wrong = Vec::new();
    for (file, text) in sources() {
        if floor_of(&file).is_none_or(|floor| floor >= shell) {
            continue;
        }
        let code = code(&text);
        for word in banned {
            if code.contains(word) {
                wrong.push(format!("{file} uses {word}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn below_the_screen_nothing_knows_a_terminal() {
    let ui = FLOORS.iter().position(|floor| *floor == "ui").unwrap();
    let mut wrong = Vec::new();
    for (file, text) in sources() {
        if floor_of(&file).is_some_and(|floor| floor < ui) {
            let code = code(&text);
            if code.contains("ratatui") || code.contains("crossterm") {
                wrong.push(file);
            }
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
fn files_stay_small() {
    let sizes: BTreeMap<String, usize> = sources()
        .into_iter()
        .map(|(file, text)| (file, text.lines().count()))
        .collect();
    let large: Vec<_> = sizes.iter().filter(|(_, lines)| **lines > 600).collect();
    assert!(large.is_empty(), "split these: {large:?}");
    let mut all: Vec<usize> = sizes.values().copied().collect();
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
