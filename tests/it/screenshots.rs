//! The pictures in `screenshots/` are the real screens, and current.
//!
//! `UPDATE_SCREENSHOTS=1 cargo test --test it screenshots` makes them anew.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::needless_pass_by_value
)]

use std::path::PathBuf;

use crate::common::{Desk, MORNING, picture, plan_text, tight_pair};
use anvilside::planner::draft::{Drafted, Form, Grid, draft as drafted, outlook};
use anvilside::planner::learn::{ShopBook, learn};
use anvilside::ui::glyphs::Glyphs;
use anvilside::ui::theme::Theme;
use anvilside::ui::{Draft, Effect, Heard, Key, Msg, Press, Settings, Shades, Wanted};
use anvilside::units::Seconds;
use ratatui::Terminal;
use ratatui::backend::TestBackend;
use ratatui::buffer::Buffer;

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("screenshots")
}

/// Compares, or writes when asked to.
fn keep(name: &str, desk: &Desk, columns: u16, rows: u16) {
    keep_buffer(name, desk.buffer(columns, rows), columns, rows);
}

fn keep_buffer(name: &str, buffer: Buffer, columns: u16, rows: u16) {
    for (end, made) in [
        ("txt", picture::text(&buffer)),
        ("svg", picture::svg(&buffer)),
    ] {
        let path = folder().join(format!("{name}-{columns}x{rows}.{end}"));
        if std::env::var_os("UPDATE_SCREENSHOTS").is_some() {
            std::fs::create_dir_all(folder()).unwrap();
            std::fs::write(&path, &made).unwrap();
        }
        let held = std::fs::read_to_string(&path).unwrap_or_default();
        assert!(
            held == made,
            "screenshots/{name}-{columns}x{rows}.{end} is not current; \
             UPDATE_SCREENSHOTS=1 cargo test --test it screenshots makes it anew.\n{}",
            picture::text(&buffer)
        );
    }
}

/// A desk at the step of that id, everything before it done as expected.
fn at_step(sample: &str, id: &str, settings: Settings) -> Desk {
    at_step_of(&plan_text(sample), id, settings)
}

fn at_step_of(plan: &str, id: &str, settings: Settings) -> Desk {
    let mut desk = Desk::on(plan);
    desk.model.settings = settings;
    desk.keys("+");
    while desk
        .model
        .session
        .current()
        .is_some_and(|step| step.id.0 != id)
    {
        desk.finish_step();
    }
    assert!(desk.model.session.current().is_some(), "no step {id}");
    desk
}

#[test]
fn first_words() {
    keep("legal", &Desk::sample("kitchen-pair"), 80, 24);
}

#[test]
fn card() {
    let mut desk = at_step("kitchen-pair", "weld-1", Settings::default());
    desk.keys("1");
    keep("card", &desk, 80, 24);
    keep("card", &desk, 120, 40);
}

#[test]
fn in_the_fire() {
    let mut desk = at_step("kitchen-pair", "weld-1", Settings::default());
    desk.answer_card();
    desk.keys("+");
    desk.wait(Seconds(194.0));
    keep("in-the-fire", &desk, 80, 24);
    desk.keys("f");
    keep("far-view", &desk, 80, 24);
}

#[test]
fn drawing_out() {
    let mut desk = at_step("kitchen-pair", "draw-2", Settings::default());
    desk.answer_card();
    for _ in 0..3 {
        desk.keys("+");
        desk.wait(Seconds(360.0));
        desk.keys("+");
        desk.wait(Seconds(42.0));
    }
    // Read between two heats: hot.
    desk.keys("/14.2\n");
    desk.keys("40.5");
    keep("draw-out", &desk, 80, 24);
    keep("draw-out", &desk, 120, 40);
    desk.keys("\n\n");
    keep("review", &desk, 80, 24);
    desk.key(Key::Backspace);
    desk.keys("*");
    keep("menu", &desk, 80, 24);
    desk.keys("3");
    keep("balance", &desk, 80, 24);
    desk.key(Key::Backspace);
    let desk = desk.killed_and_reopened(Seconds(14.4 * 3600.0));
    keep("resume", &desk, 80, 24);
}

#[test]
fn all_steps() {
    let mut desk = at_step("kitchen-pair", "restack-1", Settings::default());
    desk.keys("s");
    keep("steps", &desk, 120, 40);
}

#[test]
fn what_is_to_come() {
    let mut desk = at_step("kitchen-pair", "draw-3", Settings::default());
    desk.keys("g");
    keep("forecast", &desk, 80, 24);
    keep("forecast", &desk, 120, 40);
    desk.key(Key::Backspace);
    desk.keys("*05");
    keep("your-shop", &desk, 80, 24);
}

#[test]
fn a_bar_came_out_short() {
    let mut desk = at_step_of(&tight_pair(), "draw-3", Settings::default());
    desk.answer_card();
    desk.keys("5\n45\n");
    let length = desk.model.session.live.billet.bar.length.0;
    desk.keys(&format!("{:.0}\n", length - 20.0));
    keep("short-bar", &desk, 80, 24);
    desk.keys("x");
    keep("ways-out", &desk, 80, 24);
    keep("ways-out", &desk, 120, 40);
}

#[test]
fn at_the_anvil() {
    let full = Settings {
        shades: Shades::True,
        ..Settings::default()
    };
    let mut desk = at_step("turned-w-petty", "draw-2", full);
    desk.answer_card();
    for _ in 0..2 {
        desk.keys("+");
        desk.wait(Seconds(420.0));
        desk.keys("+");
        desk.wait(Seconds(16.0));
    }
    keep("at-the-anvil", &desk, 120, 40);
}

#[test]
fn pictures() {
    let full = Settings {
        shades: Shades::True,
        ..Settings::default()
    };
    let mut desk = at_step("turned-w-petty", "draw-2", full);
    desk.answer_card();
    desk.keys("p");
    keep("picture-end", &desk, 80, 24);
    desk.keys("5");
    keep("picture-layers", &desk, 80, 24);
    desk.keys("6");
    keep("picture-lines", &desk, 80, 24);
    desk.keys("49.");
    keep("picture-closer", &desk, 120, 40);
    let plain = Settings {
        theme: Theme::Mono,
        glyphs: Glyphs::Ascii,
        ..Settings::default()
    };
    let mut desk = at_step("ladder-hunter", "weld-1", plain);
    desk.keys("p49");
    keep("picture-ascii", &desk, 80, 24);
}

#[test]
fn drafting() {
    let mut form = Form::default();
    for (key, text) in [
        ("length", "210"),
        ("width", "46"),
        ("spine", "3"),
        ("tang", "100 x 20 x 3 to 12 x 2.2"),
        ("bands", "100-150"),
        ("press", "25t"),
        ("steel", "1084=6mm x 40mm; 15N20=3mm x 40mm"),
    ] {
        form.put(key, text).unwrap();
    }
    let mut draft = Draft::new(form, Settings::default());
    let shot = |draft: &Draft, name: &str, columns, rows| {
        let mut terminal = Terminal::new(TestBackend::new(columns, rows)).unwrap();
        terminal.draw(|frame| draft.draw(frame)).unwrap();
        keep_buffer(name, terminal.backend().buffer().clone(), columns, rows);
    };
    shot(&draft, "draft-wish", 80, 24);
    let Some(Effect::Draft(Wanted::Search(number, wish))) = draft.search().pop() else {
        panic!("no search");
    };
    let lessons = learn(&[], &ShopBook::default(), None);
    let offers = drafted(&wish, &lessons, &|_| true).unwrap();
    let grid = Grid::of(&wish, &lessons).unwrap();
    let found = Drafted {
        wish: *wish,
        offers: offers
            .into_iter()
            .map(|offer| {
                let seen = outlook(&offer, &lessons);
                (offer, seen)
            })
            .collect(),
        candidates: grid.candidates(),
        journals: 0,
    };
    draft.update(Msg::Draft(Heard::Ended(number, Box::new(Ok(found)))));
    shot(&draft, "draft-list", 80, 24);
    shot(&draft, "draft-list", 120, 40);
    draft.update(Msg::Key(Press {
        key: Key::Char('1'),
        repeat: false,
        at: MORNING,
        mono_ms: 0,
    }));
    shot(&draft, "draft-plan", 120, 40);
}

#[test]
fn other_looks() {
    let light = Settings {
        theme: Theme::Light,
        ..Settings::default()
    };
    let mut desk = at_step("kitchen-pair", "cut-1", light);
    desk.answer_card();
    keep("light-theme", &desk, 80, 24);
    let plain = Settings {
        theme: Theme::Mono,
        glyphs: Glyphs::Ascii,
        ..Settings::default()
    };
    let mut desk = at_step("kitchen-pair", "cut-1", plain);
    desk.answer_card();
    keep("ascii-mono", &desk, 80, 24);
    keep("ascii-mono", &desk, 40, 12);
    assert!(desk.now > MORNING);
}
