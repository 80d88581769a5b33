//! Keys as descriptors. The same list reads the keys of a table, writes them, checks them and is
//! their page: what a key takes and where its value stands is said once.

use super::doc::KeyDoc;
use super::writes::Writes;
use crate::billet::{Arrange, FrameBar, Lay, Piece, Side};
use crate::metal::Window;
use crate::physics::colours::Pin;
use crate::plan::Machine;
use crate::units::bounds::Bounds;
use crate::units::{Celsius, Fraction, Grams, Mm, Seconds};

/// A key of a table that is read into a `T`.
pub(crate) struct Field<T: 'static> {
    pub(crate) name: &'static str,
    pub(crate) need: Need,
    /// In words, with the default.
    pub(crate) words: &'static str,
    /// Where its value stands.
    pub(crate) slot: fn(&mut T) -> Slot<'_>,
}

/// When a key is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Need {
    /// It must be there.
    Must,
    /// It may be left out; the program writes it all the same, because it is good to see.
    Said,
    /// It may be left out, and is where a reader fills in the same.
    May,
}

/// The place of a value, by what is written there.
pub(crate) enum Slot<'m> {
    Text(Target<'m, String>),
    Texts(&'m mut Vec<String>),
    Colours(&'m mut Vec<Pin>),
    /// Above zero.
    Size(Target<'m, Mm>),
    Allowance(&'m mut Mm),
    /// From zero up; it may be absent.
    From(&'m mut Option<Mm>),
    Ends(&'m mut [Mm; 2]),
    Temperature(Target<'m, Celsius>),
    Window(&'m mut Option<Window>),
    Duration(Target<'m, Seconds>),
    Share(Target<'m, Fraction>),
    /// A share carried as a bare number, 0 to 1.
    Part(&'m mut f64),
    /// A share that leaves something.
    Loss(Target<'m, Fraction>),
    /// Least and most.
    Count(Target<'m, u32>, [u32; 2]),
    Bands(&'m mut Option<u64>),
    /// A count, or least and most.
    Between(&'m mut Option<[u64; 2]>),
    Mass(Target<'m, Grams>),
    Range([&'m mut u64; 2]),
    Number(&'m mut f64, &'static Bounds),
    Percent(&'m mut f64),
    Flag(&'m mut bool),
    Press(&'m mut Machine),
    Hammer(&'m mut Machine),
    Hand(&'m mut Machine),
    Word(&'m mut dyn Choice, &'static [&'static str]),
    /// Bars on one side.
    Laid(&'m mut Vec<FrameBar>, Side),
    /// Bars of the plan.
    With(&'m mut Vec<Piece>),
    /// It has no place as the table stands: what it belongs to, and what would make one.
    Stray(Writes, &'static str, &'static str),
    /// It is read on its own.
    Other(Writes),
}

/// A value that is always there, or one that may be absent.
pub(crate) enum Target<'m, T> {
    Held(&'m mut T),
    Open(&'m mut Option<T>),
}

impl<'m, T> From<&'m mut T> for Target<'m, T> {
    fn from(held: &'m mut T) -> Self {
        Self::Held(held)
    }
}

impl<'m, T> From<&'m mut Option<T>> for Target<'m, T> {
    fn from(open: &'m mut Option<T>) -> Self {
        Self::Open(open)
    }
}

impl<T> Target<'_, T> {
    pub(crate) fn set(self, value: T) {
        match self {
            Self::Held(held) => *held = value,
            Self::Open(open) => *open = Some(value),
        }
    }

    pub(crate) fn get(&self) -> Option<&T> {
        match self {
            Self::Held(held) => Some(held),
            Self::Open(open) => open.as_ref(),
        }
    }
}

/// One of a few words.
pub(crate) trait Choice {
    fn word(&self) -> &'static str;
    /// Becomes the value of that word; false when there is none.
    fn take(&mut self, word: &str) -> bool;
}

impl<T: Copy + Into<&'static str> + strum::VariantArray> Choice for T {
    fn word(&self) -> &'static str {
        (*self).into()
    }

    fn take(&mut self, word: &str) -> bool {
        let found = T::VARIANTS.iter().find(|one| Choice::word(*one) == word);
        found.map(|one| *self = *one).is_some()
    }
}

impl Choice for Arrange {
    fn word(&self) -> &'static str {
        match self {
            Self::Pile => "pile",
            Self::Flipped => "flipped",
            Self::Block { .. } => "block",
        }
    }

    fn take(&mut self, word: &str) -> bool {
        *self = match word {
            "flipped" => Self::Flipped,
            "block" => Self::Block {
                columns: 2,
                rows: 2,
                turned: false,
            },
            _ => Self::Pile,
        };
        true
    }
}

impl Choice for Lay {
    fn word(&self) -> &'static str {
        match self {
            Self::Pile => "pile",
            Self::Beside => "beside",
            Self::Grid { .. } => "grid",
        }
    }

    fn take(&mut self, word: &str) -> bool {
        *self = match word {
            "beside" => Self::Beside,
            "grid" => Self::Grid { columns: 2 },
            _ => Self::Pile,
        };
        true
    }
}

impl Slot<'_> {
    pub(crate) fn writes(&self) -> Writes {
        match self {
            Self::Text(_) => Writes::Text,
            Self::Texts(_) => Writes::Texts,
            Self::Colours(_) => Writes::Colours,
            Self::Size(_) => Writes::Size,
            Self::Allowance(_) | Self::From(_) => Writes::Allowance,
            Self::Ends(_) => Writes::Ends,
            Self::Temperature(_) => Writes::Temperature,
            Self::Window(_) => Writes::Window,
            Self::Duration(_) => Writes::Duration,
            Self::Share(_) | Self::Loss(_) | Self::Part(_) => Writes::Share,
            Self::Count(..) | Self::Bands(_) => Writes::Count,
            Self::Range(_) => Writes::Counts,
            Self::Between(_) => Writes::Between,
            Self::Mass(_) => Writes::Mass,
            Self::Number(..) => Writes::Number,
            Self::Percent(_) => Writes::Percent,
            Self::Flag(_) | Self::Hand(_) => Writes::Flag,
            Self::Press(_) => Writes::Force,
            Self::Hammer(_) => Writes::Mass,
            Self::Word(_, words) => Writes::Choice(words),
            Self::Laid(..) => Writes::Laid,
            Self::With(_) => Writes::With,
            Self::Stray(writes, ..) | Self::Other(writes) => *writes,
        }
    }
}

type At<T> = fn(&mut T) -> Slot<'_>;

/// A key that must be there.
pub(super) const fn must<T>(name: &'static str, words: &'static str, slot: At<T>) -> Field<T> {
    let need = Need::Must;
    Field {
        name,
        need,
        words,
        slot,
    }
}

/// A key that may be left out, and is written all the same.
pub(super) const fn said<T>(name: &'static str, words: &'static str, slot: At<T>) -> Field<T> {
    let need = Need::Said;
    Field {
        name,
        need,
        words,
        slot,
    }
}

/// A key that may be left out.
pub(super) const fn may<T>(name: &'static str, words: &'static str, slot: At<T>) -> Field<T> {
    let need = Need::May;
    Field {
        name,
        need,
        words,
        slot,
    }
}

/// The keys as they are documented; `blank` is any value of the table.
pub(crate) fn docs<T>(fields: &[Field<T>], blank: &mut T) -> Vec<KeyDoc> {
    let doc = |field: &Field<T>, blank: &mut T| KeyDoc {
        name: field.name,
        writes: (field.slot)(blank).writes(),
        required: field.need == Need::Must,
        words: field.words,
    };
    fields.iter().map(|field| doc(field, blank)).collect()
}
