//! Gauges: one that types its reading as a keyboard does, and one on a serial line.

use std::io::Write;
use std::thread;
use std::time::Duration;

use anvilside::billet::Dimension;
use anvilside::journal::Event;
use anvilside::shell::disk::RealDisk;
use anvilside::shell::read_entries;
use anvilside::shell::replace::replace;
use anvilside::units::Stamp;

use crate::terminal::{Bench, Terminal};

/// A job whose first step is open for sizes: its card needs no answer any more.
fn bench() -> Bench {
    let bench = Bench::with_sample("kitchen-pair");
    let text = bench.read("plan.toml");
    let hash = crc32fast::hash(text.as_bytes());
    let plan = anvilside::plan::read(&text).unwrap().0;
    // today, or the items of a day's start would be asked again
    let now = std::time::SystemTime::now()
        .duration_since(std::time::UNIX_EPOCH)
        .unwrap();
    let first = vec![
        Event::Plan { hash, text },
        Event::Opened {
            offset: 0,
            version: "test".to_owned(),
        },
        Event::LegalRead,
    ];
    let mut entries: Vec<anvilside::journal::Entry> = Vec::new();
    let push = |event: Event, entries: &mut Vec<anvilside::journal::Entry>| {
        let n = entries.len() as u64;
        entries.push(anvilside::journal::Entry {
            seq: n + 1,
            at: Stamp(i64::try_from(now.as_millis()).unwrap() - 60_000 + 1000 * n as i64),
            event,
        });
    };
    for event in first {
        push(event, &mut entries);
    }
    let step = plan.steps[0].id.clone();
    loop {
        let session = anvilside::session::Session::fold(entries.clone()).unwrap();
        let card = session.card();
        let Some(item) = card.current().and_then(|at| card.items.get(at)) else {
            break;
        };
        let event = Event::Caution {
            step: step.clone(),
            item: item.caution.id.clone(),
            how: anvilside::journal::Resolution::Overridden("for the test".to_owned()),
        };
        push(event, &mut entries);
        assert!(entries.len() < 100);
    }
    let lines: String = entries
        .iter()
        .map(|entry| anvilside::journal::encode(entry).unwrap())
        .collect();
    replace(&RealDisk, &bench.path("plan.journal"), lines.as_bytes()).unwrap();
    bench
}

fn opened(bench: &Bench, words: &[&str]) -> Terminal {
    let mut terminal = Terminal::start(bench.work(&[&["--key-gap", "0"], words].concat()));
    terminal.wait("YOU STOPPED HERE");
    terminal.keys("+");
    terminal.wait("NOW");
    terminal.until("the page gone", |s| {
        !s.contents().contains("YOU STOPPED HERE")
    });
    terminal.quiet();
    terminal
}

/// Sizes in the journal, as typed.
fn sizes(bench: &Bench) -> Vec<(Dimension, String)> {
    let entries = read_entries(&bench.plan()).unwrap();
    let size = |entry: anvilside::journal::Entry| match entry.event {
        Event::Measured { what, typed, .. } => Some((what, typed)),
        _ => None,
    };
    entries.into_iter().filter_map(size).collect()
}

/// Waits for one more size than that, or for its refusal; a machine that is very busy may take long.
fn came(terminal: &Terminal, bench: &Bench, seen: usize) -> bool {
    let begun = std::time::Instant::now();
    while begun.elapsed() < Duration::from_secs(4) && !terminal.shows("came in pieces") {
        if sizes(bench).len() > seen {
            return true;
        }
        thread::sleep(Duration::from_millis(20));
    }
    sizes(bench).len() > seen
}

/// Sends a text a character at a time.
fn send(terminal: &mut Terminal, text: &str, pace: u64) {
    for c in text.chars() {
        terminal.keys(&c.to_string());
        if pace > 0 {
            thread::sleep(Duration::from_millis(pace));
        }
    }
}

#[test]
fn a_gauge_that_types_fills_the_field_and_never_half_of_it() {
    let bench = bench();
    let mut terminal = opened(&bench, &[]);
    let mut seen = 0;
    for pace in [0, 1, 4, 8, 16] {
        for text in ["1555.55\r", "1555,55\r", "1555.55g\t"] {
            let wanted = text.trim_end();
            // a busy machine may tear it; it is then refused, and sent again
            for attempt in 0.. {
                assert!(attempt < 20, "{text:?} at {pace} ms:\n{}", terminal.text());
                thread::sleep(Duration::from_millis(1100));
                send(&mut terminal, text, pace);
                if came(&terminal, &bench, seen) {
                    break;
                }
            }
            for (_, typed) in &sizes(&bench)[seen..] {
                assert_eq!(typed, wanted, "at {pace} ms");
            }
            terminal.keys("-");
            terminal.poll("undo", || {
                let entries = read_entries(&bench.plan()).unwrap();
                matches!(entries.last().unwrap().event, Event::Undone { .. })
            });
            seen = sizes(&bench).len();
        }
    }
}

/// A serial line: what is written here comes out of the device of that name.
fn line() -> (
    Box<dyn portable_pty::MasterPty + Send>,
    Box<dyn Write + Send>,
    String,
) {
    let size = portable_pty::PtySize::default();
    let pty = portable_pty::native_pty_system().openpty(size).unwrap();
    let name = pty.master.tty_name().unwrap();
    let writer = pty.master.take_writer().unwrap();
    // the program opens it by its name
    std::mem::forget(pty.slave);
    (pty.master, writer, name.to_str().unwrap().to_owned())
}

#[test]
fn a_gauge_on_a_serial_line_feeds_the_field_and_may_be_unplugged() {
    let bench = bench();
    let (master, mut gauge, name) = line();
    let mut terminal = opened(&bench, &["--gauge", &name]);
    for (n, wanted) in ["1555.55g", "1544.44g"].into_iter().enumerate() {
        for attempt in 0.. {
            assert!(attempt < 20, "{}", terminal.text());
            thread::sleep(Duration::from_millis(600));
            let line = format!("ST,GS,+  {}\r\n", wanted.replace('g', " g"));
            gauge.write_all(line.as_bytes()).unwrap();
            if came(&terminal, &bench, n) {
                break;
            }
        }
        assert_eq!(sizes(&bench)[n].1, wanted);
    }
    drop((master, gauge));
    terminal.wait("no gauge at");
    let before = read_entries(&bench.plan()).unwrap().len();
    terminal.keys("-");
    terminal.poll("a key", || {
        read_entries(&bench.plan()).unwrap().len() > before
    });
    terminal.keys("\x03");
    terminal.ended_with(0);
}

#[test]
fn a_gauge_that_is_none_is_said() {
    let bench = bench();
    for name in ["/dev/null", "plan.toml", "gone"] {
        let mut terminal = opened(&bench, &["--gauge", name]);
        terminal.wait("no gauge at");
        terminal.keys("\x03");
        terminal.ended_with(0);
    }
}
