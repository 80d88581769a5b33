//! `anvilside ask`: the real program asked at the bench, and the page that documents it.
//!
//! To write tables and outputs of the page anew: `BLESS=1 cargo test --test it ask`.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test"
)]

use std::collections::BTreeSet;
use std::path::PathBuf;
use std::process::Command;

use serde_json::Value;

/// Exit code, standard output and standard error of `anvilside ask` with these arguments.
fn run(args: &[&str]) -> (i32, String, String) {
    let out = Command::new(env!("CARGO_BIN_EXE_anvilside"))
        .arg("ask")
        .args(args)
        .output()
        .unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (
        out.status.code().unwrap(),
        text(out.stdout),
        text(out.stderr),
    )
}

/// The arguments of a line as it is typed: a part with blanks in it stands in quotes.
fn asked(line: &str) -> Vec<&str> {
    let parts = line.split('\'').enumerate();
    let words = parts.flat_map(|(at, part)| match at % 2 {
        0 => part.split_whitespace().collect(),
        _ => vec![part],
    });
    words.collect()
}

/// The words of an answer: two lines, the second the law.
fn words(args: &[&str]) -> String {
    let (code, out, err) = run(args);
    assert_eq!(code, 0, "{args:?}: {err}");
    let lines: Vec<&str> = out.lines().collect();
    assert_eq!(lines.len(), 2, "{args:?}: {out}");
    assert!(lines[1].starts_with("  law: "), "{args:?}: {out}");
    lines[0].to_owned()
}

/// The JSON of an answer.
fn json(args: &[&str]) -> Value {
    let (code, out, err) = run(&[args, &["--json"]].concat());
    assert_eq!(code, 0, "{args:?}: {err}");
    serde_json::from_str(&out).unwrap()
}

/// One figure of an answer.
fn figure(args: &[&str], key: &str) -> f64 {
    let found = json(args);
    found["answer"][key]
        .as_f64()
        .unwrap_or_else(|| panic!("{args:?}: no {key} in {found}"))
}

/// The sentence of a refusal, which ends with code 2 and says nothing on standard output.
fn refused(args: &[&str]) -> String {
    let (code, out, err) = run(args);
    assert_eq!((code, out.as_str()), (2, ""), "{args:?}: {err}");
    err.trim_end().to_owned()
}

fn near(found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance,
        "{found}, expected {expected}"
    );
}

mod ends;
mod figures;
mod page;
mod refusals;

/// The topics, as the program names them.
fn topics() -> Vec<String> {
    let command = anvilside::cli::command();
    let ask = command.find_subcommand("ask").unwrap();
    ask.get_subcommands()
        .map(|topic| topic.get_name().to_owned())
        .collect()
}

#[test]
fn asking_nothing_shows_the_topics_and_ends_with_2() {
    let said = refused(&[]);
    for topic in topics() {
        assert!(said.contains(&topic), "{topic}");
    }
    assert!(refused(&["sise"]).contains("'size'"));
}
