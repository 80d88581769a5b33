//! One reader for what a smith types: the same odd inputs at every entrance, one value, one sentence.
//! Values are worked by hand: 1 in = 25.4 mm (international inch, exact by definition).
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::disallowed_methods,
    reason = "a test"
)]

use std::path::Path;

use anvilside::billet::Dimension;
use anvilside::plan::check;
use anvilside::planner::draft::Form;
use anvilside::ui::echo;
use anvilside::units::Units;
use serde_json::Value;

use crate::common::program::{run, text};
use crate::common::{Desk, plan_text};

/// What is typed for a width, and what it is in mm, or the words that refuse it.
const TYPED: [(&str, Result<f64, &str>); 19] = [
    ("40", Ok(40.0)),
    ("  40 mm ", Ok(40.0)),
    ("40.5", Ok(40.5)),
    ("12,5mm", Ok(12.5)),
    ("4 cm", Ok(40.0)),
    ("1-3/8 in", Ok(34.925)),
    ("1 3/8 inch", Ok(34.925)),
    ("3/4\"", Ok(19.05)),
    ("0", Err("must be greater than zero")),
    ("0.0 in", Err("must be greater than zero")),
    ("-3 mm", Err("is below zero")),
    ("1..2", Err("is not a number")),
    ("4 0", Err("is not a number")),
    ("wide", Err("is not a number")),
    ("1/0", Err("is not a fraction that a rule shows")),
    ("9-9/8 in", Err("is not a fraction that a rule shows")),
    (
        "12 kg",
        Err("has the unit 'kg', which is not one of a length"),
    ),
    ("1 m", Err("has the unit 'm', which is not one of a length")),
    ("30 000 mm", Err("is not a number")),
];

type Read = Result<f64, String>;

/// The plan file: the width of its stack.
fn by_plan(typed: &str) -> Read {
    let plan = plan_text("three-layer");
    let at = plan.find("[stack]").unwrap();
    let (head, stack) = plan.split_at(at);
    let line = stack
        .lines()
        .find(|line| line.starts_with("width"))
        .unwrap();
    let text = format!(
        "{head}{}",
        stack.replacen(line, &format!("width = '{typed}'"), 1)
    );
    let checked = check(&text);
    let own = |found: &&anvilside::plan::Diagnostic| found.what.contains("width '");
    match checked.found.iter().find(own) {
        Some(found) => Err(found.what.clone()),
        None => Ok(checked.plan.unwrap().bars[0].width.0),
    }
}

/// The wish, as flags, wish file and the screen of the draft put it.
fn by_wish(typed: &str) -> Read {
    let mut form = Form::default();
    for (key, text) in [("length", "200"), ("width", typed), ("spine", "3")] {
        form.put(key, text).map_err(|why| why.to_string())?;
    }
    form.put("steel", "1084=6mm; 15N20=3mm").unwrap();
    match form.wish() {
        Ok(wish) => Ok(wish.goal.blade.width.0),
        Err(wrong) => Err(wrong.why),
    }
}

/// `ask mass`.
fn by_ask(folder: &Path, typed: &str) -> Read {
    let width = format!("--width={typed}");
    let out = run(
        folder,
        &[
            "ask",
            "--json",
            "mass",
            &width,
            "--thickness",
            "10",
            "--length",
            "100",
        ],
    );
    let said = text(&out);
    match serde_json::from_str::<Value>(&said) {
        Ok(told) => Ok(told["inputs"]["width_mm"].as_f64().unwrap()),
        Err(_) => Err(said),
    }
}

/// A reading, as `enter` takes it.
fn by_reading(typed: &str) -> Read {
    let read = Dimension::Width.read(typed, Units::Mm);
    read.map(|(mm, _)| mm).map_err(|why| why.to_string())
}

/// The entry line of the screen.
fn by_screen(desk: &mut Desk, typed: &str) -> Read {
    desk.model.entry = typed.to_owned();
    let sizes = desk.model.session.sizes();
    let width = sizes.iter().find(|size| size.what == Dimension::Width);
    let read = echo(&desk.model, width.unwrap());
    read.map(|echo| echo.cold).map_err(|why| why.to_string())
}

/// The shelf: a refusal is said before the piece is looked for.
fn by_shelf(folder: &Path, typed: &str) -> Read {
    let size = format!("--size=1=20x{typed}x90");
    let said = text(&run(folder, &["shelf", &size]));
    if said.contains("the shelf has no piece 1") {
        return Ok(f64::NAN);
    }
    Err(said)
}

#[test]
fn every_entrance_reads_one_value_or_says_one_sentence() {
    let folder = tempfile::tempdir().unwrap();
    let mut desk = Desk::sample("three-layer");
    (desk.foresees, desk.reckons) = (false, false);
    let reads_width = |desk: &Desk| {
        let sizes = desk.model.session.sizes();
        sizes.iter().any(|size| size.what == Dimension::Width)
    };
    while !reads_width(&desk) {
        desk.finish_step();
    }
    for (typed, wanted) in TYPED {
        // On the screen one letter of a unit is enough, and m is mm.
        let keyed = by_screen(&mut desk, typed);
        let all = [
            ("plan", by_plan(typed)),
            ("wish", by_wish(typed)),
            ("ask", by_ask(folder.path(), typed)),
            ("reading", by_reading(typed)),
            ("shelf", by_shelf(folder.path(), typed)),
            ("screen", keyed),
        ];
        for (place, read) in all {
            let wanted = if place == "screen" && typed == "1 m" {
                Ok(1.0)
            } else {
                wanted
            };
            match (&read, wanted) {
                // The shelf is empty: it says so once the size is read.
                (Ok(value), Ok(mm)) => {
                    assert!(
                        value.is_nan() || (value - mm).abs() < 1e-9,
                        "{place}: {typed}"
                    );
                }
                (Err(why), Err(words)) => {
                    let quoted = format!("'{}' {words}", typed.trim());
                    assert!(why.contains(&quoted), "{place}: {typed}: {why}");
                }
                _ => panic!("{place}: '{typed}' reads as {read:?}"),
            }
        }
    }
}
