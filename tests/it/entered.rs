//! What was read and done on a day without the laptop, entered later with its time.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::disallowed_methods,
    reason = "a test"
)]

use std::path::Path;
use std::process::Command;

use anvilside::billet::Dimension;
use anvilside::journal::{Entry, Event, decode, encode, read_stamp};
use anvilside::session::Session;
use anvilside::shell::read_entries;
use anvilside::units::{Mm, Seconds};
use serde_json::Value;

use crate::common::worked::worked;
use crate::common::{Desk, plan_text};

/// The program in a folder: what it says, and how it ends.
fn run(folder: &Path, args: &[&str]) -> (String, Option<i32>) {
    let out = Command::new(env!("CARGO_BIN_EXE_anvilside"))
        .args(args)
        .current_dir(folder)
        .env("TZ", "UTC")
        .env("ANVILSIDE_STATE", folder)
        .output()
        .unwrap();
    let text = [out.stdout, out.stderr].concat();
    (String::from_utf8(text).unwrap(), out.status.code())
}

/// A folder with a job that stands at its first draw, begun on 2026-03-02 at eight.
fn at_the_draw() -> (tempfile::TempDir, Desk) {
    let folder = tempfile::tempdir().unwrap();
    let desk = worked("kitchen-pair", 3);
    let lines = desk.journal.iter().map(|entry| encode(entry).unwrap());
    std::fs::write(folder.path().join("p.journal"), lines.collect::<String>()).unwrap();
    std::fs::write(folder.path().join("p.toml"), plan_text("kitchen-pair")).unwrap();
    (folder, desk)
}

#[test]
fn a_step_worked_from_paper_is_entered_with_its_times() {
    let (folder, desk) = at_the_draw();
    let here = folder.path();
    let id = desk.model.session.current().unwrap().id.0.clone();
    let enter = |rest: &[&str]| run(here, &[&["enter", "p.toml", "--at"], rest].concat());
    // Nothing is entered that cannot have been.
    for (args, words) in [
        (vec!["25:10", "--width", "40"], "write 14:20"),
        (vec!["2026-03-01 09:00", "--width", "40"], "is before"),
        (vec!["2026-03-02 17:00"], "nothing to enter"),
        (
            vec!["2026-03-02 17:00", "--step", "draw-9", "--done"],
            "stands at",
        ),
        (vec!["2026-03-02 17:00", "--bands", "9"], "reads no bands"),
        (vec!["2026-03-02 17:00", "--width", "wide"], "--width"),
    ] {
        let (said, code) = enter(&args);
        assert!(said.contains(words) && code == Some(1), "{args:?}: {said}");
    }
    let before = read_entries(&here.join("p.toml")).unwrap();
    assert_eq!(before, desk.journal);
    let (said, code) = enter(&["2026-03-02 17:05", "--thickness", "14.1", "--width", "40"]);
    assert_eq!(code, Some(0), "{said}");
    let (said, code) = enter(&["2026-03-02 17:30", "--note", "on paper", "--done"]);
    assert_eq!(code, Some(0), "{said}");
    assert!(
        said.contains("of its card passed over") && said.contains("done"),
        "{said}"
    );

    let data: Value = serde_json::from_str(&run(here, &["record", "p.toml", "--json"]).0).unwrap();
    let step = &data["steps"][3];
    assert_eq!(
        (&step["id"], &step["done"]),
        (&id.as_str().into(), &true.into())
    );
    assert_eq!(step["ended"], "2026-03-02T17:30:00.000Z");
    assert_eq!(step["after"]["thickness_mm"], 14.1);
    assert_eq!(data["last"], step["ended"]);
    let readings = data["readings"].as_array().unwrap();
    assert_eq!(readings.len(), 2);
    for reading in readings {
        assert_eq!(reading["time"], "2026-03-02T17:05:00.000Z");
        let entered = read_stamp(reading["entered"].as_str().unwrap()).unwrap();
        assert!(entered > read_stamp("2026-11-01T00:00:00.000Z").unwrap());
    }
    assert_eq!(data["entered_later"].as_array().unwrap().len(), 5);
    let cards = step["card"].as_array().unwrap();
    assert!(
        cards
            .iter()
            .any(|card| card["words"].as_str().unwrap().contains("on paper"))
    );
    let csv = run(here, &["record", "p.toml", "--csv"]).0;
    let row = csv.lines().find(|row| row.contains("thickness")).unwrap();
    assert!(
        row.starts_with("2026-03-02T17:05:00.000Z,4,") && !row.ends_with(','),
        "{row}"
    );
    let text = run(here, &["record", "p.toml"]).0;
    assert!(text.contains("Entered later: thickness 14.1"), "{text}");
    assert!(text.contains(" to 2026-03-02 17:30 ("), "{text}");
    // What was done on paper counts by its own times: from the last press to 17:05 is over an hour, from
    // there to 17:30 are 25 minutes.
    let before = desk.model.session.worked.minutes;
    let session = Session::fold(read_entries(&here.join("p.toml")).unwrap()).unwrap();
    assert!((session.worked.minutes - before - 25.0).abs() < 0.01);
    // Each is taken back like any entry.
    let mut session = Session::fold(read_entries(&here.join("p.toml")).unwrap()).unwrap();
    let undo = session.undo_target().unwrap().seq;
    let (seq, at) = (session.seq + 1, session.last.unwrap());
    let event = Event::Undone { seq: undo };
    session.take(Entry { seq, at, event }).unwrap();
    assert_eq!(session.current().unwrap().id.0, id);
}

#[test]
fn a_size_with_its_time_is_typed_in_work_too() {
    let mut desk = worked("kitchen-pair", 3);
    desk.answer_card();
    desk.wait(Seconds(3.0 * 3600.0));
    let now = desk.now;
    let clock = anvilside::units::show::wall(now.plus(Seconds(-1800.0)), 0);
    desk.keys(&format!("14.1@{clock}\n"));
    let Event::Earlier { at, of } = &desk.journal.last().unwrap().event else {
        panic!("{:?} {:?}", desk.journal.last(), desk.model.reply);
    };
    assert!(now.since(*at).0 >= 1800.0 && now.since(*at).0 < 1900.0);
    let Event::Measured {
        what, cold, typed, ..
    } = of.as_ref()
    else {
        panic!("{of:?}");
    };
    assert_eq!(
        (*what, *cold, typed.as_str()),
        (Dimension::Thickness, 14.1, "14.1")
    );
    let read = desk.model.session.step.reading.thickness;
    assert_eq!(read, Some(Mm(14.1)));
    desk.keys("14.1@99:99\n");
    assert!(matches!(
        desk.journal.last().unwrap().event,
        Event::Earlier { .. }
    ));
}

#[test]
fn only_what_can_be_late_counts_and_older_lines_mean_what_they_meant() {
    let desk = worked("kitchen-pair", 2);
    let session = &desk.model.session;
    let at = session.last.unwrap();
    for inner in [
        Event::Undone { seq: 3 },
        Event::Drank,
        Event::Closed.earlier(at),
    ] {
        let mut after = session.clone();
        let seq = after.seq + 1;
        let event = inner.earlier(at);
        let line = encode(&Entry {
            seq,
            at,
            event: event.clone(),
        })
        .unwrap();
        assert_eq!(decode(line.trim_end()).unwrap().event, event);
        after.take(Entry { seq, at, event }).unwrap();
        assert_eq!((after.at, &after.billet), (session.at, &session.billet));
        assert_eq!(
            (after.drank, after.done.len()),
            (session.drank, session.done.len())
        );
    }
    // A line as it was written before there was anything late.
    let old =
        r#"{"measured":{"step":"draw-1","what":"width","cold":40.0,"typed":"40","hot":null}}"#;
    let event: Event = serde_json::from_str(old).unwrap();
    assert!(matches!(event, Event::Measured { cold: 40.0, .. }));
}

#[test]
fn a_slipped_point_is_not_entered_unless_it_is_said_to_be_so() {
    let (folder, _) = at_the_draw();
    let here = folder.path();
    let enter = |rest: &[&str]| {
        let first = ["enter", "p.toml", "--at", "2026-03-02 17:05"];
        run(here, &[&first, rest].concat())
    };
    let before = read_entries(&here.join("p.toml")).unwrap();
    let (said, code) = enter(&["--width", "400"]);
    assert!(
        said.contains("slipped point?") && said.contains("--sure"),
        "{said}"
    );
    assert_eq!(code, Some(1));
    let (said, code) = enter(&["--note", "  "]);
    assert!(
        said.contains("the note is empty") && code == Some(1),
        "{said}"
    );
    assert_eq!(read_entries(&here.join("p.toml")).unwrap(), before);
    let (said, code) = enter(&["--width", "400", "--sure"]);
    assert!(
        said.contains("look again: width 400") && code == Some(0),
        "{said}"
    );
    // A note of a step that is not done stands in the record.
    enter(&["--note", "a crack at the left end"]);
    let (said, _) = run(here, &["record", "p.toml"]);
    assert!(
        said.contains("at draw-1: a crack at the left end"),
        "{said}"
    );
    // A plan file that does not read, or is another, is told beside the plan in force.
    let text = plan_text("kitchen-pair");
    std::fs::write(
        here.join("p.toml"),
        text.replacen("kind = \"weld\"", "kind = \"wedl\"", 1),
    )
    .unwrap();
    let (said, code) = run(here, &["status", "p.toml"]);
    assert!(
        said.contains("does not read, and the plan in force stays: line "),
        "{said}"
    );
    assert_eq!(code, Some(0));
    std::fs::write(
        here.join("p.toml"),
        text.replacen("knives = 2", "knives = 1", 1),
    )
    .unwrap();
    let (said, _) = run(here, &["status", "p.toml"]);
    assert!(said.contains("is not the plan in force"), "{said}");
}

#[cfg(target_os = "linux")]
#[test]
fn words_that_could_not_be_written_are_no_success() {
    let (folder, _) = at_the_draw();
    for args in [
        &["record", "p.toml", "--json"][..],
        &["status", "p.toml"],
        &["check", "p.toml"],
        &["ask", "size", "--hot", "10", "--temperature", "900"],
        &["--help"],
    ] {
        let full = std::fs::OpenOptions::new()
            .write(true)
            .open("/dev/full")
            .unwrap();
        let out = Command::new(env!("CARGO_BIN_EXE_anvilside"))
            .args(args)
            .current_dir(folder.path())
            .env("ANVILSIDE_STATE", folder.path())
            .stdout(full)
            .output()
            .unwrap();
        let said = String::from_utf8(out.stderr).unwrap();
        assert_eq!(out.status.code(), Some(1), "{args:?}: {said}");
        assert!(
            said.contains("not all of it could be written"),
            "{args:?}: {said}"
        );
    }
}
