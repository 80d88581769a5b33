//! `anvilside picture` as a smith and a script use it: the real program, files in a folder of their own.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::disallowed_methods,
    reason = "a test"
)]

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

fn plan(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("plans/{name}.toml"))
}

fn picture(folder: &Path, name: &str, more: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_anvilside"))
        .arg("picture")
        .arg(plan(name))
        .args(more)
        .current_dir(folder)
        .stdin(Stdio::null())
        .output()
        .unwrap()
}

fn words(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// The file that these arguments make.
fn made(name: &str, out: &str, more: &[&str]) -> Vec<u8> {
    let folder = tempfile::tempdir().unwrap();
    let all: Vec<&str> = ["--out", out].iter().chain(more).copied().collect();
    let done = picture(folder.path(), name, &all);
    assert_eq!(done.status.code(), Some(0), "{}", words(&done.stderr));
    assert!(done.stderr.is_empty(), "no bar without a terminal");
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
    std::fs::read(folder.path().join(out)).unwrap()
}

/// Width, height and dots of a PNG.
fn dots(bytes: &[u8]) -> (u32, u32, Vec<u8>) {
    let mut reader = png::Decoder::new(std::io::Cursor::new(bytes))
        .read_info()
        .unwrap();
    let mut dots = vec![0; reader.output_buffer_size().unwrap()];
    reader.next_frame(&mut dots).unwrap();
    let info = reader.info();
    (info.width, info.height, dots)
}

#[test]
fn a_png_has_its_signature_and_is_the_same_for_a_seed() {
    let size = ["--size", "200x60", "--seed", "7"];
    let one = made("ladder-hunter", "a.png", &size);
    // PNG specification (ISO/IEC 15948), 5.2: the signature.
    assert_eq!(&one[..8], b"\x89PNG\r\n\x1a\n");
    assert_eq!(one, made("ladder-hunter", "a.png", &size));
    let other = made(
        "ladder-hunter",
        "a.png",
        &["--size", "200x60", "--seed", "8"],
    );
    let ((w, h, one), (v, g, other)) = (dots(&one), dots(&other));
    assert_eq!((w, h), (v, g));
    assert_ne!(one, other, "another seed, another hand");
}

#[test]
fn every_plan_and_view_can_be_drawn() {
    for name in [
        "end-grain-tiles",
        "feather-chef",
        "four-twist-edges",
        "framed-core",
        "jacketed",
        "kitchen-pair",
        "raindrop-belt-knife",
        "three-layer",
        "turned-w-petty",
        "twist-boot",
        "unfolded",
    ] {
        for view in ["end", "side", "face", "blade"] {
            let bytes = made(name, "a.png", &["--view", view, "--size", "120x60"]);
            let (_, _, dots) = dots(&bytes);
            let (dark, bright) = dots
                .iter()
                .fold((255, 0), |(l, h), dot| (l.min(*dot), h.max(*dot)));
            assert!(dark < 80 && bright > 200, "{name} {view}");
        }
    }
}

#[test]
fn the_usual_name_stands_in_the_folder_of_the_caller() {
    let folder = tempfile::tempdir().unwrap();
    let done = picture(
        folder.path(),
        "three-layer",
        &["--view", "end", "--size", "60x40"],
    );
    assert_eq!(done.status.code(), Some(0));
    assert!(words(&done.stdout).starts_with("three-layer-end.png: "));
    assert!(folder.path().join("three-layer-end.png").exists());
}

#[test]
fn more_samples_keep_the_size_and_the_light() {
    let plain = dots(&made("twist-boot", "a.png", &["--size", "160x50"]));
    let fine = dots(&made(
        "twist-boot",
        "a.png",
        &["--size", "160x50", "--samples", "4"],
    ));
    assert_eq!((plain.0, plain.1), (fine.0, fine.1));
    let mean = |dots: &[u8]| dots.iter().map(|d| f64::from(*d)).sum::<f64>() / 1e3;
    let (a, b) = (mean(&plain.2), mean(&fine.2));
    assert!((a / b - 1.0).abs() < 0.02, "{a} {b}");
}

/// Opening and closing tags of an SVG in balance, quotes paired, no raw ampersand.
fn well_formed(text: &str) {
    assert!(text.starts_with("<svg ") && text.trim_end().ends_with("</svg>"));
    let mut open = Vec::new();
    for part in text.split('<').skip(1) {
        let (tag, _) = part.split_once('>').expect("a tag ends");
        assert_eq!(tag.matches('"').count() % 2, 0, "{tag}");
        let name = tag.split([' ', '/']).next().unwrap().to_owned();
        if let Some(closing) = tag.strip_prefix('/') {
            assert_eq!(open.pop().as_deref(), Some(closing));
        } else if !tag.ends_with('/') {
            open.push(name);
        }
    }
    assert!(open.is_empty());
    for (at, _) in text.match_indices('&') {
        let rest = &text.as_bytes()[at..];
        assert!(
            ["&amp;", "&lt;", "&gt;", "&quot;"]
                .iter()
                .any(|e| rest.starts_with(e.as_bytes())),
            "a bare &"
        );
    }
}

#[test]
fn a_sheet_of_all_steps_is_one_well_formed_svg() {
    let text = words(&made(
        "ladder-hunter",
        "a.svg",
        &["--sheet", "--size", "90x60"],
    ));
    well_formed(&text);
    // Four in a row: places across of the pictures.
    let across: std::collections::BTreeSet<&str> = text
        .split("<image x=\"")
        .skip(1)
        .filter_map(|rest| rest.split('"').next())
        .collect();
    assert_eq!(across.len(), 4, "{across:?}");
    assert!(text.matches("<image").count() >= 8 && text.matches("#a03820").count() > 4);
    for said in ["Cut the ladder", "after groove-1", " mm<", " in<", "seed 1"] {
        assert!(text.contains(said), "{said}");
    }
}

#[test]
fn two_steps_and_two_plans_side_by_side() {
    let text = words(&made(
        "ladder-hunter",
        "a.svg",
        &["--size", "90x60", "--at", "draw-1", "--compare", "finished"],
    ));
    well_formed(&text);
    assert_eq!(text.matches("<image").count(), 2);
    assert!(text.contains("after draw-1") && text.contains("finished"));
    let other = plan("twist-boot");
    let text = words(&made(
        "ladder-hunter",
        "a.svg",
        &["--size", "90x60", "--compare", other.to_str().unwrap()],
    ));
    well_formed(&text);
    assert_eq!(text.matches("<image").count(), 2);
}

#[test]
fn what_cannot_be_drawn_is_a_sentence_and_leaves_no_file() {
    let cases: [(&[&str], i32, &str); 9] = [
        (
            &["--size", "16000x16000"],
            1,
            "256 million pixels, and 120 million are the most",
        ),
        (
            &["--size", "4000x3000", "--sheet"],
            1,
            "take a smaller --size",
        ),
        (
            &["--at", "draw-99"],
            1,
            "`draw-99` is not a step of this plan",
        ),
        (&["--compare", "nowhere.toml"], 1, "not a step of this plan"),
        (&["--out", "a.jpg"], 2, "must end in .png or .svg"),
        (&["--size", "10"], 2, "as 1600x420"),
        (&["--size", "99999x9"], 2, "each 8 to"),
        (&["--samples", "0"], 2, "--samples"),
        (&["--samples", "65"], 2, "--samples"),
    ];
    for (args, code, said) in cases {
        let folder = tempfile::tempdir().unwrap();
        let done = picture(folder.path(), "kitchen-pair", args);
        let why = words(&done.stderr);
        assert_eq!(done.status.code(), Some(code), "{args:?}: {why}");
        assert!(why.contains(said), "{args:?}: {why}");
        assert_eq!(
            std::fs::read_dir(folder.path()).unwrap().count(),
            0,
            "{args:?}"
        );
    }
}

#[test]
fn a_folder_that_is_not_there_is_told_and_an_older_file_stays() {
    let folder = tempfile::tempdir().unwrap();
    let done = picture(folder.path(), "three-layer", &["--out", "gone/a.png"]);
    assert_eq!(done.status.code(), Some(1));
    assert!(words(&done.stderr).contains("the folder gone is not there; make it"));
    std::fs::write(folder.path().join("no-plan.toml"), "not a plan\n").unwrap();
    let done = picture(folder.path(), "three-layer", &["--compare", "no-plan.toml"]);
    let why = words(&done.stderr);
    assert!(why.contains("no-plan.toml:1:1: "), "{why}");
    assert!(
        why.contains("`anvilside check`") && !why.contains("journal"),
        "{why}"
    );
    std::fs::remove_file(folder.path().join("no-plan.toml")).unwrap();
    std::fs::write(folder.path().join("a.png"), "older").unwrap();
    let done = picture(
        folder.path(),
        "three-layer",
        &["--out", "a.png", "--at", "no"],
    );
    assert_eq!(done.status.code(), Some(1));
    assert_eq!(
        std::fs::read(folder.path().join("a.png")).unwrap(),
        b"older"
    );
}

/// What the program says as JSON: `check` of a plan, or a picture of it.
fn json(args: &[&str], folder: &Path) -> serde_json::Value {
    let done = Command::new(env!("CARGO_BIN_EXE_anvilside"))
        .args(args)
        .current_dir(folder)
        .stdin(Stdio::null())
        .output()
        .unwrap();
    assert_eq!(done.status.code(), Some(0), "{}", words(&done.stderr));
    serde_json::from_slice(&done.stdout).unwrap()
}

#[test]
fn the_numbers_go_with_the_picture_each_with_unit_range_and_the_word_estimate() {
    let folder = tempfile::tempdir().unwrap();
    let said = |more: &[&str]| {
        let all: Vec<&str> = ["--size", "60x40"].iter().chain(more).copied().collect();
        let done = picture(folder.path(), "twist-boot", &all);
        words(&done.stdout)
    };
    let text = said(&["--at", "draw-1", "--view", "face"]);
    for part in [
        "face, after draw-1, forecast: estimates, with their range",
        "bands/cm: ",
        " along, ",
        "degrees",
        "mean slope of the layers: ",
        "forecast, on the bar's face: estimates",
        "twist-1: slope ",
        "adds ",
        " x steeper than here (estimate)",
        " mm, the lines",
        " to ",
    ] {
        assert!(text.contains(part), "{part}: {text}");
    }
    let early = said(&["--at", "weld-1", "--view", "face"]);
    assert!(
        early.contains(" x straighter than here (estimate)"),
        "{early}"
    );
    assert!(early.contains("stretching takes "), "{early}");
    // Nothing to come at the end; one block of numbers for each of two pictures.
    assert!(!said(&[]).contains("to come"));
    let pair = said(&["--at", "draw-1", "--compare", "finished"]);
    assert_eq!(pair.matches("bands/cm").count(), 2, "{pair}");
}

// By arithmetic from the sizes that `check` prints: a draw leaves flat layers
// (t0/t1)(L1/L0) times straighter, and draws multiply.
#[test]
fn how_much_straighter_follows_from_the_sizes_of_the_plan() {
    let folder = tempfile::tempdir().unwrap();
    let plan = plan("kitchen-pair");
    let plan = plan.to_str().unwrap();
    let checked = json(&["check", plan, "--json"], folder.path());
    let steps = checked["steps"].as_array().unwrap();
    let size = |step: &serde_json::Value| {
        ["thickness_mm", "length_mm"].map(|key| step[key].as_f64().unwrap_or(f64::NAN))
    };
    let mut whole = 1.0;
    let mut each = std::collections::BTreeMap::new();
    for pair in steps.windows(2) {
        if matches!(pair[1]["kind"].as_str(), Some("weld" | "draw" | "square")) {
            let ([t0, l0], [t1, l1]) = (size(&pair[0]), size(&pair[1]));
            let times = (t0 / t1) * (l1 / l0);
            each.insert(pair[1]["id"].as_str().unwrap().to_owned(), times);
            if pair[1]["number"].as_u64() > Some(4) {
                whole *= times;
            }
        }
    }
    let seen = json(
        &[
            "picture", plan, "--at", "draw-1", "--json", "--size", "40x20",
        ],
        folder.path(),
    );
    let near = |a: f64, b: f64| (a / b - 1.0).abs() < 2e-3;
    let ahead = &seen["ahead"];
    let told = ahead["straighter_at_finish_times"].as_f64().unwrap();
    assert!(whole > 10.0 && near(told, whole), "{told} {whole}");
    let coming = ahead["coming"].as_array().unwrap();
    assert!(coming.len() >= 6, "{ahead:#}");
    for step in coming {
        for key in ["slope_before_deg", "slope_after_deg"] {
            let at = |end: &str| step[key][end].as_f64().unwrap();
            assert!(
                at("low") <= at("best") && at("best") <= at("high"),
                "{step:#}"
            );
            assert!(at("low") >= 0.0 && at("high") < 90.0);
        }
        let times = step["straighter_times"].as_f64();
        let expected = each.get(step["step"].as_str().unwrap());
        assert_eq!(times.is_some(), expected.is_some(), "{step:#}");
        if let (Some(times), Some(expected)) = (times, expected) {
            assert!(near(times, *expected), "{step:#} {expected}");
        }
    }
    // Later, less is to come.
    let later = json(
        &[
            "picture", plan, "--at", "draw-2", "--json", "--size", "40x20",
        ],
        folder.path(),
    );
    let less = later["ahead"]["straighter_at_finish_times"].as_f64();
    assert!(less.unwrap() < 0.5 * told);
}

#[cfg(unix)]
#[test]
fn an_interrupt_leaves_no_file_and_the_older_one_whole() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("a.png");
    std::fs::write(&out, "older").unwrap();
    let mut child = Command::new(env!("CARGO_BIN_EXE_anvilside"))
        .arg("picture")
        .arg(plan("ladder-hunter"))
        .args([
            "--size",
            "12000x9000",
            "--samples",
            "64",
            "--overwrite",
            "--out",
        ])
        .arg(&out)
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // The handler stands before the first row is drawn; the whole picture takes many seconds.
    std::thread::sleep(std::time::Duration::from_millis(700));
    assert!(child.try_wait().unwrap().is_none(), "done too soon");
    let kill = Command::new("kill")
        .args(["-INT", &child.id().to_string()])
        .status();
    assert!(kill.unwrap().success());
    let done = child.wait_with_output().unwrap();
    let why = words(&done.stderr);
    assert_eq!(done.status.code(), Some(1), "{why}");
    assert!(why.contains("nothing was written"), "{why}");
    assert_eq!(std::fs::read(&out).unwrap(), b"older");
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
}

#[test]
fn a_tone_set_by_the_smith_shows_and_a_steel_that_is_not_there_is_named() {
    let size = ["--view", "end", "--size", "200x60", "--at", "stack-1"];
    let with = |tones: &[&str]| {
        let mut all = size.to_vec();
        for tone in tones {
            all.extend(["--tone", tone]);
        }
        dots(&made("kitchen-pair", "a.png", &all)).2
    };
    let own = with(&[]);
    let turned = with(&["A=80", "15n20=2"]);
    assert!(own != turned);
    // What was dark is bright and the other way round: the middle of the stack is a layer of A.
    let dark = |dots: &[u8]| dots.iter().filter(|dot| **dot < 60).count();
    assert!(
        dark(&own) > dark(&turned),
        "{} {}",
        dark(&own),
        dark(&turned)
    );
    assert!(turned == with(&["SAE 1084=80 %", "B=2"]));

    let folder = tempfile::tempdir().unwrap();
    for (tone, code, why) in [
        (
            "Q=50",
            1,
            "`Q` is not a steel of this plan; it has A (SAE 1084), B (75Ni8)",
        ),
        ("B=101", 2, "0 (black) to 100 (white)"),
        ("B", 2, "0 (black) to 100 (white)"),
    ] {
        let done = picture(folder.path(), "kitchen-pair", &["--tone", tone]);
        assert_eq!(done.status.code(), Some(code));
        assert!(words(&done.stderr).contains(why), "{}", words(&done.stderr));
    }
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
}
