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
