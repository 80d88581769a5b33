//! The shelf: jobs worked by keys, their journals on the disk, the real program over them. Sizes are worked
//! out here from the sample plan.
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

use anvilside::journal::{Entry, Event, encode};
use anvilside::plan::check;
use anvilside::session::Session;
use anvilside::ui::Key;
use serde_json::Value;

use crate::common::program::{run, text};
use crate::common::{Desk, plan_text};

/// What the program says, and that it ends so.
fn says(folder: &Path, code: i32, args: &[&str]) -> String {
    let out = run(folder, args);
    assert_eq!(out.status.code(), Some(code), "{args:?}: {}", text(&out));
    text(&out)
}

fn pieces(folder: &Path) -> Vec<Value> {
    let told = says(folder, 0, &["shelf", "--all", "--json"]);
    let told: Value = serde_json::from_str(&told).unwrap();
    told["pieces"].as_array().unwrap().clone()
}

/// The three-layer sample up to behind its cut, which keeps the rest.
fn cut() -> Desk {
    let mut desk = Desk::sample("three-layer");
    (desk.foresees, desk.reckons) = (false, false);
    while desk.model.session.left_over().is_empty() {
        desk.finish_step();
    }
    desk
}

fn put(folder: &Path, name: &str, entries: &[Entry]) {
    let plan = folder.join(format!("{name}.toml"));
    std::fs::write(plan, plan_text("three-layer")).unwrap();
    let lines: String = entries.iter().map(|entry| encode(entry).unwrap()).collect();
    std::fs::write(folder.join(format!("{name}.journal")), lines).unwrap();
}

/// A plan whose edge bar is a piece of the shelf, taken as `shelf --bar` writes it.
fn taking(folder: &Path, name: &str, number: u32) {
    let base = "title = \"Offcut on a core\"\n[goal]\npattern = \"random\"\nbands = [1, 9]\n[goal.blade]\nlength = 60\nwidth = 20\nspine = 3\n\
                [steels]\nX = \"SAE 1084\"\nY = \"75Ni8\"\nZ = \"SAE 1095\"\n[[bar]]\nname = \"core\"\nwidth = 30\n\
                length = 90\npieces = [\"2 x (X 6 mm, Y 3 mm)\"]\n";
    let path = folder.join(format!("{name}.toml"));
    let steps = "[[step]]\nkind = \"prepare\"\nbar = \"core\"\n[[step]]\nkind = \"stack\"\n";
    std::fs::write(&path, format!("{base}{steps}")).unwrap();
    let number = number.to_string();
    let args = ["shelf", "--bar", &number, "--plan", path.to_str().unwrap()];
    let table = says(folder, 0, &args);
    assert!(table.contains(&format!("shelf = {number}\n")), "{table}");
    let (steels, bar) = table.split_once("[[bar]]").unwrap();
    // What the shelf calls by a name of that shop's own needs its analysis; here a grade stands for it.
    let graded = |line: &str| match line.contains("SAE") || line.contains("75Ni8") {
        true => line.to_owned(),
        false => format!("{}= \"SAE 1018\"", line.split('=').next().unwrap()),
    };
    let steels: Vec<String> = steels
        .lines()
        .filter(|line| line.contains(" = "))
        .map(graded)
        .collect();
    let named = format!("[steels]\n{}\n", steels.join("\n"));
    let base = base.replace("[steels]\n", &named);
    let joined = format!(
        "{base}[[bar]]{bar}\n{steps}[[step]]\nkind = \"weld\"\n[[step]]\nkind = \"frame\"\nfit = true\n\
                          top = \"shelf-{number}\"\n[[step]]\nkind = \"weld\"\n"
    );
    std::fs::write(&path, joined).unwrap();
}

#[test]
fn what_a_cut_leaves_goes_on_the_shelf_by_the_number_pad_and_undo_takes_it_back() {
    let mut desk = cut();
    let left = desk.model.session.left_over();
    assert_eq!(left.len(), 1);
    // what the cut says that it keeps, from the model's own dry run and the sizes before the cut
    let done = desk.model.session.done.last().unwrap();
    let stock = &done.made.billet.stock[0];
    assert!((left[0].size[2] - stock.bar.length.0).abs() < 1e-9);
    assert_eq!(left[0].from, done.step.id);
    let before = desk.model.session.done[desk.model.session.done.len() - 2]
        .made
        .billet
        .piece_mass();
    let part = left[0].size[2]
        / desk.model.session.done[desk.model.session.done.len() - 2]
            .made
            .billet
            .bar
            .length
            .0;
    assert!((left[0].mass - before.0 * part).abs() < 0.01 * left[0].mass);
    desk.keys("*003");
    assert!(desk.shows("LEFT OVER"), "{}", desk.screen(80, 24));
    desk.keys("1");
    assert!(desk.model.session.left_over().is_empty());
    let kept = desk.journal.last().unwrap().clone();
    assert!(matches!(&kept.event, Event::Kept { spare, .. } if **spare == left[0]));
    desk.keys("++");
    desk.press_now(Key::Backspace);
    let undone = desk.journal.last().unwrap();
    assert!(matches!(undone.event, Event::Undone { .. }), "{undone:?}");
    assert_eq!(desk.model.session.left_over(), left);
    // the journal comes back to the same
    let folded = Session::fold(desk.journal.clone()).unwrap();
    assert_eq!(folded.left_over(), left);
}

/// The list in the pages of use is what the sample's own offcut prints.
#[test]
fn the_pages_of_use_show_the_shelf_as_it_is_printed() {
    let dir = tempfile::tempdir().unwrap();
    let at = dir.path();
    put(at, "three-layer", &cut().journal);
    says(at, 0, &["shelf", "--keep", "three-layer.toml"]);
    let list = says(at, 0, &["shelf"]);
    let page = concat!(env!("CARGO_MANIFEST_DIR"), "/shared/USING.md");
    let page = std::fs::read_to_string(page).unwrap();
    let piece: Vec<&str> = list.lines().take(2).collect();
    let piece = piece.join("\n");
    // All but the day on which it was kept.
    let (piece, _) = piece.rsplit_once(' ').unwrap();
    let shown = format!("$ anvilside shelf\n{piece} ");
    assert!(page.contains(&shown), "shared/USING.md wants:\n{shown}");
}

#[test]
fn pieces_are_kept_listed_taken_by_one_plan_and_put_back() {
    let dir = tempfile::tempdir().unwrap();
    let at = dir.path();
    assert!(says(at, 0, &["shelf"]).contains("nothing lies on the shelf"));
    let desk = cut();
    put(at, "first", &desk.journal);
    let said = says(at, 0, &["shelf", "--keep", "first.toml"]);
    assert!(said.contains("number 1: write it on the steel"), "{said}");
    assert!(says(at, 1, &["shelf", "--keep", "first.toml"]).contains("nothing over"));
    let list = says(at, 0, &["shelf"]);
    let left = &desk.model.session.left_over()[0];
    assert!(
        list.contains(&format!("from first.journal, {}", left.from)),
        "{list}"
    );
    let all = pieces(at);
    assert_eq!(all.len(), 1);
    assert!((all[0]["length_mm"].as_f64().unwrap() - left.size[2]).abs() < 1e-3);
    // read by caliper: the mass follows the volume
    says(at, 0, &["shelf", "--size", "1=30x9x80"]);
    let read = &pieces(at)[0];
    let dense = left.mass / left.size.iter().product::<f64>();
    assert!((read["mass_g"].as_f64().unwrap() - dense * 30.0 * 9.0 * 80.0).abs() < 0.01);
    assert!(says(at, 2, &["shelf", "--size", "1=30x9"]).contains("7=40x12x95"));

    taking(at, "second", 1);
    let checked = says(at, 0, &["check", "second.toml"]);
    assert!(!checked.contains("error:"), "{checked}");
    // a copy of it is another job
    std::fs::copy(at.join("second.toml"), at.join("third.toml")).unwrap();
    let plan = check(&std::fs::read_to_string(at.join("second.toml")).unwrap());
    let plan = plan.plan.unwrap();
    assert_eq!(plan.takes().collect::<Vec<_>>(), [1]);
    assert!(
        plan.bars[1]
            .from
            .as_deref()
            .unwrap()
            .starts_with("first.journal")
    );
    says(at, 0, &["shelf", "--thrown", "1"]);
    let refused = says(at, 1, &["check", "second.toml"]);
    assert!(
        refused.contains("thrown away") && refused.contains("--put-back 1"),
        "{refused}"
    );
    says(at, 0, &["shelf", "--put-back", "1"]);
    says(at, 0, &["shelf", "--used", "1"]);
    assert!(says(at, 0, &["shelf"]).contains("1 have gone"));
    assert!(says(at, 0, &["shelf", "--all"]).contains("used up"));
}

#[test]
fn many_programs_at_once_lose_no_change() {
    let dir = tempfile::tempdir().unwrap();
    let at = dir.path();
    let desk = cut();
    let names: Vec<String> = (0..12).map(|job| format!("job-{job}")).collect();
    for name in &names {
        put(at, name, &desk.journal);
    }
    let start = |args: Vec<String>| {
        Command::new(env!("CARGO_BIN_EXE_anvilside"))
            .args(args)
            .current_dir(at)
            .env("ANVILSIDE_STATE", at.join("state"))
            .stdout(std::process::Stdio::null())
            .stderr(std::process::Stdio::null())
            .spawn()
            .unwrap()
    };
    // The journals are copies of one, so each begins at a moment of its own.
    for (name, job) in names.iter().zip(1..) {
        let mut entries = desk.journal.clone();
        entries[0].at.0 -= job * 1000;
        put(at, name, &entries);
    }
    let all: Vec<_> = names
        .iter()
        .map(|name| {
            start(vec![
                "shelf".into(),
                "--keep".into(),
                format!("{name}.toml"),
            ])
        })
        .collect();
    for mut one in all {
        assert!(one.wait().unwrap().success());
    }
    let mut numbers: Vec<u64> = pieces(at)
        .iter()
        .map(|piece| piece["number"].as_u64().unwrap())
        .collect();
    numbers.sort_unstable();
    assert_eq!(numbers, (1..=12).collect::<Vec<_>>());
    // of many that throw one piece away, one does
    let all: Vec<_> = (0..8)
        .map(|_| start(vec!["shelf".into(), "--thrown".into(), "5".into()]))
        .collect();
    let done = all
        .into_iter()
        .filter_map(|mut one| one.wait().ok())
        .filter(std::process::ExitStatus::success)
        .count();
    assert_eq!(done, 1);
}

#[cfg(unix)]
#[test]
fn a_file_that_is_none_is_said_and_left() {
    let dir = tempfile::tempdir().unwrap();
    let at = dir.path();
    let file = at.join("anvilside.shelf.toml");
    std::os::unix::fs::symlink(at.join("nowhere"), &file).unwrap();
    assert!(says(at, 1, &["shelf"]).contains("a link to a file that is not there"));
    std::fs::remove_file(&file).unwrap();
    std::fs::create_dir(&file).unwrap();
    assert!(says(at, 1, &["shelf"]).contains("anvilside.shelf.toml"));
    std::fs::remove_dir(&file).unwrap();
    let pipe = Command::new("mkfifo").arg(&file).status();
    if pipe.is_ok_and(|made| made.success()) {
        assert!(says(at, 1, &["shelf"]).contains("not a plain file"));
        std::fs::remove_file(&file).unwrap();
    }
    std::fs::write(&file, "# mine\n[[piece]]\nnumber = 1\nlies = \"lost\"\n").unwrap();
    let why = says(at, 1, &["shelf"]);
    assert!(why.contains("line 4"), "{why}");
    assert!(says(at, 1, &["shelf", "--thrown", "1"]).contains("line 4"));
    assert!(
        std::fs::read_to_string(&file)
            .unwrap()
            .starts_with("# mine")
    );
}
