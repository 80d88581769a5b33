//! The list that the program opens with: every billet, searched by typing; and a first run without one.

use std::fs;

use crate::terminal::{Bench, Terminal};

const SAMPLE: &str = "three-layer";

/// A folder with so many plans, and the journal of one that was begun under a name late in the alphabet.
fn shop(many: usize) -> Bench {
    let bench = Bench::with_sample(SAMPLE);
    let mut worker = Terminal::start(bench.work(&["--key-gap", "0"]));
    worker.wait("READ THIS ONCE");
    worker.keys("+");
    worker.wait("CARD 1 of");
    worker.keys("\x03");
    worker.ended_with(0);
    let text = bench.read("plan.toml");
    let title = text.lines().find(|line| line.starts_with("title")).unwrap();
    for n in 0..many {
        let other = text.replace(title, &format!("title = \"Knife number {n}\""));
        fs::File::create(bench.path(&format!("a{n:03}.toml")))
            .and_then(|mut file| std::io::Write::write_all(&mut file, other.as_bytes()))
            .unwrap();
    }
    for end in ["toml", "journal"] {
        let (from, to) = (format!("plan.{end}"), format!("zz.{end}"));
        fs::rename(bench.path(&from), bench.path(&to)).unwrap();
    }
    // only this folder, not what was worked before
    fs::remove_file(bench.path("state/recent")).unwrap();
    bench
}

#[test]
fn the_unfinished_job_is_first_of_many_and_typing_finds_any() {
    let bench = shop(60);
    for _ in 0..2 {
        // once as it is read, once from the index
        let mut list = Terminal::start(bench.program(&["--key-gap", "0"]));
        list.wait("BILLETS, the unfinished first");
        list.wait("step 1 of 21");
        list.wait("61 ");
        list.until("all of it read", |screen| {
            !screen.contents().contains("reading")
        });
        let first = list.text().lines().nth(3).unwrap_or_default().to_owned();
        assert!(first.contains("[zz.toml]"), "{}", list.text());
        list.keys("number 47");
        list.wait("1 of 61");
        list.wait("[a047.toml]");
        list.keys("\x03");
        list.ended_with(0);
    }
    assert!(bench.read("state/billets.index").lines().count() == 62);
    let mut list = Terminal::start(bench.program(&["--key-gap", "0"]));
    list.wait("61 ");
    list.keys("number 47");
    list.wait("1 of 61");
    list.keys("\r");
    list.wait("READ THIS ONCE");
    assert!(bench.names().contains(&"a047.journal".to_owned()));
    list.keys("\x03");
    list.ended_with(0);
}

#[test]
fn a_first_run_offers_the_draft_and_the_samples_and_begins_one_by_its_number() {
    let bench = Bench::with_sample(SAMPLE);
    fs::remove_file(bench.plan()).unwrap();
    let mut first = Terminal::start(bench.program(&["--key-gap", "0"]));
    first.wait("NO PLANS HERE YET");
    first.wait("1  Draft a plan from a wish");
    first.wait("3  Sample: three-layer");
    first.keys("3");
    first.wait("READ THIS ONCE");
    first.keys("\x03");
    first.ended_with(0);
    let names = bench.names();
    assert!(names.contains(&"three-layer.toml".to_owned()), "{names:?}");
    let mut again = Terminal::start(bench.program(&["--key-gap", "0"]));
    again.wait("step 1 of 21");
    again.keys("\x03");
    again.ended_with(0);
}
