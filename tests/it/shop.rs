//! What a shop has learned, used and spent: jobs worked by keys, their journals on the disk, the real program.
//! Hours are counted anew here from the journals, steel by hand from the sample plan.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::disallowed_methods,
    reason = "a test"
)]

use std::collections::BTreeSet;
use std::path::Path;

use anvilside::billet::Kind;
use anvilside::journal::{Entry, Event, encode};
use anvilside::plan::report::{SHOP_FIELDS, STATUS_FIELDS};
use anvilside::planner::learn::ShopBook;
use anvilside::planner::status;
use anvilside::ui::Msg;
use serde_json::Value;

use crate::common::html::is_sound;
use crate::common::program::{run, text};
use crate::common::{Desk, plan_text};

const PRICES: &str = "[costs]\ncurrency = \"EUR\"\nfire = 6\nbelts = 8\nhour = 30\n\n\
    [costs.steel]\n1095 = 10\nother = 4\n";

fn json(folder: &Path, args: &[&str]) -> Value {
    let out = run(folder, args);
    assert_eq!(out.status.code(), Some(0), "{}", text(&out));
    serde_json::from_slice(&out.stdout).unwrap()
}

fn worked(steps: usize) -> Vec<Entry> {
    worked_of("three-layer", steps)
}

fn worked_of(sample: &str, steps: usize) -> Vec<Entry> {
    let mut desk = Desk::sample(sample);
    desk.foresees = false;
    desk.reckons = false;
    while desk.model.session.at < steps.min(desk.model.session.plan.steps.len()) {
        desk.finish_step();
    }
    desk.journal
}

fn put(folder: &Path, name: &str, entries: &[Entry]) {
    put_of(folder, name, "three-layer", entries);
}

fn put_of(folder: &Path, name: &str, sample: &str, entries: &[Entry]) {
    std::fs::write(folder.join(format!("{name}.toml")), plan_text(sample)).unwrap();
    let lines: String = entries.iter().map(|entry| encode(entry).unwrap()).collect();
    std::fs::write(folder.join(format!("{name}.journal")), lines).unwrap();
}

/// Minutes between entries, gaps of over an hour left out, and those of them in steps with fire.
fn minutes(entries: &[Entry], steps: &[(Kind, String)]) -> (f64, f64) {
    let (mut all, mut hot, mut at) = (0.0, 0.0, 0);
    let mut last: Option<i64> = None;
    for entry in entries {
        if matches!(entry.event, Event::Opened { .. }) {
            continue;
        }
        let gap = last.map_or(0.0, |last| (entry.at.0 - last) as f64 / 60_000.0);
        if (0.0..=60.0).contains(&gap) {
            all += gap;
            hot += if steps.get(at).is_some_and(|(kind, _)| kind.is_hot()) {
                gap
            } else {
                0.0
            };
        }
        last = Some(entry.at.0);
        at += usize::from(matches!(entry.event, Event::Done { .. }));
    }
    (all, hot)
}

fn near(value: &Value, wanted: f64) {
    let value = value.as_f64().unwrap();
    assert!((value - wanted).abs() < 0.006, "{value} is not {wanted}");
}

#[test]
fn a_shop_says_what_it_has_learned_used_finished_and_spent() {
    let dir = tempfile::tempdir().unwrap();
    let at = dir.path();
    let whole = worked(usize::MAX);
    let part = worked(5);
    put(at, "a", &whole);
    put(at, "b", &part);
    std::fs::write(at.join("c.toml"), plan_text("kitchen-pair")).unwrap();
    std::fs::write(at.join("anvilside.shop.toml"), PRICES).unwrap();
    let desk = Desk::sample("three-layer");
    let plan = &desk.model.session.plan;
    let steps: Vec<(Kind, String)> = plan
        .steps
        .iter()
        .map(|step| (step.kind(), step.id.0.clone()))
        .collect();
    let (a, b) = (minutes(&whole, &steps), minutes(&part, &steps));
    let shop = json(at, &["shop", "--json"]);
    assert_eq!(
        (&shop["jobs"], &shop["done"], &shop["blades"]),
        (&2.into(), &1.into(), &1.into())
    );
    near(&shop["work_min"], a.0 + b.0);
    near(&shop["fire_min"], a.1 + b.1);
    assert!(a.1 > 60.0 && a.1 < a.0, "{a:?}");
    // by hand: 40 x 5 x (110 + 2) mm of the core, twice 40 x 8 x (110 + 2) of the jackets, 7.85 g/cm3
    // (EN 1993-1-2, from memory), for two jobs
    near(
        &shop["bought_g"]["SAE 1095"],
        2.0 * 40.0 * 5.0 * 112.0 * 7.85e-3,
    );
    near(
        &shop["bought_g"]["Low-carbon bar"],
        2.0 * 2.0 * 40.0 * 8.0 * 112.0 * 7.85e-3,
    );
    near(&shop["used_g"], 2.0 * 40.0 * 21.0 * 110.0 * 7.85e-3);
    // 10 and 4 a kilogram; an hour at 30, with the fire on 6 more; belts for the one knife that is done
    let steel = 2.0 * (0.175_84 * 10.0 + 0.562_688 * 4.0);
    let costs = &shop["costs"]["so_far"];
    near(&costs["steel"], steel);
    near(&costs["hours"], (a.0 + b.0) / 60.0 * 30.0);
    near(&costs["fire"], (a.1 + b.1) / 60.0 * 6.0);
    near(&costs["belts"], 8.0);
    let heats = shop["learned"].as_array().unwrap();
    let draw = heats.iter().find(|one| one["key"] == "heats.draw").unwrap();
    assert!(draw["from"].as_u64().unwrap() > 0, "{draw}");
    let keys: BTreeSet<&str> = SHOP_FIELDS.iter().map(|(key, _, _)| *key).collect();
    for key in shop.as_object().unwrap().keys() {
        assert!(keys.contains(key.as_str()), "{key} is not documented");
    }
    for key in draw.as_object().unwrap().keys() {
        assert!(keys.contains(format!("learned[].{key}").as_str()), "{key}");
    }
    let page = at.join("shop.html");
    assert!(run(at, &["shop", "--html", "shop.html"]).status.success());
    let page = std::fs::read_to_string(page).unwrap();
    is_sound(&page);
    for words in ["jobs: 2 begun, 1 done", "heats.draw", "EUR", "SAE 1095"] {
        assert!(page.contains(words), "{words}");
    }
    assert!(
        run(at, &["record", "a.toml", "--html", "a.html"])
            .status
            .success()
    );
    let record = std::fs::read_to_string(at.join("a.html")).unwrap();
    for line in text(&run(at, &["record", "a.toml"]))
        .lines()
        .filter(|line| line.starts_with("costs"))
    {
        assert!(record.contains(line), "{line}");
    }
    assert!(record.contains("costs"));
    let said = text(&run(at, &["shop"]));
    for words in [
        "jobs: 2 begun, 1 done; 1 blade finished",
        "SAE 1095",
        "heats.draw",
        "EUR",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }

    // the same job by itself, in status, record, and on the screen
    let one = json(at, &["status", "a.toml", "--json"]);
    let so_far = steel / 2.0 + a.0 / 60.0 * 30.0 + a.1 / 60.0 * 6.0 + 8.0;
    near(&one["costs"]["so_far"]["total"], so_far);
    near(&one["costs"]["per_knife"]["best"], so_far);
    assert!(STATUS_FIELDS.iter().any(|(key, _, _)| *key == "costs"));
    let half = json(at, &["status", "b.toml", "--json"]);
    let spent = half["costs"]["so_far"]["total"].as_f64().unwrap();
    let whole = &half["costs"]["whole"];
    let [low, best, high] = ["low", "best", "high"].map(|end| whole[end].as_f64().unwrap());
    assert!(spent < low && low < best && best < high, "{spent} {whole}");
    let record = text(&run(at, &["record", "a.toml"]));
    let status = text(&run(at, &["status", "a.toml"]));
    let lines: Vec<&str> = status
        .lines()
        .filter(|line| line.starts_with("costs"))
        .collect();
    assert_eq!(lines.len(), 2, "{status}");
    assert!(lines.iter().all(|line| record.contains(line)), "{record}");
    let data = json(at, &["record", "a.toml", "--json"]);
    assert_eq!(data["costs"], one["costs"]);

    // pinned, let go and started afresh; prices stay as they were
    for (args, wanted) in [
        (["shop", "--pin", "trim=12"], "pinned: 12 mm"),
        (["shop", "--unpin", "trim"], "costs:"),
        (["shop", "--afresh", "heats.draw"], "costs:"),
    ] {
        let said = text(&run(at, &args));
        assert!(said.contains(wanted), "{args:?}: {said}");
    }
    let shop = json(at, &["shop", "--json"]);
    let heats = shop["learned"].as_array().unwrap();
    let draw = heats.iter().find(|one| one["key"] == "heats.draw").unwrap();
    assert_eq!(draw["from"], 0);
    near(&shop["costs"]["so_far"]["steel"], steel);
    for (args, wanted) in [
        (["shop", "--pin", "trim"], "write it as trim=12"),
        (["shop", "--pin", "trimm=3"], "write trim"),
        (["shop", "--pin", "trim=-3"], "below zero"),
        (["shop", "--unpin", "nothing"], "not learnt"),
    ] {
        let out = run(at, &args);
        assert_eq!(out.status.code(), Some(2), "{args:?}");
        assert!(text(&out).contains(wanted), "{args:?}: {}", text(&out));
    }
    std::fs::write(at.join("anvilside.shop.toml"), "[costs]\nhour = -1\n").unwrap();
    let out = run(at, &["shop"]);
    assert_eq!(out.status.code(), Some(1));
    assert!(text(&out).contains("hour is -1"), "{}", text(&out));
}

/// One inch job among metric ones changes nothing; where most jobs are in inches, so is the shop.
#[test]
fn a_shop_speaks_the_units_of_most_of_its_jobs() {
    let dir = tempfile::tempdir().unwrap();
    let at = dir.path();
    let steel = |at: &Path| {
        let said = text(&run(at, &["shop"]));
        let line = said
            .lines()
            .find(|line| line.starts_with("steel in stacks"));
        line.unwrap_or_else(|| panic!("{said}")).to_owned()
    };
    put(at, "a", &worked(6));
    put(at, "b", &worked(6));
    let inch = worked_of("ladder-hunter", 4);
    put_of(at, "c", "ladder-hunter", &inch);
    let line = steel(at);
    assert!(line.contains(" g;") && !line.contains("lb"), "{line}");
    put_of(at, "d", "ladder-hunter", &inch);
    put_of(at, "e", "ladder-hunter", &inch);
    let line = steel(at);
    assert!(line.contains("lb"), "{line}");
    assert!(text(&run(at, &["shop", "--pin", "trim=0.5"])).contains("pinned: 0.5 in"));
}

#[test]
fn the_screen_shows_the_costs_that_status_prints() {
    let mut desk = Desk::sample("three-layer");
    desk.keys("+");
    desk.finish_step();
    desk.send(Msg::Shop {
        others: Vec::new(),
        book: ShopBook::read(PRICES).map_err(|why| why.to_string()),
        trouble: Vec::new(),
    });
    let model = &desk.model;
    let seen = model.ahead.known.as_deref();
    let told = status::text(&model.session, &model.situation, seen, model.now);
    let costs: Vec<&str> = told
        .lines()
        .filter(|line| line.starts_with("costs"))
        .collect();
    assert_eq!(costs.len(), 2, "{told}");
    let costs: Vec<String> = costs.into_iter().map(ToOwned::to_owned).collect();
    desk.keys("g");
    let screen = desk.screen(120, 100);
    for line in costs {
        assert!(screen.contains(&line), "{line}\n{screen}");
    }
}

#[test]
fn drafts_are_ranked_by_what_they_cost() {
    let dir = tempfile::tempdir().unwrap();
    let wish = [
        "draft",
        "--by-cost",
        "--json",
        "--length",
        "150",
        "--width",
        "32",
        "--welds",
        "2",
        "--bands",
        "60-110",
        "--press",
        "25t",
        "--steel",
        "1084=6mm x 40mm",
        "--steel",
        "15N20=3mm x 40mm",
    ];
    let out = run(dir.path(), &wish);
    assert_eq!(out.status.code(), Some(2));
    assert!(text(&out).contains("[costs]"), "{}", text(&out));
    std::fs::write(dir.path().join("anvilside.shop.toml"), PRICES).unwrap();
    let found = json(dir.path(), &wish);
    let costs: Vec<f64> = found["plans"]
        .as_array()
        .unwrap()
        .iter()
        .map(|plan| plan["cost"]["whole"]["best"].as_f64().unwrap())
        .collect();
    assert!(costs.len() >= 2 && costs.is_sorted(), "{costs:?}");
    // the cheapest of all of them by hand: steel at 4 a kilogram, belts, hours with their share of fire
    let first = &found["plans"][0];
    let steel = first["steel_g"].as_f64().unwrap() / 1000.0 * 4.0;
    let hours = first["minutes"]["best"].as_f64().unwrap() / 60.0;
    let (low, high) = (steel + 8.0 + hours * 30.0, steel + 8.0 + hours * 36.0);
    assert!(
        costs[0] >= low - 0.01 && costs[0] <= high + 0.01,
        "{low} {} {high}",
        costs[0]
    );
}
