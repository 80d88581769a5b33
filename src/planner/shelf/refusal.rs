//! Why the shelf does not do what is asked, and why its file is not read.

use super::MOST;

/// Why a piece cannot be had or changed.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Refused {
    /// No piece has that number.
    #[error("the shelf has no piece {0}")]
    NoPiece(u32),
    /// It is not gone.
    #[error("piece {0} lies on the shelf")]
    Lies(u32),
    /// It is gone: where to, in words.
    #[error("piece {0} is {1}; `--put-back {0}` lays it on the shelf again")]
    Gone(u32, String),
    /// What was read cannot be a size.
    #[error("a size is greater than zero; write it as 40x12x95")]
    Size,
    /// A plan takes a piece that it cannot have.
    #[error("{0}; {remedy}", remedy = .0.remedy())]
    Plan(#[from] NotToBeHad),
}

/// Why a plan cannot have a piece that it names.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NotToBeHad {
    /// No piece has that number.
    #[error("the plan takes piece {0}, and the shelf has none of that number")]
    NoPiece(u32),
    /// It is gone: where to, in words.
    #[error("the plan takes piece {0} of the shelf, which is {1}")]
    Gone(u32, String),
}

impl NotToBeHad {
    /// What to do.
    #[must_use]
    pub fn remedy(&self) -> String {
        match self {
            Self::NoPiece(_) => "`anvilside shelf` lists them".to_owned(),
            Self::Gone(number, _) => {
                format!("take another, or `anvilside shelf --put-back {number}` first")
            }
        }
    }
}

/// Why the text of a shelf is not read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Unread {
    /// It is no TOML, or not of a shelf: the line, and what its reader says.
    #[error("line {0}: {1}")]
    Text(usize, String),
    /// Too many pieces.
    #[error("more than {MOST} pieces")]
    Many,
    /// A number that stands twice, and the line of the second.
    #[error("line {0}: number {1} is there twice")]
    Twice(usize, u32),
    /// A piece that cannot be: the line where it begins, and why.
    #[error("line {0}, the piece that begins there: {1}")]
    Piece(usize, Flaw),
}

/// Why a piece of the file cannot be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum Flaw {
    /// A time that does not read, by its key.
    #[error("{0} is not a time; write it as 2026-11-25T09:12:00.000Z")]
    Time(&'static str),
    /// Numbers that are zero or below, by their keys.
    #[error("{0} are greater than zero")]
    Zero(&'static str),
    /// The number zero.
    #[error("numbers begin at 1")]
    Number,
    #[error("it names no steel; write steels = [[\"SAE 1084\", 1.0]]")]
    NoSteel,
}
