//! Attacks on the real program in its terminal. A short form runs with the others; the long form is for
//! `cargo test --test pty campaign:: -- --ignored --nocapture --test-threads 1`, which prints a row of
//! counts for each.
#![allow(clippy::print_stdout, reason = "the long forms print their counts")]

use std::thread;
use std::time::{Duration, Instant};

use anvilside::shell::read_entries;

use crate::answers::ANSWERS;
use crate::terminal::{Bench, Terminal};

fn row(what: &str, count: usize, begun: Instant) {
    println!(
        "| {what} | {count} | 0 | {:.0} s |",
        begun.elapsed().as_secs_f64()
    );
}

/// Kills under typing. Whatever was on the disk stays, and the program goes on; how many entries there
/// were in the end.
fn kills(count: u64) -> usize {
    let bench = Bench::with_sample("three-layer");
    let mut before = Vec::new();
    for n in 0..count {
        let mut terminal = Terminal::start(bench.work(&["--key-gap", "0", "--graphics", "blocks"]));
        terminal.poll("the screen", || {
            terminal.shows("READ THIS ONCE") || terminal.shows("YOU STOPPED HERE")
        });
        terminal.keys(&format!("+nround {n}\r1+"));
        thread::sleep(Duration::from_millis(n * 7 % 60));
        terminal.signal("KILL");
        terminal.ended();
        let after = read_entries(&bench.plan()).unwrap();
        assert_eq!(after[..before.len()], before, "round {n}");
        before = after;
    }
    before.len()
}

#[test]
fn kills_in_short() {
    assert!(kills(6) > 6);
}

#[test]
#[ignore = "long"]
fn many_kills() {
    let begun = Instant::now();
    let entries = kills(1000);
    row(
        "kills under typing, each entry looked for afterwards",
        1000,
        begun,
    );
    row("entries recorded meanwhile, none lost", entries, begun);
}

/// Every answer of a terminal, cut behind every byte, with a pause that is longer than the program's.
#[test]
#[ignore = "long"]
fn answers_cut_at_every_byte() {
    let begun = Instant::now();
    let bench = Bench::with_sample("three-layer");
    let mut terminal = Terminal::start(bench.work(&["--key-gap", "0", "--graphics", "blocks"]));
    terminal.wait("READ THIS ONCE");
    terminal.keys("+");
    terminal.wait("NOW");
    terminal.quiet();
    let before = read_entries(&bench.plan()).unwrap();
    let mut count = 0;
    for answer in ANSWERS {
        for cut in 1..answer.len() {
            terminal.keys(&answer[..cut]);
            thread::sleep(Duration::from_millis(150));
            terminal.keys(&answer[cut..]);
            count += 1;
        }
        terminal.quiet();
        let now = read_entries(&bench.plan()).unwrap();
        assert_eq!(now, before, "{answer:?} was taken for keys");
    }
    row(
        "answers of terminals in two pieces with a pause",
        count,
        begun,
    );
    terminal.keys("\x03");
    terminal.ended_with(0);
}
