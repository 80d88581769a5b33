//! A second screen: shows the whole job of another copy, writes nothing, and outlives its deaths.

use std::fs;

use anvilside::shell::disk::RealDisk;
use anvilside::shell::replace::replace;

use crate::terminal::{Bench, Terminal, cpu_ticks};
use crate::whole::work_on;

const SAMPLE: &str = "three-layer";

#[test]
fn a_whole_job_is_followed_with_the_worker_killed_twice() {
    let bench = Bench::with_sample(SAMPLE);
    let mut follower = Terminal::start_at(bench.program(&["follow", "plan.toml"]), 120, 40);
    follower.wait("FOLLOWING");
    follower.wait("not begun");
    follower.quiet();
    assert_eq!(bench.names(), ["plan.toml"], "it wrote something");
    let mut worker = Terminal::start(bench.work(&["--key-gap", "0"]));
    worker.wait("READ THIS ONCE");
    for stop in [3, 7, usize::MAX] {
        let desk = work_on(&bench, &mut worker, false, |model| {
            model.session.at >= stop || model.session.is_finished()
        });
        let session = &desk.model.session;
        match session.current() {
            Some(step) => {
                follower.wait(&format!("FOLLOWING  {}", step.name().to_uppercase()));
                let steps = session.plan.steps.len();
                follower.wait(&format!("step {} of {steps}", session.at + 1));
                worker.signal("KILL");
                worker.ended();
                worker = Terminal::start(bench.work(&["--key-gap", "0"]));
                worker.wait("YOU STOPPED HERE");
            }
            None => follower.wait("FOLLOWING  JOB DONE"),
        }
    }
    // the same work screen, and the same pages, as the worker has
    follower.keys("+");
    follower.wait("only shows");
    follower.keys("s");
    follower.wait("STEPS");
    let names = bench.names();
    assert!(
        !names.iter().any(|name| name.contains("crash")),
        "{names:?}"
    );
    worker.keys("\x03");
    worker.ended_with(0);
    follower.keys("\x03");
    follower.ended_with(0);
    follower.wait("wrote nothing");
}

#[test]
fn a_journal_that_is_damaged_or_gone_is_said_and_followed_again_when_it_is_back() {
    let bench = Bench::with_sample(SAMPLE);
    let mut worker = Terminal::start(bench.work(&["--key-gap", "0"]));
    worker.wait("READ THIS ONCE");
    worker.keys("+");
    worker.wait("CARD 1 of");
    worker.keys("\x03");
    worker.ended_with(0);
    let journal = bench.path("plan.journal");
    let whole = fs::read(&journal).unwrap();
    let follower = Terminal::start(bench.program(&["follow", "plan.toml"]));
    follower.wait("last entry");
    let mut bad = whole.clone();
    bad[40] ^= 1;
    replace(&RealDisk, &journal, &bad).unwrap();
    follower.wait("NOT FOLLOWING");
    follower.wait("line 1");
    replace(&RealDisk, &journal, &whole).unwrap();
    follower.until("no trouble", |screen| {
        !screen.contents().contains("NOT FOLLOWING")
    });
    fs::remove_file(&journal).unwrap();
    follower.wait("the journal is gone");
    replace(&RealDisk, &journal, &whole).unwrap();
    follower.until("no trouble", |screen| {
        !screen.contents().contains("NOT FOLLOWING")
    });
    assert_eq!(fs::read(&journal).unwrap(), whole);
    // a damaged one is not begun with
    replace(&RealDisk, &journal, &bad).unwrap();
    let mut second = Terminal::start(bench.program(&["follow", "plan.toml"]));
    second.ended_with(1);
    second.wait("plan.journal, line 1:");
}

#[test]
fn following_costs_next_to_nothing_and_a_changed_plan_is_shown_before_the_job_begins() {
    let bench = Bench::with_sample(SAMPLE);
    let follower = Terminal::start(bench.program(&["follow", "plan.toml"]));
    follower.wait("not begun");
    let text = bench.read("plan.toml");
    let title = text.lines().find(|line| line.starts_with("title")).unwrap();
    let other = text.replace(title, "title = \"Another knife\"");
    let mut follower = follower;
    follower.keys("+");
    replace(&RealDisk, &bench.plan(), other.as_bytes()).unwrap();
    follower.wait("Another knife");
    follower.quiet();
    let before = cpu_ticks(follower.id());
    std::thread::sleep(std::time::Duration::from_secs(3));
    // ticks of 10 ms
    assert!(cpu_ticks(follower.id()) - before <= 6);
    assert_eq!(bench.names(), ["plan.toml"]);
}
