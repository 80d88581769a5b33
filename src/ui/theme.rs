//! Colours have meanings, not names; and no meaning rests on colour alone.

use ratatui::style::{Color, Modifier, Style};

/// What a piece of text is there for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Meaning {
    /// Plain reading text.
    Text,
    /// Headings of regions.
    Head,
    /// What is to be done now, and the number that matters.
    Now,
    /// The bar of a title or a hint key.
    Bar,
    /// Read off the bar.
    Measured,
    /// What is expected.
    Expected,
    /// A caution, or a value to look at again.
    Caution,
    /// Stop and act.
    Stop,
    /// Settled.
    Done,
    /// The steels of the end view, by place.
    Steel(u8),
}

/// A set of colours.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Theme {
    /// The terminal's own sixteen colours on its own ground.
    #[default]
    Terminal,
    /// No colour at all.
    Mono,
    /// High contrast on black.
    Dark,
    /// High contrast on white.
    Light,
}

impl Theme {
    /// Its word on the command line.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Terminal => "terminal",
            Self::Mono => "mono",
            Self::Dark => "dark",
            Self::Light => "light",
        }
    }

    /// The style for a meaning.
    #[must_use]
    pub fn style(self, meaning: Meaning) -> Style {
        let shape = match meaning {
            Meaning::Text | Meaning::Expected | Meaning::Done | Meaning::Steel(_) => {
                Modifier::empty()
            }
            Meaning::Head | Meaning::Now | Meaning::Measured => Modifier::BOLD,
            Meaning::Bar => Modifier::REVERSED,
            Meaning::Caution => Modifier::BOLD.union(Modifier::UNDERLINED),
            Meaning::Stop => Modifier::BOLD.union(Modifier::REVERSED),
        };
        let style = Style::default().add_modifier(shape);
        match self {
            Self::Mono => style,
            Self::Terminal => match meaning {
                // On an unknown ground only marks and pictures are coloured, never reading text.
                Meaning::Steel(n) => style.fg(*pick(
                    &[Color::Reset, Color::Cyan, Color::Yellow, Color::Magenta],
                    n,
                )),
                _ => style,
            },
            Self::Dark => self.fixed(meaning, style, Color::Indexed(231), Color::Indexed(16)),
            Self::Light => self.fixed(meaning, style, Color::Indexed(16), Color::Indexed(231)),
        }
    }

    /// The ground that everything stands on.
    #[must_use]
    pub fn ground(self) -> Style {
        match self {
            Self::Terminal | Self::Mono => Style::default(),
            Self::Dark => Style::default()
                .fg(Color::Indexed(231))
                .bg(Color::Indexed(16)),
            Self::Light => Style::default()
                .fg(Color::Indexed(16))
                .bg(Color::Indexed(231)),
        }
    }

    fn fixed(self, meaning: Meaning, style: Style, fg: Color, bg: Color) -> Style {
        let (now, measured, caution, steels): (u8, u8, u8, [u8; 4]) = match self {
            Self::Light => (16, 18, 52, [16, 18, 52, 22]),
            _ => (231, 117, 221, [231, 117, 221, 215]),
        };
        let style = style.fg(fg).bg(bg);
        match meaning {
            Meaning::Now => style.fg(Color::Indexed(now)),
            Meaning::Measured => style.fg(Color::Indexed(measured)),
            Meaning::Caution | Meaning::Stop => style.fg(Color::Indexed(caution)),
            Meaning::Steel(n) => style.fg(Color::Indexed(*pick(&steels, n))),
            _ => style,
        }
    }
}

fn pick<T>(of: &[T; 4], n: u8) -> &T {
    let [a, b, c, d] = of;
    match n % 4 {
        0 => a,
        1 => b,
        2 => c,
        _ => d,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

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

    /// Red, green and blue of a colour of the 256-colour cube and grey ramp (xterm's own table; the
    /// first sixteen belong to the terminal and have no fixed value).
    fn rgb(color: Color) -> Option<(u8, u8, u8)> {
        let Color::Indexed(n) = color else {
            return None;
        };
        if n < 16 {
            return None;
        }
        if n >= 232 {
            let v = 8 + (n - 232) * 10;
            return Some((v, v, v));
        }
        let step = |i: u8| if i == 0 { 0 } else { 55 + 40 * i };
        let n = n - 16;
        Some((step(n / 36), step(n / 6 % 6), step(n % 6)))
    }

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
}
