//! The record as a page: whole jobs, worked through the screen, looked at as a browser, a reader's program and
//! a printer would.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::disallowed_methods,
    reason = "a test"
)]

use anvilside::journal::{Entry, Event, encode};
use anvilside::planner::account::Account;
use anvilside::planner::learn::{ShopBook, learn};
use anvilside::planner::record_page::{PagePicture, PagePictures, record_page};
use anvilside::session::{Cache, Session, reckon};
use serde_json::Value;

use crate::common::html::{each, is_sound, words};
use crate::common::worked::worked;
use crate::common::{MORNING, plan_text};

const SAMPLES: [&str; 7] = [
    "kitchen-pair",
    "turned-w-petty",
    "ladder-hunter",
    "three-layer",
    "twist-boot",
    "raindrop-belt-knife",
    "feather-chef",
];

/// The account and the page of a job; a picture of one grey dot stands for those of the command.
fn page_of(session: &Session) -> (Value, String) {
    let lessons = learn(&[], &ShopBook::default(), Some(&session.plan));
    let account = Account::of(session, &lessons);
    let picture = PagePicture {
        long: true,
        caption: "a <blade>".to_owned(),
        png: vec![1, 2, 3],
        size: [10, 4],
    };
    let pictures = PagePictures {
        blade: Some(picture.clone()),
        steps: vec![picture],
    };
    let page = record_page(session, &account, &pictures, None);
    (serde_json::to_value(&account).unwrap(), page)
}

fn fresh(text: &str) -> Session {
    let event = Event::Plan {
        hash: crc32fast::hash(text.as_bytes()),
        text: text.to_owned(),
    };
    let (seq, at) = (1, MORNING);
    Session::fold(vec![Entry { seq, at, event }]).unwrap()
}

/// The cells of a table, row by row, its head left out.
fn table<'h>(html: &'h str, caption: &str) -> Vec<Vec<String>> {
    let from = format!("<caption>{caption}</caption>");
    let whole = each(html, &from, "</table>");
    assert_eq!(whole.len(), 1, "{caption}");
    let body = each(whole[0], "<tbody>", "</tbody>")[0];
    let cells = |row: &&'h str| {
        let cells = row.split("</t").filter_map(|cell| cell.rsplit_once("<t"));
        cells.map(|(_, cell)| words(&format!("<t{cell}"))).collect()
    };
    each(body, "<tr>", "</tr>").iter().map(cells).collect()
}

/// Every drawing says what it is, in words and in a table; every table says what it is and names its
/// columns and rows.
fn charts_are_told(html: &str) -> usize {
    let charts = each(html, "<section class=\"chart\"", "</section>");
    for chart in &charts {
        let by = each(chart, "role=\"img\" aria-labelledby=\"", "\"")[0];
        for id in by.split(' ') {
            let text = each(chart, &format!(" id=\"{id}\">"), "<")[0];
            assert!(text.len() > 3, "{id} says nothing");
        }
        assert_eq!(by.split(' ').count(), 2);
        assert!(chart.contains("<details><summary>") && chart.contains("<table>"));
    }
    let tables = each(html, "<table>", "</table>");
    assert_eq!(tables.len(), html.matches("<table").count());
    for table in tables {
        assert!(table.starts_with("<caption>"), "{table}");
        assert!(table.contains("<th scope=\"col\">") && table.contains("<th scope=\"row\">"));
        assert!(
            !table.contains("<th>"),
            "a heading of a table without its scope"
        );
    }
    for svg in each(html, "<svg", ">") {
        assert!(
            svg.contains("role=\"img\"") || svg.contains("aria-hidden=\"true\""),
            "{svg}"
        );
    }
    for image in each(html, "<img", ">") {
        assert!(
            image.contains(" alt=\"") && !image.contains("alt=\"\""),
            "{image}"
        );
    }
    charts.len()
}

#[test]
fn a_whole_job_is_told_on_one_sound_page() {
    // Millimetres and inches; flat layers, and a core between jackets.
    for name in ["kitchen-pair", "ladder-hunter", "three-layer"] {
        let desk = worked(name, usize::MAX);
        let session = &desk.model.session;
        assert!(session.is_finished());
        let (data, html) = page_of(session);
        is_sound(&html);
        let charts = charts_are_told(&html);
        let days = each(&html, "<h3>Fire, day ", "</h3>").len();
        // Three sizes, mass, the flow, bands, carbon, heats and the forecast.
        assert_eq!(charts, 9 + days, "{name}");
        assert!(html.contains("&lt;blade&gt;") && !html.contains("<blade>"));
        assert!(html.contains("edge cracked &lt;1 mm&gt;, ground &quot;out&quot; &amp; cleaned"));
        assert!(html.contains("tongs are at the welder"));
        let told = words(&html);
        assert!(told.contains("local codes") || told.contains("your local"));
        // Every reading, every heat and every answer has its row.
        let readings = data["readings"].as_array().unwrap();
        assert_eq!(
            table(&html, "All readings, of one piece").len(),
            readings.len()
        );
        let heats: usize = each(&html, "<h3>Fire, day ", "</h3>")
            .iter()
            .map(|day| table(&html, &format!("Fire, day {day}")).len())
            .sum();
        assert_eq!(heats, data["heats"].as_array().unwrap().len());
        let steps = data["steps"].as_array().unwrap();
        let cards = |settled: bool| -> usize {
            let all = steps
                .iter()
                .flat_map(|step| step["card"].as_array().unwrap());
            all.filter(|item| (item["settled"] == "answered") == settled)
                .count()
        };
        assert_eq!(table(&html, "Answers by step").len(), cards(true));
        assert_eq!(
            table(
                &html,
                "Items of the card that were not done when they were asked"
            )
            .len(),
            cards(false)
        );
        assert!(cards(false) > 0);
    }
}

#[test]
fn the_figures_of_the_page_are_those_of_the_record_and_of_the_screen() {
    let desk = worked("kitchen-pair", usize::MAX);
    let session = &desk.model.session;
    let (data, html) = page_of(session);
    // Sizes: what the table has as read is what was typed, in a plan in millimetres.
    let sizes = table(&html, "Thickness");
    let readings = data["readings"].as_array().unwrap();
    let mut seen = 0;
    for reading in readings.iter().filter(|one| one["what"] == "thickness") {
        let head = format!("{}. ", reading["number"]);
        let Some(row) = sizes.iter().find(|row| row[0].starts_with(&head)) else {
            continue;
        };
        assert_eq!(row[2], format!("{} mm", reading["typed"].as_str().unwrap()));
        seen += 1;
    }
    assert!(seen >= 3, "{seen}");
    // The flow: what came in is what is there and what is gone, to the tenth that is shown.
    let flow = table(&html, "Where the metal went");
    let share = |row: &Vec<String>| row[3].trim_end_matches(" %").parse::<f64>().unwrap();
    let sum = |way: &str| -> f64 {
        let own = flow.iter().filter(|row| (row[1] == "in") == (way == "in"));
        own.map(share).sum()
    };
    assert!((sum("in") - 100.0).abs() < 0.2, "{flow:?}");
    assert!((sum("out") - 100.0).abs() < 0.5, "{flow:?}");
    // Ranges: counted again here.
    let figures = data["forecast"]["figures"].as_array().unwrap();
    let inside = figures.iter().filter(|figure| {
        let of = |key: &str| figure["range"][key].as_f64().unwrap();
        let came = figure["came"].as_f64().unwrap();
        of("low") <= came && came <= of("high")
    });
    assert_eq!(data["forecast"]["inside"], inside.count());
    assert_eq!(
        table(&html, "Forecast against what came").len(),
        figures.len()
    );
    // Fire and carbon: what the screen shows of the finished job.
    let cache = Cache::default();
    let numbers = reckon(&session.inputs(session.last.unwrap(), &cache), &cache);
    let above = data["above_1100_s"]["best"].as_f64().unwrap();
    assert!((above - numbers.scale.above.best).abs() < 0.01, "{above}");
    let carbon = data["carbon"].as_array().unwrap().last().unwrap();
    for (row, own) in carbon["by_steel"]
        .as_array()
        .unwrap()
        .iter()
        .zip(&numbers.carbon.unwrap().by_steel)
    {
        let best = row["mean"]["best"].as_f64().unwrap();
        assert!((best - own.mean.best).abs() < 1e-3, "{row} {own:?}");
    }
}

/// Time above 1100 C by straight lines between the points of the course, against the law's own crossing.
#[test]
fn minutes_above_1100_follow_from_the_course_that_is_drawn() {
    let desk = worked("twist-boot", usize::MAX);
    let (data, _) = page_of(&desk.model.session);
    let mut hot = 0;
    for heat in data["heats"].as_array().unwrap() {
        let points: Vec<[f64; 2]> = heat["course"]
            .as_array()
            .unwrap()
            .iter()
            .map(|pair| [pair[0].as_f64().unwrap(), pair[1].as_f64().unwrap()])
            .collect();
        let mut above = 0.0;
        for two in points.windows(2) {
            let ([from, a], [to, b]) = (two[0], two[1]);
            assert!(to >= from);
            let (low, high) = (a.min(b), a.max(b));
            above += match () {
                () if low >= 1100.0 => to - from,
                () if high <= 1100.0 => 0.0,
                () => (to - from) * (high - 1100.0) / (high - low),
            };
        }
        let told = heat["above_1100_s"]["best"].as_f64().unwrap();
        assert!(
            (above - told).abs() < 12.0 + 0.03 * told,
            "{above} {told} {points:?}"
        );
        let low = heat["above_1100_s"]["low"].as_f64().unwrap();
        assert!(low <= told);
        hot += usize::from(told > 60.0);
    }
    assert!(hot > 3, "{hot}");
}

#[test]
fn a_job_half_way_or_not_begun_has_its_page_too() {
    let half = worked("kitchen-pair", 12);
    let (_, html) = page_of(&half.model.session);
    is_sound(&html);
    charts_are_told(&html);
    assert!(html.contains("NOT FINISHED: 12 of 35 steps done") && html.contains("Still to come"));
    let text = plan_text("twist-boot");
    let title = text.lines().find(|line| line.starts_with("title")).unwrap();
    let odd = text.replacen(title, "title = \"<b>A & B\"", 1);
    let (data, html) = page_of(&fresh(&odd));
    is_sound(&html);
    assert_eq!(charts_are_told(&html), 0);
    assert!(html.contains("<h1>&lt;b&gt;A &amp; B</h1>") && html.contains("Not begun"));
    assert!(data["first"].is_null() && !words(&html).contains("1970"));
}

#[test]
fn a_page_kept_current_asks_for_itself_anew_and_no_other_does() {
    let session = fresh(&plan_text("three-layer"));
    let account = Account::of(&session, &learn(&[], &ShopBook::default(), None));
    let page = |again| record_page(&session, &account, &PagePictures::default(), again);
    assert!(page(Some(20)).contains("<meta http-equiv=\"refresh\" content=\"20\">"));
    is_sound(&page(Some(20)).replace("http-equiv", ""));
    assert!(!page(None).contains("refresh"));
}

#[test]
fn a_label_says_what_was_made_and_nothing_before_it_is() {
    let done = worked("three-layer", usize::MAX);
    let label = done.model.session.label().unwrap();
    is_sound(&label.page());
    let text = label.text();
    for steel in &done.model.session.plan.steels {
        assert!(text.contains(&steel.steel.grade), "{text}");
    }
    // The core between jackets is what the edge is ground from.
    let core = done.model.session.plan.bars[0].pieces.len() / 2;
    let core = done.model.session.plan.bars[0].pieces[core].steel.index();
    let edge = &done.model.session.plan.steels[core].steel.grade;
    assert!(text.contains(&format!("Edge: {edge}")), "{text}");
    assert!(text.contains("Care") && text.contains("rust"), "{text}");
    let half = worked("three-layer", 3);
    let lots =
        plan_text("three-layer").replacen("letter = \"C\"", "letter = \"C\"\nlot = \"H 4711\"", 1);
    let (data, html) = page_of(&fresh(&lots));
    assert_eq!(data["steels"][0]["lot"], "H 4711");
    assert!(html.contains("SAE 1095, lot H 4711"));
    assert!(
        fresh(&lots)
            .record()
            .contains("Steel C: SAE 1095, lot H 4711")
    );
    let why = half.model.session.label().unwrap_err().to_string();
    assert!(
        why.contains("not finished") && why.contains("anvilside record"),
        "{why}"
    );
}

/// Writes the plan and the journal of every sample, worked to its end, and of one half way, into the folder
/// that `ANVILSIDE_JOBS` names: for the script that opens the pages in a browser.
#[test]
#[ignore = "writes files for tests/reference/pages.mjs"]
fn jobs_for_a_browser() {
    let folder = std::path::PathBuf::from(std::env::var_os("ANVILSIDE_JOBS").unwrap());
    let jobs = SAMPLES.map(|name| (name, name, usize::MAX));
    for (name, file, steps) in jobs.into_iter().chain([("kitchen-pair", "half-way", 17)]) {
        let desk = worked(name, steps);
        let lines: Vec<String> = desk
            .journal
            .iter()
            .map(|entry| encode(entry).unwrap())
            .collect();
        let text = lines.iter().map(|line| format!("{}\n", line.trim_end()));
        std::fs::write(
            folder.join(format!("{file}.journal")),
            text.collect::<String>(),
        )
        .unwrap();
        std::fs::write(folder.join(format!("{file}.toml")), plan_text(name)).unwrap();
    }
    std::fs::write(folder.join("not-begun.toml"), plan_text("twist-boot")).unwrap();
}
