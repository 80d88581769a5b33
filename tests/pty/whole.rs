//! A whole job at the real program, with the number pad alone; after every key the screen is the one
//! that the model draws.

use std::thread;
use std::time::Duration;

use anvilside::journal::{Entry, Event, Fire};
use anvilside::plan::Answer;
use anvilside::shell::{Clock, read_entries};
use anvilside::ui::{Key, Mode, Model, Msg, Purpose, Settings};

use crate::common::{Desk, of_256_colours, wanted_number};
use crate::terminal::{Bench, Terminal};

/// The next key of a smith who answers every card and makes the expected heats, without waiting for any
/// clock.
fn next_key(model: &Model) -> Key {
    const PLUS: Key = Key::Char('+');
    match &model.mode {
        Mode::Reason {
            text,
            purpose: Purpose::SkipWatch(_),
        } => {
            // A fire watch is passed over in words, which the number pad has not.
            let next = "guest stays".strip_prefix(text.as_str()).unwrap();
            return next.chars().next().map_or(Key::Enter, Key::Char);
        }
        Mode::Reason { text, .. } => {
            return if text.is_empty() {
                Key::Char('1')
            } else {
                Key::Enter
            };
        }
        Mode::Step => {}
        _ => return PLUS,
    }
    let session = &model.session;
    let card = session.card();
    if let Some(item) = card.current().and_then(|at| card.items.get(at)) {
        let wanted = match &item.caution.answer {
            _ if item.is_joint() => return PLUS,
            Answer::Done | Answer::Watch => return PLUS,
            Answer::Choice(_) => "1".to_owned(),
            Answer::Number { .. } => wanted_number(session, &item.caution),
        };
        let next = wanted.strip_prefix(model.entry.as_str()).unwrap();
        return next.chars().next().map_or(Key::Enter, Key::Char);
    }
    let step = session.current().unwrap();
    let heats = session.step.heats;
    let more = session.fire.0 == Fire::In || heats < step.heats;
    if step.kind().is_hot() && step.heats > 0 && more {
        return PLUS;
    }
    if session.is_timing() {
        Key::Enter
    } else {
        PLUS
    }
}

/// A screen without what the clock changes: figures, small and large, however many digits they have (what is
/// worked out of a heat hangs on its milliseconds), and trailing room.
fn still(text: &str) -> Vec<String> {
    const LARGE: [char; 3] = ['█', '▀', '▄'];
    let line = |line: &str| {
        let mut out = String::new();
        for c in line.trim_end().chars() {
            let figure = c.is_ascii_digit() || (c == '.' && out.ends_with('#'));
            if LARGE.contains(&c) {
                out.truncate(out.trim_end_matches(['█', ' ']).len());
                out.push('█');
            } else if !figure {
                out.push(c);
            } else if !out.ends_with('#') {
                out.push('#');
            }
        }
        out
    };
    text.lines().map(line).collect()
}

/// Works on from the journal as it is until the model is as wanted; what the model has then. Every screen is
/// held against the model's where `seen`, else only every entry.
pub(crate) fn work_on(
    bench: &Bench,
    terminal: &mut Terminal,
    seen: bool,
    enough: impl Fn(&Model) -> bool,
) -> Desk {
    let clock = Clock::start();
    let settings = Settings {
        quiet_ms: 0,
        ..of_256_colours()
    };
    let entries = read_entries(&bench.plan()).unwrap();
    let mut desk = Desk::reopen(entries, clock.now().at, settings.clone());
    for pressed in 0.. {
        if enough(&desk.model) {
            break;
        }
        assert!(pressed < 3000, "no end in sight:\n{}", terminal.text());
        let key = next_key(&desk.model);
        // Keys that come faster are a gauge's, and a contact that bounces is closer.
        thread::sleep(Duration::from_millis(120));
        desk.now = clock.now().at;
        desk.press_now(key);
        terminal.keys(&match key {
            Key::Char(c) => c.to_string(),
            _ => "\r".to_owned(),
        });
        let written = || read_entries(&bench.plan()).map_or(0, |all| all.len());
        terminal.poll("the entry", || written() == desk.journal.len());
        if !seen {
            terminal.quiet();
            continue;
        }
        // The key is taken when its figure is there; the rest of the screen is held against without figures.
        let typed = format!(" {}_", desk.model.entry);
        let is_there = |text: &str| desk.model.entry.is_empty() || text.contains(&typed);
        terminal.poll(
            &format!("the screen after {key:?}, as\n{}", desk.screen(80, 24)),
            || {
                let mut now = Desk {
                    model: desk.model.clone(),
                    ..Desk::reopen(desk.journal.clone(), desk.now, settings.clone())
                };
                now.send(Msg::Tick {
                    at: clock.now().at,
                    mono_ms: 0,
                });
                let text = terminal.text();
                is_there(&text) && still(&text) == still(&now.screen(80, 24))
            },
        );
    }
    desk
}

#[test]
fn a_plan_is_worked_to_the_end_with_the_number_pad_alone() {
    let bench = Bench::with_sample("three-layer");
    let mut terminal = Terminal::start(bench.work(&["--key-gap", "0"]));
    terminal.wait("READ THIS ONCE");
    let desk = work_on(&bench, &mut terminal, true, |model| {
        model.session.is_finished()
    });
    terminal.keys("\x03");
    terminal.ended_with(0);
    // A note says how long the piece was in the fire, which may round up on one clock and down on the other.
    let event = |entry: &Entry| match entry.event.clone() {
        Event::Note { step, text } => Event::Note {
            step,
            text: still(&text).join(" "),
        },
        other => other,
    };
    let events = |entries: &[Entry]| entries.iter().map(event).collect::<Vec<_>>();
    let written = read_entries(&bench.plan()).unwrap();
    assert_eq!(
        events(&written[..desk.journal.len()]),
        events(&desk.journal)
    );
    assert_eq!(written.len(), desk.journal.len() + 1, "and closed");
}

/// Works every sample to its end at the real program, and leaves the plan and the journal of each in the
/// folder that `ANVILSIDE_JOBS` names: for the script that opens the pages of worked jobs in a browser.
#[test]
#[ignore = "long; writes files for tests/reference/pages.mjs"]
fn every_sample_for_a_browser() {
    let folder = std::path::PathBuf::from(std::env::var_os("ANVILSIDE_JOBS").unwrap());
    let plans = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("plans");
    for entry in std::fs::read_dir(plans).unwrap() {
        let plan = entry.unwrap().path();
        if plan.extension().is_none_or(|end| end != "toml") {
            continue;
        }
        let name = plan.file_stem().unwrap().to_str().unwrap();
        let bench = Bench::with_sample(name);
        let mut terminal = Terminal::start(bench.work(&["--key-gap", "0"]));
        terminal.wait("READ THIS ONCE");
        work_on(&bench, &mut terminal, false, |model| {
            model.session.is_finished()
        });
        terminal.keys("\x03");
        terminal.ended_with(0);
        for end in ["toml", "journal"] {
            let to = folder.join(format!("worked-{name}.{end}"));
            std::fs::copy(bench.path(&format!("plan.{end}")), to).unwrap();
        }
    }
}
