//! What is written behind a key.

/// The forms a value takes in a plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Writes {
    /// Any text.
    Text,
    /// One text or a list of them.
    Texts,
    /// Colours with readings.
    Colours,
    /// A name: small letters, digits and dashes.
    Name,
    /// A size above zero.
    Size,
    /// A size that may be zero.
    Allowance,
    /// One size for both ends, or a list of two.
    Ends,
    Temperature,
    /// Lowest and highest temperature.
    Window,
    /// A time.
    Duration,
    /// A part of the whole.
    Share,
    /// A whole number.
    Count,
    /// Least and most.
    Counts,
    /// A whole number, or least and most.
    Between,
    /// Any number above zero.
    Number,
    /// Mass percent of an element.
    Percent,
    /// Yes or no.
    Flag,
    /// The force of a press.
    Force,
    Mass,
    /// One of a few words.
    Choice(&'static [&'static str]),
    /// A steel and a thickness, or bars, in order.
    Laid,
    /// Bars of the plan.
    With,
    /// The pieces of the stack.
    Pieces,
    /// A table described on its own.
    Table,
    /// The bars of a plan, each a table described on its own.
    Bars,
    /// Kinds of step, each a table described on its own.
    Steps,
}

impl Writes {
    /// What to write, in words, as it reads behind "write".
    #[must_use]
    pub fn words(self) -> String {
        match self {
            Self::Text => "text in quotes".into(),
            Self::Texts => "text in quotes, or a list of them".into(),
            Self::Colours => "colours with readings, as [\"cherry 840 C\"]".into(),
            Self::Name => "a name of small letters, digits and dashes, in quotes".into(),
            Self::Size => "a size above zero, as \"40 mm\", \"1-3/8 in\" or 40".into(),
            Self::Allowance => "a size, as \"0.5 mm\", \"1/32 in\" or 0".into(),
            Self::Ends => "one size for both ends, or two as [10, \"12 mm\"]".into(),
            Self::Temperature => "a temperature, as \"815 C\" or \"1500 F\"".into(),
            Self::Window => "lowest and highest temperature, as [\"900 C\", \"1150 C\"]".into(),
            Self::Duration => "a time, as \"10 min\", \"90 s\" or \"2 h\"".into(),
            Self::Share => "a share, as \"4 %\" or 0.04".into(),
            Self::Count => "a whole number, as 4".into(),
            Self::Counts => "two whole numbers, least and most, as [100, 150]".into(),
            Self::Between => "a whole number, as 121, or least and most, as [119, 123]".into(),
            Self::Number => "a number above zero, as 2.5".into(),
            Self::Percent => "mass percent as a number, as 0.84".into(),
            Self::Flag => "true or false".into(),
            Self::Force => "a force, as \"25 t\" (US tons) or \"222 kN\"".into(),
            Self::Mass => "a mass, as \"50 lb\" or \"25 kg\"".into(),
            Self::Choice(words) => format!("one of {}", quoted(words)),
            Self::Laid => "a steel and a thickness, as \"A 6 mm\", a bar, as \"sides\", or a list from the inside out".into(),
            Self::With => "a bar of the plan, as \"sides\" or \"sides flipped\", or a list of them in order".into(),
            Self::Pieces => "a list of pieces, as [\"A 6 mm\", \"4 x (B 3 mm, A 6 mm)\"]".into(),
            Self::Table => "a table".into(),
            Self::Bars => "[[bar]] tables".into(),
            Self::Steps => "[[step]] tables".into(),
        }
    }
}

/// `"a", "b" or "c"`.
pub(crate) fn quoted(words: &[&str]) -> String {
    let mut out = String::new();
    for (at, word) in words.iter().enumerate() {
        if at > 0 {
            out.push_str(if at + 1 == words.len() { " or " } else { ", " });
        }
        out.push('"');
        out.push_str(word);
        out.push('"');
    }
    out
}
