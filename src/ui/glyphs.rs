//! Which characters may be used: a ladder the smith can step down for poor fonts.

/// The ladder. Every glyph on it is one column wide.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Glyphs {
    /// Box drawing and block elements.
    #[default]
    Blocks,
    /// Plain ASCII.
    Ascii,
}

impl Glyphs {
    /// Hatch of a steel in the end view, by its place in the plan.
    #[must_use]
    pub fn hatch(self, steel: usize) -> char {
        let row = match self {
            Self::Blocks => ['█', '░', '▓', '#', '=', '+', 'o', '/'],
            Self::Ascii => ['#', '.', '=', '+', '%', 'o', '*', '~'],
        };
        row.get(steel % row.len()).copied().unwrap_or('#')
    }

    /// Where the bands are finer than a cell.
    #[must_use]
    pub fn mixed(self) -> char {
        match self {
            Self::Blocks => '▒',
            Self::Ascii => ':',
        }
    }

    /// Upper half, lower half, whole dot of a block digit.
    #[must_use]
    pub fn dots(self) -> [char; 3] {
        match self {
            Self::Blocks => ['▀', '▄', '█'],
            Self::Ascii => ['"', '_', '#'],
        }
    }

    /// A horizontal rule.
    #[must_use]
    pub fn rule(self) -> char {
        match self {
            Self::Blocks => '─',
            Self::Ascii => '-',
        }
    }

    /// A vertical rule.
    #[must_use]
    pub fn post(self) -> char {
        match self {
            Self::Blocks => '│',
            Self::Ascii => '|',
        }
    }

    /// The mark of the current item.
    #[must_use]
    pub fn pointer(self) -> char {
        match self {
            Self::Blocks => '▶',
            Self::Ascii => '>',
        }
    }

    /// A filled and an empty cell of a bar.
    #[must_use]
    pub fn bar(self) -> [char; 2] {
        match self {
            Self::Blocks => ['█', '░'],
            Self::Ascii => ['#', '.'],
        }
    }

    /// A separator between words.
    #[must_use]
    pub fn dot(self) -> &'static str {
        match self {
            Self::Blocks => "·",
            Self::Ascii => "-",
        }
    }

    /// Words with other than ASCII glyphs stepped down where needed.
    #[must_use]
    pub fn words(self, text: &str) -> String {
        match self {
            Self::Blocks => text.to_owned(),
            Self::Ascii => text
                .chars()
                .map(|c| match c {
                    c if c.is_ascii() => c,
                    '·' | '─' | '–' | '—' => '-',
                    '×' => 'x',
                    '│' => '|',
                    '▶' => '>',
                    _ => '?',
                })
                .collect(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use unicode_width::UnicodeWidthChar;

    #[test]
    fn every_glyph_is_one_column_wide() {
        for ladder in [Glyphs::Blocks, Glyphs::Ascii] {
            let mut all: Vec<char> = (0..8).map(|steel| ladder.hatch(steel)).collect();
            all.extend(ladder.dots());
            all.extend(ladder.bar());
            all.extend([ladder.rule(), ladder.post(), ladder.pointer()]);
            all.extend(ladder.dot().chars());
            for glyph in all {
                assert_eq!(glyph.width(), Some(1), "{glyph:?}");
                assert!(ladder == Glyphs::Blocks || glyph.is_ascii(), "{glyph:?}");
            }
        }
    }
}
