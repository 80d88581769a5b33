//! `screenshots/short-job.cast`, the first steps of a job, and `screenshots/photograph.cast`, an inspect step with
//! a photograph: recordings of the terminal, made of the real screens; any player of the asciicast format,
//! version 2, shows them.
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

use anvilside::units::{Seconds, Stamp};
use ratatui::backend::CrosstermBackend;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::{Terminal, TerminalOptions, Viewport};
use serde_json::{Value, json};

use crate::common::{Desk, of_256_colours};

const COLUMNS: u16 = 80;
const ROWS: u16 = 24;
/// What the file may weigh: it lies in the repository.
const MOST: usize = 150_000;

/// The screens after each key, with their times.
fn worked() -> Vec<(Stamp, Buffer)> {
    let mut desk = Desk::sample("three-layer");
    desk.model.settings = of_256_colours();
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

/// An inspect step on the number pad: a photograph counted, an unsure place close up, the line moved, the count
/// taken, taken back, and corrected by eye. The picture is of `tests/data` (seven pixels a band).
fn photographed() -> Vec<(Stamp, Buffer)> {
    let folder = tempfile::tempdir().unwrap();
    let data = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/tests/data/photographs_second/s-044.jpg"
    );
    std::fs::copy(data, folder.path().join("end.jpg")).unwrap();
    let mut desk = Desk::sample("found-bar");
    desk.photos = Some(folder.path().to_owned());
    desk.model.settings = of_256_colours();
    desk.keys("+");
    desk.answer_card();
    desk.trail = Some(vec![(desk.now, desk.buffer(COLUMNS, ROWS))]);
    for keys in ["*", "0", "0", "1", "1"] {
        desk.keys(keys);
        desk.wait(Seconds(1.0));
    }
    desk.keys("..");
    desk.keys("/46/60");
    desk.wait(Seconds(2.0));
    desk.keys("+");
    desk.wait(Seconds(4.0));
    desk.keys("-");
    desk.wait(Seconds(4.0));
    desk.keys("60-62\n");
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

fn cast(title: &str, frames: &[(Stamp, Buffer)]) -> String {
    let head = json!({
        "version": 2,
        "width": COLUMNS,
        "height": ROWS,
        "title": title,
        "env": { "TERM": "xterm-256color" },
    });
    let mut text = format!("{head}\n");
    let mut at = 0.0;
    let mut before = frames[0].0;
    for ((when, _), bytes) in frames.iter().zip(sent(frames)) {
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

/// The file is what the screens make now, the same each time, and played on another terminal ends with the last
/// screen.
fn holds(file: &str, title: &str, frames: fn() -> Vec<(Stamp, Buffer)>) {
    let shown = frames();
    let made = cast(title, &shown);
    assert_eq!(made, cast(title, &frames()), "it differs from run to run");
    assert!(made.len() < MOST, "{} bytes", made.len());
    let mut player = vt100::Parser::new(ROWS.try_into().unwrap(), COLUMNS.try_into().unwrap(), 0);
    for line in made.lines().skip(1) {
        let event: Value = serde_json::from_str(line).unwrap();
        player.process(event[2].as_str().unwrap().as_bytes());
    }
    let (_, last) = shown.last().unwrap();
    let played = player.screen().contents();
    let wanted: Vec<String> = (0..ROWS)
        .map(|y| {
            let row: String = (0..COLUMNS).map(|x| last[(x, y)].symbol()).collect();
            row.trim_end().to_owned()
        })
        .collect();
    let played: Vec<&str> = played.lines().map(str::trim_end).collect();
    assert_eq!(played.join("\n").trim_end(), wanted.join("\n").trim_end());
    let path = format!("{}/screenshots/{file}", env!("CARGO_MANIFEST_DIR"));
    if std::env::var_os("UPDATE_SCREENSHOTS").is_some() {
        std::fs::write(&path, &made).unwrap();
    }
    let held = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        held == made,
        "screenshots/{file} is not current; UPDATE_SCREENSHOTS=1 cargo test --test it cast makes it anew"
    );
}

#[test]
fn the_cast_is_current_and_plays_the_real_screens() {
    let title = "anvilside: the first steps of a three-layer knife";
    holds("short-job.cast", title, worked);
}

#[test]
fn the_cast_of_a_photograph_is_current_and_shows_the_count() {
    let frames = photographed();
    let text = |buffer: &Buffer| -> String {
        (0..ROWS)
            .flat_map(|y| (0..COLUMNS).map(move |x| (x, y)))
            .map(|at| buffer[at].symbol())
            .collect()
    };
    // 41 bands: tests/data/photographs_second/truth.csv
    assert!(
        frames
            .iter()
            .any(|(_, seen)| text(seen).contains("41 BANDS"))
    );
    let title = "anvilside: the bands of an etched end, counted in a photograph";
    holds("photograph.cast", title, photographed);
}
