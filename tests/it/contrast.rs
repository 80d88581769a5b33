//! Can the themes be read: contrast of text on its ground, and what stands out without colour.
#![allow(clippy::unwrap_used, reason = "a test")]

use anvilside::ui::theme::{Meaning, Theme};

use crate::common::picture::rgb;

const ALL: [Meaning; 12] = [
    Meaning::Text,
    Meaning::Head,
    Meaning::Now,
    Meaning::Bar,
    Meaning::Measured,
    Meaning::Expected,
    Meaning::Caution,
    Meaning::Stop,
    Meaning::Done,
    Meaning::Steel(0),
    Meaning::Steel(1),
    Meaning::Steel(3),
];

/// Contrast of two colours, 1 to 21 (WCAG 2.2 relative luminance).
fn contrast(a: (u8, u8, u8), b: (u8, u8, u8)) -> f64 {
    let lin = |v: u8| {
        let v = f64::from(v) / 255.0;
        if v <= 0.040_45 {
            v / 12.92
        } else {
            ((v + 0.055) / 1.055).powf(2.4)
        }
    };
    let lum = |(r, g, b): (u8, u8, u8)| 0.2126 * lin(r) + 0.7152 * lin(g) + 0.0722 * lin(b);
    let (high, low) = (lum(a).max(lum(b)), lum(a).min(lum(b)));
    (high + 0.05) / (low + 0.05)
}

#[test]
fn text_of_the_fixed_themes_has_seven_to_one() {
    // WCAG 2.2, success criterion 1.4.6 (contrast, enhanced): 7:1.
    for theme in [Theme::Dark, Theme::Light] {
        for meaning in ALL {
            let style = theme.style(meaning);
            let fg = rgb(style.fg.unwrap()).unwrap();
            let bg = rgb(style.bg.unwrap()).unwrap();
            assert!(
                contrast(fg, bg) >= 7.0,
                "{theme:?} {meaning:?}: {}",
                contrast(fg, bg)
            );
        }
    }
}

#[test]
fn black_on_white_is_twenty_one_to_one() {
    // WCAG 2.2 definition of contrast ratio: the greatest value is 21.
    assert!((contrast((0, 0, 0), (255, 255, 255)) - 21.0).abs() < 1e-9);
}

#[test]
fn mono_sends_no_colour_and_terminal_sets_no_ground() {
    for meaning in ALL {
        let mono = Theme::Mono.style(meaning);
        assert!(mono.fg.is_none() && mono.bg.is_none());
        assert!(Theme::Terminal.style(meaning).bg.is_none());
    }
}

#[test]
fn what_must_stand_out_does_so_without_colour() {
    for meaning in [Meaning::Stop, Meaning::Caution, Meaning::Bar, Meaning::Now] {
        assert!(
            !Theme::Mono.style(meaning).add_modifier.is_empty(),
            "{meaning:?}"
        );
    }
    assert_ne!(
        Theme::Mono.style(Meaning::Stop),
        Theme::Mono.style(Meaning::Caution)
    );
}
