//! Plans from wishes: three of our own, through the library, the screen at the anvil and the program.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::disallowed_methods,
    reason = "a test"
)]

use std::collections::BTreeSet;
use std::path::Path;
use std::process::{Command, Output, Stdio};

use crate::common::Desk;
use anvilside::plan::check;
use anvilside::plan::report::DRAFT_FIELDS;
use anvilside::planner::draft::{Form, NoPlan, Offer, Wish, draft, outlook};
use anvilside::planner::learn::{Lessons, ShopBook, learn};
use serde_json::Value;

/// A chef's knife out of metric stock under a press.
const MM: &[(&str, &str)] = &[
    ("length", "210"),
    ("width", "46"),
    ("spine", "3"),
    ("tang", "100 x 20 x 3 to 12 x 2.2"),
    ("bands", "100-150"),
    ("press", "25t"),
    ("steel", "1084=6mm x 40mm; 15N20=3mm x 40mm"),
];
/// Two hunting knives with a ladder figure and a plain edge, in inches.
const INCH: &[(&str, &str)] = &[
    ("units", "in"),
    ("length", "4"),
    ("width", "1-1/8"),
    ("knives", "2"),
    ("pattern", "ladder"),
    ("bands", "70-110"),
    ("welds", "3"),
    ("edge-margin", "1/8"),
    ("press", "16t"),
    ("steel", "1084=1/8,3/16 x 1-1/4; 15N20=1/16 x 1-1/4"),
];
/// A stack that a small press with wide dies cannot move.
const IMPOSSIBLE: &[(&str, &str)] = &[
    ("length", "150"),
    ("width", "32"),
    ("spine", "5"),
    ("bands", "60-150"),
    ("press", "12t"),
    ("die", "50"),
    ("steel", "1084=6mm x 52mm; 15N20=3mm x 52mm"),
];

/// A short one for the program: few plans.
const SHORT: &[(&str, &str)] = &[
    ("length", "150"),
    ("width", "32"),
    ("bands", "60-110"),
    ("welds", "2"),
    ("press", "25t"),
    ("steel", "1084=6mm x 40mm; 15N20=3mm x 40mm"),
];

fn wish(pairs: &[(&str, &str)]) -> Wish {
    let mut form = Form::default();
    for (key, text) in pairs {
        form.put(key, text).unwrap();
    }
    form.wish().unwrap()
}

fn lessons() -> Lessons {
    learn(&[], &ShopBook::default(), None)
}

fn offers(pairs: &[(&str, &str)]) -> Vec<Offer> {
    draft(&wish(pairs), &lessons(), &|_| true).unwrap()
}

/// Works a plan to its last step on the screen, with the number pad alone.
fn finishes(text: &str) {
    let checked = check(text);
    assert!(checked.found.is_empty(), "{:?}", checked.found);
    let mut desk = Desk::on(text);
    desk.foresees = false;
    let steps = desk.model.session.plan.steps.len();
    for _ in 0..steps {
        desk.finish_step();
    }
    assert!(desk.model.session.is_finished());
}

#[test]
fn a_metric_wish_is_checked_and_worked_to_the_end() {
    let offers = offers(MM);
    assert!(offers.len() >= 3, "{}", offers.len());
    for offer in &offers {
        assert!(check(&offer.text).found.is_empty());
        assert!((100..=150).contains(&offer.bands));
        // Metal for a smith whose losses are not known yet; common practice, no source.
        let seen = outlook(offer, &lessons());
        assert!(seen.enough.probability > 0.8, "{:?}", seen.enough);
        assert!(seen.heats.low < seen.heats.best && seen.heats.best < seen.heats.high);
        // What is bought is the stack with its saw cuts: volume times density.
        let stack = offer.stack.0.0 * offer.stack.1.0 * offer.length.0 / 1000.0 * 7.85;
        let ratio = offer.steel.0 / stack;
        assert!((1.0..1.06).contains(&ratio), "{ratio}");
    }
    finishes(&offers[0].text);
}

#[test]
fn an_inch_wish_is_checked_and_worked_to_the_end() {
    let offers = offers(INCH);
    for offer in &offers {
        assert!(check(&offer.text).found.is_empty());
        assert!(offer.text.contains("units = \"inch\""));
        assert!(offer.frame_words().unwrap().contains("SAE 1084"));
    }
    finishes(&offers[0].text);
}

#[test]
fn an_impossible_wish_names_the_ruling_limit() {
    let Err(NoPlan::Limits(why)) = draft(&wish(IMPOSSIBLE), &lessons(), &|_| true) else {
        panic!("a plan");
    };
    let why = why.join("\n");
    assert!(why.contains("no plan: the press moves "), "{why}");
    assert!(
        why.contains("52 wide; use drawing dies or a narrower"),
        "{why}"
    );
    // With drawing dies, as it says, there is one.
    let mut with: Vec<_> = IMPOSSIBLE.to_vec();
    with.retain(|(key, _)| *key != "die");
    with.push(("die", "20"));
    with.retain(|(key, _)| *key != "press");
    with.push(("press", "25t"));
    assert!(!offers(&with).is_empty());
}

fn run(folder: &Path, pairs: &[(&str, &str)], more: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_anvilside"));
    command
        .arg("draft")
        .current_dir(folder)
        .stdin(Stdio::null());
    for (key, text) in pairs {
        for one in text.split("; ") {
            command.args([format!("--{key}"), one.to_owned()]);
        }
    }
    command.args(more).output().unwrap()
}

fn words(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

#[test]
fn the_program_lists_takes_and_never_overwrites() {
    let folder = tempfile::tempdir().unwrap();
    let done = run(folder.path(), SHORT, &[]);
    let text = words(&done.stdout);
    assert_eq!(done.status.code(), Some(0), "{}", words(&done.stderr));
    for said in [
        "\n1. ",
        "why: fewest welds",
        "least steel",
        "least time",
        "tallest pile",
        "heats (",
        "makers' sheets",
    ] {
        assert!(text.contains(said), "{said}: {text}");
    }
    assert!(done.stderr.is_empty(), "no bar without a terminal");
    let done = run(folder.path(), SHORT, &["--show", "1"]);
    let text = words(&done.stdout);
    for said in [
        "stack ",
        "restack ",
        "buy ",
        "mm of bar",
        "Draw out the first bar",
        "Harden",
    ] {
        assert!(text.contains(said), "{said}: {text}");
    }
    let done = run(
        folder.path(),
        SHORT,
        &["--take", "1", "--out", "knife.toml"],
    );
    assert_eq!(done.status.code(), Some(0), "{}", words(&done.stderr));
    let plan = folder.path().join("knife.toml");
    let text = std::fs::read_to_string(&plan).unwrap();
    assert!(check(&text).found.is_empty());
    let done = run(
        folder.path(),
        SHORT,
        &["--take", "2", "--out", "knife.toml"],
    );
    assert_eq!(done.status.code(), Some(1));
    assert!(words(&done.stderr).contains("there already"));
    assert_eq!(std::fs::read_to_string(&plan).unwrap(), text);
    let checked = Command::new(env!("CARGO_BIN_EXE_anvilside"))
        .arg("check")
        .arg(&plan)
        .output()
        .unwrap();
    assert_eq!(checked.status.code(), Some(0));
    assert!(words(&checked.stdout).contains("0 errors, 0 warnings"));
    // The command in its head drafts the very same plan.
    let again = text
        .lines()
        .find(|line| line.starts_with("# anvilside draft"))
        .unwrap();
    let again = again.replace("# anvilside", env!("CARGO_BIN_EXE_anvilside"));
    let done = Command::new("sh")
        .args(["-c", &format!("{again} --take 1 --out again.toml")])
        .current_dir(folder.path())
        .stdin(Stdio::null())
        .output()
        .unwrap();
    assert_eq!(done.status.code(), Some(0), "{}", words(&done.stderr));
    assert_eq!(
        std::fs::read_to_string(folder.path().join("again.toml")).unwrap(),
        text
    );
}

/// A wish, more words, exit code, what is said.
type Case = (
    &'static [(&'static str, &'static str)],
    &'static [&'static str],
    i32,
    &'static str,
);

#[test]
fn what_is_wrong_is_one_sentence_and_its_code() {
    let folder = tempfile::tempdir().unwrap();
    let cases: [Case; 7] = [
        (&[], &[], 2, "--length: is missing"),
        (
            &[("length", "nonsense"), ("width", "3")],
            &[],
            2,
            "--length: 'nonsense' is not a number",
        ),
        (
            &[("length", "150"), ("width", "32"), ("pattern", "lader")],
            &[],
            2,
            "write ladder",
        ),
        (SHORT, &["--take", "99"], 2, "there is no plan 99"),
        (SHORT, &["--out", "a.toml"], 2, "--take"),
        (
            SHORT,
            &["--take", "1", "--out", "gone/a.toml"],
            1,
            "the folder gone is not there",
        ),
        (IMPOSSIBLE, &[], 3, "no plan: the press moves"),
    ];
    for (pairs, more, code, said) in cases {
        let done = run(folder.path(), pairs, more);
        let why = words(&done.stderr);
        assert_eq!(done.status.code(), Some(code), "{why}");
        assert!(why.contains(said), "{why}");
        assert!(done.stdout.is_empty());
    }
    let wish = folder.path().join("wish.toml");
    std::fs::write(&wish, "length = 150\nwdith = 32\n").unwrap();
    let done = run(folder.path(), &[], &["--wish", "wish.toml"]);
    assert_eq!(done.status.code(), Some(2));
    assert!(words(&done.stderr).contains("write width"));
    std::fs::write(&wish, "length = 150\nwidth = 32\npress = \"25t\"\n").unwrap();
    let done = run(
        folder.path(),
        &[("steel", "1084=6mm x 40mm; 15N20=3mm x 40mm")],
        &["--wish", "wish.toml"],
    );
    assert_eq!(done.status.code(), Some(0), "{}", words(&done.stderr));
    // Nothing but the wish file was made.
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
}

/// Paths of every leaf; a band is one thing.
fn paths(value: &Value, at: &str, out: &mut BTreeSet<String>) {
    match value {
        Value::Object(fields) if !fields.contains_key("best") => {
            for (key, inner) in fields {
                let dot = if at.is_empty() { "" } else { "." };
                paths(inner, &format!("{at}{dot}{key}"), out);
            }
        }
        Value::Array(items) => {
            out.insert(at.to_owned());
            for item in items.iter().filter(|item| item.is_object()) {
                paths(item, &format!("{at}[]"), out);
            }
        }
        _ => {
            out.insert(at.to_owned());
        }
    }
}

#[test]
fn json_has_the_documented_keys_and_no_other() {
    let folder = tempfile::tempdir().unwrap();
    let done = run(folder.path(), INCH, &["--json", "--take", "1"]);
    assert_eq!(done.status.code(), Some(0), "{}", words(&done.stderr));
    let value: Value = serde_json::from_slice(&done.stdout).unwrap();
    let mut seen = BTreeSet::new();
    paths(&value, "", &mut seen);
    let said: BTreeSet<String> = DRAFT_FIELDS.iter().map(|row| row.0.to_owned()).collect();
    assert_eq!(seen, said);
    let file = folder
        .path()
        .join(value["written"]["file"].as_str().unwrap());
    assert_eq!(
        std::fs::read_to_string(file).unwrap(),
        value["plans"][0]["toml"]
    );
    // 1-1/4 in.
    assert!((value["plans"][0]["stack"]["width_mm"].as_f64().unwrap() - 31.75).abs() < 1e-9);

    let done = run(folder.path(), IMPOSSIBLE, &["--json"]);
    assert_eq!(done.status.code(), Some(3));
    let value: Value = serde_json::from_slice(&done.stdout).unwrap();
    assert!(
        value["limits"][0]
            .as_str()
            .unwrap()
            .contains("the press moves")
    );
    assert_eq!(value["plans"], Value::Array(Vec::new()));
}
