//! Every step of every sample plan on the screen; every size; styles held by snapshots.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing
)]

use crate::common::{Desk, themed};
use anvilside::ui::glyphs::Glyphs;
use anvilside::ui::theme::Theme;
use anvilside::ui::{Key, Settings, headline};
use anvilside::units::Seconds;

fn samples() -> Vec<String> {
    let folder = format!("{}/plans", env!("CARGO_MANIFEST_DIR"));
    let mut names: Vec<String> = std::fs::read_dir(folder)
        .unwrap()
        .flatten()
        .filter_map(|entry| {
            let name = entry.file_name().to_string_lossy().into_owned();
            name.strip_suffix(".toml").map(ToOwned::to_owned)
        })
        .collect();
    names.sort();
    assert!(names.len() >= 4);
    names
}

#[test]
fn every_step_of_every_plan_shows_at_three_sizes() {
    for name in samples() {
        let mut desk = Desk::sample(&name);
        desk.foresees = false;
        desk.keys("+");
        while let Some(step) = desk.model.session.current().cloned() {
            for asked in [true, false] {
                if !asked {
                    desk.answer_card();
                }
                for (columns, rows) in [(40, 12), (80, 24), (120, 40)] {
                    let screen = desk.screen(columns, rows);
                    let place = format!("{name} {} {columns}x{rows}\n{screen}", step.id);
                    let word: String = step.name().to_uppercase().chars().take(10).collect();
                    assert!(screen.contains(&word), "the operation is cut: {place}");
                    // In a low window the card is whole instead.
                    let low = desk.model.card_asks() && rows < 20;
                    let next = screen.contains("NEXT");
                    assert!(low || next, "the next one is cut: {place}");
                    let (number, clock) = headline(&desk.model);
                    assert_ne!(number.label, "no target", "{place}");
                    let number = clock.filter(|_| rows < 20).unwrap_or(number);
                    let label: String = number.label.chars().take(20).collect();
                    let covers = desk.model.asks_rest() || rows < 20;
                    let label = if desk.model.card_asks() && covers {
                        "CARD".to_owned()
                    } else {
                        label
                    };
                    assert!(screen.contains(&label), "the number has no words: {place}");
                    if rows >= 24 {
                        // An item of the card with many answers takes the place of the end view,
                        // and the rest of a card that of everything below the operation.
                        let asks = desk.model.card_asks();
                        let words = if desk.model.asks_rest() {
                            &["CARD", "FIRE"][..]
                        } else if asks && columns < 120 {
                            &["SIZES", "LAYERS", "CARD", "FIRE"][..]
                        } else {
                            &["SIZES", "LAYERS", "CARD", "END VIEW", "FIRE"][..]
                        };
                        for word in words {
                            assert!(screen.contains(word), "no {word}: {place}");
                        }
                        // Blanks and blades are not restacked.
                        let table = desk.model.situation.bar.restacks.is_some();
                        let table = table && !desk.model.asks_rest();
                        assert_eq!(screen.contains("RESTACKS"), table, "{place}");
                    }
                }
            }
            desk.finish_step();
        }
        assert!(desk.model.session.is_finished());
        let last = desk.screen(80, 24);
        assert!(last.contains("JOB DONE"), "{last}");
        let balance = desk.model.session.billet.ledger.left()
            - desk.model.session.billet.volume()
            - desk.model.session.billet.stock_volume();
        assert!(balance.0.abs() < 1e-3, "{name}: {balance:?}");
    }
}

/// One desk for each thing the screen can be doing.
fn desks() -> Vec<(&'static str, Desk)> {
    let work = || {
        let mut desk = Desk::sample("kitchen-pair");
        desk.keys("+");
        desk.go_to("draw-1");
        desk.answer_card();
        desk.keys("+");
        desk.wait(Seconds(100.0));
        desk
    };
    let with = |keys: &str| {
        let mut desk = work();
        desk.keys(keys);
        desk
    };
    let mut card = Desk::sample("kitchen-pair");
    card.keys("+");
    let mut over = work();
    over.key(Key::Enter);
    vec![
        ("legal", Desk::sample("kitchen-pair")),
        ("card", card),
        ("work", work()),
        ("entry", with("14.2")),
        ("review", over),
        ("menu", with("*")),
        ("note", with("n a few words")),
        ("keys", with("?")),
        ("steps", with("s")),
        ("balance", with("b")),
        ("far", with("f")),
        ("forecast", with("g")),
        ("ways-out", with("x")),
        ("your-shop", with("*05")),
        ("learnt value", with("*051")),
        ("pin", with("*05123")),
        ("cut back", with("*0412")),
        ("menu of what is to come", with("*0")),
        ("leave", with("q")),
        ("resume", work().killed_and_reopened(Seconds(50_000.0))),
    ]
}

#[test]
fn no_size_breaks_any_screen() {
    for (name, desk) in desks() {
        for columns in (1..=120).step_by(3).chain([79, 80, 81, 39, 40, 41]) {
            for rows in (1..=40).step_by(2).chain([11, 12, 13, 23, 24, 25]) {
                let lines = desk.lines(columns, rows);
                if columns >= 20 && rows >= 4 {
                    let any = lines.iter().any(|line| !line.trim().is_empty());
                    assert!(any, "{name} {columns}x{rows} shows nothing");
                }
            }
        }
    }
}

#[test]
fn mono_uses_no_colour_and_ascii_no_other_glyph() {
    for (name, mut desk) in desks() {
        desk.model.settings = Settings {
            glyphs: Glyphs::Ascii,
            ..themed(Theme::Mono)
        };
        let buffer = desk.buffer(80, 24);
        for cell in &buffer.content {
            assert_eq!(cell.fg, ratatui::style::Color::Reset, "{name}");
            assert_eq!(cell.bg, ratatui::style::Color::Reset, "{name}");
            assert!(cell.symbol().is_ascii(), "{name}: {:?}", cell.symbol());
        }
    }
}

#[test]
fn without_colour_the_states_are_still_told_apart() {
    let shown: Vec<String> = desks()
        .iter()
        .map(|(_, desk)| desk.screen(80, 24))
        .collect();
    for (at, one) in shown.iter().enumerate() {
        for other in shown.iter().skip(at + 1) {
            assert_ne!(one, other);
        }
    }
}

#[test]
fn text_from_a_plan_never_reaches_the_terminal_as_a_control_character() {
    let text = crate::common::plan_text("kitchen-pair").replace(
        "title = \"First weld\"",
        "title = \"First\\u001b[31m weld\\u202e\\u0007\"",
    );
    let mut desk = Desk::on(&text);
    desk.keys("+s");
    let screen = desk.screen(120, 40);
    assert!(screen.contains("First"), "{screen}");
    for c in screen.chars().filter(|c| *c != '\n') {
        assert!(!c.is_control() && c != '\u{202e}', "{c:?}");
    }
}

#[test]
fn styles_are_held() {
    for (name, desk) in desks() {
        if ["card", "work", "entry", "review", "menu", "far"].contains(&name) {
            let buffer = desk.buffer(80, 24);
            insta::assert_debug_snapshot!(format!("{name}@80x24"), buffer);
        }
    }
}
