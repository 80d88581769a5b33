//! The shelf beside a job that is worked: kept by the number pad, taken back, taken by one plan alone.

use anvilside::journal::encode;

use crate::common::Desk;
use crate::terminal::{Bench, Terminal};

/// The journal of the three-layer sample behind the cut that keeps the rest.
fn cut() -> String {
    let mut desk = Desk::sample("three-layer");
    (desk.foresees, desk.reckons) = (false, false);
    while desk.model.session.left_over().is_empty() {
        desk.finish_step();
    }
    let lines = desk.journal.iter().map(|entry| encode(entry).unwrap());
    lines.collect()
}

/// A plan that begins with that piece of the shelf.
const TAKING: &str = "title = \"From the shelf\"\n[goal]\npattern = \"random\"\nbands = [1, 9]\n[goal.blade]\nlength = 60\nwidth = 20\nspine = 3\n\
    [steels]\nA = \"SAE 1084\"\n[stack]\nwidth = 30\nlength = 80\npieces = \"A 9 mm\"\nshelf = 1\n\
    [[step]]\nkind = \"draw\"\nwidth = 24\n";

#[test]
fn a_piece_is_kept_by_the_number_pad_and_two_plans_cannot_take_it() {
    let bench = Bench::with_sample("three-layer");
    std::fs::write(bench.path("plan.journal"), cut()).unwrap();
    for name in ["one.toml", "two.toml"] {
        std::fs::write(bench.path(name), TAKING).unwrap();
    }
    let shelf = || bench.read("anvilside.shelf.toml");
    // not there yet: the plan is not begun, and leaves no journal
    let mut early = Terminal::start(bench.program(&["work", "one.toml"]));
    early.wait("none of that number");
    early.ended_with(1);
    assert!(bench.read("one.journal").is_empty());

    let mut work = Terminal::start(bench.work(&["--key-gap", "0"]));
    work.wait("YOU STOPPED HERE");
    work.keys("+");
    work.keys("*003");
    work.wait("Keep for other plans");
    work.keys("1");
    work.wait("as number 1");
    assert!(
        shelf().contains("number = 1\nlies = \"shelf\""),
        "{}",
        shelf()
    );
    work.keys("+");
    work.keys("-");
    work.wait("off the shelf again");
    assert!(shelf().contains("lies = \"undone\""));
    work.keys("r");
    work.wait("on the shelf again");

    let one = Terminal::start(bench.program(&["work", "one.toml", "--key-gap", "0"]));
    one.wait("READ THIS ONCE");
    assert!(shelf().contains("by = \"one.journal\""), "{}", shelf());
    let mut two = Terminal::start(bench.program(&["work", "two.toml", "--key-gap", "0"]));
    two.wait("taken by one.journal");
    two.ended_with(1);
    assert!(bench.read("two.journal").is_empty());
    for mut screen in [one, work] {
        screen.keys("\x03");
        screen.ended_with(0);
        assert!(screen.is_handed_back());
    }
}
