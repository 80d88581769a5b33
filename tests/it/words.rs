//! What the program says to somebody at the command line: help that fits a screen, errors with their
//! remedy, samples, completions, manual pages, and a record of a job that has not begun.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test"
)]

use std::path::Path;
use std::process::{Command, Output};

fn run(folder: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_anvilside"))
        .args(args)
        .current_dir(folder)
        .env("COLUMNS", "80")
        .env("ANVILSIDE_STATE", folder)
        .output()
        .unwrap()
}

fn said(args: &[&str]) -> (String, Option<i32>) {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let out = run(here, args);
    let text = [out.stdout, out.stderr].concat();
    (String::from_utf8(text).unwrap(), out.status.code())
}

fn file(folder: &Path, name: &str, text: &str) -> String {
    let path = folder.join(name);
    #[allow(clippy::disallowed_methods, reason = "a test writes its own text")]
    std::fs::write(&path, text).unwrap();
    path.display().to_string()
}

/// The pair of kitchen knives with one line of its plan put otherwise.
fn altered(folder: &Path, name: &str, line: &str, by: &str) -> String {
    let sample = concat!(env!("CARGO_MANIFEST_DIR"), "/plans/kitchen-pair.toml");
    let text = std::fs::read_to_string(sample).unwrap();
    assert!(text.contains(line));
    file(folder, name, &text.replacen(line, by, 1))
}

#[test]
fn help_fits_a_screen_and_names_only_what_applies() {
    let names = |command: &clap::Command| -> Vec<String> {
        let below = command.get_subcommands();
        below.map(|one| one.get_name().to_owned()).collect()
    };
    let whole = anvilside::cli::command();
    let mut all: Vec<Vec<String>> = vec![Vec::new()];
    for name in names(&whole) {
        let below = whole.find_subcommand(&name).map(names).unwrap_or_default();
        all.push(vec![name.clone()]);
        all.extend(below.into_iter().map(|below| vec![name.clone(), below]));
    }
    assert!(all.len() > 25, "{all:?}");
    for command in all {
        let mut args: Vec<&str> = command.iter().map(String::as_str).collect();
        args.push("--help");
        let (text, code) = said(&args);
        assert_eq!(code, Some(0), "{command:?}");
        // the prompt takes the last line of 24
        assert!(text.lines().count() <= 23, "{command:?}:\n{text}");
        let widest = text.lines().map(|line| line.chars().count()).max();
        assert!(widest <= Some(80), "{command:?}:\n{text}");
        assert!(!text.contains('\\'), "{command:?}:\n{text}");
        // every option is named, and everything that is said of it is one flag away
        let (long, code) = said(&[&args[..args.len() - 1], &["--help-all"]].concat());
        assert_eq!(code, Some(0), "{command:?}");
        let own = command
            .iter()
            .try_fold(&whole, |at, name| at.find_subcommand(name));
        for flag in own
            .unwrap()
            .get_arguments()
            .filter(|flag| !flag.is_hide_set() && !command.is_empty())
        {
            let name = flag.get_long().map_or_else(
                || format!("<{}>", flag.get_value_names().unwrap()[0]),
                |long| format!("--{long}"),
            );
            assert!(text.contains(&name), "{command:?}: {name}\n{text}");
            let help = flag.get_help().unwrap().to_string();
            let squeezed = |text: &str| text.split_whitespace().collect::<String>();
            assert!(
                squeezed(&long).contains(&squeezed(&help)),
                "{command:?}: {help}\n{long}"
            );
        }
        let screen = ["work", "follow", "draft"].map(|name| vec![name.to_owned()]);
        for option in ["--theme", "--key-gap", "--fire-watch", "--graphics"] {
            let shown = text.contains(option);
            assert!(!shown || screen.contains(&command), "{command:?}: {text}");
        }
    }
    let (text, _) = said(&["work", "--help"]);
    assert!(text.contains("--theme") && text.contains("--fire-watch"));
    let (text, _) = said(&["follow", "--help"]);
    assert!(text.contains("--theme") && !text.contains("--fire-watch"));
    let (text, code) = said(&["--ascii", "record", "plans/kitchen-pair.toml"]);
    assert_eq!(code, Some(2));
    assert!(text.contains("settings of the screen"), "{text}");
    // Settings of the screen are no flag of a command without one.
    let (text, code) = said(&["record", "plans/kitchen-pair.toml", "--ascii"]);
    assert_eq!(code, Some(2));
    assert!(text.contains("unexpected argument '--ascii'"), "{text}");
}

#[test]
fn errors_at_the_command_line_say_what_to_write() {
    let plan = "plans/kitchen-pair.toml";
    let draft = ["draft", "--list", "--length", "210", "--width", "46"];
    for (args, words) in [
        (
            vec!["work", plan, "--fire-watch", "30"],
            "60 to 600 minutes; write 60 or more",
        ),
        (
            vec!["work", plan, "--key-gap", "abc"],
            "write a time of 0 to 5000 ms, as 700",
        ),
        (
            [&draft[..], &["--steel", "1084=6mmx"]].concat(),
            "has no width after the x; write 1084=6mm, or 1084=6mm x 40mm",
        ),
        (
            [&draft[..], &["--steel", "1084="]].concat(),
            "has no thickness; write 1084=6mm",
        ),
        (
            vec!["draft", "--list", "--wish", plan],
            "this is a plan, not a wish",
        ),
        (
            vec!["draft", "--list", "--length", "210", "--width", "-4"],
            "'-4' is below zero; write it without the minus",
        ),
        (
            vec!["picture", plan, "--seed", "abc"],
            "write a whole number",
        ),
        (
            vec!["picture", plan, "--samples", "65"],
            "65 is outside; write a whole number of 1 to 64",
        ),
        (
            vec!["draft", "--list", "--length", "0", "--width", "40"],
            "must be greater than zero",
        ),
    ] {
        let (text, code) = said(&args);
        assert_eq!(code, Some(2), "{args:?}: {text}");
        assert!(text.contains(words), "{args:?}: {text}");
    }
}

#[test]
fn errors_of_a_plan_name_the_remedy() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    let prose = "A bladesmith stacks steels.\nThen he welds.\n".repeat(100);
    for (plan, words, most) in [
        (
            altered(at, "press.toml", "press = \"25 t\"", "press = \"-25 t\""),
            "press '-25 t' is below zero; write a force",
            1,
        ),
        (
            altered(at, "units.toml", "units = \"mm\"", "units = \"cm\""),
            "units 'cm' is not known; write one of \"mm\" or \"inch\"",
            1,
        ),
        (
            altered(at, "goal.toml", "[goal]\n", ""),
            "has no key 'pattern'; write it under [goal]",
            5,
        ),
        (file(at, "prose.toml", &prose), "this is not a plan: ", 1),
        (
            file(at, "other.toml", "[package]\nname = \"x\"\n"),
            "this is not a plan",
            1,
        ),
    ] {
        let (text, code) = said(&["check", &plan]);
        assert_eq!(code, Some(1), "{text}");
        assert!(text.contains(words), "{text}");
        let errors = text.lines().filter(|line| line.contains(": error: "));
        assert!(errors.count() <= most, "{text}");
    }
}

#[test]
fn the_samples_that_the_program_carries_are_the_plans_of_the_house() {
    let folder = tempfile::tempdir().unwrap();
    let out = run(folder.path(), &["samples", "."]);
    assert!(out.status.success());
    let house = Path::new(env!("CARGO_MANIFEST_DIR")).join("plans");
    let mut seen = 0;
    for entry in std::fs::read_dir(&house).unwrap() {
        let name = entry.unwrap().file_name();
        if name == "JSON.md" {
            continue;
        }
        let ours = std::fs::read(house.join(&name)).unwrap();
        let theirs = std::fs::read(folder.path().join(&name)).unwrap();
        assert!(ours == theirs, "{name:?}");
        seen += 1;
    }
    assert!(seen >= 9);
    // A second time nothing is written over.
    let own = file(folder.path(), "kitchen-pair.toml", "mine");
    assert!(run(folder.path(), &["samples", "."]).status.success());
    assert_eq!(std::fs::read_to_string(own).unwrap(), "mine");
    let gone = run(folder.path(), &["samples", "nowhere"]);
    assert_eq!(gone.status.code(), Some(1));
    let why = String::from_utf8(gone.stderr).unwrap();
    assert!(
        why.contains("the folder nowhere is not there; make it"),
        "{why}"
    );
}

#[test]
fn the_first_run_offers_a_draft_and_every_sample_by_number() {
    let folder = tempfile::tempdir().unwrap();
    let out = run(folder.path(), &[]);
    let text = String::from_utf8(out.stdout).unwrap();
    assert!(text.contains("  1  Draft a plan"), "{text}");
    for n in 2..=8 {
        assert!(text.contains(&format!("\n  {n}  Sample: ")), "{text}");
    }
}

#[test]
fn manual_pages_and_completions_know_every_command() {
    let folder = tempfile::tempdir().unwrap();
    assert!(run(folder.path(), &["man", "."]).status.success());
    let page = std::fs::read_to_string(folder.path().join("anvilside.1")).unwrap();
    let (bash, _) = said(&["completions", "bash"]);
    for command in [
        "work", "check", "draft", "record", "status", "ask", "picture", "samples",
    ] {
        assert!(
            page.contains(command) && bash.contains(command),
            "{command}"
        );
        let own = folder.path().join(format!("anvilside-{command}.1"));
        let own = std::fs::read_to_string(own).unwrap();
        // The parts that man-pages(7) asks for.
        for part in [".SH NAME", ".SH SYNOPSIS", ".SH DESCRIPTION", ".SH OPTIONS"] {
            assert!(
                own.contains(part) || part == ".SH OPTIONS",
                "{command}: {part}"
            );
        }
    }
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let (text, code) = said(&["completions", shell]);
        assert!(code == Some(0) && text.contains("anvilside"), "{shell}");
    }
}

#[test]
fn a_job_that_has_not_begun_has_no_dates() {
    let (text, code) = said(&["record", "plans/kitchen-pair.toml"]);
    assert_eq!(code, Some(0));
    assert!(!text.contains("1970"), "{text}");
    assert!(text.contains("Not begun"), "{text}");
    let (text, _) = said(&["status", "plans/kitchen-pair.toml", "--json"]);
    assert!(text.contains("\"last_entry_ms\": null"), "{text}");
}

// The draft's plans are put down step by step and checked; what `ask blade` adds up in a line holds them.
#[test]
fn ask_and_draft_agree_on_the_steel_for_a_blade() {
    for [length, width, spine, tip] in [
        ["210", "46", "3", "1.2"],
        ["150", "32", "4", "2"],
        ["100", "28", "4", "2"],
    ] {
        let blade = ["--length", length, "--width", width, "--spine", spine];
        let asked = [&["ask", "blade", "--json", "--tip-spine", tip], &blade[..]].concat();
        let asked: serde_json::Value = serde_json::from_str(&said(&asked).0).unwrap();
        let answer = &asked["answer"];
        let (low, high) = (&answer["first_stack_low_g"], &answer["first_stack_high_g"]);
        let rack = ["--steel", "1084=6mm x 40mm", "--steel", "15N20=3mm x 40mm"];
        let wish = ["--spine-tip", tip, "--bands", "100-150", "--press", "25t"];
        let drafted = [&["draft", "--json"], &blade[..], &wish[..], &rack[..]].concat();
        let drafted: serde_json::Value = serde_json::from_str(&said(&drafted).0).unwrap();
        let plans = drafted["plans"].as_array().unwrap();
        assert!(!plans.is_empty());
        for plan in plans {
            let steel = plan["steel_g"].as_f64().unwrap();
            let held = low.as_f64().unwrap()..=high.as_f64().unwrap();
            assert!(held.contains(&steel), "{steel} {held:?}");
        }
    }
}

// `check` walks the plan's own steps; `ask` takes the restacks from the bar of that plan.
#[test]
fn ask_counts_the_restacks_of_a_plan_as_check_does() {
    let name = "kitchen-pair";
    let plan = format!("plans/{name}.toml");
    let checked: serde_json::Value =
        serde_json::from_str(&said(&["check", &plan, "--json"]).0).unwrap();
    let asked = said(&["ask", "restacks", "--plan", &plan, "--json"]).0;
    let asked: serde_json::Value = serde_json::from_str(&asked).unwrap();
    let steps = checked["steps"].as_array().unwrap();
    let bands = |step: &serde_json::Value| step["bands"].as_u64().unwrap();
    // The bar after the last pile is drawn: scale takes a little of the outer bands there too.
    let last = steps
        .iter()
        .rposition(|step| step["kind"] == "restack")
        .unwrap();
    let drawn = |step: &&serde_json::Value| step["kind"] == "draw" || step["kind"] == "square";
    let bar = steps[last..].iter().find(drawn).unwrap();
    let counts: Vec<u64> = steps
        .windows(2)
        .filter(|pair| pair[1]["kind"] == "restack")
        .map(|pair| pair[0]["pieces"].as_u64().unwrap())
        .collect();
    // A plan whose restacks are alike is one of the even ways.
    if counts.iter().all(|count| *count == counts[0]) {
        let choices = asked["answer"]["choices"].as_array().unwrap();
        let same = choices
            .iter()
            .find(|way| way["pieces"] == serde_json::json!(counts));
        let same = same.unwrap_or_else(|| panic!("{name}: {counts:?} {choices:#?}"));
        assert_eq!(same["bands"].as_u64().unwrap(), bands(bar), "{name}");
    }
}

// What check proposes for a count that is missed is what check counts once it is done.
#[test]
#[allow(clippy::disallowed_methods)]
fn a_pile_that_check_proposes_makes_the_bands_that_it_says() {
    let text = std::fs::read_to_string("plans/kitchen-pair.toml").unwrap();
    let missed = text.replacen("bands = [100, 150]", "bands = [60, 90]", 1);
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("missed.toml");
    std::fs::write(&path, &missed).unwrap();
    let path_text = path.to_str().unwrap();
    let told = said(&["check", path_text]).0;
    assert!(
        told.contains("at cut-2 3 pieces make 83, or want more"),
        "{told}"
    );
    let (before, after) = missed.rsplit_once("pieces = 4").unwrap();
    std::fs::write(&path, format!("{before}pieces = 3{after}")).unwrap();
    let checked = said(&["check", path_text, "--json"]).0;
    let checked: serde_json::Value = serde_json::from_str(&checked).unwrap();
    let last = checked["steps"].as_array().unwrap().last().unwrap();
    assert_eq!(last["bands"], 83);
}

/// The retired words of the table in DEVELOPERS.md.
fn retired() -> Vec<String> {
    let page = include_str!("../../DEVELOPERS.md");
    let table = page.split("| write | for | not |").nth(1).unwrap();
    let rows = table
        .lines()
        .skip(2)
        .take_while(|line| line.starts_with('|'));
    let not = rows.map(|row| row.replace("\\|", "\u{1}"));
    not.flat_map(|row| {
        let cell = row
            .trim_end_matches('|')
            .rsplit('|')
            .next()
            .unwrap()
            .to_owned();
        let words: Vec<String> = cell
            .split("; ")
            .map(|w| w.trim().replace('\u{1}', "|"))
            .collect();
        words
    })
    .filter(|word| !word.is_empty())
    .collect()
}

/// The texts between quotes of a source file, up to its tests; comments are left out.
fn texts(source: &str) -> String {
    let code = source.split("#[cfg(test)]").next().unwrap();
    let lines = code
        .lines()
        .filter(|line| !line.trim_start().starts_with("//"));
    lines
        .filter(|line| line.contains('"'))
        .collect::<Vec<_>>()
        .join("\n")
}

fn sources(folder: &Path, out: &mut Vec<std::path::PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, out);
        } else if path.extension().is_some_and(|ext| ext == "rs") {
            out.push(path);
        }
    }
}

#[test]
fn retired_words_are_in_nothing_that_a_user_reads() {
    let retired = retired();
    assert!(retired.len() >= 20, "{retired:?}");
    let house = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files = Vec::new();
    sources(&house.join("src"), &mut files);
    assert!(files.len() > 100);
    let read = |path: &Path| std::fs::read_to_string(path).unwrap();
    let mut all: Vec<(String, String)> = files
        .iter()
        .map(|path| (path.display().to_string(), texts(&read(path))))
        .collect();
    for page in [
        "README.md",
        "plans/FORMAT.md",
        "plans/JSON.md",
        "shared/ASK.md",
        "shared/USING.md",
        "shared/cautions.toml",
    ] {
        all.push((page.to_owned(), read(&house.join(page))));
    }
    let mut found = Vec::new();
    for (place, text) in &all {
        for word in retired.iter().filter(|word| text.contains(word.as_str())) {
            found.push(format!("{place}: {word}"));
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}
