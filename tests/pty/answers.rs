//! What a terminal says by itself settles nothing, and nothing that it begins to say leaves the keyboard
//! deaf.

use std::thread;
use std::time::{Duration, Instant};

use anvilside::journal::{Event, Resolution};
use anvilside::shell::read_entries;

use crate::terminal::{Bench, Terminal};

const SAMPLE: &str = "kitchen-pair";
const FIRST: &str = "READ THIS ONCE";

/// The same list, with its sources, is taken apart byte by byte beside the decoder.
pub(crate) const ANSWERS: &[&str] = &[
    "\x1b[?62;4;22c",
    "\x1b[>41;354;0c",
    "\x1bP!|7E565445\x1b\\",
    "\x1b[0n",
    "\x1b[12;40R",
    "\x1b[?2026;2$y",
    "\x1bP>|some terminal(380)\x1b\\",
    "\x1b]4;7;rgb:ffff/ffff/ffff\x1b\\",
    "\x1b]10;rgb:0000/0000/0000\x07",
    "\x1b]11;rgb:1e1e/1e1e/2e2e\x1b\\",
    "\x1b]52;c;cXF5eSsrKyAxMg==\x1b\\",
    "\x1bP1$r0;1m\x1b\\",
    "\x1b[?1u",
    "\x1b_Gi=31;OK\x1b\\",
    "\x1b]1337;ReportCellSize=17.0;8.0;2.0\x1b\\",
    "\x1b[6;16;8t",
    "\x1b[?997;1n",
    "\x1b[I",
    "\x1b[O",
    "\x1b[M !+",
    "\x1b[32;11;12M",
    "\x1b[<0;11;12M",
];

/// Beginnings that nothing follows.
const UNFINISHED: &[&str] = &[
    "\x1b[?",
    "\x1b[1;",
    "\x1b[<",
    "\x1b]11;rgb:",
    "\x1b[200~",
    "\x1bP",
];

/// At work with the first card open, and how many entries there are.
fn at_card(bench: &Bench) -> (Terminal, usize) {
    let mut terminal = Terminal::start(bench.work(&["--key-gap", "0"]));
    terminal.wait(FIRST);
    terminal.keys("+");
    terminal.wait("CARD 1 of");
    terminal.quiet();
    (terminal, read_entries(&bench.plan()).unwrap().len())
}

/// One press settles one item, and is the only thing that was recorded.
fn one_press_counts(bench: &Bench, terminal: &mut Terminal, entries: usize, what: &str) {
    terminal.quiet();
    let now = read_entries(&bench.plan()).unwrap();
    assert_eq!(
        now.len(),
        entries,
        "{what} was taken for keys: {:?}",
        now.last()
    );
    terminal.keys("1");
    terminal.poll(&format!("a key behind {what}"), || {
        read_entries(&bench.plan()).unwrap().len() > entries
    });
    let now = read_entries(&bench.plan()).unwrap();
    assert_eq!(now.len(), entries + 1);
    assert!(matches!(
        now.last().unwrap().event,
        Event::Caution {
            how: Resolution::Answered(_),
            ..
        }
    ));
    terminal.keys("-");
    terminal.poll("undo", || {
        read_entries(&bench.plan()).unwrap().len() > entries + 1
    });
}

#[test]
fn late_answers_settle_nothing_whole_or_in_pieces() {
    let bench = Bench::with_sample(SAMPLE);
    let (mut terminal, mut entries) = at_card(&bench);
    for answer in ANSWERS {
        terminal.keys(answer);
        // cut early, in the middle, and before the last byte; with a pause that is longer than the program's
        for cut in [2, answer.len() / 2, answer.len() - 1] {
            terminal.keys(&answer[..cut]);
            thread::sleep(Duration::from_millis(140));
            terminal.keys(&answer[cut..]);
        }
    }
    one_press_counts(&bench, &mut terminal, entries, "an answer");
    entries += 2;
    terminal.keys(&ANSWERS.concat());
    one_press_counts(&bench, &mut terminal, entries, "a row of answers");
}

#[test]
fn an_unfinished_sequence_leaves_no_deaf_keyboard() {
    let bench = Bench::with_sample(SAMPLE);
    let (mut terminal, mut entries) = at_card(&bench);
    for begun in UNFINISHED {
        terminal.keys(begun);
        thread::sleep(Duration::from_millis(150));
        one_press_counts(&bench, &mut terminal, entries, &format!("{begun:?}"));
        entries += 2;
    }
    for begun in UNFINISHED {
        let bench = Bench::with_sample(SAMPLE);
        let (mut terminal, _) = at_card(&bench);
        terminal.keys(begun);
        thread::sleep(Duration::from_millis(30));
        terminal.keys("\x03");
        terminal.ended_with(0);
        assert!(terminal.is_handed_back(), "{begun:?}");
    }
}

#[test]
fn text_that_no_hand_types_does_nothing_and_is_over_at_once() {
    let bench = Bench::with_sample(SAMPLE);
    let (mut terminal, entries) = at_card(&bench);
    let megabyte = "1 + 2 qy\r".repeat(1 << 17);
    terminal.keys(&megabyte);
    terminal.wait("pasted text is not taken here");
    one_press_counts(&bench, &mut terminal, entries, "a megabyte");
    // with the marks around it, into a note: cut at the length of a line
    terminal.keys("n");
    terminal.wait("NOTE");
    terminal.keys(&format!("\x1b[200~{megabyte}\x1b[201~"));
    terminal.wait("cut at 200 characters");
    terminal.keys("\r");
    terminal.poll("the note", || {
        let entries = read_entries(&bench.plan()).unwrap();
        matches!(&entries.last().unwrap().event, Event::Note { text, .. } if text.chars().count() <= 200)
    });
    // whatever is queued, one Ctrl-C ends it within a second; a busy machine gets three attempts
    let mut took = Vec::new();
    while took.len() < 3 && took.iter().all(|took| *took > Duration::from_secs(1)) {
        terminal.keys(&megabyte);
        let begun = Instant::now();
        terminal.keys("\x03");
        terminal.ended_with(0);
        took.push(begun.elapsed());
        assert!(terminal.is_handed_back());
        terminal = Terminal::start(bench.work(&["--key-gap", "0"]));
        terminal.wait("YOU STOPPED HERE");
    }
    assert!(
        took.iter().any(|took| *took < Duration::from_secs(1)),
        "{took:?}"
    );
}

#[test]
fn a_burst_is_read_to_its_end() {
    let bench = Bench::with_sample(SAMPLE);
    let (mut terminal, _) = at_card(&bench);
    // more than one read takes, with the key to leave as its last byte
    terminal.keys(&format!("{}\x03", "\x1b[?62;22c".repeat(1200)));
    terminal.ended_with(0);
    assert!(terminal.is_handed_back());
}
