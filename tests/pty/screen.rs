//! What the program sends to the terminal, and what it takes from it.

use portable_pty::CommandBuilder;

use crate::terminal::{Bench, Terminal};

const SAMPLE: &str = "kitchen-pair";
const FIRST: &str = "READ THIS ONCE";

fn count(bytes: &[u8], part: &str) -> usize {
    let part = part.as_bytes();
    bytes.windows(part.len()).filter(|w| *w == part).count()
}

#[test]
fn the_terminal_is_asked_once_or_not_at_all_and_every_mode_is_undone() {
    for (words, asked) in [(&[][..], 1), (&["--graphics", "blocks"], 0)] {
        let bench = Bench::with_sample(SAMPLE);
        modes_are_undone(bench.work(words), asked);
    }
}

/// With the device asked so many times what it is.
fn modes_are_undone(work: CommandBuilder, times: usize) {
    let mut terminal = Terminal::start(work);
    terminal.wait(FIRST);
    terminal.keys(" ");
    terminal.wait("NOW");
    terminal.keys("\x03");
    terminal.ended_with(0);
    let bytes = terminal.bytes();
    for (on, off) in [
        ("\x1b[?1049h", "\x1b[?1049l"),
        ("\x1b[?2004h", "\x1b[?2004l"),
    ] {
        assert_eq!((count(&bytes, on), count(&bytes, off)), (1, 1), "{on:?}");
    }
    let (begun, done) = (count(&bytes, "\x1b[?2026h"), count(&bytes, "\x1b[?2026l"));
    assert!(
        begun >= 2 && done == begun + 1,
        "{begun} frames, {done} ends"
    );
    assert_eq!(count(&bytes, "\x1b[c"), times);
    // cursor place, device, colours, keyboard; mouse; enhanced keyboard
    for asked in [
        "\x1b[6n",
        "\x1b[0c",
        "\x1b[>",
        "\x1b]1",
        "\x1b_G",
        "\x1b[16t",
        "\x1b[?u",
        "\x1b[?100",
        "\x1b[>1u",
    ] {
        assert_eq!(count(&bytes, asked), 0, "{asked:?}");
    }
}

#[test]
fn no_colour_leaves_the_other_marks() {
    let bench = Bench::with_sample(SAMPLE);
    let mut command = bench.work(&[]);
    command.env("NO_COLOR", "1");
    let mut terminal = Terminal::start(command);
    terminal.wait(FIRST);
    terminal.keys(" ");
    terminal.wait("NOW");
    terminal.quiet();
    let (mut inverse, mut coloured) = (0, 0);
    terminal.look(|screen| {
        for (row, column) in (0..24).flat_map(|r| (0..80).map(move |c| (r, c))) {
            let cell = screen.cell(row, column).unwrap();
            inverse += usize::from(cell.inverse());
            let plain = vt100::Color::Default;
            coloured += usize::from(cell.fgcolor() != plain || cell.bgcolor() != plain);
        }
    });
    assert_eq!(coloured, 0);
    assert!(inverse > 0, "what is marked stays marked");
}

#[test]
fn what_was_typed_before_the_screen_came_is_not_taken() {
    let bench = Bench::with_sample(SAMPLE);
    let mut terminal = Terminal::start(bench.work(&[]));
    terminal.keys("   +++\r\r");
    terminal.wait(FIRST);
    terminal.quiet();
    assert!(terminal.shows(FIRST));
    assert_eq!(bench.journal().lines().count(), 2, "{}", bench.journal());
    // keys still work
    terminal.keys(" ");
    terminal.wait("NOW");
}

#[test]
fn a_paste_confirms_nothing() {
    let bench = Bench::with_sample(SAMPLE);
    let mut terminal = Terminal::start(bench.work(&[]));
    terminal.wait(FIRST);
    terminal.keys("\x1b[200~   \r\r++qqy\x1b[201~");
    terminal.quiet();
    assert!(terminal.shows(FIRST));
    assert_eq!(bench.journal().lines().count(), 2);
}

#[test]
fn a_storm_of_sizes_ends_in_the_same_picture() {
    let bench = Bench::with_sample(SAMPLE);
    let mut terminal = Terminal::start(bench.work(&[]));
    terminal.wait(FIRST);
    terminal.keys(" ");
    terminal.wait("NOW");
    terminal.quiet();
    // without the title: it has the time of day in it
    let picture = |terminal: &Terminal| {
        let text = terminal.text();
        let lines = text.lines().skip(1).map(str::trim_end);
        lines.collect::<Vec<_>>().join("\n")
    };
    let before = picture(&terminal);
    let sizes = [
        (2, 2),
        (200, 60),
        (79, 5),
        (3, 40),
        (120, 2),
        (40, 12),
        (81, 25),
    ];
    for (columns, rows) in sizes.repeat(8) {
        terminal.resize(columns, rows);
    }
    terminal.resize(80, 24);
    terminal.poll("the same picture", || picture(&terminal) == before);
    terminal.quiet();
    assert_eq!(picture(&terminal), before);
    assert_eq!(bench.journal().lines().count(), 3, "sizes are not keys");
}

#[test]
fn a_held_key_goes_on_once() {
    let bench = Bench::with_sample(SAMPLE);
    let mut terminal = Terminal::start(bench.work(&[]));
    terminal.wait(FIRST);
    // leaned on for three seconds, thirty presses a second
    for _ in 0..90 {
        terminal.keys(" ");
        std::thread::sleep(std::time::Duration::from_millis(33));
    }
    terminal.wait("NOW");
    terminal.quiet();
    assert_eq!(bench.journal().lines().count(), 3, "{}", bench.journal());
}
