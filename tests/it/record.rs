//! The record for scripts and spreadsheets, made from journals written here entry by entry.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test"
)]

use std::collections::BTreeSet;

use anvilside::billet::Dimension;
use anvilside::journal::{Entry, Event, Fire};
use anvilside::plan::StepId;
use anvilside::plan::report::RECORD_FIELDS;
use anvilside::planner::account::Account;
use anvilside::planner::learn::{ShopBook, learn};
use anvilside::session::Session;
use anvilside::units::{Celsius, Stamp};
use serde_json::Value;

const PLAN: &str = include_str!("../../plans/kitchen-pair.toml");
/// 2026-03-02, 08:00:00 UTC.
const MORNING: i64 = 1_772_438_400_000;

fn step(id: &str) -> StepId {
    StepId(id.to_owned())
}

fn read(id: &str, what: Dimension, cold: f64, typed: &str, hot: Option<f64>) -> Event {
    Event::Measured {
        step: step(id),
        what,
        cold,
        typed: typed.to_owned(),
        hot: hot.map(Celsius),
        counted: None,
    }
}

/// A job of these events, one a minute.
fn job(events: Vec<Event>) -> Session {
    let plan = Event::Plan {
        hash: 0,
        text: PLAN.to_owned(),
    };
    let all = std::iter::once(plan).chain(events);
    let entries = all.zip(1..).map(|(event, seq)| Entry {
        seq,
        at: Stamp(MORNING + 60_000 * (i64::try_from(seq).unwrap() - 1)),
        event,
    });
    Session::fold(entries.collect()).unwrap()
}

fn begun() -> Session {
    use Dimension::{Mass, Thickness, Width};
    let fire = |now| Event::Fire {
        step: step("weld-1"),
        now,
    };
    job(vec![
        Event::Done {
            step: step("prepare-1"),
        }, // 2, 08:01
        read("stack-1", Thickness, 42.4, "42,4", None), // 3, 08:02
        read("stack-1", Width, 40.0, "40", None),       // 4, 08:03
        read("stack-1", Width, 41.0, "41", None),       // 5, undone
        Event::Undone { seq: 5 },                       // 6
        read("stack-1", Mass, 1600.0, "1600", None),    // 7, taken back
        Event::Unmeasured {
            step: step("stack-1"),
            what: Mass,
        }, // 8
        Event::Done {
            step: step("stack-1"),
        }, // 9
        Event::Note {
            step: step("weld-1"),
            text: "borax, \"old\" tin".to_owned(),
        },
        fire(Fire::In),                                       // 11, 08:10
        fire(Fire::Out),                                      // 12
        read("weld-1", Thickness, 41.2, "41.7", Some(900.0)), // 13, 08:12
    ])
}

#[test]
fn the_table_has_a_row_for_every_reading_that_counts() {
    let rows = begun().readings_csv();
    let rows: Vec<&str> = rows.split("\r\n").collect();
    // Times by hand from the entries: a comma inside a field stands in quotes (RFC 4180).
    assert_eq!(
        rows,
        [
            "time_utc,step_number,step,kind,what,cold,unit,typed,hot_c,wanted,piece,entered_utc",
            "2026-03-02T08:02:00.000Z,2,stack-1,stack,thickness,42.4,mm,\"42,4\",,42,,",
            "2026-03-02T08:03:00.000Z,2,stack-1,stack,width,40,mm,40,,40,,",
            "2026-03-02T08:12:00.000Z,3,weld-1,weld,thickness,41.2,mm,41.7,900,42.4,,",
        ]
    );
}

/// Every path, as the page of keys writes it; what is told under one name there is not opened.
fn paths(value: &Value, at: &str, out: &mut BTreeSet<String>) {
    let closed = [
        "billet",
        "totals",
        "steps[].expected",
        "steps[].after",
        "steps[].losses",
        "steps[].wanted",
        "above_1100_s",
        "heats[].above_1100_s",
        "heats[].course",
        "carbon[].by_steel[].mean",
        "carbon[].edge",
        "forecast.heats",
        "forecast.minutes",
        "forecast.figures[].range",
    ];
    match value {
        _ if closed.contains(&at) || at == "steps[].losses_measured" => {
            out.insert(at.to_owned());
        }
        Value::Object(fields) => {
            for (key, inner) in fields {
                let dot = if at.is_empty() { "" } else { "." };
                paths(inner, &format!("{at}{dot}{key}"), out);
            }
        }
        Value::Array(items) => {
            for item in items {
                paths(item, &format!("{at}[]"), out);
            }
        }
        _ => {
            out.insert(at.to_owned());
        }
    }
}

#[test]
fn the_json_says_what_happened_and_every_key_is_on_the_page() {
    let session = begun();
    let lessons = learn(&[], &ShopBook::default(), Some(&session.plan));
    let data = serde_json::to_value(Account::of(&session, &lessons)).unwrap();
    assert_eq!(data["first"], "2026-03-02T08:00:00.000Z");
    assert_eq!(
        (&data["begun"], &data["finished"]),
        (&true.into(), &false.into())
    );
    assert_eq!(data["entries_undone"], 1);
    let steps = data["steps"].as_array().unwrap();
    assert_eq!(steps.len(), session.plan.steps.len());
    let done: Vec<bool> = steps
        .iter()
        .map(|step| step["done"].as_bool().unwrap())
        .collect();
    assert_eq!(done[..4], [true, true, false, false]);
    assert_eq!(steps[1]["ended"], "2026-03-02T08:08:00.000Z");
    assert_eq!(steps[1]["after"]["thickness_mm"], 42.4);
    assert_eq!(steps[2]["heats"], 1);
    assert_eq!(data["heats"][0]["into"], "2026-03-02T08:10:00.000Z");
    assert_eq!(data["heats"][0]["out"], "2026-03-02T08:11:00.000Z");
    assert_eq!(data["notes"][0]["text"], "borax, \"old\" tin");
    assert!(data["deferral"].as_str().unwrap().contains("local"));
    let mut seen = BTreeSet::new();
    paths(&data, "", &mut seen);
    let said: BTreeSet<String> = RECORD_FIELDS
        .iter()
        .map(|(path, _, _)| (*path).to_owned())
        .collect();
    let unsaid: Vec<&String> = seen.difference(&said).collect();
    assert!(unsaid.is_empty(), "{unsaid:?}");
    // Only lists that this job has nothing in are on the page and not here.
    let unseen = said.difference(&seen);
    let empty = [
        "steps[].card[]",
        "decisions[]",
        "owed[]",
        "carbon[]",
        "entered_later[]",
        "clock_went_back[]",
        // the program's own, from the shop file
        "costs",
    ];
    for path in unseen {
        assert!(empty.iter().any(|list| path.starts_with(list)), "{path}");
    }
}

#[test]
fn a_job_that_has_not_begun_gives_its_plan() {
    let plan = concat!(env!("CARGO_MANIFEST_DIR"), "/plans/kitchen-pair.toml");
    let run = |form: &str| {
        let done = std::process::Command::new(env!("CARGO_BIN_EXE_anvilside"))
            .args(["record", plan, form])
            .output()
            .unwrap();
        assert!(done.status.success());
        String::from_utf8(done.stdout).unwrap()
    };
    let data: Value = serde_json::from_str(&run("--json")).unwrap();
    assert_eq!(data["begun"], false);
    assert!(data["first"].is_null() && data["last"].is_null());
    assert_eq!(data["steps"].as_array().unwrap().len(), 35);
    assert_eq!(run("--csv").lines().count(), 1);
}
