//! Nothing that comes from outside (plans, journals, names, arguments) commands the terminal or turns the
//! order of what is written.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    clippy::print_stdout,
    clippy::disallowed_methods,
    reason = "a test stops at the first thing that is not as it should be, and keeps real time"
)]

use std::path::Path;
use std::process::{Command, Output};

use anvilside::journal::{Entry, Event, encode};
use anvilside::plan::StepId;
use anvilside::shell::disk::RealDisk;
use anvilside::shell::replace::replace;
use anvilside::units::Stamp;

/// Unicode's controls (general category Cc), separators of lines and paragraphs (Zl, Zp), and marks of
/// direction (property Bidi_Control): the Unicode character database, from memory.
fn odd() -> Vec<char> {
    let marks = [
        0x61c, 0x200e, 0x200f, 0x2028, 0x2029, 0x202a, 0x202b, 0x202c, 0x202d, 0x202e, 0x2066,
        0x2067, 0x2068, 0x2069,
    ];
    (0..0x20_u32)
        .chain(0x7f..0xa0)
        .chain(marks)
        .filter_map(char::from_u32)
        .collect()
}

fn run(folder: &Path, words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_anvilside"))
        .args(words)
        .current_dir(folder)
        .env("ANVILSIDE_STATE", folder.join("state"))
        .env("LANG", "C.UTF-8")
        .env_remove("LC_ALL")
        .output()
        .unwrap()
}

fn is_clean(output: &Output, what: &str) {
    for text in [&output.stdout, &output.stderr] {
        let text = String::from_utf8(text.clone()).unwrap();
        let found = text
            .chars()
            .find(|c| !matches!(c, '\n' | '\t') && odd().contains(c));
        assert_eq!(found, None, "{what}: {text}");
    }
}

/// A plan with these characters in every place that takes text.
fn plan(odd: &str) -> String {
    let escaped: String = odd
        .chars()
        .map(|c| format!("\\u{:04X}", u32::from(c)))
        .collect();
    let text = crate::common::plan_text("three-layer");
    let title = text.lines().find(|line| line.starts_with("title")).unwrap();
    text.replace(title, &format!("title = \"a{escaped}b\""))
        .replace("The core must", &format!("c{escaped}d"))
}

fn journal(text: &str, odd: &str) -> String {
    let hash = crc32fast::hash(text.as_bytes());
    let step = anvilside::plan::read(text).unwrap().0.steps[0].id.clone();
    let noted = format!("a{odd}b");
    let events = [
        Event::Plan {
            hash,
            text: text.to_owned(),
        },
        Event::Opened {
            offset: 0,
            version: noted.clone(),
        },
        Event::Note {
            step: step.clone(),
            text: noted.clone(),
        },
        Event::Decided { step, what: noted },
        Event::Note {
            step: StepId(format!("x{odd}")),
            text: String::new(),
        },
    ];
    let entry = |(n, event)| Entry {
        seq: n as u64 + 1,
        at: Stamp(1_772_438_400_000),
        event,
    };
    events
        .into_iter()
        .enumerate()
        .map(|one| encode(&entry(one)).unwrap())
        .collect()
}

#[test]
fn no_command_lets_text_command_the_terminal() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path();
    let odd = odd();
    let all: String = odd.iter().filter(|c| **c != '\0').collect();
    let put = |name: &str, text: &str| {
        replace(&RealDisk, &folder.join(name), text.as_bytes()).unwrap();
    };
    let text = plan(&all);
    put("plan.toml", &text);
    put("plan.journal", &journal(&text, &all));
    put(
        "raw.toml",
        &format!("title = \"{all}\"\n[x{all}]\n{all} = 3\n"),
    );
    let named: String = all.chars().filter(|c| *c != '/').collect();
    let named = format!("n{named}.toml");
    put(&named, &plan("x"));
    put(
        "keys.toml",
        &plan("x").replace(
            "title =",
            &format!("\"t{}\" = 1\ntitle =", "\\u2028\\u202e\\u009b"),
        ),
    );
    let odd_word = format!("w{all}");
    for words in [
        vec!["check", "plan.toml"],
        vec!["check", "plan.toml", "--json"],
        vec!["status", "plan.toml"],
        vec!["status", "plan.toml", "--json"],
        vec!["record", "plan.toml"],
        vec!["check", "raw.toml"],
        vec!["check", "keys.toml"],
        vec!["status", "raw.toml"],
        vec!["work", "raw.toml"],
        vec!["work", "plan.toml"],
        vec!["check", &named],
        vec!["status", &named],
        vec!["record", &named],
        vec!["picture", &named, "--out", "p.png"],
        vec!["picture", "plan.toml", "--out", &odd_word],
        vec!["picture", "plan.toml", "--at", &odd_word],
        vec!["ask", "size", &odd_word],
        vec!["ask", &odd_word],
        vec!["count", &odd_word],
        vec!["count", "plan.toml"],
        vec!["count", "plan.toml", "--plan", &named, "--take"],
        vec!["count", "--from", "--bands", &odd_word],
        vec!["samples", &odd_word],
        vec!["man", &odd_word],
        vec!["man", "plan.toml"],
        vec!["completions", &odd_word],
        vec!["completions", "bash"],
        vec!["follow", &named],
        vec!["sheet", &named],
        vec!["draft", "--steel", &odd_word],
        vec!["draft", "--wish", &odd_word],
        vec!["draft", "--wish", "raw.toml"],
        vec![&odd_word],
        vec!["--theme", &odd_word],
        vec![],
    ] {
        is_clean(&run(folder, &words), &format!("{:?}", words.first()));
    }
    // each by itself, where a mixture may be cut short before it
    for c in odd.into_iter().filter(|c| *c != '\0') {
        let name = format!("gone{c}.toml");
        is_clean(&run(folder, &["status", &name]), &format!("{c:?}"));
    }
}

#[test]
fn a_terminal_without_letters_gets_plain_ascii() {
    let dir = tempfile::tempdir().unwrap();
    let text = crate::common::plan_text("kitchen-pair");
    replace(&RealDisk, &dir.path().join("plan.toml"), text.as_bytes()).unwrap();
    for (name, value) in [("TERM", "dumb"), ("LANG", "C"), ("LC_ALL", "POSIX")] {
        for words in [
            &["check", "plan.toml"][..],
            &["status", "plan.toml"],
            &["record", "plan.toml"],
        ] {
            let output = Command::new(env!("CARGO_BIN_EXE_anvilside"))
                .args(words)
                .current_dir(dir.path())
                .env(name, value)
                .output()
                .unwrap();
            assert!(output.stdout.is_ascii(), "{name}={value} {words:?}");
        }
    }
}

#[cfg(unix)]
#[test]
fn what_is_no_plain_file_is_refused_at_once() {
    let dir = tempfile::tempdir().unwrap();
    let made = Command::new("mkfifo")
        .arg(dir.path().join("pipe.toml"))
        .status();
    assert!(made.unwrap().success());
    std::fs::create_dir(dir.path().join("folder.toml")).unwrap();
    std::os::unix::fs::symlink("/dev/zero", dir.path().join("zero.toml")).unwrap();
    let state = dir.path().join("state");
    std::fs::create_dir(&state).unwrap();
    std::os::unix::fs::symlink("/dev/zero", state.join("recent")).unwrap();
    let sample = crate::common::plan_text("three-layer");
    replace(&RealDisk, &dir.path().join("a.toml"), sample.as_bytes()).unwrap();
    for name in ["pipe.toml", "folder.toml", "zero.toml"] {
        for words in [
            vec!["check", name],
            vec!["status", name],
            vec!["record", name],
            vec!["picture", name],
            vec!["picture", "a.toml", "--compare", name],
            vec!["draft", "--wish", name],
        ] {
            let begun = std::time::Instant::now();
            let output = run(dir.path(), &words);
            assert!(!output.status.success(), "{words:?}");
            assert!(
                begun.elapsed() < std::time::Duration::from_secs(20),
                "{words:?}"
            );
        }
    }
    // alone, they are passed over
    let output = run(dir.path(), &[]);
    let text = String::from_utf8(output.stdout).unwrap();
    assert!(
        text.contains("a.toml") && !text.contains("pipe.toml"),
        "{text}"
    );
}

#[cfg(unix)]
#[test]
fn a_journal_is_as_private_as_its_plan() {
    use std::os::unix::fs::PermissionsExt;
    let dir = tempfile::tempdir().unwrap();
    let plan = dir.path().join("knife.toml");
    replace(&RealDisk, &plan, b"x").unwrap();
    std::fs::set_permissions(&plan, std::fs::Permissions::from_mode(0o600)).unwrap();
    let mut opened = anvilside::shell::Store::open(&plan).unwrap();
    assert_eq!(opened.mode, anvilside::shell::Mode::Writable);
    // looking makes no journal
    assert!(!dir.path().join("knife.journal").exists());
    let first = Entry {
        seq: 1,
        at: Stamp(0),
        event: Event::Drank,
    };
    opened.store.append(&first).unwrap();
    for name in ["knife.journal", "knife.lock"] {
        let mode = dir
            .path()
            .join(name)
            .metadata()
            .unwrap()
            .permissions()
            .mode();
        assert_eq!(mode & 0o077, 0, "{name}: {mode:o}");
    }
    // whoever may write the plan may take the lock
    let shared = dir.path().join("shared.toml");
    replace(&RealDisk, &shared, b"x").unwrap();
    std::fs::set_permissions(&shared, std::fs::Permissions::from_mode(0o660)).unwrap();
    drop(anvilside::shell::Store::open(&shared).unwrap());
    let lock = shared.with_extension("lock").metadata().unwrap();
    assert_eq!(lock.permissions().mode() & 0o777, 0o660);
    // a link to nowhere is not followed
    let plan = dir.path().join("other.toml");
    replace(&RealDisk, &plan, b"x").unwrap();
    let aim = dir.path().join("aim");
    std::os::unix::fs::symlink(&aim, dir.path().join("other.journal")).unwrap();
    let opened = anvilside::shell::Store::open(&plan).unwrap();
    assert_ne!(opened.mode, anvilside::shell::Mode::Writable);
    assert!(!aim.exists());
}

/// A job's journal with so many bytes behind its entries.
fn job_with_tail(folder: &Path, tail: &[u8]) {
    let text = crate::common::plan_text("three-layer");
    let mut bytes = journal(&text, "").into_bytes();
    bytes.extend_from_slice(tail);
    replace(&RealDisk, &folder.join("plan.toml"), text.as_bytes()).unwrap();
    replace(&RealDisk, &folder.join("plan.journal"), &bytes).unwrap();
}

#[test]
fn status_and_record_say_what_they_leave_out() {
    let dir = tempfile::tempdir().unwrap();
    job_with_tail(dir.path(), b"6 2026-03");
    for words in [["status", "plan.toml"], ["record", "plan.toml"]] {
        let output = run(dir.path(), &words);
        assert!(output.status.success());
        let said = String::from_utf8(output.stderr).unwrap();
        assert!(
            said.contains("its last 9 bytes are no whole entry"),
            "{said}"
        );
    }
}

#[test]
fn a_journal_that_holds_no_lines_is_refused_unread() {
    let dir = tempfile::tempdir().unwrap();
    for filled in [0, b'x'] {
        job_with_tail(dir.path(), &vec![filled; 40 << 20]);
        let before = dir.path().join("plan.journal").metadata().unwrap().len();
        for command in ["status", "record"] {
            let output = run(dir.path(), &[command, "plan.toml"]);
            assert_eq!(output.status.code(), Some(1));
            let said = String::from_utf8(output.stderr).unwrap();
            assert!(
                said.contains("line 6: the line is longer than any entry"),
                "{said}"
            );
        }
        let opened = anvilside::shell::Store::open(&dir.path().join("plan.toml"));
        assert!(opened.is_err());
        let after = dir.path().join("plan.journal").metadata().unwrap().len();
        assert_eq!(before, after);
    }
    // and of what is refused, no more than the first part is read
    use anvilside::shell::disk::Disk;
    let part = RealDisk.read_lines(&dir.path().join("plan.journal"), 1 << 30, 1 << 20);
    assert!(part.unwrap().unwrap().len() < 16 << 20);
}

#[test]
fn a_picture_is_written_over_no_other_file() {
    let dir = tempfile::tempdir().unwrap();
    let sample = crate::common::plan_text("three-layer");
    replace(&RealDisk, &dir.path().join("a.toml"), sample.as_bytes()).unwrap();
    for name in ["p.png", "p.svg"] {
        let words = ["picture", "a.toml", "--size", "80x40", "--out", name];
        let path = dir.path().join(name);
        replace(&RealDisk, &path, b"the only photograph").unwrap();
        let output = run(dir.path(), &words);
        assert_eq!(output.status.code(), Some(1), "{name}");
        assert_eq!(std::fs::read(&path).unwrap(), b"the only photograph");
        let said = String::from_utf8(output.stderr).unwrap();
        assert!(said.contains("--overwrite"), "{said}");
        let asked = [&words[..], &["--overwrite"]].concat();
        assert!(run(dir.path(), &asked).status.success());
        // a picture of our own is drawn anew without a word
        assert!(run(dir.path(), &words).status.success(), "{name}");
    }
}

#[cfg(unix)]
#[test]
fn what_stands_in_the_place_of_a_lock_is_named() {
    use anvilside::shell::{Mode, Store};
    let dir = tempfile::tempdir().unwrap();
    let plan = dir.path().join("knife.toml");
    let lock = dir.path().join("knife.lock");
    replace(&RealDisk, &plan, b"x").unwrap();
    let refused = || match Store::open(&plan).unwrap().mode {
        Mode::Refused(why) => assert!(why.contains("no plain file; take it away"), "{why}"),
        other => panic!("{other:?}"),
    };
    std::fs::create_dir(&lock).unwrap();
    refused();
    std::fs::remove_dir(&lock).unwrap();
    std::os::unix::fs::symlink(dir.path().join("nowhere"), &lock).unwrap();
    refused();
    std::fs::remove_file(&lock).unwrap();
    assert!(
        Command::new("mkfifo")
            .arg(&lock)
            .status()
            .unwrap()
            .success()
    );
    refused();
}

#[cfg(unix)]
#[test]
fn the_list_of_recent_plans_is_its_owners_alone() {
    use std::os::unix::fs::PermissionsExt;
    let dir = tempfile::tempdir().unwrap();
    let state = dir.path().join("state");
    let recent = anvilside::shell::Recent::in_folder(&state);
    recent.add(Path::new("a.toml")).unwrap();
    let mode = |path: &Path| path.metadata().unwrap().permissions().mode() & 0o777;
    assert_eq!(mode(&state), 0o700);
    let list = state.join("recent");
    // as an older version, or a shell that hides nothing, left it
    std::fs::set_permissions(&list, std::fs::Permissions::from_mode(0o666)).unwrap();
    recent.add(Path::new("b.toml")).unwrap();
    assert_eq!(mode(&list), 0o600);
}
