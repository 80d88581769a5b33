//! `screenshots/short-job.cast`: the first steps of a job as a recording of the terminal, made of the real
//! screens; any player of the asciicast format, version 2, shows it.
//!
//! `UPDATE_SCREENSHOTS=1 cargo test --test it cast` makes it anew.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::disallowed_methods,
    reason = "a test"
)]

use anvilside::ui::{Settings, Shades};
use anvilside::units::{Seconds, Stamp};
use ratatui::backend::CrosstermBackend;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::{Terminal, TerminalOptions, Viewport};
use serde_json::{Value, json};

use crate::common::Desk;

const COLUMNS: u16 = 80;
const ROWS: u16 = 24;
/// What the file may weigh: it lies in the repository.
const MOST: usize = 150_000;

/// The screens after each key, with their times.
fn worked() -> Vec<(Stamp, Buffer)> {
    let mut desk = Desk::sample("three-layer");
    desk.model.settings = Settings {
        shades: Shades::of(None, Some("xterm-256color")),
        ..Settings::default()
    };
    desk.trail = Some(vec![(desk.now, desk.buffer(COLUMNS, ROWS))]);
    for _ in 0..3 {
        desk.finish_step();
    }
    desk.answer_card();
    desk.keys("+");
    desk.wait(Seconds(300.0));
    desk.keys("+");
    desk.wait(Seconds(20.0));
    desk.keys("f");
    desk.wait(Seconds(5.0));
    desk.keys("+p3/");
    desk.wait(Seconds(5.0));
    desk.keys("0");
    desk.trail.take().unwrap()
}

/// What a terminal is sent to go from each screen to the next.
fn sent(frames: &[(Stamp, Buffer)]) -> Vec<String> {
    crossterm::style::force_color_output(true);
    let bytes = std::rc::Rc::new(std::cell::RefCell::new(Vec::new()));
    struct Sink(std::rc::Rc<std::cell::RefCell<Vec<u8>>>);
    impl std::io::Write for Sink {
        fn write(&mut self, part: &[u8]) -> std::io::Result<usize> {
            self.0.borrow_mut().extend_from_slice(part);
            Ok(part.len())
        }
        fn flush(&mut self) -> std::io::Result<()> {
            Ok(())
        }
    }
    let area = Rect::new(0, 0, COLUMNS, ROWS);
    let options = TerminalOptions {
        viewport: Viewport::Fixed(area),
    };
    let backend = CrosstermBackend::new(Sink(std::rc::Rc::clone(&bytes)));
    let mut terminal = Terminal::with_options(backend, options).unwrap();
    let mut out = Vec::new();
    for (_, buffer) in frames {
        terminal
            .draw(|frame| frame.buffer_mut().clone_from(buffer))
            .unwrap();
        let part = std::mem::take(&mut *bytes.borrow_mut());
        out.push(String::from_utf8(part).unwrap());
    }
    out
}

fn cast() -> String {
    let frames = worked();
    let head = json!({
        "version": 2,
        "width": COLUMNS,
        "height": ROWS,
        "title": "anvilside: the first steps of a three-layer knife",
        "env": { "TERM": "xterm-256color" },
    });
    let mut text = format!("{head}\n");
    let mut at = 0.0;
    let mut before = frames[0].0;
    for ((when, _), bytes) in frames.iter().zip(sent(&frames)) {
        // waits at the fire are cut short
        at += when.since(before).0.clamp(0.25, 1.5);
        before = *when;
        if !bytes.is_empty() {
            let line: Value = json!([(at * 100.0_f64).round() / 100.0, "o", bytes]);
            text.push_str(&format!("{line}\n"));
        }
    }
    text
}

#[test]
fn the_cast_is_current_and_plays_the_real_screens() {
    let made = cast();
    assert_eq!(made, cast(), "it differs from run to run");
    assert!(made.len() < MOST, "{} bytes", made.len());
    // played on another terminal, it ends with the last screen
    let mut player = vt100::Parser::new(ROWS.try_into().unwrap(), COLUMNS.try_into().unwrap(), 0);
    for line in made.lines().skip(1) {
        let event: Value = serde_json::from_str(line).unwrap();
        player.process(event[2].as_str().unwrap().as_bytes());
    }
    let (_, last) = worked().pop().unwrap();
    let shown = player.screen().contents();
    let wanted: Vec<String> = (0..ROWS)
        .map(|y| {
            let row: String = (0..COLUMNS).map(|x| last[(x, y)].symbol()).collect();
            row.trim_end().to_owned()
        })
        .collect();
    let shown: Vec<&str> = shown.lines().map(str::trim_end).collect();
    assert_eq!(shown.join("\n").trim_end(), wanted.join("\n").trim_end());
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/screenshots/short-job.cast");
    if std::env::var_os("UPDATE_SCREENSHOTS").is_some() {
        std::fs::write(path, &made).unwrap();
    }
    let held = std::fs::read_to_string(path).unwrap_or_default();
    assert!(
        held == made,
        "screenshots/short-job.cast is not current; UPDATE_SCREENSHOTS=1 cargo test --test it cast makes it anew"
    );
}
