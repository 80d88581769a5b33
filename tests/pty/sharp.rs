//! Sharp pictures: only where the terminal says it takes them, and gone when their screen goes.

use std::time::{Duration, Instant};

use portable_pty::CommandBuilder;

use crate::terminal::{Bench, Terminal};

const SAMPLE: &str = "ladder-hunter";
const FIRST: &str = "READ THIS ONCE";
/// Puts a picture up, and takes it away: the kitty graphics protocol, `a=T` and `a=d` (from memory).
const UP: &str = "\x1b_Ga=T,f=100,";
const AWAY: &str = "\x1b_Ga=d,d=I,i=1,";

fn count(terminal: &Terminal, part: &str) -> usize {
    let part = part.as_bytes();
    let bytes = terminal.bytes();
    bytes.windows(part.len()).filter(|w| *w == part).count()
}

fn last(terminal: &Terminal, part: &str) -> Option<usize> {
    let part = part.as_bytes();
    let bytes = terminal.bytes();
    bytes.windows(part.len()).rposition(|w| w == part)
}

/// To the end grain.
fn look(terminal: &mut Terminal) {
    terminal.keys(" ");
    terminal.wait("NOW");
    terminal.keys("p");
    terminal.wait("bands per cm");
}

/// Half blocks below the head of the screen.
fn half_blocks(terminal: &Terminal) -> usize {
    let text = terminal.text();
    let lines = text.lines().skip(3);
    lines.map(|line| line.matches('▀').count()).sum()
}

/// A terminal that takes kitty pictures and says so. A busy machine may answer too late: tried again.
fn kitty(command: impl Fn() -> CommandBuilder) -> Terminal {
    for _ in 0..8 {
        let mut terminal = Terminal::start(command());
        terminal.poll("the first question", || count(&terminal, "\x1b[c") == 1);
        terminal.keys("\x1b[?62;22c");
        terminal.poll("the next or the first screen", || {
            count(&terminal, "\x1b[c") == 2 || terminal.shows(FIRST)
        });
        if count(&terminal, "\x1b[c") == 2 {
            terminal.keys("\x1b_Gi=31;OK\x1b\\\x1b[6;16;8t\x1b[?62;22c");
            terminal.wait(FIRST);
            return terminal;
        }
        terminal.signal("TERM");
        terminal.ended();
    }
    panic!("never in time");
}

#[test]
fn a_terminal_that_never_answers_gets_half_blocks_soon() {
    let bench = Bench::with_sample(SAMPLE);
    let begun = Instant::now();
    let mut terminal = Terminal::start(bench.work(&["--key-gap", "0"]));
    terminal.wait(FIRST);
    let took = begun.elapsed();
    assert!(took < Duration::from_secs(1), "{took:?}");
    look(&mut terminal);
    assert!(half_blocks(&terminal) > 100, "{}", terminal.text());
    terminal.keys("\x03");
    terminal.ended_with(0);
    for sent in ["\x1b_", "\x1b]1337", "\x1bP", "\x1b[16t"] {
        assert_eq!(count(&terminal, sent), 0, "{sent:?}");
    }
}

#[test]
fn an_answer_that_comes_late_is_no_key() {
    let bench = Bench::with_sample(SAMPLE);
    let mut terminal = Terminal::start(bench.work(&["--key-gap", "0"]));
    terminal.wait(FIRST);
    terminal.quiet();
    let (before, journal) = (terminal.text(), bench.journal());
    terminal.keys("\x1b[?62;4;22c");
    terminal.quiet();
    assert_eq!((terminal.text(), bench.journal()), (before, journal));
    look(&mut terminal);
    assert!(half_blocks(&terminal) > 100, "{}", terminal.text());
    assert_eq!(count(&terminal, "\x1bP"), 0);
}

#[test]
fn a_picture_comes_with_its_screen_and_goes_with_it() {
    let bench = Bench::with_sample(SAMPLE);
    let mut terminal = kitty(|| bench.work(&["--key-gap", "0"]));
    assert_eq!(count(&terminal, UP), 0);
    look(&mut terminal);
    terminal.poll("a picture", || count(&terminal, UP) == 1);
    terminal.quiet();
    assert_eq!(half_blocks(&terminal), 0, "{}", terminal.text());
    assert_eq!(count(&terminal, AWAY), 0);
    // another sight, another picture
    terminal.keys("3");
    terminal.poll("another", || count(&terminal, UP) == 2);
    assert_eq!(count(&terminal, AWAY), 1);
    // another size
    terminal.resize(120, 40);
    terminal.poll("it anew", || {
        last(&terminal, UP) > last(&terminal, AWAY) && count(&terminal, UP) == 3
    });
    // the same again, on a screen drawn anew
    terminal.quiet();
    terminal.keys("\x0c");
    terminal.poll("the same", || count(&terminal, UP) == 4);
    terminal.quiet();
    // back at work
    terminal.keys("0");
    terminal.poll("none", || last(&terminal, AWAY) > last(&terminal, UP));
    terminal.quiet();
    assert_eq!(count(&terminal, UP), 4);
    terminal.keys("p");
    terminal.poll("the last", || count(&terminal, UP) == 5);
    terminal.quiet();
    terminal.signal("TERM");
    terminal.ended_with(0);
    assert!(terminal.is_handed_back());
    let gone = last(&terminal, AWAY).unwrap();
    assert!(gone > last(&terminal, UP).unwrap());
    assert!(gone < last(&terminal, "\x1b[?1049l").unwrap());
}

#[test]
fn sixel_that_is_asked_for_comes_and_is_wiped() {
    let bench = Bench::with_sample(SAMPLE);
    let mut command = bench.work(&["--key-gap", "0", "--graphics", "sixel"]);
    command.env("SSH_CONNECTION", "192.0.2.1 50000 192.0.2.2 22");
    let mut terminal = Terminal::start(command);
    terminal.wait(FIRST);
    look(&mut terminal);
    let begin = "\x1bP0;1;0q\"1;1;";
    terminal.poll("a picture", || count(&terminal, begin) == 1);
    terminal.keys("0");
    terminal.poll("a wiped screen", || {
        last(&terminal, "\x1b[2J") > last(&terminal, begin)
    });
    terminal.wait("NOW");
    terminal.keys("\x03");
    terminal.ended_with(0);
    assert!(terminal.is_handed_back());
}

#[test]
fn nobody_is_asked_from_afar_or_without_colour() {
    for (name, value) in [
        ("SSH_CONNECTION", "192.0.2.1 50000 192.0.2.2 22"),
        ("NO_COLOR", "1"),
    ] {
        let bench = Bench::with_sample(SAMPLE);
        let mut command = bench.work(&[]);
        command.env(name, value);
        let terminal = Terminal::start(command);
        terminal.wait(FIRST);
        assert_eq!(count(&terminal, "\x1b[c"), 0, "{name}");
    }
}

#[test]
fn keys_typed_while_the_terminal_is_asked_are_not_lost() {
    let bench = Bench::with_sample(SAMPLE);
    let mut terminal = Terminal::start(bench.work(&["--key-gap", "0"]));
    terminal.poll("the question", || count(&terminal, "\x1b[c") == 1);
    // no answer, but the words are read and a picture is asked for
    terminal.keys(" p");
    terminal.wait("bands per cm");
    terminal.keys("\x03");
    terminal.ended_with(0);
    assert!(bench.journal().contains("legal"), "{}", bench.journal());

    // among the answers too
    let bench = Bench::with_sample(SAMPLE);
    let mut terminal = Terminal::start(bench.work(&["--key-gap", "0"]));
    terminal.poll("the question", || count(&terminal, "\x1b[c") == 1);
    terminal.keys(" \x1b[?62;22cp\x1b[?62c");
    terminal.wait("bands per cm");
    terminal.keys("\x03");
    terminal.ended_with(0);
}

#[test]
fn a_picture_goes_when_the_program_is_stopped_and_comes_back_with_it() {
    let bench = Bench::with_sample(SAMPLE);
    let mut command = bench.command("sh");
    command.arg("-i");
    let mut terminal = Terminal::start(command);
    terminal.wait("shell>");
    let program = env!("CARGO_BIN_EXE_anvilside");
    terminal.keys(&format!(
        "'{program}' work plan.toml --key-gap 0 --graphics kitty\n"
    ));
    terminal.wait(FIRST);
    look(&mut terminal);
    terminal.poll("a picture", || count(&terminal, UP) == 1);
    terminal.quiet();
    for (round, resize) in [(1, false), (2, true)] {
        terminal.keys("\x1a");
        terminal.until("the shell's own screen", |s| !s.alternate_screen());
        terminal.quiet();
        assert_eq!(count(&terminal, AWAY), round);
        assert!(last(&terminal, AWAY) > last(&terminal, UP));
        assert!(last(&terminal, AWAY) < last(&terminal, "\x1b[?1049l"));
        if resize {
            terminal.resize(100, 30);
        }
        terminal.keys("fg\n");
        terminal.poll("the picture", || count(&terminal, UP) == round + 1);
        terminal.quiet();
        assert_eq!(half_blocks(&terminal), 0, "{}", terminal.text());
    }
    terminal.keys("\x03");
    terminal.until("the shell's own screen", |s| !s.alternate_screen());
    terminal.keys("exit\n");
    terminal.ended();
}

#[test]
fn a_failure_takes_the_picture_away() {
    let bench = Bench::with_sample(SAMPLE);
    for _ in 0..8 {
        // a small picture: it must be up before the failure
        let words = ["--key-gap", "0", "--graphics", "kitty", "--crash", "main"];
        let mut terminal = Terminal::start_at(bench.work(&words), 40, 12);
        terminal.poll("the question", || count(&terminal, "\x1b[c") == 1);
        terminal.keys("      p");
        terminal.ended_with(101);
        assert!(terminal.is_handed_back());
        if count(&terminal, UP) == 1 {
            assert!(last(&terminal, AWAY) > last(&terminal, UP));
            assert!(last(&terminal, AWAY) < last(&terminal, "\x1b[?1049l"));
            return;
        }
    }
    panic!("never in time");
}
