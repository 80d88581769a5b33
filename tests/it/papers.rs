//! The files that commands write: over none that is not theirs, as private as it should be, and nothing
//! left of a write that was killed.
#![allow(
    clippy::unwrap_used,
    reason = "a test stops at the first thing that is not as it should be"
)]

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

use anvilside::shell::disk::RealDisk;
use anvilside::shell::replace::replace;

const WORDS: [[&str; 3]; 2] = [["record", "a.toml", "--html"], ["sheet", "a.toml", "--out"]];

fn run(folder: &Path, words: &[&str], last: &str) -> Output {
    Command::new(env!("CARGO_BIN_EXE_anvilside"))
        .args(words)
        .arg(last)
        .current_dir(folder)
        .env("ANVILSIDE_STATE", folder.join("state"))
        .output()
        .unwrap()
}

fn with_plan() -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    let sample = crate::common::plan_text("three-layer");
    replace(&RealDisk, &dir.path().join("a.toml"), sample.as_bytes()).unwrap();
    dir
}

#[test]
fn a_page_is_written_over_no_other_file() {
    let dir = with_plan();
    let text = dir.path().join("letter.txt");
    replace(&RealDisk, &text, b"a letter").unwrap();
    for words in WORDS {
        for name in ["a.toml", "letter.txt"] {
            let before = fs::read(dir.path().join(name)).unwrap();
            let output = run(dir.path(), &words, name);
            assert_eq!(output.status.code(), Some(1), "{words:?} {name}");
            let said = String::from_utf8(output.stderr).unwrap();
            assert!(said.contains("give another name"), "{said}");
            assert!(fs::read(dir.path().join(name)).unwrap() == before);
        }
        let gone = run(dir.path(), &words, "gone/page.html");
        let said = String::from_utf8(gone.stderr).unwrap();
        assert!(said.contains("the folder gone is not there"), "{said}");
        // a page of our own is written anew without a word, and so over that of another command
        for _ in 0..2 {
            assert!(run(dir.path(), &words, "page.html").status.success());
        }
    }
}

#[cfg(unix)]
#[test]
fn a_pipe_is_no_place_for_a_file() {
    use std::os::unix::fs::FileTypeExt;
    let dir = with_plan();
    let pipe = dir.path().join("pipe.png");
    assert!(
        Command::new("mkfifo")
            .arg(&pipe)
            .status()
            .unwrap()
            .success()
    );
    let picture = [
        "picture",
        "a.toml",
        "--size",
        "80x40",
        "--overwrite",
        "--out",
    ];
    let all = WORDS.iter().map(|words| &words[..]).chain([&picture[..]]);
    for words in all {
        let output = run(dir.path(), words, "pipe.png");
        assert_eq!(output.status.code(), Some(1), "{words:?}");
        let said = String::from_utf8(output.stderr).unwrap();
        assert!(said.contains("give another name"), "{said}");
        assert!(pipe.metadata().unwrap().file_type().is_fifo(), "{words:?}");
    }
    // nor behind a link in our own folder
    fs::create_dir_all(dir.path().join("state")).unwrap();
    std::os::unix::fs::symlink(&pipe, dir.path().join("state/billets.index")).unwrap();
    let listed = Command::new(env!("CARGO_BIN_EXE_anvilside"))
        .current_dir(dir.path())
        .env("ANVILSIDE_STATE", dir.path().join("state"))
        .output();
    assert!(listed.unwrap().status.success());
    assert!(pipe.metadata().unwrap().file_type().is_fifo());
}

#[cfg(unix)]
#[test]
fn a_page_is_as_private_as_its_plan_and_a_sample_as_any_file() {
    use std::os::unix::fs::PermissionsExt;
    let dir = with_plan();
    let mode = |name: &str| {
        fs::metadata(dir.path().join(name))
            .unwrap()
            .permissions()
            .mode()
            & 0o777
    };
    for plan in [0o600, 0o644] {
        fs::set_permissions(dir.path().join("a.toml"), fs::Permissions::from_mode(plan)).unwrap();
        for words in WORDS {
            let name = format!("{}-{plan:o}.html", words[0]);
            assert!(run(dir.path(), &words, &name).status.success());
            assert_eq!(mode(&name), plan, "{name}");
        }
    }
    assert!(run(dir.path(), &["samples"], ".").status.success());
    // as the system makes any file, see umask(2)
    fs::File::create(dir.path().join("any")).unwrap();
    assert_eq!(mode("kitchen-pair.toml"), mode("any"));
}

#[cfg(target_os = "linux")]
#[test]
fn what_a_killed_page_left_goes_with_the_next() {
    let dir = with_plan();
    // no process has so high a number, see pid_max in proc(5)
    let left = dir.path().join(".page.html.4999999-0.new");
    replace(&RealDisk, &left, b"half a page").unwrap();
    assert!(run(dir.path(), &WORDS[0], "page.html").status.success());
    assert!(!left.exists());
}
