//! The page for the shop wall.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test"
)]

use crate::common::html::is_sound;
use anvilside::plan::{all_cautions, check, legal, report};

fn page(text: &str) -> String {
    let checked = check(text);
    report::sheet(
        checked.plan.as_ref().unwrap(),
        checked.walk.as_ref().unwrap(),
    )
}

#[test]
fn every_plan_has_a_sheet_with_its_steps_sizes_and_cards() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/plans");
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|ext| ext != "toml") {
            continue;
        }
        let text = std::fs::read_to_string(&path).unwrap();
        let html = page(&text);
        is_sound(&html);
        let checked = check(&text);
        let steps = checked.plan.unwrap().steps;
        let headings: Vec<&str> = html.split("<h3>").skip(1).collect();
        assert_eq!(headings.len(), steps.len());
        for (n, heading) in (1..).zip(headings) {
            assert!(
                heading.starts_with(&format!("{n}. ")),
                "{path:?}: {heading}"
            );
        }
        let first = legal()
            .lines()
            .find(|line| !line.trim().is_empty())
            .unwrap();
        let words = first.split(['\'', '"', '&']).next().unwrap();
        assert!(html.contains(words), "{words}");
        // What can kill at every fire stands on the page of every plan.
        for id in ["fire.air", "fire.co"] {
            if let Some(item) = all_cautions().find(|one| one.id.0 == id) {
                let words = item.text.split(['\'', '"', '&', '<', '>']).next().unwrap();
                assert!(html.contains(words), "{path:?}: {id}");
            }
        }
    }
}

#[test]
fn figures_stand_in_both_units() {
    let html = page(include_str!("../../plans/kitchen-pair.toml"));
    // 40 mm is 1.57 in, 14 mm 0.55 in, 345.5 mm 13.6 in (25.4 mm an inch); 1150 C is 2102 F.
    assert!(
        html.contains("40 x 14 x 345.5 mm [1.57 x 0.55 x 13.6 in]"),
        "{html}"
    );
    assert!(html.contains("1150 C [2102 F]"), "{html}");
    // Nine pieces, five of one steel and four of the other.
    assert!(html.contains("<th scope=\"row\">5</th>") && html.contains("<th scope=\"row\">4</th>"));
}

#[test]
fn a_title_is_text_and_no_markup() {
    let text = include_str!("../../plans/kitchen-pair.toml");
    let start = text.find("title = ").unwrap();
    let end = start + text[start..].find('\n').unwrap();
    let odd = format!("{}title = \"<b>A & B\"{}", &text[..start], &text[end..]);
    let html = page(&odd);
    is_sound(&html);
    assert!(html.contains("<h1>&lt;b&gt;A &amp; B</h1>"));
}

/// What a smith needs at the anvil when the laptop is off, by the plan's own numbers.
#[test]
fn forged_parts_tiles_and_treatments_have_their_sizes_and_dust_its_mask_each_day() {
    let text = crate::common::plan_text("end-grain-tiles");
    let html = page(&text);
    let step = |n: usize| {
        let from = html.find(&format!("<h3>{n}. ")).unwrap();
        let rest = &html[from + 4..];
        crate::common::html::words(&rest[..rest.find("<h3>").unwrap_or(rest.len())])
    };
    let plan = anvilside::plan::read(&text).unwrap().0;
    let place = |id: &str| 1 + plan.steps.iter().position(|step| step.id.0 == id).unwrap();
    for (id, words) in [
        ("slice-1", "24 of a piece, each 5 mm"),
        ("slice-1", "1 of A SAE 1084: 29.9 x 2 x "),
        ("forge-1", "width 12.5 mm"),
        ("forge-2", "length 167 mm"),
        ("rough-grind-1", "1 mm"),
        ("temper-1", "cycles2"),
        ("harden-1", "oil at50 C"),
    ] {
        let told = step(place(id));
        assert!(told.contains(words), "{id}: {words}\n{told}");
    }
    let mask = all_cautions().find(|caution| caution.id.0 == "prep.mask");
    let mask = mask.unwrap().text.clone();
    let days: Vec<&str> = html.split("<h2>Day ").skip(1).collect();
    let ground = |day: u8| {
        let steps = plan.steps.iter().filter(|step| step.day == u32::from(day));
        let mut kinds = steps.map(|step| step.kind().word());
        kinds.any(|word| word.contains("grind"))
    };
    for (day, told) in (1..).zip(&days) {
        let told = crate::common::html::words(told);
        assert!(!ground(day) || told.contains(&mask), "day {day}");
    }
}
