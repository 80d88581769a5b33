//! Nothing that was shown as recorded is lost, and what cannot be recorded is not shown as done.

use std::fs;
use std::process::Command;
use std::thread;
use std::time::Duration;

use anvilside::journal::Event;
use anvilside::shell::disk::RealDisk;
use anvilside::shell::read_entries;
use anvilside::shell::replace::replace;

use crate::terminal::{Bench, Terminal};

const SAMPLE: &str = "kitchen-pair";
const FIRST: &str = "READ THIS ONCE";

/// At work: the words are read and the first card is open.
fn at_work(bench: &Bench) -> Terminal {
    let mut terminal = Terminal::start(bench.work(&["--key-gap", "0"]));
    terminal.wait(FIRST);
    terminal.keys("+");
    terminal.wait("CARD 1 of");
    terminal
}

/// Opened again after a break.
fn back_at_work(bench: &Bench) -> Terminal {
    let mut terminal = Terminal::start(bench.work(&["--key-gap", "0"]));
    terminal.wait("YOU STOPPED HERE");
    terminal.keys("+");
    terminal.wait("CARD ");
    terminal
}

/// Answers an item of the first card that asks for a choice.
fn settle(terminal: &mut Terminal, item: usize) {
    terminal.wait(&format!("CARD {item} of"));
    terminal.keys("1");
    terminal.wait(&format!("CARD {} of", item + 1));
}

#[test]
fn killed_at_any_time_it_goes_on_where_it_stood() {
    let bench = Bench::with_sample(SAMPLE);
    drop(at_work(&bench));
    let mut notes = 0;
    for round in 0..8 {
        let mut terminal = back_at_work(&bench);
        let before = read_entries(&bench.plan()).unwrap();
        // a note and its end; the kill falls before, into or behind the writing
        terminal.keys(&format!("nround {round}\r"));
        thread::sleep(Duration::from_millis(round * 4));
        terminal.signal("KILL");
        terminal.ended();
        let after = read_entries(&bench.plan()).unwrap();
        assert_eq!(after[..before.len()], before);
        notes += after.len() - before.len();
    }
    assert!(notes > 0, "every kill came too soon to tell");
}

#[test]
fn what_the_screen_shows_is_on_the_disk_before_a_kill() {
    let bench = Bench::with_sample(SAMPLE);
    let mut terminal = at_work(&bench);
    for item in 1..=2 {
        settle(&mut terminal, item);
        // the next item is on the screen, so the answer must be in the file
        let before = read_entries(&bench.plan()).unwrap();
        assert!(matches!(
            before.last().unwrap().event,
            Event::Caution { .. }
        ));
        terminal.signal("KILL");
        terminal.ended();
        assert_eq!(read_entries(&bench.plan()).unwrap(), before);
        terminal = back_at_work(&bench);
        terminal.wait(&format!("CARD {} of", item + 1));
    }
}

#[test]
fn a_torn_journal_is_mended_and_said() {
    let bench = Bench::with_sample(SAMPLE);
    drop(at_work(&bench));
    let whole = fs::read(bench.path("plan.journal")).unwrap();
    let torn = &whole[..whole.len() - 9];
    fs::File::create(bench.path("plan.journal"))
        .and_then(|mut file| std::io::Write::write_all(&mut file, torn))
        .unwrap();
    let terminal = back_at_work(&bench);
    terminal.wait("cut short");
    assert_eq!(fs::read(bench.path("plan.journal.torn-1")).unwrap(), torn);
}

#[test]
fn damage_is_named_and_nothing_is_opened() {
    let bench = Bench::with_sample(SAMPLE);
    drop(at_work(&bench));
    let mut bytes = fs::read(bench.path("plan.journal")).unwrap();
    bytes[40] ^= 1;
    replace(&RealDisk, &bench.path("plan.journal"), &bytes).unwrap();
    let mut terminal = Terminal::start(bench.work(&[]));
    terminal.ended_with(1);
    assert!(terminal.is_handed_back());
    terminal.wait("plan.journal, line 1:");
    assert_eq!(fs::read(bench.path("plan.journal")).unwrap(), bytes);
}

#[test]
fn of_two_copies_the_second_follows_until_the_first_is_gone_and_it_is_asked() {
    let bench = Bench::with_sample(SAMPLE);
    let mut first = at_work(&bench);
    let mut second = Terminal::start(bench.work(&["--key-gap", "0"]));
    second.wait("ANOTHER COPY HAS THIS JOB OPEN");
    let before = bench.journal();
    second.keys("+");
    second.wait("FOLLOWING");
    second.keys("+");
    second.wait("only shows");
    second.keys("1\r");
    second.wait("still has the job");
    assert_eq!(bench.journal(), before, "the second copy wrote");
    settle(&mut first, 1);
    second.wait("CARD 2 of");
    first.signal("KILL");
    first.ended();
    second.wait("THE OTHER COPY HAS LEFT");
    second.keys("-");
    second.wait("the work screen");
    // asked again
    second.keys("+");
    second.wait("ENTER  take over");
    second.keys("\r");
    second.wait("THE OTHER COPY HAS LEFT");
    second.keys("+");
    second.wait("YOU STOPPED HERE");
    second.keys("+");
    settle(&mut second, 2);
    assert!(!second.shows("FOLLOWING"));
    second.keys("\x03");
    second.ended_with(0);
}

/// Lets the files of a process grow to this many bytes, or to any size: the disk is full as far as it
/// can tell, in the middle of a record.
fn limit(terminal: &Terminal, bytes: &str) {
    let done = Command::new("prlimit")
        .args(["--pid", &terminal.id().to_string()])
        .arg(format!("--fsize={bytes}:unlimited"))
        .status()
        .unwrap();
    assert!(done.success());
}

#[test]
fn on_a_full_disk_nothing_moves_and_with_room_it_goes_on() {
    let bench = Bench::with_sample(SAMPLE);
    let mut terminal = at_work(&bench);
    let before = bench.journal();
    limit(&terminal, &(before.len() + 40).to_string());
    terminal.keys("1");
    terminal.wait("the disk is full");
    terminal.wait("CARD 1 of");
    assert_eq!(bench.journal(), before, "half a record is left");
    terminal.wait("> 1_");
    terminal.keys("\r");
    terminal.quiet();
    assert!(terminal.shows("the disk is full") && terminal.shows("CARD 1 of"));
    limit(&terminal, "unlimited");
    terminal.keys("\r");
    terminal.wait("CARD 2 of");
    assert!(!terminal.shows("the disk is full"));
    assert_eq!(bench.journal().lines().count(), before.lines().count() + 1);
    terminal.keys("\x03");
    terminal.ended_with(0);
    read_entries(&bench.plan()).unwrap();
}

#[test]
fn begun_on_a_full_disk_it_shows_the_job_and_saves_all_of_it_later() {
    let bench = Bench::with_sample(SAMPLE);
    let mut command = bench.command("sh");
    let program = env!("CARGO_BIN_EXE_anvilside");
    command.args([
        "-c",
        &format!("trap '' XFSZ; ulimit -S -f 0; exec '{program}' work plan.toml --key-gap 0"),
    ]);
    let mut terminal = Terminal::start(command);
    terminal.wait("the disk is full");
    terminal.keys("+");
    terminal.quiet();
    terminal.wait(FIRST);
    assert_eq!(bench.journal(), "");
    limit(&terminal, "unlimited");
    terminal.keys("+");
    terminal.wait("CARD 1 of");
    assert!(!terminal.shows("the disk is full"));
    let events: Vec<Event> = read_entries(&bench.plan())
        .unwrap()
        .into_iter()
        .map(|e| e.event)
        .collect();
    assert!(
        matches!(
            events[..],
            [Event::Plan { .. }, Event::Opened { .. }, Event::LegalRead]
        ),
        "{events:?}"
    );
}

#[test]
fn leaving_says_what_is_not_saved() {
    let bench = Bench::with_sample(SAMPLE);
    let mut command = bench.command("sh");
    let program = env!("CARGO_BIN_EXE_anvilside");
    command.args([
        "-c",
        &format!("trap '' XFSZ; ulimit -S -f 0; exec '{program}' work plan.toml --key-gap 0"),
    ]);
    let mut terminal = Terminal::start(command);
    terminal.wait("the disk is full");
    terminal.keys("\x03");
    terminal.ended_with(1);
    assert!(terminal.is_handed_back());
    assert!(terminal.shows("NOT SAVED") && terminal.shows("nothing of this job"));
    assert!(!terminal.shows("Everything is on disk"));
    // with a part of it saved
    let mut terminal = at_work(&bench);
    limit(&terminal, &(bench.journal().len() + 4).to_string());
    terminal.keys("\x03");
    terminal.ended_with(1);
    assert!(terminal.shows("NOT SAVED") && terminal.shows("what was confirmed is on the disk"));
}

#[test]
fn a_journal_that_is_taken_away_is_written_again() {
    for replaced in [false, true] {
        let bench = Bench::with_sample(SAMPLE);
        let mut terminal = at_work(&bench);
        settle(&mut terminal, 1);
        let before = read_entries(&bench.plan()).unwrap();
        fs::remove_file(bench.path("plan.journal")).unwrap();
        if replaced {
            fs::write(bench.path("plan.journal"), "not ours\n").unwrap();
        }
        settle(&mut terminal, 2);
        terminal.keys("\x03");
        terminal.ended_with(0);
        let kept = if replaced {
            assert_eq!(bench.journal(), "not ours\n", "another's file was changed");
            fs::rename(
                bench.path("plan.journal.kept-1"),
                bench.path("plan.journal"),
            )
            .unwrap();
            read_entries(&bench.plan()).unwrap()
        } else {
            read_entries(&bench.plan()).unwrap()
        };
        assert_eq!(kept[..before.len()], before);
        // the answer and the end
        assert_eq!(kept.len(), before.len() + 2);
    }
}

/// A journal of the plan with these events behind its beginning.
fn journal_of(bench: &Bench, events: Vec<Event>) {
    let text = bench.read("plan.toml");
    let hash = crc32fast::hash(text.as_bytes());
    let begin = [
        Event::Plan { hash, text },
        Event::Opened {
            offset: 0,
            version: "test".to_owned(),
        },
        Event::LegalRead,
    ];
    let lines: String = begin
        .into_iter()
        .chain(events)
        .enumerate()
        .map(|(n, event)| {
            let entry = anvilside::journal::Entry {
                seq: n as u64 + 1,
                at: anvilside::units::Stamp(1_772_438_400_000 + 1000 * n as i64),
                event,
            };
            anvilside::journal::encode(&entry).unwrap()
        })
        .collect();
    replace(&RealDisk, &bench.path("plan.journal"), lines.as_bytes()).unwrap();
}

#[test]
fn an_entry_that_cannot_be_used_is_named_and_taken_back() {
    let bench = Bench::with_sample(SAMPLE);
    let text = "steps = 7".to_owned();
    let hash = crc32fast::hash(text.as_bytes());
    journal_of(&bench, vec![Event::Plan { hash, text }, Event::Drank]);
    let before = read_entries(&bench.plan()).unwrap();
    let mut terminal = Terminal::start(bench.work(&["--key-gap", "0"]));
    terminal.wait("one entry cannot be used");
    terminal.wait("entry 4, 2026-03-02");
    terminal.keys("-");
    terminal.ended_with(1);
    assert!(terminal.is_handed_back());
    assert_eq!(read_entries(&bench.plan()).unwrap(), before);
    let mut terminal = Terminal::start(bench.work(&["--key-gap", "0"]));
    terminal.wait("one entry cannot be used");
    terminal.keys("+");
    terminal.wait("YOU STOPPED HERE");
    let after = read_entries(&bench.plan()).unwrap();
    assert_eq!(after[..before.len()], before);
    assert_eq!(after[before.len()].event, Event::Undone { seq: 4 });
    terminal.keys("+");
    terminal.wait("CARD 1 of");
}

#[test]
fn sizes_that_no_bar_can_have_lock_no_job() {
    let bench = Bench::with_sample("twist-boot");
    let plan = anvilside::plan::read(&bench.read("plan.toml")).unwrap().0;
    let at = plan
        .steps
        .iter()
        .position(|step| step.id.0 == "twist-1")
        .unwrap();
    let mut events = Vec::new();
    for step in &plan.steps[..=at] {
        let step = step.id.clone();
        if step.0 == "twist-1" {
            events.push(Event::Measured {
                step: step.clone(),
                what: anvilside::billet::Dimension::Mass,
                cold: 1e-10,
                typed: "0.0000000001".to_owned(),
                hot: None,
                counted: None,
            });
        }
        events.push(Event::Done { step });
    }
    journal_of(&bench, events);
    let mut terminal = Terminal::start(bench.work(&["--key-gap", "0"]));
    terminal.wait("YOU STOPPED HERE");
    terminal.keys("+");
    terminal.quiet();
    // it goes on, or says which entry is at fault
    if terminal.shows("one entry cannot be used") {
        terminal.keys("+");
        terminal.wait("YOU STOPPED HERE");
        terminal.keys("+");
        terminal.quiet();
    }
    terminal.wait("NOW");
    terminal.keys("\x03");
    terminal.ended_with(0);
}

#[test]
fn a_plan_saved_while_the_job_was_closed_is_noticed() {
    let bench = Bench::with_sample(SAMPLE);
    drop(at_work(&bench));
    let text = bench.read("plan.toml");
    let title = text.lines().find(|l| l.starts_with("title")).unwrap();
    let new = text.replace(title, "title = \"Thought over at night\"");
    replace(&RealDisk, &bench.plan(), new.as_bytes()).unwrap();
    let terminal = Terminal::start(bench.work(&[]));
    terminal.poll("the edit in the journal", || {
        let entries = read_entries(&bench.plan()).unwrap();
        matches!(&entries.last().unwrap().event, Event::Plan { text, .. } if *text == new)
    });
    terminal.quiet();
}

#[test]
fn the_list_opens_a_job_and_the_first_key_in_it_counts() {
    let bench = Bench::with_sample(SAMPLE);
    let mut terminal = Terminal::start(bench.program(&["--key-gap", "0"]));
    terminal.wait("plan.toml");
    terminal.quiet();
    terminal.keys("1");
    terminal.wait(FIRST);
    terminal.keys("+");
    terminal.wait("CARD 1 of");
    terminal.keys("1");
    terminal.wait("CARD 2 of");
    terminal.keys("\x03");
    terminal.ended_with(0);
    assert!(terminal.is_handed_back());
}

#[test]
fn a_plan_saved_by_renaming_is_noticed_every_time() {
    let bench = Bench::with_sample(SAMPLE);
    let mut terminal = at_work(&bench);
    let text = bench.read("plan.toml");
    let title = text.lines().find(|l| l.starts_with("title")).unwrap();
    for n in 1..=5 {
        let new = text.replace(title, &format!("title = \"Version {n} of it\""));
        replace(&RealDisk, &bench.plan(), new.as_bytes()).unwrap();
        terminal.poll("the edit in the journal", || {
            let entries = read_entries(&bench.plan()).unwrap();
            matches!(&entries.last().unwrap().event, Event::Plan { text, .. } if *text == new)
        });
        terminal.quiet();
        terminal.keys("+");
        terminal.wait(&format!("Version {n} of it"));
    }
    // a bad one is told with its line and the good one kept
    let bad = text.replace(title, "titel = \"Wrong\"");
    replace(&RealDisk, &bench.plan(), bad.as_bytes()).unwrap();
    terminal.wait("Plan file line");
    terminal.wait("Version 5 of it");
    replace(&RealDisk, &bench.plan(), text.as_bytes()).unwrap();
    terminal.until("the banner gone", |s| {
        !s.contents().contains("Plan file line")
    });
}
