//! `anvilside check` and `status` as scripts use them: over pipes, without a terminal.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test"
)]

use std::process::{Command, Output, Stdio};

use serde_json::Value;

fn check(args: &[&str]) -> Output {
    let mut all = vec!["check"];
    all.extend(args);
    run(&all)
}

fn run(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_anvilside"))
        .args(args)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .stdin(Stdio::null())
        .output()
        .unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

#[test]
fn a_good_plan_prints_its_table_and_ends_with_0() {
    let done = check(&["plans/kitchen-pair.toml"]);
    assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
    let out = text(&done.stdout);
    assert!(out.contains("40 x 14 x 345.5"), "{out}");
    assert!(out.contains("144 / 111"), "{out}");
    assert!(out.ends_with("0 errors, 0 warnings\n"), "{out}");
    assert!(done.stderr.is_empty());
}

#[test]
fn a_bad_plan_prints_every_finding_with_file_and_line_and_ends_with_1() {
    let done = check(&["tests/bad/sizes.toml"]);
    assert_eq!(done.status.code(), Some(1));
    let out = text(&done.stdout);
    assert!(
        out.contains("tests/bad/sizes.toml:24:10: error: draw-1: 400 mm asked"),
        "{out}"
    );
    assert!(out.contains("8 errors, 1 warning\n"), "{out}");
}

#[test]
fn json_is_one_object_for_good_plans_and_bad_ones() {
    let done = check(&["--json", "plans/ladder-hunter.toml"]);
    assert_eq!(done.status.code(), Some(0));
    let value: Value = serde_json::from_slice(&done.stdout).unwrap();
    assert_eq!(value["ok"], true);
    let steps = value["steps"].as_array().unwrap();
    let draw = steps.iter().find(|step| step["id"] == "draw-4").unwrap();
    // 14-15/16 in, from the table worked by hand.
    assert!(
        (draw["length_mm"].as_f64().unwrap() - 379.4125).abs() < 1e-6,
        "{draw}"
    );
    assert_eq!(draw["bands"], 77);
    assert_eq!(draw["nominal"], 102);

    let done = check(&["--json", "tests/bad/unknown-keys.toml"]);
    assert_eq!(done.status.code(), Some(1));
    let value: Value = serde_json::from_slice(&done.stdout).unwrap();
    assert_eq!(value["ok"], false);
    assert_eq!(value["findings"][0]["place"]["line"], 1);
    assert_eq!(value["steps"], Value::Array(Vec::new()));
}

#[test]
fn what_cannot_be_read_ends_with_1_and_wrong_use_with_2() {
    let done = check(&["plans/no-such-plan.toml"]);
    assert_eq!(done.status.code(), Some(1));
    assert!(text(&done.stderr).contains("no-such-plan.toml"));
    assert_eq!(check(&[]).status.code(), Some(2));
    assert_eq!(
        check(&["--jsn", "plans/kitchen-pair.toml"]).status.code(),
        Some(2)
    );
}

#[test]
fn status_of_a_plan_not_begun_has_the_documented_keys() {
    let done = run(&["status", "--json", "plans/three-layer.toml"]);
    assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
    let value: Value = serde_json::from_slice(&done.stdout).unwrap();
    assert_eq!(value["billet"]["width_mm"], 40.0);
    assert_eq!(value["totals"]["start_mm3"], 92_400.0);
    let mut seen: Vec<String> = Vec::new();
    for (key, inner) in value.as_object().unwrap() {
        match inner {
            Value::Object(inner) if key == "step" => {
                seen.extend(inner.keys().map(|field| format!("step.{field}")));
            }
            Value::Object(inner) if key == "forecast" => {
                for (field, inner) in inner {
                    // A band is one thing.
                    match inner {
                        Value::Object(parts) if !parts.contains_key("best") => {
                            seen.extend(
                                parts.keys().map(|part| format!("forecast.{field}.{part}")),
                            );
                        }
                        _ => seen.push(format!("forecast.{field}")),
                    }
                }
            }
            _ => seen.push(key.clone()),
        }
    }
    let mut said: Vec<String> = anvilside::plan::report::STATUS_FIELDS
        .iter()
        .map(|(path, _, _)| (*path).to_owned())
        // Empty lists before anything was put off or timed.
        .filter(|path| !path.contains("[]"))
        .collect();
    seen.sort();
    said.sort();
    assert_eq!(seen, said);
}
